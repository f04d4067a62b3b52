"""Dimethyl sulphide: freed from its precursor by heat, carried off with the steam."""

import numpy as np

from wortline.science.first_order import Array, aligned_steps, chain_shares, chain_step
from wortline.science.real import Real
from wortline.science.standards import ZERO_C_K

GAS_CONSTANT_J_MOL_K = 8.314462618
BOILING_K = 373.15

PRECURSOR_HALF_LIFE_MIN = 38.0
"""Half-life of the precursor in boiling wort of pH 5.2, Dickenson 1979 [min]."""
ACTIVATION_J_MOL = 128e3
"""Chosen so that the half-life doubles for about every 6 K of cooling (Dickenson 1979) [J/mol]."""
EFFECTIVE_VOLATILITY = 63.5
"""Share of DMS lost over share of wort boiled off; 0.18 per min at 17 %/h (Wilson 1979) [-]."""
DMS_PER_PRECURSOR = 62.13 / 164.2
"""Mass of DMS that a mass of S-methylmethionine can free [-]."""
KEPT_IN_FERMENTATION = 0.5
"""Share of DMS that fermentation leaves, Fix 1999 [-]."""


def precursor_split_per_min(temp_c: Real, wort_ph: Real = 5.2) -> Real:
    """Rate at which the precursor of DMS splits.

    Parameters
    ----------
    temp_c : Real
        Temperature of the wort [C]
    wort_ph : Real
        pH of the wort at 20 C [-]

    Returns
    -------
    Real
        First-order rate [1/min]

    Notes
    -----
    Half-lives while boiling of 38 min at pH 5.2 and 32.5 min at pH 5.5 are published; so is the
    doubling per 6 K, to which the activation energy of 128 kJ/mol was fitted here over 76-100 C.

    References
    ----------
    C. J. Dickenson, 1979, The relationship of dimethyl sulphide levels in malt, wort and beer,
    J. Inst. Brew. 85, 235-239.
    R. J. H. Wilson, C. D. Booer, 1979, Control of the dimethyl sulphide content of beer by
    regulation of the copper boil, J. Inst. Brew. 85, 144-148.
    """
    inverse = 1.0 / (temp_c + ZERO_C_K) - 1.0 / BOILING_K
    warm = np.exp(-ACTIVATION_J_MOL / GAS_CONSTANT_J_MOL_K * inverse)
    acid = np.exp(0.521 * (wort_ph - 5.2))
    rate_per_min: Real = np.log(2.0) / PRECURSOR_HALF_LIFE_MIN * warm * acid
    return rate_per_min


def dms_stripping_per_min(
    evaporated_per_min: Real, effective_volatility: Real = EFFECTIVE_VOLATILITY
) -> Real:
    """Rate at which steam carries DMS out of the wort.

    Parameters
    ----------
    evaporated_per_min : Real
        Mass of steam that leaves per minute over mass of wort; 0 under a lid [1/min]
    effective_volatility : Real
        Share of DMS lost over share of wort boiled off [-]

    Returns
    -------
    Real
        First-order rate [1/min]

    Notes
    -----
    From 0.18 per min at 17 % per hour. Equilibrium would give about 1049 instead of 63.5: what is
    measured is limited by the way of DMS to the bubbles. In an open rest without boiling 30-60 is
    common practice, no source.

    References
    ----------
    R. J. H. Wilson, C. D. Booer, 1979, Control of the dimethyl sulphide content of beer by
    regulation of the copper boil, J. Inst. Brew. 85, 144-148.
    """
    return effective_volatility * evaporated_per_min


def dosed_precursor_ug_l(precursor_fraction: Real, malt_kg: Real, cold_l: Real) -> Real:
    """Precursor brought by malt, as the DMS it can free.

    Parameters
    ----------
    precursor_fraction : Real
        Precursor in the malt, counted as DMS, mass over mass (5 mg/kg is 5e-6) [-]
    malt_kg : Real
        Mass of malt [kg]
    cold_l : Real
        Wort at 20 C that it ends in [L]

    Returns
    -------
    Real
        Precursor in the wort before heating, as DMS [ug/L]

    Notes
    -----
    All of the malt's precursor is taken to be in the wort. A malt analysis given as
    S-methylmethionine is multiplied by `DMS_PER_PRECURSOR` first.

    References
    ----------
    G. Fix, 1999, Principles of Brewing Science, p. 71-75 (5 ug/g and 200 g/L make 1000 ug/L).
    """
    return precursor_fraction * malt_kg * 1e9 / cold_l


def dms_step(
    precursor_ug_l: Real,
    dms_ug_l: Real,
    split_per_min: Real,
    strip_per_min: Real,
    minutes_min: Real,
) -> tuple[Real, Real]:
    """Precursor and free DMS after some minutes at constant rates.

    Parameters
    ----------
    precursor_ug_l : Real
        Precursor at the start, as DMS [ug/L]
    dms_ug_l : Real
        Free DMS at the start [ug/L]
    split_per_min : Real
        Rate at which the precursor splits [1/min]
    strip_per_min : Real
        Rate at which free DMS leaves with the steam [1/min]
    minutes_min : Real
        Length of the step [min]

    Returns
    -------
    tuple of Real
        Precursor and free DMS at the end [ug/L]

    Notes
    -----
    Exact. Concentrations are per litre of the same final volume throughout.

    References
    ----------
    R. J. H. Wilson, C. D. Booer, 1979, J. Inst. Brew. 85, 144-148 (two first-order steps).
    """
    return chain_step(precursor_ug_l, dms_ug_l, split_per_min, strip_per_min, minutes_min)


def dms_curve(
    split_per_min: Real,
    strip_per_min: Real,
    step_min: Real,
    precursor_ug_l: Real,
    dms_ug_l: Real,
) -> tuple[Array, Array]:
    """Precursor and free DMS along a curve of steps.

    Parameters
    ----------
    split_per_min : Real
        Rate of splitting in each step, shape (steps,) or (steps, ...members) [1/min]
    strip_per_min : Real
        Rate of stripping in each step, shape (steps,) or (steps, ...members) [1/min]
    step_min : Real
        Length of each step, shape (steps,) or (steps, ...members) [min]
    precursor_ug_l : Real
        Precursor at the start, as DMS; broadcasts with the members [ug/L]
    dms_ug_l : Real
        Free DMS at the start; broadcasts with the members [ug/L]

    Returns
    -------
    tuple of ndarray
        Precursor and free DMS at the start and at each step's end, shape (steps + 1, ...members)
        [ug/L]

    Raises
    ------
    ValueError
        If a curve has no axis of steps.

    References
    ----------
    R. J. H. Wilson, C. D. Booer, 1979, J. Inst. Brew. 85, 144-148 (two first-order steps).
    """
    split, strip, length = np.broadcast_arrays(
        *aligned_steps(split_per_min, strip_per_min, step_min)
    )
    members = np.broadcast_shapes(split.shape[1:], np.shape(precursor_ug_l), np.shape(dms_ug_l))
    precursor = np.empty((len(split) + 1, *members))
    dms = np.empty_like(precursor)
    precursor[0], dms[0] = precursor_ug_l, dms_ug_l
    left, kept, freed = map(np.asarray, chain_shares(split * length, strip * length))
    for i in range(len(split)):
        precursor[i + 1] = precursor[i] * left[i]
        dms[i + 1] = dms[i] * kept[i] + precursor[i] * freed[i]
    return precursor, dms


def dms_in_beer_ug_l(dms_ug_l: Real, kept_share: Real = KEPT_IN_FERMENTATION) -> Real:
    """Free DMS after fermentation.

    Parameters
    ----------
    dms_ug_l : Real
        Free DMS in the cold wort [ug/L]
    kept_share : Real
        Share that fermentation leaves [-]

    Returns
    -------
    Real
        Free DMS in the beer [ug/L]

    References
    ----------
    G. Fix, 1999, Principles of Brewing Science, p. 71-75 (fermentation removes about half).
    """
    return kept_share * dms_ug_l


def dms_air_water_ratio(temp_c: Real) -> Real:
    """DMS in the air over DMS in the water below it, at equilibrium.

    Parameters
    ----------
    temp_c : Real
        Temperature [C]

    Returns
    -------
    Real
        Concentration in air over concentration in water [-]

    Notes
    -----
    For pure water; extrapolated to boiling from constants given for 25 C.

    References
    ----------
    R. Sander, 2023, Compilation of Henry's law constants (version 5.0.0) for water as solvent,
    Atmos. Chem. Phys. 23, 10901-12440 (5.3e-3 mol/(m3 Pa), 3500 K).
    """
    temp_k = temp_c + ZERO_C_K
    solubility = 5.3e-3 * np.exp(3500.0 * (1.0 / temp_k - 1.0 / 298.15))
    return 1.0 / (solubility * GAS_CONSTANT_J_MOL_K * temp_k)
