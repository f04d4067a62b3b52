"""The three stores that keep one contract, and the clock they go by."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from wortline.app.ports import DocumentStore
from wortline.app.ports_lots import LotStore
from wortline.store.memory import MemoryDocuments
from wortline.store.memory_lots import MemoryLots
from wortline.wiring import Store, open_store

STORES = ("memory", "sqlite", "postgresql")


class Clock:
    """Gives a new second each time it is asked; can be put back."""

    def __init__(self) -> None:
        self.at = datetime(2026, 2, 28, 23, 59, 57, 123456, UTC)
        self.step = timedelta(seconds=1)

    def __call__(self) -> datetime:
        self.at += self.step
        return self.at


@pytest.fixture
def clock() -> Clock:
    return Clock()


class Opener:
    """Opens empty stores of one sort, and closes them after the test."""

    def __init__(self, sort: str, clock: Clock, places: Iterator[str]) -> None:
        self.sort, self.clock, self.places = sort, clock, places
        self.opened: list[Store] = []

    def documents(self) -> DocumentStore:
        """An empty store."""
        if self.sort == "memory":
            return MemoryDocuments(self.clock)
        return self.at(next(self.places)).documents

    def lots(self) -> tuple[LotStore, DocumentStore]:
        """An empty store of lots, and the documents beside it."""
        if self.sort == "memory":
            return MemoryLots(self.clock), MemoryDocuments(self.clock)
        store = self.at(next(self.places))
        return store.lots, store.documents

    def at(self, place: str) -> Store:
        """The store at a place, opened once more."""
        self.opened.append(open_store(place, self.clock))
        return self.opened[-1]


def _opener(sort: str, clock: Clock, tmp_path: Path, request: Any) -> Iterator[Opener]:
    def places() -> Iterator[str]:
        number = 0
        while True:
            number += 1
            if sort == "postgresql":
                yield request.getfixturevalue("postgres").new_place()
            else:
                yield str(tmp_path / f"a b%20 %c#'{number}")

    made = Opener(sort, clock, places())
    yield made
    for store in made.opened:
        store.close()


@pytest.fixture(params=STORES)
def stores(request: Any, clock: Clock, tmp_path: Path) -> Iterator[Opener]:
    """Empty stores of every sort."""
    yield from _opener(request.param, clock, tmp_path, request)


@pytest.fixture(params=STORES[1:])
def databases(request: Any, clock: Clock, tmp_path: Path) -> Iterator[Opener]:
    """Empty stores that outlive the program."""
    yield from _opener(request.param, clock, tmp_path, request)


@pytest.fixture
def documents(stores: Opener) -> DocumentStore:
    """One empty store of every sort."""
    return stores.documents()


@pytest.fixture(autouse=True)
def own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where a user's own data would be, but in this test's folder."""
    monkeypatch.setattr("wortline.wiring.own_folder", lambda: tmp_path / "own")
    monkeypatch.delenv("WORTLINE_DATA", raising=False)
    return tmp_path / "own"
