"""A server in this process, asked without a socket, on a clock of its own."""

import asyncio
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any

import httpx
import pytest

from wortline.web.door import Door
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


@dataclass
class Visitor:
    """A browser without a screen: keeps cookies, sends its own origin with every write."""

    services: Services
    base: str = ORIGIN
    client: tuple[str, int] = ("127.0.0.1", 50000)
    cookies: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.app = application(self.services)

    def ask(self, method: str, path: str, **how: Any) -> httpx.Response:
        headers = dict(how.pop("headers", {}))
        if method not in ("GET", "HEAD", "OPTIONS"):
            headers.setdefault("Origin", self.base)
        return asyncio.run(self._ask(method, path, {**how, "headers": headers}))

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


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def visitor(clock: Clock) -> Visitor:
    """The brewer at the own computer."""
    return Visitor(memory_services(clock))


@pytest.fixture
def stranger(clock: Clock) -> Visitor:
    """A phone on the home network that has not joined."""
    hosts = frozenset({"127.0.0.1", "localhost", "192.0.2.7"})
    door = Door(hosts=hosts, code="ABCDEFGH", secure=True)
    return Visitor(memory_services(clock, door), "https://192.0.2.7", ("192.0.2.31", 50000))
