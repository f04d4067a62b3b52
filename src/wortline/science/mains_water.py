"""The temperature of tap water over a year, from the climate of the place."""

import numpy as np

from wortline.science.real import Real

# Written for degrees Fahrenheit: 6 F above the air, and both shares counted from 44 F.
ABOVE_AIR_DK = 6.0 / 1.8
REFERENCE_C = (44.0 - 32.0) / 1.8
DEGREES_PER_DAY = 0.986


def mains_water_burch_2007_c(day: Real, mean_c: Real, range_dk: Real, south: bool = False) -> Real:
    """Return the temperature of mains water on a day of the year.

    Parameters
    ----------
    day : Real
        Day of the year, 1 to 365 [-].
    mean_c : Real
        Mean air temperature of the year [C].
    range_dk : Real
        Warmest less coldest monthly mean of the air [K].
    south : bool
        Whether the place lies south of the equator.

    Returns
    -------
    Real
        Temperature of the water as it enters a house, not below 0 [C].

    Notes
    -----
    A fit to mains of the United States; well water is steadier, a measured tap is better.

    References
    ----------
    Burch, J., Christensen, C. (2007). Towards development of an algorithm for mains water
    temperature. Proceedings of the Solar 2007 conference, American Solar Energy Society.
    """
    above_f = 1.8 * (mean_c - REFERENCE_C)
    ratio = 0.4 + 0.01 * above_f
    lag_days = 35.0 - above_f
    turned = DEGREES_PER_DAY * (day - 15.0 - lag_days) + (90.0 if south else -90.0)
    swing_dk = ratio * range_dk / 2.0 * np.sin(np.radians(turned))
    return np.maximum(mean_c + ABOVE_AIR_DK + swing_dk, 0.0)


def middle_of_month(month: Real) -> Real:
    """Return the day of the year in the middle of a month.

    Parameters
    ----------
    month : Real
        Month, 1 to 12 [-].

    Returns
    -------
    Real
        Day of the year [-].

    Notes
    -----
    Months of equal length, a twelfth of 365 days: within 2 days of the calendar.

    References
    ----------
    The calendar.
    """
    return (month - 0.5) * 365.0 / 12.0
