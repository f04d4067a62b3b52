"""Water: density, vapour pressure, boiling point, latent heat, viscosity, and the air above it."""

import numpy as np

from wortline.science.numerics import polynomial
from wortline.science.real import Real
from wortline.science.standards import COLD_C, ZERO_C_K

_KELL_ABOVE = (
    999.83952,
    16.945176,
    -7.9870401e-3,
    -46.170461e-6,
    105.56302e-9,
    -280.54253e-12,
)
_KELL_BELOW = (1.0, 16.879850e-3)

# n1..n10 of the saturation equation, region 4.
_IF97 = (
    0.11670521452767e4,
    -0.72421316703206e6,
    -0.17073846940092e2,
    0.12020824702470e5,
    -0.32325550322333e7,
    0.14915108613530e2,
    -0.48232657361591e4,
    0.40511340542057e6,
    -0.23855557567849,
    0.65017534844798e3,
)

_LATENT_HEAT = (2500.912, -2.37559, 5.481e-4, -1.2439e-5)

_VISCOSITY = ((280.68, -1.9), (511.45, -7.7), (61.131, -19.6), (0.45903, -40.0))


def density_kg_m3(temp_c: Real) -> Real:
    """Return the density of air-free water at one atmosphere.

    Parameters
    ----------
    temp_c : Real
        Temperature of the water [C].

    Returns
    -------
    Real
        Density [kg/m3].

    Notes
    -----
    Valid from 0 to 100 C (to 150 C under its own vapour pressure with less certainty). The
    denominator is 1 + 16.879850e-3 t; copies that print 16.897850e-3 are 0.27 kg/m3 low at 20 C.
    The fit is on the temperature scale of 1968, which is 0.026 K off at 100 C: at most
    0.02 kg/m3. No correction is made for that.

    References
    ----------
    Kell, G. S. (1975). Density, thermal expansivity, and compressibility of liquid water from
    0 to 150 C. Journal of Chemical and Engineering Data 20(1), 97-105.
    """
    return polynomial(_KELL_ABOVE, temp_c) / polynomial(_KELL_BELOW, temp_c)


def density_tanaka_2001_kg_m3(temp_c: Real) -> Real:
    """Return the density of air-free water at one atmosphere by the metrologists' formula.

    Parameters
    ----------
    temp_c : Real
        Temperature of the water [C].

    Returns
    -------
    Real
        Density [kg/m3].

    Notes
    -----
    Valid from 0 to 40 C, to about 0.001 kg/m3. A rival of `density_kg_m3` for cool water only.

    References
    ----------
    Tanaka, M., Girard, G., Davis, R., Peuto, A., Bignell, N. (2001). Recommended table for the
    density of water between 0 C and 40 C based on recent experimental reports. Metrologia 38,
    301-309.
    """
    return 999.974950 * (
        1.0 - (temp_c - 3.983035) ** 2 * (temp_c + 301.797) / (522528.9 * (temp_c + 69.34881))
    )


def expansion(temp_c: Real) -> Real:
    """Return the volume of water over its volume at 20 C.

    Parameters
    ----------
    temp_c : Real
        Temperature of the water [C].

    Returns
    -------
    Real
        V(t) / V(20 C) [-].

    Notes
    -----
    Wort of 12 degP expands within 0.1 % of this. A steel kettle grows as well (about 0.4 % from
    20 to 100 C), which is not in here.

    References
    ----------
    Kell, G. S. (1975). Density, thermal expansivity, and compressibility of liquid water from
    0 to 150 C. Journal of Chemical and Engineering Data 20(1), 97-105.
    """
    return density_kg_m3(COLD_C) / density_kg_m3(temp_c)


def vapour_pressure_kpa(temp_c: Real) -> Real:
    """Return the pressure at which water boils at a temperature.

    Parameters
    ----------
    temp_c : Real
        Temperature of the water [C].

    Returns
    -------
    Real
        Saturation pressure, absolute [kPa].

    Notes
    -----
    Region 4 of IAPWS-IF97, forward equation; valid from 0 to 373.946 C.

    References
    ----------
    IAPWS (2007). Revised release on the IAPWS industrial formulation 1997 for the thermodynamic
    properties of water and steam, R7-97(2012), section 8, equation 30.
    """
    n = _IF97
    temp_k = temp_c + ZERO_C_K
    theta = temp_k + n[8] / (temp_k - n[9])
    a = theta**2 + n[0] * theta + n[1]
    b = n[2] * theta**2 + n[3] * theta + n[4]
    c = n[5] * theta**2 + n[6] * theta + n[7]
    beta = 2.0 * c / (-b + np.sqrt(b**2 - 4.0 * a * c))
    return np.asarray(1000.0 * beta**4)[()]


def boiling_point_c(pressure_kpa: Real) -> Real:
    """Return the temperature at which water boils under a pressure.

    Parameters
    ----------
    pressure_kpa : Real
        Pressure on the water, absolute [kPa].

    Returns
    -------
    Real
        Boiling point [C].

    Notes
    -----
    Region 4 of IAPWS-IF97, backward equation, the exact inverse of `vapour_pressure_kpa`; valid
    from 0.6112 to 22064 kPa. Wort of 12 degP boils about 0.2 K higher, which is not in here.

    References
    ----------
    IAPWS (2007). Revised release on the IAPWS industrial formulation 1997 for the thermodynamic
    properties of water and steam, R7-97(2012), section 8, equation 31.
    """
    n = _IF97
    beta = (pressure_kpa / 1000.0) ** 0.25
    e = beta**2 + n[2] * beta + n[5]
    f = n[0] * beta**2 + n[3] * beta + n[6]
    g = n[1] * beta**2 + n[4] * beta + n[7]
    d = 2.0 * g / (-f - np.sqrt(f**2 - 4.0 * e * g))
    temp_k = 0.5 * (n[9] + d - np.sqrt((n[9] + d) ** 2 - 4.0 * (n[8] + n[9] * d)))
    return np.asarray(temp_k - ZERO_C_K)[()]


def standard_pressure_kpa(elevation_m: Real) -> Real:
    """Return the pressure of the standard atmosphere at an elevation.

    Parameters
    ----------
    elevation_m : Real
        Height above sea level [m].

    Returns
    -------
    Real
        Air pressure on a standard day [kPa].

    Notes
    -----
    Troposphere, below 11 km. Weather moves the true pressure by some 3 kPa, the boil by 1 K.

    References
    ----------
    International Organization for Standardization (1975). Standard atmosphere, ISO 2533.
    """
    return 101.325 * (1.0 - 2.25577e-5 * elevation_m) ** 5.25588


def latent_heat_kj_kg(temp_c: Real) -> Real:
    """Return the heat that evaporates a kilogram of water.

    Parameters
    ----------
    temp_c : Real
        Temperature of the water [C].

    Returns
    -------
    Real
        Latent heat of evaporation [kJ/kg].

    Notes
    -----
    Cubic fitted to IAPWS-95 for this function, within 0.03 kJ/kg from 0 to 110 C.

    References
    ----------
    Wagner, W., Pruss, A. (2002). The IAPWS formulation 1995 for the thermodynamic properties of
    ordinary water substance for general and scientific use. Journal of Physical and Chemical
    Reference Data 31, 387-535.
    """
    return polynomial(_LATENT_HEAT, temp_c)


def viscosity_mpa_s(temp_c: Real) -> Real:
    """Return the dynamic viscosity of water at one atmosphere.

    Parameters
    ----------
    temp_c : Real
        Temperature of the water [C].

    Returns
    -------
    Real
        Dynamic viscosity [mPa s].

    Notes
    -----
    The closed form for liquid water at 0.1 MPa, valid from -20 to 110 C.

    References
    ----------
    IAPWS (2008). Revised supplementary release on properties of liquid water at 0.1 MPa, SR6-08,
    equation 10.
    """
    reduced = (temp_c + ZERO_C_K) / 300.0
    total: Real = temp_c * 0.0
    for factor, power in _VISCOSITY:
        total = total + factor * reduced**power
    return total / 1000.0


def water_convection(temp_c: Real) -> Real:
    """Return the free-convection group k (g beta / (nu alpha))^(1/3) of water.

    Parameters
    ----------
    temp_c : Real
        Temperature of the water [C].

    Returns
    -------
    Real
        The group; times 0.15 dT^(1/3) it is a heat transfer coefficient [W/(m2 K^(4/3))].

    Notes
    -----
    Fitted here to the IAPWS-95 and IAPWS transport values, 10 to 101 C, within 2 %. Below 5 C,
    where the density maximum of water would stop it, the value at 5 C is kept; losses are small
    there.

    References
    ----------
    Wagner, W., Pruss, A. (2002). The IAPWS formulation 1995 for the thermodynamic properties of
    ordinary water substance for general and scientific use. Journal of Physical and Chemical
    Reference Data 31, 387-535.
    """
    root = np.sqrt(np.maximum(temp_c, 5.0) / 100)
    return 14.0 + 2868.6 * root + 713.5 * root**2
