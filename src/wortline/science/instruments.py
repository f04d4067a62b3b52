"""What a hydrometer and a refractometer read, turned into the strength that is meant."""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from wortline.science.alcohol import EXTRACT_PER_ALCOHOL, real_extract_plato
from wortline.science.extract import (
    density_from_sg_kg_m3,
    plato_from_density,
    sg_from_density,
    sg_from_plato,
    wort_density_kg_m3,
)
from wortline.science.numerics import polynomial
from wortline.science.real import Real

HOTTEST_SAMPLE_C = 60.0
"""Above this a hydrometer sample must be cooled first [C]."""

WORT_CORRECTION = 1.04
"""Usual refractometer reading of wort over its strength; between 1.00 and 1.06 [-]."""

_GLASS_PER_DK = 25e-6
_BRIX_PER_ALCOHOL = 0.43

# Refractive index to sucrose, lowest power first.
_BRIX = (-99127.4536, 318417.95, -413145.80, 270177.93, -88885.21, 11758.74)


def hydrometer_sg(reading_sg: Real, sample_c: Real, calibration_c: Real = 20.0) -> Real:
    """Return the gravity at 20 C of a sample read at another temperature.

    Parameters
    ----------
    reading_sg : Real
        Gravity read from the stem [-].
    sample_c : Real
        Temperature of the sample when read [C].
    calibration_c : Real
        Temperature the hydrometer was made for, of sample and of water [C].

    Returns
    -------
    Real
        Gravity, 20 C over 20 C, in air; nan for a sample below 0 or above 60 C [-].

    Notes
    -----
    Physical, not fitted: the reading gives the density of the sample, less what the glass has
    grown (25e-6 per K, soda glass); the strength of the sucrose solution of that density at that
    temperature is found, and its gravity at 20 C returned. Hotter than 60 C the sample loses
    water and warms the stem unevenly, so there is no answer. For beer the alcohol is left out of
    the expansion, which matters little below 30 C.

    References
    ----------
    International Organization of Legal Metrology (1976). Alcoholometers and alcohol hydrometers,
    OIML R 44 (expansion of the glass).
    Bubnik, Z., Kadlec, P., Urban, D., Bruhns, M. (1995). Sugar technologists manual, 8th ed.,
    Bartens, Berlin (density of the sample).
    """
    made_for_kg_m3 = density_from_sg_kg_m3(reading_sg, calibration_c)
    sample_kg_m3 = made_for_kg_m3 * (1.0 - _GLASS_PER_DK * (sample_c - calibration_c))
    strength_plato = plato_from_density(sample_kg_m3, sample_c)
    gravity_sg = sg_from_density(wort_density_kg_m3(strength_plato, 20.0))
    readable = np.greater_equal(sample_c, 0.0) & np.less_equal(sample_c, HOTTEST_SAMPLE_C)
    return np.where(readable, gravity_sg, np.nan)[()]


def brix_from_index(refractive_index: Real) -> Real:
    """Return the strength of a sucrose solution of a refractive index.

    Parameters
    ----------
    refractive_index : Real
        Refractive index at 20 C in sodium light [-].

    Returns
    -------
    Real
        Strength of sucrose [degP].

    Notes
    -----
    Quintic fitted to the ICUMSA table. Its terms nearly cancel (100 000 against 10), so it needs
    double precision.

    References
    ----------
    ICUMSA (1974). Refractive index of sucrose solutions at 20 C, 16th session, Ankara (table
    fitted; the coefficients as commonly reprinted).
    """
    return polynomial(_BRIX, refractive_index)


def wort_plato(reading_plato: Real, wort_correction: Real = WORT_CORRECTION) -> Real:
    """Return the strength of unfermented wort from its refractometer reading.

    Parameters
    ----------
    reading_plato : Real
        Reading on the refractometer's sucrose scale [degP].
    wort_correction : Real
        Reading over true strength of this person's wort and instrument [-].

    Returns
    -------
    Real
        Strength of the wort [degP].

    Notes
    -----
    Wort refracts a little more than sucrose of the same strength. The factor is learnt from
    paired hydrometer readings; 1.04 until then.

    References
    ----------
    Terrill, S. (2010). Refractometer estimates of final gravity (published by the author).
    """
    return reading_plato / wort_correction


def final_sg_terrill_linear_2011(original_plato: Real, final_plato: Real) -> Real:
    """Return the gravity of beer from refractometer readings, by the line through 12 beers.

    Parameters
    ----------
    original_plato : Real
        Strength of the wort before fermentation [degP].
    final_plato : Real
        Refractometer reading of the beer, divided by the wort correction factor [degP].

    Returns
    -------
    Real
        Final gravity [-].

    Notes
    -----
    Fitted to 12 beers, tried on 68 more.

    References
    ----------
    Terrill, S. (2011). Refractometer FG results (published by the author).
    """
    return 1.0 - 0.00085683 * original_plato + 0.0034941 * final_plato


def final_sg_terrill_cubic_2011(original_plato: Real, final_plato: Real) -> Real:
    """Return the gravity of beer from refractometer readings, by the cubic through 12 beers.

    Parameters
    ----------
    original_plato : Real
        Strength of the wort before fermentation [degP].
    final_plato : Real
        Refractometer reading of the beer, divided by the wort correction factor [degP].

    Returns
    -------
    Real
        Final gravity [-].

    Notes
    -----
    Fitted to 12 beers, tried on 68 more.

    References
    ----------
    Terrill, S. (2011). Refractometer FG results (published by the author).
    """
    return (
        1.0
        + polynomial((0.0, -0.0044993, 0.00027581, -0.00000728), original_plato)
        + polynomial((0.0, 0.011774, -0.0012717, 0.000063293), final_plato)
    )


def final_sg_bonham_2001(original_plato: Real, final_plato: Real) -> Real:
    """Return the gravity of beer from refractometer readings, by the earlier common cubic.

    Parameters
    ----------
    original_plato : Real
        Strength of the wort before fermentation [degP].
    final_plato : Real
        Refractometer reading of the beer, divided by the wort correction factor [degP].

    Returns
    -------
    Real
        Final gravity [-].

    Notes
    -----
    Found to read 0.0005 to 0.0085 low by Terrill (2010).

    References
    ----------
    Bonham, L. K. (2001). The use of handheld refractometers by homebrewers. Zymurgy 24(1), 43-46
    (attribution from memory).
    Terrill, S. (2010). Refractometer estimates of final gravity (published by the author).
    """
    return (
        1.001843
        + polynomial((0.0, -0.002318474, -7.775e-6, -3.4e-8), original_plato)
        + polynomial((0.0, 0.00574, 3.344e-5, 8.6e-8), final_plato)
    )


def final_sg_novotny_linear_2017(original_plato: Real, final_plato: Real) -> Real:
    """Return the gravity of beer from refractometer readings, by Novotny's line.

    Parameters
    ----------
    original_plato : Real
        Strength of the wort before fermentation [degP].
    final_plato : Real
        Refractometer reading of the beer, divided by the wort correction factor [degP].

    Returns
    -------
    Real
        Final gravity [-].

    Notes
    -----
    Coefficients from memory.

    References
    ----------
    Novotny, P. (2017). Pitfalls in calculating final gravity with a refractometer. Zymurgy 40(4)
    (from memory).
    """
    return 1.0 - 0.002349 * original_plato + 0.006276 * final_plato


def final_sg_novotny_quadratic_2017(original_plato: Real, final_plato: Real) -> Real:
    """Return the gravity of beer from refractometer readings, by Novotny's quadratic.

    Parameters
    ----------
    original_plato : Real
        Strength of the wort before fermentation [degP].
    final_plato : Real
        Refractometer reading of the beer, divided by the wort correction factor [degP].

    Returns
    -------
    Real
        Final gravity [-].

    Notes
    -----
    Coefficients from memory.

    References
    ----------
    Novotny, P. (2017). Pitfalls in calculating final gravity with a refractometer. Zymurgy 40(4)
    (from memory).
    """
    return (
        1.0
        + polynomial((0.0, -2.421e-3, 1.335e-5), original_plato)
        + polynomial((0.0, 6.219e-3, 2.916e-5), final_plato)
        - 3.239e-5 * original_plato * final_plato
    )


def final_sg_balance(
    original_plato: Real, final_plato: Real, wort_correction: Real = WORT_CORRECTION
) -> Real:
    """Return the gravity of beer from refractometer readings, by what refracts in it.

    Parameters
    ----------
    original_plato : Real
        Strength of the wort before fermentation [degP].
    final_plato : Real
        Refractometer reading of the beer, divided by the wort correction factor [degP].
    wort_correction : Real
        Reading over true strength of unfermented wort [-].

    Returns
    -------
    Real
        Final gravity [-].

    Notes
    -----
    Worked out for this function: the reading of beer is that of its real extract plus 0.43 degP
    per per cent of alcohol by weight (0.0006 against 0.0014 of refractive index per per cent,
    from memory). With Balling's balance only the apparent extract is unknown, and it enters
    linearly.

    References
    ----------
    Balling, C. J. N. (1865). Die Bierbrauerei, 3rd ed., Prague.
    Lide, D. R. (ed.) (2004). CRC handbook of chemistry and physics, 85th ed., section 8 (refractive
    index of aqueous solutions).
    """
    # The reading is a line in apparent extract: take off where it starts, divide by its slope.
    extract_per_alcohol = EXTRACT_PER_ALCOHOL - (EXTRACT_PER_ALCOHOL - 1.0) * original_plato / 100.0
    refracts = _BRIX_PER_ALCOHOL / extract_per_alcohol
    real_at_zero_plato = real_extract_plato(original_plato, 0.0)
    per_apparent = real_extract_plato(0.0, 1.0)
    start_plato = wort_correction * real_at_zero_plato + refracts * (
        original_plato - real_at_zero_plato
    )
    slope = per_apparent * (wort_correction - refracts)
    return sg_from_plato((wort_correction * final_plato - start_plato) / slope)


FINAL_SG: dict[str, Callable[[Real, Real], Real]] = {
    "balance": final_sg_balance,
    "terrill linear": final_sg_terrill_linear_2011,
    "terrill cubic": final_sg_terrill_cubic_2011,
    "bonham": final_sg_bonham_2001,
    "novotny linear": final_sg_novotny_linear_2017,
    "novotny quadratic": final_sg_novotny_quadratic_2017,
}
"""Final gravity from the original strength and the corrected reading, by each fit."""


class GravitySpread(NamedTuple):
    """A gravity with the range its rival fits leave open."""

    low_sg: Real
    mid_sg: Real
    high_sg: Real


def final_sg_spread(
    original_plato: Real, reading_plato: Real, wort_correction: Real = WORT_CORRECTION
) -> GravitySpread:
    """Return the gravity of beer from refractometer readings, and how far the fits disagree.

    Parameters
    ----------
    original_plato : Real
        Strength of the wort before fermentation [degP].
    reading_plato : Real
        Refractometer reading of the beer as read [degP].
    wort_correction : Real
        Reading over true strength of unfermented wort [-].

    Returns
    -------
    GravitySpread
        Lowest of all fits, the balance's own, highest of all fits [-].

    Notes
    -----
    The disagreement is some 0.002 either way and does not average out over readings: a
    refractometer shows that a fermentation moves, not where it stands.

    References
    ----------
    Terrill, S. (2011). Refractometer FG results (published by the author).
    """
    final_plato = wort_plato(reading_plato, wort_correction)
    mid_sg = final_sg_balance(original_plato, final_plato, wort_correction)
    rivals = [
        fit(original_plato, final_plato) for name, fit in FINAL_SG.items() if name != "balance"
    ]
    every = np.stack([np.asarray(value) for value in np.broadcast_arrays(mid_sg, *rivals)])
    return GravitySpread(every.min(axis=0)[()], mid_sg, every.max(axis=0)[()])
