"""The suction side of a pump of hot wort: room before it boils, air drawn in, siphons."""

import numpy as np

from wortline.science.real import Real
from wortline.science.water import density_kg_m3, vapour_pressure_kpa

GRAVITY_M_S2 = 9.80665


def speed_m_s(flow_l_min: Real, bore_m: Real) -> Real:
    """Return the mean speed of a flow in a round bore.

    Parameters
    ----------
    flow_l_min : Real
        Flow [L/min].
    bore_m : Real
        Inside diameter [m].

    Returns
    -------
    Real
        Speed [m/s].

    References
    ----------
    Continuity of an incompressible flow: any textbook of fluid mechanics.
    """
    return flow_l_min / 60_000 / (np.pi / 4 * bore_m**2)


def velocity_head_m(flow_l_min: Real, bore_m: Real) -> Real:
    """Return the head that a flow's speed is worth; losses are multiples of it.

    Parameters
    ----------
    flow_l_min : Real
        Flow [L/min].
    bore_m : Real
        Inside diameter [m].

    Returns
    -------
    Real
        v2/2g [m].

    References
    ----------
    Bernoulli's equation: any textbook of fluid mechanics.
    """
    return speed_m_s(flow_l_min, bore_m) ** 2 / (2 * GRAVITY_M_S2)


def boiling_head_m(temp_c: Real, pressure_kpa: Real) -> Real:
    """Return the head by which the air's pressure stands above the vapour pressure.

    Parameters
    ----------
    temp_c : Real
        Temperature of the liquid [C].
    pressure_kpa : Real
        Pressure of the air [kPa].

    Returns
    -------
    Real
        Head of the liquid itself; negative above the boiling point [m].

    Notes
    -----
    Also the highest crest over which a siphon of this liquid can hold. Wort is taken as water; at
    12 degP it boils about 0.2 K higher, which is worth some 0.07 m on the safe side.

    References
    ----------
    Karassik, I. J. et al. (2008). Pump Handbook, 4th ed., McGraw-Hill: net positive suction head.
    """
    return (
        (pressure_kpa - vapour_pressure_kpa(temp_c)) * 1000 / (density_kg_m3(temp_c) * GRAVITY_M_S2)
    )


def suction_head_available_m(
    temp_c: Real, pressure_kpa: Real, static_m: Real, loss_m: Real
) -> Real:
    """Return the net positive suction head available at a pump's eye.

    Parameters
    ----------
    temp_c : Real
        Temperature of the liquid [C].
    pressure_kpa : Real
        Pressure of the air [kPa].
    static_m : Real
        Height of the liquid's surface above the eye of the pump [m].
    loss_m : Real
        Head lost between the vessel and the pump [m].

    Returns
    -------
    Real
        Head above boiling, before what the pump itself requires is taken off [m].

    References
    ----------
    Karassik, I. J. et al. (2008). Pump Handbook, 4th ed., McGraw-Hill: net positive suction head.
    """
    return boiling_head_m(temp_c, pressure_kpa) + static_m - loss_m


def submergence_m(flow_l_min: Real, bore_m: Real) -> Real:
    """Return the depth of liquid over an outlet that keeps a vortex from drawing air.

    Parameters
    ----------
    flow_l_min : Real
        Flow through the outlet [L/min].
    bore_m : Real
        Inside diameter of the outlet [m].

    Returns
    -------
    Real
        Least depth above the outlet [m].

    Notes
    -----
    S = D (1 + 2.3 Fr), Fr = v / sqrt(g D). Written for sumps whose liquid does not spin; a
    spinning kettle needs more.

    References
    ----------
    ANSI/HI 9.8 (2012). Rotodynamic Pumps for Pump Intake Design. Hydraulic Institute.
    """
    froude = speed_m_s(flow_l_min, bore_m) / np.sqrt(GRAVITY_M_S2 * bore_m)
    return bore_m * (1 + 2.3 * froude)


def dead_head_k_min(shaft_w: Real, liquid_l: Real, temp_c: Real) -> Real:
    """Return how fast the liquid in a pump heats when nothing leaves it.

    Parameters
    ----------
    shaft_w : Real
        Power that reaches the liquid [W].
    liquid_l : Real
        Liquid in the pump [L].
    temp_c : Real
        Its temperature [C].

    Returns
    -------
    Real
        Rate of heating [K/min].

    Notes
    -----
    All of the power stays in the liquid; the body of the pump takes none.

    References
    ----------
    First law of thermodynamics; heat capacity of water 4.19 kJ/(kg K): Wagner, W., Pruss, A.
    (2002), Journal of Physical and Chemical Reference Data 31, 387-535.
    """
    return shaft_w * 60 / (liquid_l / 1000 * density_kg_m3(temp_c) * 4190)
