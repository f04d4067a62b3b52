"""A kettle of hot wort as the whirlpool sees it: size, pump, obstacles, solids, properties."""

from dataclasses import dataclass

import numpy as np

from wortline.science.extract import sg_from_plato
from wortline.science.real import Real
from wortline.science.settling import convection_m_s
from wortline.science.swirl_drive import Drive
from wortline.science.turning import Body, jet_speed_m_s
from wortline.science.viscosity import sugar_viscosity_mpa_s
from wortline.science.water import density_kg_m3, viscosity_mpa_s

# Heat capacity of wort of 12 degP.
_HEAT_KJ_KG_K = 4.0
# Dextrins and gums thicken wort beyond its sugar by a hundredth for each degree Plato.
_GUMS = 0.01
# Size of the eddies of the jet over the radius.
_EDDY = 0.1


@dataclass(frozen=True)
class SwirlKettle:
    """A kettle of hot wort, its pump, and what swims in it; numbers or arrays over members.

    Attributes
    ----------
    diameter_m : Real
        Inside diameter [m].
    wort_hot_l : Real
        Wort, hot [L].
    flow_l_min : Real
        Flow of the pump, from the side outlet to the tangential nozzle [L/min].
    nozzle_m : Real
        Bore of that nozzle [m].
    hops_free_kg : Real
        Hops that swim free [kg].
    temp_c : Real
        Temperature, the mean of the rest [C].
    extract_plato : Real
        Strength [degP].
    loss_w : Real
        Heat lost during the rest [W].
    hop_bed_l_kg : Real
        Bed of settled hops, with the wort in it, cold [L/kg].
    obstacle_m2 : Real
        Frontal area of coil, element, dip tube or probes in the way [m2].
    floor_open : Real
        1 for a bare floor, 0 under a false bottom or screen [-].
    outlet_m : Real
        Height of the side outlet above the floor [m].
    draw_l_min : Real
        Flow that is drawn near the end [L/min].
    """

    diameter_m: Real
    wort_hot_l: Real
    flow_l_min: Real
    nozzle_m: Real
    hops_free_kg: Real
    temp_c: Real = 95.0
    extract_plato: Real = 12.0
    loss_w: Real = 600.0
    hop_bed_l_kg: Real = 9.0
    obstacle_m2: Real = 0.0
    floor_open: Real = 1.0
    outlet_m: Real = 0.02
    draw_l_min: Real = 4.0


def hot_wort_viscosity_mpa_s(temp_c: Real, extract_plato: Real) -> Real:
    """Return the dynamic viscosity of wort.

    Parameters
    ----------
    temp_c : Real
        Temperature, 5 to 100 [C].
    extract_plato : Real
        Strength [degP].

    Returns
    -------
    Real
        Dynamic viscosity [mPa s].

    Notes
    -----
    Water, times the ratio of a solution of sucrose to water, times 1 + 0.01 for each degree Plato
    for what is not sugar (common practice, no source). Good to a tenth.

    References
    ----------
    IAPWS (2008). Revised supplementary release on properties of liquid water at 0.1 MPa, SR6-08.
    Genotelle, J. (1978). Expression de la viscosite des solutions sucrees. Industries Alimentaires
    et Agricoles 95, 747-755 (from memory).
    """
    thicker = sugar_viscosity_mpa_s(temp_c, extract_plato) / sugar_viscosity_mpa_s(temp_c, 0.0)
    return viscosity_mpa_s(temp_c) * thicker * (1.0 + _GUMS * extract_plato)


def body_of(kettle: SwirlKettle) -> Body:
    """Return the wort of a kettle as a turning body.

    Parameters
    ----------
    kettle : SwirlKettle
        The kettle.

    Returns
    -------
    Body
        Radius, depth, density and viscosity.

    References
    ----------
    Kell, G. S. (1975). Density, thermal expansivity, and compressibility of liquid water from
    0 to 150 C. Journal of Chemical and Engineering Data 20(1), 97-105 (wort expands like water).
    """
    radius_m = 0.5 * kettle.diameter_m
    density = density_kg_m3(kettle.temp_c) * sg_from_plato(kettle.extract_plato)
    viscosity = 0.001 * hot_wort_viscosity_mpa_s(kettle.temp_c, kettle.extract_plato)
    depth_m = 0.001 * kettle.wort_hot_l / (np.pi * radius_m**2)
    return Body(radius_m, depth_m, density, viscosity / density)


def drive_of(kettle: SwirlKettle, body: Body) -> Drive:
    """Return what drives and hinders the swirl of a kettle.

    Parameters
    ----------
    kettle : SwirlKettle
        The kettle.
    body : Body
        Its wort.

    Returns
    -------
    Drive
        Flow, nozzle, obstacle, and the speed of the currents of the cooling wort.

    References
    ----------
    Deardorff, J. W. (1970). Convective velocity and temperature scales for the unstable planetary
    boundary layer and for Rayleigh convection. Journal of the Atmospheric Sciences 27, 1211-1213
    (from memory).
    """
    per_k = density_kg_m3(kettle.temp_c - 0.5) / density_kg_m3(kettle.temp_c + 0.5) - 1.0
    currents = convection_m_s(kettle.loss_w, body, per_k, _HEAT_KJ_KG_K)
    return Drive(kettle.flow_l_min, kettle.nozzle_m, kettle.obstacle_m2, currents)


def jet_turbulence_m_s(flow_l_min: Real, nozzle_m: Real, wort_hot_l: Real, radius_m: Real) -> Real:
    """Return the speed of the eddies that a jet keeps up in a kettle.

    Parameters
    ----------
    flow_l_min : Real
        Flow through the nozzle [L/min].
    nozzle_m : Real
        Bore of the nozzle [m].
    wort_hot_l : Real
        Wort in the kettle [L].
    radius_m : Real
        Inside radius of the kettle [m].

    Returns
    -------
    Real
        Speed; it dies within seconds after the stop [m/s].

    Notes
    -----
    All power of the jet goes into eddies a tenth of the radius wide; that size is chosen.

    References
    ----------
    Tennekes, H., Lumley, J. L. (1972). A First Course in Turbulence, MIT Press, section 1.5
    (dissipation is u^3 / l).
    """
    power_w_kg = flow_l_min / 60.0 * jet_speed_m_s(flow_l_min, nozzle_m) ** 2 / (2.0 * wort_hot_l)
    return np.cbrt(power_w_kg * _EDDY * radius_m)
