"""Laws: what flow, pumps, screens and exchangers must do whatever the numbers."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from wortline.science.chilling import circulated_c, circulated_unmixed_c, circulating_min
from wortline.science.exchanger import (
    ARRANGEMENTS,
    chill_w_k,
    effectiveness_counterflow,
    ntu_counterflow,
    single_pass,
    ua_at_flows_w_k,
)
from wortline.science.fittings import throttled_ball_valve_k
from wortline.science.friction import (
    FRICTION,
    friction_churchill_1977,
    friction_laminar,
    friction_swamee_jain_1976,
    regime_is_uncertain,
)
from wortline.science.pipe_flow import Segment, line_is_uncertain, line_loss_m
from wortline.science.pump import (
    PumpCurve,
    curve_at_speed,
    dead_head_k_min,
    pump_head_m,
    pumped_flow,
    throttling_k,
    unpumped_flow,
)
from wortline.science.screen import (
    free_share,
    mesh_k_idelchik_1966,
    mesh_segment,
)
from wortline.science.transfer import hold_up_l, lift_after_m, plug_min

settings.register_profile("flow", max_examples=60, deadline=None, derandomize=True)
flow_settings = settings.get_profile("flow")

segments = st.lists(
    st.builds(
        Segment,
        st.floats(0.006, 0.02),
        length_m=st.one_of(st.just(0.0), st.floats(0.1, 8.0)),
        k=st.floats(0.05, 20.0),
        roughness_m=st.sampled_from([0.0, 1.5e-6, 5e-5]),
    ),
    min_size=1,
    max_size=5,
)
curves = st.builds(PumpCurve, st.floats(0.5, 8.0), st.floats(5.0, 40.0), st.floats(1.2, 3.0))
lifts = st.floats(-1.5, 9.0)
viscosities = st.floats(2.8e-7, 3e-5)


@given(curves, segments, lifts, viscosities, st.floats(0.1, 50.0))
@flow_settings
def test_an_added_loss_lowers_the_flow(curve, line, lift_m, viscosity, k):
    assume(lift_m < 0.99 * curve.shut_off_m)
    before = pumped_flow(curve, line, lift_m, viscosity).flow_l_min
    after = pumped_flow(curve, [*line, Segment(0.01, k=k)], lift_m, viscosity).flow_l_min
    assert 0.0 < after < before


@given(curves, segments, lifts, viscosities, st.floats(1.01, 2.0))
@flow_settings
def test_a_stronger_pump_raises_the_flow(curve, line, lift_m, viscosity, factor):
    assume(-1.0 < lift_m < 0.99 * curve.shut_off_m)
    stronger = curve._replace(shut_off_m=curve.shut_off_m * factor)
    before = pumped_flow(curve, line, lift_m, viscosity).flow_l_min
    after = pumped_flow(stronger, line, lift_m, viscosity).flow_l_min
    # beyond the runout both only resist
    assume(before <= curve.runout_l_min)
    assert after > before


@given(curves, segments, lifts, viscosities)
@flow_settings
def test_energy_closes(curve, line, lift_m, viscosity):
    found = pumped_flow(curve, line, lift_m, viscosity).flow_l_min
    if lift_m > curve.shut_off_m:
        assert np.isnan(found)
        return
    # the root is good to 2e-12 of the bound; a loss rises no faster than its cube there
    taken_m = lift_m + line_loss_m(found, line, viscosity)
    assert pump_head_m(found, curve) == pytest.approx(taken_m, abs=1e-7)


@given(segments, st.floats(-2.0, 2.0), viscosities)
@flow_settings
def test_a_standing_pump_lets_it_run_downhill(line, drop_m, viscosity):
    found = unpumped_flow(line, drop_m, viscosity)
    assert np.sign(found.flow_l_min) == np.sign(drop_m)
    assert line_loss_m(found.flow_l_min, line, viscosity) == pytest.approx(drop_m, abs=1e-7)
    assert unpumped_flow(line, -drop_m, viscosity).flow_l_min == -found.flow_l_min


@given(curves, segments, lifts, viscosities)
@flow_settings
def test_the_range_is_there_where_it_is_uncertain(curve, line, lift_m, viscosity):
    assume(lift_m < curve.shut_off_m)
    found = pumped_flow(curve, line, lift_m, viscosity)
    slack = 1e-9 * curve.runout_l_min
    assert found.least_l_min - slack <= found.flow_l_min <= found.most_l_min + slack
    if not line_is_uncertain(found.flow_l_min, line, viscosity):
        assert found.least_l_min == found.most_l_min


@given(segments, st.floats(0.1, 30.0), viscosities)
@flow_settings
def test_the_order_of_a_line_and_its_cuts_do_not_matter(line, flow, viscosity):
    cut = [
        Segment(each.bore_m, each.length_m / 2, each.k / 2, each.roughness_m)
        for each in reversed(line)
        for _ in range(2)
    ]
    as_arrays = [
        Segment(np.array([each.bore_m]), each.length_m, each.k, each.roughness_m) for each in line
    ]
    whole = line_loss_m(flow, line, viscosity)
    assert line_loss_m(flow, cut, viscosity) == pytest.approx(whole, rel=1e-12)
    assert line_loss_m(flow, as_arrays, viscosity)[0] == pytest.approx(whole, rel=1e-12)
    assert line_loss_m(-flow, line, viscosity) == -whole


@given(curves, st.floats(0.3, 2.0), st.floats(0.0, 1.0))
@flow_settings
def test_affinity(curve, ratio, share):
    """Law: at n times the speed the flow is n times, the head n^2 times."""
    flow = share * curve.runout_l_min
    turned = curve_at_speed(curve, ratio)
    assert pump_head_m(ratio * flow, turned) == pytest.approx(
        ratio**2 * pump_head_m(flow, curve), abs=1e-12
    )
    # with fittings alone and no lift, the system scales alike
    line = [Segment(0.01, k=8.0)]
    slow = pumped_flow(curve, line, 0.0, 4e-7).flow_l_min
    assert pumped_flow(turned, line, 0.0, 4e-7).flow_l_min == pytest.approx(ratio * slow, rel=1e-9)


@given(curves, segments, st.floats(0.05, 0.95))
@flow_settings
def test_the_throttle_holds_the_flow(curve, line, share):
    full = pumped_flow(curve, line, 0.2, 4e-7).flow_l_min
    k = throttling_k(share * full, 0.0127, curve, line, 0.2, 4e-7)
    held = pumped_flow(curve, [*line, Segment(0.0127, k=k)], 0.2, 4e-7).flow_l_min
    assert held == pytest.approx(share * full, rel=1e-8)
    assert np.isnan(throttling_k(1.01 * full, 0.0127, curve, line, 0.2, 4e-7))


def test_no_flow_loses_nothing_and_a_lift_of_the_shut_off_head_gives_none():
    line = [Segment(0.01, 2.0, 1.0)]
    assert line_loss_m(0.0, line, 1e-6) == 0.0
    assert pumped_flow(PumpCurve(3.0, 20.0), line, 3.0, 1e-6).flow_l_min == 0.0
    assert unpumped_flow(line, 0.0, 1e-6).flow_l_min == 0.0


@given(st.floats(2000.0, 4000.0), st.floats(0.0, 0.01))
@flow_settings
def test_the_range_of_friction_contains_both_laws(number, roughness):
    low, high = FRICTION["least"](number, roughness), FRICTION["most"](number, roughness)
    turbulent = friction_swamee_jain_1976(number, roughness)
    assert low == friction_laminar(number) < turbulent <= high <= 1.001 * turbulent
    assert low <= friction_churchill_1977(number, roughness) <= high


@given(st.one_of(st.floats(1.0, 1999.9), st.floats(4000.1, 1e6)), st.floats(0.0, 0.01))
@flow_settings
def test_there_is_no_range_elsewhere(number, roughness):
    named = friction_churchill_1977(number, roughness)
    assert FRICTION["least"](number, roughness) == named == FRICTION["most"](number, roughness)
    assert not regime_is_uncertain(number)


def test_a_flow_is_uncertain_from_2000_to_4000():
    """White 2016, section 6.1: neither laminar nor turbulent for sure."""
    found = regime_is_uncertain(np.array([100.0, 1999.9, 2000.0, 3000.0, 4000.0, 4000.1]))
    assert found.tolist() == [False, False, True, True, True, False]


@given(st.floats(0.1, 0.9), st.floats(0.01, 0.98))
@flow_settings
def test_screens(share, blinded):
    assert mesh_k_idelchik_1966(1.0) == 0.0
    assert mesh_k_idelchik_1966(share * (1 - blinded)) > mesh_k_idelchik_1966(share)
    covered = line_loss_m(8.0, [mesh_segment(1e-3, share, blinded)], 4e-7)
    clean = line_loss_m(8.0, [mesh_segment(1e-3, share)], 4e-7)
    # A part covered and the rest clean is the least that covering costs (continuity).
    assert covered > clean / (1 - blinded) ** 2


def test_free_share_by_hand():
    assert free_share(3e-4, 1e-4) == pytest.approx(0.5625)


def test_a_shut_ball_valve_stops_it():
    shares = np.linspace(0.0, 0.99, 30)
    assert np.all(np.diff(throttled_ball_valve_k(shares)) > 0.0)
    assert np.isinf(throttled_ball_valve_k(1.0))


@given(st.floats(0.01, 8.0), st.floats(0.0, 1.0))
@flow_settings
def test_effectiveness_there_and_back(ntu, ratio):
    effectiveness = effectiveness_counterflow(ntu, ratio)
    assume(effectiveness < 1 - 1e-6)
    assert ntu_counterflow(effectiveness, ratio) == pytest.approx(ntu, rel=1e-6)
    least = ARRANGEMENTS["parallel"](ntu, ratio)
    assert least <= effectiveness + 1e-12
    most = ARRANGEMENTS["one side uniform"]
    assert effectiveness <= most(ntu, ratio) + 1e-12
    assert most(ntu, ratio) == most(ntu, 0.0)


powers = st.floats(50.0, 2000.0)


@given(powers, powers, powers, st.sampled_from(["counterflow", "parallel"]))
@flow_settings
def test_both_streams_carry_the_same_heat(ua, hot, cold, name):
    found = single_pass(96.0, 12.0, ua, hot, cold, ARRANGEMENTS[name])
    assert hot * (96.0 - found.hot_out_c) == pytest.approx(found.heat_w, rel=1e-9)
    assert cold * (found.cold_out_c - 12.0) == pytest.approx(found.heat_w, rel=1e-9)
    assert 12.0 <= found.hot_out_c <= 96.0
    assert 12.0 <= found.cold_out_c <= 96.0


def test_a_huge_exchanger_reaches_the_water_and_a_dry_one_does_nothing():
    assert single_pass(96.0, 12.0, 1e7, 300.0, 700.0).hot_out_c == pytest.approx(12.0, abs=1e-6)
    off = single_pass(96.0, 12.0, 700.0, 300.0, 0.0)
    assert off.hot_out_c == 96.0
    assert off.heat_w == 0.0
    assert np.isnan(off.cold_out_c)


@given(powers, st.floats(20.0, 200.0), st.floats(16.0, 90.0))
@flow_settings
def test_halving_the_distance_always_takes_as_long(chill, capacity, start_c):
    one = circulating_min(start_c, 15.0 + (start_c - 15.0) / 2, 15.0, capacity, chill)
    assert one == pytest.approx(np.log(2.0) * capacity / (0.06 * chill))
    assert circulated_c(start_c, 15.0, one, capacity, chill) - 15.0 == pytest.approx(
        (start_c - 15.0) / 2
    )
    assert circulating_min(start_c, start_c, 15.0, capacity, chill) == 0.0


def test_what_lies_below_the_water_is_never_reached():
    assert np.isinf(circulating_min(98.0, 20.0, 25.0, 85.0, 300.0))
    assert np.isinf(circulating_min(98.0, 15.05, 15.0, 85.0, 300.0, gain_w=30.0))


@given(st.integers(0, 6), st.floats(0.1, 0.9))
@flow_settings
def test_layers_are_ahead_of_the_mixture(turnovers, effect):
    hot, capacity = 400.0, 80.0
    minutes = turnovers * capacity / (0.06 * hot) * (1 + 1e-12)
    layered = circulated_unmixed_c(95.0, 15.0, minutes, capacity, effect * hot, hot)
    mixed = circulated_c(95.0, 15.0, minutes, capacity, effect * hot)
    assert layered <= mixed + 1e-9
    assert layered == pytest.approx(15.0 + 80.0 * (1 - effect) ** turnovers)


@given(st.floats(0.3, 3.0), st.floats(0.3, 3.0))
@flow_settings
def test_conductance_follows_the_flows(hot_ratio, cold_ratio):
    assert ua_at_flows_w_k(600.0, 1.0, 1.0, 0.4, 0.3) == pytest.approx(600.0)
    found = ua_at_flows_w_k(600.0, hot_ratio, cold_ratio, 0.4, 0.4)
    assert found < ua_at_flows_w_k(600.0, 1.1 * hot_ratio, cold_ratio, 0.4, 0.4)
    # half of the resistance on either side where nothing is said
    assert ua_at_flows_w_k(600.0, 2.0, 1.0) == pytest.approx(600.0 / (0.5 / 2**0.8 + 0.5))
    assert ua_at_flows_w_k(600.0, 1.0, 2.0) == pytest.approx(600.0 / (0.5 / 2**0.8 + 0.5))
    # never more than the wall alone lets through
    assert found < 600.0 / 0.2
    # all resistance on one side: h goes with q^0.8 (Dittus and Boelter)
    assert ua_at_flows_w_k(600.0, 2.0, cold_ratio, 1.0, 0.0) == pytest.approx(600.0 * 2**0.8)


def test_chill_is_bounded_by_the_smaller_stream():
    assert chill_w_k(1e9, 300.0, 700.0) == pytest.approx(300.0)
    assert chill_w_k(1e-3, 300.0, 700.0) == pytest.approx(1e-3, rel=1e-4)
    # a trickle, too, can give all its heat
    assert chill_w_k(1e9, 0.5, 700.0) == pytest.approx(0.5)


def test_a_closed_pump_by_its_energy():
    """Law: 25 W for a minute into 0.12 kg of water (4.19 kJ/(kg K)) and 0.14 kJ/K of pump."""
    assert dead_head_k_min(25.0, 0.12) == pytest.approx(25 * 60 / (0.12 * 4190))
    assert dead_head_k_min(25.0, 0.12, body_kj_k=0.14) == pytest.approx(1500 / 642.8)


def test_volumes_by_hand():
    assert hold_up_l(4.0, 0.0127) == pytest.approx(4.0 * 0.1266769, rel=1e-6)
    assert np.isnan(plug_min(0.5, 0.0))
    # 10 L out of 0.1 m2 is 10 cm, into 0.05 m2 another 20
    assert lift_after_m(-0.5, 10.0, 0.1) == pytest.approx(-0.4)
    assert lift_after_m(-0.5, 10.0, 0.1, 0.05) == pytest.approx(-0.2)


def test_a_laminar_flow_does_not_feel_the_wall():
    """Law, Hagen and Poiseuille: 64/Re, whatever the roughness."""
    assert friction_laminar(1000.0, 0.05) == friction_laminar(1000.0) == 0.064
