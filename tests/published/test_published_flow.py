"""Friction, fittings, pumps, screens and exchangers against printed and derived values."""

import numpy as np
import pytest

from wortline.science import (
    chilling,
    exchanger,
    fittings,
    friction,
    pipe_flow,
    pump,
    screen,
    transfer,
)
from wortline.science.pipe_flow import Segment

CASES = "flow.toml"

# A small magnetic-drive pump, and the hoses, barbs and arm of a worked example; K from the heads it
# prints for the three parts: 0.64, 1.72 and 0.68 m at 10.83 L/min of hot wort.
CURVE = pump.curve_of_three_points(3.8, 12.0, 2.9, 24.0, 0.6)
HOT_M2_S = 4.0e-7
HOSES = Segment(0.0127, length_m=2.7, k=1.58)
BARBS = Segment(0.010, k=6.4)
ARM = Segment(0.0095, k=2.06)
MESH_M2 = np.pi * 0.012 * 0.1

BTU_K_KJ = 1.05505585262 * 1.8
BTU_H_W = 1.05505585262e3 / 3600 * 1.8


class Worked:
    """The functions of this project, asked as the worked examples put it."""

    @staticmethod
    def fitting(name):
        return fittings.FITTINGS[name][:3]

    @staticmethod
    def smooth_mm(tube):
        return 1000.0 * Segment(0.01).roughness_m

    @staticmethod
    def example_pump_m(flow_l_min):
        return pump.pump_head_m(flow_l_min, CURVE)

    @staticmethod
    def blinded_l_min(blinded):
        mesh = screen.mesh_segment(MESH_M2, 0.45, blinded)
        return pump.pumped_flow(CURVE, (mesh, HOSES, BARBS, ARM), 0.0, HOT_M2_S).flow_l_min

    @staticmethod
    def example_chill(cold_c):
        # 20 L of wort at 4.0 kJ/(kg K), 6 L/min of it against 10 L/min of water, 700 W/K.
        hot = exchanger.stream_w_k(6.0, 1040.0, 4.0)
        cold = exchanger.stream_w_k(10.0, 998.0, 4.19)
        return hot, cold, exchanger.chill_w_k(700.0, hot, cold)

    @classmethod
    def circulating_min(cls, cold_c, wanted_c):
        *_, chill = cls.example_chill(cold_c)
        return chilling.circulating_min(98.0, wanted_c, cold_c, 20.8 * 4.0, chill)

    @classmethod
    def passed_c(cls, cold_c):
        hot, cold, _ = cls.example_chill(cold_c)
        return exchanger.single_pass(98.0, cold_c, 700.0, hot, cold).hot_out_c

    @staticmethod
    def prechilled_c(ua_w_k):
        stream = exchanger.stream_w_k(6.0, 997.0, 4.19)
        return exchanger.bath_out_c(25.0, 0.0, ua_w_k, stream)

    @staticmethod
    def external_exchanger_f(water_lb_h):
        """An oil-like batch of 50 000 lb, degrees F as if they were C: only differences count."""
        hot, cold = 0.5 * 25000.0 * BTU_H_W, water_lb_h * BTU_H_W
        chill = exchanger.chill_w_k(14500.0 * BTU_H_W, hot, cold)
        return chilling.circulated_c(250.0, 85.0, 300.0, 0.5 * 50000.0 * BTU_K_KJ, chill)

    @staticmethod
    def cooler_ntu():
        return exchanger.ntu_counterflow(40.0 / 70.0, 213.1 / 835.6)

    @staticmethod
    def cooler_out_c():
        return exchanger.single_pass(100.0, 30.0, 197.33, 213.1, 835.6).cold_out_c


def test_published(case, agrees):
    agrees(case, Worked, friction, pipe_flow, fittings, screen, transfer, exchanger)


def test_one_known_point_by_the_convention():
    """Published: EPANET 2 Users Manual, 3.2: 4/3 of the head at no flow, none at twice the flow."""
    curve = pump.curve_of_one_point(12.0, 2.4)
    found = pump.pump_head_m(np.array([0.0, 12.0, 24.0]), curve)
    np.testing.assert_allclose(found, [3.2, 2.4, 0.0], atol=1e-12)


def test_curves_go_through_their_points():
    """Law: what a curve was made from lies on it."""
    three = pump.curve_of_three_points(3.8, 12.0, 2.9, 24.0, 0.6)
    found = pump.pump_head_m(np.array([0.0, 12.0, 24.0]), three)
    np.testing.assert_allclose(found, [3.8, 2.9, 0.6], rtol=1e-12)
    two = pump.curve_of_two_points(3.8, 12.0, 2.9)
    assert pump.pump_head_m(12.0, two) == pytest.approx(2.9)


def test_a_curve_that_does_not_fall_is_none():
    assert np.isnan(pump.curve_of_three_points(3.8, 12.0, 3.9, 24.0, 0.6).runout_l_min)
    assert np.isnan(pump.curve_of_three_points(3.8, 12.0, 2.0, 24.0, 2.5).exponent)
    assert np.isnan(pump.curve_of_two_points(3.0, 12.0, 3.0).runout_l_min)


def test_fittings_lie_within_what_is_printed():
    for name, each in fittings.FITTINGS.items():
        assert 0.0 < each.least <= each.k <= each.most, name
        assert each.source
