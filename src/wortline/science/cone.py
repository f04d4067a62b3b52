"""The cone of trub: its size, the draw-off line above it, and what half a litre more costs."""

from dataclasses import dataclass

import numpy as np

from wortline.science.real import Real
from wortline.science.swirl_constants import SwirlConstants

# Keeps a division by nought out where there is no cone.
_LEAST_M = 1e-9


@dataclass(frozen=True)
class DrawOff:
    """Where to stop drawing.

    Attributes
    ----------
    level_m : Real
        Height of the draw-off line above the floor [m].
    left_hot_l : Real
        What is in the kettle at that line, trub and wort, hot [L].
    cone_radius_m, cone_height_m : Real
        Size of the cone [m].
    to_outlet_m : Real
        Way from the foot of the cone to the wall with the outlet; nought: it reaches it [m].
    tilted_l : Real
        Of what is drawn below the line, what lies below the outlet and needs a tilted kettle [L].
    more_trub_share : Real
        Share of the cone that gives way and comes along with it, 0-1 [-].
    """

    level_m: Real
    left_hot_l: Real
    cone_radius_m: Real
    cone_height_m: Real
    to_outlet_m: Real
    tilted_l: Real
    more_trub_share: Real


def cone_size_m(volume_l: Real, repose_deg: Real, wall_m: Real) -> tuple[Real, Real]:
    """Return radius and height of a heap of trub in the middle of a round floor.

    Parameters
    ----------
    volume_l : Real
        Volume of the heap [L].
    repose_deg : Real
        Angle of its slope, in degrees [-].
    wall_m : Real
        Inside radius of the kettle [m].

    Returns
    -------
    radius_m : Real
        Radius of its foot, at most that of the kettle [m].
    height_m : Real
        Its height; a heap that reaches the wall rises as a whole [m].

    Notes
    -----
    Angles of 10 to 25 degrees are usual (common practice, no source).

    References
    ----------
    Volume of a cone (pi/3) r^2 h with h = r tan(angle); geometry.
    """
    slope = np.tan(np.radians(repose_deg))
    volume_m3 = 0.001 * volume_l
    radius_m = np.cbrt(3.0 * volume_m3 / (np.pi * slope))
    foot_m = np.minimum(radius_m, wall_m)
    over_m3 = np.maximum(volume_m3 - np.pi * slope * foot_m**3 / 3.0, 0.0)
    return foot_m, slope * foot_m + over_m3 / (np.pi * wall_m**2)


def scour_film_m(
    flow_l_min: Real, from_outlet_m: Real, strength_pa: Real, density_kg_m3: Real, friction: Real
) -> Real:
    """Return the depth of wort below which the flow to a side outlet scours set trub.

    Parameters
    ----------
    flow_l_min : Real
        Flow drawn [L/min].
    from_outlet_m : Real
        How far from the outlet [m].
    strength_pa : Real
        Stress that the trub withstands [Pa].
    density_kg_m3 : Real
        Density of the wort [kg/m3].
    friction : Real
        Friction factor of the film (stress over dynamic pressure) [-].

    Returns
    -------
    Real
        Depth [m].

    Notes
    -----
    The flow comes evenly from half a circle. No measurement at a kettle is known.

    References
    ----------
    White, F. M. (2016). Fluid Mechanics, 8th edition, McGraw-Hill, section 3.3 (continuity) and
    section 6.3 (wall stress).
    """
    speed_m = flow_l_min / 60000.0 / (np.pi * from_outlet_m)
    return speed_m * np.sqrt(friction * density_kg_m3 / (2.0 * strength_pa))


def draw_off(
    cone_hot_l: Real,
    wall_m: Real,
    outlet_m: Real,
    flow_l_min: Real,
    density_kg_m3: Real,
    constants: SwirlConstants,
    more_l: Real = 0.5,
) -> DrawOff:
    """Return where to stop drawing, and what drawing further brings along.

    Parameters
    ----------
    cone_hot_l : Real
        Volume of the cone with the wort in it, hot [L].
    wall_m : Real
        Inside radius of the kettle [m].
    outlet_m : Real
        Height of the lower edge of the side outlet above the floor [m].
    flow_l_min : Real
        Flow that is drawn near the end [L/min].
    density_kg_m3 : Real
        Density of the wort [kg/m3].
    constants : SwirlConstants
        Constants of the model.
    more_l : Real
        What is drawn below the line [L].

    Returns
    -------
    DrawOff
        The line, and the cost of that much more.

    Notes
    -----
    The line is the highest of three: the outlet; the film that still spares set trub near the
    outlet; and the share of the height of the cone at which its wet slope is taken to give way.
    Below that share all of the cone above the new level comes along. Chosen, not measured: a guess.

    References
    ----------
    Volume of a cone (pi/3) r^2 h; geometry. The rest is common practice, no source.
    """
    radius_m, height_m = cone_size_m(cone_hot_l, constants.repose_deg, wall_m)
    film_m = scour_film_m(
        flow_l_min,
        constants.film_at_m,
        constants.set_strength_pa,
        density_kg_m3,
        constants.film_friction,
    )
    holds_m = constants.cone_holds * height_m
    level_m = np.maximum(np.maximum(outlet_m, film_m), holds_m)
    floor_m2 = np.pi * wall_m**2
    lower_m = np.maximum(level_m - 0.001 * more_l / floor_m2, 0.0)
    bare = np.clip(1.0 - lower_m / np.maximum(height_m, _LEAST_M), 0.0, 1.0) ** 3
    below_m = np.clip(outlet_m - lower_m, 0.0, level_m - lower_m)
    return DrawOff(
        level_m,
        1000.0 * floor_m2 * level_m,
        radius_m,
        height_m,
        wall_m - radius_m,
        np.asarray(1000.0 * floor_m2 * below_m)[()],
        np.where(lower_m < holds_m, bare, 0.0)[()],
    )
