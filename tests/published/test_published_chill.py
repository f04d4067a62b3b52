"""Tap water, the flow of one pass, ice and fridge against printed and derived values."""

import numpy as np
import pytest

from wortline.science.chill_ways import best_flows_l_min, one_pass
from wortline.science.chiller import Batch, Chiller
from wortline.science.ice import fridge_min, ice_needed_kg
from wortline.science.mains_water import mains_water_burch_2007_c, middle_of_month

CASES = "chill.toml"
MONTHS = np.arange(1, 13)
# 20 L of wort at 1040 kg/m3 and 4.0 kJ/(kg K), its flows counted in the same litres, which here
# weigh 1015 kg/m3; the conductance does not change with the flow.
WORT = Batch(20.8 * 1015 / 1040, 4.0 * 1040 / 1015)
PLATES = Chiller(700.0, 6.0, 10.0, 6.0, 10.0, wort_share=0.0, water_share=0.0)


class Worked:
    """The functions of this project, asked as the worked examples put it."""

    @staticmethod
    def months_c(mean_c, range_dk):
        return mains_water_burch_2007_c(middle_of_month(MONTHS), mean_c, range_dk)

    @classmethod
    def coldest_and_warmest_c(cls, mean_c, range_dk):
        months_c = cls.months_c(mean_c, range_dk)
        assert (months_c.argmin(), months_c.argmax()) == (0, 6), "January and July"
        return [months_c.min(), months_c.max()]

    @staticmethod
    def pass_l_min(cold_c):
        return one_pass(PLATES, WORT, 98.0, 20.0, cold_c).wort_l_min

    @staticmethod
    def pass_min(cold_c):
        return one_pass(PLATES, WORT, 98.0, 20.0, cold_c).time_min

    @staticmethod
    def pass_water_l(cold_c):
        return one_pass(PLATES, WORT, 98.0, 20.0, cold_c).water_l

    @staticmethod
    def ice_to_18_kg(start_c):
        return ice_needed_kg(start_c, 18.0, 20.8 * 4.0)

    @staticmethod
    def five_degrees_min(cooling_w):
        return fridge_min(23.0, 18.0, 20.8 * 4.0, cooling_w)


def test_published(case, agrees):
    agrees(case, Worked)


def test_a_tap_of_25_c_does_not_make_20_c():
    """Published beside the others: impossible. There is no time for it then, and no water."""
    way = one_pass(PLATES, WORT, 98.0, 20.0, 25.0)
    assert np.isnan(way.time_min) and np.isnan(way.water_l)
    assert way.reached_c == way.lowest_c == pytest.approx(25.0, abs=0.02)


def test_the_formula_of_the_mains_point_by_point():
    """Published: Burch and Christensen (2007), worked by hand in degrees F at 44 F: r .4, lag 35.

    There the water swings about 50 F by .4 of half the range, coldest on day 50, a quarter of a
    year (90/.986 days) later at its mean; for every degree F above, r is .01 more and lag 1 less.
    """
    at_44 = (44.0 - 32.0) / 1.8
    quarter = 90.0 / 0.986
    coldest, rising, warmest = (
        mains_water_burch_2007_c(50.0 + turns * quarter, at_44, 20.0) for turns in (0, 1, 2)
    )
    assert coldest == pytest.approx(10.0 - 0.4 * 10.0, abs=1e-9)
    assert rising == pytest.approx(10.0, abs=1e-9)
    assert warmest == pytest.approx(14.0, abs=1e-9)
    south = mains_water_burch_2007_c(50.0, at_44, 20.0, south=True)
    assert south == pytest.approx(warmest)
    # 10 F warmer: r .5, lag 25.
    warmer = mains_water_burch_2007_c(40.0, at_44 + 10.0 / 1.8, 20.0)
    assert warmer == pytest.approx(10.0 + 10.0 / 1.8 - 5.0, abs=1e-9)
    # A pipe that freezes gives no water: 32 F is the least.
    assert mains_water_burch_2007_c(50.0, -5.0, 30.0) == 0.0


def test_the_middle_of_a_month():
    """The calendar: 15 January to 16 December are days 16 to 350, within 2 days."""
    middle = np.array([16, 45, 75, 105, 136, 166, 197, 228, 258, 289, 319, 350])
    assert np.abs(middle_of_month(MONTHS) - middle).max() <= 2.0
    assert middle_of_month(1) == pytest.approx(365 / 24)


def test_the_best_flow_leaves_the_wort_as_cold_as_wanted():
    wort, water = best_flows_l_min(PLATES, WORT, 98.0, 20.0, 10.0)
    assert water == 10.0 and wort < 6.0
