"""Oracle: water against CoolProp (IAPWS-95, IAPWS 2008 viscosity), air against fluids."""

import numpy as np
import pytest
from CoolProp.CoolProp import HAPropsSI, PropsSI
from fluids.atmosphere import ATMOSPHERE_1976

from wortline.science import extract, water

ONE_ATM_PA = 101325.0
WARMTHS_C = np.linspace(1.0, 99.0, 50)


def iapws(output, temp_c, **given):
    """Return a property of water at temperatures, with the second input as keyword."""
    ((name, value),) = given.items()
    return np.asarray(PropsSI(output, "T", temp_c + 273.15, name, value, "Water"))


def test_kell_density_is_within_its_error_of_iapws():
    # Kell claims 0.01 kg/m3; the temperature scale of 1968 adds up to 0.02 near the boil.
    reference = iapws("D", WARMTHS_C, P=ONE_ATM_PA)
    np.testing.assert_allclose(water.density_kg_m3(WARMTHS_C), reference, rtol=0, atol=0.016)


def test_tanaka_density_is_within_one_millionth_of_iapws():
    cool_c = np.linspace(0.1, 40.0, 41)
    reference = iapws("D", cool_c, P=ONE_ATM_PA)
    np.testing.assert_allclose(
        water.density_tanaka_2001_kg_m3(cool_c), reference, rtol=0, atol=0.0013
    )


def test_sucrose_water_is_within_its_error_of_iapws():
    reference = iapws("D", WARMTHS_C, P=ONE_ATM_PA)
    np.testing.assert_allclose(
        extract.wort_density_kg_m3(0.0, WARMTHS_C), reference, rtol=0, atol=0.02
    )


def test_expansion_is_the_ratio_of_iapws_densities():
    reference = iapws("D", 20.0, P=ONE_ATM_PA) / iapws("D", WARMTHS_C, P=ONE_ATM_PA)
    np.testing.assert_allclose(water.expansion(WARMTHS_C), reference, rtol=2e-5)


def test_vapour_pressure_agrees_with_iapws_95():
    # IF97 reproduces IAPWS-95 within its stated 0.025 per cent; in this range it is far closer.
    reference = iapws("P", WARMTHS_C, Q=0) / 1000.0
    np.testing.assert_allclose(water.vapour_pressure_kpa(WARMTHS_C), reference, rtol=2.5e-4)


def test_boiling_point_agrees_with_iapws_95():
    pressure_kpa = np.linspace(30.0, 200.0, 35)
    reference = np.asarray(PropsSI("T", "P", pressure_kpa * 1000.0, "Q", 0, "Water")) - 273.15
    np.testing.assert_allclose(water.boiling_point_c(pressure_kpa), reference, rtol=0, atol=0.005)


def test_latent_heat_agrees_with_iapws_95():
    temp_c = np.linspace(0.02, 110.0, 56)
    reference = (iapws("H", temp_c, Q=1) - iapws("H", temp_c, Q=0)) / 1000.0
    np.testing.assert_allclose(water.latent_heat_kj_kg(temp_c), reference, rtol=0, atol=0.03)


def test_viscosity_agrees_with_iapws_2008():
    reference = iapws("V", WARMTHS_C, P=ONE_ATM_PA) * 1000.0
    np.testing.assert_allclose(water.viscosity_mpa_s(WARMTHS_C), reference, rtol=1e-4)


@pytest.mark.parametrize("elevation_m", [-300.0, 0.0, 250.0, 1000.0, 2500.0, 4000.0])
def test_standard_pressure_agrees_with_the_1976_atmosphere(elevation_m):
    # The textbook form takes height as geometric, the table as geopotential: 0.02 kPa at 4 km.
    reference = ATMOSPHERE_1976(elevation_m).P / 1000.0
    assert water.standard_pressure_kpa(elevation_m) == pytest.approx(reference, abs=0.021)


def test_air_of_the_weighing_is_half_damp_air_at_20_c():
    kg_m3 = 1.0 / HAPropsSI("Vha", "T", 293.15, "P", ONE_ATM_PA, "R", 0.5)
    assert pytest.approx(kg_m3, abs=0.004) == extract.AIR_KG_M3
