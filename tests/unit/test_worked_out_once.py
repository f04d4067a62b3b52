"""What is worked out once is what would be worked out anew. Kind: law (the same sum, two ways)."""

from dataclasses import replace

import numpy as np
import pytest

from wortline.documents.words import Lid
from wortline.pictures.scale import TimeScale, ValueScale, time_scale
from wortline.plan.loss_curve import LossCurve, loss_curves
from wortline.plan.strength import attenuation
from wortline.plan.swirl_line import constants_of
from wortline.science.first_order import MANY, from_zero
from wortline.science.mash import attenuation_limit


@pytest.mark.parametrize("members", [(), (1,), (MANY - 1,), (MANY,), (2, MANY)])
def test_a_running_sum_is_the_same_for_few_and_many_members(members):
    added = np.random.default_rng(3).random((9, *members))
    found = from_zero(added)
    assert found.shape == (10, *members)
    assert not found[0].any()
    for step in range(1, 10):
        np.testing.assert_allclose(found[step], np.sum(added[:step], axis=0), rtol=1e-14)


def test_losses_are_read_between_the_points_of_their_table(papers):
    brew = papers.planned().plan.day.brew
    curve = loss_curves(brew).off
    cells = np.arange(5, 95)
    steam = curve.steam_kg_m2_min(cells.astype(float), brew.air)
    np.testing.assert_allclose(steam, curve.rows[0, 0, 5:95], rtol=1e-14)
    surface, wall = curve.heat_w_m2(cells + 0.25, brew.air)
    for row, found in ((1, surface), (2, wall)):
        between = 0.75 * curve.rows[0, row, 5:95] + 0.25 * curve.rows[0, row, 6:96]
        np.testing.assert_allclose(found, between, rtol=1e-12)
    on_grid = curve.heat_on_grid_w_m2(cells, brew.air)
    np.testing.assert_array_equal(on_grid, curve.heat_w_m2(cells.astype(float), brew.air))


def test_other_air_has_another_table_of_losses(papers):
    brew = papers.planned().plan.day.brew
    curves = loss_curves(brew)
    warmer = loss_curves(replace(brew, air=replace(brew.air, air_c=brew.air.air_c + 5.0)))
    assert np.all(warmer.off.rows[0, 1, 40:] < curves.off.rows[0, 1, 40:])
    again = loss_curves(brew)
    np.testing.assert_array_equal(again.off.rows, curves.off.rows)
    closed = Lid("on"), curves.closed
    opened = Lid("off"), curves.off
    for lid, expected in (closed, opened):
        found: LossCurve = curves.under(lid)
        np.testing.assert_array_equal(found.rows, expected.rows)


def test_the_limit_of_a_mash_follows_its_rests(papers):
    brew = papers.planned().plan.day.brew
    for at_c in (64.0, 70.0, 64.0):
        rests = tuple(replace(each, at_c=at_c) for each in brew.rests)
        expected = attenuation_limit([at_c] * len(rests), [each.for_min for each in rests])
        assert attenuation(replace(brew, rests=rests))[1] == pytest.approx(float(expected))


def test_a_fit_follows_its_readings(papers):
    day = papers.planned().plan
    assert day.swirl is not None
    gear, kettle = day.swirl.gear, day.swirl.kettle
    fits = [
        constants_of(replace(gear, turns_per_min=(turns, 5.0)), kettle, 4.0)[1]
        for turns in (20.0, 12.0, 20.0)
    ]
    first, other, again = (each.constants.jet_share for each in fits if each is not None)
    assert first > other
    assert again == first


def test_heights_of_a_curve_are_those_of_its_points():
    scale = ValueScale(10.0, 30.0, 200.0, 100.0)
    values = [-5.0, 10.0, 17.5, 30.0, 99.0]
    assert scale.heights(values) == [200.0, 200.0, 162.5, 100.0, 100.0]
    assert scale.heights(values) == [scale.y(each) for each in values]
    assert ValueScale(1.0, 1.0, 200.0, 100.0).heights([0.0, 2.0]) == [200.0, 200.0]


def test_minutes_of_one_pixel_stand_together():
    scale: TimeScale = time_scale(0.0, 100.0, None, 0.0, 100.0)
    minutes = (0.0, 0.4, 0.9, 1.0, 1.5, 7.0)
    expected = [range(3), range(3, 5), range(5, 6)]
    assert scale.pixels(minutes) == expected
    assert scale.pixels(minutes) == expected
    assert scale.pixels(list(minutes)) == expected
    assert scale.pixels(()) == []
