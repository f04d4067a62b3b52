"""Flow through whole lines against the EPANET engine (Darcy-Weisbach), through wntr."""

import numpy as np
import pytest

from wortline.science.friction import TURBULENT_ABOVE
from wortline.science.pipe_flow import (
    Segment,
    line_is_uncertain,
    line_loss_m,
    reynolds,
)
from wortline.science.pump import (
    PumpCurve,
    curve_at_speed,
    curve_of_one_point,
    curve_of_three_points,
    pumped_flow,
    unpumped_flow,
)

HOT_M2_S = 4.0e-7
"""Wort of 12 degP at 98 C, about."""

# A small magnetic-drive pump; common practice, no source.
POINTS = ((0.0, 3.8), (12.0, 2.9), (24.0, 0.6))
CURVE = curve_of_three_points(3.8, 12.0, 2.9, 24.0, 0.6)

SUCTION = Segment(0.0127, length_m=1.2, k=0.58)
DELIVERY = Segment(0.0127, length_m=1.5, k=1.0)
BARBS = Segment(0.010, length_m=0.2, k=5.0)
ARM = Segment(0.0095, length_m=0.15, k=1.3)
END = Segment(0.0127, length_m=0.3, k=1.0)
CLEAN_PLATES = Segment(0.0127, length_m=0.4, k=5.0)
CLOGGED_PLATES = Segment(0.008, length_m=0.1, k=14.0)
COUNTERFLOW = Segment(0.011, length_m=7.5, k=1.5)
HOSE = (SUCTION, BARBS, DELIVERY)


def numbers(flow_l_min, segments, viscosity_m2_s):
    return [reynolds(flow_l_min, each.bore_m, viscosity_m2_s) for each in segments]


LINE_UPS = {
    "whirlpool, chiller bypassed": ((*HOSE, ARM), 0.0, HOT_M2_S),
    "chill, clean plates": ((*HOSE, CLEAN_PLATES, ARM), 0.0, HOT_M2_S),
    "chill, partly clogged plates": ((*HOSE, CLOGGED_PLATES, ARM), 0.0, HOT_M2_S),
    "chill, counterflow": ((*HOSE, COUNTERFLOW, ARM), 0.0, HOT_M2_S),
    "transfer down, clean plates": ((*HOSE, CLEAN_PLATES, END), -0.6, HOT_M2_S),
    "transfer up, clogged plates": ((*HOSE, CLOGGED_PLATES, END), 0.5, HOT_M2_S),
    "whirlpool, wort at 20 C": ((*HOSE, ARM), 0.0, 1.42e-6),
    "counterflow, wort at 20 C": ((*HOSE, COUNTERFLOW, ARM), 0.0, 1.42e-6),
    "rough pipe": ((*HOSE, Segment(0.011, 7.5, 1.5, roughness_m=5e-5), ARM), 0.0, HOT_M2_S),
}


@pytest.mark.parametrize("name", LINE_UPS)
def test_turbulent(epanet, name):
    segments, lift_m, viscosity_m2_s = LINE_UPS[name]
    found = pumped_flow(CURVE, segments, lift_m, viscosity_m2_s)
    assert min(numbers(found.flow_l_min, segments, viscosity_m2_s)) > TURBULENT_ABOVE
    expected = epanet(segments, lift_m, viscosity_m2_s, POINTS).l_min
    assert found.flow_l_min == pytest.approx(expected, rel=1e-3)
    assert found.least_l_min == found.flow_l_min == found.most_l_min


def test_siphon_with_the_pump_off(epanet):
    segments = (*HOSE, CLOGGED_PLATES, END)
    found = unpumped_flow(segments, 0.6, HOT_M2_S).flow_l_min
    assert min(numbers(found, segments, HOT_M2_S)) > 4000
    assert found == pytest.approx(epanet(segments, -0.6, HOT_M2_S).l_min, rel=1e-3)


def test_slower_pump(epanet):
    segments = (*HOSE, ARM)
    found = pumped_flow(curve_at_speed(CURVE, 0.8), segments, 0.0, HOT_M2_S).flow_l_min
    expected = epanet(segments, 0.0, HOT_M2_S, POINTS, speed=0.8).l_min
    assert found == pytest.approx(expected, rel=1e-3)


def test_curve_of_one_point(epanet):
    segments = (*HOSE, ARM)
    found = pumped_flow(curve_of_one_point(12.0, 2.4), segments, 0.2, HOT_M2_S).flow_l_min
    expected = epanet(segments, 0.2, HOT_M2_S, [(12.0, 2.4)]).l_min
    assert found == pytest.approx(expected, rel=1e-3)


@pytest.mark.parametrize("viscosity_m2_s", [8e-6, 2e-5])
def test_laminar(epanet, viscosity_m2_s):
    segments = (Segment(0.010, length_m=4.0, k=1.5), Segment(0.008, length_m=2.0, k=2.0))
    found = pumped_flow(CURVE, segments, 1.0, viscosity_m2_s).flow_l_min
    assert max(numbers(found, segments, viscosity_m2_s)) < 2000
    expected = epanet(segments, 1.0, viscosity_m2_s, POINTS).l_min
    assert found == pytest.approx(expected, rel=1e-3)


def test_uncertain_has_a_range_that_contains_the_engine(epanet):
    segments = (Segment(0.010, length_m=4.0, k=1.5),)
    for viscosity_m2_s in (4.5e-6, 5.5e-6, 6.5e-6):
        found = pumped_flow(CURVE, segments, 1.0, viscosity_m2_s)
        assert line_is_uncertain(found.flow_l_min, segments, viscosity_m2_s)
        assert found.most_l_min > 1.01 * found.least_l_min
        expected = epanet(segments, 1.0, viscosity_m2_s, POINTS).l_min
        at_our_gravity = expected * np.sqrt(9.80665 / (32.2 * 0.3048))
        assert found.least_l_min <= at_our_gravity <= found.most_l_min
        assert found.least_l_min <= found.flow_l_min <= found.most_l_min


def test_roughness_reaches_the_engine_in_millimetres(epanet):
    """1.5e-6 m has to be written as 0.0015; some versions of the writer got this wrong."""
    written = epanet((*HOSE, ARM), 0.0, HOT_M2_S, POINTS).written
    row = next(line for line in written.splitlines() if line.split()[:1] == ["p0"])
    assert [float(text) for text in row.split()[3:7]] == pytest.approx([1.2, 12.7, 0.0015, 0.58])


def test_a_lift_above_the_shut_off_head_stops_both(epanet):
    segments = (*HOSE, END)
    assert np.isnan(pumped_flow(CURVE, segments, 4.0, HOT_M2_S).flow_l_min)
    stopped = PumpCurve(*CURVE)
    assert pumped_flow(stopped, segments, 3.8, HOT_M2_S).flow_l_min == 0.0
    assert line_loss_m(0.0, segments, HOT_M2_S) == 0.0
