"""From iso-alpha acids and their companions in hot wort to the IBU a laboratory would measure."""

import numpy as np

from wortline.science.bitter_losses import Losses, iso_kept, oxidised_kept
from wortline.science.real import Real

IBU_PER_MG_L = 51.2 / 69.68
"""IBU per mg/L of iso-alpha acids; Peacock 2009, about 5/7 [IBU L/mg]."""
OXIDISED_ALPHA_ABSORBANCE = 0.9155
"""Absorbance of oxidised alpha acids over that of iso-alpha acids; Maye 2016 [-]."""
OXIDISED_BETA_ABSORBANCE = 0.85
"""Absorbance of oxidised beta acids over that of iso-alpha acids; Hough 1982, 0.8-0.9 [-]."""
POLYPHENOL_ABSORBANCE = 0.03
"""Absorbance of hop polyphenols over that of iso-alpha acids; Parkin, 2.2 IBU in 100 mg/L [-]."""

OXIDISED_IN_BOIL_CONES = 0.11
"""Share of dissolved alpha acids of cones that oxidises in hot wort [-]."""
OXIDISED_IN_BOIL_PELLETS = 0.22
"""The same of pellets: twice that of cones, 1.2 to 3.2 times by variety [-]."""
OXIDISED_FRESH = 0.02
"""Oxidised alpha acids of fresh hops over their alpha acids; Maye 2016 [-]."""
OXIDISED_IN_STORE = 0.33
"""Share of the alpha acids lost in store that is found as oxidised alpha acids [-]."""
OXIDISED_BETA_KEPT = 0.071
"""Share of the oxidised beta acids of the hops that is found in the beer [-]."""
POLYPHENOL_OF_HOPS = 0.04
"""Polyphenols in hops, by mass [-]."""
POLYPHENOL_SOLUBLE = 0.20
"""Share of hop polyphenols that dissolves [-]."""
POLYPHENOL_FERMENTED = 0.70
"""Share of dissolved hop polyphenols that fermentation leaves [-]."""
MALT_IBU_PER_GRAVITY = 19.0
"""IBU of unhopped beer over its original gravity less 1 [IBU]."""


def iso_factor(losses: Losses, original_sg: Real, boil_min: Real) -> Real:
    """IBU for each mg/L of iso-alpha acids in the hot wort.

    Parameters
    ----------
    losses : Losses
        The losses up to the beer, or up to the wort by `in_wort`.
    original_sg : Real
        Original gravity [sg]
    boil_min : Real
        How long the dose boils [min]

    Returns
    -------
    Real
        Bitterness per concentration [IBU L/mg]

    References
    ----------
    J.-P. Hosom, 2021, A Summary of Factors Affecting IBUs, author's web article (347 values).
    """
    return IBU_PER_MG_L * iso_kept(losses, original_sg, boil_min)


def oxidised_alpha_mg_l(
    dissolved_mg_l: Real,
    dosed_mg_l: Real,
    oxidised_in_boil: Real = OXIDISED_IN_BOIL_CONES,
    left_of_harvest: Real = 1.0,
) -> Real:
    """Oxidised alpha acids that a dose gives to the hot wort.

    Parameters
    ----------
    dissolved_mg_l : Real
        Alpha acids of the dose that dissolve [mg/L]
    dosed_mg_l : Real
        Alpha acids of the dose as it is weighed now [mg/L]
    oxidised_in_boil : Real
        Share of the dissolved alpha acids that oxidises: 0.11 for cones, 0.22 for pellets [-]
    left_of_harvest : Real
        Share of the alpha acids of harvest that the hops still have, above 0 [-]

    Returns
    -------
    Real
        Oxidised alpha acids, brought along or made in the wort, whichever is more [mg/L]

    Notes
    -----
    Made within minutes and as much at 80 C as at 100 C, so neither time nor temperature enters.

    References
    ----------
    J.-P. Hosom, 2021, A Summary of Factors Affecting IBUs, author's web article.
    J. P. Maye, R. Smith, J. Leker, 2016, Humulinone Formation in Hops and Hop Pellets and Its
    Implications for Dry Hopped Beers, MBAA Tech. Quart. 53(1), 23-27.
    """
    harvest_mg_l = np.asarray(dosed_mg_l) / left_of_harvest
    brought = harvest_mg_l * (OXIDISED_FRESH + OXIDISED_IN_STORE * (1.0 - left_of_harvest))
    return np.maximum(brought, oxidised_in_boil * np.asarray(dissolved_mg_l))


def oxidised_alpha_ibu(
    losses: Losses, original_sg: Real, boil_min: Real, oxidised_mg_l: Real
) -> Real:
    """Bitterness of oxidised alpha acids, the same from the moment they are in.

    Parameters
    ----------
    losses : Losses
        The losses up to the beer, or up to the wort by `in_wort`.
    original_sg : Real
        Original gravity [sg]
    boil_min : Real
        How long the dose boils [min]
    oxidised_mg_l : Real
        Oxidised alpha acids in the hot wort [mg/L]

    Returns
    -------
    Real
        Bitterness [IBU]

    References
    ----------
    J.-P. Hosom, 2021, A Summary of Factors Affecting IBUs, author's web article.
    """
    kept_mg_l = oxidised_kept(losses, original_sg, boil_min) * oxidised_mg_l
    return ibu_from_acids(0.0, oxidised_alpha_mg_l=kept_mg_l)


def oxidised_beta_ibu(oxidised_beta_mg_l: Real) -> Real:
    """Bitterness in beer of the oxidised beta acids that old hops bring along.

    Parameters
    ----------
    oxidised_beta_mg_l : Real
        Oxidised beta acids of the dose, over the wort it goes into [mg/L]

    Returns
    -------
    Real
        Bitterness [IBU]

    Notes
    -----
    The published share kept is read as that from hops to beer. None is formed in the boil.

    References
    ----------
    J.-P. Hosom, 2021, A Summary of Factors Affecting IBUs, author's web article.
    """
    return ibu_from_acids(0.0, oxidised_beta_mg_l=OXIDISED_BETA_KEPT * oxidised_beta_mg_l)


def polyphenol_ibu(
    hops_kg: Real, cold_l: Real, fermented_share: Real = POLYPHENOL_FERMENTED
) -> Real:
    """Bitterness that hop polyphenols add to the measured value.

    Parameters
    ----------
    hops_kg : Real
        Mass of hops [kg]
    cold_l : Real
        Wort after the boil, at 20 C [L]
    fermented_share : Real
        Share that fermentation leaves; 1 for the cold wort [-]

    Returns
    -------
    Real
        Bitterness [IBU]

    References
    ----------
    J.-P. Hosom, 2021, A Summary of Factors Affecting IBUs, author's web article.
    """
    dissolved_mg_l = POLYPHENOL_OF_HOPS * POLYPHENOL_SOLUBLE * hops_kg * 1e6 / cold_l
    return ibu_from_acids(0.0, polyphenol_mg_l=dissolved_mg_l * fermented_share)


def malt_ibu(original_sg: Real) -> Real:
    """What malt alone adds to the measured value.

    Parameters
    ----------
    original_sg : Real
        Original gravity [sg]

    Returns
    -------
    Real
        Bitterness [IBU]

    Notes
    -----
    Measured in beer; no source says what fermentation takes, so the cold wort counts the same. The
    author's further term for wort that was acidified is left out: without it the measured series
    at pH 5.19 is met better (see the decision on dissolved alpha acids).

    References
    ----------
    J.-P. Hosom, 2021, A Summary of Factors Affecting IBUs, author's web article.
    """
    return MALT_IBU_PER_GRAVITY * (original_sg - 1.0)


def ibu_from_acids(
    iso_mg_l: Real,
    oxidised_alpha_mg_l: Real = 0.0,
    oxidised_beta_mg_l: Real = 0.0,
    polyphenol_mg_l: Real = 0.0,
) -> Real:
    """The IBU a laboratory measures for what is dissolved in a beer.

    Parameters
    ----------
    iso_mg_l : Real
        Iso-alpha acids in the beer [mg/L]
    oxidised_alpha_mg_l : Real
        Oxidised alpha acids in the beer [mg/L]
    oxidised_beta_mg_l : Real
        Oxidised beta acids in the beer [mg/L]
    polyphenol_mg_l : Real
        Hop polyphenols in the beer [mg/L]

    Returns
    -------
    Real
        Bitterness [IBU]

    References
    ----------
    V. Peacock, 2009, The International Bitterness Unit, in Hop Flavor and Aroma, MBAA, 157-165.
    """
    return IBU_PER_MG_L * (
        iso_mg_l
        + OXIDISED_ALPHA_ABSORBANCE * oxidised_alpha_mg_l
        + OXIDISED_BETA_ABSORBANCE * oxidised_beta_mg_l
        + POLYPHENOL_ABSORBANCE * polyphenol_mg_l
    )


def ibu_from_absorbance(absorbance: Real) -> Real:
    """IBU from the absorbance of the iso-octane extract of beer.

    Parameters
    ----------
    absorbance : Real
        At 275 nm in a 10 mm cell [-]

    Returns
    -------
    Real
        Bitterness [IBU]

    References
    ----------
    Analytica-EBC, method 9.8, Bitterness of Beer; ASBC Methods of Analysis, Beer-23A.
    """
    return 50.0 * absorbance
