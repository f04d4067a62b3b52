"""The hot time of one brewing day by `scipy.integrate.solve_ivp`: same equations, same loss table.

The state is the temperature of the wort and, for each dose, its dissolved alpha acids and the
iso-alpha acids grown from them. Nothing is shared with the plan but the table of losses, the rates
and what is typed. A right-hand side in plain floats is several times quicker here than one in
arrays, so the comparison is with the solver at its best.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import exp, log

import numpy as np
import numpy.typing as npt
from scipy.integrate import solve_ivp  # type: ignore[import-untyped]

from wortline.documents.words import BeforeHeatOff, FirstWort, HeatOff, IntoRest
from wortline.plan.brew import Brew
from wortline.plan.brew_day import BrewDay, lift_c
from wortline.plan.cooling import Pot, pot
from wortline.plan.loss_curve import LidCurves
from wortline.science.kettle_heating import heat_capacity_kj_k
from wortline.science.mending import wort_kg
from wortline.science.real import Real
from wortline.science.water import boiling_point_c

Array = npt.NDArray[np.float64]
Pace = Callable[[float], float]

CLOSE, CLOSE_AMOUNT = 1e-8, 1e-10
ZERO_C_K = 273.15


@dataclass(frozen=True)
class Stepped:
    """Temperatures at the ends of lift, whirlpool, rest and chill, and iso share of each dose."""

    ends_c: dict[str, float]
    iso_share: list[float]


def pace_of(kettle: Pot, brew: Brew, power_w: float = 0.0) -> Pace:
    """How fast the wort warms [K/min] at a temperature, from the table, straight between points."""
    cells = np.arange(kettle.curve.rows.shape[-1])
    area_m2 = float(kettle.surface_m2 * kettle.surface_factor)
    surface_w_m2, wall_w_m2 = kettle.curve.heat_on_grid_w_m2(cells, brew.air)
    table_w: list[float] = (area_m2 * surface_w_m2 + float(kettle.wall_m2) * wall_w_m2).tolist()
    hose_w_k, pump_w, air_c = (
        float(each) for each in (kettle.hose_w_k, kettle.pump_w, brew.air.air_c)
    )
    per_min: float = 60.0 / 1000.0 / float(kettle.heat_kj_k)
    last = len(table_w) - 2

    def pace(temp_c: float) -> float:
        below = min(max(int(temp_c), 0), last)
        share = temp_c - below
        lost_w = table_w[below] * (1.0 - share) + table_w[below + 1] * share
        return (power_w + pump_w - lost_w - hose_w_k * (temp_c - air_c)) * per_min

    return pace


class Day:
    """One day stepped through: the state so far, and one stretch after another."""

    def __init__(self, start_c: float, moments_min: list[float], solver: str) -> None:
        self.solver = solver
        self.minute = 0.0
        self.moments = sorted((each, i) for i, each in enumerate(moments_min))
        self.state = np.zeros(1 + 2 * len(moments_min))
        self.state[0] = start_c

    def run(self, pace: Pace, minutes_min: float, until_c: float | None = None) -> None:
        """Go on for some minutes, or until the wort is as warm as wanted; doses go in on time."""
        end = self.minute + minutes_min
        while True:
            due = [each for each in self.moments if each[0] <= self.minute + 1e-9]
            for _, i in due:
                self.state[1 + 2 * i] = 1.0
            self.moments = self.moments[len(due) :]
            stop = min([end, *(moment for moment, _ in self.moments)])
            if stop - self.minute <= 1e-9 or self._step(pace, stop, until_c):
                break

    def _step(self, pace: Pace, stop: float, until_c: float | None) -> bool:
        count = len(self.state) // 2

        def change(_: float, state: Array) -> list[float]:
            temp_c, *acids = state.tolist()
            k1 = 7.9e11 * exp(-11858.0 / (temp_c + ZERO_C_K))
            k2 = 4.1e12 * exp(-12994.0 / (temp_c + ZERO_C_K))
            result = [pace(temp_c)]
            for i in range(count):
                turned = k1 * acids[2 * i]
                result += [-turned, turned - k2 * acids[2 * i + 1]]
            return result

        def warm(_: float, state: Array) -> float:
            return float(state[0]) - (until_c or 0.0)

        warm.terminal = True  # type: ignore[attr-defined]
        events = None if until_c is None else warm
        done = solve_ivp(
            change,
            (self.minute, stop),
            self.state,
            method=self.solver,
            rtol=CLOSE,
            atol=CLOSE_AMOUNT,
            events=events,
        )
        self.minute, self.state = float(done.t[-1]), done.y[:, -1]
        return until_c is not None and done.status == 1

    @property
    def temp_c(self) -> float:
        """Temperature of the wort now [C]."""
        return float(self.state[0])


def stepped(day: BrewDay, curves: LidCurves, solver: str) -> Stepped:
    """The hot side of a central day and the iso-alpha acids of its doses, stepped by a solver."""
    brew, litres = day.brew, day.volumes
    boiling_c = float(boiling_point_c(brew.air.pressure_kpa))
    first_l = litres.first_water_l
    start_c = float(lift_c(brew, litres.water_l - first_l, litres.preboil_l))

    def heat_kj_k(cold_l: Real, plato: Real) -> float:
        mass_kg = wort_kg(cold_l, plato)
        return float(heat_capacity_kj_k(mass_kg, plato, brew.rig.metal_kj_k))

    before_kj_k = heat_kj_k(litres.preboil_l, day.pot.preboil_plato)
    after_kj_k = heat_kj_k(litres.postboil_l, day.pot.postboil_plato)
    power_w = float(brew.rig.power_w * brew.rig.efficiency)
    resting = curves.under(brew.whirlpool_lid)
    spun, still = (
        pace_of(pot(brew, resting, litres.postboil_l, after_kj_k, pumped), brew)
        for pumped in (True, False)
    )
    # Doses count from heat-off, which is known once the wort boils: a day without doses tells.
    lift = pace_of(pot(brew, curves.off, litres.preboil_l, before_kj_k), brew)
    lidded = pot(brew, curves.under(brew.heating_lid), litres.preboil_l, before_kj_k)
    heating = pace_of(lidded, brew, power_w)
    plain = Day(start_c, [], solver)
    plain.run(lift, float(brew.rig.drain_min))
    plain.run(heating, 1e4, boiling_c)
    heat_off_min = plain.minute + float(brew.boil_min)

    wort = Day(start_c, moments(brew, heat_off_min), solver)
    ends_c = {}
    wort.run(lift, float(brew.rig.drain_min))
    ends_c["lift"] = wort.temp_c
    wort.run(heating, heat_off_min - float(brew.boil_min) - wort.minute)
    wort.state[0] = boiling_c
    wort.run(lambda _: 0.0, float(brew.boil_min))
    for name, pace, minutes_min in (
        ("whirlpool", spun, brew.pump_min),
        ("rest", still, brew.rest_min),
    ):
        wort.run(pace, float(minutes_min))
        ends_c[name] = wort.temp_c
    pace, minutes_min = chilling(brew, wort.temp_c)
    wort.run(pace, minutes_min)
    ends_c["chill"] = wort.temp_c
    return Stepped(ends_c, [float(each) for each in wort.state[2::2]])


def moments(brew: Brew, heat_off_min: float) -> list[float]:
    """When each dose goes in, from the lift on [min]."""
    found = []
    for dose in brew.doses:
        match dose.when:
            case BeforeHeatOff(before_min):
                found.append(heat_off_min - before_min)
            case HeatOff():
                found.append(heat_off_min)
            case IntoRest(into_min):
                found.append(heat_off_min + float(brew.pump_min) + into_min)
            case FirstWort():
                found.append(0.0)
            case _:
                raise ValueError(f"the comparison has no dose {dose.typed_when}")
    return found


def chilling(brew: Brew, start_c: float) -> tuple[Pace, float]:
    """The pace of the chill and its length: a straight line, or an exponential to the tap."""
    to_c, tap_c, chill = float(brew.chill.to_c), float(brew.air.tap_c), brew.chill
    if chill.rate_k_min is not None:
        rate_k_min = float(chill.rate_k_min)
        return (lambda _: -rate_k_min), (start_c - to_c) / rate_k_min
    if chill.in_min is None:
        raise ValueError("the comparison has no chill at once")
    minutes_min = float(chill.in_min)
    per_min = log((start_c - tap_c) / (to_c - tap_c)) / minutes_min
    return (lambda temp_c: -per_min * (temp_c - tap_c)), minutes_min
