"""The listening server: binds first, answers as soon as it can, loads the science behind it."""

import gc
import socket
import ssl
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from wortline.errors import StoreTrouble, WortlineError, system_said
from wortline.web.door import Door
from wortline.web.services import Services

LOOPBACK, EVERYWHERE = "127.0.0.1", ""
RING_EVERY_S = 1.0
LOOK_EVERY_S = 60.0


@dataclass(frozen=True)
class Keys:
    """The files of a server that speaks https."""

    certificate: Path
    key: Path


def bound(host: str, port: int) -> socket.socket:
    """Return a listening socket.

    Raises
    ------
    StoreTrouble
        If the port is taken or not allowed, with what to do.
    """
    both = host == EVERYWHERE and socket.has_dualstack_ipv6()
    family = socket.AF_INET6 if both else socket.AF_INET
    try:
        made = socket.create_server((host, port), family=family, backlog=128, dualstack_ipv6=both)
    except OSError as error:
        raise StoreTrouble(
            f"port {port} cannot be used: {system_said(error)}. Is Wortline running already?"
            " Else choose another with --port."
        ) from None
    # A short answer must not wait for the acknowledgement of its own head: that takes 40 ms.
    made.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
    return made


Renewed = Callable[[], tuple[Door, Keys | None]]
"""Gives the door and the keys for the addresses of this moment."""


def run(
    services: Services,
    made: socket.socket,
    keys: Keys | None,
    ready: Callable[[], None],
    renewed: Renewed | None = None,
    tell: Callable[[str], None] | None = None,
) -> None:
    """Serve until the person stops it.

    With `renewed`, keep up with new addresses; `tell` is given each alarm of a lot as a line.
    """
    import uvicorn

    from wortline.web.server import application

    app = application(services, warm := threading.Event())
    config = uvicorn.Config(
        Warming(app, warm),
        log_level="warning",
        access_log=False,
        proxy_headers=False,
        server_header=False,
        ws="none",
        timeout_graceful_shutdown=3,
        ssl_certfile=keys.certificate if keys else None,
        ssl_keyfile=keys.key if keys else None,
    )
    over = threading.Event()

    def watch() -> None:
        while renewed and not over.wait(LOOK_EVERY_S):
            # where a certificate cannot be made now, the old names go on being answered
            with suppress(WortlineError):
                keep_up(app.state, config.ssl, *renewed())

    ready()
    look_for_new_garbage_alone()
    threading.Thread(target=watch, daemon=True, name="addresses").start()
    try:
        with ringing(services, tell):
            uvicorn.Server(config).run([made])
    finally:
        over.set()


def look_for_new_garbage_alone() -> None:
    """Leave what is loaded by now out of every later look, each of which would delay an answer."""
    gc.freeze()
    gc.enable()


def keep_up(state: Any, context: ssl.SSLContext | None, door: Door, keys: Keys | None) -> None:
    """Answer by the addresses of now, and show their certificate to whoever connects next."""
    if door.hosts == state.services.door.hosts:
        return
    if context and keys:
        context.load_cert_chain(keys.certificate, keys.key)
    state.services = replace(state.services, door=door)


@contextmanager
def ringing(services: Services, tell: Callable[[str], None] | None) -> Iterator[None]:
    """Tell the alarms of the lots under way, bell first, beside the devices that do it too."""
    stop = threading.Event()

    def ring() -> None:
        from wortline.app.ringing import Ringing

        bell = Ringing(services.lots, services.watch)
        while not stop.wait(RING_EVERY_S):
            try:
                lines = bell.due()
            except WortlineError:
                # a store that is away for a moment; the devices ring by themselves
                continue
            for line in lines:
                assert tell is not None
                tell(f"\a{line}")

    thread = threading.Thread(target=ring, daemon=True, name="alarms")
    if tell is not None:
        thread.start()
    yield
    stop.set()


class Warming:
    """Loads the science after the first answer, while that page is looked at."""

    def __init__(self, app: Any, warm: threading.Event) -> None:
        self.app, self.warm, self.begun = app, warm, False

    async def __call__(self, scope: Any, receive: Any, send: Any) -> None:
        """Answer, then load."""
        await self.app(scope, receive, send)
        if scope["type"] == "http" and not self.begun:
            self.begun = True
            threading.Thread(target=self.load, daemon=True, name="warm").start()

    def load(self) -> None:
        """Import what the first plan needs."""
        import wortline.app.drawing
        import wortline.app.planning
        import wortline.app.standing  # noqa: F401

        look_for_new_garbage_alone()
        self.warm.set()
