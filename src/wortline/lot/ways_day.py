"""Ways out of the day's other surprises: mash off, dose late, something clogged."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from wortline.documents.words import BeforeHeatOff, IntoRest, Lid
from wortline.lot.bench import Bench, Way
from wortline.lot.events import Change
from wortline.lot.rig_steps import SAFE_TO_OPEN_C
from wortline.plan.brew_day import BrewDay, first_water_l
from wortline.plan.cold_side import cold_side
from wortline.plan.cooling import loss_w
from wortline.science.mash import mash_heat_capacity_kj_k
from wortline.science.mash_rescue import decoction_share, infusion_kg, mash_ramp_min
from wortline.science.standards import COLD_C
from wortline.science.water import density_kg_m3

BOILED_C = 100.0
DECOCTION_C = 97.0
"""A boiled part of the mash as it comes back: 95 to 98 (common practice)."""
LONGER_REST_MIN = 20.0
SETTLE_MIN, FLUSH_MIN, FLUSH_L = 10.0, 10.0, 2.0
OVERNIGHT_MIN = 10.0 * 60.0
CLOSE_DK = 0.05


@dataclass(frozen=True)
class Facts:
    """What a trouble needs to be told beside the day as it stands; None where it does not apply."""

    strike_c: float | None = None
    mash_c: float | None = None
    goal_c: float | None = None
    dose: str | None = None
    before_heat_off_min: float | None = None
    into_rest_min: float | None = None
    wort_c: float | None = None
    left_l: float | None = None


def mash_off(bench: Bench, facts: Facts) -> Iterator[Way]:
    """The mash is colder or warmer than planned."""
    brew = bench.brew
    goal_c = given(facts.goal_c, float(brew.rests[0].at_c))
    mash_c = given(facts.mash_c, goal_c)
    yield _mash_as_is(bench, mash_c)
    if abs(mash_c - goal_c) <= CLOSE_DK:
        return
    first_l = float(first_water_l(brew, bench.water_l))
    water_kg = first_l * float(density_kg_m3(COLD_C)) / 1000.0
    grain_kg = float(brew.grist_kg)
    heat_kj_k = float(mash_heat_capacity_kj_k(water_kg, grain_kg)) + float(brew.rig.metal_kj_k)
    cold = cold_side(brew, bench.now.base.curves, first_l, bench.day.strike_c)
    lost_w = float(loss_w(cold.mash_pot, brew, 0.5 * (mash_c + goal_c)))
    if mash_c < goal_c:
        power_w = float(brew.rig.power_w) * float(brew.rig.efficiency)
        ramp_min = float(mash_ramp_min(mash_c, goal_c, power_w, heat_kj_k, lost_w))
        moving = "with the pump running" if brew.rig.has_pump else "while you stir all the time"
        yield bench.way(
            "element",
            f"Element on for about {bench.say(ramp_min, 'time')} {moving}: it warms"
            f" the mash to {bench.say(goal_c, 'temperature')}.",
            more_min=ramp_min,
            needs=("the pump running",) if brew.rig.has_pump else ("a long spoon, gloves",),
            safety="Never the element in a mash that stands still: it scorches.",
        )
        share = float(decoction_share(mash_c, goal_c, DECOCTION_C))
        yield bench.way(
            "boil-a-part",
            f"Take {100.0 * share:.0f} % of the mash out, bring it to the boil in a pot, stir it"
            " back.",
            more_min=_boil_part_min(bench, share * heat_kj_k, mash_c),
            needs=("a pot and a hob",),
            safety="Boiling mash spits and scalds: deep pot, long spoon, gloves.",
        )
    added_c = BOILED_C if mash_c < goal_c else float(brew.air.tap_c)
    yield _infused(bench, float(infusion_kg(water_kg, grain_kg, mash_c, goal_c, added_c)), added_c)
    if mash_c > goal_c:
        falls_min = heat_kj_k * 1000.0 / 60.0 * (mash_c - goal_c) / max(lost_w, 1.0)
        yield bench.way(
            "wait",
            f"Element off{', pump running' * brew.rig.has_pump}: it cools by itself in about"
            f" {bench.say(falls_min, 'time')}; enzymes suffer meanwhile.",
            more_min=falls_min,
        )


def given(value: float | None, otherwise: float) -> float:
    return otherwise if value is None else value


def _mash_as_is(bench: Bench, mash_c: float) -> Way:
    rests = (replace(bench.brew.rests[0], at_c=mash_c), *bench.brew.rests[1:])
    day = bench.tried(replace(bench.brew, rests=rests))
    final_sg, planned_sg = float(day.beer.final_sg), float(bench.now.before.final_sg)
    return bench.way(
        "nothing",
        f"Do nothing: mash at {bench.say(mash_c, 'temperature')}; the beer ends near"
        f" {final_sg:.3f} instead of {planned_sg:.3f}.",
        day=day,
        more_min=0.0,
        step=False,
    )


def _boil_part_min(bench: Bench, part_kj_k: float, from_c: float) -> float:
    """How long a part of the mash takes to the boil on as much power as the kettle has [min]."""
    power_w = float(bench.brew.rig.power_w) * float(bench.brew.rig.efficiency)
    return part_kj_k * 1000.0 * (BOILED_C - from_c) / power_w / 60.0


def _infused(bench: Bench, water_kg: float, added_c: float) -> Way:
    litres = bench.litres(water_kg)
    said = bench.say(litres, "volume")
    hot = added_c == BOILED_C
    more = replace(bench.brew, first_water_l=None) if bench.brew.first_water_l is None else (
        replace(bench.brew, first_water_l=float(bench.brew.first_water_l) + litres)
    )  # fmt: skip
    return bench.way(
        "hot-water" if hot else "cold-water",
        f"Stir in {said} {'boiling' if hot else 'cold'} water (cold litres): more wort, weaker.",
        day=bench.tried(more, bench.water_l + litres),
        change=Change(mash_water_l=litres),
        needs=(f"{said} {'boiling' if hot else 'cold'} water", "room above the mash"),
        safety="Boiling water over grain splashes: pour low, stir away from you." if hot else "",
    )


def dose_late(bench: Bench, facts: Facts) -> Iterator[Way]:
    """A dose did not go in when it should have."""
    index = next(i for i, dose in enumerate(bench.brew.doses) if dose.id == facts.dose)
    dose = bench.brew.doses[index]
    moment = (
        IntoRest(facts.into_rest_min)
        if facts.into_rest_min is not None
        else BeforeHeatOff(given(facts.before_heat_off_min, 0.0))
    )
    goal_ibu = float(bench.now.before.ibu)
    mass_kg = float(dose.mass_kg)

    def dosed(grams_kg: float) -> BrewDay:
        changed = replace(dose, when=moment, mass_kg=grams_kg)
        doses = (*bench.brew.doses[:index], changed, *bench.brew.doses[index + 1 :])
        return bench.tried(replace(bench.brew, doses=doses))

    now, without = dosed(mass_kg), dosed(0.0)
    yield bench.way(
        "nothing",
        f"Do nothing: leave {dose.id} out.",
        day=without,
        more_min=0.0,
        change=Change(dose=dose.id, dose_kg=-1.0),
        step=False,
    )
    yield bench.way("now", f"Put {dose.id} in now, as weighed.", day=now, more_min=0.0, step=False)
    more_kg = mass_kg
    for _ in range(8):
        gained = float(dosed(more_kg).ibu) - float(without.ibu)
        if gained <= 0.0:
            break
        more_kg *= max(goal_ibu - float(without.ibu), 0.0) / gained
    said = bench.say(abs(more_kg - mass_kg), "mass")
    if more_kg > mass_kg * 1.01 and more_kg < 10.0 * mass_kg:
        yield bench.way(
            "now-with-more",
            f"Put {dose.id} in now with {said} more of it: bitterness as planned, more aroma.",
            day=dosed(more_kg),
            more_min=0.0,
            change=Change(dose=dose.id, dose_kg=more_kg),
            step=False,
            needs=(f"{said} more {dose.name}",),
        )
    yield bench.way(
        "dry-hop",
        f"Keep {dose.id} for the fermenter and put it in as a dry hop: aroma and hardly any"
        " bitterness.",
        day=without,
        more_min=0.0,
        change=Change(dose=dose.id, dose_kg=-1.0),
        step=False,
        trust="guess",
    )
    if isinstance(moment, BeforeHeatOff) and isinstance(dose.when, BeforeHeatOff):
        yield from _waited_for(bench, index, moment, dose.when)


def _waited_for(
    bench: Bench, index: int, moment: BeforeHeatOff, planned: BeforeHeatOff
) -> Iterator[Way]:
    more_min = float(planned.before_min) - float(moment.before_min)
    if more_min <= 0.0:
        return
    longer = bench.boiled(more_min)
    dose = replace(longer.doses[index], when=BeforeHeatOff(planned.before_min))
    doses = (*longer.doses[:index], dose, *longer.doses[index + 1 :])
    yield bench.way(
        "boil-longer",
        f"Put {dose.id} in now and boil {bench.say(more_min, 'time')} longer: it gets its minutes;"
        " fewer litres, stronger.",
        day=bench.tried(replace(longer, doses=doses)),
        phase="boil",
        change=Change(boil_min=more_min),
        needs=("power for the longer boil",),
    )


def clogged(bench: Bench, facts: Facts) -> Iterator[Way]:
    """The screen or the chiller is clogging, with so many hot litres still in the kettle."""
    left_l = given(facts.left_l, float(bench.day.volumes.wort_l))
    brew = bench.brew
    yield bench.way(
        "nothing",
        "Do nothing: take what still comes; what is in the kettle may stay there.",
        lost_l=min(left_l, float(bench.day.volumes.fermenter_l)),
        more_min=0.0,
        step=False,
        trust="guess",
    )
    rested = replace(brew, rest_min=float(brew.rest_min) + SETTLE_MIN)
    pumped = brew.rig.has_pump
    yield bench.way(
        "settle",
        f"{'Pump off. ' * pumped}Let it settle {SETTLE_MIN:.0f} min, then draw at half the flow"
        f"{' through the valve behind the pump' * pumped}.",
        day=bench.tried(rested),
        change=Change(rest_min=SETTLE_MIN),
        safety="Never throttle before the pump: it draws vapour and loses its grip."
        if pumped
        else "",
    )
    flushed = replace(brew, rest_min=float(brew.rest_min) + FLUSH_MIN)
    yield bench.way(
        "back-flush",
        f"{'Pump off, handles' if pumped else 'Handles'} shut, back-flush screen or chiller with"
        " boiled water against the flow, then go on.",
        day=bench.tried(flushed),
        change=Change(rest_min=FLUSH_MIN),
        needs=(f"{bench.say(FLUSH_L, 'volume')} boiled water", "a hose that fits the outlet"),
        safety="Hot wort stands behind the coupling: shut its valve, wait until a thermometer at"
        f" it reads below {bench.say(SAFE_TO_OPEN_C, 'temperature')}, gloves on, open it away from"
        " you.",
    )
    slow = replace(brew.chill, rate_k_min=None, in_min=OVERNIGHT_MIN, lid=Lid("on"))
    yield bench.way(
        "no-chiller",
        "Leave the chiller out: lid on, let it cool overnight in the kettle, siphon the clear wort"
        " off the hops in the morning.",
        day=bench.tried(replace(brew, chill=slow)),
        needs=("a lid that closes", "a clean siphon"),
        safety="Do not lift a kettle of hot wort.",
        trust="guess",
    )
