"""Oracle: strengths and fractions found by Newton's method against scipy's bracketing solver."""

import numpy as np
import pytest
from scipy.optimize import brentq

from wortline.science import ethanol, extract, gravity_rivals
from wortline.science.numerics import rising_root


@pytest.mark.parametrize("strength_plato", [-2.5, 0.0, 4.0, 11.9, 27.0, 28.06])
def test_gravity_of_a_strength_is_the_root_of_the_cubic(strength_plato):
    def miss(gravity_sg):
        cubic = np.polynomial.Polynomial([-616.868, 1111.14, -630.272, 135.997])
        return cubic(gravity_sg) - strength_plato

    root_sg = brentq(miss, 0.98, 1.20, xtol=1e-14)
    assert extract.sg_from_plato(strength_plato) == pytest.approx(root_sg, abs=1e-11)


@pytest.mark.parametrize("mass_kg", [0.0, 0.2, 2.5, 6.0, 24.0])
def test_strength_of_a_mass_in_a_volume(mass_kg):
    def miss(strength_plato):
        kg = 20.0 * extract.wort_density_kg_m3(strength_plato, 20.0) * strength_plato / 1e5
        return kg - mass_kg

    root_plato = brentq(miss, -5.0, 85.0, xtol=1e-12)
    assert extract.plato_from_extract(mass_kg, 20.0) == pytest.approx(root_plato, abs=1e-10)


@pytest.mark.parametrize("ratio_sg", [1.004, 1.083, 1.2, 1.4])
def test_aoac_strength_of_a_gravity(ratio_sg):
    def miss(strength_plato):
        water_kg_m3 = extract.wort_density_kg_m3(0.0, 20.0)
        true_kg_m3 = 1.2 + ratio_sg * (water_kg_m3 - 1.2)
        return gravity_rivals.sg_aoac(strength_plato) - true_kg_m3 / water_kg_m3

    root_plato = brentq(miss, -5.0, 85.0, xtol=1e-12)
    assert gravity_rivals.plato_aoac(ratio_sg) == pytest.approx(root_plato, abs=1e-9)


@pytest.mark.parametrize("temp_c", [-20.0, 0.0, 15.5, 20.0, 40.0])
@pytest.mark.parametrize("share", [0.01, 0.05, 0.3, 0.7, 0.99])
def test_ethanol_of_a_density(share, temp_c):
    kg_m3 = ethanol.ethanol_density_kg_m3(share, temp_c)
    root = brentq(
        lambda trial: ethanol.ethanol_density_kg_m3(trial, temp_c) - kg_m3, 0.0, 1.0, xtol=1e-14
    )
    assert root == pytest.approx(share, abs=1e-9)
    assert ethanol.ethanol_fraction_from_density(kg_m3, temp_c) == pytest.approx(root, abs=1e-10)


def test_pure_ethanol_agrees_with_coolprop():
    # Schroeder's equation of state for ethanol, uncertainty 0.2 per cent in liquid density.
    from CoolProp.CoolProp import PropsSI

    temp_c = np.array([-20.0, 0.0, 20.0, 40.0])
    reference = np.asarray(PropsSI("D", "T", temp_c + 273.15, "P", 101325.0, "Ethanol"))
    np.testing.assert_allclose(ethanol.ethanol_density_kg_m3(1.0, temp_c), reference, rtol=0.002)


def test_a_root_is_found_even_where_newton_alone_leaves_the_bracket():
    # arctan sends Newton's method to infinity from far out; the bracket brings it home.
    targets = np.array([-1.0, 0.0, 0.3, 1.2])

    def miss_and_slope(x):
        return np.arctan(x) - targets, 1.0 / (1.0 + x * x)

    expected = [brentq(lambda x, t=t: np.arctan(x) - t, -50.0, 9.0) for t in targets]
    found = rising_root(miss_and_slope, -50.0, 9.0, rounds=30)
    np.testing.assert_allclose(found, expected, atol=1e-10)


def test_no_root_between_the_bounds_is_no_number():
    found = rising_root(lambda x: (x - np.array([-1.0, 0.5, 2.0, np.nan]), 1.0), 0.0, 1.0)
    np.testing.assert_array_equal(found, [np.nan, 0.5, np.nan, np.nan])
