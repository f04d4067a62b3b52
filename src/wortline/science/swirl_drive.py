"""The turn rate of a pumped kettle over time: drive, terminal rate, spin-up, spin-down."""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from wortline.science.numerics import unit_root
from wortline.science.real import Real
from wortline.science.swirl_constants import SwirlConstants
from wortline.science.turning import (
    STILL_RAD_S,
    Body,
    bulk_inertia_kg_m2,
    floor_torque_n_m,
    jet_speed_m_s,
    laminar_torque_n_m,
    obstacle_torque_n_m,
    side_torque_n_m,
)

_LEAST = 1e-300
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(24)


class Drive(NamedTuple):
    """What drives and what hinders the swirl.

    Attributes
    ----------
    flow_l_min : Real
        Flow of the pump, out at the side and back through the nozzle [L/min].
    nozzle_m : Real
        Bore of the nozzle [m].
    obstacle_m2 : Real
        Frontal area of what stands in the way [m2].
    convection_m_s : Real
        Speed of the currents of the cooling wort [m/s].
    """

    flow_l_min: Real
    nozzle_m: Real
    obstacle_m2: Real = 0.0
    convection_m_s: Real = 0.0


def brake_n_m(turning_rad_s: Real, body: Body, drive: Drive, constants: SwirlConstants) -> Real:
    """Return what floor, wall and obstacles take from the swirl.

    Parameters
    ----------
    turning_rad_s : Real
        Rate of rotation [rad/s].
    body : Body
        The liquid.
    drive : Drive
        The obstacle, and the currents that make wall friction linear at the end.
    constants : SwirlConstants
        Constants of the model.

    Returns
    -------
    Real
        Torque [N m].

    Notes
    -----
    The larger of laminar and turbulent wall drag; the two cross at a Reynolds number near 2e4.

    References
    ----------
    Sous, D., Sommeria, J., Boyer, D. (2013). Friction law and turbulent properties in a laboratory
    Ekman boundary layer. Physics of Fluids 25 (abstract: the drag goes from turbulent to laminar).
    """
    turning = np.maximum(turning_rad_s, STILL_RAD_S)
    with_currents = np.hypot(turning, drive.convection_m_s / body.radius_m) / turning
    turbulent = floor_torque_n_m(turning, body) + side_torque_n_m(turning, body) * with_currents
    wall = constants.wall_drag * np.maximum(laminar_torque_n_m(turning, body), turbulent)
    at_m = constants.obstacle_at * body.radius_m
    bar = obstacle_torque_n_m(turning, body, drive.obstacle_m2, at_m, constants.obstacle_drag)
    taken: Real = (wall + bar) * (turning_rad_s / turning)
    return taken


def _push_and_pull(body: Body, drive: Drive, constants: SwirlConstants) -> tuple[Real, Real]:
    """Return the torque of the jet, and what the outflow takes for each rad/s."""
    mass_kg_s = body.density_kg_m3 * drive.flow_l_min / 60000.0
    lever_m = constants.jet_share * constants.jet_arm * body.radius_m
    jet = mass_kg_s * jet_speed_m_s(drive.flow_l_min, drive.nozzle_m) * lever_m
    return jet, mass_kg_s * (constants.outflow_arm * body.radius_m) ** 2


def jet_torque_n_m(body: Body, drive: Drive, constants: SwirlConstants) -> Real:
    """Return the torque of the returning jet: its thrust times the lever.

    Parameters
    ----------
    body : Body
        The liquid.
    drive : Drive
        Flow and nozzle.
    constants : SwirlConstants
        Constants of the model.

    Returns
    -------
    Real
        Torque [N m].

    References
    ----------
    Tvinnereim, K., Skybakmoen, S. (1989). Water exchange and self-cleaning in fish-rearing tanks.
    Aquaculture: a biotechnology in progress, 1041-1047 (impulse of the inlet; from memory).
    """
    return _push_and_pull(body, drive, constants)[0]


def outflow_torque_n_m(
    turning_rad_s: Real, body: Body, drive: Drive, constants: SwirlConstants
) -> Real:
    """Return what the wort that the pump draws off takes with it.

    Parameters
    ----------
    turning_rad_s : Real
        Rate of rotation [rad/s].
    body : Body
        The liquid.
    drive : Drive
        Flow.
    constants : SwirlConstants
        Constants of the model.

    Returns
    -------
    Real
        Torque [N m].

    References
    ----------
    White, F. M. (2016). Fluid Mechanics, 8th edition, McGraw-Hill, section 3.6 (angular momentum
    theorem).
    """
    return turning_rad_s * _push_and_pull(body, drive, constants)[1]


def terminal_rad_s(body: Body, drive: Drive, constants: SwirlConstants) -> Real:
    """Return the rate of rotation that a running pump ends at.

    Parameters
    ----------
    body : Body
        The liquid.
    drive : Drive
        Flow, nozzle and obstacle; no flow gives nought.
    constants : SwirlConstants
        Constants of the model.

    Returns
    -------
    Real
        Rate of rotation at which the jet balances all drag [rad/s].

    References
    ----------
    White, F. M. (2016). Fluid Mechanics, 8th edition, McGraw-Hill, section 3.6 (angular momentum
    theorem).
    """
    jet, pull = _push_and_pull(body, drive, constants)
    flows = np.greater(jet, 0.0)
    most_rad_s = np.where(flows, jet / np.where(flows, pull, 1.0), 1.0)[()]

    def lacking(share: Real) -> Real:
        turning: Real = share * most_rad_s
        drag = brake_n_m(turning, body, drive, constants) + pull * turning
        return np.where(flows, drag - jet, share)[()]

    return np.where(flows, most_rad_s * unit_root(lacking), 0.0)[()]


def _between_min(
    body: Body, drive: Drive, constants: SwirlConstants, start: Real, end: Real
) -> Real:
    """Return the time from one rate of rotation to another, by Gauss's rule over the rate."""
    jet, pull = _push_and_pull(body, drive, constants)
    at_end = brake_n_m(end, body, drive, constants)
    members = np.broadcast_shapes(np.shape(jet), np.shape(start), np.shape(at_end))
    shape = (-1,) + (1,) * len(members)
    nodes = 0.5 + 0.5 * _NODES.reshape(shape)
    turning = np.asarray(start + (end - start) * nodes, dtype=np.float64)
    net = jet - pull * turning - brake_n_m(turning, body, drive, constants)
    slowness = np.sum(_WEIGHTS.reshape(shape) / net, axis=0)
    found_min: Real = 0.5 * (end - start) * slowness * bulk_inertia_kg_m2(body) / 60.0
    return found_min


def spin_up_min(body: Body, drive: Drive, constants: SwirlConstants, share: float = 0.95) -> Real:
    """Return the time from rest to a share of the terminal rate.

    Parameters
    ----------
    body : Body
        The liquid.
    drive : Drive
        Flow, nozzle and obstacle.
    constants : SwirlConstants
        Constants of the model.
    share : float
        Share of the terminal rate, below 1 [-].

    Returns
    -------
    Real
        Time; nan without flow [min].

    References
    ----------
    White, F. M. (2016). Fluid Mechanics, 8th edition, McGraw-Hill, section 3.6 (angular momentum
    theorem).
    """
    end = share * terminal_rad_s(body, drive, constants)
    some = np.where(np.greater(end, 0.0), end, np.nan)[()]
    return _between_min(body, drive, constants, 0.0, some)


def slowing_min(
    turning_rad_s: Real, body: Body, drive: Drive, constants: SwirlConstants, share: float = 0.5
) -> Real:
    """Return the time in which the swirl falls to a share of its rate, the pump off.

    Parameters
    ----------
    turning_rad_s : Real
        Rate of rotation at the stop, above nought [rad/s].
    body : Body
        The liquid.
    drive : Drive
        The obstacle and the currents; its flow does not count.
    constants : SwirlConstants
        Constants of the model.
    share : float
        Share that is left, above 0 [-].

    Returns
    -------
    Real
        Time [min].

    References
    ----------
    White, F. M. (2016). Fluid Mechanics, 8th edition, McGraw-Hill, section 3.6 (angular momentum
    theorem).
    """
    off = drive._replace(flow_l_min=0.0)
    return _between_min(body, off, constants, turning_rad_s, share * turning_rad_s)


def turning_over(
    lengths_min: npt.NDArray[np.float64],
    turning_rad_s: Real,
    body: Body,
    drive: Drive,
    constants: SwirlConstants,
) -> npt.NDArray[np.float64]:
    """Return the rate of rotation at the ends of steps in time.

    Parameters
    ----------
    lengths_min : ndarray
        Lengths of the steps, first axis; members behind [min].
    turning_rad_s : Real
        Rate of rotation at the start [rad/s].
    body : Body
        The liquid.
    drive : Drive
        What drives and hinders it during all of these steps.
    constants : SwirlConstants
        Constants of the model.

    Returns
    -------
    ndarray
        Rate of rotation at the start and after each step [rad/s].

    Notes
    -----
    Midpoint rule in which the drag of each step is linear, so that a long step never overshoots.

    References
    ----------
    Hairer, E., Wanner, G. (1996). Solving Ordinary Differential Equations II, 2nd edition,
    Springer, section IV.7 (linearly implicit methods).
    """
    inertia = bulk_inertia_kg_m2(body)
    jet, pull = _push_and_pull(body, drive, constants)
    push = jet / inertia

    def slowed(before: Real, at: Real, seconds: Real) -> Real:
        some = np.maximum(at, STILL_RAD_S)
        rate = (brake_n_m(some, body, drive, constants) / some + pull) / inertia * seconds
        gone = -np.expm1(-rate)
        return before * (1.0 - gone) + push * seconds * gone / np.maximum(rate, _LEAST)

    turning = [turning_rad_s + 0.0 * push * lengths_min[0]]
    for length in lengths_min:
        half = slowed(turning[-1], turning[-1], 30.0 * length)
        turning.append(slowed(turning[-1], half, 60.0 * length))
    return np.array(turning)
