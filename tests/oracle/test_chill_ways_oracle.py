"""The ways to chill against scipy's solvers and the library ht, ice by its energy."""

import numpy as np
import pytest
from ht.hx import effectiveness_from_NTU
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from wortline.science.chill_ways import best_flows_l_min, circulated, one_pass, two_stage
from wortline.science.chiller import Batch, Chiller, outlet_c, ua_of_reading_w_k
from wortline.science.ice import iced_around_c, iced_flowing_c

PLATES = Chiller(650.0, 5.0, 9.0, 6.0, 11.0)
COIL = Chiller(480.0, 1.0, 8.0, 1.0, 12.0, 0.8, 0.0, 0.3)
WORT = Batch(24.0, 3.93, 7.0)


def ua(chiller, wort_l_min, water_l_min):
    """Resistances in series, each side's by its flow."""
    n, wall = chiller.exponent, 1.0 - chiller.wort_share - chiller.water_share
    hot = chiller.wort_share * (chiller.wort_l_min / wort_l_min) ** n
    cold = chiller.water_share * (chiller.water_l_min / water_l_min) ** n
    return chiller.ua_w_k / (wall + hot + cold)


def capacity_rates(wort_l_min, water_l_min, water_c):
    # 1015 kg/m3 wort at 80 C and 4.19 kJ/(kg K) are this project's; the density of water is
    # Kell's, 999.25 at 14 C and 997.05 at 25 C (CRC Handbook, from memory).
    density = {14.0: 999.25, 25.0: 997.05}[water_c]
    return wort_l_min / 60 * 1015.0 * 3.93, water_l_min / 60 * density * 4.19


def passed(wort_l_min, water_l_min, water_c):
    """What ht lets pass per degree."""
    hot, cold = capacity_rates(wort_l_min, water_l_min, water_c)
    least, ratio = min(hot, cold), min(hot, cold) / max(hot, cold)
    ntu = ua(PLATES, wort_l_min, water_l_min) / least
    return least * effectiveness_from_NTU(ntu, ratio, subtype="counterflow"), hot


def test_outlet():
    for wort_l_min, water_l_min in ((5.0, 9.0), (2.0, 11.0), (6.0, 3.0)):
        chill, hot = passed(wort_l_min, water_l_min, 14.0)
        expected = 96.0 - chill / hot * 82.0
        found = outlet_c(PLATES, WORT, 96.0, 14.0, wort_l_min, water_l_min)
        assert found == pytest.approx(expected, abs=1e-3)


def cooled_min(start_c, wanted_c, capacity_kj_k, heat_w):
    """When a mixed kettle gets to a temperature, by its equation."""

    def there(_, temp_c):
        return temp_c[0] - wanted_c

    there.terminal = True
    run = solve_ivp(
        lambda _, temp_c: [-0.06 * heat_w(temp_c[0]) / capacity_kj_k],
        (0, 600), [start_c], events=there, rtol=1e-10, atol=1e-10,
    )  # fmt: skip
    return run.t_events[0][0]


@pytest.mark.parametrize("gain_w", [0.0, 25.0])
def test_circulating(gain_w):
    chill, _ = passed(6.0, 11.0, 14.0)
    capacity = 24.0 * 3.93 + 7.0
    minutes = cooled_min(98.0, 18.0, capacity, lambda temp_c: chill * (temp_c - 14.0) - gain_w)
    way = circulated(PLATES, WORT, 98.0, 18.0, 14.0, gain_w)
    assert way.time_min == pytest.approx(minutes, rel=1e-4)
    assert way.water_l == pytest.approx(11.0 * minutes, rel=1e-4)
    assert (way.reached_c, way.lowest_c) == pytest.approx((18.0, 14.0 + gain_w / chill), abs=1e-3)
    assert way.circulated_min == way.time_min and np.isnan(way.pass_c)
    assert (way.wort_l_min, way.water_l_min) == (6.0, 11.0)


def test_coil():
    """Its conductance grows with the water alone; the water warms up along it."""
    _, cold = capacity_rates(1.0, 12.0, 14.0)
    conductance = 480.0 / (0.7 + 0.3 * (8.0 / 12.0) ** 0.8)

    def heat_w(temp_c):
        return cold * (1.0 - np.exp(-conductance / cold)) * (temp_c - 14.0)

    minutes = cooled_min(98.0, 25.0, 24.0 * 3.93 + 7.0, heat_w)
    assert circulated(COIL, WORT, 98.0, 25.0, 14.0, coil=True).time_min == pytest.approx(
        minutes, rel=1e-4
    )


def test_best_flow_of_one_pass_by_brent():
    def too_warm(wort_l_min, water_l_min=11.0):
        chill, hot = passed(wort_l_min, water_l_min, 14.0)
        return 98.0 - chill / hot * 84.0 - wanted_c

    wanted_c = 20.0
    expected = brentq(too_warm, 1.0, 6.0)
    way = one_pass(PLATES, WORT, 98.0, 20.0, 14.0)
    assert way.wort_l_min == pytest.approx(expected, abs=1e-3)
    assert way.time_min == pytest.approx(24.0 / (expected * 1.015), rel=1e-3)
    assert way.water_l == pytest.approx(11.0 * way.time_min)
    assert way.reached_c == pytest.approx(20.0) and way.pass_c == 98.0
    assert way.circulated_min == 0.0
    # 40 C it makes at full flow: then water is spared.
    wanted_c = 40.0
    expected = brentq(lambda water: too_warm(6.0, water), 1.0, 11.0)
    wort, water = best_flows_l_min(PLATES, WORT, 98.0, 40.0, 14.0)
    assert (wort, water) == (6.0, pytest.approx(expected, abs=1e-3))
    # 97 C it makes on the least of water.
    assert best_flows_l_min(PLATES, WORT, 98.0, 97.0, 14.0) == (6.0, 1.0)
    # 15 C it does not make at all: the slowest wort, for the lowest there is.
    assert best_flows_l_min(PLATES, WORT, 98.0, 14.5, 14.0) == (1.0, 11.0)


def test_two_stages_are_the_one_and_then_the_other():
    first = circulated(PLATES, WORT, 98.0, 55.0, 14.0, 25.0)
    then = one_pass(PLATES, WORT, 55.0, 18.0, 14.0)
    way = two_stage(PLATES, WORT, 98.0, 55.0, 18.0, 14.0, 25.0)
    assert way.time_min == pytest.approx(first.time_min + then.time_min)
    assert way.water_l == pytest.approx(first.water_l + then.water_l)
    assert (way.circulated_min, way.pass_c) == (first.time_min, 55.0)
    assert (way.wort_l_min, way.water_l_min) == (then.wort_l_min, then.water_l_min)
    assert (way.reached_c, way.lowest_c) == (then.reached_c, then.lowest_c)


def test_reading_gives_its_conductance_back():
    """What a chiller of 700 W/K does at other capacity rates is 700 W/K when read."""
    for wort_l_min, water_l_min in ((5.0, 9.0), (6.0, 4.0)):
        chiller = Chiller(700.0, wort_l_min, water_l_min, wort_l_min, water_l_min)
        out = outlet_c(chiller, Batch(1.0), 96.0, 14.0, wort_l_min, water_l_min)
        found = ua_of_reading_w_k(96.0, out, wort_l_min, water_l_min, 14.0)
        assert found == pytest.approx(700.0)
    # 2 % more heat than the smaller stream could take is too much, 2 % less is not.
    water, wort = 4.0 / 60 * 999.25 * 4.19, 5.0 / 60 * 1015.0 * 3.95
    for share, possible in ((1.02, False), (0.98, True)):
        out = 96.0 - share * water * 82.0 / wort
        assert np.isnan(ua_of_reading_w_k(96.0, out, 5.0, 4.0, 14.0)) != possible
    # Less water than could carry the heat, and wort that got warmer: no conductance.
    assert np.isnan(ua_of_reading_w_k(96.0, 31.0, 5.0, 3.0, 14.0))
    assert np.isnan(ua_of_reading_w_k(96.0, 97.0, 5.0, 9.0, 14.0))
    assert ua_of_reading_w_k(96.0, 96.0, 5.0, 9.0, 14.0) == 0.0


def test_ice_by_its_energy():
    """334 kJ/kg to melt, 4.19 kJ/(kg K) to warm; what the wort loses the ice takes up."""
    capacity, ice = 88.0, 4.0
    flowing = iced_flowing_c(33.0, capacity, ice)
    assert capacity * (33.0 - flowing) == pytest.approx(ice * (334.0 + 4.19 * 10.0))
    around = iced_around_c(33.0, capacity, ice)
    assert capacity * (33.0 - around) == pytest.approx(ice * (334.0 + 4.19 * around))
    assert iced_around_c(33.0, capacity, 30.0) == iced_flowing_c(33.0, capacity, 30.0) == 0.0
