"""Small numerical tools of the science: polynomials, quotients and roots, all vectorised."""

from collections.abc import Callable, Sequence

import numpy as np

from wortline.science.real import Real

SETTLED = 1e-15


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
