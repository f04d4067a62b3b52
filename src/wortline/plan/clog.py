"""Clog caution: how near pump, hose or chiller are to choking on hops, as 1 to 5, and why.

An order, no measure: every step is common practice, no source, but for what is said beside it.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import floor, isfinite
from typing import Literal

import numpy as np

from wortline.documents.plumbing import PipePart
from wortline.plan.brew import Dose, Held
from wortline.plan.brew_day import BrewDay
from wortline.plan.notes import Note
from wortline.units import retold

LOADS_G_L = (0.5, 2.0, 5.0)
"""Loose hops for each litre at which the caution begins and rises. About 100 g in a kettle of 36 cm
bring the cone to the outlet: 3 to 5 g/L."""
PELLETS_PASS_MESH = 0.25
"""Share of pellets that a mesh of 300 to 400 um, or a bag, lets into the wort: 20 to 30 %."""
WIDE_M, NARROW_M = 0.010, 0.003
"""Hoses of 10 mm and more pass hops; narrower than 3 mm are the gaps of plates (1.5 to 2.5 mm)."""
SCREEN_TO_GAP = 3.0
"""A screen protects what is this many times wider: bits bridge from a third of a gap up."""
STILL_MIN = (5.0, 15.0)
"""Minutes of rest after which about half, and about four fifths, of the hops have settled."""
LEVELS = (1, 5)
WARN_LEVEL = 4


@dataclass(frozen=True)
class Passage:
    """A narrow place of the wort's way."""

    part: str
    noun: str
    opening_m: float


@dataclass(frozen=True)
class WortWay:
    """What the wort runs through: None is no data; a kettle that tells no screen has none."""

    told: bool = False
    screen_m: float | None = None
    narrowest: Passage | None = None
    lacking: tuple[str, ...] = ()


@dataclass(frozen=True)
class HopLoad:
    """Loose hops for each litre of wort, the cones among them, how long the free ones lie still."""

    loose_g_l: float
    cones_g_l: float
    still_min: float
    rest_helps: bool = True
    is_free: bool = True


@dataclass(frozen=True)
class FlowAnswer:
    """What a brewer said to "did the flow drop?" on a day of this level."""

    level: int
    dropped: bool


@dataclass(frozen=True)
class ClogReason:
    """One thing that raises or lowers the caution; `value` None is no data."""

    code: Literal["load", "form", "gap", "screen", "rest"]
    points: int
    value: float | None
    text: str


@dataclass(frozen=True)
class WayDown:
    """One change that lowers the caution; `add_min` or `doses` where it is of that kind."""

    do: Literal["rest", "contain", "screen"]
    level: int
    text: str
    add_min: float | None = None
    doses: tuple[str, ...] = ()


@dataclass(frozen=True)
class Clog:
    """The caution; `low` and `high` differ from it where the rig does not tell its pipes."""

    level: int | None
    low: int | None
    high: int | None
    reasons: tuple[ClogReason, ...]
    ways_down: tuple[WayDown, ...]
    answers: int
    dropped: int


def wort_way(parts: Mapping[str, PipePart] | None) -> WortWay:
    """The narrow places of a rig's plumbing; nothing is known of a rig that tells none."""
    if parts is None:
        return WortWay()
    found, lacking = [], []
    screen_m = None
    for part in parts.values():
        if part.kind == "kettle" and part.screen is not None:
            screen_m = part.screen.value
        if part.kind == "pump":
            lacking.append(part.name)
        if part.kind == "chiller" and part.form == "immersion":
            continue
        widths = [each.value for each in (part.bore, part.barb, part.gap) if each is not None]
        if widths:
            found.append(Passage(part.name, part.noun, min(widths)))
        elif part.kind in {"hose", "chiller"}:
            lacking.append(part.name)
    narrowest = min(found, key=lambda each: each.opening_m, default=None)
    return WortWay(True, screen_m, narrowest, tuple(lacking))


def hop_load(day: BrewDay, doses: Sequence[Dose] | None = None) -> HopLoad:
    """What swims loose at the outlet on this day, or if the doses were held otherwise."""
    doses = day.brew.doses if doses is None else doses
    chill_min, rest_min = float(day.hot.start_min("chill")), float(day.hot.start_min("rest"))
    litres = float(day.volumes.wort_l)
    loose_kg = cones_kg = free_kg = 0.0
    last_min = rest_min
    for dose, line in zip(doses, day.lines, strict=True):
        share = loose_share(dose.form, dose.held)
        # Dry hops, and doses for a temperature that never comes, do not meet the outlet.
        if share == 0.0 or np.isnan(line.in_min):
            continue
        loose_kg += share * float(dose.mass_kg)
        cones_kg += share * float(dose.mass_kg) if dose.form == "cones" else 0.0
        # What leaks from a bag counts as load; the loose hops of the other doses lie still anyway.
        if dose.held == "free":
            free_kg += float(dose.mass_kg)
            last_min = max(last_min, float(line.in_min))
    return HopLoad(
        1000.0 * loose_kg / litres,
        1000.0 * cones_kg / litres,
        max(chill_min - last_min, 0.0),
        last_min < chill_min or last_min == rest_min,
        free_kg > 0.0,
    )


def loose_share(form: str, held: Held) -> float:
    """Share of a dose that swims loose in the wort [-]."""
    if held == "free":
        return 1.0
    return PELLETS_PASS_MESH if form == "pellets" else 0.0


def reasons(load: HopLoad, way: WortWay) -> tuple[ClogReason, ...]:
    """Everything that counts, with its points; what is not told counts as a middling rig."""
    load_class = sum(load.loose_g_l >= limit for limit in LOADS_G_L)
    whence = "swim loose" if load.is_free else "leak from bag and mesh into the wort"
    begins = f"(the caution begins at {LOADS_G_L[0]:g} g/L)"
    text = f"{load.loose_g_l:.1f} g/L of hops {whence} {begins}."
    if not load.loose_g_l > 0.0:
        text = "No hops get loose into the wort."
    found = [ClogReason("load", load_class, load.loose_g_l, text)]
    if load_class:
        found += [*_form(load, way), _gap(way), _screen(way), _rest(load)]
    return tuple(found)


def _form(load: HopLoad, way: WortWay) -> Iterator[ClogReason]:
    if load.cones_g_l >= LOADS_G_L[0] and way.screen_m is None:
        text = f"{load.cones_g_l:.1f} g/L of that are cones: whole leaves lie across an outlet."
        yield ClogReason("form", 1, load.cones_g_l, text)


def _gap(way: WortWay) -> ClogReason:
    if way.narrowest is None:
        why = "this rig tells no plumbing" if not way.told else "no part tells its width"
        return ClogReason(
            "gap", 1, None, f"Narrowest place: no data, {why}; a middling one counts."
        )
    width_m = way.narrowest.opening_m
    points = 0 if width_m >= WIDE_M else 1 if width_m >= NARROW_M else 2
    text = f"The narrowest place is {way.narrowest.part}, {1000 * width_m:.1f} mm."
    if way.lacking:
        text += f" No data: {', '.join(way.lacking)}."
    return ClogReason("gap", points, width_m, text)


def _screen(way: WortWay) -> ClogReason:
    if not way.told:
        return ClogReason("screen", 1, None, "Screen: no data; none is counted.")
    if way.screen_m is None:
        return ClogReason("screen", 1, None, "No screen stands before the outlet.")
    said = f"The screen's holes are {1000 * way.screen_m:.2f} mm"
    if way.narrowest is None:
        return ClogReason("screen", 1, way.screen_m, f"{said}; what they guard: no data.")
    most_m = way.narrowest.opening_m / SCREEN_TO_GAP
    if way.screen_m <= most_m:
        text = (
            f"{said}, no more than a third of the narrowest place. The screen is now what can clog:"
            " watch the flow, it shows little until nearly all is covered."
        )
        return ClogReason("screen", 0, way.screen_m, text)
    text = f"{said}, more than a third of the narrowest place ({1000 * most_m:.2f} mm)."
    return ClogReason("screen", 1, way.screen_m, text)


def _rest(load: HopLoad) -> ClogReason:
    points = -sum(load.still_min >= limit for limit in STILL_MIN)
    text = f"Hops that swim free lie still for {load.still_min:.0f} min before the wort is drawn."
    if not load.is_free:
        text = f"What has leaked lies still for {load.still_min:.0f} min before the wort is drawn."
    return ClogReason("rest", points, load.still_min, text)


def level_of(found: Sequence[ClogReason]) -> int:
    """The level, 1 to 5."""
    if found[0].points == 0:
        return LEVELS[0]
    return min(max(sum(each.points for each in found), LEVELS[0]), LEVELS[1])


def level(load: HopLoad, way: WortWay) -> int | None:
    """The level alone; None where the day has no numbers."""
    if not (isfinite(load.loose_g_l) and load.loose_g_l >= 0.0 and isfinite(load.still_min)):
        return None
    return level_of(reasons(load, way))


def bounds(load: HopLoad, way: WortWay) -> tuple[int, int]:
    """The level if all that is not told were at its best, and at its worst."""
    if way.told and way.narrowest is not None:
        only = level_of(reasons(load, way))
        return only, only
    if way.told:
        best = replace(way, narrowest=Passage("", "", max(WIDE_M, 4.0 * (way.screen_m or 0.0))))
        worst = replace(way, narrowest=Passage("", "", 1e-6))
    else:
        best = WortWay(True, WIDE_M / SCREEN_TO_GAP / 2.0, Passage("", "", WIDE_M))
        worst = WortWay(True, None, Passage("", "", 0.5 * NARROW_M))
    return level_of(reasons(load, best)), level_of(reasons(load, worst))


def clog(day: BrewDay, way: WortWay, answers: Sequence[FlowAnswer] = ()) -> Clog:
    """The caution of a day with its reasons and the ways down, the cheapest first.

    Answers to "did the flow drop?" are counted and not used yet.
    """
    dropped = sum(answer.dropped for answer in answers)
    load = hop_load(day)
    now = level(load, way)
    if now is None:
        return Clog(None, None, None, (), (), len(answers), dropped)
    low, high = bounds(load, way)
    ways = tuple(_ways_down(day, load, way, now))
    return Clog(now, low, high, reasons(load, way), ways, len(answers), dropped)


def retold_clog(found: Clog, system: str) -> Clog:
    """The same caution with its sentences in the units of a system."""
    return replace(
        found,
        reasons=tuple(replace(each, text=retold(each.text, system)) for each in found.reasons),
        ways_down=tuple(replace(each, text=retold(each.text, system)) for each in found.ways_down),
    )


def clog_notes(found: Clog) -> Iterator[Note]:
    """The warning of a high caution: why, and the cheapest way down."""
    if found.level is None or found.level < WARN_LEVEL:
        return
    span = (
        "" if found.low == found.high else f" ({found.low} to {found.high}: no data of your pipes)"
    )
    why = " ".join(
        each.text for each in found.reasons if each.points > 0 and each.value is not None
    )
    down = ""
    if found.ways_down:
        way = found.ways_down[0]
        down = f" Cheapest way down, to {way.level}: {way.text[0].lower()}{way.text[1:]}"
    yield Note("clog", "warn", f"Clog caution {found.level} of 5{span}. {why}{down}")


def _ways_down(day: BrewDay, load: HopLoad, way: WortWay, now: int) -> Iterator[WayDown]:
    """What lowers the level, by price: minutes, then a bag and what it keeps, then a new part."""
    for limit in STILL_MIN:
        if not load.rest_helps or load.still_min >= limit:
            continue
        after = level(replace(load, still_min=limit), way)
        if after is not None and after < now:
            more_min = limit - load.still_min
            text = f"Rest {more_min:.0f} min longer: more hops lie in the cone."
            yield WayDown("rest", after, text, add_min=more_min)
            break
    free = [
        line.dose for line in day.lines if line.dose.held == "free" and np.isfinite(line.in_min)
    ]
    bagged: tuple[str, ...] = ()
    # The biggest first, as few as it takes.
    for dose in sorted(free, key=lambda each: -float(each.mass_kg)):
        bagged += (dose.id,)
        after = level(hop_load(day, held_so(day, bagged, "bag")), way)
        if after is not None and after < now:
            said = ", ".join(
                f"{each.name} ({each.typed_when})" for each in free if each.id in bagged
            )
            yield WayDown("contain", after, f"Put into a bag or mesh: {said}.", doses=bagged)
            break
    if way.narrowest is not None:
        most_m = way.narrowest.opening_m / SCREEN_TO_GAP
        after = level(load, replace(way, screen_m=most_m))
        if after is not None and after < now:
            finer_mm = floor(1e5 * most_m) / 100.0
            text = f"Put a screen of {finer_mm:.2f} mm or finer before the outlet."
            yield WayDown("screen", after, text)


def held_so(day: BrewDay, dose_ids: Collection[str], held: Held) -> tuple[Dose, ...]:
    """The doses of the day with some of them held otherwise."""
    return tuple(
        replace(dose, held=held) if dose.id in dose_ids else dose for dose in day.brew.doses
    )
