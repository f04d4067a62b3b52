"""Traditional utilisation formulas, and Tinseth's carried on past heat-off."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from wortline.science.first_order import Array, aligned_steps, from_zero, step_of, taken
from wortline.science.real import Real
from wortline.science.standards import ZERO_C_K

TINSETH_SCALE = 4.15
"""The one number its author would have changed to fit one's own kettle [-]."""
TINSETH_RATE_PER_MIN = 0.04
"""How fast Tinseth's utilisation saturates [1/min]."""
FAST_PART_MIN = 5.0
"""For this long after a dose goes in, temperature does not matter [min]."""


def utilisation_tinseth_1997(gravity_sg: Real, boil_min: Real, scale: Real = TINSETH_SCALE) -> Real:
    """IBU for each mg/L of alpha acids boiled, by Tinseth's formula.

    Parameters
    ----------
    gravity_sg : Real
        Mean gravity of the wort during the boil [sg]
    boil_min : Real
        How long the hops boil [min]
    scale : Real
        Fits the formula to a kettle; smaller means more bitterness [-]

    Returns
    -------
    Real
        Utilisation [-]

    Notes
    -----
    Made for 1.030-1.130, up to 120 min, below 200-250 mg/L of alpha acids, wort chilled at once
    and beer measured young. Well-hopped or older beer is over-predicted, by up to half.

    References
    ----------
    G. Tinseth, 1997, Glenn's Hop Utilization Numbers, realbeer.com/hops/research.html.
    """
    return _tinseth_slope(gravity_sg, scale) * -np.expm1(-TINSETH_RATE_PER_MIN * boil_min)


def utilisation_rager_1990(gravity_sg: Real, boil_min: Real) -> Real:
    """IBU for each mg/L of alpha acids boiled, by the smooth form of Rager's table.

    Parameters
    ----------
    gravity_sg : Real
        Gravity of the wort [sg]
    boil_min : Real
        How long the hops boil [min]

    Returns
    -------
    Real
        Utilisation [-]

    Notes
    -----
    The hyperbolic tangent is later than the table and within one point of it. The magazine
    printed 0.050 for 1.050 in the gravity term; corrected here as by its readers in 1992.

    References
    ----------
    J. Rager, 1990, Calculating Hop Bitterness in Beer, Zymurgy 13(4), 53-54.
    """
    utilisation = 0.1811 + 0.1386 * np.tanh((boil_min - 31.32) / 18.27)
    return utilisation / _above_1050(gravity_sg)


def utilisation_garetz_1994(gravity_sg: Real, boil_min: Real) -> Real:
    """IBU for each mg/L of alpha acids boiled, by Garetz, before his other factors.

    Parameters
    ----------
    gravity_sg : Real
        Gravity of the wort in the boil [sg]
    boil_min : Real
        How long the hops boil [min]

    Returns
    -------
    Real
        Utilisation, not below 0 [-]

    Notes
    -----
    Average yeast. The smooth form of the book's table and its gravity factor are from memory.

    References
    ----------
    M. Garetz, 1994, Using Hops: The Complete Guide to Hops for the Craft Brewer, HopTech.
    """
    utilisation = 0.072994 + 0.150746 * np.tanh((boil_min - 21.86) / 24.71)
    return np.maximum(utilisation, 0.0) / _above_1050(gravity_sg)


def utilisation_tutzauer_1992(gravity_sg: Real, boil_min: Real) -> Real:
    """IBU for each mg/L of alpha acids boiled, by a regression on Papazian's table.

    Parameters
    ----------
    gravity_sg : Real
        Gravity of the wort [sg]
    boil_min : Real
        How long the hops boil [min]

    Returns
    -------
    Real
        Utilisation [-]

    References
    ----------
    F. Tutzauer, T. Hettmansperger, 1992, hop utilisation regression, Home Brew Digest.
    """
    return np.exp(
        -23.63
        + 0.12896 * boil_min
        + 37.76 * gravity_sg
        - 0.00068496 * boil_min**2
        - 18.01 * gravity_sg**2
        - 0.04187 * boil_min * gravity_sg
    )


UTILISATION: dict[str, Callable[[Real, Real], Real]] = {
    "tinseth": utilisation_tinseth_1997,
    "rager": utilisation_rager_1990,
    "garetz": utilisation_garetz_1994,
    "tutzauer": utilisation_tutzauer_1992,
}
"""Rival formulas by name, each of mean gravity and minutes boiled."""


def hopping_rate_factor_garetz_1994(bitterness_ibu: Real, concentration: Real = 1.0) -> Real:
    """By how much well-hopped wort divides utilisation.

    Parameters
    ----------
    bitterness_ibu : Real
        Bitterness of the beer [IBU]
    concentration : Real
        Final volume over boiled volume; 1 for a boil of the whole wort [-]

    Returns
    -------
    Real
        Factor to divide by [-]

    References
    ----------
    M. Garetz, 1994, Using Hops: The Complete Guide to Hops for the Craft Brewer, HopTech.
    """
    return concentration * bitterness_ibu / 260.0 + 1.0


def altitude_factor_garetz_1994(elevation_m: Real) -> Real:
    """By how much a kettle high above the sea divides utilisation.

    Parameters
    ----------
    elevation_m : Real
        Height above the sea [m]

    Returns
    -------
    Real
        Factor to divide by [-]

    Notes
    -----
    2 % for every 550 ft, from memory.

    References
    ----------
    M. Garetz, 1994, Using Hops: The Complete Guide to Hops for the Craft Brewer, HopTech.
    """
    return 1.0 + 0.02 * elevation_m / (550.0 * 0.3048)


def ibu_garetz_1994(
    alpha_mg_l: Real, gravity_sg: Real, boil_min: Real, elevation_m: Real = 0.0
) -> Real:
    """Bitterness of one dose boiled in the whole wort, by Garetz.

    Parameters
    ----------
    alpha_mg_l : Real
        Alpha acids dosed [mg/L]
    gravity_sg : Real
        Gravity of the wort in the boil [sg]
    boil_min : Real
        How long the hops boil [min]
    elevation_m : Real
        Height above the sea [m]

    Returns
    -------
    Real
        Bitterness [IBU]

    Notes
    -----
    The book goes round until the bitterness and its hopping rate factor agree; here the quadratic
    equation they meet is solved instead.

    References
    ----------
    M. Garetz, 1994, Using Hops: The Complete Guide to Hops for the Craft Brewer, HopTech.
    """
    first_ibu = (
        alpha_mg_l
        * utilisation_garetz_1994(gravity_sg, boil_min)
        / altitude_factor_garetz_1994(elevation_m)
    )
    return 130.0 * (np.sqrt(1.0 + first_ibu / 65.0) - 1.0)


def relative_rate_hosom_2015(temp_c: Real) -> Real:
    """How fast bitterness grows in resting wort, over boiling wort.

    Parameters
    ----------
    temp_c : Real
        Temperature of the wort [C]

    Returns
    -------
    Real
        Relative rate, at most 1 [-]

    Notes
    -----
    Fitted to 40 min of the kinetics of Malowicki and Shellhammer, so degradation is in it. The fit
    passes 1 just below 100 C; it is cut there.

    References
    ----------
    J.-P. Hosom, 2015, A Modified IBU Calculation (Especially for Late Hopping), author's web
    article.
    """
    return np.minimum(2.39e11 * np.exp(-9773.0 / (temp_c + ZERO_C_K)), 1.0)


@dataclass(frozen=True)
class TinsethHotTime:
    """A temperature curve summed for Tinseth's formula.

    Parameters
    ----------
    time_min : ndarray
        Time since the start of the curve, at the start and at each step's end [min]
    rate : ndarray
        Relative rate within each step, one row fewer [-]
    weighted : ndarray
        Integral of the rate times 0.04 exp(-0.04 t), at the start and at each step's end [-]
    """

    time_min: Array
    rate: Array
    weighted: Array


def tinseth_hot_time(
    temp_c: Real, step_min: Real, boiling: npt.ArrayLike, hot_share: Real | None = None
) -> TinsethHotTime:
    """Sum a temperature curve once, so that Tinseth's formula can be read for any dose.

    Parameters
    ----------
    temp_c : Real
        Temperature of each step, shape (steps,) or (steps, ...members) [C]
    step_min : Real
        Length of each step, shape (steps,) or (steps, ...members); zero is allowed [min]
    boiling : array of bool
        Whether the wort boils in that step, shape (steps,) or (steps, ...members).
    hot_share : Real, optional
        Share of the wort that is that hot in each step, the rest being cold; all of it unless
        given [-]

    Returns
    -------
    TinsethHotTime
        The curve summed at its start and at each step's end.

    Raises
    ------
    ValueError
        If an array has no axis of steps.

    Notes
    -----
    While the wort boils the relative rate is 1 whatever the altitude, as at the source.

    References
    ----------
    J.-P. Hosom, 2015, A Modified IBU Calculation (Especially for Late Hopping), author's web
    article.
    """
    temp_c, step_min, boils = aligned_steps(temp_c, step_min, np.asarray(boiling, np.float64))
    rate = np.where(boils > 0.0, 1.0, relative_rate_hosom_2015(temp_c))
    if hot_share is not None:
        rate = rate * hot_share
    time_min = from_zero(step_min)
    left = np.exp(-TINSETH_RATE_PER_MIN * time_min)
    return TinsethHotTime(time_min, rate, from_zero(rate * (left[:-1] - left[1:])))


def utilisation_tinseth_hosom_2015(
    hot: TinsethHotTime,
    gravity_sg: Real,
    in_min: Real,
    at_min: Real,
    scale: Real = TINSETH_SCALE,
) -> Real:
    """IBU for each mg/L of alpha acids, by Tinseth's formula weighted with temperature.

    Parameters
    ----------
    hot : TinsethHotTime
        The temperature curve.
    gravity_sg : Real
        Mean gravity of the wort during the boil [sg]
    in_min : Real
        When the dose goes in, since the start of the curve [min]
    at_min : Real
        When it is read, since the start of the curve; the end of the curve at the latest [min]
    scale : Real
        Fits the formula to a kettle; smaller means more bitterness [-]

    Returns
    -------
    Real
        Utilisation, 0 before the dose is in [-]

    Notes
    -----
    For five minutes after it goes in, a dose counts as boiling at any temperature: that stands for
    the fast part of its bitterness that is not iso-alpha acids.

    References
    ----------
    J.-P. Hosom, 2015, A Modified IBU Calculation (Especially for Late Hopping), author's web
    article.
    """
    in_min = np.clip(in_min, hot.time_min[0], hot.time_min[-1])
    at_min = np.clip(at_min, in_min, hot.time_min[-1])
    fast_end_min = np.minimum(in_min + FAST_PART_MIN, at_min)
    fast = -np.expm1(-TINSETH_RATE_PER_MIN * (fast_end_min - in_min))
    slow = _weighted_at(hot, at_min) - _weighted_at(hot, fast_end_min)
    grown = fast + np.exp(TINSETH_RATE_PER_MIN * in_min) * slow
    return _tinseth_slope(gravity_sg, scale) * grown


def _weighted_at(hot: TinsethHotTime, when_min: Real) -> Real:
    index, gone = step_of(hot.time_min, when_min)
    start, length, rate, weighted = (
        taken(curve, index)
        for curve in (hot.time_min, np.diff(hot.time_min, axis=0), hot.rate, hot.weighted)
    )
    fresh = np.exp(-TINSETH_RATE_PER_MIN * start)
    part = -fresh * np.expm1(-TINSETH_RATE_PER_MIN * gone * length)
    reached: Real = (weighted + rate * part)[0][()]
    return reached


def _tinseth_slope(gravity_sg: Real, scale: Real) -> Real:
    return 1.65 * np.power(0.000125, gravity_sg - 1.0) / scale


def _above_1050(gravity_sg: Real) -> Real:
    return 1.0 + np.maximum(gravity_sg - 1.050, 0.0) / 0.2
