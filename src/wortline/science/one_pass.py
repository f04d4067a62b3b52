"""Wort that passes once through a chiller, and what a slug left in it does."""

from wortline.science.exchanger import single_pass, stream_w_k
from wortline.science.real import Real
from wortline.science.water import density_kg_m3

WORT_KJ_KG_K, WATER_KJ_KG_K = 3.95, 4.19
WORT_KG_M3 = 1015.0  # 1.048 wort at 80 C: water 972 kg/m3 there


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
    wort_w_k = stream_w_k(wort_l_min, WORT_KG_M3, WORT_KJ_KG_K)
    water_w_k = stream_w_k(water_l_min, density_kg_m3(water_c), WATER_KJ_KG_K)
    return single_pass(wort_c, water_c, ua_w_k, wort_w_k, water_w_k).hot_out_c


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
