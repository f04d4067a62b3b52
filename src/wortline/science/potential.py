"""What a malt can give, and how much of it the mash has dissolved."""

from wortline.science.real import Real

FULL_POINTS_L_KG = 384.8
"""Points of gravity that 1 kg of pure extract gives in 1 L of wort at 20 C [L/kg]."""

POUND_KG, GALLON_L = 0.45359237, 3.785411784


def extract_share(fine_grind_dry: Real, moisture: Real, fine_coarse_difference: Real = 0.0) -> Real:
    """Return the extract of a malt as it is weighed out.

    Parameters
    ----------
    fine_grind_dry : Real
        Extract of the fine grind in the Congress mash, of dry malt [-].
    moisture : Real
        Moisture of the malt [-].
    fine_coarse_difference : Real
        What the coarse grind gives less, of dry malt [-].

    Returns
    -------
    Real
        Extract per mass of malt [-].

    Notes
    -----
    A change of base, nothing more.

    References
    ----------
    MEBAK. Brautechnische Analysenmethoden, extract of malt, Congress mash.
    """
    return (fine_grind_dry - fine_coarse_difference) * (1 - moisture)


def points_l_kg(extract: Real) -> Real:
    """Return litre-degrees per kilogram, the points of gravity of 1 kg in 1 L.

    Parameters
    ----------
    extract : Real
        Extract per mass of malt [-].

    Returns
    -------
    Real
        Points of gravity, thousandths above 1 [L/kg].

    Notes
    -----
    Taken at the strength of 1 lb in 1 US gallon of wort (11.5 degP); weaker wort gives a little
    more, stronger a little less.

    References
    ----------
    Horwitz, W., Latimer, G. (2005). Official Methods of Analysis of AOAC International, density of
    sucrose solutions.
    """
    return FULL_POINTS_L_KG * extract


def points_gal_lb(extract: Real) -> Real:
    """Return points per pound per US gallon.

    Parameters
    ----------
    extract : Real
        Extract per mass of malt [-].

    Returns
    -------
    Real
        Points of gravity of 1 lb in 1 US gallon [gal/lb].

    Notes
    -----
    `points_l_kg` in other units.

    References
    ----------
    NIST (2023). Handbook 44, appendix C (pound and gallon).
    """
    return points_l_kg(extract) * POUND_KG / GALLON_L


def extract_from_points_gal_lb(points: Real) -> Real:
    """Return the extract of a malt from its points per pound per US gallon.

    Parameters
    ----------
    points : Real
        Points of gravity that 1 lb gives in 1 US gallon [-].

    Returns
    -------
    Real
        Extract per mass of malt [-].

    Notes
    -----
    The inverse of `points_gal_lb`.

    References
    ----------
    NIST (2023). Handbook 44, appendix C (pound and gallon).
    """
    return points / points_gal_lb(1.0)


def first_wort_plato(
    extract_kg: Real, water_kg: Real, moisture_kg: Real, conversion: Real = 1.0
) -> Real:
    """Return the strength of the wort in a mash.

    Parameters
    ----------
    extract_kg : Real
        Extract that the grist can give [kg].
    water_kg : Real
        Mash water [kg].
    moisture_kg : Real
        Water that came with the grain [kg].
    conversion : Real
        Share of the extract that is dissolved [-].

    Returns
    -------
    Real
        Strength of the first wort [degP].

    Notes
    -----
    Perfect mixing. Water bound in building sugar from starch is inside the extract.

    References
    ----------
    Conservation of mass.
    """
    dissolved_kg = conversion * extract_kg
    return 100 * dissolved_kg / (dissolved_kg + water_kg + moisture_kg)


def conversion(mash_plato: Real, extract_kg: Real, water_kg: Real, moisture_kg: Real) -> Real:
    """Return the share of the extract that a mash has dissolved, from its measured strength.

    Parameters
    ----------
    mash_plato : Real
        Strength of the wort in the mash [degP].
    extract_kg : Real
        Extract that the grist can give [kg].
    water_kg : Real
        Mash water [kg].
    moisture_kg : Real
        Water that came with the grain [kg].

    Returns
    -------
    Real
        Share dissolved; above 1 the malt holds more than was said [-].

    Notes
    -----
    The inverse of `first_wort_plato`; the mash has to be well mixed when it is measured.

    References
    ----------
    Conservation of mass.
    """
    return mash_plato * (water_kg + moisture_kg) / (100 - mash_plato) / extract_kg
