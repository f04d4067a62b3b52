"""Rival published fits of strength against gravity, beside the one Wortline computes with."""

from collections.abc import Callable

from wortline.science.extract import (
    STRONGEST_PLATO,
    WEAKEST_PLATO,
    density_from_sg_kg_m3,
    plato_from_sg,
    wort_density_kg_m3,
)
from wortline.science.numerics import derivative, polynomial, rising_root
from wortline.science.real import Real

_AOAC = (
    1.0,
    0.3875135555,
    0.09702881653,
    0.3883357480,
    -1.782845295,
    5.591472292,
    -11.00667976,
    13.62230734,
    -10.33082001,
    4.387787019,
    -0.7995558730,
)

_AOAC_SLOPE = derivative(_AOAC)


def plato_buhl_2023(gravity_sg: Real) -> Real:
    """Return the strength of a gravity by a newer cubic.

    Parameters
    ----------
    gravity_sg : Real
        Gravity, 20 C over 20 C, in air [-].

    Returns
    -------
    Real
        Strength [degP].

    Notes
    -----
    Valid from 1.000 to 1.120.

    References
    ----------
    Buhl, J. (2023). Physical equations relating extract and relative density. OSF preprint, v1.7.
    """
    return polynomial((-613.9427, 1102.9079, -622.5576, 133.5892), gravity_sg)


def plato_lincoln(gravity_sg: Real) -> Real:
    """Return the strength of a gravity by the short quadratic.

    Parameters
    ----------
    gravity_sg : Real
        Gravity, 20 C over 20 C, in air [-].

    Returns
    -------
    Real
        Strength [degP].

    Notes
    -----
    Within 0.02 degP up to 1.083; 0.05 degP low at 1.120.

    References
    ----------
    Lincoln, R. A. (1987). Computer compatible parametric equations for basic brewing
    calculations. MBAA Technical Quarterly 24, 129-132 (from memory).
    """
    return (463.0 - 205.0 * gravity_sg) * (gravity_sg - 1.0)


def brix_nbs_c440(gravity_sg: Real) -> Real:
    """Return the strength of a sucrose solution of a gravity by the sugar trade's cubic.

    Parameters
    ----------
    gravity_sg : Real
        Gravity, 20 C over 20 C, in air [-].

    Returns
    -------
    Real
        Strength of sucrose [degP].

    Notes
    -----
    Valid from 1.000 to 1.17874 (40 per cent sucrose).

    References
    ----------
    Bates, F. J. (1942). Polarimetry, saccharimetry and the sugars. National Bureau of Standards
    Circular C440, table 114 (cubic fit).
    """
    return polynomial((-669.56218, 1262.7794, -775.68212, 182.46007), gravity_sg)


def sg_aoac(extract_plato: Real) -> Real:
    """Return the density ratio of a sucrose solution by the food chemists' polynomial.

    Parameters
    ----------
    extract_plato : Real
        Strength of sucrose [degP].

    Returns
    -------
    Real
        Density over that of water, both at 20 C, in vacuum [-].

    Notes
    -----
    Valid from 0 to 95 degP. In vacuum: at 20 degP it is 0.0001 below the gravity in air.

    References
    ----------
    Hackbarth, J. J. (2011). The effect of ethanol-sucrose interactions on specific gravity.
    Journal of the ASBC 69 (place from memory); fit to the table in Horwitz, W., Latimer, G. W.
    (2005), Official methods of analysis of AOAC International.
    """
    return polynomial(_AOAC, extract_plato / 100.0)


def plato_aoac(gravity_sg: Real) -> Real:
    """Return the strength of a gravity by the food chemists' polynomial.

    Parameters
    ----------
    gravity_sg : Real
        Gravity, 20 C over 20 C, in air [-].

    Returns
    -------
    Real
        Strength, nan outside -20 to 85 [degP].

    Notes
    -----
    Inverse of `sg_aoac` after the buoyancy of air is taken out.

    References
    ----------
    Hackbarth, J. J. (2011). The effect of ethanol-sucrose interactions on specific gravity.
    Journal of the ASBC 69 (place from memory).
    """
    ratio = density_from_sg_kg_m3(gravity_sg) / wort_density_kg_m3(0.0, 20.0)

    def miss_and_slope(trial_plato: Real) -> tuple[Real, Real]:
        slope = polynomial(_AOAC_SLOPE, trial_plato / 100.0) / 100.0
        return sg_aoac(trial_plato) - ratio, slope

    return rising_root(miss_and_slope, WEAKEST_PLATO, STRONGEST_PLATO)


RIVALS: dict[str, Callable[[Real], Real]] = {
    "asbc": plato_from_sg,
    "buhl": plato_buhl_2023,
    "lincoln": plato_lincoln,
    "nbs": brix_nbs_c440,
    "aoac": plato_aoac,
}
"""Strength from a gravity in air, by each published fit."""
