"""How wort cools when it is left alone: a published fit, to check heat balances by."""

import numpy as np

from wortline.science.real import Real


def natural_cooling_hosom_2015_c(
    since_min: Real, hot_l: Real, surface_m2: Real, opening_m2: Real
) -> Real:
    """Temperature of wort left to cool by itself after heat-off.

    Parameters
    ----------
    since_min : Real
        Time since heat-off [min]
    hot_l : Real
        Hot wort in the kettle [L]
    surface_m2 : Real
        Surface of the wort [m2]
    opening_m2 : Real
        Area that is open to the room [m2]

    Returns
    -------
    Real
        Temperature of the wort [C]

    Notes
    -----
    A fit to pots of about 5-30 L from 100.1 C down; a check for a heat balance, not one itself.

    References
    ----------
    J.-P. Hosom, 2015, A Modified IBU Calculation (Especially for Late Hopping), author's web
    article.
    """
    # The fit counts areas in cm2.
    decay_per_min = 0.0002925 * 1e4 * np.sqrt(surface_m2 * opening_m2) / hot_l + 0.00538
    temp_c: Real = 53.70 * np.exp(-decay_per_min * since_min) + 46.40
    return temp_c
