"""Attenuation over the temperature of a single mash rest, drawn through measured points."""

import numpy as np
import numpy.typing as npt

from wortline.science.real import Real

# 65 to 80 C measured; 67 and 72 C lie on the fitted enzyme model, 60 and 62.5 C on its flat top.
MASH_C = np.array([60.0, 62.5, 65.0, 67.0, 70.0, 72.0, 75.0, 80.0])
ATTENUATION = np.array([0.825, 0.83, 0.82, 0.785, 0.70, 0.63, 0.50, 0.30])


def _end_slope(near: float, far: float, near_width: float, far_width: float) -> float:
    """Three-point slope at an end; it needs no limit at these points."""
    return ((2 * near_width + far_width) * near - near_width * far) / (near_width + far_width)


def _slopes(x: npt.NDArray[np.float64], y: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    """Slopes of the cubic that keeps the shape of the data."""
    width, chord = np.diff(x), np.diff(y) / np.diff(x)
    before, after = 2 * width[1:] + width[:-1], width[1:] + 2 * width[:-1]
    turns = chord[:-1] * chord[1:] <= 0
    left, right = np.where(turns, 1.0, chord[:-1]), np.where(turns, 1.0, chord[1:])
    inner = np.where(turns, 0.0, (before + after) / (before / left + after / right))
    first = _end_slope(chord[0], chord[1], width[0], width[1])
    last = _end_slope(chord[-1], chord[-2], width[-1], width[-2])
    return np.concatenate(([first], inner, [last]))


SLOPES = _slopes(MASH_C, ATTENUATION)


def attenuation_limit_chandrasekhar_2014(mash_c: Real) -> Real:
    """Return how far the wort of a single-rest mash can ferment, by measured points.

    Parameters
    ----------
    mash_c : Real
        Temperature of the mash [C].

    Returns
    -------
    Real
        Apparent attenuation limit; below 60 and above 80 C the value there [-].

    Notes
    -----
    One rest of 60 min, 3 L/kg, 90 % lager malt. A monotone cubic through 82, 70, 50 and 30 % at
    65, 70, 75 and 80 C as measured, and points between and below them that follow the enzyme model
    of `wortline.science.mash.attenuation_limit`. The year is that of the place where the data were
    read.

    References
    ----------
    Chandrasekhar, J. Attenuation over mash temperature, data as quoted in 2014.
    Fritsch, F. N., Carlson, R. E. (1980). Monotone piecewise cubic interpolation. SIAM Journal on
    Numerical Analysis 17, 238-246.
    """
    inside_c = np.clip(mash_c, MASH_C[0], MASH_C[-1])
    low = np.clip(np.searchsorted(MASH_C, inside_c, side="right") - 1, 0, MASH_C.size - 2)
    width = MASH_C[low + 1] - MASH_C[low]
    u = (inside_c - MASH_C[low]) / width
    value = (1 + 2 * u) * (1 - u) ** 2 * ATTENUATION[low] + u**2 * (3 - 2 * u) * ATTENUATION[
        low + 1
    ]
    slope = u * (1 - u) ** 2 * SLOPES[low] - u**2 * (1 - u) * SLOPES[low + 1]
    return np.asarray(value + width * slope)[()]
