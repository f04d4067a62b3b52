"""Colour of beer from its malts, and what malt and beer colour scales say of each other."""

from collections.abc import Callable, Sequence

from wortline.science.real import Real

SRM_OF_ABSORBANCE, EBC_OF_ABSORBANCE = 12.7, 25.0
EBC_OF_SRM = EBC_OF_ABSORBANCE / SRM_OF_ABSORBANCE
"""By the two definitions; the trade and the ASBC print it as 1.97 [-]."""
MCU_OF_LOVIBOND_KG_L = 8.3454
"""Pounds per kilogram over US gallons per litre [-]."""


def mcu(malt_kg: Sequence[Real], malt_lovibond: Sequence[Real], wort_l: Real) -> Real:
    """Return the malt colour units of a grist.

    Parameters
    ----------
    malt_kg : sequence of Real
        Mass of each malt [kg].
    malt_lovibond : sequence of Real
        Colour of each malt, degrees Lovibond [-].
    wort_l : Real
        Cold volume of the wort [L].

    Returns
    -------
    Real
        Pounds times degrees Lovibond per US gallon [-].

    Raises
    ------
    ValueError
        If there are not as many colours as masses.

    Notes
    -----
    A sum over the malts, blind to the darkening of the boil.

    References
    ----------
    Morey, D. (1995). Beer's law. Brewing Techniques, letters; author's web repost.
    """
    total: Real = 0.0
    for mass_kg, lovibond in zip(malt_kg, malt_lovibond, strict=True):
        total = total + mass_kg * lovibond
    return MCU_OF_LOVIBOND_KG_L * total / wort_l


def srm_morey_1995(malt_colour_units: Real) -> Real:
    """Return the colour of beer from its malt colour units, Morey's power law.

    Parameters
    ----------
    malt_colour_units : Real
        Malt colour units, see `mcu` [-].

    Returns
    -------
    Real
        Colour, SRM [-].

    Notes
    -----
    A fit below 50 SRM. Some copies print the exponent as 0.65896859, which is wrong.

    References
    ----------
    Morey, D. (1995). Beer's law. Brewing Techniques, letters; author's web repost.
    """
    return 1.4922 * malt_colour_units**0.6859


def srm_daniels_1996(malt_colour_units: Real) -> Real:
    """Return the colour of beer from its malt colour units, Daniels' line.

    Parameters
    ----------
    malt_colour_units : Real
        Malt colour units, see `mcu`, above 11 [-].

    Returns
    -------
    Real
        Colour, SRM [-].

    Notes
    -----
    Meant above 11 malt colour units only. Coefficients from memory.

    References
    ----------
    Daniels, R. (1996). Designing Great Beers. Brewers Publications, Boulder.
    """
    return 0.2 * malt_colour_units + 8.4


def srm_mosher_1994(malt_colour_units: Real) -> Real:
    """Return the colour of beer from its malt colour units, Mosher's line.

    Parameters
    ----------
    malt_colour_units : Real
        Malt colour units, see `mcu`, above 7 [-].

    Returns
    -------
    Real
        Colour, SRM [-].

    Notes
    -----
    Meant above 7 malt colour units only. Coefficients from memory.

    References
    ----------
    Mosher, R. (1994). The Brewer's Companion. Alephenalia, Seattle.
    """
    return 0.3 * malt_colour_units + 4.7


COLOUR: dict[str, Callable[[Real], Real]] = {
    "morey": srm_morey_1995,
    "daniels": srm_daniels_1996,
    "mosher": srm_mosher_1994,
}


def ebc_from_srm(srm: Real) -> Real:
    """Return the European beer colour of an American one.

    Parameters
    ----------
    srm : Real
        Colour, SRM [-].

    Returns
    -------
    Real
        Colour [EBC].

    Notes
    -----
    25 / 12.7 by the definitions of both scales, which the trade prints as 1.97.

    References
    ----------
    American Society of Brewing Chemists. Methods of Analysis, Beer-10A, color.
    """
    return EBC_OF_SRM * srm


def srm_from_ebc(colour_ebc: Real) -> Real:
    """Return the American beer colour of a European one.

    Parameters
    ----------
    colour_ebc : Real
        Colour [EBC].

    Returns
    -------
    Real
        Colour, SRM [-].

    Notes
    -----
    The inverse of `ebc_from_srm`.

    References
    ----------
    American Society of Brewing Chemists. Methods of Analysis, Beer-10A, color.
    """
    return colour_ebc / EBC_OF_SRM


def ebc_from_lovibond(malt_lovibond: Real) -> Real:
    """Return the European colour of a malt from its degrees Lovibond.

    Parameters
    ----------
    malt_lovibond : Real
        Colour of the malt, degrees Lovibond [-].

    Returns
    -------
    Real
        Colour of the malt's Congress wort [EBC].

    Notes
    -----
    A line widely used by maltsters, from memory.

    References
    ----------
    Trade practice of maltsters; no single source.
    """
    return 2.65 * malt_lovibond - 1.2


def lovibond_from_ebc(malt_ebc: Real) -> Real:
    """Return the degrees Lovibond of a malt from its European colour.

    Parameters
    ----------
    malt_ebc : Real
        Colour of the malt's Congress wort [EBC].

    Returns
    -------
    Real
        Colour of the malt, degrees Lovibond [-].

    Notes
    -----
    The inverse of `ebc_from_lovibond`.

    References
    ----------
    Trade practice of maltsters; no single source.
    """
    return (malt_ebc + 1.2) / 2.65


def srm_from_lovibond(malt_lovibond: Real) -> Real:
    """Return the wort colour that a malt of known degrees Lovibond shows, as SRM.

    Parameters
    ----------
    malt_lovibond : Real
        Colour of the malt, degrees Lovibond [-].

    Returns
    -------
    Real
        Colour of its laboratory wort, SRM [-].

    Notes
    -----
    A line between visual and photometric readings, from memory.

    References
    ----------
    American Society of Brewing Chemists. Methods of Analysis, Wort-9, color.
    """
    return 1.3546 * malt_lovibond - 0.76


def srm_from_absorbance(absorbance: Real) -> Real:
    """Return the American colour of beer from its absorbance.

    Parameters
    ----------
    absorbance : Real
        Decadic absorbance at 430 nm through 1 cm [-].

    Returns
    -------
    Real
        Colour, SRM [-].

    Notes
    -----
    By definition.

    References
    ----------
    American Society of Brewing Chemists. Methods of Analysis, Beer-10A, color.
    """
    return SRM_OF_ABSORBANCE * absorbance


def ebc_from_absorbance(absorbance: Real) -> Real:
    """Return the European colour of beer from its absorbance.

    Parameters
    ----------
    absorbance : Real
        Decadic absorbance at 430 nm through 1 cm [-].

    Returns
    -------
    Real
        Colour [EBC].

    Notes
    -----
    By definition.

    References
    ----------
    European Brewery Convention. Analytica-EBC, 9.6, colour of beer, spectrophotometric method.
    """
    return EBC_OF_ABSORBANCE * absorbance
