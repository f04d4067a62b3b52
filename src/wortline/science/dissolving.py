"""How much of the alpha acids put into hot wort dissolves."""

import numpy as np

from wortline.science.real import Real

WHOLLY_DISSOLVED_MG_L = 200.0
"""Up to here all dosed alpha acids dissolve; Hosom's final global fit [mg/L]."""
MOST_DISSOLVED_MG_L = 580.0
"""What no dose gets above; Hosom's final global fit [mg/L]."""


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
