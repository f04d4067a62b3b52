"""A substance that turns into another which is itself lost, both at first-order rates."""

import numpy as np
import numpy.typing as npt

from wortline.science.real import Real

Array = npt.NDArray[np.float64]

MANY = 64


def mean_decay(decay: Real) -> Real:
    """Mean of exp(-x) for x running from 0 to `decay`.

    Parameters
    ----------
    decay : Real
        Rate times length of the step; may be zero or negative [-]

    Returns
    -------
    Real
        (1 - exp(-decay)) / decay, and 1 where `decay` is zero [-]

    Notes
    -----
    Written with expm1, so that two nearly equal rates lose no digits.

    References
    ----------
    N. J. Higham, 2002, Accuracy and Stability of Numerical Algorithms, section 1.14.1, SIAM.
    """
    decay = np.asarray(decay, dtype=np.float64)
    none = decay == 0.0
    less = np.where(none, -1.0, -decay)
    return np.where(none, 1.0, np.expm1(less) / less)[()]


def chain_step(
    parent: Real, child: Real, turned_per_min: Real, lost_per_min: Real, step_min: Real
) -> tuple[Real, Real]:
    """Amounts of parent and child after a step at constant rates (parent -> child -> lost).

    Parameters
    ----------
    parent : Real
        Parent at the start, in any unit of amount or concentration [-]
    child : Real
        Child at the start, in the same unit [-]
    turned_per_min : Real
        Rate at which parent turns into child [1/min]
    lost_per_min : Real
        Rate at which child is lost [1/min]
    step_min : Real
        Length of the step [min]

    Returns
    -------
    tuple of Real
        Parent and child at the end of the step, in the unit given [-]

    Notes
    -----
    Exact for constant rates. The textbook quotient by the difference of the rates is written with
    the mean of an exponential instead: no singularity where the two rates are equal.

    References
    ----------
    H. Bateman, 1910, The solution of a system of differential equations occurring in the theory
    of radioactive transformations, Proc. Cambridge Phil. Soc. 15, 423-427.
    """
    left, kept, passed = chain_shares(turned_per_min * step_min, lost_per_min * step_min)
    return parent * left, child * kept + parent * passed


def chain_shares(turned: Real, lost: Real) -> tuple[Real, Real, Real]:
    """What a step of a chain leaves of parent and child, and brings from the one to the other.

    Parameters
    ----------
    turned : Real
        Rate at which parent turns into child, times the length of the step [-]
    lost : Real
        Rate at which child is lost, times the length of the step [-]

    Returns
    -------
    tuple of Real
        Share of the parent left, share of the child left, share of the parent that is child at the
        end [-]

    Notes
    -----
    The equations are linear: these shares serve all amounts.

    References
    ----------
    H. Bateman, 1910, The solution of a system of differential equations occurring in the theory
    of radioactive transformations, Proc. Cambridge Phil. Soc. 15, 423-427.
    """
    left: Real = np.exp(-turned)
    kept: Real = np.exp(-lost)
    # The larger of the two is the exponential of the slower rate.
    slower: Real = np.asarray(np.maximum(left, kept))[()]
    return left, kept, turned * slower * mean_decay(np.abs(turned - lost))


def aligned_steps(*curves: Real) -> list[Array]:
    """Arrays with their steps on axis 0, given equal numbers of axes so that members broadcast.

    Parameters
    ----------
    curves : Real
        Arrays of shape (steps,) or (steps, ...members), in any unit [-]

    Returns
    -------
    list of ndarray
        The same arrays with axes of length one appended where members were missing [-]

    Raises
    ------
    ValueError
        If an array has no axis of steps.

    References
    ----------
    Harris et al., 2020, Array programming with NumPy, Nature 585, 357-362 (broadcasting).
    """
    arrays = [np.asarray(curve, dtype=np.float64) for curve in curves]
    if any(array.ndim == 0 for array in arrays):
        raise ValueError("a curve needs its steps on the first axis")
    most = max(array.ndim for array in arrays)
    return [array.reshape(array.shape + (1,) * (most - array.ndim)) for array in arrays]


def from_zero(increments: Array) -> Array:
    """Running sum over the first axis, with the zero it starts from in front.

    Parameters
    ----------
    increments : ndarray
        What each step adds, shape (steps, ...members), in any unit [-]

    Returns
    -------
    ndarray
        Sums at the start and at every step's end, shape (steps + 1, ...members) [-]

    References
    ----------
    Definition of a running sum.
    """
    sums = np.zeros((len(increments) + 1, *increments.shape[1:]))
    if increments.size < MANY * len(increments):
        np.cumsum(increments, axis=0, out=sums[1:])
        return sums
    # Over many members numpy sums down each column for itself; row upon row is six times as quick.
    for before, each, after in zip(sums[:-1], increments, sums[1:], strict=True):
        np.add(before, each, out=after)
    return sums


def step_of(time_min: Array, when_min: Real) -> tuple[npt.NDArray[np.intp], Array]:
    """Which step a moment lies in, and what share of that step has gone by.

    Parameters
    ----------
    time_min : ndarray
        Start and step ends, never falling, shape (steps + 1, ...members) [min]
    when_min : Real
        The moment; broadcasts with the members; outside the curve it counts as its nearer end [min]

    Returns
    -------
    tuple of ndarray
        Number of the step and share of it gone by, with an axis of length one in front [-]

    References
    ----------
    Definition of linear interpolation.
    """
    when = np.asarray(when_min, dtype=np.float64)[np.newaxis]
    if time_min.ndim == 1:
        started = np.asarray(np.searchsorted(time_min, when, side="right"))
    else:
        time = with_axes(time_min, when.ndim)
        started = np.count_nonzero(time <= when, axis=0, keepdims=True)
    index = np.minimum(np.maximum(started - 1, 0), len(time_min) - 2)
    start = taken(time_min, index)
    length = taken(time_min, index + 1) - start
    gone = (when - start) / np.where(length > 0.0, length, 1.0)
    return index, np.minimum(np.maximum(gone, 0.0), 1.0)


def taken(curve: Array, index: npt.NDArray[np.intp]) -> Array:
    """Values of a curve at numbered points, member by member.

    Parameters
    ----------
    curve : ndarray
        Shape (points, ...members), in any unit [-]
    index : ndarray of int
        Numbers of points, with an axis of length one in front [-]

    Returns
    -------
    ndarray
        Shape of `index`, or of it broadcast with the members [-]

    References
    ----------
    Harris et al., 2020, Array programming with NumPy, Nature 585, 357-362 (indexing).
    """
    if curve.ndim == 1:
        return curve[index]
    if curve.ndim == index.ndim == 2:
        # The usual case, in a third of the time.
        return curve[index, np.arange(curve.shape[1])]
    return np.take_along_axis(with_axes(curve, index.ndim), index, axis=0)


def with_axes(curve: Array, axes: int) -> Array:
    """The curve with axes of length one put between its steps and its members.

    Parameters
    ----------
    curve : ndarray
        Shape (steps, ...members), in any unit [-]
    axes : int
        Number of axes wanted; a curve that has as many or more is left as it is.

    Returns
    -------
    ndarray
        The same numbers [-]

    References
    ----------
    Harris et al., 2020, Array programming with NumPy, Nature 585, 357-362 (broadcasting).
    """
    missing = max(axes - curve.ndim, 0)
    return curve.reshape(curve.shape[:1] + (1,) * missing + curve.shape[1:])
