"""The laminar layer under turning liquid: its similarity solution by scipy, floor still or not."""

import numpy as np
import pytest
from scipy.integrate import solve_bvp

from wortline.science.bottom_layer import (
    INWARD_SLOPE,
    SWIRL_SLOPE,
    UPWELLING,
    floor_friction_speed_m_s,
    laminar_inflow_l_min,
    layer_m,
)

TOP = 32.0
"""Where the layer has died away: its waves reach far up."""


def layer(floor=0.0, top=TOP):
    """The flow under liquid that turns at rate 1 over a floor that turns at another.

    Outward speed F r, swirl G r, upward H, all over height (Boedewadt, U. T. (1940). Zeitschrift
    fuer angewandte Mathematik und Mechanik 20, 241-253; equations from memory):
    F'' = F^2 - G^2 + 1 + H F', G'' = 2 F G + H G', H' = -2 F.
    """

    def slopes(_, y):
        f, df, g, dg, h = y
        return [df, f**2 - g**2 + 1 + h * df, dg, 2 * f * g + h * dg, -2 * f]

    def ends(low, high):
        return [low[0], low[2] - floor, low[4], high[0], high[2] - 1]

    z = np.linspace(0, top, 1200)
    wave = np.exp(-z)
    guess = [
        -(1 - floor) * wave * np.sin(z),
        (1 - floor) * wave * (np.sin(z) - np.cos(z)),
        1 - (1 - floor) * wave * np.cos(z),
        (1 - floor) * wave * (np.cos(z) + np.sin(z)),
        (1 - floor) * (1 - wave * (np.cos(z) + np.sin(z))),
    ]
    found = solve_bvp(slopes, ends, z, guess, tol=1e-8, max_nodes=200000)
    assert found.success, found.message
    return found.sol


@pytest.fixture(scope="module")
def still():
    return layer()


def test_slopes_and_upwelling_over_a_still_floor(still):
    """-0.9420, 0.7729, 1.3494: as printed since Boedewadt (1940), from memory."""
    f, df, g, dg, h = still(np.array([0.0, TOP]))
    assert df[0] == pytest.approx(-0.9420, abs=5e-5)
    assert dg[0] == pytest.approx(0.7729, abs=5e-5)
    assert h[1] == pytest.approx(1.3494, abs=2e-4)
    assert -df[0] == pytest.approx(INWARD_SLOPE, abs=5e-5)
    assert dg[0] == pytest.approx(SWIRL_SLOPE, abs=5e-5)
    assert h[1] == pytest.approx(UPWELLING, abs=2e-4)
    assert (f[0], g[0], g[1]) == pytest.approx((0, 0, 1), abs=1e-6)


def test_most_inflow_and_most_swirl(still):
    """Worked out from the equations twice, with the top at 32 and at 40: 1.13015 both times."""
    z = np.linspace(0, 6, 6001)
    f, _, g, _, _ = still(z)
    assert (np.min(f), z[np.argmin(f)]) == pytest.approx((-0.4838, 1.1302), abs=6e-4)
    assert np.max(g) == pytest.approx(1.280, abs=1e-3)
    angle = np.degrees(np.arctan2(-still(0.0)[1], still(0.0)[3]))
    assert angle == pytest.approx(50.6, abs=0.1)


@pytest.mark.parametrize(("floor", "ratio"), [(0.9, 1.031), (0.5, 1.172), (0.0, 1.349)])
def test_upwelling_over_a_floor_that_turns_slower(floor, ratio):
    """Over the linear (Ekman) value, which is the difference of the rates."""
    assert layer(floor)(TOP)[4] / (1 - floor) == pytest.approx(ratio, abs=1e-3)


def test_laminar_inflow_is_what_rises_within(still):
    turning, viscosity, at = 0.8, 4.5e-7, 0.07
    z = np.linspace(0, TOP, 32001)
    thickness = layer_m(turning, viscosity)
    inward = -np.trapezoid(still(z)[0], z) * thickness * turning * at
    litres = 60000.0 * 2 * np.pi * at * inward
    assert laminar_inflow_l_min(turning, viscosity, at) == pytest.approx(litres, rel=5e-4)


def test_laminar_friction_speed(still):
    turning, viscosity, at = 0.1, 4.5e-7, 0.05
    stress = np.hypot(still(0.0)[1], still(0.0)[3]) * turning * at * np.sqrt(viscosity * turning)
    found = floor_friction_speed_m_s(turning, viscosity, at)
    assert found == pytest.approx(np.sqrt(stress), rel=1e-4)
