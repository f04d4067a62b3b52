"""The kettle's heat balance against CoolProp's properties and scipy's solvers."""

import numpy as np
import pytest
from CoolProp.CoolProp import HAPropsSI, PropsSI
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from wortline.science.kettle import (
    dry_surface_w_m2,
    kettle_loss,
    lidded_surface,
    open_surface,
    wall_w_m2,
)
from wortline.science.kettle_heating import heat_capacity_kj_k, heating_min, resting_kettle
from wortline.science.water import water_convection

SEA_PA = 101325.0
SIGMA, G = 5.670374e-8, 9.80665


def water(name, temp_k):
    return PropsSI(name, "T", temp_k, "P", max(SEA_PA, 1.01 * steam_pa(temp_k)), "Water")


def steam_pa(temp_k):
    return PropsSI("P", "T", temp_k, "Q", 0, "Water")


def moist(name, temp_k, vapour_pa):
    return HAPropsSI(name, "T", temp_k, "P", SEA_PA, "P_w", vapour_pa)


def gas(temp_k, vapour_pa):
    """Density and vapour mass fraction of moist air."""
    ratio = moist("W", temp_k, vapour_pa)
    return (1 + ratio) / moist("Vda", temp_k, vapour_pa), ratio / (1 + ratio)


def fluxes(skin_c, air_c, humidity):
    """Vapour [kg/(m2 s)], evaporation and dry heat [W/m2] from Sh and Nu over a metre."""
    skin_k, air_k = skin_c + 273.15, air_c + 273.15
    film_k = (skin_k + air_k) / 2
    skin_rho, skin_w = gas(skin_k, steam_pa(skin_k))
    air_rho, air_w = gas(air_k, humidity * steam_pa(air_k))
    film_rho = (skin_rho + air_rho) / 2
    viscosity = PropsSI("V", "T", film_k, "P", SEA_PA, "Air")
    conductivity = PropsSI("L", "T", film_k, "P", SEA_PA, "Air")
    heat = PropsSI("C", "T", film_k, "P", SEA_PA, "Air")
    # Marrero and Mason (1972), with pressure in atmospheres.
    diffusivity = 1.87e-10 * film_k**2.072
    pull = G * (air_rho - skin_rho) / viscosity
    sherwood = 0.14 * np.cbrt(pull / diffusivity)
    nusselt = 0.14 * np.cbrt(pull * film_rho * heat / conductivity)
    driving = np.log(1 + (skin_w - air_w) / (1 - skin_w))
    vapour = film_rho * diffusivity * sherwood * driving
    latent = PropsSI("H", "T", skin_k, "Q", 1, "Water") - PropsSI("H", "T", skin_k, "Q", 0, "Water")
    dry = conductivity * nusselt * (skin_c - air_c) + 0.95 * SIGMA * (skin_k**4 - air_k**4)
    return vapour, vapour * latent, dry


def group(temp_k):
    conductivity, density = water("L", temp_k), water("D", temp_k)
    diffusing = conductivity / (density * water("C", temp_k))
    lift = G * water("ISOBARIC_EXPANSION_COEFFICIENT", temp_k)
    return conductivity * np.cbrt(lift * density / (water("V", temp_k) * diffusing))


def balanced(bulk_c, air_c, humidity):
    """Skin temperature [C] where what rises from the liquid is what leaves it."""

    def miss(skin_c):
        brought = 0.15 * group((bulk_c + skin_c) / 2 + 273.15) * (bulk_c - skin_c) ** (4 / 3)
        _, latent, dry = fluxes(skin_c, air_c, humidity)
        return latent + dry - brought

    return brentq(miss, air_c + 0.6 * (bulk_c - air_c), bulk_c - 0.02 * (bulk_c - air_c))


def test_convection_of_water_against_iapws():
    temp_c = np.arange(10.0, 101.0, 2.0)
    expected = [group(t + 273.15) for t in temp_c]
    np.testing.assert_allclose(water_convection(temp_c), expected, rtol=0.018)


def test_convection_of_water_is_kept_below_5_c():
    assert water_convection(0.0) == water_convection(5.0) < water_convection(5.1)


@pytest.mark.parametrize(("bulk_c", "humidity"), [(40, 0.5), (66, 0.2), (85, 0.8), (99, 0.5)])
def test_open_surface_against_coolprop(bulk_c, humidity):
    air_c = 18.0
    skin_c = balanced(bulk_c, air_c, humidity)
    vapour, latent, dry = fluxes(skin_c, air_c, humidity)
    found = open_surface(float(bulk_c), air_c, SEA_PA / 1000, humidity)
    assert found.skin_c == pytest.approx(skin_c, abs=0.15)
    assert found.total_w_m2 == pytest.approx(latent + dry, rel=0.015)
    assert found.evaporation_kg_m2_min == pytest.approx(60 * vapour, rel=0.02)


@pytest.mark.parametrize(
    ("skin_c", "air_c", "humidity"),
    [(30.0, 20.0, 0.5), (60.0, 20.0, 0.5), (90.0, 20.0, 0.5), (45.0, 38.0, 0.1), (45.0, 38.0, 0.9)],
)
def test_dry_loss_against_coolprop(skin_c, air_c, humidity):
    _, _, dry = fluxes(skin_c, air_c, humidity)
    found = dry_surface_w_m2(skin_c, air_c, SEA_PA / 1000, humidity)
    assert found == pytest.approx(dry, rel=0.01)


def test_diffusion_is_faster_in_thin_air():
    """Law: at equal vapour pressures the mass flux goes about with D^(2/3) p^0, D ~ 1/p."""
    thick = open_surface(60.0, 20.0, 101.325).evaporation_kg_m2_min
    thin = open_surface(60.0, 20.0, 70.0).evaporation_kg_m2_min
    assert 1.15 < thin / thick < 1.45


@pytest.mark.parametrize(("bulk_c", "air_c"), [(100.0, 20.0), (40.0, -10.0), (5.0, 35.0)])
def test_bare_wall_is_convection_and_radiation(bulk_c, air_c):
    rise_dk = bulk_c - air_c
    free = 1.31 * np.sign(rise_dk) * abs(rise_dk) ** (4 / 3)
    radiated = 0.3 * SIGMA * ((bulk_c + 273.15) ** 4 - (air_c + 273.15) ** 4)
    assert wall_w_m2(bulk_c, air_c) == pytest.approx(free + radiated, rel=1e-9)


@pytest.mark.parametrize(
    ("bulk_c", "air_c", "jacket_m"), [(95.0, 20.0, 0.002), (70.0, 5.0, 0.02), (5.0, 30.0, 0.01)]
)
def test_jacket_against_a_root_finder(bulk_c, air_c, jacket_m):
    def outside(surface_c):
        rise_dk = surface_c - air_c
        free = 1.31 * np.sign(rise_dk) * abs(rise_dk) ** (4 / 3)
        return free + 0.9 * SIGMA * ((surface_c + 273.15) ** 4 - (air_c + 273.15) ** 4)

    surface_c = brentq(
        lambda c: outside(c) - 0.04 / jacket_m * (bulk_c - c),
        min(bulk_c, air_c),
        max(bulk_c, air_c),
    )
    assert wall_w_m2(bulk_c, air_c, jacket_m) == pytest.approx(outside(surface_c), rel=2e-4)


def slope(_, state, pot):
    bulk_c, water_kg = state
    area_m2 = np.pi / 4 * pot["diameter_m"] ** 2
    height_m = water_kg / PropsSI("D", "T", bulk_c + 273.15, "P", 105e3, "Water") / area_m2
    loss = kettle_loss(
        bulk_c, 15.0, 99.0, pot["diameter_m"], height_m, pot["open_share"], pot["jacket_m"],
        pot["surface_factor"],
    )  # fmt: skip
    capacity_kj_k = 4.19 * (1 - 0.0057 * 10.0) * water_kg + 3.0
    return [-0.06 * loss.loss_w / capacity_kj_k, -loss.evaporation_kg_min]


@pytest.mark.parametrize(("open_share", "jacket_m"), [(1.0, 0.0), (0.0, 0.01), (0.4, 0.0)])
def test_resting_kettle_against_scipy(open_share, jacket_m):
    pot = {"diameter_m": 0.4, "open_share": open_share, "jacket_m": jacket_m, "surface_factor": 1.2}
    start_c, wort_kg, rest_min = 97.0, 26.0, 60.0
    exact = solve_ivp(
        slope, (0, rest_min), [start_c, wort_kg], args=(pot,), rtol=1e-8, atol=1e-8
    ).y[:, -1]
    found = resting_kettle(start_c, rest_min, wort_kg, 10.0, 15.0, 99.0, metal_kj_k=3.0, **pot)
    assert found.bulk_c == pytest.approx(exact[0], abs=2e-3)
    assert found.evaporated_kg == pytest.approx(wort_kg - exact[1], rel=1e-4)


def test_heating_time_against_scipy():
    capacity_kj_k = heat_capacity_kj_k(25.0, 11.0, 3.0)
    shape = (0.36, 0.26, 0.5, 0.0, 1.3)

    def per_min(_, bulk_c):
        loss = kettle_loss(bulk_c, 10.0, 95.0, *shape)
        return 0.06 * (2600.0 - loss.loss_w) / capacity_kj_k

    def arrived(_, bulk_c):
        return bulk_c[0] - 97.5

    arrived.terminal = True
    run = solve_ivp(per_min, (0, 500), [12.0], events=arrived, rtol=1e-8, atol=1e-8)
    found = heating_min(12.0, 97.5, 2600.0, capacity_kj_k, 10.0, 95.0, *shape)
    assert found == pytest.approx(run.t_events[0][0], rel=1e-6)


def test_closed_lid_by_hand():
    """Common practice, no source: 3 % of the open loss leaks, 6 W/(m2 K) through the rest."""
    free, shut = open_surface(90.0, 20.0, 101.325), lidded_surface(90.0, 20.0, 101.325, 0.0)
    assert shut.total_w_m2 == pytest.approx(0.03 * free.total_w_m2 + 0.97 * 6 * 70)
    assert shut.evaporation_kg_m2_min == pytest.approx(0.03 * free.evaporation_kg_m2_min)
