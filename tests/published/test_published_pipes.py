"""Suction, heat doses and one pass through a chiller against published and worked-out values."""

import numpy as np
import pytest

from wortline.science import (
    exchanger,
    one_pass,
    pipe_flow,
    pump,
    sanitation,
    suction,
    viscosity,
    water,
)

CASES = "pipes.toml"


def test_published(case, agrees):
    agrees(case, suction, sanitation, exchanger, pipe_flow, viscosity)


def test_a_hot_slug_warms_the_cold_wort():
    """Derived, conservation of energy: the mean of 1.06 L at 95 C and 20 L at 18 C."""
    mixed_c = (1.06 * 95 + 20 * 18) / 21.06
    assert one_pass.slug_rise_dk(1.06, 95.0, 20.0, 18.0) == pytest.approx(mixed_c - 18)


def test_a_dead_headed_pump_heats_what_it_holds():
    """Law, first law: 60 s of 25 W in 0.12 L of water (0.1156 kg at 94 C) are 3.1 K."""
    rate = pump.dead_head_k_min(25.0, 0.12 * 0.9626)
    assert rate == pytest.approx(25 * 60 / (0.12 * 0.9626 * 4190), rel=1e-3)


def test_the_chiller_keeps_the_laws():
    """Law: out never below the water, colder with more UA or less wort, unchanged without UA."""
    ua = np.linspace(1.0, 5000.0, 60)
    out = one_pass.one_pass_outlet_c(98.0, 14.0, 6.0, 10.0, ua)
    assert np.all(np.diff(out) < 0)
    assert np.all(out > 14.0)
    assert one_pass.one_pass_outlet_c(98.0, 14.0, 6.0, 10.0, 1e-9) == pytest.approx(98.0)
    wort = np.linspace(1.0, 9.0, 30)
    assert np.all(np.diff(one_pass.one_pass_outlet_c(98.0, 14.0, wort, 10.0, 600.0)) > 0)


def test_both_sides_of_the_chiller_agree_with_the_mean_difference():
    """Law: heat lost, heat gained, and UA times the logarithmic mean difference are one number.

    Wort of 10 degP, 4.19 (1 - 0.0057 P) = 3.95 kJ/(kg K) (from memory), 1015 kg/m3 at 80 C; water
    of 999.2 kg/m3 and 4.19 kJ/(kg K) at 14 C.
    """
    for wort_l_min, water_l_min in ((6.0, 10.0), (9.0, 4.0)):
        out_c = one_pass.one_pass_outlet_c(98.0, 14.0, wort_l_min, water_l_min, 600.0)
        heat_w = wort_l_min / 60 * 1.015 * 3950 * (98.0 - out_c)
        warm_c = 14.0 + heat_w / (water_l_min / 60 * 0.9992 * 4190)
        hot_dk, cold_dk = 98.0 - warm_c, out_c - 14.0
        mean_dk = (hot_dk - cold_dk) / np.log(hot_dk / cold_dk)
        assert heat_w == pytest.approx(600.0 * mean_dk, rel=2e-3)


def test_arrays_are_as_scalars():
    temps = np.array([60.0, 77.0, 95.0])
    heads = suction.suction_head_available_m(temps, 101.325, 0.4, 0.1)
    doses = sanitation.lethality_a0(temps, 5.0)
    outs = one_pass.one_pass_outlet_c(temps, 14.0, 6.0, 10.0, 600.0)
    for index, temp in enumerate(temps):
        assert heads[index] == suction.suction_head_available_m(temp, 101.325, 0.4, 0.1)
        assert doses[index] == sanitation.lethality_a0(temp, 5.0)
        assert outs[index] == one_pass.one_pass_outlet_c(temp, 14.0, 6.0, 10.0, 600.0)
    flows = np.array([2.0, 8.0])
    depths = suction.submergence_m(flows, 0.0127)
    assert depths[1] == suction.submergence_m(8.0, 0.0127)
    assert pipe_flow.velocity_head_m(flows, 0.0127)[0] == pipe_flow.velocity_head_m(2.0, 0.0127)


def test_the_vortex_has_one_flow_and_one_depth():
    """Law: inverse of inverse; nothing may be drawn at a depth of less than one bore."""
    flows = np.linspace(0.5, 20.0, 40)
    depths = suction.submergence_m(flows, 0.0127)
    assert suction.vortex_flow_l_min(depths, 0.0127) == pytest.approx(flows)
    assert suction.vortex_flow_l_min(0.01, 0.0127) == 0.0


def test_wort_without_sugar_is_as_thick_as_water():
    """Published: water by IAPWS R12-08, from memory; the formula is good to some 10 % there."""
    for temp_c, water_mpa_s in ((20.0, 1.0016), (40.0, 0.653), (60.0, 0.466), (80.0, 0.354)):
        thin = viscosity.sugar_viscosity_mpa_s(temp_c, 0.0)
        assert thin == pytest.approx(water_mpa_s, rel=0.1)
        assert water.viscosity_mpa_s(temp_c) == pytest.approx(water_mpa_s, rel=2e-3)
