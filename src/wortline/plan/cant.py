"""Can't, because: wishes that physics refuses, with the bound and the nearest plan that works."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from math import ceil, floor, isfinite

import numpy as np

from wortline.documents.words import BeforeHeatOff, Below, IntoRest
from wortline.plan.brew import Brew
from wortline.plan.brew_day import first_water_l, mash_hot_l, strike_for
from wortline.plan.cant_chill import chill, kettle_c
from wortline.plan.cant_grist import GRIST, soluble_share
from wortline.plan.cold_side import likely_boil_off_l_h, most_boil_off_l_h
from wortline.plan.cooling import loss_w, pot
from wortline.plan.ledger import water_for_l
from wortline.plan.wish import Cant, Change, Ground, Nearest, in_recipe
from wortline.science.water import boiling_point_c, expansion

# Mashes thicker than this cannot be stirred or pumped (common practice, no source).
THICKEST_L_KG = 1.8
SMALL_L = 0.02
# Room to stir a mash in below the brim (common practice, no source).
STIRRING_SHARE = 0.03


def cants(ground: Ground) -> list[Cant]:
    """Every reason why this plan does not fit; empty if it does."""
    checks: tuple[Callable[[Ground], Iterator[Cant]], ...] = (
        *GRIST,
        _first_water,
        _brim,
        _strike,
        _element,
        _boil_off,
        _doses,
        chill,
    )
    return [cant for check in checks for cant in check(ground)]


def _first_water(ground: Ground) -> Iterator[Cant]:
    """More first water than there is water in all."""
    typed_l = ground.brew.first_water_l
    water_l = float(ground.day.volumes.water_l)
    if typed_l is not None and float(typed_l) > water_l:
        yield Cant(
            "first-water-above-all",
            f"Can't mash in with {ground.say(float(typed_l), 'volume')} cold: the whole day takes"
            f" {ground.say(water_l, 'volume')} cold.",
            float(typed_l),
            water_l,
            "L",
            Nearest("Put all the water on the grain at once.", (in_recipe("mash.water", "all"),)),
        )
    yield from _dry(ground)


def _dry(ground: Ground) -> Iterator[Cant]:
    """So little first water that the grain drinks all of it."""
    brew = ground.brew
    water_l = float(ground.day.volumes.water_l)
    held_l = float(brew.rig.grain_holds_l_kg * brew.grist_kg)
    if brew.first_water_l is None or float(brew.first_water_l) > held_l:
        return
    enough_l = ceil(10 * THICKEST_L_KG * float(brew.grist_kg)) / 10
    enough = held_l < enough_l < water_l
    yield Cant(
        "mash-too-dry",
        f"Can't mash in with {ground.say(float(brew.first_water_l), 'volume')} cold: the grain"
        " alone"
        f" holds {ground.say(held_l, 'volume')}, so nothing would run off.",
        float(brew.first_water_l),
        held_l,
        "L",
        Nearest(
            f"Mash in with {ground.say(enough_l, 'volume')} cold.",
            (in_recipe("mash.water.first", f"{enough_l:g} L"),),
        )
        if enough
        else Nearest("Put all the water on the grain.", (in_recipe("mash.water", "all"),)),
    )


def _brim(ground: Ground) -> Iterator[Cant]:
    """Hot mash or hot wort that does not stay below the brim; exactly full does not fit."""
    brew, brim_l = ground.brew, float(ground.brew.rig.brim_l)
    boiling_c = boiling_point_c(brew.air.pressure_kpa)
    mash_l = float(mash_hot_l(brew, first_water_l(brew, ground.day.volumes.water_l)))
    preboil_l = float(ground.day.volumes.preboil_l * expansion(boiling_c))
    if mash_l < brim_l and preboil_l < brim_l:
        return
    nearest = (_held_back(ground, brim_l) if preboil_l < brim_l else None) or _smaller(ground)
    for code, what, hot_l in (
        ("mash-above-brim", "the mash with its grain", mash_l),
        ("wort-above-brim", "the wort at the boil", preboil_l),
    ):
        if hot_l >= brim_l:
            yield Cant(
                code,
                f"Can't fit the kettle: {what} is {ground.say(hot_l, 'volume')} hot, and the brim"
                f" is at {ground.say(brim_l, 'volume')}.",
                hot_l,
                brim_l,
                "L",
                nearest,
            )


def _held_back(ground: Ground, brim_l: float) -> Nearest | None:
    """Keep water back for a sparge, if the mash stays thin enough to stir."""
    brew = ground.brew
    displaced_l = float(brew.rig.grain_displaces_l_kg * brew.grist_kg)
    room_l = (brim_l * (1.0 - STIRRING_SHARE) - displaced_l) / float(
        expansion(brew.rests[0].at_c)
    ) - SMALL_L
    first_l = floor(10 * room_l) / 10
    thin = first_l >= THICKEST_L_KG * float(brew.grist_kg)
    cool = first_l > 0 and strike_for(brew, first_l) < boiling_point_c(brew.air.pressure_kpa)
    if not (thin and cool and first_l < float(ground.day.volumes.water_l)):
        return None
    sparge_l = float(ground.day.volumes.water_l) - first_l
    return Nearest(
        f"Mash in with {ground.say(first_l, 'volume')} cold and rinse the grain with the other"
        f" {ground.say(sparge_l, 'volume')}.",
        (
            in_recipe("mash.water.first", f"{first_l:g} L")
            if is_sparged(ground)
            else in_recipe("mash.water", f"{{first: {first_l:g} L, sparge: remainder}}"),
        ),
    )


def is_sparged(ground: Ground) -> bool:
    """Whether the recipe keeps water back for a sparge, and there is some left to keep."""
    typed_l = ground.brew.first_water_l
    return typed_l is not None and float(typed_l) <= float(ground.day.volumes.water_l)


def strength_share(brew: Brew, factor: float) -> float:
    """How grist and hops shrink with the batch for the same strength: kettle and hoses keep theirs.

    What hops hold shrinks with them.
    """
    kept_l = float(brew.rig.hold_up_l + brew.rig.left_behind_l)
    return (float(brew.batch_l) * factor + kept_l) / (float(brew.batch_l) + kept_l)


def scaled_brew(brew: Brew, factor: float) -> Brew:
    """The same beer, less of it: the batch by a factor, grist, hops and first water to match."""
    share = strength_share(brew, factor)
    return replace(
        brew,
        batch_l=brew.batch_l * factor,
        malts=tuple(replace(malt, mass_kg=malt.mass_kg * share) for malt in brew.malts),
        doses=tuple(replace(dose, mass_kg=dose.mass_kg * share) for dose in brew.doses),
        first_water_l=None if brew.first_water_l is None else brew.first_water_l * share,
    )


def _smaller(ground: Ground) -> Nearest:
    """The largest batch of the same beer that stays below the brim."""
    brim_l = float(ground.brew.rig.brim_l)
    brew = with_less_grist(ground.brew, soluble_share(ground))
    if not is_sparged(ground):
        brew = replace(brew, first_water_l=None)
    boiled = float(expansion(boiling_point_c(brew.air.pressure_kpa)))

    def fits(factor: float) -> bool:
        small = scaled_brew(brew, factor)
        # A smaller batch cools faster and loses less after heat-off than this one.
        water_l = float(water_for_l(small, ground.day.volumes.rest_loss_l))
        preboil_l = water_l - float(small.rig.grain_holds_l_kg * small.grist_kg)
        mash_l = float(mash_hot_l(small, first_water_l(small, water_l)))
        return max(mash_l, preboil_l * boiled) < brim_l - SMALL_L

    low, high = 0.0, 1.0
    for _ in range(40):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if fits(middle) else (low, middle)
    batch_l = floor(10 * low * float(brew.batch_l)) / 10
    factor = strength_share(brew, batch_l / float(brew.batch_l))
    if batch_l <= 0.0:
        return Nearest("No batch of this beer fits this kettle; take a larger kettle.", ())
    changes = [in_recipe("batch", f"{batch_l:g} L")]
    changes += [
        in_recipe(f"grist.{index}.mass", f"{floor(1e4 * float(malt.mass_kg) * factor) / 1e4:g} kg")
        for index, malt in enumerate(brew.malts)
    ]
    changes += [
        in_recipe(f"hops.{index}.mass", f"{floor(1e5 * float(dose.mass_kg) * factor) / 1e2:g} g")
        for index, dose in enumerate(brew.doses)
    ]
    if brew.first_water_l is not None:
        first_l = floor(100 * float(brew.first_water_l) * factor) / 100
        changes.append(in_recipe("mash.water.first", f"{first_l:g} L"))
    return Nearest(
        f"Brew {ground.say(batch_l, 'volume')} cold of the same beer: grist and hops times"
        f" {factor:.2f}.",
        tuple(changes),
    )


def with_less_grist(brew: Brew, share: float) -> Brew:
    """The same brew with a share of its grist."""
    malts = tuple(replace(malt, mass_kg=malt.mass_kg * share) for malt in brew.malts)
    return replace(brew, malts=malts)


def _strike(ground: Ground) -> Iterator[Cant]:
    """Strike water above boiling."""
    brew = ground.brew
    strike_c = float(ground.day.strike_c)
    boiling_c = float(boiling_point_c(brew.air.pressure_kpa))
    if strike_c <= boiling_c:
        return
    grain_c = float(brew.air.grain_c)
    rest_c = float(brew.rests[0].at_c)
    pull = (strike_c - rest_c) / (rest_c - grain_c) if rest_c != grain_c else 0.0
    reachable_c = floor(10 * ((boiling_c + pull * grain_c) / (1.0 + pull) - 0.01)) / 10
    yield Cant(
        "strike-above-boiling",
        f"Can't heat the strike water to {ground.say(strike_c, 'temperature')}: water boils at"
        f" {ground.say(boiling_c, 'temperature')} here.",
        strike_c,
        boiling_c,
        "C",
        Nearest(
            f"Mash at {ground.say(reachable_c, 'temperature')}, or use more first water.",
            (in_recipe("mash.rests.0.at", f"{reachable_c:g} C"),),
        ),
    )


def _element(ground: Ground) -> Iterator[Cant]:
    """An element that never brings the kettle to strike or to the boil."""
    day, brew = ground.day, ground.brew
    pieces = [ground.cold.strike, day.hot.stretches["to_boil"], *ground.cold.ramps]
    if all(piece is None or np.isfinite(piece.minutes_min) for piece in pieces):
        return
    curve = ground.curves.under(brew.heating_lid)
    hottest = (
        (float(day.hot.boiling_c), day.volumes.preboil_l),
        (float(day.strike_c), first_water_l(brew, day.volumes.water_l)),
    )
    losses = [
        (float(loss_w(pot(brew, curve, cold_l, 1.0), brew, at_c)), at_c) for at_c, cold_l in hottest
    ]
    lost_w, at_c = max((each for each in losses if isfinite(each[0])), default=(0.0, 0.0))
    if lost_w <= 0.0:
        return
    reaches_w = float(brew.rig.power_w * brew.rig.efficiency)
    needed_w = 50.0 * ceil(1.1 * lost_w / float(brew.rig.efficiency) / 50.0)
    yield Cant(
        "element-too-weak",
        f"Can't heat it: {ground.say(reaches_w, 'power')} get into the kettle, and at"
        f" {ground.say(at_c, 'temperature')} it loses {ground.say(lost_w, 'power')} with the lid"
        " as planned.",
        lost_w,
        reaches_w,
        "W",
        Nearest(
            f"An element of {ground.say(needed_w, 'power')} would do; so may a closed lid or a"
            " smaller kettle.",
            (Change("rig", "element.power", f"{needed_w:g} W"),),
        ),
    )


def _boil_off(ground: Ground) -> Iterator[Cant]:
    """Evaporation above what the rated power can turn into steam."""
    brew = ground.brew
    typed_l_h = float(brew.rig.boil_off_l_h)
    most_l_h = float(most_boil_off_l_h(brew))
    if typed_l_h <= most_l_h:
        return
    likely_l_h = float(likely_boil_off_l_h(brew, ground.day.volumes.preboil_l))
    nearest_l_h = floor(100 * min(most_l_h, likely_l_h or most_l_h)) / 100
    yield Cant(
        "boil-off-above-power",
        f"Can't boil off {ground.say(typed_l_h, 'evaporation')}: all of"
        f" {ground.say(float(brew.rig.power_w), 'power')} turned to steam would be"
        f" {ground.say(most_l_h, 'evaporation')}.",
        typed_l_h,
        most_l_h,
        "L/h",
        Nearest(
            f"This element is likely to boil off {ground.say(nearest_l_h, 'evaporation')};"
            " measure it"
            " with the lid off.",
            (Change("rig", "boil_off", f"{nearest_l_h:g} L/h"),),
        ),
    )


def _within(minutes_min: float) -> str:
    """A time as it is typed, never longer than it is."""
    return f"{floor(100 * minutes_min) / 100:g}"


def _doses(ground: Ground) -> Iterator[Cant]:
    """Doses at moments that do not exist on this day."""
    brew = ground.brew
    boil_min, rest_min = float(brew.boil_min), float(brew.rest_min)
    for index, (dose, line) in enumerate(zip(brew.doses, ground.day.lines, strict=True)):
        field = f"hops.{index}.when"
        match dose.when:
            case BeforeHeatOff(before_min) if before_min > boil_min:
                yield Cant(
                    "dose-before-boil",
                    f"Can't boil {dose.name} ({dose.id}) for {before_min:g} min: the boil lasts"
                    f" {boil_min:g} min.",
                    before_min,
                    boil_min,
                    "min",
                    Nearest(
                        f"Put {dose.name} in when the boil starts, {boil_min:g} min before"
                        " heat-off.",
                        (in_recipe(field, f"{_within(boil_min)} min"),),
                    ),
                )
            case IntoRest(into_min) if into_min > rest_min:
                last = f"{_within(rest_min)} min into rest" if rest_min > 0.0 else "heat-off"
                yield Cant(
                    "dose-after-rest",
                    f"Can't put {dose.name} ({dose.id}) in {into_min:g} min into the rest: the rest"
                    f" lasts {rest_min:g} min.",
                    into_min,
                    rest_min,
                    "min",
                    Nearest(f"Put {dose.name} in at `{last}`.", (in_recipe(field, last),)),
                )
            case Below(below_c) if not isfinite(float(line.in_min)):
                to_c, drawn = kettle_c(ground)
                why = "one pass leaves the kettle at" if drawn else "the chill ends at"
                moment = "when it is that cool" if drawn else "at the end of the chill"
                yield Cant(
                    "dose-never-reached",
                    f"Can't put {dose.name} ({dose.id}) in below"
                    f" {ground.say(below_c, 'temperature')}:"
                    f" {why} {ground.say(to_c, 'temperature')}.",
                    below_c,
                    to_c,
                    "C",
                    Nearest(
                        f"Put {dose.name} in {moment}.",
                        (in_recipe(field, f"below {ceil(10 * to_c) / 10:g} C"),),
                    ),
                )
