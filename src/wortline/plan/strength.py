"""How strong the wort is at every step, and what beer comes of it."""

from dataclasses import dataclass
from functools import lru_cache
from typing import TypeAlias

import numpy as np

from wortline.plan.brew import Brew
from wortline.plan.ledger import Volumes
from wortline.science.alcohol import alcohol_abv, final_plato
from wortline.science.colour import COLOUR, ebc_from_srm, lovibond_from_ebc, mcu
from wortline.science.extract import (
    plato_from_extract,
    plato_from_sg,
    sg_from_plato,
    wort_density_kg_m3,
)
from wortline.science.mash import attenuation_limit, batch_sparge, no_sparge
from wortline.science.real import Real
from wortline.science.standards import COLD_C
from wortline.science.water import density_kg_m3

HELD_PASSES = 6


@dataclass(frozen=True)
class Kettle:
    """Extract that comes into the kettle, and the strength before and after the boil."""

    grist_extract_kg: Real
    extract_kg: Real
    efficiency: Real
    preboil_plato: Real
    postboil_plato: Real


@dataclass(frozen=True)
class Strength:
    """Gravities of the wort at the steps of the day."""

    preboil_sg: Real
    postboil_sg: Real
    original_sg: Real
    original_plato: Real


@dataclass(frozen=True)
class Beer:
    """What becomes of the wort: final gravity, alcohol and colour."""

    final_sg: Real
    attenuation: Real
    mash_limit: Real
    abv: Real
    colour_ebc: Real


def grist_extract_kg(brew: Brew) -> Real:
    """All extract the grist holds as is [kg]."""
    return sum((malt.mass_kg * malt.extract for malt in brew.malts), 0.0)


def balance_efficiency(brew: Brew, first_l: Real, sparge_l: Real, preboil_l: Real) -> Real:
    """Mash efficiency from conversion and lauter, so that the mass of the wort closes.

    The ledger says how many litres of wort leave the grain; everything else that was water or
    extract stays in it, at the strength of the last runnings. That settles the efficiency.
    """
    converted_kg = brew.rig.conversion * grist_extract_kg(brew)
    moisture_kg = sum((malt.mass_kg * malt.moisture for malt in brew.malts), 0.0)
    first_kg = first_l * density_kg_m3(COLD_C) / 1000.0
    sparge_kg = sparge_l * density_kg_m3(COLD_C) / 1000.0
    wort_kg = converted_kg + first_kg + moisture_kg
    first_plato = 100.0 * converted_kg / wort_kg
    first_kg_l = wort_density_kg_m3(first_plato, COLD_C) / 1000.0
    held_kg = wort_kg - preboil_l * first_kg_l
    if not np.any(sparge_l):
        return _share(
            brew, no_sparge(converted_kg, first_kg, moisture_kg, held_kg).kettle_extract_kg
        )
    held_kg = held_kg + sparge_kg
    for _ in range(HELD_PASSES):
        second_plato = first_plato * held_kg / (held_kg + sparge_kg)
        second_l = sparge_kg / wort_density_kg_m3(second_plato, COLD_C) * 1000.0
        held_kg = wort_kg - (preboil_l - second_l) * first_kg_l
    sparged = batch_sparge(converted_kg, (first_kg, sparge_kg), moisture_kg, held_kg)
    return _share(brew, sparged.kettle_extract_kg)


def _share(brew: Brew, extract_kg: Real) -> Real:
    return extract_kg / grist_extract_kg(brew)


def mash_efficiency(brew: Brew, first_l: Real, sparge_l: Real, preboil_l: Real) -> Real:
    """Share of the grist's extract that gets into the kettle: as typed, or by the balance."""
    if brew.rig.mash_efficiency is not None:
        return brew.rig.mash_efficiency
    return balance_efficiency(brew, first_l, sparge_l, preboil_l)


def kettle(brew: Brew, first_l: Real, sparge_l: Real, preboil_l: Real, postboil_l: Real) -> Kettle:
    """Extract in the kettle, and how strong it makes the wort before and after the boil."""
    efficiency = mash_efficiency(brew, first_l, sparge_l, preboil_l)
    in_grist_kg = grist_extract_kg(brew)
    mashed_kg = efficiency * in_grist_kg
    extract_kg = mashed_kg + brew.added_extract_kg
    return Kettle(
        grist_extract_kg=in_grist_kg,
        extract_kg=extract_kg,
        efficiency=efficiency,
        preboil_plato=plato_from_extract(mashed_kg, preboil_l),
        postboil_plato=plato_from_extract(extract_kg, postboil_l),
    )


_Frozen: TypeAlias = tuple[bytes, tuple[int, ...]]


def _frozen(value: Real) -> _Frozen:
    """Numbers by which a result can be found again."""
    array = np.asarray(value, dtype=np.float64)
    return array.tobytes(), array.shape


def _thawed(frozen: _Frozen) -> Real:
    return np.frombuffer(frozen[0]).reshape(frozen[1])[()]


# A tenth of an ensemble's time, and few edits of a plan touch its mash.
@lru_cache(maxsize=16)
def _mash_limit(at_c: tuple[_Frozen, ...], for_min: tuple[_Frozen, ...]) -> Real:
    return attenuation_limit([_thawed(each) for each in at_c], [_thawed(each) for each in for_min])


def attenuation(brew: Brew) -> tuple[Real, Real]:
    """Apparent attenuation reached, and the limit that mash and malts set [-].

    Yeast and mash each bound what becomes of the malt's extract; sugar ferments whatever they do.
    """
    rests = [each.at_c for each in brew.rests], [each.for_min for each in brew.rests]
    from_mash = _mash_limit(*(tuple(map(_frozen, each)) for each in rests))
    malt_kg: Real = 0.0
    sugar_kg: Real = 0.0
    fermentable_kg: Real = 0.0
    fermented_kg: Real = 0.0
    for malt in brew.malts:
        extract_kg = malt.mass_kg * malt.extract
        if malt.fermentability is not None and malt.fermentability > 1.0:
            sugar_kg = sugar_kg + extract_kg
            fermented_kg = fermented_kg + extract_kg * malt.fermentability
        else:
            share = from_mash if malt.fermentability is None else malt.fermentability
            malt_kg = malt_kg + extract_kg
            fermentable_kg = fermentable_kg + extract_kg * share
    whole_kg = malt_kg + sugar_kg
    limit = brew.models.attenuation * fermentable_kg / np.where(whole_kg > sugar_kg, malt_kg, 1.0)
    reached = np.minimum(limit, brew.yeast_attenuation)
    return (reached * malt_kg + fermented_kg) / whole_kg, limit


def colour_ebc(brew: Brew, wort_l: Real) -> Real:
    """Colour of the beer by Morey's formula [EBC]."""
    units = mcu(
        [malt.mass_kg for malt in brew.malts],
        [lovibond_from_ebc(malt.colour_ebc) for malt in brew.malts],
        wort_l,
    )
    return ebc_from_srm(COLOUR["morey"](units)) * brew.models.colour


def strength(pot: Kettle, litres: Volumes) -> Strength:
    """Gravities from extract and litres."""
    original_plato = plato_from_extract(pot.extract_kg, litres.wort_l)
    original_sg = sg_from_plato(original_plato)
    return Strength(
        preboil_sg=sg_from_plato(pot.preboil_plato),
        postboil_sg=sg_from_plato(pot.postboil_plato),
        original_sg=original_sg,
        original_plato=plato_from_sg(original_sg),
    )


def beer(brew: Brew, wort: Strength, wort_l: Real) -> Beer:
    """Final gravity, alcohol and colour of the beer that this wort makes."""
    reached, limit = attenuation(brew)
    final_sg = sg_from_plato(final_plato(wort.original_plato, reached))
    return Beer(
        final_sg=final_sg,
        attenuation=reached,
        mash_limit=limit,
        abv=alcohol_abv(wort.original_sg, final_sg),
        colour_ebc=colour_ebc(brew, wort_l),
    )
