"""How long a kettle takes to heat, what it boils off, and how it cools while it rests."""

from typing import NamedTuple

import numpy as np

from wortline.science.kettle import dry_surface_w_m2, kettle_loss, wall_w_m2
from wortline.science.real import Real
from wortline.science.standards import COLD_C
from wortline.science.water import boiling_point_c, density_kg_m3, latent_heat_kj_kg

HEATING_NODES = 32


class Rest(NamedTuple):
    """State of a kettle after it stood without heat.

    Attributes
    ----------
    bulk_c : Real
        Temperature of the wort [C].
    evaporated_kg : Real
        Water lost since the start [kg].
    """

    bulk_c: Real
    evaporated_kg: Real


def heat_capacity_kj_k(liquid_kg: Real, extract_plato: Real = 0.0, metal_kj_k: Real = 0.0) -> Real:
    """Return the heat capacity of wort and vessel.

    Parameters
    ----------
    liquid_kg : Real
        Mass of water or wort [kg].
    extract_plato : Real
        Strength of the wort, 0 for water [degP].
    metal_kj_k : Real
        Heat capacity of the vessel, about 0.5 kJ/K for each kg of steel [kJ/K].

    Returns
    -------
    Real
        Heat capacity [kJ/K].

    Notes
    -----
    4.19 kJ/(kg K) is the mean of water from 20 to 100 C. Extract lowers it by 0.57 % for each
    degree Plato (from memory, without a source that was read).

    References
    ----------
    Wagner, W., Pruss, A. (2002). The IAPWS formulation 1995 for the thermodynamic properties of
    ordinary water substance for general and scientific use. Journal of Physical and Chemical
    Reference Data 31, 387-535.
    """
    return 4.19 * (1 - 0.0057 * extract_plato) * liquid_kg + metal_kj_k


def dry_loss_w(
    air_c: Real,
    pressure_kpa: Real,
    diameter_m: Real,
    wetted_height_m: Real,
    jacket_m: Real = 0.0,
) -> Real:
    """Return the heat that a boiling open kettle loses other than as steam.

    Parameters
    ----------
    air_c : Real
        Temperature of the room [C].
    pressure_kpa : Real
        Pressure of the air [kPa].
    diameter_m : Real
        Inner diameter of the kettle [m].
    wetted_height_m : Real
        Height of the wort in the kettle [m].
    jacket_m : Real
        Thickness of the foam around the wall, 0 for bare steel [m].

    Returns
    -------
    Real
        Heat lost by the surface (convection, radiation) and by the side wall [W].

    Notes
    -----
    A rolling boil has no cooled skin. The bottom, where the heat comes in, is left to the
    efficiency of the element.

    References
    ----------
    See `wortline.science.kettle.open_surface` and `wortline.science.kettle.wall_w_m2`.
    """
    boil_c = boiling_point_c(pressure_kpa)
    surface_w = np.pi / 4 * diameter_m**2 * dry_surface_w_m2(boil_c, air_c, pressure_kpa)
    return surface_w + np.pi * diameter_m * wetted_height_m * wall_w_m2(boil_c, air_c, jacket_m)


def boil_off_l_h(power_w: Real, efficiency: Real, dry_loss_w: Real, pressure_kpa: Real) -> Real:
    """Return the water that a boiling kettle evaporates, in cold litres.

    Parameters
    ----------
    power_w : Real
        Rated power of the element [W].
    efficiency : Real
        Share of the rated power that reaches the wort [-].
    dry_loss_w : Real
        Heat lost other than as steam [W].
    pressure_kpa : Real
        Pressure of the air [kPa].

    Returns
    -------
    Real
        Evaporation, 0 where the power does not hold the boil [L/h at 20 C].

    Notes
    -----
    Power, not diameter, sets the boil-off: all heat that is not lost dry becomes steam.

    References
    ----------
    Wagner, W., Pruss, A. (2002). The IAPWS formulation 1995 for the thermodynamic properties of
    ordinary water substance for general and scientific use. Journal of Physical and Chemical
    Reference Data 31, 387-535.
    """
    left_w = np.maximum(efficiency * power_w - dry_loss_w, 0.0)
    return loss_free_boil_off_l_h(left_w, pressure_kpa)


def loss_free_boil_off_l_h(power_w: Real, pressure_kpa: Real) -> Real:
    """Return the most water that a power can evaporate, in cold litres.

    Parameters
    ----------
    power_w : Real
        Heat that becomes steam [W].
    pressure_kpa : Real
        Pressure of the air [kPa].

    Returns
    -------
    Real
        Evaporation [L/h at 20 C].

    Notes
    -----
    Power over the latent heat at the boiling point; 1 kW makes 1.6 L/h at sea level.

    References
    ----------
    Wagner, W., Pruss, A. (2002). The IAPWS formulation 1995 for the thermodynamic properties of
    ordinary water substance for general and scientific use. Journal of Physical and Chemical
    Reference Data 31, 387-535.
    """
    heat_j_kg = 1000 * latent_heat_kj_kg(boiling_point_c(pressure_kpa))
    return 3600 * power_w / heat_j_kg * 1000 / density_kg_m3(COLD_C)


def heating_min(
    from_c: Real,
    to_c: Real,
    power_w: Real,
    heat_capacity_kj_k: Real,
    air_c: Real,
    pressure_kpa: Real,
    diameter_m: Real,
    wetted_height_m: Real,
    open_share: Real = 1.0,
    jacket_m: Real = 0.0,
    surface_factor: Real = 1.0,
) -> Real:
    """Return the time to heat a kettle from one temperature to another.

    Parameters
    ----------
    from_c : Real
        Temperature at the start [C].
    to_c : Real
        Temperature at the end, at or above the start [C].
    power_w : Real
        Heat that reaches the wort [W].
    heat_capacity_kj_k : Real
        Heat capacity of wort and vessel [kJ/K].
    air_c : Real
        Temperature of the room [C].
    pressure_kpa : Real
        Pressure of the air [kPa].
    diameter_m : Real
        Inner diameter of the kettle [m].
    wetted_height_m : Real
        Height of the wort in the kettle [m].
    open_share : Real
        1 without a lid, 0 with a closed one, between for a gap [-].
    jacket_m : Real
        Thickness of the foam around the wall, 0 for bare steel [m].
    surface_factor : Real
        Factor on the loss of the surface [-].

    Returns
    -------
    Real
        Time, infinite where the losses reach the power on the way [min].

    Notes
    -----
    The time is the integral of heat capacity over net power, by 32-point Gauss-Legendre quadrature
    over the temperature. What evaporates on the way is not taken off the heat capacity.

    References
    ----------
    See `wortline.science.kettle.kettle_loss`.
    """
    nodes, weights = np.polynomial.legendre.leggauss(HEATING_NODES)
    shape = np.broadcast(
        from_c, to_c, power_w, heat_capacity_kj_k, air_c, pressure_kpa, diameter_m,
        wetted_height_m, open_share, jacket_m, surface_factor,
    ).shape  # fmt: skip
    column = (HEATING_NODES,) + (1,) * len(shape)
    span_dk = np.subtract(to_c, from_c)
    bulk_c = from_c + span_dk * (0.5 + 0.5 * nodes).reshape(column)
    loss_w = kettle_loss(
        bulk_c, air_c, pressure_kpa, diameter_m, wetted_height_m, open_share, jacket_m,
        surface_factor,
    ).loss_w  # fmt: skip
    net_w = power_w - loss_w
    stuck = np.any(net_w <= 0, axis=0)
    slowness = np.sum(weights.reshape(column) / np.where(net_w > 0, net_w, 1.0), axis=0)
    return np.where(stuck, np.inf, 1000 * heat_capacity_kj_k * 0.5 * span_dk * slowness / 60)[()]


def resting_kettle(
    start_c: Real,
    rest_min: Real,
    wort_kg: Real,
    extract_plato: Real,
    air_c: Real,
    pressure_kpa: Real,
    diameter_m: Real,
    open_share: Real = 1.0,
    jacket_m: Real = 0.0,
    surface_factor: Real = 1.0,
    metal_kj_k: Real = 0.0,
) -> Rest:
    """Return the temperature and water loss of a kettle that stands without heat.

    Parameters
    ----------
    start_c : Real
        Temperature at the start [C].
    rest_min : Real
        Time that passes [min].
    wort_kg : Real
        Mass of wort at the start [kg].
    extract_plato : Real
        Strength of the wort [degP].
    air_c : Real
        Temperature of the room [C].
    pressure_kpa : Real
        Pressure of the air [kPa].
    diameter_m : Real
        Inner diameter of the kettle [m].
    open_share : Real
        1 without a lid, 0 with a closed one, between for a gap [-].
    jacket_m : Real
        Thickness of the foam around the wall, 0 for bare steel [m].
    surface_factor : Real
        Factor on the loss of the surface [-].
    metal_kj_k : Real
        Heat capacity of the vessel [kJ/K].

    Returns
    -------
    Rest
        Temperature [C] and water lost [kg].

    Notes
    -----
    Runge-Kutta of fourth order in 24 equal steps. Good to 1.1 K open and 2.3 K under a closed lid
    against Hosom's measured fit for 10 to 50 L.

    References
    ----------
    Hosom, J.-P. Cooling of wort in a home kettle after flame-out. Web article (the fit).
    """
    area_m2 = np.pi / 4 * diameter_m**2

    def rates(bulk_c: Real, gone_kg: Real) -> tuple[Real, Real]:
        left_kg = wort_kg - gone_kg
        height_m = left_kg / density_kg_m3(bulk_c) / area_m2
        loss = kettle_loss(
            bulk_c, air_c, pressure_kpa, diameter_m, height_m, open_share, jacket_m,
            surface_factor,
        )  # fmt: skip
        capacity_j_k = 1000 * heat_capacity_kj_k(left_kg, extract_plato, metal_kj_k)
        return -60 * loss.loss_w / capacity_j_k, loss.evaporation_kg_min

    steps = 24
    step_min = rest_min / steps
    bulk_c: Real = start_c
    gone_kg: Real = 0.0
    for _ in range(steps):
        heat1, water1 = rates(bulk_c, gone_kg)
        half_min = 0.5 * step_min
        heat2, water2 = rates(bulk_c + half_min * heat1, gone_kg + half_min * water1)
        heat3, water3 = rates(bulk_c + half_min * heat2, gone_kg + half_min * water2)
        heat4, water4 = rates(bulk_c + step_min * heat3, gone_kg + step_min * water3)
        bulk_c = bulk_c + step_min / 6 * (heat1 + 2 * heat2 + 2 * heat3 + heat4)
        gone_kg = gone_kg + step_min / 6 * (water1 + 2 * water2 + 2 * water3 + water4)
    return Rest(bulk_c, gone_kg)
