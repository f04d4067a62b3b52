"""How solids sink in hot wort: flocs of break, hop bits, and the currents that keep them up."""

import numpy as np

from wortline.science.real import Real
from wortline.science.standards import GRAVITY_M_S2
from wortline.science.turning import Body

_ROUNDS = 30


def stokes_m_s(size_um: Real, excess_kg_m3: Real, viscosity_mpa_s: Real) -> Real:
    """Return the speed at which a small sphere sinks.

    Parameters
    ----------
    size_um : Real
        Diameter [um].
    excess_kg_m3 : Real
        Its density less that of the liquid [kg/m3].
    viscosity_mpa_s : Real
        Dynamic viscosity of the liquid [mPa s].

    Returns
    -------
    Real
        Speed [m/s].

    Notes
    -----
    For a particle Reynolds number well below 1.

    References
    ----------
    Stokes, G. G. (1851). On the effect of the internal friction of fluids on the motion of
    pendulums. Transactions of the Cambridge Philosophical Society 9, 8-106.
    """
    return GRAVITY_M_S2 * excess_kg_m3 * (1e-6 * size_um) ** 2 / (18.0 * 1e-3 * viscosity_mpa_s)


def settling_m_s(
    size_um: Real, excess_kg_m3: Real, density_kg_m3: Real, viscosity_mpa_s: Real
) -> Real:
    """Return the speed at which a sphere sinks, with the drag of its own wake.

    Parameters
    ----------
    size_um : Real
        Diameter [um].
    excess_kg_m3 : Real
        Its density less that of the liquid, not below nought [kg/m3].
    density_kg_m3 : Real
        Density of the liquid [kg/m3].
    viscosity_mpa_s : Real
        Dynamic viscosity of the liquid [mPa s].

    Returns
    -------
    Real
        Speed [m/s].

    Notes
    -----
    Solved by repetition, halfway each round; for a particle Reynolds number to some 800.

    References
    ----------
    Schiller, L., Naumann, A. (1933). Ueber die grundlegenden Berechnungen bei der
    Schwerkraftaufbereitung. Zeitschrift des Vereines Deutscher Ingenieure 77, 318-320 (from
    memory).
    """
    creeping = stokes_m_s(size_um, excess_kg_m3, viscosity_mpa_s)
    per_speed = density_kg_m3 * 1e-6 * size_um / (1e-3 * viscosity_mpa_s)
    speed: Real = creeping + 0.0 * per_speed
    for _ in range(_ROUNDS):
        drag: Real = 1.0 + 0.15 * (speed * per_speed) ** 0.687
        speed = 0.5 * (speed + creeping / drag)
    return speed


def floc_excess_kg_m3(size_um: Real, at_20_um_kg_m3: Real, dimension: Real) -> Real:
    """Return how much denser than the wort a floc is; large ones hold more wort.

    Parameters
    ----------
    size_um : Real
        Diameter [um].
    at_20_um_kg_m3 : Real
        Excess density of a floc of 20 um [kg/m3].
    dimension : Real
        Fractal dimension, 3 for solid grains [-].

    Returns
    -------
    Real
        Density of the floc less that of the wort [kg/m3].

    Notes
    -----
    No value was measured in hot wort. Flocs of fish tanks and activated sludge have dimensions of
    1.8 to 2.3.

    References
    ----------
    Garcia-Aragon, J., Salinas-Tapia, H., Moreno-Vargas, E., Diaz-Palomarez, V., Tejeda-Vega, S.
    (2017). Fish-tank flocs by particle tracking, doi 10.5772/intechopen.72347 (abstract).
    """
    return at_20_um_kg_m3 * (size_um / 20.0) ** (dimension - 3.0)


def moving_friction_speed_m_s(
    size_um: Real, excess_kg_m3: Real, density_kg_m3: Real, viscosity_m2_s: Real
) -> Real:
    """Return the friction speed on the floor at which grains begin to move.

    Parameters
    ----------
    size_um : Real
        Diameter [um].
    excess_kg_m3 : Real
        Its density less that of the liquid [kg/m3].
    density_kg_m3 : Real
        Density of the liquid [kg/m3].
    viscosity_m2_s : Real
        Kinematic viscosity [m2/s].

    Returns
    -------
    Real
        Friction speed [m/s].

    Notes
    -----
    Measured on sand and gravel; light flocs lie outside those tests.

    References
    ----------
    Soulsby, R. L., Whitehouse, R. J. S. W. (1997). Threshold of sediment motion in coastal
    environments. Pacific Coasts and Ports, Christchurch, 149-154.
    """
    size_m = 1e-6 * size_um
    weight = GRAVITY_M_S2 * excess_kg_m3 / density_kg_m3
    grain = size_m * (weight / viscosity_m2_s**2) ** (1.0 / 3.0)
    shields = 0.3 / (1.0 + 1.2 * grain) + 0.055 * (1.0 - np.exp(-0.020 * grain))
    return np.sqrt(shields * weight * size_m)


def convection_m_s(loss_w: Real, body: Body, expansion_per_k: Real, heat_kj_kg_k: Real) -> Real:
    """Return the speed of the currents that a cooling surface drives.

    Parameters
    ----------
    loss_w : Real
        Heat that the kettle loses [W].
    body : Body
        The liquid.
    expansion_per_k : Real
        Thermal expansion of the liquid, in 1/K [-].
    heat_kj_kg_k : Real
        Its heat capacity [kJ/(kg K)].

    Returns
    -------
    Real
        Speed scale of free convection [m/s].

    Notes
    -----
    In a resting kettle about 1 cm/s: more than a floc sinks, so the wort stays mixed.

    References
    ----------
    Deardorff, J. W. (1970). Convective velocity and temperature scales for the unstable planetary
    boundary layer and for Rayleigh convection. Journal of the Atmospheric Sciences 27, 1211-1213
    (from memory).
    """
    floor_m2 = np.pi * body.radius_m**2
    warmth = loss_w / floor_m2 / (1000.0 * body.density_kg_m3 * heat_kj_kg_k)
    return np.cbrt(GRAVITY_M_S2 * expansion_per_k * warmth * body.depth_m)


def mixed_share_left(after_min: Real, settling_m_s: Real, depth_m: Real) -> Real:
    """Return the share still suspended where currents keep a sinking suspension mixed.

    Parameters
    ----------
    after_min : Real
        Time [min].
    settling_m_s : Real
        Speed at which the particles sink [m/s].
    depth_m : Real
        Depth of the liquid [m].

    Returns
    -------
    Real
        Share that has not reached the floor, 0-1 [-].

    Notes
    -----
    Nothing is lifted again from the floor. To a tenth it takes 2.3 times the fall through the
    depth; in quiet liquid it takes 0.9 times.

    References
    ----------
    Martin, D., Nokes, R. (1989). A fluid-dynamical study of crystal settling in convecting magmas.
    Journal of Petrology 30, 1471-1500 (from memory).
    """
    return np.exp(-settling_m_s * 60.0 * after_min / depth_m)
