"""Notes: what a brewer should know about this plan; inside the range but doubtful, or changed."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from wortline.documents.words import DryHop
from wortline.plan.aim import Aim, Fitted
from wortline.plan.brew_day import BrewDay
from wortline.plan.cautions import Say
from wortline.plan.cold_side import likely_boil_off_l_h
from wortline.science.dissolving import WHOLLY_DISSOLVED_MG_L
from wortline.units import retold

DMS_TASTED_UG_L = 50.0
FELT_IBU = 5.0
# Hotter than this hardly anything grows in wort (common practice, no source).
SAFE_HOT_C = 60.0
# Gelatinisation of malt starch begins at 55 to 60 C (common practice, no source).
COLDEST_MASH_C = 55.0


@dataclass(frozen=True)
class Note:
    """One remark on a plan."""

    code: str
    severity: Literal["note", "warn"]
    text: str


def retold_notes(told: Iterable[Note], system: str) -> list[Note]:
    """The same remarks in the units of a system."""
    return [replace(each, text=retold(each.text, system)) for each in told]


def notes(
    fitted: Fitted, aim: Aim, plain_ibu: float, shifts: list[float | None], say: Say
) -> list[Note]:
    """All remarks on the central plan, in the order of the day."""
    day = fitted.day
    result = [*_efficiency(day, say), *_aims(fitted, aim, say), *_boil(day, say)]
    result += [
        *_rest(day, plain_ibu),
        *_stands_warm(day, say),
        *_doses(day, shifts),
        *_dms(day),
        *_attenuation(day),
    ]
    return result


def _efficiency(day: BrewDay, say: Say) -> Iterator[Note]:
    share = float(day.pot.efficiency)
    if day.brew.rig.mash_efficiency is not None:
        yield Note(
            "efficiency-typed",
            "note",
            f"Mash efficiency {100 * share:.1f} %, as typed for this rig, whatever the grist.",
        )
    else:
        yield Note(
            "efficiency-balance",
            "note",
            f"Mash efficiency {100 * share:.1f} %, worked out from conversion and lauter for this"
            " grist and water.",
        )
    if float(day.brew.rig.conversion) < share <= 1.0:
        yield Note(
            "efficiency-high",
            "warn",
            f"A mash efficiency of {100 * share:.0f} % is more than usually dissolves in the mash"
            f" ({100 * float(day.brew.rig.conversion):.0f} %), before any wort stays in the grain.",
        )
    hottest_c = max(float(rest.at_c) for rest in day.brew.rests)
    if hottest_c < COLDEST_MASH_C:
        yield Note(
            "mash-too-cold",
            "warn",
            f"No mash rest is warmer than {say(hottest_c, 'temperature')}: malt starch stays starch"
            f" below about {say(COLDEST_MASH_C, 'temperature')}, and the plan's gravities will not"
            " come true. Check the unit you typed.",
        )
    for earlier, later in zip(day.brew.rests, day.brew.rests[1:], strict=False):
        if float(later.at_c) < float(earlier.at_c):
            yield Note(
                "mash-falls",
                "warn",
                "A mash rest is cooler than the one before it: the plan takes the step as done at"
                " once; in a kettle it needs cold water or time.",
            )


def _aims(fitted: Fitted, aim: Aim, say: Say) -> Iterator[Note]:
    brew = fitted.day.brew
    if aim.original_sg is not None:
        yield Note(
            "aim-gravity",
            "note",
            f"To reach {aim.original_sg:.3f} on this rig the grist is scaled by"
            f" {fitted.grist_times:.3f}, to {say(float(brew.grist_kg), 'mass')} in all.",
        )
    if aim.ibu is None:
        return
    if fitted.dose is None:
        yield Note(
            "aim-no-dose", "warn", "No hops go into the kettle: no bitterness can be aimed at."
        )
        return
    if not np.isfinite(fitted.late_ibu):
        return
    dose = brew.doses[fitted.dose]
    if fitted.dose_times == 0.0:
        yield Note(
            "aim-bitterness-exceeded",
            "warn",
            f"Malt and the later doses alone give {fitted.late_ibu:.1f} IBU, above the"
            f" {aim.ibu:g} you"
            f" aim at: {dose.name} ({dose.id}) falls away; less late hops or a shorter rest would"
            " do"
            " the rest.",
        )
    elif not fitted.met:
        yield Note(
            "aim-bitterness-out-of-reach",
            "warn",
            f"{aim.ibu:g} IBU is out of reach with {dose.name} ({dose.id}) alone: more alpha acid"
            " than"
            " this no longer dissolves. Spread it over more doses in time.",
        )
    else:
        yield Note(
            "aim-bitterness",
            "note",
            f"To reach {aim.ibu:g} IBU the earliest dose, {dose.name} ({dose.id}), is scaled by"
            f" {fitted.dose_times:.3f} to {say(float(dose.mass_kg), 'mass')}.",
        )


def _boil(day: BrewDay, say: Say) -> Iterator[Note]:
    brew = day.brew
    typed_l_h = float(brew.rig.boil_off_l_h)
    likely_l_h = float(likely_boil_off_l_h(brew, day.volumes.preboil_l))
    if typed_l_h > likely_l_h:
        yield Note(
            "boil-off-above-likely",
            "warn",
            f"You typed a boil-off of {say(typed_l_h, 'evaporation')}; after losses this element is"
            f" likely to manage {say(likely_l_h, 'evaporation')}. Measure it again, or the wort"
            " ends"
            " weaker and more than planned.",
        )
    if brew.boil_lid.kind != "off":
        yield Note(
            "boil-lidded",
            "warn",
            "The boil-off was measured with the lid off, and the plan takes it as typed. Under a"
            " lid DMS drips back into the wort, and foam comes without warning.",
        )


def _rest(day: BrewDay, plain_ibu: float) -> Iterator[Note]:
    added = float(day.ibu) - plain_ibu
    hopped = any(np.isfinite(line.in_min) for line in day.lines)
    rested = float(day.brew.pump_min) + float(day.brew.rest_min) > 0.0
    if hopped and rested and np.isfinite(added):
        both = float(day.brew.pump_min) > 0.0
        what, s = ("Whirlpool and rest", "") if both else ("The rest", "s")
        change = f"add{s} {added:.1f} IBU to" if added > -0.05 else f"take{s} {-added:.1f} IBU from"
        felt = "a difference you can taste" if abs(added) >= FELT_IBU else "hardly to be tasted"
        yield Note(
            "rest-adds",
            "note",
            f"{what} {change} the same doses chilled right at heat-off:"
            f" {felt}. (Late doses earn part of their rest column in any chill.)",
        )


def _stands_warm(day: BrewDay, say: Say) -> Iterator[Note]:
    """Bacteria grow in wort that is no longer hot (common practice, no source)."""
    end_c = float(day.hot.stretches["rest"].ends_c[-1])
    if float(day.brew.rest_min) > 0.0 and end_c < SAFE_HOT_C:
        yield Note(
            "rest-stands-warm",
            "warn",
            f"The rest lets the wort fall to {say(end_c, 'temperature')}. Below about"
            f" {say(SAFE_HOT_C, 'temperature')} it no longer keeps itself: what falls in can grow,"
            " and nothing boils it after. Chill before that, or keep it covered and pitch soon.",
        )


def _doses(day: BrewDay, shifts: list[float | None]) -> Iterator[Note]:
    for dose, line, shift in zip(day.brew.doses, day.lines, shifts, strict=True):
        if isinstance(dose.when, DryHop):
            yield Note(
                "dry-hop",
                "note",
                f"{dose.name} ({dose.id}) is a dry hop: no kettle bitterness, and the beer it holds"
                " back is not in this ledger.",
            )
        elif shift is None and np.isfinite(line.in_min):
            yield Note(
                "no-shift",
                "note",
                f"No moment for {dose.name} ({dose.id}) gives what it would without the whirlpool.",
            )
    in_kettle = [dose for dose in day.brew.doses if not isinstance(dose.when, DryHop)]
    dosed_mg = sum(float(dose.alpha) * float(dose.mass_kg) * 1e6 for dose in in_kettle)
    dosed_mg_l = dosed_mg / float(day.wort.wort_l)
    if dosed_mg_l > WHOLLY_DISSOLVED_MG_L:
        yield Note(
            "alpha-limit",
            "note",
            f"The kettle gets {dosed_mg_l:.0f} mg/L of alpha acids in all; where more than about"
            f" {WHOLLY_DISSOLVED_MG_L:.0f} mg/L would be dissolved at one time, not all of it is.",
        )


def _dms(day: BrewDay) -> Iterator[Note]:
    beer_ug_l = float(day.dms.beer_ug_l)
    if beer_ug_l > DMS_TASTED_UG_L:
        yield Note(
            "dms",
            "warn",
            f"DMS of about {beer_ug_l:.0f} µg/L in the beer can be tasted (from about 50): boil"
            " longer, lid off, or rest cooler.",
        )


def _attenuation(day: BrewDay) -> Iterator[Note]:
    if float(day.beer.mash_limit) < float(day.brew.yeast_attenuation):
        yield Note(
            "mash-limits",
            "note",
            "The mash, not the yeast, sets the final gravity:"
            f" {100 * float(day.beer.attenuation):.0f} % apparent attenuation.",
        )
