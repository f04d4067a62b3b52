"""The layer over the floor of a turning kettle: inflow, upwelling, and the grip on what lies there.

Over a still floor liquid that turns as one body is driven inward near the floor and rises again.
"""

import numpy as np

from wortline.science.real import Real
from wortline.science.turning import Body, reynolds_of_turning

# Slopes at the floor and upwelling far above it, of the laminar layer (Boedewadt, 1940).
INWARD_SLOPE, SWIRL_SLOPE, UPWELLING = 0.9420, 0.7729, 1.3494
# The turbulent layer: upwelling near the axis, where none is left, how steeply it falls to that.
_TURBULENT_UPWELLING = 0.055
_NONE_AT, _FALL = 0.826, 6.8
_TURBULENT_FRICTION = 0.042
_TURBULENT_INFLOW = 0.0907


def layer_m(turning_rad_s: Real, viscosity_m2_s: Real) -> Real:
    """Return the thickness scale of the laminar bottom layer, sqrt(nu / Om).

    Parameters
    ----------
    turning_rad_s : Real
        Rate of rotation, above nought [rad/s].
    viscosity_m2_s : Real
        Kinematic viscosity [m2/s].

    Returns
    -------
    Real
        Thickness; inflow is strongest at 1.13 times it [m].

    References
    ----------
    Boedewadt, U. T. (1940). Die Drehstroemung ueber festem Grunde. Zeitschrift fuer angewandte
    Mathematik und Mechanik 20, 241-253 (from memory).
    """
    return np.sqrt(viscosity_m2_s / turning_rad_s)


def laminar_inflow_l_min(turning_rad_s: Real, viscosity_m2_s: Real, at_m: Real) -> Real:
    """Return what flows inward over the floor in the laminar layer.

    Parameters
    ----------
    turning_rad_s : Real
        Rate of rotation [rad/s].
    viscosity_m2_s : Real
        Kinematic viscosity [m2/s].
    at_m : Real
        Distance from the axis, within some 0.75 of the radius [m].

    Returns
    -------
    Real
        Flow [L/min].

    Notes
    -----
    In spin-down to rest axisymmetric solutions give 1.0 to 1.9 times this at 0.4 of the radius.

    References
    ----------
    Boedewadt, U. T. (1940). Die Drehstroemung ueber festem Grunde. Zeitschrift fuer angewandte
    Mathematik und Mechanik 20, 241-253 (from memory).
    """
    rising_m_s = UPWELLING * np.sqrt(viscosity_m2_s * turning_rad_s)
    return 60000.0 * np.pi * at_m**2 * rising_m_s


def turbulent_inflow_l_min(turning_rad_s: Real, body: Body) -> Real:
    """Return the most that flows inward over the floor in the turbulent layer.

    Parameters
    ----------
    turning_rad_s : Real
        Rate of rotation, above nought [rad/s].
    body : Body
        The liquid.

    Returns
    -------
    Real
        Flow at 0.83 of the radius [L/min].

    References
    ----------
    Rott, N., Lewellen, W. S. (1966). Boundary layers and their interactions in rotating flows.
    Progress in Aeronautical Sciences 7, 111-144 (method, from memory).
    """
    slow = reynolds_of_turning(turning_rad_s, body) ** -0.2
    return 60000.0 * _TURBULENT_INFLOW * turning_rad_s * body.radius_m**3 * slow


def upwelling_m_s(turning_rad_s: Real, body: Body, at_share: Real) -> Real:
    """Return how fast wort rises out of the bottom layer.

    Parameters
    ----------
    turning_rad_s : Real
        Rate of rotation, above nought [rad/s].
    body : Body
        The liquid.
    at_share : Real
        Distance from the axis over the radius, 0-1 [-].

    Returns
    -------
    Real
        Speed upward, the larger of the laminar and the turbulent layer [m/s].

    Notes
    -----
    The inflow of the turbulent layer is largest at 0.826 of the radius, so nothing rises there,
    and beyond it wort goes down into the layer (nought here). The curve is fitted to the momentum
    integral from 0.4 of the radius outward, within 2 % of the value near the axis.

    References
    ----------
    Boedewadt, U. T. (1940). Die Drehstroemung ueber festem Grunde. Zeitschrift fuer angewandte
    Mathematik und Mechanik 20, 241-253. Rott, N., Lewellen, W. S. (1966). Boundary layers and their
    interactions in rotating flows. Progress in Aeronautical Sciences 7, 111-144 (both from memory).
    """
    laminar = UPWELLING * np.sqrt(body.viscosity_m2_s * turning_rad_s)
    slow = reynolds_of_turning(turning_rad_s, body) ** -0.2
    inside = np.maximum(1.0 - (at_share / _NONE_AT) ** _FALL, 0.0)
    turbulent = _TURBULENT_UPWELLING * turning_rad_s * body.radius_m * slow * inside
    return np.maximum(laminar, turbulent)


def floor_friction_speed_m_s(turning_rad_s: Real, viscosity_m2_s: Real, at_m: Real) -> Real:
    """Return the friction speed of the swirl on the floor, the larger of laminar and turbulent.

    Parameters
    ----------
    turning_rad_s : Real
        Rate of rotation, above nought [rad/s].
    viscosity_m2_s : Real
        Kinematic viscosity [m2/s].
    at_m : Real
        Distance from the axis, above nought [m].

    Returns
    -------
    Real
        Square root of floor stress over density [m/s].

    Notes
    -----
    The turbulent factor 0.042 is that at 0.83 of the radius; nearer the axis the laminar stress of
    a kettle at 22 turns a minute is the larger one, so that the factor does not matter there.

    References
    ----------
    Boedewadt, U. T. (1940). Die Drehstroemung ueber festem Grunde. Zeitschrift fuer angewandte
    Mathematik und Mechanik 20, 241-253. Rott, N., Lewellen, W. S. (1966). Boundary layers and their
    interactions in rotating flows. Progress in Aeronautical Sciences 7, 111-144 (both from memory).
    """
    slope = np.hypot(INWARD_SLOPE, SWIRL_SLOPE)
    wall_m_s = turning_rad_s * at_m
    laminar = slope * wall_m_s * np.sqrt(viscosity_m2_s * turning_rad_s)
    turbulent = _TURBULENT_FRICTION * wall_m_s**2 * (wall_m_s * at_m / viscosity_m2_s) ** -0.2
    stress: Real = np.maximum(laminar, turbulent)
    return np.sqrt(stress)
