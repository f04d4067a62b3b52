"""The printed sheet typed in afterwards: a value and a time for each place, in its order."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from wortline.errors import RecordRefused

if TYPE_CHECKING:
    from wortline.app.lots import OpenLot
    from wortline.app.ports_lots import LotStore, Watch
    from wortline.lot.events import Event
    from wortline.lot.paper import Blank

_LINE = re.compile(r"^(?P<value>[^@]*?)\s*(?:@\s*(?P<hour>\d{1,2}):(?P<minute>[0-5]\d))?$")
_TIME = re.compile(r"^(?P<hour>[01]?\d|2[0-3]):(?P<minute>[0-5]\d)$")
TICKS = frozenset({"x", "y", "yes", "ok", "done"})
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
    elif text and text.lower() not in TICKS:
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


def put_in(
    lots: "LotStore", watch: "Watch", number: int, read: Iterable[Written], form: str = ""
) -> int:
    """Keep what was written, in this order; the same `form` put in twice is kept once.

    Raises
    ------
    RecordRefused
        If the record refuses one; those before it are kept.
    """
    from wortline.app.lots import record

    kept = 0
    for each in read:
        for turn, event in enumerate(each.events):
            id_ = f"{form}-{each.key}-{turn}" if form else None
            answer = record(
                lots, watch, number, event, id=id_, paper=True, written_ms=each.written_ms
            )
            if answer.why:
                raise RecordRefused(answer.why)
            kept += 1
    return kept


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
