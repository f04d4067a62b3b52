"""The course of a whirlpool: steps in time through turning, settling, lifting and setting."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from wortline.science.deposit import RINGS, Exchange, Trub, exchange, floor_action, moved_by
from wortline.science.real import Real
from wortline.science.swirl_constants import SwirlConstants
from wortline.science.swirl_drive import Drive, turning_over
from wortline.science.swirl_kettle import SwirlKettle, body_of, drive_of, jet_turbulence_m_s
from wortline.science.swirl_solids import CLASSES, Solids, solids_in_wort
from wortline.science.turning import Body, turns_per_min

Array = npt.NDArray[np.float64]
PUMP_STEPS, REST_STEPS = 30, 75
TOGETHER = 15
# Each step of the rest is longer than the one before: the first of 60 min is about a second.
_GROWTH = 1.075
_LEAST = 1e-300


@dataclass(frozen=True)
class Course:
    """A stretch of time; points along the first axis, members behind.

    Attributes
    ----------
    after_min : ndarray
        Time since its start [min].
    turns_per_min : ndarray
        Turns at the surface [1/min].
    clear_fraction : ndarray
        Share of the solids that is not in the wort at the side outlet, 0-1 [-].
    suspended_mg_l : ndarray
        Solids in the wort at the side outlet, dry [mg/L].
    suspended_by_class, cone_by_class : ndarray
        Share of each class in the wort and in the cone, (points, classes, members) [-].
    """

    after_min: Array
    turns_per_min: Array
    clear_fraction: Array
    suspended_mg_l: Array
    suspended_by_class: Array
    cone_by_class: Array

    def at(self, after_min: Real, what: Array) -> Real:
        """Return a line of this course at a time after its start, straight between points."""
        steps = self.after_min
        later = np.clip(np.sum(steps <= after_min, axis=0), 1, len(steps) - 1)[None]
        left, right = (np.take_along_axis(steps, later + k, 0)[0] for k in (-1, 0))
        low, high = (np.take_along_axis(what, later + k, 0)[0] for k in (-1, 0))
        share = np.clip((after_min - left) / (right - left), 0.0, 1.0)
        found: Real = (low + share * (high - low))[()]
        return found

    def below_one_min(self, line: Array) -> Real:
        """Return from when on a line stays below 1; nan if it does not in this course."""
        points = len(line)
        above = line > 1.0
        first = np.where(np.any(above, axis=0), points - np.argmax(above[::-1], axis=0), 0)
        right = np.clip(first, 1, points - 1)[None]
        before, after = (np.take_along_axis(line, right + step, 0)[0] for step in (-1, 0))
        start, end = (np.take_along_axis(self.after_min, right + step, 0)[0] for step in (-1, 0))
        falls = (before > 1.0) & (after <= 1.0)
        drop = np.log(np.where(falls, before / np.maximum(after, _LEAST), np.e))
        share = np.log(np.where(falls, before, 1.0)) / drop
        found = np.where(first == 0, 0.0, start + share * (end - start))
        return np.where(first == points, np.nan, found)[()]


@dataclass(frozen=True)
class Setting:
    """What stays the same all along one run.

    Attributes
    ----------
    kettle : SwirlKettle
        The kettle as given.
    body, drive, solids : Body, Drive, Solids
        What follows from it.
    constants : SwirlConstants
        Constants of the model.
    shape : tuple of int
        Shape of the members.
    """

    kettle: SwirlKettle
    body: Body
    drive: Drive
    solids: Solids
    constants: SwirlConstants
    shape: tuple[int, ...]

    @classmethod
    def of(cls, kettle: SwirlKettle, constants: SwirlConstants, *others: Real) -> "Setting":
        """Work out what follows from a kettle; the others only widen the shape of the members."""
        given = (*vars(kettle).values(), *vars(constants).values(), *others)
        shape = np.broadcast_shapes(*(np.shape(each) for each in given))
        body = body_of(kettle)
        solids = solids_in_wort(body, kettle.wort_hot_l, kettle.hops_free_kg, constants, shape)
        return cls(kettle, body, drive_of(kettle, body), solids, constants, shape)

    @property
    def start(self) -> Trub:
        """Everything in the wort: the boil has just ended."""
        bare = np.zeros((len(CLASSES), RINGS, *self.shape))
        return Trub(np.ones((len(CLASSES), *self.shape)), bare, bare)

    @property
    def part(self) -> Array:
        """Share of each class in the dry mass."""
        found: Array = self.solids.load_mg_l / np.sum(self.solids.load_mg_l, axis=0)
        return found

    def stir_m_s(self, flow_l_min: Real) -> Real:
        """Return the friction speed on the floor of jet and convection."""
        eddies = jet_turbulence_m_s(
            flow_l_min, self.kettle.nozzle_m, self.kettle.wort_hot_l, self.body.radius_m
        )
        return np.hypot(
            self.constants.jet_stir * eddies,
            self.constants.convection_stir * self.drive.convection_m_s,
        )

    def passed(
        self, trub: Trub, turning_rad_s: Real, lengths_min: Array, flow_l_min: Real
    ) -> tuple[Course, Trub, Real]:
        """Return how steps in time go, and the trub and the turning that they end with."""
        drive = self.drive._replace(flow_l_min=flow_l_min)
        turning: Array = turning_over(lengths_min, turning_rad_s, self.body, drive, self.constants)
        stir = self.stir_m_s(flow_l_min)
        suspended, cone = [trub.suspended], [_in_cone(trub)]
        # The floor feels the turning alone, so steps are worked out together, apart from where
        # the trub is.
        for first in range(0, len(lengths_min), TOGETHER):
            steps = slice(first, first + TOGETHER)
            turned = 0.5 * (turning[:-1] + turning[1:])[steps, None, None]
            floors = floor_action(
                turned, self.body, self.solids, stir, self.kettle.floor_open, self.constants
            )
            seconds = 60.0 * lengths_min[steps, None, None]
            for each in zip(*exchange(floors, seconds, rings_axis=2), strict=True):
                trub = moved_by(trub, Exchange(*each))
                suspended.append(trub.suspended)
                cone.append(_in_cone(trub))
        load = self.solids.load_mg_l
        left_mg_l = np.sum(np.array(suspended) * load, axis=1)
        course = Course(
            np.concatenate([0.0 * lengths_min[:1], np.cumsum(lengths_min, axis=0)]),
            np.asarray(turns_per_min(turning)),
            1.0 - left_mg_l / np.sum(load, axis=0),
            left_mg_l,
            np.array(suspended),
            np.array(cone),
        )
        return course, trub, turning[-1]


def _in_cone(trub: Trub) -> Array:
    inner = slice(RINGS // 2)
    found: Array = np.add.reduce(trub.loose[:, inner] + trub.firm[:, inner], axis=1)
    return found


def even_steps_min(whole_min: Real, shape: tuple[int, ...]) -> Array:
    """Return steps of equal length for a running pump.

    Parameters
    ----------
    whole_min : Real
        Length of all of them [min].
    shape : tuple of int
        Shape of the members.

    Returns
    -------
    ndarray
        Lengths, steps along the first axis [min].

    References
    ----------
    Equal shares, by definition.
    """
    lengths: Array = np.full((PUMP_STEPS, *shape), 1.0 / PUMP_STEPS) * whole_min
    return lengths


def growing_steps_min(whole_min: Real, shape: tuple[int, ...]) -> Array:
    """Return steps for a rest, each longer than the one before: at first much happens.

    Parameters
    ----------
    whole_min : Real
        Length of all of them [min].
    shape : tuple of int
        Shape of the members.

    Returns
    -------
    ndarray
        Lengths, steps along the first axis [min].

    References
    ----------
    A geometric series, by definition.
    """
    growing = (_GROWTH ** np.arange(REST_STEPS)).reshape((-1,) + (1,) * len(shape))
    lengths: Array = np.ones((REST_STEPS, *shape)) * growing / np.sum(growing) * whole_min
    return lengths
