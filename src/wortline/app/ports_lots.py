"""What the application asks of a store of lots, of a clock, and of the shelf of text files.

A lot and its entries are only ever added to. An entry is known by its id: sent twice, it is kept
once and told the same number again.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Literal, Protocol

from wortline.lot.events import Entry, Steady


@dataclass(frozen=True)
class LotDraft:
    """A lot about to start: the revisions of its plan, and the frozen day it goes by, as JSON.

    `id` is made by whoever starts it: started twice with one id, it is one lot.
    """

    id: str
    name: str
    recipe: int
    rig: int
    day: int | None
    method: str
    system: str
    frozen: str


@dataclass(frozen=True)
class LotHeading:
    """A lot without its frozen day; `entries` is how many there are."""

    number: int
    id: str
    name: str
    started_at: datetime
    recipe: int
    rig: int
    day: int | None
    method: str
    system: str
    entries: int


@dataclass(frozen=True)
class Lot(LotHeading):
    """A lot with the day it goes by."""

    frozen: str


@dataclass(frozen=True)
class LotPage:
    """Some lots, newest first; the next page, if any, is the one `before` this number."""

    headings: tuple[LotHeading, ...]
    before: int | None


@dataclass(frozen=True)
class Kept:
    """What became of one entry: kept now, known already, or refused and why."""

    id: str
    what: Literal["kept", "known", "refused"]
    number: int = 0
    server_ms: int = 0
    why: str = ""


@dataclass(frozen=True)
class Line:
    """One entry as it is stored: its number in the lot and its line of JSON."""

    number: int
    text: str


@dataclass(frozen=True)
class WholeLot:
    """A lot with all its entries, as it goes out and comes in."""

    lot: Lot
    lines: tuple[Line, ...]


class LotStore(Protocol):
    """Keeps lots; every implementation passes tests/contract."""

    def start(self, draft: LotDraft) -> Lot:
        """Keep a new lot, or return the one that has this id; durable when this returns.

        Raises
        ------
        Conflict
            If the id belongs to a lot of other content.
        Unkeepable
            If a text cannot be kept as it stands.
        """

    def lot(self, number: int) -> Lot:
        """One lot.

        Raises
        ------
        NotKept
            If there is no such lot.
        """

    def listed(self, before: int | None = None, most: int = 100) -> LotPage:
        """Lots, the newest first."""

    def append(self, number: int, entries: Sequence[Entry], at_ms: int, at: Steady) -> list[Kept]:
        """Keep entries of a lot behind those it has, in the order given.

        Durable when this returns. An entry whose id is there already is told its number; if it
        says something else than the one that is there, it is refused and the others are kept.

        Raises
        ------
        NotKept
            If there is no such lot.
        """

    def lines(self, number: int, after: int = 0) -> tuple[Line, ...]:
        """The entries of a lot from behind a number on, in order.

        Raises
        ------
        NotKept
            If there is no such lot.
        """


    def take(self, lots: Sequence[WholeLot], revisions: Mapping[int, int]) -> int:
        """Take lots from another store, all or none; return how many entries are new here.

        `revisions` gives the number here of each revision there. A lot that is here already gets
        the entries that it lacks.

        Raises
        ------
        Conflict
            If a lot went on here and there in different ways.
        """


class Watch(Protocol):
    """The clocks of the computer that serves."""

    def wall_ms(self) -> int:
        """Milliseconds since 1970, UTC."""

    def zone_min(self) -> int:
        """How far the wall clock is ahead of UTC [min]."""

    def steady(self) -> Steady:
        """A clock that nobody can set."""

    def new_id(self) -> str:
        """An id that nothing else has."""


class Shelf(Protocol):
    """A folder of plain-text files, one per lot."""

    def write(self, name: str, text: str) -> str:
        """Write a lot's file anew and return where it is; what is not ours is never overwritten.

        Raises
        ------
        StoreTrouble
            If it cannot be written; what was there is as it was.
        """
