"""Putting wort right: what water, boiling or added extract make of its volume and strength."""

from typing import NamedTuple

from wortline.science.extract import wort_density_kg_m3
from wortline.science.real import Real
from wortline.science.standards import COLD_C
from wortline.science.water import density_kg_m3

STEEL_PER_DK = 17e-6
"""Linear growth of stainless steel [1/K]."""


class Blend(NamedTuple):
    """Wort as it stands once something has come in or gone.

    Attributes
    ----------
    cold_l : Real
        Volume at 20 C [L].
    extract_plato : Real
        Strength [degP].
    """

    cold_l: Real
    extract_plato: Real


def wort_kg(cold_l: Real, extract_plato: Real) -> Real:
    """Return the mass of a volume of wort.

    Parameters
    ----------
    cold_l : Real
        Volume at 20 C [L].
    extract_plato : Real
        Strength [degP].

    Returns
    -------
    Real
        Mass [kg].

    References
    ----------
    Definition of density; the density as in `wort_density_kg_m3`.
    """
    return cold_l * wort_density_kg_m3(extract_plato, COLD_C) / 1000.0


def blended(
    cold_l: Real, extract_plato: Real, water_kg: Real = 0.0, extract_kg: Real = 0.0
) -> Blend:
    """Return what wort becomes when water or dry extract comes in or water goes as steam.

    Parameters
    ----------
    cold_l : Real
        Volume of the wort at 20 C [L].
    extract_plato : Real
        Its strength [degP].
    water_kg : Real
        Water put in, negative for what boils away [kg].
    extract_kg : Real
        Extract put in, without the water in it [kg].

    Returns
    -------
    Blend
        Volume at 20 C [L] and strength [degP].

    Notes
    -----
    Mass of wort and mass of extract are conserved; the volume follows from the density of the new
    strength, so litres of wort and litres of water do not simply add up.

    References
    ----------
    Conservation of mass.
    """
    old_kg = wort_kg(cold_l, extract_plato)
    new_kg = old_kg + water_kg + extract_kg
    new_plato = 100.0 * (old_kg * extract_plato / 100.0 + extract_kg) / new_kg
    return Blend(new_kg / wort_density_kg_m3(new_plato, COLD_C) * 1000.0, new_plato)


def water_to_reach_kg(cold_l: Real, extract_plato: Real, to_plato: Real) -> Real:
    """Return the water that brings wort to another strength.

    Parameters
    ----------
    cold_l : Real
        Volume of the wort at 20 C [L].
    extract_plato : Real
        Its strength [degP].
    to_plato : Real
        Wanted strength, above 0 [degP].

    Returns
    -------
    Real
        Water to add, negative where it has to boil away [kg].

    Notes
    -----
    The extract stays the same: mass times strength is constant.

    References
    ----------
    Conservation of mass.
    """
    return wort_kg(cold_l, extract_plato) * (extract_plato / to_plato - 1.0)


def extract_to_reach_kg(
    cold_l: Real, extract_plato: Real, to_plato: Real, solids: Real = 1.0
) -> Real:
    """Return the sugar or malt extract that brings wort to a higher strength.

    Parameters
    ----------
    cold_l : Real
        Volume of the wort at 20 C [L].
    extract_plato : Real
        Its strength [degP].
    to_plato : Real
        Wanted strength, below 100 times `solids` [degP].
    solids : Real
        Share of what is added that is extract; the rest is water [-].

    Returns
    -------
    Real
        What to add, as it comes out of its packet [kg].

    References
    ----------
    Conservation of mass.
    """
    old_kg = wort_kg(cold_l, extract_plato)
    return old_kg * (to_plato - extract_plato) / (100.0 * solids - to_plato)


def boil_to_reach_min(
    cold_l: Real, extract_plato: Real, to_plato: Real, boil_off_l_h: Real
) -> Real:
    """Return how long wort has to boil to come to a higher strength.

    Parameters
    ----------
    cold_l : Real
        Volume of the wort at 20 C [L].
    extract_plato : Real
        Its strength [degP].
    to_plato : Real
        Wanted strength [degP].
    boil_off_l_h : Real
        Cold litres that leave as steam in an hour [L/h].

    Returns
    -------
    Real
        Boiling time, negative where the wort is stronger already [min].

    References
    ----------
    Conservation of mass.
    """
    away_kg = -water_to_reach_kg(cold_l, extract_plato, to_plato)
    return 60.0 * away_kg / (density_kg_m3(COLD_C) / 1000.0) / boil_off_l_h


def read_in_steel_l(mark_l: Real, wort_c: Real) -> Real:
    """Return the hot volume behind a mark that was made on a cold steel kettle.

    Parameters
    ----------
    mark_l : Real
        Litres read off the mark [L].
    wort_c : Real
        Temperature of wort and wall [C].

    Returns
    -------
    Real
        Hot volume [L].

    Notes
    -----
    The vessel grows in all three directions, 17e-6 per K each way, so that a mark made cold reads
    0.4 % low at the boil. The whole wall counts as being as hot as the wort.

    References
    ----------
    Lide, D. R. (ed.) (2004). CRC handbook of chemistry and physics, 85th ed., section 12 (thermal
    expansion of stainless steel; from memory).
    """
    return mark_l * (1.0 + 3.0 * STEEL_PER_DK * (wort_c - COLD_C))
