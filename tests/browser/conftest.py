"""A real server on a free port of this computer, and Debian's Chromium to look at it.

Every page that a test opens is watched: a request to another host, an error in the console or in a
script fails the test.
"""

import copy
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlsplit

import pytest
from decks import Hands, begin_lot
from served import Clock, Running, Served
from services import Chromium

from wortline.store.memory import MemoryDocuments
from wortline.web.services import Services, memory_services, services


@pytest.fixture
def serve() -> Iterator[Callable[..., Running]]:
    """Start servers as a test needs them: `serve()` or `serve(services)`."""
    open_ones: list[Served] = []

    def start(services: Services | None = None) -> Running:
        served = Served(services or memory_services())
        running = served.__enter__()
        open_ones.append(served)
        return running

    yield start
    for served in open_ones:
        served.__exit__()


@pytest.fixture
def server(serve: Callable[..., Running]) -> Running:
    """A server over an empty store in memory."""
    return serve()


@pytest.fixture(scope="session")
def browser(chromium: Chromium) -> Iterator[Any]:
    """Chromium without a window."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        started = playwright.chromium.launch(
            executable_path=chromium.path, args=list(chromium.flags)
        )
        yield started
        started.close()


@dataclass
class Eyes:
    """What a test saw of the pages it opened."""

    asked: list[str]
    troubles: list[str]

    def watch(self, page: Any) -> None:
        page.on("request", lambda request: self.asked.append(request.url))
        page.on("pageerror", lambda error: self.troubles.append(f"script: {error}"))
        page.on(
            "console",
            lambda said: said.type == "error" and self.troubles.append(f"console: {said.text}"),
        )

    def left_host(self) -> list[str]:
        return [
            url
            for url in self.asked
            if urlsplit(url).scheme not in ("data", "blob")
            and urlsplit(url).hostname != "127.0.0.1"
        ]


@pytest.fixture
def eyes() -> Eyes:
    return Eyes([], [])


@pytest.fixture
def open_page(browser: Any, eyes: Eyes, server: Running) -> Iterator[Callable[..., Any]]:
    """Open a page: `open_page("/", width=360, dark=True)`; at the end nothing may have left.

    A test that means a console error (such as a refused form) clears `eyes.troubles` itself.
    """
    contexts: list[Any] = []

    def open_(path: str = "/", width: int = 1200, dark: bool = False, **how: Any) -> Any:
        context = browser.new_context(
            base_url=how.pop("base_url", server.url),
            viewport={"width": width, "height": how.pop("height", 900)},
            color_scheme="dark" if dark else "light",
            **how,
        )
        context.set_default_timeout(10_000)
        contexts.append(context)
        page = context.new_page()
        eyes.watch(page)
        page.goto(path)
        return page

    yield open_
    for context in contexts:
        context.close()
    assert eyes.left_host() == []
    assert eyes.troubles == []


@pytest.fixture
def no_barriers() -> Callable[[Any], None]:
    """Check a page with axe: nothing serious or critical of WCAG 2.2 AA."""

    def check(page: Any) -> None:
        from axe_playwright_python.sync_playwright import Axe

        found = Axe().run(page).response["violations"]
        serious = [
            f"{each['id']}: {node['html'][:120]}"
            for each in found
            if each["impact"] in ("serious", "critical")
            for node in each["nodes"]
        ]
        assert serious == []

    return check


@pytest.fixture(scope="session")
def begun() -> Services:
    """Services in memory in which a lot has begun; planned once for all tests."""
    clock = Clock()
    given = services(MemoryDocuments(clock), clock)
    begin_lot(given.lots, given.documents, given.watch)
    return given


@pytest.fixture
def deck(serve: Callable[..., Running], begun: Services) -> Running:
    """A server on which a lot has begun, with a record of its own."""
    clock = Clock()
    return serve(services(begun.documents, clock, lots=copy.deepcopy(begun.lots)))


@pytest.fixture
def phone(deck: Running, browser: Any, eyes: Eyes) -> Iterator[Any]:
    """A phone that is near the server."""
    context = browser.new_context(base_url=deck.url, viewport={"width": 360, "height": 640})
    context.set_default_timeout(10_000)
    yield context
    context.close()
    assert eyes.left_host() == []
    assert eyes.troubles == []


@pytest.fixture
def hands(phone: Any, eyes: Eyes) -> Hands:
    """Somebody at a deck."""
    hands = Hands.at(phone)
    eyes.watch(hands.page)
    return hands.open()
