"""Attenuation against scipy's stiff solver and its monotone interpolation."""

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.interpolate import PchipInterpolator

from wortline.science.attenuation_rivals import attenuation_limit_chandrasekhar_2014
from wortline.science.extract import wort_density_kg_m3
from wortline.science.mash import attenuation_limit
from wortline.science.potential import FULL_POINTS_L_KG

GAS = 8.314


def at_65_c(temp_k, value, activation):
    return value * math.exp(-activation / GAS * (1 / temp_k - 1 / 338.15))


def rates(seconds, state, start_c, slope_k_s):
    """Starch, soluble, fermentable, alpha, beta: Brandam's scheme, as written in seconds."""
    raw, soluble, _, alpha, beta = state
    temp_k = start_c + slope_k_s * seconds + 273.15
    if temp_k < 333.15:
        dissolving = 5.7e31 * math.exp(-220600 / (GAS * temp_k))
    else:
        dissolving = 3.1e14 * math.exp(-108300 / (GAS * temp_k))
    speed = at_65_c(temp_k, 4.733e-3, 94140) * beta + at_65_c(temp_k, 5.977e-4, 94140) * alpha
    split = speed * max(soluble - (1 - 0.6787) * (1 - raw), 0.0)
    return [
        -dissolving * raw,
        dissolving * raw - split,
        split,
        -at_65_c(temp_k, math.log(2) / 4320, 224200) * alpha,
        -at_65_c(temp_k, math.log(2) / 600, 410700) * beta,
    ]


def solved(*stretches):
    """Attenuation after stretches of (start C, K/min, min)."""
    state = [1.0, 0.0, 0.0, 1.0, 1.0]
    for start_c, slope_k_min, minutes in stretches:
        state = solve_ivp(
            rates, (0, 60 * minutes), state, method="LSODA", rtol=1e-8, atol=1e-10,
            args=(start_c, slope_k_min / 60), max_step=60.0,
        ).y[:, -1]  # fmt: skip
    return state[2] / 0.8192


@pytest.mark.parametrize("temp_c", [50.0, 58.0, 63.0, 66.0, 69.0, 73.0, 78.0])
@pytest.mark.parametrize("minutes", [10.0, 60.0])
def test_single_rest_against_a_stiff_solver(temp_c, minutes):
    found = attenuation_limit([temp_c], [minutes])
    assert found == pytest.approx(solved((temp_c, 0.0, minutes)), abs=1e-3)


@pytest.mark.parametrize(
    ("rests", "ramp_k_min"),
    [
        ([(62.0, 30.0), (72.0, 30.0)], 1.0),
        ([(52.0, 15.0), (63.0, 40.0), (72.0, 20.0)], 0.8),
        ([(68.0, 10.0), (64.0, 30.0)], 2.0),
    ],
)
def test_stepped_mash_against_a_stiff_solver(rests, ramp_k_min):
    stretches = []
    for k, (temp_c, minutes) in enumerate(rests):
        if k:
            before_c = rests[k - 1][0]
            rise_dk = temp_c - before_c
            stretches.append(
                (before_c, math.copysign(ramp_k_min, rise_dk), abs(rise_dk) / ramp_k_min)
            )
        stretches.append((temp_c, 0.0, minutes))
    found = attenuation_limit([t for t, _ in rests], [m for _, m in rests], ramp_k_min)
    assert found == pytest.approx(solved(*stretches), abs=1e-3)


def test_points_between_measurements_against_scipy():
    nodes_c = [60.0, 62.5, 65.0, 67.0, 70.0, 72.0, 75.0, 80.0]
    values = [0.825, 0.83, 0.82, 0.785, 0.70, 0.63, 0.50, 0.30]
    mash_c = np.linspace(60.0, 80.0, 401)
    expected = PchipInterpolator(nodes_c, values)(mash_c)
    np.testing.assert_allclose(attenuation_limit_chandrasekhar_2014(mash_c), expected, atol=1e-12)


def test_full_points_against_the_density_of_sucrose():
    """1 lb in 1 US gallon of wort: ICUMSA density, in another module, from sources of its own."""
    wanted = 0.45359237 / 3.785411784
    plato = np.linspace(11.0, 12.0, 2001)
    density = wort_density_kg_m3(plato, 20.0)
    at = np.interp(wanted, plato / 100 * density / 1000, density)
    points = 1000 * (at / 998.2031 - 1) / wanted
    assert pytest.approx(points, rel=2e-3) == FULL_POINTS_L_KG
