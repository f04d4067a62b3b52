"""The suction side of a pump of hot wort: room before it boils, air drawn in, siphons."""

import numpy as np

from wortline.science.pipe_flow import speed_m_s
from wortline.science.real import Real
from wortline.science.standards import GRAVITY_M_S2
from wortline.science.water import density_kg_m3, vapour_pressure_kpa


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


def vortex_flow_l_min(depth_m: Real, bore_m: Real) -> Real:
    """Return the flow above which an outlet draws air through a vortex.

    Parameters
    ----------
    depth_m : Real
        Depth of liquid over the outlet [m].
    bore_m : Real
        Inside diameter of the outlet [m].

    Returns
    -------
    Real
        Most flow; 0 where the depth is less than one bore [L/min].

    Notes
    -----
    The inverse of `submergence_m`.

    References
    ----------
    ANSI/HI 9.8 (2012). Rotodynamic Pumps for Pump Intake Design. Hydraulic Institute.
    """
    froude = np.maximum(depth_m / bore_m - 1, 0.0) / 2.3
    return froude * np.sqrt(GRAVITY_M_S2 * bore_m) / speed_m_s(1.0, bore_m)


def suction_head_required_m(
    flow_l_min: Real, turns_per_min: Real = 2900.0, suction_specific_speed: Real = 7000.0
) -> Real:
    """Return the net positive suction head that a pump requires, where its maker does not say.

    Parameters
    ----------
    flow_l_min : Real
        Flow [L/min].
    turns_per_min : Real
        Speed of the impeller [1/min].
    suction_specific_speed : Real
        Suction specific speed in turns per minute, US gallons per minute and feet [-].

    Returns
    -------
    Real
        Head required [m].

    Notes
    -----
    Drawn from large pumps: of a very small one expect twice as much. It rises again towards
    shut-off, which this does not show.

    References
    ----------
    Karassik, I. J. et al. (2008). Pump Handbook, 4th ed., McGraw-Hill: suction specific speed.
    """
    flow_gpm = flow_l_min / 3.785411784
    turning = turns_per_min * np.sqrt(flow_gpm) / suction_specific_speed
    return 0.3048 * np.power(turning, 4.0 / 3.0)
