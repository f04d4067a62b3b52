"""What the strip needs from a plan, taken from its JSON keys; absent or odd parts are left out."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

PARTS = ("boil", "rest", "chill")
HOT_PHASES = ("boil", "whirlpool", "rest", "chill")


@dataclass(frozen=True)
class Phase:
    """One phase of the day."""

    name: str
    start_min: float
    end_min: float
    start_c: float | None
    end_c: float | None
    cautions: int


@dataclass(frozen=True)
class Dose:
    """One dose of hops, or what the malt brings."""

    id: str
    name: str
    at: str
    in_min: float | None
    boil_ibu: float
    rest_ibu: float
    chill_ibu: float
    total_ibu: float
    line_ibu: tuple[float, ...]


@dataclass(frozen=True)
class LineUp:
    """How the pipes stand for a stretch of the day, and the acts by which it comes about."""

    name: str
    start_min: float
    end_min: float
    acts: tuple[str, ...]


@dataclass(frozen=True)
class Read:
    """What was read or dosed at a minute of the day, in words; its temperature if it has one."""

    at_min: float
    words: str
    temp_c: float | None = None


@dataclass(frozen=True)
class Lines:
    """Curves of the day on one list of minutes; a curve that the plan lacks is empty."""

    time_min: tuple[float, ...] = ()
    temp_c: tuple[float, ...] = ()
    cold_l: tuple[float, ...] = ()
    dms_ug_l: tuple[float, ...] = ()


@dataclass(frozen=True)
class Day:
    """A plan as the strip draws it."""

    name: str
    rig: str
    fits: bool
    cant: tuple[str, ...]
    phases: tuple[Phase, ...]
    doses: tuple[Dose, ...]
    lines: Lines
    original_sg: float | None
    final_sg: float | None
    abv_fraction: float | None
    colour_ebc: float | None
    water_l: float | None
    batch_l: float | None
    ibu: tuple[float | None, float | None, float | None]
    method: str
    facts: tuple[Phase, ...] = ()
    """What the phases were, where a lot has run; one under way ends where the picture does."""
    reads: tuple[Read, ...] = ()
    """What was read and dosed where a lot has run."""
    came_to: tuple[tuple[str, float], ...] = ()
    """Headline numbers that were read, by the names of the fields above."""
    line_ups: tuple[LineUp, ...] = ()
    line_ups_late: bool = False
    """Whether the line-ups are still to be worked out; those here only keep their room."""

    @property
    def span_min(self) -> tuple[float, float]:
        """First and last minute of the day [min]."""
        times = [t for p in (*self.phases, *self.facts) for t in (p.start_min, p.end_min)]
        times += [read.at_min for read in self.reads]
        times += list(self.lines.time_min) if not times else []
        return (min(times), max(times)) if times else (0.0, 1.0)

    @property
    def hot_min(self) -> tuple[float, float, float] | None:
        """Start of the boil, heat-off and end of the chill [min]; None without a boil."""
        boils = [p for p in self.phases if p.name == "boil"]
        if not boils:
            return None
        hot = [p for p in self.phases if p.name in HOT_PHASES]
        return boils[0].start_min, boils[-1].end_min, max(p.end_min for p in hot)


def day_of(plan: Mapping[str, Any]) -> Day:
    """The parts of a `plan/1` mapping that the strip draws."""
    gravity = _mapping(plan.get("gravity"))
    bitterness = _mapping(plan.get("bitterness"))
    ibu = _mapping(bitterness.get("ibu"))
    lines = _lines(_mapping(plan.get("lines")))
    return Day(
        name=_words(plan.get("name")),
        rig=_words(plan.get("rig")),
        fits=plan.get("fits") is not False,
        cant=tuple(_words(one.get("text")) for one in _mappings(plan.get("cant"))),
        phases=tuple(_phases(plan, "timeline")),
        facts=tuple(_phases(plan, "facts")),
        reads=tuple(_reads(plan)),
        came_to=tuple(
            (name, value)
            for name, given in _mapping(plan.get("came_to")).items()
            if (value := _real(given)) is not None
        ),
        line_ups=tuple(_line_ups(plan)),
        doses=tuple(_doses(plan, bitterness, len(lines.time_min))),
        lines=lines,
        original_sg=_real(gravity.get("original_sg")),
        final_sg=_real(gravity.get("final_sg")),
        abv_fraction=_real(plan.get("abv_fraction")),
        colour_ebc=_real(plan.get("colour_ebc")),
        water_l=_real(plan.get("water_l")),
        batch_l=_batch(plan),
        ibu=(_real(ibu.get("low")), _real(ibu.get("mid")), _real(ibu.get("high"))),
        method=_words(bitterness.get("method")),
    )


def _real(value: Any) -> float | None:
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        return None
    return float(value)


def _words(value: Any) -> str:
    if isinstance(value, Mapping):
        value = value.get("name")
    return " ".join(str(value).split()) if value is not None else ""


def _mapping(value: Any) -> Mapping[str, Any]:
    return value if isinstance(value, Mapping) else {}


def _sequence(value: Any) -> Sequence[Any]:
    return value if isinstance(value, list | tuple) else ()


def _mappings(value: Any) -> list[Mapping[str, Any]]:
    return [one for one in _sequence(value) if isinstance(one, Mapping)]


def _batch(plan: Mapping[str, Any]) -> float | None:
    for row in _mappings(plan.get("ledger")):
        if row.get("step") == "fermenter":
            return _real(row.get("cold_l"))
    return None


def _phases(plan: Mapping[str, Any], key: str) -> list[Phase]:
    phases = []
    for row in _mappings(plan.get(key)):
        start, end = _real(row.get("start_min")), _real(row.get("end_min"))
        if start is not None and end is not None and end >= start:
            phases.append(
                Phase(
                    _words(row.get("phase")), start, end, _real(row.get("start_c")),
                    _real(row.get("end_c")), len(_sequence(row.get("cautions"))),
                )
            )
    return sorted(phases, key=lambda phase: (phase.start_min, phase.end_min))


def _reads(plan: Mapping[str, Any]) -> list[Read]:
    found = [
        Read(at_min, _words(row.get("words")), _real(row.get("temp_c")))
        for row in _mappings(plan.get("reads"))
        if (at_min := _real(row.get("at_min"))) is not None
    ]
    return sorted(found, key=lambda read: read.at_min)


def _line_ups(plan: Mapping[str, Any]) -> Iterator[LineUp]:
    """Stretches from one change-over to the next; none for a rig that tells no pipes."""
    changes: dict[float, list[Mapping[str, Any]]] = {}
    for row in _mappings(plan.get("timeline")):
        for turn in _mappings(row.get("turns")):
            at_min = _real(turn.get("at_min"))
            if at_min is not None:
                changes.setdefault(round(at_min, 6), []).append(turn)
    moments = sorted(changes)
    end_min = max((phase.end_min for phase in _phases(plan, "timeline")), default=0.0)
    for at_min, until_min in zip(moments, [*moments[1:], end_min], strict=False):
        turns = changes[at_min]
        yield LineUp(
            _words(turns[-1].get("for")), at_min, max(at_min, until_min),
            tuple(_words(turn.get("text")) for turn in turns),
        )  # fmt: skip


def _lines(lines: Mapping[str, Any]) -> Lines:
    times = _reals(lines.get("time_min"))
    if any(b < a for a, b in pairwise(times)):
        return Lines()
    count = len(times)
    return Lines(
        times, _curve(lines.get("temp_c"), count), _curve(lines.get("cold_l"), count),
        _curve(lines.get("dms_ug_l"), count),
    )


def _reals(value: Any) -> tuple[float, ...]:
    given = _sequence(value)
    # Nearly always all of them are plain numbers.
    if set(map(type, given)) <= {float} and all(map(math.isfinite, given)):
        return tuple(given)
    values = [_real(one) for one in given]
    return tuple(one for one in values if one is not None) if None not in values else ()


def _curve(value: Any, count: int) -> tuple[float, ...]:
    values = _reals(value)
    return values if len(values) == count else ()


def _doses(plan: Mapping[str, Any], bitterness: Mapping[str, Any], count: int) -> list[Dose]:
    curves = {
        _words(row.get("id")): _curve(row.get("ibu"), count)
        for row in _mappings(_mapping(plan.get("lines")).get("doses"))
    }
    doses = []
    for row in _mappings(bitterness.get("doses")):
        boil, rest, chill = (_real(row.get(f"{part}_ibu")) or 0.0 for part in PARTS)
        total = _real(row.get("total_ibu"))
        code = _words(row.get("id"))
        doses.append(
            Dose(
                code, _words(row.get("name")), _words(row.get("at")), _real(row.get("in_min")),
                boil, rest, chill, boil + rest + chill if total is None else total,
                curves.get(code, ()),
            )
        )
    return doses
