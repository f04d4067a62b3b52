"""Loss coefficients of fittings, on the velocity head in the bore that is named."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

import numpy as np

from wortline.science.real import Real


class Fitting(NamedTuple):
    """Loss coefficient of a fitting.

    Attributes
    ----------
    k : float
        Loss coefficient used [-].
    least, most : float
        Between what the printed tables say [-].
    source : str
        Who says so; "common practice, no source" where nobody does.
    """

    k: float
    least: float
    most: float
    source: str


_CRANE = "Crane Co. (2013), Flow of Fluids, Technical Paper 410, as quoted in handbook tables"
_MUNSON = (
    "Munson, Young, Okiishi (2013), Fundamentals of Fluid Mechanics, 7th edition, table 8.2, "
    "from memory"
)
_PRACTICE = "common practice, no source"

FITTINGS: Mapping[str, Fitting] = MappingProxyType(
    {
        "flush entrance": Fitting(0.5, 0.5, 0.57, _CRANE),
        "re-entrant entrance": Fitting(0.9, 0.78, 1.0, _CRANE),
        "exit": Fitting(1.0, 1.0, 1.0, _CRANE),
        "ball valve": Fitting(0.08, 0.05, 0.08, _CRANE),
        "threaded elbow": Fitting(0.9, 0.7, 1.5, _CRANE),
        "tee, straight on": Fitting(0.9, 0.2, 0.9, _MUNSON),
        "tee, turned": Fitting(2.0, 1.0, 2.0, _MUNSON),
        "smooth bend": Fitting(0.25, 0.15, 0.3, _CRANE),
        "swing check valve": Fitting(2.0, 2.0, 2.5, _CRANE),
        "three-way valve, turned": Fitting(1.0, 0.5, 1.5, _PRACTICE),
        "barb or coupler": Fitting(0.5, 0.3, 0.7, _PRACTICE),
    }
)
"""Fully open, flow above a Reynolds number of 10000; below, they lose somewhat more."""

# Share closed and loss coefficient of a ball valve.
_THROTTLED = ((0.0, 1.0 / 3.0, 2.0 / 3.0), (0.05, 5.5, 210.0))


def sudden_contraction_k(wide_m: Real, narrow_m: Real) -> Real:
    """Return the loss coefficient of a sudden contraction, on the narrow bore.

    Parameters
    ----------
    wide_m : Real
        Bore before [m].
    narrow_m : Real
        Bore after, not wider [m].

    Returns
    -------
    Real
        Loss coefficient on the velocity head in the narrow bore [-].

    References
    ----------
    Crane Co. (2013). Flow of Fluids Through Valves, Fittings, and Pipe, Technical Paper 410,
    formula 2-10 for a sharp edge.
    """
    return 0.5 * (1.0 - (narrow_m / wide_m) ** 2)


def sudden_expansion_k(narrow_m: Real, wide_m: Real) -> Real:
    """Return the loss coefficient of a sudden expansion, on the narrow bore.

    Parameters
    ----------
    narrow_m : Real
        Bore before [m].
    wide_m : Real
        Bore after, not narrower [m].

    Returns
    -------
    Real
        Loss coefficient on the velocity head in the narrow bore [-].

    Notes
    -----
    Follows from the balances of momentum and energy (Borda and Carnot).

    References
    ----------
    White, F. M. (2016). Fluid Mechanics, 8th edition, McGraw-Hill, section 6.9.
    """
    return (1.0 - (narrow_m / wide_m) ** 2) ** 2


def barb_k(hose_m: Real, barb_m: Real) -> Real:
    """Return the loss coefficient of a barb between two stretches of hose, on the bore of the barb.

    Parameters
    ----------
    hose_m : Real
        Bore of the hose on both sides [m].
    barb_m : Real
        Bore of the barb [m].

    Returns
    -------
    Real
        Loss coefficient on the velocity head in the barb [-].

    Notes
    -----
    A contraction and an expansion, far enough apart not to disturb each other. Burrs and steps
    inside a real coupler add to it.

    References
    ----------
    Crane Co. (2013). Flow of Fluids Through Valves, Fittings, and Pipe, Technical Paper 410,
    formulas 2-9 and 2-10.
    """
    return sudden_contraction_k(hose_m, barb_m) + sudden_expansion_k(barb_m, hose_m)


def throttled_ball_valve_k(closed_share: Real) -> Real:
    """Return the loss coefficient of a ball valve that is partly closed.

    Parameters
    ----------
    closed_share : Real
        Turn from open over the turn from open to shut, 0-1 [-].

    Returns
    -------
    Real
        Loss coefficient on the bore of the valve; infinite when shut [-].

    Notes
    -----
    Straight lines through the logarithms of 0.05 (open), 5.5 (a third closed) and 210 (two thirds);
    beyond two thirds the last line is carried on, which is a guess: set a flow by measuring it.

    References
    ----------
    Munson, B. R., Young, D. F., Okiishi, T. H. (2013). Fundamentals of Fluid Mechanics, 7th
    edition, Wiley, table 8.2 (from memory).
    """
    shares, values = _THROTTLED
    logs = np.log(values)
    beyond = logs[2] + (logs[2] - logs[1])
    k = np.exp(np.interp(closed_share, [*shares, 1.0], [*logs, beyond]))
    return np.where(np.greater_equal(closed_share, 1.0), np.inf, k)[()]
