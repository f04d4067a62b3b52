"""The whirlpool of a day: turns, cone, draw-off line and clarity, as planned and otherwise."""

from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np
import numpy.typing as npt

from wortline.plan.brew import Brew, SwirlGear
from wortline.plan.brew_day import BrewDay
from wortline.plan.cooling import pot, rest, steps_for
from wortline.plan.hot_side import dissolved_plato
from wortline.plan.loss_curve import LidCurves
from wortline.science.cone import cone_size_m
from wortline.science.kettle_heating import heat_capacity_kj_k
from wortline.science.mending import wort_kg
from wortline.science.real import Real
from wortline.science.standards import GRAVITY_M_S2
from wortline.science.swirl_constants import SwirlConstants, swirl_constants_at
from wortline.science.swirl_kettle import SwirlKettle
from wortline.science.swirl_readings import SwirlFit, fitted_to_readings
from wortline.science.water import expansion
from wortline.science.whirlpool import Whirlpool, run

Array = npt.NDArray[np.float64]

COUNTED_MIN = (0.0, 2.0, 5.0)
SEEN_MIN = 60.0
# The wort is taken as it is in this time after the pump stops, however long the rest: how long it
# will stand cannot change how it turns and settles now (a usual rest; common practice, no source).
STILL_MIN = 15.0
# Members of the central run: the pump just off, 2 min later, the end of the rest; the same with
# nothing in the way, and with the pump left on.
STOP, LATER, PLANNED, FREE, RUNNING = range(5)
LATER_MIN = 2.0
NO_LOSS_W = 1.0
CONE = "whirlpool.cone_cold_l"
# What the draw-off line's price is told for.
MORE_L = 0.5


@dataclass(frozen=True)
class SwirlMoment:
    """What the kettle looks like at one moment of the rest."""

    after_min: float
    turns_per_min: float
    clear_fraction: float
    suspended_fraction: float
    dusted_fraction: float
    cone_radius_m: float
    cone_height_m: float
    dip_m: float


@dataclass(frozen=True)
class SwirlLine:
    """The central whirlpool: one run whose members are the moments and the other ways."""

    gear: SwirlGear
    kettle: SwirlKettle
    constants: SwirlConstants
    fit: SwirlFit | None
    pump_min: float
    rest_min: float
    found: Whirlpool

    def at(self, values: Real, member: int = PLANNED) -> float:
        """A number of one member; numbers that are the same for all stand for each."""
        wide = np.broadcast_to(np.asarray(values, dtype=np.float64), (RUNNING + 1,))
        return float(wide[member])

    @property
    def is_obstructed(self) -> bool:
        """Whether something stands in the way of the swirl."""
        return float(self.gear.obstacle_m2) > 0.0 or self.gear.floor_open < 1.0

    @property
    def outlet_decides(self) -> bool:
        """Whether the outlet draws air before the cone would give way."""
        return self.at(self.found.draw_off.level_m) <= float(self.kettle.outlet_m) + 1e-9

    @cached_property
    def headlines(self) -> dict[str, float]:
        """The numbers of the plan by their dotted key."""
        found = {key: self.at(value) for key, value in numbers_of(self.found).items()}
        # What settles in still wort lies all over the floor: that is no cone.
        return found if self.pump_min > 0.0 else found | {CONE: 0.0}

    @cached_property
    def turns_per_min(self) -> tuple[float, ...]:
        """Turns at the surface as the pump stops and at the minutes that are counted."""
        course = self.found.resting
        return tuple(
            self.at(course.at(np.full(RUNNING + 1, each), course.turns_per_min))
            for each in COUNTED_MIN
        )

    @cached_property
    def moments(self) -> tuple[SwirlMoment, ...]:
        """Pump just off, a little later, end of the rest."""
        found, whole = self.found, max(self.at(self.found.cone_share), 1e-9)
        cone_hot_l = self.headlines[CONE] * float(expansion(self.kettle.temp_c))
        radius_m = 0.5 * float(self.kettle.diameter_m)
        moments = []
        for member, after_min in ((STOP, 0.0), (LATER, LATER_MIN), (PLANNED, self.rest_min)):
            course = found.resting
            turns = self.at(course.at(np.full(RUNNING + 1, after_min), course.turns_per_min))
            share = self.at(found.cone_share, member) / whole
            wide_m, high_m = cone_size_m(cone_hot_l * share, self.constants.repose_deg, radius_m)
            wall_m_s = turns * np.pi / 30.0 * radius_m
            moments.append(
                SwirlMoment(
                    after_min=after_min,
                    turns_per_min=turns,
                    clear_fraction=self.at(found.clear_fraction, member),
                    suspended_fraction=self.at(found.suspended_share, member),
                    dusted_fraction=self.at(found.dusted_share, member),
                    cone_radius_m=float(wide_m),
                    cone_height_m=float(high_m),
                    # A body of liquid that turns as one stands this much higher at its wall.
                    dip_m=float(wall_m_s**2 / (2.0 * GRAVITY_M_S2)),
                )
            )
        return tuple(moments)


def numbers_of(found: Whirlpool) -> dict[str, Real]:
    """The numbers of the plan, of a central run or of members."""
    return {
        "whirlpool.turns_per_min": found.turns_per_min_stop,
        "whirlpool.pump_min": found.pump_min,
        "whirlpool.rest_min": found.rest_min,
        "whirlpool.clear_fraction": found.clear_fraction,
        "whirlpool.cone_cold_l": found.cone_cold_l,
        "whirlpool.draw_off_mark_cm": 100.0 * found.draw_off.level_m,
        "whirlpool.left_cold_l": found.left_cold_l,
    }


def swirl_line(day: BrewDay, curves: LidCurves) -> SwirlLine | None:
    """The whirlpool of the central day; None without one, or where the plan is beyond physics."""
    brew = day.brew
    planned_min = float(brew.pump_min) + float(brew.rest_min)
    if brew.swirl is None or not 0.0 < planned_min < np.inf:
        return None
    kettle = swirl_kettle(day, brew.swirl, curves)
    if not is_filled(kettle):
        return None
    constants, fit = constants_of(brew.swirl, kettle, float(brew.pump_min))
    pump_min, rest_min = float(brew.pump_min), float(brew.rest_min)
    found = run(
        replace(
            kettle,
            obstacle_m2=np.where(_only(FREE), 0.0, kettle.obstacle_m2),
            floor_open=np.where(_only(FREE), 1.0, kettle.floor_open),
        ),
        pump_min,
        np.where(_only(STOP), 0.0, np.where(_only(LATER), LATER_MIN, rest_min)),
        constants,
        np.where(_only(RUNNING), kettle.flow_l_min, 0.0),
        max(SEEN_MIN, rest_min),
    )
    line = SwirlLine(brew.swirl, kettle, constants, fit, pump_min, rest_min, found)
    # Wort that does not clear has no time for it; any other number has to be there.
    known = (value for key, value in line.headlines.items() if key != "whirlpool.rest_min")
    return line if all(map(np.isfinite, known)) else None


def is_filled(kettle: SwirlKettle) -> bool:
    """Whether there is wort in the kettle, and every number of it."""
    known = all(np.isfinite(each) for each in vars(kettle).values())
    return known and float(kettle.wort_hot_l) > 0.0


def _only(member: int) -> npt.NDArray[np.bool_]:
    return np.asarray(np.arange(RUNNING + 1) == member)


def swirl_kettle(day: BrewDay, gear: SwirlGear, curves: LidCurves) -> SwirlKettle:
    """The kettle as the whirlpool sees it: the wort at heat-off, soon after the pump stops."""
    brew = day.brew
    temp_c, loss_w = still_heat(day, curves, day.hot.stretches["whirlpool"].ends_c[-1])
    return SwirlKettle(
        diameter_m=brew.rig.diameter_m,
        wort_hot_l=day.volumes.postboil_l * expansion(temp_c),
        flow_l_min=gear.flow_l_min,
        nozzle_m=gear.nozzle_m,
        hops_free_kg=hops_free_kg(day),
        temp_c=temp_c,
        extract_plato=dissolved_plato(day.pot.postboil_plato),
        loss_w=loss_w,
        hop_bed_l_kg=brew.rig.holds_free_l_kg,
        obstacle_m2=gear.obstacle_m2,
        floor_open=gear.floor_open,
        outlet_m=gear.outlet_m,
        draw_l_min=brew.rig.transfer_l_min,
    )


def still_heat(day: BrewDay, curves: LidCurves, start_c: Real) -> tuple[Real, Real]:
    """Mean temperature [C] and heat lost [W] in the first minutes after the pump stops."""
    brew, cold_l = day.brew, day.volumes.postboil_l
    plato = dissolved_plato(day.pot.postboil_plato)
    heat_kj_k = heat_capacity_kj_k(wort_kg(cold_l, plato), plato, brew.rig.metal_kj_k)
    still = pot(brew, curves.under(brew.whirlpool_lid), cold_l, heat_kj_k)
    cooled = rest(still, brew, start_c, STILL_MIN, steps_for(STILL_MIN))
    fall_dk = cooled.ends_c[0] - cooled.ends_c[-1]
    lost_w = 1000.0 * heat_kj_k * fall_dk / (60.0 * STILL_MIN)
    return cooled.mid_c.mean(axis=0)[()], np.maximum(lost_w, NO_LOSS_W)[()]


def hops_free_kg(day: BrewDay) -> Real:
    """Hops that swim free in the kettle before the chill [kg]."""
    total: Real = 0.0
    chill_min = day.hot.start_min("chill")
    for line in day.lines:
        if line.dose.held == "free":
            swims = np.less_equal(line.in_min, chill_min)
            total = total + np.where(swims, line.dose.mass_kg, 0.0)[()]
    return total


def hops_after_pump(day: BrewDay) -> list[str]:
    """Free doses that go in when the pump has stopped, by their id."""
    start_min, end_min = float(day.hot.start_min("rest")), float(day.hot.start_min("chill"))
    return [
        line.dose.id
        for line in day.lines
        if line.dose.held == "free" and start_min < float(line.in_min) <= end_min
    ]


def constants_of(
    gear: SwirlGear, kettle: SwirlKettle, pump_min: float
) -> tuple[SwirlConstants, SwirlFit | None]:
    """Constants where the gear takes them, fitted to the brewer's readings where there are any."""
    constants = swirl_constants_at(gear.shares)
    if not gear.has_readings:
        return constants, None
    pumped_min = pump_min if gear.read_pumped_min is None else gear.read_pumped_min
    seen_min = gear.clear_after_min
    fit = _fitted(
        as_read(kettle, gear),
        tuple(float(each) for each in gear.turns_per_min),
        None if seen_min is None else float(seen_min),
        float(pumped_min),
        constants,
    )
    return fit.constants, fit


# It takes as long as all the rest of a plan, and a reason or a print asks for the same plan again.
_fitted = lru_cache(maxsize=16)(fitted_to_readings)


def as_read(kettle: SwirlKettle, gear: SwirlGear) -> SwirlKettle:
    """The kettle as it stood when the readings were taken."""
    wort_hot_l, hops_kg = gear.read_wort_hot_l, gear.read_hops_kg
    then = replace(
        kettle,
        wort_hot_l=kettle.wort_hot_l if wort_hot_l is None else wort_hot_l,
        hops_free_kg=kettle.hops_free_kg if hops_kg is None else hops_kg,
    )
    # Plain numbers, by which a fit can be found again.
    return replace(then, **{name: np.float64(value) for name, value in vars(then).items()})


def gear_of(brew: Brew) -> SwirlGear:
    """The swirl's gear of a day that has a swirl."""
    if brew.swirl is None:
        raise ValueError("this day has no whirlpool")
    return brew.swirl
