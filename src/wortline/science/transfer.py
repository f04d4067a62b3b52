"""What a line holds, how soon it has passed, and how long it takes to move a volume."""

from collections.abc import Callable

import numpy as np

from wortline.science.numerics import quotient
from wortline.science.real import Real

# Gauss and Legendre's points and weights on 0-1.
_POINTS, _WEIGHTS = (0.5 * each for each in np.polynomial.legendre.leggauss(10))
_POINTS = _POINTS + 0.5


def hold_up_l(length_m: Real, bore_m: Real) -> Real:
    """Return what a full hose or tube holds.

    Parameters
    ----------
    length_m : Real
        Length [m].
    bore_m : Real
        Inner diameter [m].

    Returns
    -------
    Real
        Content [L].

    References
    ----------
    Euclid (about 300 BC). Elements, book XII, propositions 10 and 11 (volume of a cylinder).
    """
    return 1000.0 * np.pi / 4.0 * bore_m**2 * length_m


def plug_min(held_l: Real, flow_l_min: Real) -> Real:
    """Return the time after which what stood in a line has left it.

    Parameters
    ----------
    held_l : Real
        Content up to the end of the line [L].
    flow_l_min : Real
        Flow [L/min].

    Returns
    -------
    Real
        Time; nan without flow [min].

    Notes
    -----
    As a plug, without mixing. Real lines mix at the front: let some more run.

    References
    ----------
    Levenspiel, O. (1999). Chemical Reaction Engineering, 3rd edition, Wiley, chapter 5 (plug flow).
    """
    return quotient(held_l, flow_l_min)


def lift_after_m(lift_m: Real, moved_l: Real, source_m2: Real, sink_m2: Real = np.inf) -> Real:
    """Return the lift once a volume has left one vessel for another.

    Parameters
    ----------
    lift_m : Real
        Lift at the start: where the line ends above the surface it comes from [m].
    moved_l : Real
        Volume that has left [L].
    source_m2 : Real
        Surface of the vessel it leaves [m2].
    sink_m2 : Real
        Surface of the vessel that fills; infinite if the line ends above the surface [m2].

    Returns
    -------
    Real
        Lift now [m].

    References
    ----------
    White, F. M. (2016). Fluid Mechanics, 8th edition, McGraw-Hill, section 3.3.
    """
    return lift_m + moved_l / 1000.0 / source_m2 + moved_l / 1000.0 / sink_m2


def moving_min(moved_l: Real, flow_after_l_min: Callable[[Real], Real]) -> Real:
    """Return the time to move a volume while the flow changes with what has been moved.

    Parameters
    ----------
    moved_l : Real
        Volume to move [L].
    flow_after_l_min : callable
        Flow [L/min] once a volume [L] has been moved; nan where nothing flows any more.

    Returns
    -------
    Real
        Time; nan where the flow stops before the end [min].

    Notes
    -----
    Integral of dV/Q over ten points, which crowd towards the end, where the flow may go to zero
    with the root of what is left.

    References
    ----------
    Abramowitz, M., Stegun, I. A. (1964). Handbook of Mathematical Functions, National Bureau of
    Standards, 25.4.30 (Gaussian quadrature).
    """
    total: Real = 0.0
    for point, weight in zip(_POINTS.tolist(), _WEIGHTS.tolist(), strict=True):
        flow_l_min = flow_after_l_min(moved_l * (1.0 - point**2))
        total = total + quotient(2.0 * point * weight * moved_l, flow_l_min)
    return total
