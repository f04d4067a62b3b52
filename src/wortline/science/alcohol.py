"""Alcohol, attenuation and food energy of beer."""

from collections.abc import Callable

import numpy as np

from wortline.science.extract import plato_from_sg, sg_from_plato
from wortline.science.numerics import quotient
from wortline.science.real import Real

CO2_PER_ALCOHOL = 0.9565
"""Carbon dioxide made with each kilogram of alcohol [-]."""

YEAST_PER_ALCOHOL = 0.11
"""Dry yeast grown with each kilogram of alcohol [-]."""

EXTRACT_PER_ALCOHOL = 1.0 + CO2_PER_ALCOHOL + YEAST_PER_ALCOHOL
"""Extract used up for each kilogram of alcohol, Balling's 2.0665 [-]."""

_REAL_FROM_ORIGINAL = 0.1808

WATER_20_KG_M3 = 998.203
ETHANOL_20_KG_M3 = 789.239

_KCAL_PER_G_ALCOHOL = 6.9
_KCAL_PER_G_EXTRACT = 4.0
_ASH_PLATO = 0.1

# Steps of excess gravity (points of original over final gravity) and the factor up to each.
_UK_POINTS = (6.9, 10.4, 17.2, 26.1, 36.0, 46.5, 57.1, 67.9, 78.8, 89.7, 100.7)
_UK_FACTORS = (0.125, 0.126, 0.127, 0.128, 0.129, 0.130, 0.131, 0.132, 0.133, 0.134, 0.135)


def real_extract_plato(original_plato: Real, apparent_plato: Real) -> Real:
    """Return the extract that is truly left in beer.

    Parameters
    ----------
    original_plato : Real
        Strength of the wort before fermentation [degP].
    apparent_plato : Real
        Strength the beer's gravity would mean if it held no alcohol [degP].

    Returns
    -------
    Real
        Real extract [degP].

    Notes
    -----
    The usual constant form of Balling's attenuation quotient, valid for beers of 8 to 25 degP.

    References
    ----------
    Balling, C. J. N. (1865). Die Bierbrauerei, 3rd ed., Prague.
    Cutaia, A. J., Reid, A.-J., Speers, R. A. (2009). Examination of the relationships between
    original, real and apparent extracts, and alcohol in pilot plant and commercially produced
    beers. Journal of the Institute of Brewing 115, 318-327.
    """
    return _REAL_FROM_ORIGINAL * original_plato + (1.0 - _REAL_FROM_ORIGINAL) * apparent_plato


def alcohol_abw(original_plato: Real, apparent_plato: Real) -> Real:
    """Return the alcohol of beer by weight.

    Parameters
    ----------
    original_plato : Real
        Strength of the wort before fermentation [degP].
    apparent_plato : Real
        Strength the beer's gravity would mean if it held no alcohol [degP].

    Returns
    -------
    Real
        Mass of alcohol over mass of beer [-].

    Notes
    -----
    Balling's balance: 2.0665 g of extract make 1 g of alcohol, 0.9565 g of carbon dioxide, which
    leaves, and 0.11 g of yeast, which is taken out.

    References
    ----------
    Balling, C. J. N. (1865). Die Bierbrauerei, 3rd ed., Prague.
    """
    lost_plato = original_plato - real_extract_plato(original_plato, apparent_plato)
    return lost_plato / (100.0 * EXTRACT_PER_ALCOHOL - (EXTRACT_PER_ALCOHOL - 1.0) * original_plato)


def balling_original_plato(alcohol_abw: Real, real_plato: Real) -> Real:
    """Return the strength of the wort that a beer came from.

    Parameters
    ----------
    alcohol_abw : Real
        Mass of alcohol over mass of beer [-].
    real_plato : Real
        Real extract of the beer [degP].

    Returns
    -------
    Real
        Strength of the wort before fermentation [degP].

    Notes
    -----
    Balling's balance read backwards.

    References
    ----------
    Balling, C. J. N. (1865). Die Bierbrauerei, 3rd ed., Prague.
    """
    return (100.0 * EXTRACT_PER_ALCOHOL * alcohol_abw + real_plato) / (
        1.0 + (EXTRACT_PER_ALCOHOL - 1.0) * alcohol_abw
    )


def alcohol_abv(original_sg: Real, final_sg: Real) -> Real:
    """Return the alcohol of beer by volume, from its gravities.

    Parameters
    ----------
    original_sg : Real
        Gravity of the wort before fermentation [-].
    final_sg : Real
        Gravity of the beer, free of gas [-].

    Returns
    -------
    Real
        Volume of alcohol over volume of beer, both at 20 C [-].

    Notes
    -----
    Alcohol by weight after Balling, times the gravity of the beer over that of ethanol (0.7907).
    Trade variants divide by 0.794 or 0.791: 0.4 % lower at most.

    References
    ----------
    Balling, C. J. N. (1865). Die Bierbrauerei, 3rd ed., Prague.
    International Organization of Legal Metrology (1973). International alcoholometric tables,
    OIML R 22 (density of ethanol).
    """
    by_weight = alcohol_abw(plato_from_sg(original_sg), plato_from_sg(final_sg))
    return by_weight * final_sg * WATER_20_KG_M3 / ETHANOL_20_KG_M3


def alcohol_abv_hall_1995(original_sg: Real, final_sg: Real) -> Real:
    """Return the alcohol of beer by volume after Hall.

    Parameters
    ----------
    original_sg : Real
        Gravity of the wort before fermentation [-].
    final_sg : Real
        Gravity of the beer, free of gas [-].

    Returns
    -------
    Real
        Volume of alcohol over volume of beer [-].

    Notes
    -----
    Coefficients from memory.

    References
    ----------
    Hall, M. L. (1995). Brew by the numbers: add up what's in your beer. Zymurgy 18(2), 54-61.
    """
    by_weight = 0.7608 * (original_sg - final_sg) / (1.775 - original_sg)
    return by_weight * final_sg / 0.794


def alcohol_abv_simple(original_sg: Real, final_sg: Real) -> Real:
    """Return the alcohol of beer by volume by the pocket rule.

    Parameters
    ----------
    original_sg : Real
        Gravity of the wort before fermentation [-].
    final_sg : Real
        Gravity of the beer, free of gas [-].

    Returns
    -------
    Real
        Volume of alcohol over volume of beer [-].

    Notes
    -----
    131.25 per cent per unit of gravity lost; some 4 % low for a beer of 1.100.

    References
    ----------
    Common practice, no source.
    """
    return 1.3125 * (original_sg - final_sg)


def alcohol_abv_uk(original_sg: Real, final_sg: Real) -> Real:
    """Return the alcohol of beer by volume as the United Kingdom's excise reckons it.

    Parameters
    ----------
    original_sg : Real
        Gravity of the wort before fermentation [-].
    final_sg : Real
        Gravity of the beer, free of gas [-].

    Returns
    -------
    Real
        Volume of alcohol over volume of beer, nan where more than 100.7 points are lost [-].

    Notes
    -----
    Points of gravity lost times a factor that rises from 0.125 to 0.135 with them. The steps are
    from memory.

    References
    ----------
    HM Revenue and Customs. Alcoholic products technical guide, section 11 (table of factors).
    """
    points = 1000.0 * np.subtract(original_sg, final_sg)
    factor = np.append(_UK_FACTORS, np.nan)[np.searchsorted(_UK_POINTS, np.round(points, 6))]
    return np.asarray(points * factor / 100.0)[()]


ABV: dict[str, Callable[[Real, Real], Real]] = {
    "balling": alcohol_abv,
    "hall": alcohol_abv_hall_1995,
    "simple": alcohol_abv_simple,
    "uk": alcohol_abv_uk,
}
"""Alcohol by volume from original and final gravity, by each published way."""


def apparent_attenuation(original_plato: Real, apparent_plato: Real) -> Real:
    """Return the share of the strength that seems to be gone.

    Parameters
    ----------
    original_plato : Real
        Strength of the wort before fermentation [degP].
    apparent_plato : Real
        Strength the beer's gravity would mean if it held no alcohol [degP].

    Returns
    -------
    Real
        Apparent degree of fermentation, nan for plain water [-].

    Notes
    -----
    Above 1 for a beer lighter than water.

    References
    ----------
    American Society of Brewing Chemists. Methods of analysis, Beer-6 (from memory).
    """
    return 1.0 - quotient(apparent_plato, original_plato)


def final_plato(original_plato: Real, attenuation: Real) -> Real:
    """Return the apparent extract of a beer that has attenuated so far.

    Parameters
    ----------
    original_plato : Real
        Strength of the wort before fermentation [degP].
    attenuation : Real
        Apparent degree of fermentation [-].

    Returns
    -------
    Real
        Apparent extract [degP].

    Notes
    -----
    Inverse of `apparent_attenuation`.

    References
    ----------
    American Society of Brewing Chemists. Methods of analysis, Beer-6 (from memory).
    """
    return original_plato * (1.0 - attenuation)


def rdf(original_plato: Real, real_plato: Real) -> Real:
    """Return the share of the extract that was truly fermented.

    Parameters
    ----------
    original_plato : Real
        Strength of the wort before fermentation [degP].
    real_plato : Real
        Real extract of the beer [degP].

    Returns
    -------
    Real
        Real degree of fermentation, nan for plain water [-].

    Notes
    -----
    The second factor mends that beer weighs less than its wort.

    References
    ----------
    American Society of Brewing Chemists. Methods of analysis, Beer-6 (from memory).
    """
    return quotient(original_plato - real_plato, original_plato) / (1.0 - 0.005161 * real_plato)


def kcal_per_100_g(original_plato: Real, apparent_plato: Real) -> Real:
    """Return the food energy of beer.

    Parameters
    ----------
    original_plato : Real
        Strength of the wort before fermentation [degP].
    apparent_plato : Real
        Strength the beer's gravity would mean if it held no alcohol [degP].

    Returns
    -------
    Real
        Food energy per 100 g of beer [kcal].

    Notes
    -----
    6.9 kcal per g of alcohol and 4 per g of real extract, of which 0.1 per cent is ash.

    References
    ----------
    American Society of Brewing Chemists. Methods of analysis, Beer-33 (from memory).
    """
    alcohol_g = 100.0 * alcohol_abw(original_plato, apparent_plato)
    extract_g = real_extract_plato(original_plato, apparent_plato) - _ASH_PLATO
    return _KCAL_PER_G_ALCOHOL * alcohol_g + _KCAL_PER_G_EXTRACT * extract_g


def kcal(cold_l: Real, original_plato: Real, apparent_plato: Real) -> Real:
    """Return the food energy of a volume of beer.

    Parameters
    ----------
    cold_l : Real
        Volume of beer at 20 C [L].
    original_plato : Real
        Strength of the wort before fermentation [degP].
    apparent_plato : Real
        Strength the beer's gravity would mean if it held no alcohol [degP].

    Returns
    -------
    Real
        Food energy [kcal].

    Notes
    -----
    The mass of beer is its volume times its gravity times the density of water.

    References
    ----------
    American Society of Brewing Chemists. Methods of analysis, Beer-33 (from memory).
    """
    beer_kg = cold_l * sg_from_plato(apparent_plato) * WATER_20_KG_M3 / 1000.0
    return 10.0 * beer_kg * kcal_per_100_g(original_plato, apparent_plato)
