"""Exchangers against the library ht, batches and volumes against scipy's solvers."""

import numpy as np
import pytest
from ht.hx import NTU_from_effectiveness, effectiveness_from_NTU
from scipy.integrate import solve_ivp

from wortline.science.chilling import circulated_c, circulated_unmixed_c, circulating_min
from wortline.science.exchanger import (
    bath_out_c,
    chill_w_k,
    effectiveness_counterflow,
    effectiveness_one_side_uniform,
    effectiveness_parallel,
    ntu_counterflow,
    single_pass,
)
from wortline.science.pipe_flow import Segment
from wortline.science.pump import curve_of_three_points, pumped_flow, unpumped_flow
from wortline.science.transfer import lift_after_m, moving_min

RATIOS = [0.0, 1e-9, 0.1, 0.25, 0.5, 0.75, 0.99, 1.0]
NTUS = [0.05, 0.5, 1.0, 2.0, 3.0, 5.0]


@pytest.mark.parametrize("ratio", RATIOS)
@pytest.mark.parametrize("ntu", NTUS)
def test_effectiveness(ntu, ratio):
    against = effectiveness_from_NTU(ntu, ratio, subtype="counterflow")
    along = effectiveness_from_NTU(ntu, ratio, subtype="parallel")
    assert effectiveness_counterflow(ntu, ratio) == pytest.approx(against, rel=1e-9)
    assert effectiveness_parallel(ntu, ratio) == pytest.approx(along, rel=1e-9)
    if ratio == 0.0:
        assert effectiveness_one_side_uniform(ntu) == pytest.approx(against, rel=1e-9)


@pytest.mark.parametrize("ratio", [0.0, 0.1, 0.25, 0.5, 0.75, 1.0])
@pytest.mark.parametrize("effectiveness", [0.1, 0.4, 0.8, 0.95])
def test_number_of_transfer_units(effectiveness, ratio):
    expected = NTU_from_effectiveness(effectiveness, ratio, subtype="counterflow")
    assert ntu_counterflow(effectiveness, ratio) == pytest.approx(expected, rel=1e-9)


def along_the_plates(hot_c, cold_c, ua_w_k, hot_w_k, cold_w_k):
    """Both streams of a counterflow exchanger, its length integrated, its far end found."""

    def near_end_c(cold_out_c):
        def slope(_, temps_c):
            passed = ua_w_k * (temps_c[0] - temps_c[1])
            return [-passed / hot_w_k, -passed / cold_w_k]

        return solve_ivp(slope, (0, 1), [hot_c, cold_out_c], rtol=1e-10, atol=1e-10).y[:, -1]

    # what enters at the far end depends linearly on what leaves at the near one
    low, high = near_end_c(cold_c)[1], near_end_c(hot_c)[1]
    cold_out_c = cold_c + (hot_c - cold_c) * (cold_c - low) / (high - low)
    return near_end_c(cold_out_c)[0], cold_out_c


@pytest.mark.parametrize(("hot_w_k", "cold_w_k"), [(416.0, 698.0), (600.0, 300.0), (400.0, 400.0)])
def test_single_pass_against_the_equations_along_it(hot_w_k, cold_w_k):
    expected = along_the_plates(97.0, 14.0, 650.0, hot_w_k, cold_w_k)
    found = single_pass(97.0, 14.0, 650.0, hot_w_k, cold_w_k)
    assert (found.hot_out_c, found.cold_out_c) == pytest.approx(expected, rel=1e-7)


def kettle_c(minutes, start_c, capacity_kj_k, heat_w):
    """A mixed kettle that loses `heat_w` at its temperature."""

    def slope(_, temp_c):
        return [-0.06 * heat_w(temp_c[0]) / capacity_kj_k]

    return solve_ivp(slope, (0, minutes), [start_c], rtol=1e-10, atol=1e-10).y[0, -1]


@pytest.mark.parametrize("gain_w", [0.0, 35.0])
def test_circulated_kettle(gain_w):
    ua, hot, cold, capacity = 650.0, 416.0, 698.0, 88.0

    def heat_w(temp_c):
        return hot * (temp_c - single_pass(temp_c, 14.0, ua, hot, cold).hot_out_c) - gain_w

    expected = kettle_c(9.0, 97.0, capacity, heat_w)
    chill = chill_w_k(ua, hot, cold)
    assert circulated_c(97.0, 14.0, 9.0, capacity, chill, gain_w) == pytest.approx(expected)
    assert circulating_min(97.0, expected, 14.0, capacity, chill, gain_w) == pytest.approx(9.0)


def test_immersion_coil():
    """The water in the coil integrated along it, the kettle in time."""
    ua, cold, capacity = 480.0, 690.0, 85.0

    def heat_w(temp_c):
        leaves = solve_ivp(
            lambda _, water: [ua / cold * (temp_c - water[0])], (0, 1), [12.0], rtol=1e-9, atol=1e-9
        ).y[0, -1]
        return cold * (leaves - 12.0)

    chill = chill_w_k(ua, 1e9, cold, effectiveness_one_side_uniform)
    expected = kettle_c(15.0, 98.0, capacity, heat_w)
    assert circulated_c(98.0, 12.0, 15.0, capacity, chill) == pytest.approx(expected, rel=1e-6)


def test_coil_in_a_stirred_bath():
    ua, stream = 310.0, 420.0
    expected = solve_ivp(
        lambda _, temp_c: [-ua / stream * (temp_c[0] - 0.5)], (0, 1), [26.0], rtol=1e-10, atol=1e-10
    ).y[0, -1]
    assert bath_out_c(26.0, 0.5, ua, stream) == pytest.approx(expected, rel=1e-8)


def test_layered_kettle_by_moving_plugs():
    """A hundred plugs leave at the bottom, pass the chiller and are laid on top."""
    hot, chill, capacity = 420.0, 250.0, 84.0
    plugs = [95.0] * 100
    step_min = capacity / 100 / (0.06 * hot)
    drawn = []
    for _ in range(350):
        drawn.append(plugs[0])
        plugs = [*plugs[1:], plugs[0] - chill / hot * (plugs[0] - 15.0)]
    minutes = (np.arange(350) + 0.5) * step_min
    found = circulated_unmixed_c(95.0, 15.0, minutes, capacity, chill, hot)
    np.testing.assert_allclose(found, drawn, rtol=1e-10)


LINE = (Segment(0.0127, length_m=2.5, k=3.0), Segment(0.010, k=5.0))
CURVE = curve_of_three_points(3.8, 12.0, 2.9, 24.0, 0.6)


@pytest.mark.parametrize("sink_m2", [np.inf, 0.07])
def test_moving_a_volume_by_pump(sink_m2):
    source_m2, viscosity = 0.1, 4e-7

    def flow_after(moved_l):
        lift_m = lift_after_m(3.0, moved_l, source_m2, sink_m2)
        return pumped_flow(CURVE, LINE, lift_m, viscosity).flow_l_min

    def arrived(_, moved_l):
        return moved_l[0] - 20.0

    arrived.terminal = True
    run = solve_ivp(
        lambda _, moved_l: [flow_after(moved_l[0])], (0, 60), [0.0], events=arrived, rtol=1e-8,
        atol=1e-8,
    )  # fmt: skip
    assert moving_min(20.0, flow_after) == pytest.approx(run.t_events[0][0], rel=1e-6)


def test_moving_a_volume_by_siphon_down_to_the_end():
    """Law, Torricelli: with K alone the time is A/a sqrt(2 K/g) (sqrt(h0) - sqrt(h1))."""
    area_m2, bore_m, k = 0.1, 0.0127, 8.0
    line = (Segment(bore_m, k=k),)
    hole_m2 = np.pi / 4 * bore_m**2
    for low_m in (0.0, 0.05):

        def flow_after(moved_l):
            drop_m = -lift_after_m(-0.25, moved_l, area_m2)
            return unpumped_flow(line, drop_m, 4e-7).flow_l_min

        high_m = 0.25
        factor = area_m2 / hole_m2 * np.sqrt(2 * k / 9.80665)
        expected = factor * (np.sqrt(high_m) - np.sqrt(low_m)) / 60
        moved_l = area_m2 * (high_m - low_m) * 1000
        assert moving_min(moved_l, flow_after) == pytest.approx(expected, rel=1e-6)


def test_a_volume_that_cannot_be_moved():
    def flow_after(moved_l):
        lift_m = lift_after_m(3.75, moved_l, 0.1)
        return pumped_flow(CURVE, LINE, lift_m, 4e-7).flow_l_min

    assert np.isnan(moving_min(20.0, flow_after))
