"""Alpha acids turning into iso-alpha acids, and those into nothing bitter, along hot time."""

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from wortline.science.first_order import (
    Array,
    aligned_steps,
    chain_step,
    from_zero,
    mean_decay,
    step_of,
    taken,
)
from wortline.science.real import Real
from wortline.science.standards import ZERO_C_K


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


Sums: TypeAlias = tuple[Real, Real, Real]


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


def hot_time(temp_c: Real, step_min: Real, hot_share: Real | None = None) -> HotTime:
    """Sum a temperature curve once, so that each dose along it costs next to nothing.

    Parameters
    ----------
    temp_c : Real
        Temperature of each step, shape (steps,) or (steps, ...members) [C]
    step_min : Real
        Length of each step, shape (steps,) or (steps, ...members); zero is allowed [min]
    hot_share : Real, optional
        Share of the wort that is that hot in each step, the rest being cold; all of it unless
        given [-]

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
    middle: 1 min steps are within 0.03 % on a pot that cools from 100 to 71 C in 40 min. Where wort
    is drawn and cold at once, the share makes the sums the mean over all litres.

    References
    ----------
    M. G. Malowicki, T. H. Shellhammer, 2005, J. Agric. Food Chem. 53, 4434-4439 (rate equations).
    """
    if hot_share is None:
        temp_c, step_min = aligned_steps(temp_c, step_min)
        hot_min = step_min
    else:
        temp_c, step_min, hot_share = aligned_steps(temp_c, step_min, hot_share)
        hot_min = step_min * hot_share
    k1 = isomerisation_per_min(temp_c) * hot_min
    k2 = degradation_per_min(temp_c) * hot_min
    k1_sum, k2_sum = from_zero(k1), from_zero(k2)
    grown = from_zero(k1 * np.exp(k2_sum[:-1] - k1_sum[:-1]) * mean_decay(k1 - k2))
    return HotTime(from_zero(step_min), k1_sum, k2_sum, grown)


def at(hot: HotTime, when_min: Real) -> Sums:
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
        start = taken(sums, index)
        return start, gone * (taken(sums, index + 1) - start)

    k1_start, k1_part = start_and_part(hot.k1_sum)
    k2_start, k2_part = start_and_part(hot.k2_sum)
    grown_start = taken(hot.grown, index)
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
    return iso_share_between(at(hot, in_min), at(hot, np.maximum(in_min, at_min)))


def iso_share_between(sums_in: Sums, sums_at: Sums) -> Real:
    """The same from the sums of the curve at both moments, where they are at hand.

    Parameters
    ----------
    sums_in : tuple of Real
        What `at` gives for the moment the dose goes in [-]
    sums_at : tuple of Real
        What `at` gives for the moment it is read, not before the other [-]

    Returns
    -------
    Real
        Iso-alpha acids over dissolved dose [-]

    References
    ----------
    M. G. Malowicki, T. H. Shellhammer, 2005, J. Agric. Food Chem. 53, 4434-4439 (rate equations).
    """
    k1_in, _, grown_in = sums_in
    _, k2_at, grown_at = sums_at
    share = np.exp(np.minimum(k1_in - k2_at, 700.0)) * (grown_at - grown_in)
    return np.minimum(np.maximum(share, 0.0), 1.0)
