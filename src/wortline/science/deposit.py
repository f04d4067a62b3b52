"""Trub between wort and floor: landing, lifting, setting, and creeping to the middle.

The floor is cut into rings of equal width. Arrays run over classes of solids, rings, members.
"""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from wortline.science.bottom_layer import floor_friction_speed_m_s, upwelling_m_s
from wortline.science.real import Real
from wortline.science.swirl_constants import SwirlConstants
from wortline.science.swirl_solids import Solids
from wortline.science.turning import STILL_RAD_S, Body

Array = npt.NDArray[np.float64]
RINGS = 12
# Doubled until they reach over all rings.
_REACHES = (1, 2, 4, 8)
# Above this many thicknesses of the wall layer a grain feels the flow outside it (van Driest).
_WALL_UNITS = 8.0
# Shares of the load that land in a step are worked out between these; beyond, all or nothing lands.
_LEAST, _MOST = 1e-12, 100.0


class Trub(NamedTuple):
    """Where the solids are, as shares of each class.

    Attributes
    ----------
    suspended : ndarray
        In the wort, (classes, members) [-].
    loose : ndarray
        Loose on the floor, (classes, rings, members) [-].
    firm : ndarray
        Set on the floor, (classes, rings, members) [-].
    """

    suspended: Array
    loose: Array
    firm: Array


class Floor(NamedTuple):
    """What the flow does to each class on each ring during a step.

    Attributes
    ----------
    caught_per_s : ndarray
        Rate at which the suspended load lands on a ring.
    lifted_per_s, eroded_per_s, setting_per_s : ndarray
        Rates at which loose trub is lifted, set trub is eroded, and loose trub sets.
    inward_per_s : ndarray
        Rate at which loose trub leaves a ring for the next one inward.
    """

    caught_per_s: Array
    lifted_per_s: Array
    eroded_per_s: Array
    setting_per_s: Array
    inward_per_s: Array


class Exchange(NamedTuple):
    """What the floor does in one step, whatever lies on it.

    Attributes
    ----------
    caught, lifted, keeps : ndarray
        Share of what is suspended at the end that lands on a ring; shares of what is loose there
        that is lifted and that stays [-].
    landing, eroded, setting : ndarray
        By how much the suspended load and the set trub are divided, and the share of the loose
        trub that sets [-].
    one, two, four, eight : ndarray
        Shares of a ring's loose trub that get so many rings further inward [-].
    """

    caught: Array
    lifted: Array
    keeps: Array
    landing: Array
    eroded: Array
    setting: Array
    one: Array
    two: Array
    four: Array
    eight: Array


def rings_share(members: int) -> Array:
    """Return the middle of each ring over the radius, shaped to stand before the members.

    Parameters
    ----------
    members : int
        Number of axes of the members.

    Returns
    -------
    ndarray
        Distance from the axis over the radius, (rings, 1, ...) [-].

    References
    ----------
    Rings of equal width, by definition.
    """
    return ((np.arange(RINGS) + 0.5) / RINGS).reshape((-1,) + (1,) * members)


def floor_action(
    turning_rad_s: Real,
    body: Body,
    solids: Solids,
    stir_m_s: Real,
    floor_open: Real,
    constants: SwirlConstants,
) -> Floor:
    """Return what the flow over the floor does to the solids.

    Parameters
    ----------
    turning_rad_s : Real
        Rate of rotation [rad/s].
    body : Body
        The liquid.
    solids : Solids
        Classes of solids.
    stir_m_s : Real
        Friction speed on the floor of all that is not the swirl: jet and convection [m/s].
    floor_open : Real
        1 for a bare floor; 0 under a false bottom, where nothing streams [-].
    constants : SwirlConstants
        Constants of the model.

    Returns
    -------
    Floor
        Rates in 1/s.

    Notes
    -----
    A grain stays up where the friction speed is above both its threshold of motion and its settling
    speed, in the form of Krone. Loose trub creeps with the flow at half its height.

    References
    ----------
    Krone, R. B. (1962). Flume studies of the transport of sediment in estuarial shoaling processes.
    University of California, Berkeley. Bagnold, R. A. (1966). An approach to the sediment transport
    problem from general physics. USGS Professional Paper 422-I (both from memory).
    """
    turning = np.maximum(turning_rad_s, STILL_RAD_S)
    share = rings_share(np.ndim(solids.settling_m_s) - 1)
    swirl = floor_friction_speed_m_s(turning, body.viscosity_m2_s, share * body.radius_m)
    squared = floor_open**2 * (swirl**2 + stir_m_s**2)
    speed = np.sqrt(squared)
    rise = (floor_open * upwelling_m_s(turning, body, share)) ** 2
    sinks, starts = solids.settling_m_s[:, None], solids.moving_m_s[:, None]
    moves = speed > starts
    excess = (squared - starts**2 + rise) / (constants.suspension * sinks) ** 2
    excess = np.where(moves, np.maximum(excess, 0.0), 0.0)
    ring_share = 2.0 * share / RINGS
    firm_squared = constants.set_strength_pa / body.density_kg_m3
    near = speed * solids.size_m[:, None] / (2.0 * body.viscosity_m2_s)
    creep = constants.creep * speed * np.minimum(near, _WALL_UNITS)
    creep = creep * np.maximum(1.0 - starts / np.maximum(speed, 1e-9), 0.0)
    return Floor(
        sinks * ring_share / body.depth_m * np.maximum(1.0 - excess, 0.0),
        constants.entrained_per_min / 60.0 * np.maximum(excess - 1.0, 0.0),
        constants.eroded_per_min / 60.0 * np.maximum(squared / firm_squared - 1.0, 0.0),
        np.where(squared < firm_squared, 1.0 / (60.0 * constants.set_min), 0.0),
        np.asarray(creep * RINGS / body.radius_m),
    )


def moved_trub(trub: Trub, floor: Floor, seconds: Real) -> Trub:
    """Return where the solids are after a step.

    Parameters
    ----------
    trub : Trub
        Where they are before.
    floor : Floor
        Rates during the step.
    seconds : Real
        Length of the step, in s [-].

    Returns
    -------
    Trub
        Where they are after; none is lost or made.

    Notes
    -----
    Implicit in all exchange, with the landing scaled so that undisturbed settling is exact;
    creeping implicit as well, ring by ring from the wall inward.

    References
    ----------
    Patankar, S. V. (1980). Numerical Heat Transfer and Fluid Flow, Hemisphere, section 4.3
    (implicit scheme; from memory).
    """
    return moved_by(trub, exchange(floor, seconds))


def exchange(floor: Floor, seconds: Real, rings_axis: int = 1) -> Exchange:
    """Return what a floor does in a step, wherever the trub is.

    Parameters
    ----------
    floor : Floor
        Rates during the step; many steps at once on axes in front of the classes.
    seconds : Real
        Length of the step, in s; broadcasts with the rates [-].
    rings_axis : int
        Which axis of the rates the rings are on.

    Returns
    -------
    Exchange
        Shares and factors of the step.

    References
    ----------
    Patankar, S. V. (1980). Numerical Heat Transfer and Fluid Flow, Hemisphere, section 4.3
    (implicit scheme; from memory).
    """
    total = np.sum(floor.caught_per_s, axis=rings_axis, keepdims=True)
    passed = np.clip(total * seconds, _LEAST, _MOST)
    caught = floor.caught_per_s * (seconds * np.expm1(passed) / passed)
    lifted, setting = floor.lifted_per_s * seconds, floor.setting_per_s * seconds
    keeps = 1.0 / (1.0 + lifted + setting)
    lifted = lifted * keeps
    return Exchange(
        caught,
        lifted,
        keeps,
        1.0 + np.sum(caught * (1.0 - lifted), axis=rings_axis),
        1.0 + floor.eroded_per_s * seconds,
        setting,
        *_ways(floor.inward_per_s * seconds, rings_axis),
    )


def moved_by(trub: Trub, by: Exchange) -> Trub:
    """Return where the solids are after a step.

    Parameters
    ----------
    trub : Trub
        Where they are before.
    by : Exchange
        What the floor does in the step.

    Returns
    -------
    Trub
        Where they are after; none is lost or made.

    References
    ----------
    Patankar, S. V. (1980). Numerical Heat Transfer and Fluid Flow, Hemisphere, section 4.3
    (implicit scheme; from memory).
    """
    firm = trub.firm / by.eroded
    back = by.lifted * trub.loose + trub.firm - firm
    # The sums of this loop are small: numpy's own wrapper costs more than they do.
    suspended = (trub.suspended + np.add.reduce(back, axis=1)) / by.landing
    loose = (trub.loose + by.caught * suspended[:, None]) * by.keeps
    return Trub(suspended, _crept(loose, by), firm + by.setting * loose)


def _ways(moves: Array, rings_axis: int) -> tuple[Array, Array, Array, Array]:
    """Shares of a ring's trub that get one, two, four and eight rings further inward."""
    share = moves / (1.0 + moves)
    # Views with the rings in front.
    np.moveaxis(share, rings_axis, 0)[0] = 0.0
    ways = [share]
    for reach in _REACHES[:-1]:
        further = ways[-1].copy()
        by_ring = np.moveaxis(further, rings_axis, 0)
        by_ring[:-reach] *= np.moveaxis(ways[-1], rings_axis, 0)[reach:]
        by_ring[-reach:] = 0.0
        ways.append(further)
    one, two, four, eight = ways
    return one, two, four, eight


def _crept(loose: Array, by: Exchange) -> Array:
    """Move loose trub inward: what leaves a ring is a share of all that it had or was given.

    The shares multiply along the way, so the sum over all rings behind is built by doubling.
    """
    flux = by.one * loose
    for reach, way in zip(_REACHES, (by.one, by.two, by.four, by.eight), strict=True):
        flux[:, :-reach] += way[:, :-reach] * flux[:, reach:]
    left: Array = loose - flux
    left[:, :-1] += flux[:, 1:]
    return left
