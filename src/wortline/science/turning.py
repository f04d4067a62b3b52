"""Turning wort: the torque of a tangential jet, the brake of wall and floor, spin-up, spin-down."""

from typing import NamedTuple

import numpy as np

from wortline.science.real import Real

# Momentum integral over a still floor, marched inward from the wall (see `floor_torque_n_m`).
_FLOOR = 0.057
# Pipe friction 0.046 Re^-0.2, times 1.25 for the concave wall (see `side_torque_n_m`).
_SIDE = 0.157
# Decay of the mean rotation, floor and side wall (see `laminar_torque_n_m`).
_LAMINAR_FLOOR, _LAMINAR_SIDE = 0.75, 1.8


STILL_RAD_S = 1e-6
"""Turning below this counts as nought: keeps divisions by nought out [rad/s]."""


class Body(NamedTuple):
    """A round body of liquid that turns.

    Attributes
    ----------
    radius_m : Real
        Inside radius of the kettle [m].
    depth_m : Real
        Depth of the liquid [m].
    density_kg_m3 : Real
        Density [kg/m3].
    viscosity_m2_s : Real
        Kinematic viscosity [m2/s].
    """

    radius_m: Real
    depth_m: Real
    density_kg_m3: Real
    viscosity_m2_s: Real


def turns_per_min(turning_rad_s: Real) -> Real:
    """Return the turns that a brewer counts at the surface.

    Parameters
    ----------
    turning_rad_s : Real
        Rate of rotation [rad/s].

    Returns
    -------
    Real
        Turns per minute [1/min].

    References
    ----------
    A turn is 2 pi rad, by definition.
    """
    return turning_rad_s * 30.0 / np.pi


def jet_speed_m_s(flow_l_min: Real, bore_m: Real) -> Real:
    """Return the mean speed in a bore.

    Parameters
    ----------
    flow_l_min : Real
        Flow [L/min].
    bore_m : Real
        Bore of the nozzle [m].

    Returns
    -------
    Real
        Speed [m/s].

    References
    ----------
    White, F. M. (2016). Fluid Mechanics, 8th edition, McGraw-Hill, section 3.3 (continuity).
    """
    return 4.0 * flow_l_min / 60000.0 / (np.pi * bore_m**2)


def bulk_inertia_kg_m2(body: Body) -> Real:
    """Return the moment of inertia of liquid that turns as one body.

    Parameters
    ----------
    body : Body
        The liquid.

    Returns
    -------
    Real
        Moment of inertia about the axis, (pi/2) rho R^4 H [kg m2].

    References
    ----------
    Goldstein, H. (1980). Classical Mechanics, 2nd edition, Addison-Wesley, section 5-3 (solid
    cylinder; from memory).
    """
    return 0.5 * np.pi * body.density_kg_m3 * body.radius_m**4 * body.depth_m


def reynolds_of_turning(turning_rad_s: Real, body: Body) -> Real:
    """Return the Reynolds number of a turning body, Om R^2 / nu.

    Parameters
    ----------
    turning_rad_s : Real
        Rate of rotation, above nought [rad/s].
    body : Body
        The liquid.

    Returns
    -------
    Real
        Reynolds number [-].

    References
    ----------
    Greenspan, H. P. (1968). The Theory of Rotating Fluids, Cambridge University Press, section 1.2
    (inverse of the Ekman number; from memory).
    """
    return turning_rad_s * body.radius_m**2 / body.viscosity_m2_s


def _whirl(turning_rad_s: Real, body: Body) -> Real:
    """Square of the rate of rotation, times how friction falls with the Reynolds number."""
    whirl: Real = turning_rad_s**2 * reynolds_of_turning(turning_rad_s, body) ** -0.2
    return whirl


def _laminar_slope(body: Body) -> Real:
    return _LAMINAR_FLOOR + _LAMINAR_SIDE * body.depth_m / body.radius_m


def floor_torque_n_m(turning_rad_s: Real, body: Body) -> Real:
    """Return the turbulent drag of the still floor.

    Parameters
    ----------
    turning_rad_s : Real
        Rate of rotation, above nought [rad/s].
    body : Body
        The liquid.

    Returns
    -------
    Real
        Torque [N m].

    Notes
    -----
    Momentum integral with the 1/7-power profile and the friction of Blasius, marched inward from
    the wall. For a Reynolds number above some 2e4. A disc that turns in still liquid feels 0.0365
    on one side.

    References
    ----------
    Karman, T. von (1921). Ueber laminare und turbulente Reibung. Zeitschrift fuer angewandte
    Mathematik und Mechanik 1, 233-252 (method). Rott, N., Lewellen, W. S. (1966). Boundary layers
    and their interactions in rotating flows. Progress in Aeronautical Sciences 7, 111-144 (from
    memory).
    """
    return _FLOOR * body.density_kg_m3 * _whirl(turning_rad_s, body) * body.radius_m**5


def side_torque_n_m(turning_rad_s: Real, body: Body) -> Real:
    """Return the turbulent drag of the side wall.

    Parameters
    ----------
    turning_rad_s : Real
        Rate of rotation, above nought [rad/s].
    body : Body
        The liquid.

    Returns
    -------
    Real
        Torque [N m].

    Notes
    -----
    Friction of a smooth pipe, 0.046 Re^-0.2 on the diameter, times 1.25 for a concave wall. Chosen,
    not measured: uncertain by -35 to +60 %. The side brakes 2.75 H/R times as much as the floor.

    References
    ----------
    White, F. M. (2016). Fluid Mechanics, 8th edition, McGraw-Hill, section 6.6 (pipe friction).
    """
    whirl = _whirl(turning_rad_s, body)
    return _SIDE * body.density_kg_m3 * whirl * body.radius_m**4 * body.depth_m


def laminar_torque_n_m(turning_rad_s: Real, body: Body) -> Real:
    """Return the laminar drag of floor and side wall on the mean rotation.

    Parameters
    ----------
    turning_rad_s : Real
        Rate of rotation [rad/s].
    body : Body
        The liquid.

    Returns
    -------
    Real
        Torque [N m].

    Notes
    -----
    Fitted to axisymmetric solutions of spin-down to rest, H/R 0.5 to 2 and Reynolds numbers 5000 to
    20000, within 11 % until one spin-down time.

    References
    ----------
    Greenspan, H. P., Howard, L. N. (1963). On a time-dependent motion of a rotating fluid. Journal
    of Fluid Mechanics 17, 385-404 (the spin-down time that it is scaled by).
    """
    speed = np.sqrt(body.viscosity_m2_s * turning_rad_s) * turning_rad_s
    return bulk_inertia_kg_m2(body) * _laminar_slope(body) * speed / body.depth_m


def obstacle_torque_n_m(
    turning_rad_s: Real, body: Body, frontal_m2: Real, at_m: Real, drag_coefficient: Real
) -> Real:
    """Return the drag of what stands in the turning wort.

    Parameters
    ----------
    turning_rad_s : Real
        Rate of rotation [rad/s].
    body : Body
        The liquid.
    frontal_m2 : Real
        Area that the flow meets [m2].
    at_m : Real
        Its distance from the axis [m].
    drag_coefficient : Real
        Drag over the dynamic pressure and that area [-].

    Returns
    -------
    Real
        Torque [N m].

    Notes
    -----
    The eddies behind it, which trap trub, are not in here.

    References
    ----------
    White, F. M. (2016). Fluid Mechanics, 8th edition, McGraw-Hill, section 7.6 (drag).
    """
    pressure = 0.5 * body.density_kg_m3 * (turning_rad_s * at_m) ** 2
    return pressure * drag_coefficient * frontal_m2 * at_m


def linear_spin_down_min(turning_rad_s: Real, body: Body) -> Real:
    """Return the textbook time in which a small change of rotation dies, H / sqrt(nu Om).

    Parameters
    ----------
    turning_rad_s : Real
        Rate of rotation [rad/s].
    body : Body
        The liquid, with one floor and a free surface.

    Returns
    -------
    Real
        Time to 1/e [min].

    Notes
    -----
    Laminar, and of the floor alone. A kettle slows down three to eight times as fast: its side wall
    brakes more than its floor.

    References
    ----------
    Greenspan, H. P., Howard, L. N. (1963). On a time-dependent motion of a rotating fluid. Journal
    of Fluid Mechanics 17, 385-404.
    """
    return body.depth_m / np.sqrt(body.viscosity_m2_s * turning_rad_s) / 60.0


def laminar_turning_left(after_min: Real, turning_rad_s: Real, body: Body) -> Real:
    """Return the share of the mean rotation that is left in laminar spin-down to rest.

    Parameters
    ----------
    after_min : Real
        Time since the drive stopped [min].
    turning_rad_s : Real
        Rate of rotation then [rad/s].
    body : Body
        The liquid.

    Returns
    -------
    Real
        Rotation over that at the stop, 0-1 [-].

    Notes
    -----
    The solution of spin-down under `laminar_torque_n_m` alone.

    References
    ----------
    Greenspan, H. P., Howard, L. N. (1963). On a time-dependent motion of a rotating fluid. Journal
    of Fluid Mechanics 17, 385-404 (the spin-down time that it is scaled by).
    """
    passed = after_min / linear_spin_down_min(turning_rad_s, body)
    return (1.0 + 0.5 * _laminar_slope(body) * passed) ** -2.0
