"""The reduced law of spin-down against the solved flow, with the differences.

The stored runs were made on a grid by `axisymmetric_swirl.py`, which says with which command; a
coarser run made here shows that they are what it gives. The constants 0.75 and 1.8 of the law were
fitted to such runs, at depths of one and two radii: at those this guards the code. Independent of
the fit are the core, the torques, and half a radius.
"""

import tomllib
from pathlib import Path

import numpy as np
import pytest
from axisymmetric_swirl import EARLY, TIMES, kettle, spun_down
from fluids.friction import friction_factor
from scipy.integrate import solve_ivp

from wortline.science.bottom_layer import laminar_inflow_l_min
from wortline.science.turning import (
    Body,
    bulk_inertia_kg_m2,
    floor_torque_n_m,
    laminar_torque_n_m,
    laminar_turning_left,
    linear_spin_down_min,
    side_torque_n_m,
)

STORED = tomllib.loads((Path(__file__).parent / "swirl_solver.toml").read_text(encoding="utf-8"))
RUNS = {(run["re"], run["depth_over_radius"]): run for run in STORED["run"]}
TURNING = 0.5
"""First rate of a body of water, 0.2 m across, that stands for a run."""


def body_of(re, depth):
    return Body(0.1, 0.1 * depth, 960.0, TURNING * 0.1**2 / re)


def law(re, depth, times):
    body = body_of(re, depth)
    after = np.array(times) * linear_spin_down_min(TURNING, body)
    return laminar_turning_left(after, TURNING, body)


# What the law gives over what is solved, less 1, at a quarter, a half, one, two and four times
# depth / sqrt(viscosity x first rate). Measured; the law is no better than this.
OFF = {
    (5000.0, 0.5): [0.046, 0.045, 0.064, 0.092, 0.303],
    (5000.0, 1.0): [-0.046, -0.054, -0.043, -0.052, 0.115],
    (5000.0, 2.0): [-0.075, -0.096, -0.175, -0.201, -0.016],
    (10000.0, 1.0): [0.031, 0.033, 0.013, -0.002, 0.046],
    (1000.0, 1.0): [0.095, 0.055, 0.050, 0.206, 0.920],
}


@pytest.mark.parametrize("which", OFF, ids=str)
def test_law_of_spin_down(which):
    solved = RUNS[which]["momentum"]
    off = law(*which, TIMES[1:]) / solved[1:] - 1
    np.testing.assert_allclose(off, OFF[which], atol=0.001)


def test_half_a_radius_deep_was_no_part_of_the_fit():
    """Until one spin-down time the law is within 7 % there."""
    off = law(5000.0, 0.5, TIMES[1:4]) / RUNS[5000.0, 0.5]["momentum"][1:4] - 1
    assert np.max(np.abs(off)) < 0.07


@pytest.mark.parametrize("which", [w for w in RUNS if w[0] < 1e4], ids=str)
def test_core_slows_as_under_the_layer_of_boedewadt(which):
    """dOm/dt = -1.3494 sqrt(nu) Om^1.5 / H, before what the side has slowed gets there.

    In place of 1.3494 the mean of five moments gives 1.47, 1.47, 1.33 and 1.32: nearer where one
    spin-down time holds more turns. Waves of the start are on top: single moments are up to 27 %
    off.
    """
    rates = 2 * (np.array(RUNS[which]["core"]) ** -0.5 - 1) / np.array(EARLY)
    assert np.mean(rates) == pytest.approx(1.3494, rel=0.10)


@pytest.mark.parametrize("which", RUNS, ids=str)
def test_side_brakes_twice_to_thrice_the_depth_over_radius_as_much_as_the_floor(which):
    """Solved, laminar: 2.1 to 2.5; the turbulent friction of the model: 2.75 depth over radius."""
    solved = RUNS[which]["side_over_floor"] / which[1]
    assert 2.0 < solved < 2.6
    body = body_of(5e4, which[1])
    modelled = side_torque_n_m(TURNING, body) / floor_torque_n_m(TURNING, body) / which[1]
    assert modelled == pytest.approx(2.75, rel=0.01)
    # Both brake more by the side: turbulent friction by at most a third more than laminar.
    assert 1.05 < modelled / solved < 1.34


@pytest.mark.parametrize("which", RUNS, ids=str)
def test_inflow_is_one_to_two_times_that_of_an_undisturbed_layer(which):
    """At 0.4 radii, mean from a tenth to one spin-down time; 1.2 flat, 2.0 in a deep kettle."""
    assert 1.1 < RUNS[which]["inflow_over_layer"] < 2.0
    body = body_of(*which)
    # Boedewadt (1940), from memory: what rises far above the floor.
    upward = 1.3494 * np.sqrt(body.viscosity_m2_s * TURNING)
    litres = laminar_inflow_l_min(TURNING, body.viscosity_m2_s, 0.04)
    assert litres == pytest.approx(6e4 * np.pi * 0.04**2 * upward, rel=1e-9)


@pytest.mark.parametrize(
    ("which", "cells", "within", "torque_off"),
    [((1000.0, 1.0), (32, 48), 0.003, -0.0019), ((5000.0, 0.5), (44, 52), 0.02, 0.0188)],
)
def test_stored_runs_are_what_the_solver_gives(which, cells, within, torque_off):
    """The coarser grid is off by what is written here, measured; finer ones close in on it."""
    found, stored = spun_down(*which, cells, until=1.0), RUNS[which]
    np.testing.assert_allclose(found["momentum"], stored["momentum"][:4], rtol=within)
    np.testing.assert_allclose(found["core"], stored["core"], rtol=2 * within)
    off = found["side_over_floor"] / stored["side_over_floor"] - 1
    assert off == pytest.approx(torque_off, abs=0.0005)


def test_stored_runs_lose_what_their_walls_take():
    for run in STORED["run"]:
        assert run["torque_over_loss"] == pytest.approx(1.0, abs=0.003)


def test_law_is_spin_down_under_its_torque():
    body = body_of(8000.0, 1.3)

    def slope(_, y):
        return [-laminar_torque_n_m(y[0], body) / bulk_inertia_kg_m2(body)]

    seconds = 60 * linear_spin_down_min(TURNING, body) * np.array(TIMES)
    times = {"t_eval": seconds, "rtol": 1e-10, "atol": 1e-14}
    found = solve_ivp(slope, (0, seconds[-1]), [TURNING], **times).y[0] / TURNING
    np.testing.assert_allclose(law(8000.0, 1.3, TIMES), found, rtol=1e-7)


@pytest.mark.parametrize("re", [3e4, 1e5, 3e5])
def test_side_friction_is_that_of_a_smooth_pipe_and_a_quarter_more(re):
    """The pipe by `fluids` (Colebrook); the quarter for the concave wall is chosen, no source."""
    body = body_of(re, 1.2)
    wall = TURNING * 0.1
    darcy = friction_factor(Re=2 * re, eD=0.0)
    stress = darcy / 8 * body.density_kg_m3 * wall**2
    torque = stress * 2 * np.pi * 0.1 * body.depth_m * 0.1
    assert side_torque_n_m(TURNING, body) == pytest.approx(1.25 * torque, rel=0.04)


def test_a_ring_of_thrust_leaves_the_core_behind():
    """Driven at 0.75 to 0.9 radii without turbulence, the body does not turn as one.

    The reduced model says that it does; only the mixing of a real jet can make it true. The thrust
    is what the law takes at rate 1. Solved with finer cells for four spin-down times, the mean rate
    comes to 0.79 of that and the core to 0.28 (Reynolds 1000), 0.71 and 0.15 (Reynolds 5000).
    """
    re, depth = 1000.0, 1.0
    body = body_of(re, depth)
    per_turn = TURNING**2 * bulk_inertia_kg_m2(body)
    rate = laminar_torque_n_m(TURNING, body) / per_turn
    swirl = kettle(re, depth, (24, 32))
    ring = ((swirl.rc > 0.75) & (swirl.rc < 0.9))[:, None]
    share = (swirl.rc * swirl.dr)[:, None] * swirl.dz * ring
    swirl.driven = rate * depth / 4 / np.sum(share) * ring
    swirl.gamma[:] = 0.0
    record = swirl.run(2.2 * np.sqrt(re))
    assert 0.65 < record.momentum[-1] < 0.85
    assert 0.1 < record.core[-1] < 0.5 * record.momentum[-1]
    taken = -(record.floor_torque[-1] + record.side_torque[-1])
    assert taken == pytest.approx(rate, rel=0.1)
