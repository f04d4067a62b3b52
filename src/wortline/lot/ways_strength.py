"""Ways out when gravity or litres are off: water, boiling, extract, wort set aside, nothing."""

from collections.abc import Iterator
from dataclasses import replace

from wortline.lot.bench import Bench, Way
from wortline.lot.events import Change
from wortline.science.kettle_heating import heat_capacity_kj_k
from wortline.science.mending import (
    boil_to_reach_min,
    extract_to_reach_kg,
    water_to_reach_kg,
    wort_kg,
)
from wortline.science.standards import COLD_C
from wortline.science.water import density_kg_m3

SOLIDS = 0.96
"""Extract in dry malt extract: 0.95 to 0.97 (common practice, no source)."""
LEAST_BOIL_MIN = 30.0
"""A shorter boil leaves DMS and hot break behind (common practice, no source)."""
COOLED_ADD = "Boil it in as little water as it takes, and cool it under a lid: nothing raw goes in."
HOT_ADD = "Pour it in slowly along the wall, element down: it foams up."
DRAW = "Wort at the boil scalds: element off, through the valve, never with a cup over the rim."
CLOSE = 1e-6
SAID_KG, SAID_L = 0.01, 0.3
"""Less than these is no cure worth the hands (common practice, no source)."""


def gravity_low(bench: Bench) -> Iterator[Way]:
    """The wort will be weaker than planned."""
    wort_l, plato = bench.wort
    goal = bench.planned_plato
    yield bench.nothing("Do nothing: a weaker beer, as many litres as there are.")
    if plato < goal - CLOSE:
        longer = [_less_and_stronger(bench, wort_l, plato, goal)] if bench.boils_still else []
        # Where water is too much, steam is the cure: it mends the litres, too.
        is_thin = wort_l > bench.planned_l + SAID_L
        yield from longer if is_thin else ()
        yield from _stronger(bench, wort_l, plato, goal)
        yield from () if is_thin else longer


def _stronger(bench: Bench, wort_l: float, plato: float, goal: float) -> Iterator[Way]:
    wort_l *= 1.0 if bench.boils_still else bench.late_share
    when = "before heat-off, element off while it goes in" if bench.boils_still else (
        "in the fermenter, boiled up and cooled, before the yeast"
    )  # fmt: skip
    phase, caution = ("boil", HOT_ADD) if bench.boils_still else ("pitch", COOLED_ADD)
    malt_kg = float(extract_to_reach_kg(wort_l, plato, goal, SOLIDS))
    said = bench.say(malt_kg, "mass")
    yield bench.way(
        "add-malt-extract",
        f"Stir in {said} dry malt extract {when}.",
        add_kg=(malt_kg * (1.0 - SOLIDS), malt_kg * SOLIDS),
        more_min=0.0,
        needs=(f"{said} dry malt extract",),
        safety=caution,
        phase=phase,
    )
    sugar_kg = float(extract_to_reach_kg(wort_l, plato, goal))
    said = bench.say(sugar_kg, "mass")
    yield bench.way(
        "add-sugar",
        f"Stir in {said} table sugar {when}: it ferments out, so the beer gets thinner.",
        add_kg=(0.0, sugar_kg),
        more_min=0.0,
        needs=(f"{said} table sugar",),
        safety=caution,
        phase=phase,
    )


def _less_and_stronger(bench: Bench, wort_l: float, plato: float, goal: float) -> Way:
    rate_l_h = float(bench.brew.rig.boil_off_l_h)
    more_min = float(boil_to_reach_min(wort_l, plato, goal, rate_l_h))
    return _boiled_longer(
        bench, more_min, "; doses not yet in keep their minutes before heat-off"
    )


def _boiled_longer(bench: Bench, more_min: float, so: str) -> Way:
    return bench.way(
        "boil-longer",
        f"Boil {bench.say(more_min, 'time')} longer{so}.",
        day=bench.tried(bench.boiled(more_min)),
        phase="boil",
        change=Change(boil_min=more_min),
        needs=("power for the longer boil",),
        safety="Keep the element covered: watch the level.",
    )


def gravity_high(bench: Bench) -> Iterator[Way]:
    """The wort will be stronger than planned."""
    wort_l, plato = bench.wort
    goal = bench.planned_plato
    yield bench.nothing("Do nothing: a stronger beer, as many litres as there are.")
    if plato > goal + CLOSE:
        water_kg = float(water_to_reach_kg(wort_l, plato, goal))
        yield from _watered(bench, water_kg, water_kg * bench.late_share)
        yield _swapped(bench, wort_l, plato, goal)
        rate_l_h = float(bench.brew.rig.boil_off_l_h)
        less_min = -float(boil_to_reach_min(wort_l, plato, goal, rate_l_h))
        yield from _boiled_less(bench, less_min)


def _watered(bench: Bench, water_kg: float, late_kg: float) -> Iterator[Way]:
    """Water before heat-off, or in the fermenter: there is less to weaken."""
    litres = bench.say(bench.litres(water_kg), "volume")
    if bench.boils_still and bench.litres(water_kg) <= bench.room_l:
        yield bench.way(
            "add-water",
            f"Add {litres} cold water to the kettle before heat-off; it takes a while to boil"
            " again.",
            add_kg=(water_kg, 0.0),
            more_min=reheat_min(bench, water_kg),
            needs=(f"{litres} water cold",),
            safety=HOT_ADD,
            phase="boil",
        )
    litres = bench.say(bench.litres(late_kg), "volume")
    yield bench.way(
        "add-boiled-water",
        f"Add {litres} boiled and cooled water in the fermenter, before the yeast.",
        add_kg=(late_kg, 0.0),
        more_min=0.0,
        phase="pitch",
        needs=(f"{litres} boiled water, cooled under a lid", "room in the fermenter"),
    )


def reheat_min(bench: Bench, water_kg: float) -> float:
    """How long the element takes for cold water put into boiling wort [min]."""
    rise_dk = float(bench.day.hot.boiling_c) - float(bench.brew.air.tap_c)
    power_w = float(bench.brew.rig.power_w) * float(bench.brew.rig.efficiency)
    return 1000.0 * float(heat_capacity_kj_k(water_kg)) * rise_dk / power_w / 60.0


def _swapped(bench: Bench, wort_l: float, plato: float, goal: float) -> Way:
    """Wort out, water in: litres stay, strength falls."""
    there_l = wort_l * bench.late_share
    kept_l = there_l * goal / plato
    said = bench.say(there_l - kept_l, "volume")
    return bench.way(
        "swap",
        f"In the fermenter: take {said} wort out (cold litres; freeze it for starters) and put as"
        " much boiled and cooled water in.",
        add_kg=(float(water_to_reach_kg(kept_l, plato, goal)), 0.0),
        more_min=0.0,
        phase="pitch",
        change=Change(out_l=there_l - kept_l),
        needs=(f"a clean pot for {said}", f"{said} boiled water"),
    )


def _boiled_less(bench: Bench, less_min: float) -> Iterator[Way]:
    left_min = float(bench.brew.boil_min) - max(bench.boiled_min, LEAST_BOIL_MIN)
    shorter_min = min(less_min, left_min)
    if shorter_min <= CLOSE or not bench.boils_still:
        return
    whole = "" if shorter_min == less_min else " That is as far as it goes."
    yield bench.way(
        "boil-shorter",
        f"Boil {bench.say(shorter_min, 'time')} less: less steam, more litres, weaker.{whole}",
        day=bench.tried(bench.boiled(-shorter_min)),
        phase="boil",
        change=Change(boil_min=-shorter_min),
    )


def water_off(bench: Bench) -> Iterator[Way]:
    """The water in the kettle is not what was planned, and the grain is not in yet."""
    missing_l = bench.now.base.water_l - bench.water_l
    yield bench.nothing("Do nothing: the day goes on with the water that is there.")
    if abs(missing_l) <= CLOSE:
        return
    said = bench.say(abs(missing_l), "volume")
    brew = bench.brew
    if brew.first_water_l is not None:
        brew = replace(brew, first_water_l=float(brew.first_water_l) + missing_l)
    more = missing_l > 0.0
    yield bench.way(
        "pour-more" if more else "take-out",
        f"{'Pour' if more else 'Take'} {said} {'more water in' if more else 'water out'} before the"
        " grain (cold litres): everything as planned.",
        day=bench.tried(brew, bench.water_l + missing_l),
        more_min=0.0,
        phase="heat",
        change=Change(mash_water_l=missing_l),
        needs=(f"{said} water",) if more else ("a jug",),
    )
    if more:
        yield from _watered(
            bench,
            missing_l * float(density_kg_m3(COLD_C)) / 1000.0,
            missing_l * float(density_kg_m3(COLD_C)) / 1000.0,
        )
    else:
        more_min = -missing_l / float(bench.brew.rig.boil_off_l_h) * 60.0
        yield _boiled_longer(bench, more_min, ": litres as planned, a little stronger")


def volume_short(bench: Bench) -> Iterator[Way]:
    """There will be less wort than planned."""
    wort_l, plato = bench.wort
    yield bench.nothing("Do nothing: fewer litres, as strong as it is.")
    missing_l = bench.planned_l - wort_l
    if missing_l <= CLOSE:
        return
    water_kg = missing_l * float(density_kg_m3(COLD_C)) / 1000.0
    yield from _watered(bench, water_kg, water_kg)
    malt_kg = float(wort_kg(bench.planned_l, bench.planned_plato)) - float(wort_kg(wort_l, plato))
    extract = bench.planned_plato / 100.0 * float(wort_kg(bench.planned_l, bench.planned_plato))
    extract -= plato / 100.0 * float(wort_kg(wort_l, plato))
    if extract > SAID_KG and bench.boils_still:
        packet_kg = extract / SOLIDS
        fresh_kg = malt_kg - packet_kg
        said, water = bench.say(packet_kg, "mass"), bench.say(bench.litres(fresh_kg), "volume")
        yield bench.way(
            "water-and-malt-extract",
            f"Add {water} water and {said} dry malt extract: litres and strength as planned.",
            add_kg=(fresh_kg + packet_kg * (1.0 - SOLIDS), extract),
            more_min=reheat_min(bench, fresh_kg),
            needs=(f"{said} dry malt extract", f"{water} water"),
            safety=HOT_ADD,
            phase="boil",
        )
    less_min = missing_l / float(bench.brew.rig.boil_off_l_h) * 60.0
    yield from _boiled_less(bench, less_min)


def volume_over(bench: Bench) -> Iterator[Way]:
    """There will be more wort than planned."""
    wort_l, _ = bench.wort
    yield bench.nothing("Do nothing: more litres, if they fit; look at the brim before it boils.")
    over_l = wort_l - bench.planned_l
    if over_l <= CLOSE:
        return
    more_min = over_l / float(bench.brew.rig.boil_off_l_h) * 60.0
    if bench.boils_still:
        yield _boiled_longer(bench, more_min, ": litres as planned, stronger")
    said = bench.say(over_l, "volume")
    yield bench.way(
        "set-aside",
        f"Take {said} (cold litres) out before the fermenter and freeze it for starters: litres as"
        " planned, strength as it is.",
        more_min=0.0,
        phase="transfer",
        change=Change(out_l=over_l),
        needs=(f"a clean pot for {said}",),
        safety=DRAW,
    )
    if bench.boils_still:
        yield _second_pot(bench, over_l)
    else:
        yield _second_vessel(bench, over_l)


def _second_pot(bench: Bench, over_l: float) -> Way:
    """Boil the surplus down beside: the same steam in the same time, from two pots."""
    water_kg = over_l * float(density_kg_m3(COLD_C)) / 1000.0
    return bench.way(
        "second-pot",
        f"Boil a part in a second pot until {bench.say(over_l, 'volume')} (cold) are steam, and"
        " pour it back: litres as planned, stronger, no longer.",
        add_kg=(-water_kg, 0.0),
        more_min=0.0,
        phase="boil",
        needs=("a second pot and hob",),
        safety="Carrying boiling wort scalds: short way, dry floor, gloves, lid on.",
    )


def _second_vessel(bench: Bench, over_l: float) -> Way:
    said = bench.say(over_l, "volume")
    return bench.way(
        "second-vessel",
        f"Ferment {said} (cold litres) in a second clean vessel beside, with some of the yeast:"
        " nothing is lost.",
        more_min=0.0,
        phase="transfer",
        needs=(f"a clean vessel for {said} that leaves room for foam",),
    )
