"""Wort that passes once through a chiller, and what a slug left in it does."""

import numpy as np

from wortline.science.numerics import quotient
from wortline.science.real import Real
from wortline.science.water import density_kg_m3

WORT_KJ_KG_K, WATER_KJ_KG_K = 3.95, 4.19
WORT_KG_M3 = 1015.0  # 1.048 wort at 80 C: water 972 kg/m3 there


def effectiveness(transfer_units: Real, ratio: Real) -> Real:
    """Return the effectiveness of a counterflow heat exchanger.

    Parameters
    ----------
    transfer_units : Real
        UA over the smaller of the two capacity rates [-].
    ratio : Real
        Smaller over larger capacity rate [-].

    Returns
    -------
    Real
        Heat passed over the most that could pass [-].

    References
    ----------
    Kays, W. M., London, A. L. (1984). Compact Heat Exchangers, 3rd ed., McGraw-Hill.
    """
    away = np.abs(1 - ratio) > 1e-9
    fall = np.exp(-transfer_units * np.where(away, 1 - ratio, 1.0))
    unequal = quotient(1 - fall, 1 - np.where(away, ratio, 0.0) * fall)
    either: Real = np.where(away, unequal, transfer_units / (1 + transfer_units))[()]
    return either


def one_pass_outlet_c(
    wort_c: Real, water_c: Real, wort_l_min: Real, water_l_min: Real, ua_w_k: Real
) -> Real:
    """Return the temperature at which wort leaves a counterflow chiller.

    Parameters
    ----------
    wort_c : Real
        Wort on its way in [C].
    water_c : Real
        Water on its way in [C].
    wort_l_min : Real
        Flow of wort [L/min].
    water_l_min : Real
        Flow of water [L/min].
    ua_w_k : Real
        Conductance of the chiller at these flows [W/K].

    Returns
    -------
    Real
        Wort on its way out [C].

    Notes
    -----
    UA is the one number that cannot be told from a chiller's size: published correlations for
    small brazed plates differ by a factor of nearly three. Measured outlets are better.

    References
    ----------
    Kays, W. M., London, A. L. (1984). Compact Heat Exchangers, 3rd ed., McGraw-Hill.
    """
    wort_w_k = wort_l_min / 60 * WORT_KG_M3 * WORT_KJ_KG_K
    water_w_k = water_l_min / 60 * density_kg_m3(water_c) * WATER_KJ_KG_K
    least = np.minimum(wort_w_k, water_w_k)
    share = effectiveness(ua_w_k / least, least / np.maximum(wort_w_k, water_w_k))
    return wort_c - share * quotient(least, wort_w_k) * (wort_c - water_c)


def slug_rise_dk(slug_l: Real, slug_c: Real, cold_l: Real, cold_c: Real) -> Real:
    """Return how much a hot slug warms the cold wort it is swept into.

    Parameters
    ----------
    slug_l : Real
        Volume of the slug [L].
    slug_c : Real
        Its temperature [C].
    cold_l : Real
        Wort it comes into [L].
    cold_c : Real
        The temperature of that [C].

    Returns
    -------
    Real
        Rise of temperature [K].

    Notes
    -----
    Volumes stand for masses: hot wort is up to 4 % lighter.

    References
    ----------
    Conservation of energy in mixing: any textbook of thermodynamics.
    """
    return slug_l * (slug_c - cold_c) / (slug_l + cold_l)
