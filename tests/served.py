"""The web face in tests: asked in this process without a socket, or listening on this computer."""

import asyncio
import socket
import threading
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from functools import cache
from typing import Any

import httpx
from fastapi import FastAPI

from wortline.web.server import application
from wortline.web.services import Services, memory_services

ORIGIN = "http://127.0.0.1"


@dataclass
class Clock:
    """A clock that moves when it is told to."""

    at: datetime = datetime(2026, 3, 7, 9, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.at

    def move(self, **by: float) -> None:
        self.at += timedelta(**by)


@cache
def _application() -> FastAPI:
    return application(memory_services(examples=False))


@dataclass
class Visitor:
    """A browser without a screen: keeps cookies, sends its own origin with every write."""

    services: Services
    base: str = ORIGIN
    client: tuple[str, int] = ("127.0.0.1", 50000)
    cookies: dict[str, str] = field(default_factory=dict)

    @property
    def app(self) -> FastAPI:
        """The application, made once for all tests, over this visitor's services."""
        app = _application()
        app.state.services = self.services
        return app

    def ask(self, method: str, path: str, **how: Any) -> httpx.Response:
        headers = dict(how.pop("headers", {}))
        if method not in ("GET", "HEAD", "OPTIONS"):
            headers.setdefault("Origin", self.base)
        # A thread of its own: while a browser is open, its loop runs in this one.
        with ThreadPoolExecutor(1) as own:
            asked = self._ask(method, path, {**how, "headers": headers})
            return own.submit(asyncio.run, asked).result()

    async def _ask(self, method: str, path: str, how: dict[str, Any]) -> httpx.Response:
        door = httpx.ASGITransport(self.app, raise_app_exceptions=False, client=self.client)
        async with httpx.AsyncClient(
            transport=door, base_url=self.base, cookies=self.cookies
        ) as client:
            answer = await client.request(method, path, **how)
            self.cookies = {each.name: each.value or "" for each in client.cookies.jar}
            return answer

    def see(self, path: str, **how: Any) -> httpx.Response:
        return self.ask("GET", path, **how)

    def post(self, path: str, **how: Any) -> httpx.Response:
        return self.ask("POST", path, **how)


@dataclass(frozen=True)
class Running:
    """A server that answers, and what it works with."""

    url: str
    services: Services


@dataclass
class Served:
    """One server in a thread of this process; on a port of its own, or again on a known one."""

    services: Services
    port: int = 0

    def __enter__(self) -> Running:
        import uvicorn

        self.socket = socket.socket()
        self.socket.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        # as the real server listens: without it an answer waits for the other side's receipt
        self.socket.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        self.socket.bind(("127.0.0.1", self.port))
        port = self.socket.getsockname()[1]
        config = uvicorn.Config(application(self.services), log_level="warning", access_log=False)
        self.server = uvicorn.Server(config)
        self.thread = threading.Thread(target=self.server.run, args=([self.socket],))
        # listening already: a request before the loop runs waits in the queue
        self.socket.listen(64)
        self.thread.start()
        return Running(f"http://127.0.0.1:{port}", self.services)

    def __exit__(self, *_: object) -> None:
        self.server.should_exit = True
        self.thread.join(10)
        self.socket.close()
