"""The day over rest length: one pass over an array of rests, for each way of holding the rest.

The water, the grist and the doses are those of the plan; only the stand before the pump, the lid
and the length of the rest differ. Every line has one entry for each rest length.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from wortline.documents.words import IntoRest, Lid
from wortline.plan.aim import Fitted
from wortline.plan.aroma_line import by_dose, followed, leading_oil, steam_of
from wortline.plan.brew import Brew
from wortline.plan.brew_day import BrewDay, brew_day, first_water_l
from wortline.plan.chill_line import comes_down
from wortline.plan.cooling import pot, rest, steps_for
from wortline.plan.hot_side import after_boil, chill_batch, dissolved_plato
from wortline.plan.ledger import volumes
from wortline.plan.loss_curve import LidCurves
from wortline.plan.strength import kettle
from wortline.science.aroma import aroma_index_g_l
from wortline.science.kettle_heating import heat_capacity_kj_k
from wortline.science.mending import wort_kg
from wortline.science.real import Real
from wortline.science.water import boiling_point_c

Array = npt.NDArray[np.float64]

LONGEST_STAND_MIN = 180.0
LEAST_REST_MIN, REST_POINTS = 60.0, 61


@dataclass(frozen=True)
class RestWay:
    """One way of holding the rest: the lid, and how cool the wort is when the pump goes on."""

    lid: Lid
    pump_on_c: float | None = None


@dataclass(frozen=True)
class RestLines:
    """What one way of holding the rest makes of every rest length; arrays of shape (rests,)."""

    way: RestWay
    stand_min: float
    pump_min: float
    day: BrewDay
    ibu: Array
    dose_ibu: tuple[Array, ...]
    dms_ug_l: Array
    rest_end_c: Array
    chilled_min: Array
    aroma_g_l: Array
    still_min: Array


def rest_lengths_min(planned_min: float) -> Array:
    """Rest lengths to look at: from none to an hour, or past a long planned rest [min].

    The planned rest is among them to the digit.
    """
    wanted_min = min(2.0 * planned_min, planned_min + LONGEST_STAND_MIN)
    longest_min = max(LEAST_REST_MIN, 5.0 * np.ceil(wanted_min / 5.0))
    even = np.linspace(0.0, longest_min, REST_POINTS)
    if planned_min > LONGEST_STAND_MIN:
        # Most happens in the first hour, whatever is planned.
        half = REST_POINTS // 2 + 1
        first = np.linspace(0.0, LEAST_REST_MIN, half)
        even = np.concatenate([first, np.linspace(LEAST_REST_MIN, longest_min, half)[1:]])
    return np.unique(np.concatenate([even, [planned_min]]))


def lines_of_ways(
    fitted: Fitted, curves: LidCurves, rests_min: Array, ways: Sequence[RestWay]
) -> list[RestLines]:
    """The lines of every way that comes about; ways of one lid are worked out in one pass."""
    lines: dict[int, RestLines] = {}
    for lid in dict.fromkeys(way.lid for way in ways):
        stands = {
            number: stand_min(fitted, curves, way)
            for number, way in enumerate(ways)
            if way.lid == lid
        }
        # A kettle that never cools so far by standing has no such way.
        stands = {number: each for number, each in stands.items() if np.isfinite(each)}
        if stands:
            lines |= _under_lid(fitted, curves, rests_min, ways, stands)
    return [lines[number] for number in sorted(lines)]


def under_lid(brew: Brew, lid: Lid) -> Brew:
    """The same day with this lid on from heat-off; the chill's lid follows if it was the same."""
    follows = brew.chill.lid == brew.whirlpool_lid
    chill = replace(brew.chill, lid=lid) if follows else brew.chill
    return replace(brew, whirlpool_lid=lid, chill=chill)


def stand_min(fitted: Fitted, curves: LidCurves, way: RestWay) -> float:
    """How long the wort stands before it is cool enough for the pump [min]; nan for never."""
    if way.pump_on_c is None:
        return float(np.mean(fitted.day.brew.stand_min))
    brew = under_lid(fitted.day.brew, way.lid)
    start_c = float(boiling_point_c(brew.air.pressure_kpa))
    if start_c <= way.pump_on_c:
        return 0.0
    litres, pot_of = fitted.day.volumes, fitted.day.pot
    plato = dissolved_plato(pot_of.postboil_plato)
    heat_kj_k = heat_capacity_kj_k(wort_kg(litres.postboil_l, plato), plato, brew.rig.metal_kj_k)
    still = pot(brew, curves.under(way.lid), litres.postboil_l, heat_kj_k)
    cooled = rest(still, brew, start_c, LONGEST_STAND_MIN, steps_for(LONGEST_STAND_MIN))
    minutes = np.concatenate([[0.0], np.cumsum(cooled.step_min)])
    falling_c = -cooled.ends_c
    if falling_c[-1] < -way.pump_on_c:
        return float("nan")
    return float(np.interp(-way.pump_on_c, falling_c, minutes))


def _under_lid(
    fitted: Fitted,
    curves: LidCurves,
    rests_min: Array,
    ways: Sequence[RestWay],
    stands: dict[int, float],
) -> dict[int, RestLines]:
    """One pass over all stands and rests under one lid; members run stand by stand."""
    count = len(rests_min)
    members = count * len(stands)
    values = {name: np.full(members, each.value) for name, each in fitted.case.inputs.items()}
    stood_min = np.repeat(np.array(list(stands.values())), count)
    rest_min = np.tile(rests_min, len(stands))
    lid = ways[next(iter(stands))].lid
    brew = with_rest(under_lid(fitted.case.assemble(values), lid), rest_min)
    day = _day(fitted, brew, curves, stood_min)
    return {
        number: _lines(day, ways[number], each_min, slice(place * count, (place + 1) * count))
        for place, (number, each_min) in enumerate(stands.items())
    }


def aroma_drawn_g_l(
    fitted: Fitted, curves: LidCurves, rests_min: Array, way: RestWay, normals: Array
) -> Array:
    """Aroma index of every rest for every row of normal draws, shape (rests, members) [g/L]."""
    drawn = fitted.case.draws(normals)[0]
    shape = len(rests_min), len(normals)
    values = {name: np.tile(each, shape[0]) for name, each in drawn.items()}
    brew = under_lid(fitted.case.assemble(values), way.lid)
    rested = with_rest(brew, np.repeat(rests_min, shape[1]))
    day = _day(fitted, rested, curves, np.asarray(fitted.day.brew.stand_min))
    return np.asarray(np.broadcast_to(aroma_g_l(day), shape[0] * shape[1])).reshape(shape)


def with_rest(brew: Brew, rest_min: Array) -> Brew:
    """The same day with these rests; a dose for later than the rest goes in at its end."""
    doses = tuple(
        replace(dose, when=_within(dose.when, rest_min))
        if isinstance(dose.when, IntoRest)
        else dose
        for dose in brew.doses
    )
    return replace(brew, doses=doses, rest_min=rest_min)


def _within(when: IntoRest, rest_min: Array) -> IntoRest:
    into_min: Any = np.minimum(when.into_min, rest_min)
    return replace(when, into_min=into_min)


def _day(fitted: Fitted, brew: Brew, curves: LidCurves, stood_min: Array) -> BrewDay:
    water_l = fitted.day.volumes.water_l
    first_l, litres = first_water_l(brew, water_l), volumes(brew, water_l, 0.0)
    made = kettle(brew, first_l, water_l - first_l, litres.preboil_l, litres.postboil_l)
    after = after_boil(
        brew,
        curves,
        litres.postboil_l,
        made.postboil_plato,
        brew.pump_min,
        brew.rest_min,
        stood_min,
    )
    return brew_day(brew, curves, float(water_l), fitted.day.method, after=after)


def _lines(day: BrewDay, way: RestWay, stood_min: float, mine: slice) -> RestLines:
    def line(values: object) -> Array:
        wide = np.broadcast_to(np.asarray(values, dtype=np.float64), np.shape(day.hot.end_min))
        return np.asarray(wide[mine])

    rested = day.hot.stretches["rest"]
    return RestLines(
        way=way,
        stand_min=stood_min,
        pump_min=float(np.mean(day.brew.pump_min)),
        day=day,
        ibu=line(day.ibu),
        dose_ibu=tuple(line(each) for each in day.dose_ibu),
        dms_ug_l=line(day.dms.beer_ug_l),
        rest_end_c=line(rested.ends_c[-1]),
        chilled_min=line(chilled_min(day)),
        aroma_g_l=line(aroma_g_l(day)),
        still_min=line(still_min(day)),
    )


def chilled_min(day: BrewDay) -> Real:
    """From heat-off to the end of the chill; nan where the chill never gets there [min]."""
    batch = chill_batch(day.brew, day.volumes.postboil_l, dissolved_plato(day.pot.postboil_plato))
    reached = comes_down(day.brew, day.hot.stretches["rest"].ends_c[-1], batch)
    return np.where(reached, day.hot.end_min - day.hot.heat_off_min, np.nan)[()]


def aroma_g_l(day: BrewDay) -> Real:
    """Aroma index of all doses that meet hot wort [g/L]; of the leading oil alone, for speed."""
    if not day.lines:
        return 0.0
    brew, wort_l = day.brew, day.volumes.wort_l
    steam = steam_of(day.hot, wort_kg(wort_l, day.strength.original_plato), day.past_lid)
    moments = by_dose([line.in_min for line in day.lines], steam.step_min.ndim)
    kept = np.asarray(followed(brew, steam, moments, leading_oil(brew)).kept)[:, 0]
    masses = by_dose([dose.mass_kg for dose in brew.doses], kept.ndim)
    index = aroma_index_g_l(masses, wort_l, kept)
    total: Real = np.where(np.isfinite(index), index, 0.0).sum(axis=0)
    return total


def still_min(day: BrewDay) -> Real:
    """How long the hops that swim free lie still before the wort is drawn [min]."""
    last_min = day.hot.start_min("rest")
    for each in day.lines:
        if each.dose.held == "free":
            last_min = np.fmax(last_min, each.in_min)
    return np.maximum(day.hot.start_min("chill") - last_min, 0.0)
