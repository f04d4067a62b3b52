"""The hot side: the temperature of the wort from the lift to the end of the chill.

Minutes here count from the lift. The curve is cut into stretches (lift, to boil, boil, whirlpool,
rest, chill) of equal step counts for all members; only the lengths of the steps differ.
"""

from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from wortline.documents.words import (
    BeforeHeatOff,
    Below,
    DryHop,
    FirstWort,
    HeatOff,
    IntoRest,
    When,
)
from wortline.plan.brew import Brew
from wortline.plan.chill_line import chill_curve
from wortline.plan.cooling import Stretch, fall, heat, pot, rest, steps_for
from wortline.plan.loss_curve import LidCurves
from wortline.science.chiller import Batch
from wortline.science.extract import STRONGEST_PLATO
from wortline.science.isomerisation import HotTime, hot_time
from wortline.science.kettle_heating import heat_capacity_kj_k
from wortline.science.mending import wort_kg
from wortline.science.real import Real
from wortline.science.standards import COLD_C
from wortline.science.water import boiling_point_c, density_kg_m3

Array = npt.NDArray[np.float64]

LIFT_STEPS, HEAT_STEPS = 3, 10
Rested: TypeAlias = tuple[Stretch, Stretch, Stretch]
"""Whirlpool, rest and chill."""

STRETCHES = ("lift", "to_boil", "boil", "whirlpool", "rest", "chill")


@dataclass(frozen=True)
class HotSide:
    """Temperature and steam of the hot side, stretch by stretch."""

    stretches: dict[str, Stretch]
    boiling_c: Real
    rest_loss_l: Real

    @cached_property
    def starts_min(self) -> dict[str, Real]:
        """When each stretch begins, in minutes from the lift [min]."""
        lengths = [self.stretches[name].minutes_min for name in STRETCHES[:-1]]
        return dict(zip(STRETCHES, accumulate(lengths, initial=0.0), strict=True))

    @cached_property
    def kinetics(self) -> HotTime:
        """The curve as the kinetics of hop acids need it."""
        return hot_time(self.mid_c, self.step_min, self.hot_share)

    def start_min(self, name: str) -> Real:
        """When a stretch begins, in minutes from the lift [min]."""
        return self.starts_min[name]

    @property
    def heat_off_min(self) -> Real:
        """When the element goes off, in minutes from the lift [min]."""
        return self.start_min("whirlpool")

    @cached_property
    def end_min(self) -> Real:
        """When the chill ends, in minutes from the lift [min]."""
        return self.start_min("chill") + self.stretches["chill"].minutes_min

    @cached_property
    def step_min(self) -> Array:
        """Lengths of the steps of all stretches on one axis [min]."""
        return self._joined("step_min")

    @cached_property
    def mid_c(self) -> Array:
        """Temperature of every step [C]."""
        return self._joined("mid_c")

    @cached_property
    def steam_kg(self) -> Array:
        """What evaporates in every step [kg]."""
        return self._joined("steam_kg")

    @cached_property
    def hot_share(self) -> Array | None:
        """Share of the wort that is as hot in every step; None where that is all of it [-]."""
        if all(each.in_kettle is None for each in self.stretches.values()):
            return None
        return self._joined("hot_share")

    def _joined(self, field: str) -> Array:
        pieces = [getattr(self.stretches[name], field) for name in STRETCHES]
        members = np.broadcast_shapes(*(piece.shape[1:] for piece in pieces))
        if any(piece.shape[1:] != members for piece in pieces):
            pieces = [np.broadcast_to(piece, (len(piece), *members)) for piece in pieces]
        return np.concatenate(pieces)

    @property
    def boiling(self) -> npt.NDArray[np.bool_]:
        """Which steps are of the boil, shape (steps,)."""
        counts = [len(self.stretches[name].step_min) for name in STRETCHES]
        return np.repeat([name == "boil" for name in STRETCHES], counts)


def dissolved_plato(extract_plato: Real) -> Real:
    """The strength for heat's sake: what cannot dissolve is as the strongest syrup [degP]."""
    return np.where(np.isnan(extract_plato), STRONGEST_PLATO, extract_plato)[()]


def before_boil(
    brew: Brew, curves: LidCurves, preboil_l: Real, extract_plato: Real, lift_c: Real
) -> tuple[Stretch, Stretch]:
    """The lift (element off, lid off) and the heating to the boil."""
    extract_plato = dissolved_plato(extract_plato)
    mass_kg = wort_kg(preboil_l, extract_plato)
    heat_kj_k = heat_capacity_kj_k(mass_kg, extract_plato, brew.rig.metal_kj_k)
    open_pot = pot(brew, curves.off, preboil_l, heat_kj_k)
    lift = rest(open_pot, brew, lift_c, brew.rig.drain_min, LIFT_STEPS)
    lidded = pot(brew, curves.under(brew.heating_lid), preboil_l, heat_kj_k)
    boiling_c = boiling_point_c(brew.air.pressure_kpa)
    return lift, heat(lidded, brew, lift.ends_c[-1], boiling_c, HEAT_STEPS)


def chill_batch(brew: Brew, cold_l: Real, extract_plato: Real) -> Batch:
    """The wort that is chilled, in its kettle."""
    mass_kg = wort_kg(cold_l, extract_plato)
    return Batch(mass_kg, heat_capacity_kj_k(1.0, extract_plato), brew.rig.metal_kj_k)


def after_boil(
    brew: Brew,
    curves: LidCurves,
    postboil_l: Real,
    extract_plato: Real,
    pump_min: Real,
    rest_min: Real,
    stand_min: Real | None = None,
) -> Rested:
    """Whirlpool, rest and chill, with their steam.

    The wort first stands as long as the day says, or for `stand_min`, with the pump off; the stand
    is counted with the whirlpool.
    """
    extract_plato = dissolved_plato(extract_plato)
    mass_kg = wort_kg(postboil_l, extract_plato)
    heat_kj_k = heat_capacity_kj_k(mass_kg, extract_plato, brew.rig.metal_kj_k)
    curve = curves.under(brew.whirlpool_lid)
    start_c = boiling_point_c(brew.air.pressure_kpa)
    still = pot(brew, curve, postboil_l, heat_kj_k)
    stood = None
    stand_min = brew.stand_min if stand_min is None else stand_min
    if np.any(stand_min):
        stood = rest(still, brew, start_c, stand_min, steps_for(stand_min))
        start_c = stood.ends_c[-1]
    spun = rest(
        pot(brew, curve, postboil_l, heat_kj_k, pumped=True),
        brew,
        start_c,
        pump_min,
        steps_for(pump_min),
    )
    rested = rest(still, brew, spun.ends_c[-1], rest_min, steps_for(rest_min))
    line = chill_curve(brew, rested.ends_c[-1], chill_batch(brew, postboil_l, extract_plato))
    chilling = pot(brew, curves.under(brew.chill.lid), postboil_l, heat_kj_k)
    whirled = spun if stood is None else stood.then(spun)
    return whirled, rested, fall(chilling, brew, *line)


def steam_l(*stretches: Stretch) -> Real:
    """What evaporates in these stretches, as cold litres of water [L]."""
    kg = sum((stretch.steam_kg.sum(axis=0) for stretch in stretches), 0.0)
    return kg / density_kg_m3(COLD_C) * 1000.0


def hot_side(
    brew: Brew,
    curves: LidCurves,
    preboil_l: Real,
    postboil_l: Real,
    preboil_plato: Real,
    postboil_plato: Real,
    lift_c: Real,
    after: Rested | None = None,
) -> HotSide:
    """The whole curve from the lift to the end of the chill; what is after the boil if known."""
    lift, to_boil = before_boil(brew, curves, preboil_l, preboil_plato, lift_c)
    if after is None:
        after = after_boil(brew, curves, postboil_l, postboil_plato, brew.pump_min, brew.rest_min)
    return assembled(brew, lift, to_boil, after)


def without_rest(
    brew: Brew, curves: LidCurves, day: HotSide, postboil_l: Real, plato: Real
) -> HotSide:
    """The same day with the chill starting at heat-off."""
    after = after_boil(brew, curves, postboil_l, plato, 0.0, 0.0, 0.0)
    return assembled(brew, day.stretches["lift"], day.stretches["to_boil"], after)


def assembled(brew: Brew, lift: Stretch, to_boil: Stretch, after: Rested) -> HotSide:
    """Put the stretches in order; the boil is one step, its temperature does not change."""
    boiling_c = np.asarray(boiling_point_c(brew.air.pressure_kpa))
    boil_min = np.asarray(brew.boil_min + 0.0 * boiling_c)[np.newaxis]
    steam_kg_h = brew.rig.boil_off_l_h * density_kg_m3(COLD_C) / 1000.0
    boil = Stretch(
        step_min=boil_min,
        mid_c=boiling_c[np.newaxis],
        ends_c=np.stack([boiling_c, boiling_c]),
        steam_kg=boil_min * steam_kg_h / 60.0,
    )
    stretches = dict(zip(STRETCHES, (lift, to_boil, boil, *after), strict=True))
    return HotSide(stretches, boiling_c, steam_l(*after))


def in_moment(day: HotSide, when: When) -> Real:
    """When a dose goes in, in minutes from the lift; nan where that moment never comes [min]."""
    match when:
        case BeforeHeatOff(before_min):
            return day.heat_off_min - before_min
        case HeatOff():
            return day.heat_off_min
        case FirstWort():
            return 0.0 * day.heat_off_min
        case IntoRest(into_min):
            return day.start_min("rest") + into_min
        case Below(below_c):
            return first_below(day, below_c)
        case DryHop():
            return np.nan * day.heat_off_min


def first_below(day: HotSide, temp_c: Real) -> Real:
    """First moment of rest or chill at or below a temperature [min]; nan if there is none."""
    rested, chilled = day.stretches["rest"], day.stretches["chill"]
    # A kettle drawn in one pass is never as cold as what has left it.
    last = None if chilled.in_kettle is None else -1
    ends_c = np.concatenate([rested.ends_c, chilled.ends_c[1:last]])
    step_min = np.concatenate([rested.step_min, chilled.step_min[:last]])
    time_min = np.concatenate([np.zeros_like(step_min[:1]), np.cumsum(step_min, axis=0)])
    # The last end of a chill may miss its target by rounding.
    reached = ends_c <= temp_c + 1e-9
    index = np.argmax(reached, axis=0)[np.newaxis]
    earlier = np.maximum(index - 1, 0)
    high_c, low_c = (np.take_along_axis(ends_c, each, axis=0)[0] for each in (earlier, index))
    from_min, to_min = (np.take_along_axis(time_min, each, axis=0)[0] for each in (earlier, index))
    span_dk = high_c - low_c
    share = np.where(span_dk > 0.0, (high_c - temp_c) / np.where(span_dk > 0.0, span_dk, 1.0), 1.0)
    moment = from_min + np.clip(share, 0.0, 1.0) * (to_min - from_min)
    return day.start_min("rest") + np.where(reached.any(axis=0), moment, np.nan)
