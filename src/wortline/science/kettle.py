"""Heat and water that a kettle of hot wort loses to the room: surface, lid and wall."""

from typing import NamedTuple

import numpy as np

from wortline.science.real import Real
from wortline.science.standards import GRAVITY_M_S2, ZERO_C_K
from wortline.science.water import latent_heat_kj_kg, vapour_pressure_kpa, water_convection

STEFAN_BOLTZMANN = 5.670374e-8  # W/(m2 K4)
GAS_CONSTANT = 8.314463  # J/(mol K)
MOLAR_AIR, MOLAR_WATER = 0.0289652, 0.0180153  # kg/mol

WATER_EMISSIVITY = 0.95
STEEL_EMISSIVITY = 0.3
FOAM_EMISSIVITY = 0.9
FOAM_W_MK = 0.04
LID_W_M2K = 6.0
LID_LEAK = 0.03

SKIN_STEPS = 7
WALL_STEPS = 6


class SurfaceLoss(NamedTuple):
    """What a square metre of liquid surface gives to the room.

    Attributes
    ----------
    total_w_m2 : Real
        Heat lost: evaporation, convection and radiation [W/m2].
    evaporation_kg_m2_min : Real
        Water lost [kg/(m2 min)].
    skin_c : Real
        Temperature of the cooled skin of the liquid [C].
    """

    total_w_m2: Real
    evaporation_kg_m2_min: Real
    skin_c: Real


class KettleLoss(NamedTuple):
    """What a whole kettle gives to the room.

    Attributes
    ----------
    loss_w : Real
        Heat lost by surface, lid and wall [W].
    evaporation_kg_min : Real
        Water lost [kg/min].
    """

    loss_w: Real
    evaporation_kg_min: Real


class _Flux(NamedTuple):
    vapour_kg_m2_s: Real
    latent_w_m2: Real
    dry_w_m2: Real


def _radiation_w_m2(surface_c: Real, air_c: Real, emissivity: Real) -> Real:
    return emissivity * STEFAN_BOLTZMANN * ((surface_c + ZERO_C_K) ** 4 - (air_c + ZERO_C_K) ** 4)


def _moist_air_kg_m3(temp_c: Real, vapour_kpa: Real, pressure_kpa: Real) -> Real:
    mass_kg_mol = MOLAR_AIR - (MOLAR_AIR - MOLAR_WATER) * vapour_kpa / pressure_kpa
    return 1000 * pressure_kpa * mass_kg_mol / (GAS_CONSTANT * (temp_c + ZERO_C_K))


def _vapour_share(vapour_kpa: Real, pressure_kpa: Real) -> Real:
    """Mass of vapour per mass of moist air."""
    water = MOLAR_WATER * vapour_kpa
    return water / (water + MOLAR_AIR * (pressure_kpa - vapour_kpa))


def _air_viscosity_pa_s(temp_k: Real) -> Real:
    return 1.458e-6 * temp_k**1.5 / (temp_k + 110.4)


def _surface_flux(skin_c: Real, air_c: Real, pressure_kpa: Real, air_vapour_kpa: Real) -> _Flux:
    # A saturated skin at the boiling point would make the driving force infinite.
    skin_vapour_kpa = np.minimum(vapour_pressure_kpa(skin_c), 0.98 * pressure_kpa)
    skin_kg_m3 = _moist_air_kg_m3(skin_c, skin_vapour_kpa, pressure_kpa)
    air_kg_m3 = _moist_air_kg_m3(air_c, air_vapour_kpa, pressure_kpa)
    # Air that is denser at the surface lies still: free convection stops.
    lift_kg_m3 = np.maximum(air_kg_m3 - skin_kg_m3, 0.0)
    film_k = 0.5 * (skin_c + air_c) + ZERO_C_K
    film_kg_m3 = 0.5 * (skin_kg_m3 + air_kg_m3)
    viscosity = _air_viscosity_pa_s(film_k)
    diffusivity = 1.87e-10 * film_k**2.072 * (101.325 / pressure_kpa)  # m2/s
    buoyancy = np.cbrt(GRAVITY_M_S2 * lift_kg_m3 / viscosity)
    skin_share = _vapour_share(skin_vapour_kpa, pressure_kpa)
    spalding = (skin_share - _vapour_share(air_vapour_kpa, pressure_kpa)) / (1 - skin_share)
    vapour = 0.14 * film_kg_m3 * np.cbrt(diffusivity) ** 2 * buoyancy * np.log1p(spalding)
    prandtl, heat_j_kgk = 0.71, 1007.0
    conductivity = viscosity * heat_j_kgk / prandtl
    thermal_m2_s = viscosity / (prandtl * film_kg_m3)
    still = 0.14 * conductivity * buoyancy / np.cbrt(thermal_m2_s)
    dry = still * (skin_c - air_c) + _radiation_w_m2(skin_c, air_c, WATER_EMISSIVITY)
    latent = 1000 * vapour * latent_heat_kj_kg(skin_c)
    return _Flux(np.asarray(vapour)[()], np.asarray(latent)[()], np.asarray(dry)[()])


def open_surface(
    bulk_c: Real, air_c: Real, pressure_kpa: Real, humidity: Real = 0.5
) -> SurfaceLoss:
    """Return the heat and water lost by an open, unstirred surface of hot wort.

    Parameters
    ----------
    bulk_c : Real
        Temperature of the liquid below its skin [C].
    air_c : Real
        Temperature of the room [C].
    pressure_kpa : Real
        Pressure of the air [kPa].
    humidity : Real
        Relative humidity of the room [-].

    Returns
    -------
    SurfaceLoss
        Heat lost [W/m2], water lost [kg/(m2 min)] and skin temperature [C].

    Notes
    -----
    Vapour and heat leave by turbulent free convection above a wide plate (Sh and Nu =
    0.14 Ra^(1/3), the width cancels), driven by the density of warm moist air, with Spalding's
    ln(1 + B) for the vapour. The liquid brings heat to its skin by free convection too
    (0.15 Ra^(1/3)), so the skin is cooler than the bulk: 12 K at 99 C. Without the skin the loss
    comes out twice too high at 88 C. Wort counts as water. Still air; a draught more than doubles
    the loss. Bulk from 1 C to a little above the boiling point. Where the air at the surface is
    the denser, only radiation is left.

    References
    ----------
    Spalding, D. B. (1963). Convective Mass Transfer. Edward Arnold, London.
    Incropera, F. P., DeWitt, D. P. (2002). Fundamentals of Heat and Mass Transfer, 5th ed.,
    chapter 9.
    Marrero, T. R., Mason, E. A. (1972). Gaseous diffusion coefficients. Journal of Physical and
    Chemical Reference Data 1, 3-118.
    NOAA, NASA, USAF (1976). U.S. Standard Atmosphere, NOAA-S/T 76-1562 (viscosity of air).
    """
    air_vapour_kpa = humidity * vapour_pressure_kpa(air_c)

    def miss_dk(skin_c: Real) -> tuple[Real, _Flux]:
        flux = _surface_flux(skin_c, air_c, pressure_kpa, air_vapour_kpa)
        taken = np.maximum(flux.latent_w_m2 + flux.dry_w_m2, 0.0)
        brought = 0.15 * water_convection(0.5 * (bulk_c + skin_c))
        return bulk_c - skin_c - (taken / brought) ** 0.75, flux

    # The miss falls, and concavely, as the skin warms: a secant settles from any near start.
    guess_dk = 13.0 * np.sqrt(vapour_pressure_kpa(bulk_c) / pressure_kpa)
    before_c, skin_c = bulk_c - 1.3 * guess_dk, bulk_c - guess_dk
    before_dk, flux = miss_dk(before_c)
    for _ in range(SKIN_STEPS):
        now_dk, flux = miss_dk(skin_c)
        span_dk = now_dk - before_dk
        slope = (skin_c - before_c) / np.where(span_dk == 0, 1.0, span_dk)
        before_c, before_dk = skin_c, now_dk
        skin_c = np.minimum(skin_c - now_dk * slope, bulk_c)
    flux = _surface_flux(skin_c, air_c, pressure_kpa, air_vapour_kpa)
    total_w_m2 = flux.latent_w_m2 + flux.dry_w_m2
    return SurfaceLoss(total_w_m2, 60 * flux.vapour_kg_m2_s, skin_c)


def dry_surface_w_m2(skin_c: Real, air_c: Real, pressure_kpa: Real, humidity: Real = 0.5) -> Real:
    """Return the heat lost by a surface of known skin temperature through convection and radiation.

    Parameters
    ----------
    skin_c : Real
        Temperature of the surface [C].
    air_c : Real
        Temperature of the room [C].
    pressure_kpa : Real
        Pressure of the air [kPa].
    humidity : Real
        Relative humidity of the room [-].

    Returns
    -------
    Real
        Heat lost without evaporation [W/m2].

    Notes
    -----
    Free convection is driven by the density of the warm, moist air at the surface.

    References
    ----------
    See `open_surface`.
    """
    air_vapour_kpa = humidity * vapour_pressure_kpa(air_c)
    return _surface_flux(skin_c, air_c, pressure_kpa, air_vapour_kpa).dry_w_m2


def wall_w_m2(bulk_c: Real, air_c: Real, jacket_m: Real = 0.0) -> Real:
    """Return the heat lost through a bare or foam-clad steel wall wetted by hot wort.

    Parameters
    ----------
    bulk_c : Real
        Temperature of the wort [C].
    air_c : Real
        Temperature of the room [C].
    jacket_m : Real
        Thickness of the foam around the wall, 0 for bare steel [m].

    Returns
    -------
    Real
        Heat lost, negative when the room is warmer [W/m2].

    Notes
    -----
    Free convection 1.31 dT^(1/3) W/m2 on a vertical wall in air and radiation from polished steel
    (emissivity 0.3) or foam (0.9, conductivity 0.04 W/m K); steel itself and the wort side offer no
    resistance. Bare, 80 K above the room: about 8 W/(m2 K); with 10 mm of foam 2.7.

    References
    ----------
    Holman, J. P. (2010). Heat Transfer, 10th ed., table 7-2 (from memory).
    """
    emissivity = np.where(np.asarray(jacket_m) > 0, FOAM_EMISSIVITY, STEEL_EMISSIVITY)
    resistance_m2k_w = jacket_m / FOAM_W_MK
    outside_c = bulk_c + 0.0 * (air_c + jacket_m)
    for _ in range(WALL_STEPS):
        above_dk = outside_c - air_c
        mean_k = 0.5 * (outside_c + air_c) + ZERO_C_K
        radiation = 4 * emissivity * STEFAN_BOLTZMANN * mean_k * (mean_k**2 + 0.25 * above_dk**2)
        outside_w_m2k = 1.31 * np.cbrt(np.abs(above_dk)) + radiation
        through_w_m2k = outside_w_m2k / (1 + resistance_m2k_w * outside_w_m2k)
        outside_c = bulk_c - through_w_m2k * (bulk_c - air_c) * resistance_m2k_w
    return through_w_m2k * (bulk_c - air_c)


def lid_open_share(gap_m2: Real, surface_m2: Real) -> Real:
    """Return the share of the open loss that a gap in the lid lets out.

    Parameters
    ----------
    gap_m2 : Real
        Area of the gap [m2].
    surface_m2 : Real
        Area of the liquid surface [m2].

    Returns
    -------
    Real
        sqrt(gap / surface), from the leak of a closed lid (0.03) to 1 [-].

    Notes
    -----
    The published cooling fit counts a gap as sqrt(gap x surface) of open surface.

    References
    ----------
    Hosom, J.-P. Cooling of wort in a home kettle after flame-out. Web article.
    """
    return np.clip(np.sqrt(gap_m2 / surface_m2), LID_LEAK, 1.0)


def lidded_surface(
    bulk_c: Real, air_c: Real, pressure_kpa: Real, open_share: Real, humidity: Real = 0.5
) -> SurfaceLoss:
    """Return the heat and water lost by a surface under a lid that stands open by a share.

    Parameters
    ----------
    bulk_c : Real
        Temperature of the liquid below its skin [C].
    air_c : Real
        Temperature of the room [C].
    pressure_kpa : Real
        Pressure of the air [kPa].
    open_share : Real
        1 without a lid, 0 with a closed one, between for a gap [-].
    humidity : Real
        Relative humidity of the room [-].

    Returns
    -------
    SurfaceLoss
        Heat lost [W/m2], water lost [kg/(m2 min)] and skin temperature [C].

    Notes
    -----
    The open share loses as an open surface; the rest loses 6 W/(m2 K) through the lid, on which the
    vapour condenses and drips back. A closed lid leaks 3 % (common practice, no source).

    References
    ----------
    Hosom, J.-P. Cooling of wort in a home kettle after flame-out. Web article (open share).
    """
    share = np.clip(open_share, LID_LEAK, 1.0)
    free = open_surface(bulk_c, air_c, pressure_kpa, humidity)
    through = (1 - share) * LID_W_M2K * (bulk_c - air_c)
    return SurfaceLoss(
        share * free.total_w_m2 + through, share * free.evaporation_kg_m2_min, free.skin_c
    )


def wetted_wall_m2(diameter_m: Real, wetted_height_m: Real) -> Real:
    """Steel that hot wort wets in a cylindrical kettle: side and bottom.

    Parameters
    ----------
    diameter_m : Real
        Inner diameter of the kettle [m].
    wetted_height_m : Real
        Height of the wort in the kettle [m].

    Returns
    -------
    Real
        Area [m2].

    References
    ----------
    Area of an open cylinder.
    """
    return np.pi * diameter_m * (wetted_height_m + diameter_m / 4)


def kettle_loss(
    bulk_c: Real,
    air_c: Real,
    pressure_kpa: Real,
    diameter_m: Real,
    wetted_height_m: Real,
    open_share: Real = 1.0,
    jacket_m: Real = 0.0,
    surface_factor: Real = 1.0,
    humidity: Real = 0.5,
) -> KettleLoss:
    """Return the heat and water that a cylindrical kettle loses to the room.

    Parameters
    ----------
    bulk_c : Real
        Temperature of the wort [C].
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
        Factor on the loss of the surface, learnt from a run; draught or stirring raise it [-].
    humidity : Real
        Relative humidity of the room [-].

    Returns
    -------
    KettleLoss
        Heat lost [W] and water lost [kg/min].

    Notes
    -----
    Side and bottom count as one wall; the dry wall above the wort loses nothing.

    References
    ----------
    See `open_surface` and `wall_w_m2`.
    """
    surface = lidded_surface(bulk_c, air_c, pressure_kpa, open_share, humidity)
    area_m2 = np.pi / 4 * diameter_m**2
    wall_m2 = wetted_wall_m2(diameter_m, wetted_height_m)
    wall_w = wall_m2 * wall_w_m2(bulk_c, air_c, jacket_m)
    return KettleLoss(
        area_m2 * surface_factor * surface.total_w_m2 + wall_w,
        area_m2 * surface_factor * surface.evaporation_kg_m2_min,
    )
