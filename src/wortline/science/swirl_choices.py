"""What else could be done with the same whirlpool, side by side, and a table over the minutes."""

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from wortline.science.real import Real
from wortline.science.swirl_constants import SwirlConstants
from wortline.science.swirl_course import Setting, even_steps_min, growing_steps_min
from wortline.science.swirl_kettle import SwirlKettle
from wortline.science.whirlpool import USUAL, run

Array = npt.NDArray[np.float64]
# Points of the table, between which straight lines are within 2 % of the model.
_TABLE_PUMP_MIN = np.array([0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 10.0, 20.0])
_TABLE_REST_MIN = np.concatenate([np.arange(0.0, 6.0, 0.5), 6.0 * 1.12 ** np.arange(21)])


@dataclass(frozen=True)
class Choice:
    """What one way of doing it gives.

    Attributes
    ----------
    turns_per_min_stop : Real
        Turns at the surface when the pump stops [1/min].
    rest_min : Real
        Rest until the wort is clear and still; nan if not within the time looked at [min].
    clear_fraction, cone_share, dusted_share : Real
        Of the solids after the same rest: out of the wort, in the cone, over the outer floor [-].
    """

    turns_per_min_stop: Real
    rest_min: Real
    clear_fraction: Real
    cone_share: Real
    dusted_share: Real


@dataclass(frozen=True)
class SwirlChoices:
    """The same kettle and the same minutes, done in five ways.

    Attributes
    ----------
    as_meant : Choice
        Pump, then rest.
    pump_left_on : Choice
        The pump runs on all through the rest.
    never_pumped : Choice
        Rest only, after as long a stand.
    unobstructed : Choice
        As meant, with nothing in the way: what the obstacle costs is the difference.
    pumped_double : Choice
        Pumped twice as long, then the same rest: what more pumping adds.
    """

    as_meant: Choice
    pump_left_on: Choice
    never_pumped: Choice
    unobstructed: Choice
    pumped_double: Choice


def swirl_choices(
    kettle: SwirlKettle,
    pump_min: Real,
    rest_min: Real,
    constants: SwirlConstants = USUAL,
) -> SwirlChoices:
    """Return what other ways with the same kettle and rest would give.

    Parameters
    ----------
    kettle : SwirlKettle
        The kettle, its pump and its solids.
    pump_min : Real
        Time the pump runs [min].
    rest_min : Real
        Rest after it [min].
    constants : SwirlConstants
        Constants of the model.

    Returns
    -------
    SwirlChoices
        Five ways, each with turns, rest, clarity and where the trub lies.

    Notes
    -----
    All five are members of one run.

    References
    ----------
    Einstein, A. (1926). Die Ursache der Maeanderbildung der Flusslaeufe und des sogenannten
    Baerschen Gesetzes. Naturwissenschaften 14, 223-224 (why tea leaves gather in the middle; from
    memory).
    """
    given = (*vars(kettle).values(), *vars(constants).values(), pump_min, rest_min)
    shape = np.broadcast_shapes(*(np.shape(each) for each in given))

    def ways(*values: Real) -> Array:
        return np.stack([np.broadcast_to(np.asarray(each, dtype=float), shape) for each in values])

    flow, clear_of = kettle.flow_l_min, kettle.obstacle_m2
    done = run(
        replace(kettle, obstacle_m2=ways(clear_of, clear_of, clear_of, 0.0, clear_of)),
        ways(pump_min, pump_min, 0.0, pump_min, 2.0 * pump_min),
        ways(rest_min, rest_min, pump_min + rest_min, rest_min, rest_min),
        constants,
        ways(0.0, flow, 0.0, 0.0, 0.0),
    )
    found = [
        Choice(
            np.asarray(done.turns_per_min_stop)[way][()],
            np.asarray(done.rest_min)[way][()],
            np.asarray(done.clear_fraction)[way][()],
            np.asarray(done.cone_share)[way][()],
            np.asarray(done.dusted_share)[way][()],
        )
        for way in range(5)
    ]
    return SwirlChoices(*found)


@dataclass(frozen=True)
class Returned:
    """What a return flow over a rested kettle does.

    Attributes
    ----------
    cone_before, cone_after : Real
        Share of the solids in the cone before and after it [-].
    clear_before, clear_after : Real
        Share of the solids out of the wort before and after it [-].
    """

    cone_before: Real
    cone_after: Real
    clear_before: Real
    clear_after: Real


def returned_after_rest(
    kettle: SwirlKettle,
    pump_min: Real,
    rest_min: Real,
    return_l_min: Real,
    return_min: Real,
    constants: SwirlConstants = USUAL,
) -> Returned:
    """Return what circulating after the rest does to cone and wort, as in a circulating chill.

    Parameters
    ----------
    kettle : SwirlKettle
        The kettle, its pump and its solids.
    pump_min : Real
        Time the pump ran [min].
    rest_min : Real
        Rest after it [min].
    return_l_min : Real
        Flow through the same nozzle after the rest [L/min].
    return_min : Real
        How long [min].
    constants : SwirlConstants
        Constants of the model.

    Returns
    -------
    Returned
        Cone and clarity before and after.

    Notes
    -----
    At the temperature of the rest; colder wort is thicker and sweeps the floor less.

    References
    ----------
    Carvajalino-Fernandez, M. A., et al. (2020). Aquaculture Environment Interactions 12, 117, doi
    10.3354/aei00350 (stress that erodes a set deposit, as a proxy).
    """
    setting = Setting.of(kettle, constants, pump_min, rest_min, return_l_min, return_min)
    trub = setting.start
    turning: Real = 0.0
    courses = []
    for whole_min, flow, steps in (
        (pump_min, kettle.flow_l_min, even_steps_min),
        (rest_min, 0.0, growing_steps_min),
        (return_min, return_l_min, growing_steps_min),
    ):
        lengths = steps(whole_min, setting.shape)
        course, trub, turning = setting.passed(trub, turning, lengths, flow)
        courses.append(course)
    rested, back = courses[1:]
    before, after = (
        np.sum(setting.part * each.cone_by_class[-1], axis=0) for each in (rested, back)
    )
    return Returned(before, after, rested.clear_fraction[-1], back.clear_fraction[-1])


@dataclass(frozen=True)
class SwirlTable:
    """Clarity and cone over minutes pumped and minutes rested, for one kettle.

    Attributes
    ----------
    pump_min, rest_min : ndarray
        Points of the table, rising [min].
    clear_fraction, cone_share : ndarray
        Values, (pumped, rested) [-].
    """

    pump_min: Array
    rest_min: Array
    clear_fraction: Array
    cone_share: Array

    def at(self, pump_min: Real, rest_min: Real) -> tuple[Real, Real]:
        """Return clear fraction and cone share between the points, and those of the edge beyond."""
        row, down = _place(self.pump_min, pump_min)
        column, along = _place(self.rest_min, rest_min)
        clear, cone = (
            (1.0 - down) * ((1.0 - along) * each[row, column] + along * each[row, column + 1])
            + down * ((1.0 - along) * each[row + 1, column] + along * each[row + 1, column + 1])
            for each in (self.clear_fraction, self.cone_share)
        )
        return clear[()], cone[()]


def _place(points: Array, value: Real) -> tuple[npt.NDArray[np.intp], Array]:
    left = np.clip(np.searchsorted(points, value, side="right") - 1, 0, len(points) - 2)
    share = (value - points[left]) / (points[left + 1] - points[left])
    return left, np.clip(share, 0.0, 1.0)


def swirl_table(
    kettle: SwirlKettle,
    constants: SwirlConstants = USUAL,
    pump_min: Array = _TABLE_PUMP_MIN,
    rest_min: Array = _TABLE_REST_MIN,
) -> SwirlTable:
    """Return a table over minutes pumped and rested.

    Parameters
    ----------
    kettle : SwirlKettle
        One kettle, plain numbers.
    constants : SwirlConstants
        Constants of the model, plain numbers.
    pump_min : Array
        Minutes pumped, rising, one axis; usual from 0.5 to 20 [min].
    rest_min : Array
        Minutes rested, rising, one axis; usual from 0 to 58 [min].

    Returns
    -------
    SwirlTable
        To read between the points.

    References
    ----------
    One run over the minutes pumped; the rest is read off its course.
    """
    done = run(
        kettle, pump_min[:, None], rest_min, constants, seen_min=float(np.max(rest_min)) + 1.0
    )
    return SwirlTable(
        pump_min, rest_min, np.asarray(done.clear_fraction), np.asarray(done.cone_share)
    )
