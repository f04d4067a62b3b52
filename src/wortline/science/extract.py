"""Strength of wort: degrees Plato, gravity, density, and the mass of extract in a volume.

Gravity here is the trade's: 20 C over 20 C, weighed in air, the scale of the Plato tables.
Densities are true (in vacuum). Mixing the two costs 0.03 degP at 20 degP, so each function says
which it takes.
"""

import numpy as np

from wortline.science.numerics import derivative, polynomial, quotient, rising_root
from wortline.science.real import Real

AIR_KG_M3 = 1.2
"""Density of the air in which a gravity is weighed: 20 C, one atmosphere [kg/m3]."""

WEAKEST_PLATO = -20.0
STRONGEST_PLATO = 85.0
"""Ends of what is answered; below 0 only as the apparent strength of a dry beer [degP]."""

NEWTON_ROUNDS = 3
"""From the starts below, two rounds come within 3e-6 degP and three to the last digits."""

_ASBC = (-616.868, 1111.14, -630.272, 135.997)
_ASBC_TOP_SG = 1.12

# Density of sucrose in water: rows are powers of (t - 20)/100, columns of the mass fraction.
_SUCROSE = (
    (0.0, 385.1761, 135.3705, 40.9299, -3.9643, 13.4853, -17.2890),
    (0.0, -46.2720, -7.1720, 1.1597, 5.1126, 17.5254),
    (0.0, 59.7712, 7.2491, 12.3630, -35.4791),
    (0.0, -47.2207, -21.6977, 27.6301),
    (0.0, 18.3184, 12.3081),
)
_SUCROSE_WATER_ABOVE = (
    999.83952,
    16.952577,
    -7.9905127e-3,
    -46.241757e-6,
    105.84601e-9,
    -281.03006e-12,
)
_SUCROSE_WATER_BELOW = (1.0, 16.887236e-3)


def wort_density_kg_m3(extract_plato: Real, temp_c: Real) -> Real:
    """Return the true density of wort at a strength and a temperature.

    Parameters
    ----------
    extract_plato : Real
        Strength of the wort [degP].
    temp_c : Real
        Temperature of the wort [C].

    Returns
    -------
    Real
        Density in vacuum [kg/m3].

    Notes
    -----
    Wort is taken as a solution of sucrose, as the Plato scale itself does; real wort differs by
    less than 0.05 %. Published for 0 to 70 degP and 0 to 80 C; used to the boil, where water by
    the same formula is still within 0.02 kg/m3 of IAPWS-95. Slightly negative strengths continue
    the curve smoothly.

    References
    ----------
    Bubnik, Z., Kadlec, P., Urban, D., Bruhns, M. (1995). Sugar technologists manual, 8th ed.,
    Bartens, Berlin; ICUMSA specification and standard SPS-4.
    """
    share, warmth = extract_plato / 100.0, (temp_c - 20.0) / 100.0
    total = _water_kg_m3(temp_c)
    for power, row in enumerate(_SUCROSE):
        total = total + warmth**power * polynomial(row, share)
    return total


def _water_kg_m3(temp_c: Real) -> Real:
    return polynomial(_SUCROSE_WATER_ABOVE, temp_c) / polynomial(_SUCROSE_WATER_BELOW, temp_c)


def _density_slope_kg_m3(extract_plato: Real, temp_c: Real) -> Real:
    """Return the change of `wort_density_kg_m3` per degree Plato."""
    share, warmth = extract_plato / 100.0, (temp_c - 20.0) / 100.0
    total: Real = 0.0
    for power, row in enumerate(_SUCROSE_SLOPE):
        total = total + warmth**power * polynomial(row, share)
    return total / 100.0


def plato_from_density(density_kg_m3: Real, temp_c: Real) -> Real:
    """Return the strength of wort whose density at a temperature is known.

    Parameters
    ----------
    density_kg_m3 : Real
        Density in vacuum [kg/m3].
    temp_c : Real
        Temperature of the wort [C].

    Returns
    -------
    Real
        Strength, nan where it would lie outside -20 to 85 [degP].

    Notes
    -----
    Inverse of `wort_density_kg_m3`, which rises with strength at every temperature of liquid
    water.

    References
    ----------
    Bubnik, Z., Kadlec, P., Urban, D., Bruhns, M. (1995). Sugar technologists manual, 8th ed.,
    Bartens, Berlin; ICUMSA specification and standard SPS-4.
    """

    def miss_and_slope(trial_plato: Real) -> tuple[Real, Real]:
        miss = wort_density_kg_m3(trial_plato, temp_c) - density_kg_m3
        return miss, _density_slope_kg_m3(trial_plato, temp_c)

    return rising_root(miss_and_slope, WEAKEST_PLATO, STRONGEST_PLATO)


def density_from_sg_kg_m3(gravity_sg: Real, reference_c: Real = 20.0) -> Real:
    """Return the true density of a liquid whose gravity was weighed in air.

    Parameters
    ----------
    gravity_sg : Real
        Gravity over water at the reference temperature, in air [-].
    reference_c : Real
        Temperature of the water of comparison [C].

    Returns
    -------
    Real
        Density in vacuum [kg/m3].

    Notes
    -----
    Both weighings lose the buoyancy of 1.2 kg/m3 of air.

    References
    ----------
    Picard, A., Davis, R. S., Glaser, M., Fujii, K. (2008). Revised formula for the density of
    moist air (CIPM-2007). Metrologia 45, 149-155 (the density of the air).
    """
    return AIR_KG_M3 + gravity_sg * (_water_kg_m3(reference_c) - AIR_KG_M3)


def sg_from_density(density_kg_m3: Real) -> Real:
    """Return the gravity, weighed in air, of a liquid whose density at 20 C is known.

    Parameters
    ----------
    density_kg_m3 : Real
        Density at 20 C, in vacuum [kg/m3].

    Returns
    -------
    Real
        Gravity, 20 C over 20 C, in air [-].

    Notes
    -----
    Inverse of `density_from_sg_kg_m3` at 20 C.

    References
    ----------
    Picard, A., Davis, R. S., Glaser, M., Fujii, K. (2008). Revised formula for the density of
    moist air (CIPM-2007). Metrologia 45, 149-155 (the density of the air).
    """
    return (density_kg_m3 - AIR_KG_M3) / (_WATER_20_KG_M3 - AIR_KG_M3)


def plato_from_sg(gravity_sg: Real) -> Real:
    """Return the strength in degrees Plato of a gravity.

    Parameters
    ----------
    gravity_sg : Real
        Gravity, 20 C over 20 C, in air [-].

    Returns
    -------
    Real
        Strength, nan above 85 [degP].

    Notes
    -----
    The cubic of the American Society of Brewing Chemists, fitted to the Plato table from 1.000 to
    1.120. Below 1.000 the same cubic continues: it rises everywhere, and at 0.990 it is within
    0.003 degP of the sucrose density. Above 1.120 the sucrose density (ICUMSA SPS-4, weighed in
    air) takes over, shifted by less than 0.001 degP so that the two meet.

    References
    ----------
    American Society of Brewing Chemists (1958). Methods of analysis: tables related to
    determinations on wort, beer, and brewing sugars and sirups (cubic fit to the Plato table).
    """
    table = polynomial(_ASBC, np.minimum(gravity_sg, _ASBC_TOP_SG))
    beyond = np.greater(gravity_sg, _ASBC_TOP_SG)
    if not np.count_nonzero(beyond):
        return table
    strong = plato_from_density(density_from_sg_kg_m3(gravity_sg), 20.0) + _SHIFT_PLATO
    return np.where(beyond, strong, table)[()]


def sg_from_plato(extract_plato: Real) -> Real:
    """Return the gravity of a strength in degrees Plato.

    Parameters
    ----------
    extract_plato : Real
        Strength of the wort; from -20 for the apparent strength of a beer [degP].

    Returns
    -------
    Real
        Gravity, 20 C over 20 C, in air; nan outside -20 to 85 degP [-].

    Notes
    -----
    Exact inverse of `plato_from_sg`, found by Newton's method up to 1.120 and in closed form
    above.

    References
    ----------
    American Society of Brewing Chemists (1958). Methods of analysis: tables related to
    determinations on wort, beer, and brewing sugars and sirups (cubic fit to the Plato table).
    """
    known = np.greater_equal(extract_plato, WEAKEST_PLATO) & np.less_equal(
        extract_plato, STRONGEST_PLATO
    )
    known_plato = np.where(known, extract_plato, np.nan)[()]
    weak_plato = np.minimum(known_plato, _ASBC_TOP_PLATO)

    # Near enough to start from: within 0.0008 from 0 to 26 degP.
    table = 1.0 + weak_plato / (260.0 - weak_plato)
    for _ in range(NEWTON_ROUNDS):
        table = table - (polynomial(_ASBC, table) - weak_plato) / polynomial(_ASBC_SLOPE, table)
    beyond = np.greater(known_plato, _ASBC_TOP_PLATO)
    if not np.count_nonzero(beyond):
        return table
    strong = sg_from_density(wort_density_kg_m3(known_plato - _SHIFT_PLATO, 20.0))
    return np.where(beyond, strong, table)[()]


def extract_kg(cold_l: Real, extract_plato: Real) -> Real:
    """Return the mass of extract in a volume of wort.

    Parameters
    ----------
    cold_l : Real
        Volume of the wort at 20 C [L].
    extract_plato : Real
        Strength of the wort [degP].

    Returns
    -------
    Real
        Mass of extract [kg].

    Notes
    -----
    Volume times true density times mass fraction. Evaporation leaves it unchanged.

    References
    ----------
    Bubnik, Z., Kadlec, P., Urban, D., Bruhns, M. (1995). Sugar technologists manual, 8th ed.,
    Bartens, Berlin; ICUMSA specification and standard SPS-4 (the density).
    """
    return cold_l * wort_density_kg_m3(extract_plato, 20.0) / 1000.0 * extract_plato / 100.0


def plato_from_extract(extract_kg: Real, cold_l: Real) -> Real:
    """Return the strength of wort that has a mass of extract in a volume.

    Parameters
    ----------
    extract_kg : Real
        Mass of extract [kg].
    cold_l : Real
        Volume of the wort at 20 C [L].

    Returns
    -------
    Real
        Strength; nan where it would lie outside -20 to 85, or the volume is zero [degP].

    Notes
    -----
    Inverse of the mass of extract at a fixed volume.

    References
    ----------
    Bubnik, Z., Kadlec, P., Urban, D., Bruhns, M. (1995). Sugar technologists manual, 8th ed.,
    Bartens, Berlin; ICUMSA specification and standard SPS-4 (the density).
    """
    kg_m3 = 1000.0 * quotient(extract_kg, cold_l)
    known = np.greater_equal(kg_m3, _WEAKEST_KG_M3) & np.less_equal(kg_m3, _STRONGEST_KG_M3)
    wanted_kg_m3 = np.where(known, kg_m3, np.nan)[()]
    # The curve rises and bends upwards, so Newton's method settles from any start.
    share = wanted_kg_m3 / (_WATER_20_KG_M3 + 0.4 * wanted_kg_m3)
    for _ in range(NEWTON_ROUNDS):
        miss = polynomial(_EXTRACT_20, share) - wanted_kg_m3
        share = share - miss / polynomial(_EXTRACT_20_SLOPE, share)
    return 100.0 * share


_ASBC_SLOPE = derivative(_ASBC)
_SUCROSE_SLOPE = [derivative(row) for row in _SUCROSE]
_WATER_20_KG_M3 = float(_water_kg_m3(20.0))
# At 20 C only the first row is left; the share of extract times the density is extract by volume.
_EXTRACT_20 = (0.0, _WATER_20_KG_M3, *_SUCROSE[0][1:])
_EXTRACT_20_SLOPE = derivative(_EXTRACT_20)
_WEAKEST_KG_M3 = float(polynomial(_EXTRACT_20, WEAKEST_PLATO / 100.0))
_STRONGEST_KG_M3 = float(polynomial(_EXTRACT_20, STRONGEST_PLATO / 100.0))
_ASBC_TOP_PLATO = float(polynomial(_ASBC, _ASBC_TOP_SG))
_SHIFT_PLATO = _ASBC_TOP_PLATO - plato_from_density(density_from_sg_kg_m3(_ASBC_TOP_SG), 20.0)
