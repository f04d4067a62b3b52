"""The printed sheet typed in afterwards: a value and a time for each place, in its order."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from wortline.errors import RecordRefused

if TYPE_CHECKING:
    from wortline.app.lots import OpenLot
    from wortline.app.ports_lots import LotStore, Shelf, Watch
    from wortline.lot.events import Event
    from wortline.lot.paper import Blank

_LINE = re.compile(r"^(?P<value>[^@]*?)\s*(?:@\s*(?P<hour>\d{1,2}):(?P<minute>[0-5]\d))?$")
_TIME = re.compile(r"^(?P<hour>[01]?\d|2[0-3]):(?P<minute>[0-5]\d)$")
TICKED = frozenset({"done", "ok", "yes", "y", "x"})
"""What may stand where there is nothing to measure."""
DAY_MS = 86_400_000


@dataclass(frozen=True)
class Written:
    """What one filled-in place of the sheet stands for, and the time written beside it."""

    key: str
    events: tuple["Event", ...]
    written_ms: int | None


def number_of(text: str, kind: str, place: str) -> float:
    """A typed quantity in its core unit.

    Raises
    ------
    RecordRefused
        If it is none, or one that cannot be, with what is allowed.
    """
    from wortline.errors import UnitError
    from wortline.lot.limits import cannot_be
    from wortline.units import parse, say

    try:
        value = float(parse(text, kind))
    except UnitError as refusal:
        raise RecordRefused(f"{place}: {refusal}") from None
    if wrong := cannot_be(kind, value, say, text):
        raise RecordRefused(f"{place}: {wrong}")
    return value


def understood(opened: "OpenLot", blank: "Blank", line: str) -> Written:
    """Read a line such as `1.044 @ 13:20`; the time may be left out, and where it is the value too.

    Raises
    ------
    RecordRefused
        If it says nothing that is understood.
    """
    from wortline.lot.paper import written

    found = _LINE.match(line.strip())
    if found is None or (found["hour"] is not None and int(found["hour"]) > 23):
        raise RecordRefused(
            f"`{line}` is not understood; write a value, @ and a time: 1.044 @ 13:20"
        )
    value, text = None, found["value"].strip()
    hour, minute = found["hour"], found["minute"]
    if blank.kind != "number" and hour is None and (alone := _TIME.match(text)):
        text, hour, minute = "", alone["hour"], alone["minute"]
    if blank.kind == "number" and blank.ask is not None and text:
        value = number_of(text, blank.ask.quantity, blank.text)
    elif text and text.lower() not in TICKED:
        value = _beside(blank, text)
    written_ms = None
    if hour is not None:
        minutes = int(hour) * 60 + int(minute)
        written_ms = _midnight_ms(opened) + minutes * 60_000
    return Written(blank.key, written(blank, value, text), written_ms)


def _beside(blank: "Blank", text: str) -> float:
    """What stands beside a place to tick: the mass of a dose, and nothing beside a phase."""
    if blank.kind == "tick":
        return number_of(text, "mass", blank.text)
    raise RecordRefused(
        f"`{text}` is no time. Here only the time when `{blank.text}` began is wanted, as 9:05;"
        " a number has its own place further down"
    )


@dataclass(frozen=True)
class PutIn:
    """What became of a typed sheet: entries kept now, and places that the record had already."""

    kept: int = 0
    already: tuple[str, ...] = ()


def put_in(
    lots: "LotStore",
    watch: "Watch",
    number: int,
    read: Iterable[Written],
    form: str = "",
    shelf: "Shelf | None" = None,
) -> PutIn:
    """Keep what was written, in this order, and write the lot's text file anew.

    The same `form` put in twice is kept once.

    Raises
    ------
    RecordRefused
        If the record refuses one; those before it are kept.
    """
    from wortline.app.lots import record, shelve

    kept, already = 0, dict[str, None]()
    try:
        for each in read:
            for turn, event in enumerate(each.events):
                id_ = entry_id(form, each.key, turn) if form else None
                answer = record(
                    lots, watch, number, event, id=id_, paper=True, written_ms=each.written_ms
                )
                if answer.why:
                    raise RecordRefused(answer.why)
                if answer.what == "known":
                    already[each.key] = None
                else:
                    kept += 1
    finally:
        if kept and shelf is not None:
            shelve(lots, number, shelf)
    return PutIn(kept, tuple(already))


def entry_id(form: str, key: str, turn: int) -> str:
    """The id of an entry of a form: sent twice, it is the same."""
    return f"{form}-{key}-{turn}"


def put_by(opened: "OpenLot", form: str, read: Written) -> bool:
    """Whether this very form has put this place in already, saying the same."""
    had = {entry.id: entry for entry in opened.entries}
    for turn, event in enumerate(read.events):
        entry = had.get(entry_id(form, read.key, turn))
        if entry is None or entry.event != event or entry.written_ms != read.written_ms:
            return False
    return True


def is_in(opened: "OpenLot", blank: "Blank") -> bool:
    """Whether the record has this place already."""
    if blank.kind == "phase":
        return blank.key in opened.state.phases
    return opened.state.standing(blank.key) == "done"


def _midnight_ms(opened: "OpenLot") -> int:
    """The midnight before the lot began, by the wall clock it began by."""
    first = opened.entries[0]
    local_ms = first.wall_ms + first.zone_min * 60_000
    return local_ms - local_ms % DAY_MS - first.zone_min * 60_000
