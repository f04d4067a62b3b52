"""Ways out when water or wort has another temperature than planned: strike water, chilled wort."""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from wortline.lot.bench import Bench, Way
from wortline.lot.events import Change
from wortline.lot.ways_day import BOILED_C, OVERNIGHT_MIN, Facts, given
from wortline.plan.brew_day import first_water_l
from wortline.plan.chill_finish import FRIDGE_W, MELT_LEAVES_C
from wortline.plan.cooling import heat, loss_w, pot
from wortline.science.ice import fridge_min, ice_needed_kg
from wortline.science.kettle_heating import heat_capacity_kj_k
from wortline.science.mash import MALT_HEAT
from wortline.science.mash_rescue import infusion_kg
from wortline.science.mending import wort_kg
from wortline.science.standards import COLD_C
from wortline.science.water import density_kg_m3

WATER_KJ_KG_K = 4.19
CLOSE_DK = 0.05
RISE_STEPS = 8
WARM_YEAST = (
    "Warm wort makes fusel alcohols and esters in the first day; near 40 C it kills the yeast."
)
"""Common practice, no source."""


def strike_off(bench: Bench, facts: Facts) -> Iterator[Way]:
    """The water is colder or warmer than it has to be for the grain."""
    brew, goal_c = bench.brew, given(facts.goal_c, float(bench.now.day.strike_c))
    strike_c = given(facts.strike_c, goal_c)
    first_l = float(first_water_l(brew, bench.water_l))
    water_kg = first_l * float(density_kg_m3(COLD_C)) / 1000.0
    yield _strike_as_is(bench, strike_c, water_kg)
    if abs(strike_c - goal_c) <= CLOSE_DK:
        return
    curves = bench.now.base.curves.under(brew.heating_lid)
    heat_kj_k = heat_capacity_kj_k(water_kg, 0.0, brew.rig.metal_kj_k)
    kettle = pot(brew, curves, first_l, heat_kj_k)
    goal = bench.say(goal_c, "temperature")
    if strike_c < goal_c:
        rise_min = float(heat(kettle, brew, strike_c, goal_c, RISE_STEPS).minutes_min)
        yield bench.way(
            "element",
            f"Element on for about {bench.say(rise_min, 'time')} more: it warms the water to"
            f" {goal}.",
            more_min=rise_min,
            phase="heat",
            safety="Only with the element covered.",
        )
    else:
        lost_w = float(loss_w(kettle, brew, 0.5 * (strike_c + goal_c)))
        falls_min = float(heat_kj_k) * 1000.0 / 60.0 * (strike_c - goal_c) / max(lost_w, 1.0)
        yield bench.way(
            "wait",
            f"Element off: it cools by itself to {goal} in about {bench.say(falls_min, 'time')}.",
            more_min=falls_min,
            phase="heat",
        )
    # The kettle's metal is warmed or cooled with the water.
    metal_kg = float(brew.rig.metal_kj_k) / WATER_KJ_KG_K
    hot = strike_c < goal_c
    added_c = BOILED_C if hot else float(brew.air.tap_c)
    litres = bench.litres(float(infusion_kg(water_kg + metal_kg, 0.0, strike_c, goal_c, added_c)))
    said, kind = bench.say(litres, "volume"), "boiling" if hot else "cold"
    more = brew
    if brew.first_water_l is not None:
        more = replace(brew, first_water_l=float(brew.first_water_l) + litres)
    yield bench.way(
        f"{'hot' if hot else 'cold'}-water",
        f"Pour {said} {kind} water in (cold litres): {goal}, more wort, weaker.",
        day=bench.tried(more, bench.water_l + litres),
        more_min=0.0,
        phase="heat",
        change=Change(mash_water_l=litres),
        needs=(f"{said} {kind} water", "room in the kettle"),
        safety="Boiling water scalds: pour low and slowly." if hot else "",
    )


def _strike_as_is(bench: Bench, strike_c: float, water_kg: float) -> Way:
    """The mash that comes of the water as it is, by the same heat balance as the plan's."""
    brew = bench.brew
    grain_kg, grain_c = MALT_HEAT * float(brew.grist_kg), float(brew.air.grain_c)
    mash_c = (water_kg * strike_c + grain_kg * grain_c) / (water_kg + grain_kg)
    rests = (replace(brew.rests[0], at_c=mash_c), *brew.rests[1:])
    day = bench.tried(replace(brew, rests=rests))
    goal_c = float(brew.rests[0].at_c)
    return bench.way(
        "nothing",
        f"Do nothing: the mash lands at {bench.say(mash_c, 'temperature')} instead of"
        f" {bench.say(goal_c, 'temperature')}; the beer ends near {float(day.beer.final_sg):.3f}"
        f" instead of {float(bench.now.before.final_sg):.3f}.",
        day=day,
        more_min=0.0,
        step=False,
    )


def wort_warm(bench: Bench, facts: Facts) -> Iterator[Way]:
    """The wort is warmer than the yeast wants it."""
    goal_c = given(facts.goal_c, float(bench.brew.chill.to_c))
    wort_c = given(facts.wort_c, goal_c)
    wort_l, plato = bench.wort
    heat_kj_k = float(heat_capacity_kj_k(wort_kg(wort_l, plato), plato))
    goal, is_in_kettle = bench.say(goal_c, "temperature"), bench.here in {"", "chill"}
    yield bench.way(
        "nothing",
        f"Do nothing: pitch at {bench.say(wort_c, 'temperature')} instead of {goal}.",
        more_min=0.0,
        step=False,
        safety=WARM_YEAST,
    )
    more_min = chill_on_min(bench, wort_c, goal_c)
    if is_in_kettle and more_min is not None:
        yield bench.way(
            "chill-on",
            f"Chill on for about {bench.say(more_min, 'time')}, to {goal}: as fast as the plan's"
            " chill, if the tap is as cold as planned.",
            more_min=more_min,
            phase="chill",
            needs=("cold water that still runs",),
        )
    alone_min = float(fridge_min(wort_c, goal_c, heat_kj_k, FRIDGE_W))
    yield bench.way(
        "fridge",
        f"Close the fermenter and let the fridge bring it to {goal}, about"
        f" {alone_min / 60.0:.0f} h; pitch then.",
        more_min=alone_min,
        phase="pitch",
        needs=("a fermenter that closes", "a fridge"),
        safety="Hot wort in a closed vessel draws a vacuum as it cools: leave the airlock on.",
        trust="guess",
    )
    ice_kg = float(ice_needed_kg(wort_c, goal_c, heat_kj_k, MELT_LEAVES_C))
    yield _iced(bench, bench.say(ice_kg, "mass"), wort_c, goal_c, is_in_kettle)
    yield bench.way(
        "overnight",
        "Leave it closed overnight in the coolest place, pitch in the morning.",
        more_min=OVERNIGHT_MIN,
        phase="pitch",
        needs=("a clean fermenter that closes",),
        trust="guess",
    )


def _iced(bench: Bench, said: str, wort_c: float, goal_c: float, is_in_kettle: bool) -> Way:
    if not is_in_kettle:
        return bench.way(
            "ice",
            f"Stand the closed fermenter in a bath with {said} of ice, and turn it now and then.",
            more_min=0.0,
            phase="pitch",
            needs=(f"{said} ice", "a tub that takes the fermenter"),
            safety="A full fermenter is heavy and a wet floor slips: no lifting alone.",
            trust="guess",
        )
    return bench.way(
        "ice",
        f"Run the chill water round through {said} of ice in a bucket instead of the tap.",
        more_min=max(wort_c - goal_c, 0.0) / _chill_rate_k_min(bench),
        phase="chill",
        needs=(
            f"{said} ice",
            "a second pump or a bucket above the chiller"
            if bench.brew.rig.has_pump
            else "a bucket above the chiller",
        ),
        trust="guess",
    )


def chill_on_min(bench: Bench, wort_c: float, goal_c: float) -> float | None:
    """How long the plan's own chill takes from one temperature to another; None if never [min]."""
    chill = bench.day.hot.stretches["chill"]
    ends_c = np.asarray(chill.ends_c, dtype=np.float64)
    if chill.in_kettle is not None or not np.all(np.isfinite(chill.step_min)):
        return None
    at_min = np.concatenate([[0.0], np.cumsum(chill.step_min)])
    if at_min[-1] <= 0.0 or np.any(np.diff(ends_c) >= 0.0) or goal_c < ends_c[-1] - CLOSE_DK:
        return None
    reached_min, from_min = np.interp([-goal_c, -wort_c], -ends_c, at_min)
    return max(float(reached_min - from_min), 0.0)


def _chill_rate_k_min(bench: Bench) -> float:
    """How fast the chill of this day cools on the whole [K/min]."""
    chill = bench.day.hot.stretches["chill"]
    fall_dk = float(chill.ends_c[0]) - float(chill.ends_c[-1])
    minutes_min = float(chill.minutes_min)
    return fall_dk / minutes_min if minutes_min > 0.0 and fall_dk > 0.0 else 1.0
