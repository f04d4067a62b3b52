"""Laws: lines of which part is colder, small pumps, short hoses and half-open throttles."""

import numpy as np
import pytest

from wortline.science.friction import friction_laminar
from wortline.science.pipe_flow import (
    Segment,
    kinematic_viscosity_m2_s,
    line_is_uncertain,
    line_loss_m,
    reynolds,
)
from wortline.science.pump import (
    PumpCurve,
    curve_of_three_points,
    curve_of_two_points,
    pump_head_m,
    pumped_flow,
    throttling_k,
)

BORE_M, HOT_M2_S = 0.0127, 4e-7


def test_water_at_20_c_has_the_published_kinematic_viscosity() -> None:
    # published: IAPWS-95 with SR6-08, water at 20 C: 1.0016 mPa s, 998.21 kg/m3, 1.0034e-6 m2/s
    assert kinematic_viscosity_m2_s(1.0016, 998.21) == pytest.approx(1.0034e-6, rel=1e-4)


def test_a_colder_stretch_loses_as_a_line_of_that_viscosity() -> None:
    # law: a segment k times as thick is a segment of a liquid k times as thick
    mixed = [Segment(BORE_M, 2.0), Segment(BORE_M, 3.0, thicker=4.0)]
    apart_m = line_loss_m(6.0, mixed[:1], HOT_M2_S) + line_loss_m(
        6.0, [Segment(BORE_M, 3.0)], 4.0 * HOT_M2_S
    )
    assert line_loss_m(6.0, mixed, HOT_M2_S) == pytest.approx(apart_m, rel=1e-12)


def test_a_laminar_stretch_loses_by_hagen_and_poiseuille() -> None:
    # law: h = 128 nu L Q / (pi g D^4), for a stretch four times as thick as the rest
    flow_l_min, thicker = 0.3, 4.0
    flow_m3_s = flow_l_min / 60_000.0
    expected_m = 128.0 * thicker * HOT_M2_S * 3.0 * flow_m3_s
    expected_m /= np.pi * 9.80665 * BORE_M**4
    assert reynolds(flow_l_min, BORE_M, thicker * HOT_M2_S) < 2000
    line = [Segment(BORE_M, 3.0, thicker=thicker)]
    assert line_loss_m(flow_l_min, line, HOT_M2_S, friction_laminar) == pytest.approx(
        expected_m, rel=1e-9
    )


@pytest.mark.parametrize(
    ("reynolds_number", "segment", "is_uncertain"),
    [
        # Reynolds number of the line; a colder stretch has a lower one
        (3000.0, Segment(BORE_M, 0.4), True),
        (3000.0, Segment(BORE_M, 0.4, thicker=2.0), False),
        (6000.0, Segment(BORE_M, 0.4, thicker=2.0), True),
        (3000.0, Segment(BORE_M, k=3.0), False),
    ],
)
def test_short_hoses_count_and_cold_ones_by_their_own_viscosity(
    reynolds_number: float, segment: Segment, is_uncertain: bool
) -> None:
    flow_l_min = reynolds_number / float(reynolds(1.0, BORE_M, HOT_M2_S))
    assert bool(line_is_uncertain(flow_l_min, [segment], HOT_M2_S)) is is_uncertain


def test_a_pump_of_which_nothing_else_is_known_has_a_parabola() -> None:
    # law: H0 (1 - (Q/Q0)^2): three quarters of the head at half the flow
    assert pump_head_m(10.0, PumpCurve(4.0, 20.0)) == pytest.approx(3.0, rel=1e-12)


def test_a_trickling_pump_has_a_curve_too() -> None:
    two = curve_of_two_points(1.0, 0.5, 0.5)
    assert pump_head_m(0.5, two) == pytest.approx(0.5, rel=1e-9)
    three = curve_of_three_points(1.0, 0.5, 0.9, 0.9, 0.4)
    assert pump_head_m(0.5, three) == pytest.approx(0.9, rel=1e-9)
    assert pump_head_m(0.9, three) == pytest.approx(0.4, rel=1e-9)


@pytest.mark.parametrize("share", [0.98, 0.995])
def test_a_throttle_that_hardly_throttles_is_still_one(share: float) -> None:
    # inverse of inverse: the flow with the throttle in the line is the flow wanted
    curve, line = PumpCurve(3.0, 20.0), [Segment(BORE_M, 3.0, k=5.0)]
    wanted_l_min = share * float(pumped_flow(curve, line, 0.2, HOT_M2_S).flow_l_min)
    k = float(throttling_k(wanted_l_min, BORE_M, curve, line, 0.2, HOT_M2_S))
    assert 0.0 < k < 1.0
    throttled = [*line, Segment(BORE_M, k=k)]
    found = pumped_flow(curve, throttled, 0.2, HOT_M2_S).flow_l_min
    assert found == pytest.approx(wanted_l_min, rel=1e-6)
