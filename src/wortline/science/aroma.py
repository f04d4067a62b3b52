"""Hop oil on the hot side: out of the hops into the wort, and out of the wort with the steam."""

from dataclasses import dataclass
from math import inf, log2

import numpy as np

from wortline.science.first_order import chain_step, with_axes
from wortline.science.real import Real

FILM_LIMIT = 68.0
"""Most that the way to the bubbles lets any compound be carried off, over the share of wort boiled
off; from free DMS, 0.18 per min at 17 %/h (Wilson 1979) with an equilibrium of 1049 [-]."""
FILM_SPREAD = 1.75
"""That limit may be so many times less or more: DMS left boiling wort or water at 0.0143 to 0.0436
per min with heating power (Desobgo 2015), and this is the root of the ratio [-]."""

EXTRACTED_PER_MIN = {
    ("pellets", "free"): 0.35,
    ("pellets", "bag"): 0.15,
    ("pellets", "mesh"): 0.15,
    ("cones", "free"): 0.12,
    ("cones", "bag"): 0.06,
    ("cones", "mesh"): 0.06,
}
"""Rate at which oil leaves hops from 90 C up, by form and how they are held [1/min]."""

PACE_SPREAD = 2.0
"""That rate may be so many times slower or faster: chosen, as wide as the levels themselves.
Practice names no range; its own two statements (0.35 from 80 C up; doubling every 25 K around 90 C)
lie 1.3 apart at 80 C and at the boil [-]."""

# The rate halves for every 25 K down to 60 C; loose pellets stirred at 20 C give 0.005 per min.
PACE_C = (20.0, 60.0, 90.0)
PACE_LOG2 = (log2(0.005 / 0.35), -30.0 / 25.0, 0.0)

LEVEL_FACTOR = 2.0
"""How many times too high or too low an index may be [-]."""
RANKING_SHARE = 0.2
"""How far the ratio of two schedules may be off, either way [-]."""


@dataclass(frozen=True)
class OilShares:
    """Where the oil of a dose is, as shares of what the dose brought.

    Parameters
    ----------
    in_hops : Real
        Still in the hops [-]
    kept : Real
        In the wort [-]
    stripped : Real
        Gone with the steam [-]
    """

    in_hops: Real
    kept: Real
    stripped: Real

    @property
    def extracted(self) -> Real:
        """What has left the hops: kept and stripped together [-]."""
        return self.kept + self.stripped


def effective_volatility(volatility: Real, film_limit: Real = FILM_LIMIT) -> Real:
    """Share of a compound lost over share of wort boiled off.

    Parameters
    ----------
    volatility : Real
        Relative volatility to water at equilibrium, on a mole basis, at 100 C [-]
    film_limit : Real
        What the way to the bubbles allows at most [-]

    Returns
    -------
    Real
        Effective volatility [-]

    Notes
    -----
    Two resistances in a row. Of the very volatile hydrocarbons and of DMS the liquid film decides,
    of the alcohols the equilibrium. The limit is worked out from DMS; that it holds for hop oil is
    an assumption.

    References
    ----------
    W. K. Lewis, W. G. Whitman, 1924, Principles of Gas Absorption, Ind. Eng. Chem. 16, 1215-1220.
    R. J. H. Wilson, C. D. Booer, 1979, J. Inst. Brew. 85, 144-148 (0.18 per min at 17 %/h).
    R. Sander, 2023, Atmos. Chem. Phys. 23, 10901-12440 (equilibrium of DMS).
    """
    return volatility * film_limit / (volatility + film_limit)


def oil_stripping_per_min(
    evaporated_per_min: Real, volatility: Real, film_limit: Real = FILM_LIMIT
) -> Real:
    """Rate at which steam carries a compound of hop oil out of the wort.

    Parameters
    ----------
    evaporated_per_min : Real
        Mass of steam that leaves per minute over mass of wort at that moment [1/min]
    volatility : Real
        Relative volatility to water at equilibrium, on a mole basis, at 100 C [-]
    film_limit : Real
        What the way to the bubbles allows at most [-]

    Returns
    -------
    Real
        First-order rate [1/min]

    Notes
    -----
    The steam decides, not the temperature: the same volatility serves an open rest, whose steam is
    that of its surface. Over an hour at a constant loss of 8 % of the first wort, the mass falls
    and the mean rate is that of -ln(0.92): linalool halves in 15.6 min then, and in 16.3 min at
    the first pace. Splashing, oxygen and decay are not counted.

    References
    ----------
    Lord Rayleigh, 1902, On the Distillation of Binary Mixtures, Phil. Mag. 4, 521-537.
    R. J. H. Wilson, C. D. Booer, 1979, J. Inst. Brew. 85, 144-148 (DMS, the same way).
    """
    return effective_volatility(volatility, film_limit) * evaporated_per_min


def oil_extraction_per_min(temp_c: Real, from_90_c_per_min: Real) -> Real:
    """Rate at which oil leaves hops.

    Parameters
    ----------
    temp_c : Real
        Temperature of the wort [C]
    from_90_c_per_min : Real
        Rate from 90 C up, see `EXTRACTED_PER_MIN` [1/min]

    Returns
    -------
    Real
        First-order rate [1/min]

    Notes
    -----
    Practice names 0.35 per min for loose pellets from 80 C up and also a doubling for every 25 K
    around 90 C; both cannot hold, and worked examples at the boil use 0.35 as it is. Chosen here,
    so that it is continuous: one rate from 90 C up, half of it for every 25 K less to 60 C, and
    from there straight in its logarithm to 20 C, where 0.005 per min of loose pellets is what takes
    about two hours to give up half when stirred. No published series of times and temperatures.

    References
    ----------
    Common practice, no source; P. Wolfe, 2012, thesis, Oregon State University (stirred, at room
    temperature: hydrocarbons at their most after 3-6 h).
    """
    return from_90_c_per_min * 2.0 ** np.interp(temp_c, PACE_C, PACE_LOG2)


def oil_shares(
    extracted_per_min: Real,
    stripped_per_min: Real,
    step_min: Real,
    in_min: Real = 0.0,
    until_min: Real = inf,
    reachable: Real = 1.0,
) -> OilShares:
    """Follow the oil of a dose along a curve of steps.

    Parameters
    ----------
    extracted_per_min : Real
        Rate out of the hops in each step, shape (steps, ...) [1/min]
    stripped_per_min : Real
        Rate out of the wort in each step, shape (steps, ...) [1/min]
    step_min : Real
        Length of each step, shape (steps, ...) [min]
    in_min : Real
        When the dose goes in, from the start of the curve; inside a step too [min]
    until_min : Real
        When it is looked at; the end of the curve at the latest [min]
    reachable : Real
        Share of the oil that can leave the hops at all; below 1 in a bag or mesh [-]

    Returns
    -------
    OilShares
        What is in the hops, kept and stripped; together 1. The axes behind the steps broadcast as
        numpy's do, those of `in_min`, `until_min` and `reachable` with them [-]

    Raises
    ------
    ValueError
        If a curve has no axis of steps.

    Notes
    -----
    Exact for rates that are constant within a step: no stepping, one sum over all steps. A dose
    whose moment is not a number has shares that are none.

    References
    ----------
    H. Bateman, 1910, Proc. Cambridge Phil. Soc. 15, 423-427 (first-order chain).
    """
    curves = [np.asarray(each, dtype=float) for each in (extracted_per_min, stripped_per_min)]
    length = np.asarray(step_min, dtype=float)
    if any(each.ndim == 0 for each in (*curves, length)):
        raise ValueError("a curve needs its steps on the first axis")
    single = max(np.ndim(each) for each in (in_min, until_min, reachable)) + 1
    axes = max(single, length.ndim, *(each.ndim for each in curves))
    length, extract, strip = (with_axes(each, axes) for each in (length, *curves))
    ends = np.cumsum(length, axis=0)
    minutes = np.minimum(ends, until_min) - np.maximum(ends - length, in_min)
    minutes = np.maximum(minutes, 0.0)
    turned, lost = extract * minutes, strip * minutes
    passed = np.asarray(chain_step(1.0, 0.0, extract, strip, minutes)[1])
    turned_by, lost_by = np.cumsum(turned, axis=0), np.cumsum(lost, axis=0)
    # What a step brings into the wort, times what the steps after it leave of that.
    brought = np.exp(turned - turned_by) * passed * np.exp(lost_by - lost_by[-1])
    kept = reachable * brought.sum(axis=0)
    in_hops = 1.0 + reachable * np.expm1(-turned_by[-1])
    in_hops, kept = np.broadcast_arrays(in_hops, kept)
    return OilShares(in_hops[()], kept[()], (1.0 - in_hops - kept)[()])


def aroma_index_g_l(mass_kg: Real, cold_l: Real, kept_share: Real) -> Real:
    """Aroma of a dose in the wort, as hops whose oil is all there.

    Parameters
    ----------
    mass_kg : Real
        Mass of the hops [kg]
    cold_l : Real
        Wort at 20 C that it ends in [L]
    kept_share : Real
        Share of the dose's linalool in the wort [-]

    Returns
    -------
    Real
        Hops for each litre whose linalool is all in the wort [g/L]

    Notes
    -----
    No amount of oil is said, because hops differ by more than the index does. Compare plans made
    with the same hops; see `index_range_g_l` and `ratio_range`. Linalool stands for the aroma
    because its way from kettle to beer has been measured.

    References
    ----------
    M. Gahr, A. Forster, L. De Clippeleer, F. Van Opstaele, 2019, BrewingScience 72 (linalool of
    late hops: 60 % in the beer).
    """
    return 1000.0 * mass_kg * kept_share / cold_l


def index_range_g_l(index_g_l: Real) -> tuple[Real, Real]:
    """Bounds of an index that stands alone.

    Parameters
    ----------
    index_g_l : Real
        An index [g/L]

    Returns
    -------
    tuple of Real
        Lowest and highest it may be [g/L]

    References
    ----------
    Common practice, no source: half to twice, as wide as the volatility of linalool is known
    (37 to 114; L. Copolovici, U. Niinemets, 2005, Chemosphere 61, 1390-1400, and vapour pressure).
    """
    return index_g_l / LEVEL_FACTOR, index_g_l * LEVEL_FACTOR


def ratio_range(index_g_l: Real, other_g_l: Real) -> tuple[Real, Real, Real]:
    """An index over that of another plan with the same hops, with its bounds.

    Parameters
    ----------
    index_g_l : Real
        Index of the one plan [g/L]
    other_g_l : Real
        Index of the plan it is compared with; above 0 [g/L]

    Returns
    -------
    tuple of Real
        Lowest, middle and highest ratio [-]

    Notes
    -----
    What is unknown of the hops is the same in both and falls out: 20 % either way remain.

    References
    ----------
    Common practice, no source.
    """
    ratio = index_g_l / other_g_l
    return ratio * (1.0 - RANKING_SHARE), ratio, ratio * (1.0 + RANKING_SHARE)
