"""Alpha acids turning into iso-alpha acids, and those into nothing bitter, along hot time."""

from dataclasses import dataclass

import numpy as np

from wortline.science.first_order import (
    Array,
    aligned_steps,
    chain_step,
    from_zero,
    mean_decay,
    step_of,
    with_axes,
)
from wortline.science.real import Real
from wortline.science.water import ZERO_C_K

WHOLLY_DISSOLVED_MG_L = 200.0
"""Up to here all dosed alpha acids dissolve; Hosom's final global fit [mg/L]."""
MOST_DISSOLVED_MG_L = 580.0
"""What no dose gets above; Hosom's final global fit [mg/L]."""


def isomerisation_per_min(temp_c: Real) -> Real:
    """Rate at which alpha acids turn into iso-alpha acids.

    Parameters
    ----------
    temp_c : Real
        Temperature of the wort [C]

    Returns
    -------
    Real
        First-order rate [1/min]

    Notes
    -----
    Measured 90-130 C at pH 5.2; Jaskula and others (2008) find the same form down to 80 C; below
    that it is extrapolated. pH 4.8-6.0, sugar and calcium did not change the rate. The printed
    prefactor is good to about 1 %, as chemistry to about 10 %.

    References
    ----------
    M. G. Malowicki, T. H. Shellhammer, 2005, Isomerization and Degradation Kinetics of Hop
    (Humulus lupulus) Acids in a Model Wort-Boiling System, J. Agric. Food Chem. 53, 4434-4439.
    """
    return 7.9e11 * np.exp(-11858.0 / (temp_c + ZERO_C_K))


def degradation_per_min(temp_c: Real) -> Real:
    """Rate at which iso-alpha acids turn into products that are not bitter.

    Parameters
    ----------
    temp_c : Real
        Temperature of the wort [C]

    Returns
    -------
    Real
        First-order rate [1/min]

    Notes
    -----
    Measured 90-130 C at pH 5.2. Kappler and others (2010) lost over 20 % in 90 min: here 24 %.

    References
    ----------
    M. G. Malowicki, T. H. Shellhammer, 2005, Isomerization and Degradation Kinetics of Hop
    (Humulus lupulus) Acids in a Model Wort-Boiling System, J. Agric. Food Chem. 53, 4434-4439.
    """
    return 4.1e12 * np.exp(-12994.0 / (temp_c + ZERO_C_K))


def isothermal_step(
    alpha_mg_l: Real, iso_mg_l: Real, temp_c: Real, minutes_min: Real
) -> tuple[Real, Real]:
    """Alpha and iso-alpha acids after some minutes at one temperature.

    Parameters
    ----------
    alpha_mg_l : Real
        Dissolved alpha acids at the start [mg/L]
    iso_mg_l : Real
        Iso-alpha acids at the start [mg/L]
    temp_c : Real
        Temperature of the wort [C]
    minutes_min : Real
        Length of the step [min]

    Returns
    -------
    tuple of Real
        Alpha acids and iso-alpha acids at the end [mg/L]

    Notes
    -----
    Exact. Concentrations are per litre of the same final volume throughout.

    References
    ----------
    M. G. Malowicki, T. H. Shellhammer, 2005, J. Agric. Food Chem. 53, 4434-4439 (rate equations).
    """
    return chain_step(
        alpha_mg_l,
        iso_mg_l,
        isomerisation_per_min(temp_c),
        degradation_per_min(temp_c),
        minutes_min,
    )


@dataclass(frozen=True)
class HotTime:
    """A temperature curve boiled down to what any dose along it needs.

    Every array has the start of the curve first and then each step's end, on axis 0.

    Parameters
    ----------
    time_min : ndarray
        Time since the start of the curve [min]
    k1_sum : ndarray
        Integral of the isomerisation rate [-]
    k2_sum : ndarray
        Integral of the degradation rate [-]
    grown : ndarray
        Integral of k1 exp(k2_sum - k1_sum) [-]
    """

    time_min: Array
    k1_sum: Array
    k2_sum: Array
    grown: Array


def hot_time(temp_c: Real, step_min: Real) -> HotTime:
    """Sum a temperature curve once, so that each dose along it costs next to nothing.

    Parameters
    ----------
    temp_c : Real
        Temperature of each step, shape (steps,) or (steps, ...members) [C]
    step_min : Real
        Length of each step, shape (steps,) or (steps, ...members); zero is allowed [min]

    Returns
    -------
    HotTime
        The curve summed at its start and at each step's end.

    Raises
    ------
    ValueError
        If an array has no axis of steps.

    Notes
    -----
    Exact for a temperature constant within each step. For a curve cut into steps take each step's
    middle: 1 min steps are within 0.03 % on a pot that cools from 100 to 71 C in 40 min.

    References
    ----------
    M. G. Malowicki, T. H. Shellhammer, 2005, J. Agric. Food Chem. 53, 4434-4439 (rate equations).
    """
    temp_c, step_min = aligned_steps(temp_c, step_min)
    k1 = isomerisation_per_min(temp_c) * step_min
    k2 = degradation_per_min(temp_c) * step_min
    k1_sum, k2_sum = from_zero(k1), from_zero(k2)
    grown = from_zero(k1 * np.exp(k2_sum[:-1] - k1_sum[:-1]) * mean_decay(k1 - k2))
    return HotTime(from_zero(step_min), k1_sum, k2_sum, grown)


def at(hot: HotTime, when_min: Real) -> tuple[Real, Real, Real]:
    """The three sums of a curve at any moment, exact inside its steps.

    Parameters
    ----------
    hot : HotTime
        The curve.
    when_min : Real
        Time since its start; broadcasts with the members, and axes in front of theirs (many moments
        at once) are kept; a moment outside the curve counts as its nearer end [min]

    Returns
    -------
    tuple of Real
        k1_sum, k2_sum and grown at that moment [-]

    References
    ----------
    M. G. Malowicki, T. H. Shellhammer, 2005, J. Agric. Food Chem. 53, 4434-4439 (rate equations).
    """
    index, gone = step_of(hot.time_min, when_min)

    def start_and_part(sums: Array) -> tuple[Array, Array]:
        sums = with_axes(sums, index.ndim)
        start = np.take_along_axis(sums, index, axis=0)
        return start, gone * (np.take_along_axis(sums, index + 1, axis=0) - start)

    k1_start, k1_part = start_and_part(hot.k1_sum)
    k2_start, k2_part = start_and_part(hot.k2_sum)
    grown_start = np.take_along_axis(with_axes(hot.grown, index.ndim), index, axis=0)
    grown_part = k1_part * np.exp(k2_start - k1_start) * mean_decay(k1_part - k2_part)
    return (
        (k1_start + k1_part)[0][()],
        (k2_start + k2_part)[0][()],
        (grown_start + grown_part)[0][()],
    )


def alpha_share(hot: HotTime, in_min: Real, at_min: Real) -> Real:
    """Share of a dose of dissolved alpha acids that is still alpha at a later moment.

    Parameters
    ----------
    hot : HotTime
        The temperature curve.
    in_min : Real
        When the dose goes in, since the start of the curve [min]
    at_min : Real
        When it is read, since the start of the curve [min]

    Returns
    -------
    Real
        Alpha acids left over dissolved dose, 0 before the dose is in [-]

    References
    ----------
    M. G. Malowicki, T. H. Shellhammer, 2005, J. Agric. Food Chem. 53, 4434-4439 (rate equations).
    """
    k1_in = at(hot, in_min)[0]
    k1_at = at(hot, at_min)[0]
    return np.where(np.less(at_min, in_min), 0.0, np.exp(np.minimum(k1_in - k1_at, 0.0)))[()]


def iso_share(hot: HotTime, in_min: Real, at_min: Real) -> Real:
    """Share of a dose of dissolved alpha acids that is iso-alpha at a later moment.

    Parameters
    ----------
    hot : HotTime
        The temperature curve.
    in_min : Real
        When the dose goes in, since the start of the curve [min]
    at_min : Real
        When it is read, since the start of the curve [min]

    Returns
    -------
    Real
        Iso-alpha acids over dissolved dose, 0 before the dose is in [-]

    Notes
    -----
    The difference of two sums loses digits for a dose put in very late: about 1e-9 of the dose
    where k1_sum is 20 (27 hours at 100 C) and more beyond; the result stays between 0 and 1.

    References
    ----------
    M. G. Malowicki, T. H. Shellhammer, 2005, J. Agric. Food Chem. 53, 4434-4439 (rate equations).
    """
    k1_in, _, grown_in = at(hot, in_min)
    _, k2_at, grown_at = at(hot, np.maximum(in_min, at_min))
    share = np.exp(np.minimum(k1_in - k2_at, 700.0)) * (grown_at - grown_in)
    return np.clip(share, 0.0, 1.0)


def dosed_alpha_mg_l(alpha_fraction: Real, hops_kg: Real, cold_l: Real) -> Real:
    """Alpha acids put into the wort with a dose of hops.

    Parameters
    ----------
    alpha_fraction : Real
        Alpha acids in the hops as weighed, by mass [-]
    hops_kg : Real
        Mass of hops [kg]
    cold_l : Real
        Wort after the boil at 20 C, which makes evaporation cancel [L]

    Returns
    -------
    Real
        Alpha acids dosed [mg/L]

    References
    ----------
    J.-P. Hosom, 2021, A Summary of Factors Affecting IBUs, author's web article (post-boil litres).
    """
    return alpha_fraction * hops_kg * 1e6 / cold_l


def dissolved_mg_l(
    dosed_mg_l: Real,
    whole_mg_l: Real = WHOLLY_DISSOLVED_MG_L,
    most_mg_l: Real = MOST_DISSOLVED_MG_L,
) -> Real:
    """How much of the dosed alpha acids dissolves in boiling wort.

    Parameters
    ----------
    dosed_mg_l : Real
        Alpha acids put in [mg/L]
    whole_mg_l : Real
        Up to here all of it dissolves [mg/L]
    most_mg_l : Real
        What dissolved alpha acids tend to for very large doses [mg/L]

    Returns
    -------
    Real
        Dissolved alpha acids; the rest is taken as lost with the break [mg/L]

    Notes
    -----
    A soft limit fitted to measured IBUs: (200, 580) finally, (240, 490) earlier for pH 5.75.

    References
    ----------
    J.-P. Hosom, 2021, A Summary of Factors Affecting IBUs, author's web article.
    """
    beyond = np.maximum(dosed_mg_l, whole_mg_l)
    bent = -most_mg_l * np.expm1(_steepness_l_mg(whole_mg_l, most_mg_l) * beyond)
    return np.where(np.less_equal(dosed_mg_l, whole_mg_l), dosed_mg_l, bent)[()]


def dosed_for_mg_l(
    dissolved_mg_l: Real,
    whole_mg_l: Real = WHOLLY_DISSOLVED_MG_L,
    most_mg_l: Real = MOST_DISSOLVED_MG_L,
) -> Real:
    """The dose of alpha acids that gives a wanted dissolved amount (inverse of `dissolved_mg_l`).

    Parameters
    ----------
    dissolved_mg_l : Real
        Dissolved alpha acids [mg/L]
    whole_mg_l : Real
        Up to here all of a dose dissolves [mg/L]
    most_mg_l : Real
        What dissolved alpha acids tend to for very large doses [mg/L]

    Returns
    -------
    Real
        Alpha acids to put in; infinite at `most_mg_l` and above [mg/L]

    References
    ----------
    J.-P. Hosom, 2021, A Summary of Factors Affecting IBUs, author's web article.
    """
    share = np.minimum(np.maximum(dissolved_mg_l, whole_mg_l) / most_mg_l, 1.0)
    with np.errstate(divide="ignore"):
        bent = np.log1p(-share) / _steepness_l_mg(whole_mg_l, most_mg_l)
    return np.where(np.less_equal(dissolved_mg_l, whole_mg_l), dissolved_mg_l, bent)[()]


def dissolved_from_dose_mg_l(
    already_mg_l: Real,
    dose_mg_l: Real,
    whole_mg_l: Real = WHOLLY_DISSOLVED_MG_L,
    most_mg_l: Real = MOST_DISSOLVED_MG_L,
) -> Real:
    """What a dose adds to the alpha acids that are dissolved at the moment it goes in.

    Parameters
    ----------
    already_mg_l : Real
        Alpha acids dissolved just before the dose [mg/L]
    dose_mg_l : Real
        Alpha acids put in with the dose [mg/L]
    whole_mg_l : Real
        Up to here all of a dose dissolves [mg/L]
    most_mg_l : Real
        What dissolved alpha acids tend to for very large doses [mg/L]

    Returns
    -------
    Real
        Dissolved alpha acids added, never negative nor above the dose [mg/L]

    Notes
    -----
    The published limit is for one dose. Here it acts on what is dissolved at that moment: what has
    isomerised leaves room again, and one dose given as two at once dissolves the same.

    References
    ----------
    J.-P. Hosom, 2021, A Summary of Factors Affecting IBUs, author's web article.
    """
    reached = dissolved_mg_l(
        dosed_for_mg_l(already_mg_l, whole_mg_l, most_mg_l) + dose_mg_l, whole_mg_l, most_mg_l
    )
    return np.clip(reached - already_mg_l, 0.0, dose_mg_l)


def _steepness_l_mg(whole_mg_l: Real, most_mg_l: Real) -> Real:
    return np.log1p(-whole_mg_l / most_mg_l) / whole_mg_l
