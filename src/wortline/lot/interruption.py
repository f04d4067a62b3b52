"""After an interruption: what to do first, what the wort did meanwhile, and how to go on.

The wort cools as a kettle at rest does, hops go on earning bitterness while it is hot, and the
element has to bring it back. A night is only a long interruption.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from wortline.documents.words import BeforeHeatOff, Lid
from wortline.lot.bench import Bench, Way
from wortline.lot.events import Change
from wortline.lot.replan import landed
from wortline.plan.brew import Brew, Dose
from wortline.plan.brew_day import BrewDay, brew_day, first_water_l
from wortline.plan.cold_side import cold_side
from wortline.plan.cooling import Array, Stretch, heat, pot, rest
from wortline.plan.hot_side import STRETCHES, HotSide
from wortline.science.extract import plato_from_extract
from wortline.science.kettle_heating import heat_capacity_kj_k
from wortline.science.mending import wort_kg
from wortline.science.standards import COLD_C
from wortline.science.water import density_kg_m3

HEAT_STEPS = 20
STEP_MIN = 2.0
MOST_STEPS = 400
SPOILS_MIN, SPOILS_C = 4.0 * 60.0, 60.0
"""Wort below 60 C for hours is a meal for bacteria (common practice, no source)."""
ROUNDS = 30
CLOSE_IBU = 0.5
"""Half an IBU is the same bitterness on the screen."""


def first_of_all(brew: Brew) -> str:
    """Return what is said before anything else, whatever happened."""
    off = "element and pump off at their switches" if brew.rig.has_pump else "the element off"
    return f"First: switch {off}. Look at the level, and that the element is covered."


@dataclass(frozen=True)
class Cut:
    """An interruption of the boil: after how many minutes of it, how long, lid on or off.

    `more_boil_min` is how long it boils after; what is left of the planned boil unless given.
    """

    boiled_min: float
    off_min: float
    lid_on: bool = False
    more_boil_min: float | None = None


@dataclass(frozen=True)
class Meanwhile:
    """What became of the wort while the heat was off."""

    wort_c: float
    steam_l: float
    to_boil_min: float
    ibu_before: float
    ibu_now: float
    ibu_at_boil: float


@dataclass(frozen=True)
class CutHot(HotSide):
    """A hot side whose boil has a gap in it: only some steps of the stretch boil."""

    boils: tuple[bool, ...] = ()

    @property
    def boiling(self) -> "np.ndarray[tuple[int, ...], np.dtype[np.bool_]]":
        """Which steps boil."""
        found = [
            np.array(self.boils)
            if name == "boil"
            else np.zeros(len(self.stretches[name].step_min), dtype=bool)
            for name in STRETCHES
        ]
        return np.concatenate(found)


@dataclass(frozen=True)
class Gap:
    """The pieces of an interrupted boil."""

    cooling: Stretch
    reheating: Stretch

    @property
    def minutes_min(self) -> float:
        """How much longer the day gets by it [min]."""
        return float(self.cooling.minutes_min) + float(self.reheating.minutes_min)


def gap(bench: Bench, cut: Cut) -> Gap:
    """The wort cooling while the heat is off, and the way back to the boil."""
    brew = bench.brew
    boiled_off_l = float(brew.rig.boil_off_l_h) * cut.boiled_min / 60.0
    wort_l = float(bench.day.volumes.preboil_l) + float(brew.added_l) - boiled_off_l
    plato = float(plato_from_extract(bench.day.pot.extract_kg, wort_l))
    heat_kj_k = heat_capacity_kj_k(wort_kg(wort_l, plato), plato, brew.rig.metal_kj_k)
    curves = bench.now.base.curves
    kettle = pot(brew, curves.under(Lid("on" if cut.lid_on else "off")), wort_l, heat_kj_k)
    boiling_c = float(bench.day.hot.boiling_c)
    steps = int(min(max(np.ceil(cut.off_min / STEP_MIN), 1), MOST_STEPS))
    cooling = rest(kettle, brew, boiling_c, cut.off_min, steps)
    lidded = pot(brew, curves.under(brew.heating_lid), wort_l, heat_kj_k)
    reheating = heat(lidded, brew, float(cooling.ends_c[-1]), boiling_c, HEAT_STEPS)
    return Gap(cooling, reheating)


def with_cut(bench: Bench, cut: Cut) -> Bench:
    """The bench of a day whose boil was cut: the gap is in it, and in every day tried on it."""

    def recut(day: BrewDay) -> BrewDay:
        # A boil that ends before the cut has none.
        known = replace(cut, boiled_min=min(cut.boiled_min, float(day.brew.boil_min)))
        return cut_into(bench, day.brew, float(day.volumes.water_l), known)

    day = recut(bench.day)
    now = replace(
        bench.now,
        day=day,
        plain=bench.day,
        after=landed(day, bench.now.known),
        gap_min=gap(bench, cut).minutes_min,
    )
    return replace(bench, now=now, recut=recut)


def cut_day(bench: Bench, cut: Cut) -> BrewDay:
    """The day with the interruption in its boil."""
    return cut_into(bench, bench.brew, bench.water_l, cut)


def cut_into(bench: Bench, brew: Brew, water_l: float, cut: Cut) -> BrewDay:
    """A day of other numbers with the interruption in its boil."""
    pieces = gap(bench, cut)
    left_min = max(float(brew.boil_min) - cut.boiled_min, 0.0)
    more_min = left_min if cut.more_boil_min is None else cut.more_boil_min
    boil_min = float(brew.boil_min)
    whole = replace(
        brew,
        boil_min=cut.boiled_min + more_min,
        doses=tuple(
            _moved(dose, bench, boil_min, cut, pieces.minutes_min, more_min) for dose in brew.doses
        ),
    )
    curves, method = bench.now.base.curves, bench.day.method
    plain = brew_day(whole, curves, water_l, method)
    return brew_day(
        whole, curves, water_l, method, _with_gap(plain.hot, brew, cut, pieces, more_min)
    )


def _moved(
    dose: Dose, bench: Bench, boil_min: float, cut: Cut, gap_min: float, more_min: float
) -> Dose:
    """A dose that is in stays where it was; one to come keeps its minutes before heat-off."""
    if not isinstance(dose.when, BeforeHeatOff):
        return dose
    in_min = boil_min - float(dose.when.before_min)
    if in_min <= cut.boiled_min and (bench.in_kettle is None or bench.is_in(dose)):
        return replace(dose, when=BeforeHeatOff(cut.boiled_min - in_min + gap_min + more_min))
    return replace(dose, when=BeforeHeatOff(min(float(dose.when.before_min), more_min)))


def _with_gap(hot: HotSide, brew: Brew, cut: Cut, pieces: Gap, more_min: float) -> HotSide:
    boiling_c = float(hot.boiling_c)
    steam_kg_min = float(brew.rig.boil_off_l_h) * float(density_kg_m3(COLD_C)) / 1000.0 / 60.0

    def joined(before: float, field: str, after: float) -> Array:
        parts = [getattr(piece, field) for piece in (pieces.cooling, pieces.reheating)]
        return np.concatenate([[before], *parts, [after]])

    steps = joined(cut.boiled_min, "step_min", more_min)
    boil = Stretch(
        step_min=steps,
        mid_c=joined(boiling_c, "mid_c", boiling_c),
        ends_c=np.concatenate(
            [[boiling_c], pieces.cooling.ends_c, pieces.reheating.ends_c[1:], [boiling_c]]
        ),
        steam_kg=joined(cut.boiled_min * steam_kg_min, "steam_kg", more_min * steam_kg_min),
    )
    lost_l = float(_gap_steam_l(pieces))
    return CutHot(
        {**hot.stretches, "boil": boil},
        hot.boiling_c,
        hot.rest_loss_l + lost_l,
        boils=(True, *(False,) * (len(steps) - 2), True),
    )


def _gap_steam_l(pieces: Gap) -> float:
    kg = float(pieces.cooling.steam_kg.sum()) + float(pieces.reheating.steam_kg.sum())
    return kg / float(density_kg_m3(COLD_C)) * 1000.0


def what_became(bench: Bench, cut: Cut) -> Meanwhile:
    """What the wort did while the heat was off, and how long it takes back to the boil."""
    pieces = gap(bench, cut)
    day = cut_day(bench, cut)
    start_min = float(day.hot.start_min("boil"))
    cut_min = start_min + cut.boiled_min
    now_min = cut_min + float(pieces.cooling.minutes_min)
    back_min = now_min + float(pieces.reheating.minutes_min)
    malt = float(day.malt_ibu)

    def ibu(at_min: float) -> float:
        return sum((float(line.ibu(at_min)) for line in day.lines), malt)

    return Meanwhile(
        wort_c=float(pieces.cooling.ends_c[-1]),
        steam_l=_gap_steam_l(pieces),
        to_boil_min=float(pieces.reheating.minutes_min),
        ibu_before=ibu(cut_min),
        ibu_now=ibu(now_min),
        ibu_at_boil=ibu(back_min),
    )


def told(bench: Bench, cut: Cut) -> list[str]:
    """What to say after an interruption of the boil, the first line before any advice."""
    became = what_became(bench, cut)
    say = bench.say
    lines = [
        first_of_all(bench.brew),
        f"The boil stopped after {say(cut.boiled_min, 'time')}, {say(cut.off_min, 'time')} ago.",
        f"The wort is now at about {say(became.wort_c, 'temperature')}; the hops that are in have"
        f" gone from {became.ibu_before:.0f} to {became.ibu_now:.0f} IBU.",
        f"Back to the boil takes about {say(became.to_boil_min, 'time')} at full power.",
    ]
    if cut.off_min >= SPOILS_MIN and became.wort_c < SPOILS_C:
        lines.append(
            "It stood warm for hours: smell and taste it. Sour means it is lost; else boil it for"
            " at least 15 min before you go on."
        )
    return lines


@dataclass(frozen=True)
class Stood:
    """What became of mash or wort that stood without heat, and how long back to where it was."""

    now_c: float
    back_to_c: float | None
    back_min: float | None


def stood(bench: Bench, phase: str, start_c: float, off_min: float, lid_on: bool = False) -> Stood:
    """Mash or wort of any phase but the boil after it stood without heat.

    A mash goes back to its own temperature, wort on its way to the boil goes on there; later wort
    only cools, as it is meant to.
    """
    brew, day = bench.brew, bench.day
    curves = bench.now.base.curves
    is_mash = phase in {"heat", "mash"}
    if is_mash:
        first_l = float(first_water_l(brew, day.volumes.water_l))
        kettle = cold_side(brew, curves, first_l, day.strike_c).mash_pot
    else:
        early = phase in {"lift", "to_boil"}
        wort_l = float(day.volumes.preboil_l if early else day.volumes.postboil_l)
        plato = float(plato_from_extract(day.pot.extract_kg, wort_l))
        heat_kj_k = heat_capacity_kj_k(wort_kg(wort_l, plato), plato, brew.rig.metal_kj_k)
        kettle = pot(brew, curves.under(Lid("on" if lid_on else "off")), wort_l, heat_kj_k)
    steps = int(min(max(np.ceil(off_min / STEP_MIN), 1), MOST_STEPS))
    now_c = float(rest(kettle, brew, start_c, off_min, steps).ends_c[-1])
    if not is_mash and phase not in {"lift", "to_boil"}:
        return Stood(now_c, None, None)
    back_to_c = start_c if is_mash else float(day.hot.boiling_c)
    back_min = float(heat(kettle, brew, now_c, back_to_c, HEAT_STEPS).minutes_min)
    return Stood(now_c, back_to_c, back_min)


def after_cut(bench: Bench, cut: Cut) -> Iterator[Way]:
    """Ways to go on after the boil was interrupted."""
    left_min = max(float(bench.brew.boil_min) - cut.boiled_min, 0.0)
    gap_min = gap(bench, cut).minutes_min
    shorter_min = _same_ibu_min(bench, cut, left_min)
    whole_min = float(bench.brew.boil_min)
    said = bench.say
    ways = (
        ("nothing", left_min,
         "Do nothing about it: back to the boil, then the"
         f" {said(left_min, 'time')} that were left."),
        ("boil-shorter", shorter_min, _shorter(bench, cut, shorter_min)),
        ("boil-whole", whole_min,
         "Back to the boil and the whole boil again: more steam goes, stronger, more bitter."),
        ("end-now", 0.0,
         "Bring it to the boil once to make it safe, then heat off: more litres, weaker."),
    )  # fmt: skip
    for code, more_min, text in ways:
        yield bench.way(
            code,
            text,
            day=cut_day(bench, replace(cut, more_boil_min=more_min)),
            more_min=gap_min + more_min - left_min,
            safety="Only with the element covered.",
            phase="boil",
            change=Change(
                boil_min=more_min - left_min,
                boiled_min=cut.boiled_min,
                off_min=cut.off_min,
                lid_on=cut.lid_on,
            ),
        )


def _shorter(bench: Bench, cut: Cut, more_min: float) -> str:
    """What a boil for the planned bitterness is, and how far it gets there."""
    goal_ibu = float(bench.now.before.ibu)
    ibu = float(cut_day(bench, replace(cut, more_boil_min=more_min)).ibu)
    head = f"Back to the boil, then only {bench.say(more_min, 'time')}:"
    if abs(ibu - goal_ibu) < CLOSE_IBU:
        return f"{head} as bitter as planned."
    apart = "above" if ibu > goal_ibu else "below"
    return f"{head} {ibu:.0f} IBU is as near as it gets, {apart} the planned {goal_ibu:.0f}."


def _same_ibu_min(bench: Bench, cut: Cut, left_min: float) -> float:
    """How long to boil on for the planned bitterness, between nothing and what was left [min]."""
    goal_ibu = float(bench.now.before.ibu)
    low_min, high_min = 0.0, left_min

    def ibu(more_min: float) -> float:
        return float(cut_day(bench, replace(cut, more_boil_min=more_min)).ibu)

    if ibu(low_min) >= goal_ibu:
        return low_min
    if ibu(high_min) <= goal_ibu:
        return high_min
    for _ in range(ROUNDS):
        middle_min = 0.5 * (low_min + high_min)
        if ibu(middle_min) < goal_ibu:
            low_min = middle_min
        else:
            high_min = middle_min
    return 0.5 * (low_min + high_min)
