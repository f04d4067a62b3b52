"""The minutes of a lot, from clocks that nobody can set, over several devices and restarts.

Every device stamps its entries with a steady clock, which runs on whatever the wall clock does: set
by hand, daylight saving, another zone, 29 February. The server adds a reading of its own steady
clock when it keeps an entry. An entry is kept after it was made, so the shortest delay seen ties
the two clocks together; devices that were never heard by the same server are tied by wall time, and
say so.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

from wortline.lot.events import ClockAdjusted, Entry

Clock: TypeAlias = tuple[str, str]
"""A running of a steady clock: whose, and its session."""
Trust: TypeAlias = Literal["sure", "fair", "guess", "none"]
MS_MIN = 60_000.0
DAY_MS = 86_400_000


@dataclass(frozen=True)
class At:
    """When an entry happened, in minutes of the lot, and how far that can be trusted.

    sure: the same steady clock as the first entry; fair: tied over the server; guess: by wall
    clocks; none: typed from paper without a time, so only its place in the order is known.
    """

    min: float | None
    trust: Trust


def moments(entries: Sequence[Entry]) -> dict[str, At]:
    """When each entry happened, by its id; the first one with a time is minute 0."""
    touched = [entry for entry in entries if not entry.paper]
    slept = _slept(touched)
    starts = _starts(touched, slept)
    found: dict[str, At] = {}
    for entry in touched:
        start_min, trust = starts[_clock(entry)]
        found[entry.id] = At(entry.steady.min + slept[entry.id] + start_min, trust)
    return found | _from_paper(entries, found)


def _clock(entry: Entry) -> Clock:
    return entry.device, entry.steady.session


def _slept(entries: Iterable[Entry]) -> dict[str, float]:
    """What a steady clock lacks at each entry because its device slept before [min]."""
    lacking: dict[Clock, float] = {}
    found: dict[str, float] = {}
    # In the order of each device, whatever order they arrived in.
    for entry in sorted(entries, key=lambda each: (each.device, each.sequence)):
        event = entry.event
        if isinstance(event, ClockAdjusted) and event.because == "device slept":
            lacking[_clock(entry)] = lacking.get(_clock(entry), 0.0) + event.by_min
        found[entry.id] = lacking.get(_clock(entry), 0.0)
    return found


def _starts(entries: Sequence[Entry], slept: dict[str, float]) -> dict[Clock, tuple[float, Trust]]:
    """What to add to each steady clock to have minutes of the lot [min], and its trust."""
    if not entries:
        return {}
    first = entries[0]
    found: dict[Clock, tuple[float, Trust]] = {
        _clock(first): (-first.steady.min - slept[first.id], "sure")
    }
    ties = _ties(entries, slept)
    waiting = [_clock(first)]
    while waiting:
        here = waiting.pop(0)
        start_min = found[here][0]
        for there, lead_min in ties.get(here, {}).items():
            if there not in found:
                found[there] = start_min + lead_min, "fair"
                waiting.append(there)
    for entry in entries:
        if _clock(entry) not in found:
            by_wall_min = (entry.wall_ms - first.wall_ms) / MS_MIN - _set_min(entries, entry)
            start_min = by_wall_min - entry.steady.min - slept[entry.id]
            found[_clock(entry)] = start_min, "guess"
    return found


def _ties(entries: Sequence[Entry], slept: dict[str, float]) -> dict[Clock, dict[Clock, float]]:
    """By how much one clock's start is ahead of another's, from the shortest delay seen [min]."""
    least: dict[tuple[Clock, Clock], float] = {}
    for entry in entries:
        if entry.server is None:
            continue
        pair = _clock(entry), ("", entry.server.session)
        ahead_min = entry.server.min - entry.steady.min - slept[entry.id]
        least[pair] = min(least.get(pair, ahead_min), ahead_min)
    ties: dict[Clock, dict[Clock, float]] = {}
    for (device, server), ahead_min in least.items():
        # minutes = steady + start; the same minute on both: start of device = ahead + of server
        ties.setdefault(device, {})[server] = -ahead_min
        ties.setdefault(server, {})[device] = ahead_min
    return ties


def _set_min(entries: Sequence[Entry], entry: Entry) -> float:
    """How far the wall clock of an entry's device had been set since the lot began [min]."""
    return sum(
        each.event.by_min
        for each in entries
        if isinstance(each.event, ClockAdjusted)
        and each.event.because == "clock set"
        and each.device == entry.device
        and each.sequence <= entry.sequence
    )


def _from_paper(entries: Sequence[Entry], known: dict[str, At]) -> dict[str, At]:
    """Entries typed in from paper: by the time written beside them, counted from the first."""
    written = [entry.written_ms for entry in entries if entry.paper and entry.written_ms]
    touched = [entry for entry in entries if not entry.paper]
    # A sheet that follows a lot run on the deck counts from the deck's first entry.
    run = any(entry.event.KIND not in {"started", "note"} for entry in touched)
    zero_ms = touched[0].wall_ms if run else min(written, default=0)
    return {
        entry.id: At((entry.written_ms - zero_ms) / MS_MIN, "guess")
        if entry.written_ms is not None
        else At(None, "none")
        for entry in entries
        if entry.paper and entry.id not in known
    }


def civil(wall_ms: int, zone_min: int = 0) -> tuple[int, int, int, int, int, int]:
    """Year, month, day, hour, minute and second on a wall clock.

    The Gregorian calendar by counting days from 1 March, after which leap days come last.
    """
    local_ms = wall_ms + zone_min * 60_000
    days, rest_ms = divmod(local_ms, DAY_MS)
    shifted = days + 719_468
    era, of_era = divmod(shifted, 146_097)
    year = (of_era - of_era // 1460 + of_era // 36_524 - of_era // 146_096) // 365
    of_year = of_era - (365 * year + year // 4 - year // 100)
    month = (5 * of_year + 2) // 153
    day = of_year - (153 * month + 2) // 5 + 1
    month = month + 3 if month < 10 else month - 9
    year += era * 400 + (month <= 2)
    seconds = rest_ms // 1000
    return year, month, day, seconds // 3600, seconds // 60 % 60, seconds % 60


def clock_text(wall_ms: int, zone_min: int = 0) -> str:
    """A wall time as `2028-02-29 14:03`."""
    year, month, day, hour, minute, _ = civil(wall_ms, zone_min)
    return f"{year:04d}-{month:02d}-{day:02d} {hour:02d}:{minute:02d}"
