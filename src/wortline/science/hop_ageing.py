"""What storage takes from hops."""

import numpy as np

from wortline.science.real import Real

DAY_MIN = 1440.0
SIX_MONTHS_MIN = 180.0 * DAY_MIN
"""Garetz counts six months as 180 days [min]."""
FRESH_HSI = 0.25
"""Hop storage index of fresh hops [-]."""
HSI_SLOPE = 1.10
"""Share lost per tenfold index, as Garetz uses it; 1.018-1.146 by crop year at the source [-]."""
PACKAGING_FACTOR = {"open": 1.0, "sealed": 0.75, "flushed": 0.5}
"""Garetz's storage factor: open; sealed with air inside; flushed or evacuated oxygen barrier. Only
the first was read in the article, the two lower values are from memory [-]."""


def lost_by_index_nickerson_1979(hsi: Real, slope: Real = HSI_SLOPE) -> Real:
    """Share of the alpha and beta acids of harvest that is lost, from the hop storage index.

    Parameters
    ----------
    hsi : Real
        Hop storage index, absorbance at 275 nm over that at 325 nm [-]
    slope : Real
        Share lost per tenfold index; 1.018, 1.113, 1.145, 1.146 in four crop years [-]

    Returns
    -------
    Real
        Share lost, 0 for hops fresher than an index of 0.25 [-]

    Notes
    -----
    The index follows the sum of alpha and beta acids; it is used here for alpha alone as well.

    References
    ----------
    G. B. Nickerson, S. T. Likens, 1979, Hop Storage Index, J. Am. Soc. Brew. Chem. 37, 184-187.
    M. Garetz, 1994, Hop Storage, BrewingTechniques 2(1) (slope 110 %, constant 0.25).
    """
    return np.clip(slope * np.log10(np.maximum(hsi, FRESH_HSI) / FRESH_HSI), 0.0, 1.0)


def alpha_loss_per_min(lost_in_six_months: Real) -> Real:
    """Rate of alpha loss at 20 C of hops in the open, from what a variety loses in six months.

    Parameters
    ----------
    lost_in_six_months : Real
        Share of alpha acids lost in 180 days at 20 C, below 1 [-]

    Returns
    -------
    Real
        First-order rate [1/min]

    Notes
    -----
    The article prints "100 * per cent lost" where 100 minus per cent lost is meant.

    References
    ----------
    M. Garetz, 1994, Hop Storage, BrewingTechniques 2(1).
    """
    return -np.log1p(-np.asarray(lost_in_six_months, dtype=np.float64))[()] / SIX_MONTHS_MIN


def storage_temperature_factor(temp_c: Real) -> Real:
    """How much faster hops age than at 20 C.

    Parameters
    ----------
    temp_c : Real
        Temperature of the store [C]

    Returns
    -------
    Real
        Rate over the rate at 20 C; halves for every 15 K of cooling [-]

    References
    ----------
    M. Garetz, 1994, Hop Storage, BrewingTechniques 2(1).
    """
    return np.exp2((temp_c - 20.0) / 15.0)


def alpha_left(
    lost_in_six_months: Real, stored_min: Real, temp_c: Real, packaging_factor: Real = 1.0
) -> Real:
    """Share of the alpha acids of harvest that is left after storage.

    Parameters
    ----------
    lost_in_six_months : Real
        Share of alpha acids the variety loses in 180 days at 20 C in the open, below 1 [-]
    stored_min : Real
        Time in store [min]
    temp_c : Real
        Temperature of the store [C]
    packaging_factor : Real
        1 for open hops, less where air is kept out, see `PACKAGING_FACTOR` [-]

    Returns
    -------
    Real
        Share left [-]

    Notes
    -----
    Made for cones; pellets keep better.

    References
    ----------
    M. Garetz, 1994, Hop Storage, BrewingTechniques 2(1).
    """
    pace_per_min = alpha_loss_per_min(lost_in_six_months) * storage_temperature_factor(temp_c)
    return np.exp(-pace_per_min * packaging_factor * stored_min)
