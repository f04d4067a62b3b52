"""Small numerical tools of the science: polynomials, quotients and roots, all vectorised."""

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from wortline.science.real import Real

SETTLED = 1e-15
ROOT_PRECISION, ROOT_STEPS, ROOT_PULL = 1e-12, 40, 0.2
# Keeps a flat function from 0/0.
LEAST = 5e-324


def polynomial(coefficients: Sequence[float], x: Real) -> Real:
    """Return sum of coefficients[k] x^k by Horner's rule.

    Parameters
    ----------
    coefficients : sequence of float
        Coefficients, lowest power first, in units of the sum over x^k [-].
    x : Real
        Where the polynomial is evaluated [-].

    Returns
    -------
    Real
        Value of the polynomial [-].
    """
    total: Real = x * 0.0
    for coefficient in reversed(coefficients):
        total = total * x + coefficient
    return total


def derivative(coefficients: Sequence[float]) -> list[float]:
    """Return the coefficients of the derivative of a polynomial, lowest power first.

    Parameters
    ----------
    coefficients : sequence of float
        Coefficients, lowest power first [-].

    Returns
    -------
    list of float
        Coefficients of the derivative, one fewer [-].
    """
    return [power * coefficient for power, coefficient in enumerate(coefficients)][1:]


def quotient(numerator: Real, denominator: Real) -> Real:
    """Return numerator / denominator, nan where the denominator is zero.

    Parameters
    ----------
    numerator, denominator : Real
        Terms of the quotient [-].

    Returns
    -------
    Real
        Quotient [-].
    """
    lower = np.where(np.equal(denominator, 0.0), np.nan, denominator)[()]
    return np.asarray(numerator / lower)[()]


def rising_root(
    value_and_slope: Callable[[Real], tuple[Real, Real]],
    low: Real,
    high: Real,
    rounds: int = 8,
) -> Real:
    """Return where a rising function crosses zero between two bounds, nan where it does not.

    Parameters
    ----------
    value_and_slope : callable
        Gives the function and its derivative at a point; rises between the bounds.
    low, high : Real
        Bounds of the search [-].
    rounds : int
        Most Newton steps; fewer where every member of an array has settled.

    Returns
    -------
    Real
        The root [-].

    Notes
    -----
    Newton's method from where the chord crosses, kept inside a shrinking bracket: a step that
    would leave the bracket is replaced by halving it.
    """
    at_low, _ = value_and_slope(low)
    at_high, _ = value_and_slope(high)
    inside = (at_low <= 0.0) & (at_high >= 0.0)
    left, right = np.where(inside, low, np.nan), np.where(inside, high, np.nan)
    x = left - at_low * (right - left) / (at_high - at_low)
    for _ in range(rounds):
        value, slope = value_and_slope(x)
        left = np.where(value < 0.0, x, left)
        right = np.where(value > 0.0, x, right)
        step = x - value / slope
        kept = (step >= left) & (step <= right)
        # A scalar again where it was one: an array of no axes makes the sums several times slower.
        before, x = x, np.where(kept, step, 0.5 * (left + right))[()]
        # Written so that nan, where there is no root, counts as settled.
        if not np.count_nonzero(np.abs(x - before) > SETTLED * np.abs(x)):
            break
    return x


def unit_root(rising: Callable[[Real], Real]) -> Real:
    """Return where a rising function crosses zero between 0 and 1, nan where it does not.

    Parameters
    ----------
    rising : callable
        The function; need not be smooth.

    Returns
    -------
    Real
        The root, within 2e-12 [-].

    Notes
    -----
    Bisection whose middle is pulled towards where the chord crosses, as far as that cannot cost
    more than one step over plain bisection (the ITP method of Oliveira and Takahashi, 2021). It
    needs no derivative and stands jumps.
    """
    at_low: Any = rising(0.0)
    at_high: Any = rising(1.0)
    if np.ndim(at_low) == 0 and np.ndim(at_high) == 0:
        return _unit_root_of_one(rising, float(at_low), float(at_high))
    inside = (at_low <= 0.0) & (at_high >= 0.0)
    low: Any = np.where(inside, 0.0, np.nan)
    high: Any = np.where(inside, 1.0, np.nan)
    for step in range(ROOT_STEPS + 1):
        width = high - low
        if not np.count_nonzero(width > 2.0 * ROOT_PRECISION):
            break
        half = 0.5 * (low + high)
        to_half = half - low + at_low * width / (at_high - at_low + LEAST)
        kept = np.maximum(np.abs(to_half) - ROOT_PULL * (width * width), 0.0)
        slack = ROOT_PRECISION * 2.0 ** (ROOT_STEPS - step) - 0.5 * width
        x = half - np.sign(to_half) * np.minimum(kept, slack)
        value = rising(x)
        below, above = value <= 0.0, value >= 0.0
        low, at_low = np.where(below, x, low), np.where(below, value, at_low)
        high, at_high = np.where(above, x, high), np.where(above, value, at_high)
    return np.asarray(0.5 * (low + high))


def _unit_root_of_one(rising: Callable[[Real], Real], at_low: float, at_high: float) -> Real:
    """Do the same, step by step, for one number: plain floats are ten times quicker."""
    if not at_low <= 0.0 <= at_high:
        return np.float64(np.nan)
    low, high = 0.0, 1.0
    for step in range(ROOT_STEPS + 1):
        width = high - low
        if not width > 2.0 * ROOT_PRECISION:
            break
        half = 0.5 * (low + high)
        to_half = half - low + at_low * width / (at_high - at_low + LEAST)
        kept = max(abs(to_half) - ROOT_PULL * (width * width), 0.0)
        slack = ROOT_PRECISION * 2.0 ** (ROOT_STEPS - step) - 0.5 * width
        towards = min(kept, slack)
        x = half - towards if to_half > 0.0 else half + towards
        value = float(rising(x))
        if value <= 0.0:
            low, at_low = x, value
        if value >= 0.0:
            high, at_high = x, value
    return np.float64(0.5 * (low + high))


def in_range(share: Real, low: float, usual: float, high: float) -> Real:
    """Return a number drawn from its range.

    Parameters
    ----------
    share : Real
        Where in the range, 0-1 [-]
    low, usual, high : float
        The ends of the range and the usual value between them; above 0 [-]

    Returns
    -------
    Real
        At 0 the low end, at 0.5 the usual value, at 1 the high end [-]

    Notes
    -----
    Even in the logarithm on both sides of the usual value.

    References
    ----------
    Limpert, E., Stahel, W. A., Abbt, M. (2001). Log-normal distributions across the sciences.
    BioScience 51, 341-352 (positive quantities vary by factors; from memory).
    """
    return np.exp(np.interp(share, [0.0, 0.5, 1.0], np.log([low, usual, high])))[()]
