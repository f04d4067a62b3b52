"""The brewer's own readings: turns at the stop, 2 and 5 min later, and when the sample is clear.

Turns at the stop tell what the jet is worth; how fast they fall tells the drag of the wall; the
minutes until a sample is clear tell the size of the flocs.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from wortline.science.real import Real
from wortline.science.swirl_constants import SwirlConstants
from wortline.science.swirl_drive import turning_over
from wortline.science.swirl_kettle import SwirlKettle, body_of, drive_of
from wortline.science.whirlpool import USUAL, resting_course

Array = npt.NDArray[np.float64]
# When the turns are counted after the stop.
COUNTED_MIN = (0.0, 2.0, 5.0)
_STEPS_PER_MIN = 12
_DRAGS = np.exp(np.linspace(np.log(0.2), np.log(5.0), 25))
_SIZES = np.exp(np.linspace(np.log(0.25), np.log(4.0), 15))
# A second look, from one point of these to the next.
_CLOSE_BY = np.linspace(-1.0, 1.0, 9)
_ROUNDS = 8
# Torque goes with this power of the turning.
_POWER = 1.8
_SEEN_MIN = 120.0


@dataclass(frozen=True)
class SwirlFit:
    """Constants that fit the readings.

    Attributes
    ----------
    constants : SwirlConstants
        With the share of the jet, the drag of the wall and the size of the flocs as fitted.
    turns_off : Real
        Largest factor between a counted and a fitted turn rate, 1 or more [-].
    clear_off : Real
        Factor between the minutes until clear and the fitted ones, 1 or more [-].
    """

    constants: SwirlConstants
    turns_off: Real
    clear_off: Real


def _crossing(points: Array, values: Array) -> Real:
    """Return where falling values over rising points pass nought; the nearer end if they do not."""
    below = np.sum(values > 0.0, axis=0)
    right = np.clip(below, 1, len(points) - 1)
    before, after = (np.take_along_axis(values, (right + step)[None], 0)[0] for step in (-1, 0))
    falls = (before > 0.0) & (after <= 0.0)
    share = np.where(falls, before / np.where(falls, before - after, 1.0), below > 0)
    logs = np.broadcast_to(np.log(points), values.shape)
    low, high = (np.take_along_axis(logs, (right + step)[None], 0)[0] for step in (-1, 0))
    found: Real = np.exp(low + share * (high - low))[()]
    return found


def _fitted(points: Array, miss_of: Callable[[Array], Array], shape: tuple[int, ...]) -> Real:
    """Return where a falling miss passes nought: first between all points, then close by."""
    all_over = _along(points, shape)
    near = _crossing(all_over, miss_of(all_over))
    close = near * _along((points[1] / points[0]) ** _CLOSE_BY, shape)
    close = np.clip(close, points[0], points[-1])
    return _crossing(close, miss_of(close))


def _slowed(
    kettle: SwirlKettle, start_rad_s: Real, constants: SwirlConstants, shape: tuple[int, ...]
) -> Array:
    """Return the turning at the minutes counted, from a start."""
    body = body_of(kettle)
    off = drive_of(kettle, body)._replace(flow_l_min=0.0)
    steps = round(COUNTED_MIN[-1] * _STEPS_PER_MIN)
    turning = turning_over(
        np.full((steps, *shape), 1.0 / _STEPS_PER_MIN), start_rad_s, body, off, constants
    )
    return turning[[round(when * _STEPS_PER_MIN) for when in COUNTED_MIN]]


def fitted_to_readings(
    kettle: SwirlKettle,
    turns_per_min: Sequence[Real] = (),
    clear_after_min: Real | None = None,
    pump_min: Real = 3.0,
    constants: SwirlConstants = USUAL,
) -> SwirlFit:
    """Return constants that fit what a brewer counted and saw.

    Parameters
    ----------
    kettle : SwirlKettle
        The kettle as it was then: its volume, flow, nozzle, hops.
    turns_per_min : sequence of Real
        Turns at the surface when the pump stopped, and 2 and 5 min later; up to three, falling,
        above nought [1/min].
    clear_after_min : Real, optional
        Rest until a sample at the outlet looked clear [min].
    pump_min : Real
        Time the pump had run [min].
    constants : SwirlConstants
        Constants to start from.

    Returns
    -------
    SwirlFit
        Fitted constants, and how far the readings are from them.

    Notes
    -----
    Drag between a fifth and five times the usual, flocs between a quarter and four times; a reading
    that asks for more ends there, and the factors say how far it is off.

    References
    ----------
    Greenspan, H. P., Howard, L. N. (1963). On a time-dependent motion of a rotating fluid. Journal
    of Fluid Mechanics 17, 385-404 (spin-down shows the drag). Stokes, G. G. (1851). On the effect
    of the internal friction of fluids on the motion of pendulums. Transactions of the Cambridge
    Philosophical Society 9, 8-106 (settling shows the size).
    """
    given = (*vars(kettle).values(), *vars(constants).values(), *turns_per_min, pump_min)
    shape = np.broadcast_shapes(
        *(np.shape(each) for each in given),
        np.shape(1.0 if clear_after_min is None else clear_after_min),
    )
    turns_off: Real = 1.0
    clear_off: Real = 1.0
    if turns_per_min:
        counted = np.array([np.broadcast_to(each, shape) for each in turns_per_min]) * np.pi / 30.0
        constants = _fit_drag(kettle, counted, constants, shape)
        constants = _fit_jet(kettle, counted[0], pump_min, constants, shape)
        slowed = _slowed(kettle, counted[0], constants, shape)[: len(counted)]
        turns_off = np.exp(np.max(np.abs(np.log(slowed / counted)), axis=0))[()]
    if clear_after_min is not None:
        constants, clear_off = _fit_flocs(kettle, clear_after_min, pump_min, constants, shape)
    return SwirlFit(constants, turns_off, clear_off)


def _along(points: Array, shape: tuple[int, ...]) -> Array:
    return points.reshape((-1,) + (1,) * len(shape))


def _fit_drag(
    kettle: SwirlKettle, counted: Array, constants: SwirlConstants, shape: tuple[int, ...]
) -> SwirlConstants:
    if len(counted) < 2:
        return constants
    later = slice(1, len(counted))

    def miss(drags: Array) -> Array:
        tried = replace(constants, wall_drag=drags)
        slowed = _slowed(kettle, counted[0], tried, (len(drags), *shape))
        found: Array = np.mean(np.log(slowed[later] / counted[later][:, None]), axis=0)
        return found

    return replace(constants, wall_drag=_fitted(_DRAGS, miss, shape))


def _fit_jet(
    kettle: SwirlKettle,
    stop_rad_s: Array,
    pump_min: Real,
    constants: SwirlConstants,
    shape: tuple[int, ...],
) -> SwirlConstants:
    body = body_of(kettle)
    drive = drive_of(kettle, body)
    steps = np.full((30, *shape), 1.0 / 30.0) * pump_min
    for _ in range(_ROUNDS):
        reached = turning_over(steps, 0.0, body, drive, constants)[-1]
        share = constants.jet_share * (stop_rad_s / reached) ** _POWER
        constants = replace(constants, jet_share=share)
    return constants


def _fit_flocs(
    kettle: SwirlKettle,
    clear_after_min: Real,
    pump_min: Real,
    constants: SwirlConstants,
    shape: tuple[int, ...],
) -> tuple[SwirlConstants, Real]:
    def miss(sizes: Array) -> Array:
        tried = replace(constants, floc_size=sizes)
        resting = resting_course(kettle, pump_min, tried, _SEEN_MIN)
        found = resting.below_one_min(resting.suspended_mg_l / constants.clear_mg_l)
        # what is not clear within the time looked at is clear some time after it
        clear_min = np.maximum(np.where(np.isnan(found), 2.0 * _SEEN_MIN, found), 0.01)
        return np.asarray(np.log(clear_min) - np.log(clear_after_min))

    fitted = replace(constants, floc_size=_fitted(_SIZES, miss, shape))
    again = resting_course(kettle, pump_min, fitted, _SEEN_MIN)
    clear = again.below_one_min(again.suspended_mg_l / constants.clear_mg_l)
    off = np.exp(np.abs(np.log(np.maximum(clear, 0.01) / clear_after_min)))
    return fitted, off[()]
