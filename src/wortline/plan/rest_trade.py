"""The trade of the rest: what every length of rest brings and costs, its knee, and the advice."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np
import numpy.typing as npt

from wortline.plan.cautions import Say
from wortline.plan.notes import DMS_TASTED_UG_L, FELT_IBU, Note
from wortline.plan.ranges import HIGH, LOW
from wortline.plan.rest_lines import RestLines
from wortline.units import say

Array = npt.NDArray[np.float64]
Levels: TypeAlias = tuple[int | None, ...]
Worth: TypeAlias = Literal["worth", "not worth", "no data"]

# Chosen, not measured: the rest is long enough once this much more time clears this little more.
LOOK_AHEAD_MIN, LEAST_GAIN = 5.0, 0.05
# Chosen: below these a rest has brought nothing, or a pump and chiller are safe without it.
LEAST_CLEARED, SAFE_LEVEL = 0.10, 2
AROMA_FELT, DMS_SEEN_UG_L, IBU_SEEN = 0.20, 5.0, 1.0
NEAR_KNEE_MIN = 4.0


@dataclass(frozen=True)
class WayTrade:
    """One way of holding the rest with everything it changes; arrays of shape (rests,).

    `clear` is the share of the solids that no longer reach the outlet; None where nothing is known.
    `aroma_drawn` is the aroma index of members, shape (rests, members): a ratio of two rests is
    taken member by member, since what is unknown of the hops is the same in both.
    """

    lines: RestLines
    aroma_index: Array | None = None
    clear: Array | None = None
    clear_low: Array | None = None
    clear_high: Array | None = None
    clog: Levels | None = None
    aroma_drawn: Array | None = None

    def aroma_ends(self) -> tuple[Array, Array] | None:
        """Lowest and highest aroma index against no rest, in 8 of 10 days; None without members."""
        if self.aroma_drawn is None or self.aroma_index is None:
            return None
        against = 100.0 * self.aroma_drawn / self.aroma_drawn[0]
        low, high = np.percentile(against, [LOW, HIGH], axis=1)
        return np.minimum(low, self.aroma_index), np.maximum(high, self.aroma_index)


@dataclass(frozen=True)
class RestTrade:
    """The trade of the rest; the first way is the planned one."""

    rest_min: Array
    planned_min: float
    ways: tuple[WayTrade, ...]
    knee_min: float | None
    worth: Worth
    verdict: str
    notes: tuple[Note, ...]
    say: Say


def knee_min(rest_min: Array, clear: Array | None) -> float | None:
    """The shortest rest after which a little more clears next to nothing [min]; None for none.

    Five more minutes that clear less than 5 % of all solids are not worth waiting for. That is a
    choice, not a law.
    """
    if clear is None or not np.isfinite(clear).all():
        return None
    last_min = rest_min[-1] - LOOK_AHEAD_MIN
    shown = rest_min[rest_min <= last_min]
    gain = np.interp(shown + LOOK_AHEAD_MIN, rest_min, clear) - np.interp(shown, rest_min, clear)
    # A swirl that still stirs gains little at first: what counts is the end of the last steep part.
    steep = np.flatnonzero(gain >= LEAST_GAIN)
    if not len(steep):
        return float(shown[0])
    after = int(steep[-1]) + 1
    return float(shown[after]) if after < len(shown) else None


def rest_trade(
    rest_min: Array, planned_min: float, ways: tuple[WayTrade, ...], spoken: Say = say
) -> RestTrade:
    """Weigh the ways against each other and name the knee."""
    first = ways[0]
    knee = knee_min(rest_min, first.clear)
    worth, verdict = _verdict(rest_min, first, knee)
    noted = (
        Note("rest-knee", "note" if worth == "worth" else "warn", verdict),
        *_planned(rest_min, planned_min, first, knee),
        *_others(rest_min, planned_min, ways, spoken),
    )
    return RestTrade(rest_min, planned_min, ways, knee, worth, verdict, noted, spoken)


def _at(rest_min: Array, values: Array, at_min: float) -> float:
    return float(np.interp(at_min, rest_min, values))


def _level(rest_min: Array, levels: Levels | None, at_min: float) -> int | None:
    if levels is None:
        return None
    return levels[int(np.searchsorted(rest_min, at_min + 1e-9, side="right")) - 1]


def signed(value: float, digits: int = 0) -> str:
    """A change with its sign; one that rounds to nothing has none."""
    shown = f"{value:+.{digits}f}"
    return shown.lstrip("+-") if not float(shown) else shown


def _changes(ibu: float, dms_ug_l: float) -> str:
    """A change of bitterness and DMS, without what rounds to nothing."""
    changes = ((signed(ibu, 1), "IBU"), (signed(dms_ug_l), "µg/L DMS"))
    said = [f"{number} {unit}" for number, unit in changes if float(number)]
    return ", ".join(said) or "no change in bitterness or DMS"


@dataclass(frozen=True)
class _Cost:
    """What a rest of one length changes against another, on one way."""

    ibu: float
    dms_ug_l: float
    dms_to_ug_l: float
    aroma_times: float | None
    aroma_ends: tuple[float, float] | None
    clear_from: float | None
    clear_to: float | None
    level_from: int | None
    level_to: int | None

    @property
    def said(self) -> str:
        """The costs in words."""
        words = [_changes(self.ibu, self.dms_ug_l)]
        if self.aroma_times is not None:
            ends = self.aroma_ends
            spread = f" ({ends[0]:.2f} to {ends[1]:.2f})" if ends else ""
            words.append(f"aroma x {self.aroma_times:.2f}{spread}")
        return ", ".join(words)


def _cost(rest_min: Array, way: WayTrade, from_min: float, to_min: float) -> _Cost:
    lines = way.lines

    def pair(values: Array) -> tuple[float, float]:
        return _at(rest_min, values, from_min), _at(rest_min, values, to_min)

    ibu, dms = pair(lines.ibu), pair(lines.dms_ug_l)
    aroma = None if way.aroma_index is None else pair(way.aroma_index)
    clear = (None, None) if way.clear is None else pair(way.clear)
    times = aroma[1] / aroma[0] if aroma and aroma[0] > 0.0 else None
    return _Cost(
        ibu=ibu[1] - ibu[0],
        dms_ug_l=dms[1] - dms[0],
        dms_to_ug_l=dms[1],
        aroma_times=times,
        aroma_ends=None if times is None else _aroma_ends(rest_min, way, from_min, to_min, times),
        clear_from=clear[0],
        clear_to=clear[1],
        level_from=_level(rest_min, way.clog, from_min),
        level_to=_level(rest_min, way.clog, to_min),
    )


def _aroma_ends(
    rest_min: Array, way: WayTrade, from_min: float, to_min: float, times: float
) -> tuple[float, float] | None:
    """How far the change of the aroma between two rests may be off; None without members."""
    if way.aroma_drawn is None:
        return None
    first, then = (
        np.array([_at(rest_min, each, at_min) for each in way.aroma_drawn.T])
        for at_min in (from_min, to_min)
    )
    low, high = (float(each) for each in np.percentile(then / first, [LOW, HIGH]))
    return min(low, times), max(high, times)


def _verdict(rest_min: Array, way: WayTrade, knee: float | None) -> tuple[Worth, str]:
    if way.clear is None:
        return "no data", "No data on how your kettle clears. The other lines stand."
    if knee is None:
        return "worth", (
            f"No knee within {rest_min[-1]:.0f} min: five more minutes still clear more than"
            f" {100 * LEAST_GAIN:.0f} % of the solids at the end. A guess until your own readings."
        )
    cost = _cost(rest_min, way, 0.0, knee)
    cleared = (cost.clear_to or 0.0) - (cost.clear_from or 0.0)
    clog = _clog_words(cost) + _next_drop(rest_min, way, knee) + _unpumped(way)
    if cleared < LEAST_CLEARED:
        return "not worth", (
            f"For you, not worth it: a rest clears only {100 * cleared:.0f} % more of the solids on"
            f" this kettle, and {knee:.0f} min of it mean {cost.said}.{clog}"
        )
    if _safe_without(cost):
        return "not worth", (
            f"For you, not worth it for the pump's sake: the clog caution is {cost.level_from}"
            f" without any rest. {knee:.0f} min would clear {100 * cleared:.0f} % more of the"
            f" solids and mean {cost.said}; rest if you want clearer wort in the fermenter."
        )
    return "worth", (
        f"Knee at {knee:.0f} min: {LOOK_AHEAD_MIN:.0f} more minutes clear less than"
        f" {100 * LEAST_GAIN:.0f} % of the solids. Until there the rest clears"
        f" {100 * cleared:.0f} % more than none and means {cost.said}.{clog}{_mend(cost)}"
    )


def _safe_without(cost: _Cost) -> bool:
    """Whether pump and chiller are as safe without any rest."""
    return cost.level_from is not None and cost.level_from <= SAFE_LEVEL


def _clog_words(cost: _Cost) -> str:
    if cost.level_from is None or cost.level_to is None:
        return ""
    if cost.level_from == cost.level_to:
        return f" The clog caution stays {cost.level_to}."
    return f" The clog caution goes from {cost.level_from} to {cost.level_to}."


def _unpumped(way: WayTrade) -> str:
    if way.lines.pump_min > 0.0:
        return ""
    return (
        " Without a whirlpool it settles all over the floor, around the outlet too, and makes no"
        " cone."
    )


def _next_drop(rest_min: Array, way: WayTrade, knee: float) -> str:
    """Where the clog caution falls soon after the knee."""
    here = _level(rest_min, way.clog, knee)
    for at_min, level in zip(rest_min, way.clog or (), strict=False):
        soon = knee < at_min <= knee + LOOK_AHEAD_MIN
        if soon and here is not None and level is not None and level < here:
            return f" At {at_min:.0f} min it falls to {level}."
    return ""


def _mend(cost: _Cost) -> str:
    """What to do about what the rest costs."""
    if cost.dms_to_ug_l > DMS_TASTED_UG_L and cost.dms_ug_l > 0.0:
        return " DMS could then be tasted: lid off, or boil longer."
    if cost.aroma_times is not None and cost.aroma_times < 1.0 - AROMA_FELT:
        return " Put late hops in later into the rest to keep their aroma."
    if cost.ibu >= FELT_IBU:
        return " Move the doses by their shift and the beer is no more bitter than without."
    return ""


def _planned(
    rest_min: Array, planned_min: float, way: WayTrade, knee: float | None
) -> Iterator[Note]:
    """How the planned rest stands to the knee."""
    if knee is None or way.clear is None or abs(planned_min - knee) < NEAR_KNEE_MIN:
        return
    if planned_min > knee:
        cost = _cost(rest_min, way, knee, planned_min)
        more = 100 * ((cost.clear_to or 0.0) - (cost.clear_from or 0.0))
        yield Note(
            "rest-past-knee",
            "note",
            f"You plan {planned_min:.0f} min, {planned_min - knee:.0f} past the knee: they clear"
            f" {more:.0f} % more and mean {cost.said}.",
        )
        return
    gone = 100 * _at(rest_min, way.clear, planned_min)
    cost = _cost(rest_min, way, planned_min, knee)
    planned = f"You plan {planned_min:.0f} min, {knee - planned_min:.0f} short of the knee:"
    if planned_min == 0.0:
        planned = f"You plan no rest; the knee is at {knee:.0f} min:"
    share = f"about {gone:.0f} %" if gone >= 0.5 else "next to none"
    yield Note(
        "rest-before-knee",
        "note",
        f"{planned} {share} of the solids are gone by then. Waiting for the knee means {cost.said}."
        f"{_clog_words(cost)}",
    )


def _others(
    rest_min: Array, planned_min: float, ways: tuple[WayTrade, ...], spoken: Say
) -> Iterator[Note]:
    """What the lid or a cooler start of the pump would change at the planned rest."""
    first = ways[0].lines
    for way in ways[1:]:
        lines = way.lines
        ibu = _at(rest_min, lines.ibu - first.ibu, planned_min)
        dms = _at(rest_min, lines.dms_ug_l - first.dms_ug_l, planned_min)
        later = _at(rest_min, lines.chilled_min - first.chilled_min, planned_min)
        # A chill that never gets there has no end to compare.
        later = later if np.isfinite(later) else 0.0
        if max(abs(ibu) / IBU_SEEN, abs(dms) / DMS_SEEN_UG_L, abs(later) / NEAR_KNEE_MIN) < 1.0:
            continue
        aroma = ""
        if way.aroma_index is not None and ways[0].aroma_index is not None:
            times = _at(rest_min, way.aroma_index / ways[0].aroma_index, planned_min)
            aroma = f", aroma x {times:.2f}"
        when = f"{abs(later):.0f} min {'later' if later > 0.0 else 'earlier'}"
        ends = "as soon" if abs(later) < 0.5 else when
        chill = f", the chill ends {ends}" if np.isfinite(lines.chilled_min).all() else ""
        waits = f" It waits {lines.stand_min:.0f} min for that." if lines.stand_min >= 0.5 else ""
        yield Note(
            "rest-otherwise",
            "note",
            f"The same rest with {way_words(way, spoken)}: {_changes(ibu, dms)}"
            f"{aroma}{chill}.{waits}",
        )


def way_words(way: WayTrade, spoken: Say) -> str:
    """What sets a way apart, in words."""
    lid = {"on": "the lid on", "off": "the lid off"}.get(way.lines.way.lid.kind, "the lid ajar")
    on_c = way.lines.way.pump_on_c
    return lid if on_c is None else f"{lid} and the pump on at {spoken(on_c, 'temperature')}"
