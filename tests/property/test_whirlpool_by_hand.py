"""The whirlpool where a law can be worked out by hand: cone, draw-off, courses, odd readings."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wortline.science.cone import cone_size_m, draw_off
from wortline.science.swirl_constants import SwirlConstants
from wortline.science.swirl_course import Course, even_steps_min, growing_steps_min
from wortline.science.swirl_kettle import SwirlKettle, body_of
from wortline.science.swirl_readings import COUNTED_MIN, fitted_to_readings
from wortline.science.swirl_solids import solids_in_wort
from wortline.science.turning import (
    Body,
    obstacle_torque_n_m,
    turns_per_min,
)
from wortline.science.whirlpool import run

USUAL = SwirlConstants()
BASE = SwirlKettle(0.36, 30.0, 10.0, 0.010, hops_free_kg=0.036)


def between(low, high):
    return st.floats(low, high)


few = settings(max_examples=12, deadline=None)


@few
@given(between(0.0, 8.0), between(5.0, 30.0), between(0.1, 0.3))
def test_the_cone_holds_its_volume(volume_l, angle, wall_m):
    """Balance: cone and what lies under it when it reaches the wall."""
    radius, height = cone_size_m(volume_l, angle, wall_m)
    heap = np.pi * radius**2 * radius * np.tan(np.radians(angle)) / 3.0
    under = np.pi * wall_m**2 * (height - radius * np.tan(np.radians(angle)))
    assert 1000.0 * (heap + under) == pytest.approx(volume_l, abs=1e-9)
    assert radius <= wall_m


def test_the_draw_off_line_is_the_highest_of_outlet_film_and_cone():
    """By hand: half the height of a cone of 0.9 L at 15 degrees, the outlet, or the film."""
    _, height = cone_size_m(0.9, 15.0, 0.18)
    low = draw_off(0.9, 0.18, 0.001, 4.0, 1000.0, USUAL)
    assert low.level_m == pytest.approx(0.5 * height)
    assert low.left_hot_l == pytest.approx(1000.0 * np.pi * 0.18**2 * 0.5 * height)
    assert low.to_outlet_m == pytest.approx(0.18 - low.cone_radius_m)
    high = draw_off(0.9, 0.18, 0.03, 4.0, 1000.0, USUAL)
    assert high.level_m == 0.03
    assert high.more_trub_share == 0.0
    assert high.tilted_l == pytest.approx(0.5)
    fast = draw_off(0.0, 0.18, 0.0, 8.0, 1000.0, USUAL)
    assert fast.level_m == pytest.approx(4.8e-3, abs=5e-5)
    # half a litre is 4.91 mm of this kettle: the cone above the new level comes along
    lower = 0.5 * height - 0.0005 / (np.pi * 0.18**2)
    assert low.more_trub_share == pytest.approx((1.0 - lower / height) ** 3)
    assert low.tilted_l == 0.0
    third = draw_off(0.9, 0.18, lower + 0.001, 4.0, 1000.0, replace(USUAL, cone_holds=0.4))
    assert third.tilted_l == pytest.approx(0.5)
    assert draw_off(0.9, 0.18, 0.0, 4.0, 1000.0, USUAL, 2.0).more_trub_share > low.more_trub_share


def test_half_a_litre_more_raises_the_solids_of_all_wort_drawn():
    """By hand: the share of the cone that comes along, over the litres drawn."""
    kettle = replace(BASE, hops_free_kg=0.2, outlet_m=0.005)
    done = run(kettle, 3.0)
    load = solids_in_wort(body_of(kettle), 30.0, 0.2, USUAL).load_mg_l
    cone_mg = np.sum(load * done.cone_by_class) * 30.0
    line = done.draw_off
    want = line.more_trub_share * cone_mg / (30.0 - line.left_hot_l + 0.5)
    assert line.more_trub_share > 0.1
    assert done.half_litre_more_mg_l == pytest.approx(want)


def test_the_bed_of_the_cone():
    """By hand: 9 L for each kg of hops, 6 L for each kg of break, by the share in the cone."""
    done = run(BASE, 3.0)
    cone = done.cone_by_class
    hops = 9.0 * 0.036 * (0.3 * cone[5] + 0.4 * cone[6] + 0.3 * cone[7])
    parts = 0.05 * cone[0] + 0.10 * cone[1] + 0.25 * cone[2] + 0.35 * cone[3] + 0.25 * cone[4]
    assert done.cone_cold_l == pytest.approx(hops + 6.0 * 0.0006 * 30.0 * parts)
    load = solids_in_wort(body_of(BASE), 30.0, 0.036, USUAL).load_mg_l
    assert np.sum(load[5:]) == pytest.approx(0.75 * 36000.0 / 30.0)
    assert np.sum(load[:5]) == pytest.approx(600.0)
    # volumes are cold: water of 961.90 kg/m3 at 95 C has 998.21 at 20 C (IAPWS-97)
    larger = 998.21 / 961.90
    assert done.left_cold_l == pytest.approx(done.draw_off.left_hot_l / larger, rel=5e-5)


def test_pump_minutes_are_the_larger_of_spin_up_and_turnover():
    done = run(replace(BASE, flow_l_min=np.array([5.0, 30.0])))
    assert done.turnover_min == pytest.approx([6.0, 1.0])
    assert done.pump_min[0] == 6.0
    assert done.spin_up_min[0] == pytest.approx(114 / 60, rel=0.02)
    slow = run(replace(BASE, flow_l_min=30.0, nozzle_m=0.06, loss_w=1.0))
    assert slow.spin_up_min > slow.turnover_min
    assert slow.pump_min == slow.spin_up_min
    still = run(replace(BASE, flow_l_min=0.0))
    assert (still.pump_min, still.turns_per_min_stop, still.turns_per_min_terminal) == (0, 0, 0)


def test_a_screen_on_the_floor_gathers_nothing():
    """Law: without a floor layer trub lies as it falls, a quarter within half the radius."""
    done = run(replace(BASE, floor_open=0.0), 3.0, 40.0)
    assert done.cone_share / (done.cone_share + done.dusted_share) == pytest.approx(0.25, abs=1e-9)


def test_readings_that_cannot_be_end_at_the_edge_and_say_how_far_off():
    found = fitted_to_readings(BASE, [20.0, 19.5, 19.0], 0.5, 3.0)
    assert found.constants.wall_drag == pytest.approx(0.2)
    assert found.turns_off > 1.3
    assert found.constants.floc_size == pytest.approx(4.0)
    assert found.clear_off > 1.3
    late = fitted_to_readings(BASE, [], 119.0, 3.0)
    assert 0.25 <= late.constants.floc_size < 0.6
    assert late.turns_off == 1.0
    quick = fitted_to_readings(BASE, [20.0, 0.2, 0.05], None, 3.0)
    assert quick.constants.wall_drag == pytest.approx(5.0)
    alone = fitted_to_readings(BASE, [15.0], None, 3.0)
    assert alone.constants.wall_drag == 1.0
    assert run(BASE, 3.0, constants=alone.constants).turns_per_min_stop == pytest.approx(15.0)


def test_reading_a_course_between_its_points():
    """By hand: straight between points, the ends beyond them; crossings straight in the log."""
    times = np.array([0.0, 1.0, 3.0])
    none = np.zeros((3, 8))
    course = Course(times, times, times, times, none, none)
    line = np.array([4.0, 2.0, 6.0])
    assert [course.at(when, line) for when in (-1.0, 0.5, 1.0, 2.0, 3.0, 9.0)] == [4, 3, 2, 4, 6, 6]
    assert course.below_one_min(np.array([8.0, 2.0, 0.5])) == pytest.approx(2.0)
    assert course.below_one_min(np.array([0.5, 2.0, 0.5])) == pytest.approx(2.0)
    assert course.below_one_min(np.array([2.0, 1.0, 0.5])) == pytest.approx(1.0)
    assert course.below_one_min(np.array([0.5, 0.4, 1.0])) == 0.0
    assert np.isnan(course.below_one_min(np.array([8.0, 0.5, 2.0])))
    assert course.below_one_min(np.array([3.0, 0.0, 0.0])) < 0.01


def test_steps_of_pump_and_rest():
    """Law: they fill the time; those of the rest grow by the same factor each, from a second."""
    even, growing = even_steps_min(3.0, ()), growing_steps_min(60.0, (2,))
    assert even == pytest.approx(np.full(30, 0.1))
    assert growing.shape == (75, 2)
    assert np.sum(growing, axis=0) == pytest.approx(60.0)
    assert growing[1:] / growing[:-1] == pytest.approx(1.075)


def test_wort_is_still_at_two_centimetres_a_second():
    """By hand: where trub settles at once, the wall speed 2 pi R n decides when the rest ends."""
    done = run(BASE, 3.0, constants=replace(USUAL, floc_size=4.0, clear_mg_l=900.0))
    turns = done.resting.at(done.rest_min, done.resting.turns_per_min)
    assert 2.0 * np.pi * 0.18 * turns / 60.0 == pytest.approx(0.02, rel=0.005)


def test_the_rest_begins_where_the_pump_stops():
    """Law: turning, clarity and cone go on without a jump."""
    done = run(BASE, 0.4)
    for name in ("turns_per_min", "clear_fraction", "suspended_mg_l", "cone_by_class"):
        before, after = (getattr(each, name) for each in (done.pumping, done.resting))
        assert after[0] == pytest.approx(before[-1], rel=1e-12)
    assert done.turns_per_min_stop == done.pumping.turns_per_min[-1]


def test_a_trickle_still_has_its_minutes():
    """Law: any flow at all turns the kettle over once, in volume over flow."""
    assert run(replace(BASE, flow_l_min=0.5)).pump_min == pytest.approx(60.0)


def test_drag_of_an_obstacle():
    """By hand: 1/2 x 1000 kg/m3 x (2 /s x 0.1 m)^2 x 1.2 x 0.01 m2 x 0.1 m."""
    body = Body(0.18, 0.3, 1000.0, 4e-7)
    assert obstacle_torque_n_m(2.0, body, 0.01, 0.1, 1.2) == pytest.approx(0.024)


def test_a_turn_a_second_is_sixty_a_minute():
    assert turns_per_min(2.0 * np.pi) == pytest.approx(60.0)


def test_what_a_kettle_is_taken_to_be():
    """Common practice, no source: wort at 95 C, 12 degP, 600 W, side outlet at 2 cm, 4 L/min."""
    usual = SwirlKettle(0.36, 30.0, 10.0, 0.010, 0.036)
    assert (usual.temp_c, usual.extract_plato, usual.loss_w) == (95.0, 12.0, 600.0)
    assert (usual.hop_bed_l_kg, usual.obstacle_m2, usual.floor_open) == (9.0, 0.0, 1.0)
    assert (usual.outlet_m, usual.draw_l_min) == (0.02, 4.0)


def test_the_pump_is_taken_to_have_run_three_minutes():
    """Common practice, no source; a slow kettle is not up to its rate by then."""
    slow = replace(BASE, nozzle_m=0.03)
    usual, said = (fitted_to_readings(slow, [8.0], **more) for more in ({}, {"pump_min": 3.0}))
    assert usual.constants.jet_share == said.constants.jet_share
    longer = fitted_to_readings(slow, [8.0], pump_min=3.15)
    assert longer.constants.jet_share < usual.constants.jet_share


def test_the_classes_of_solids():
    """Chosen by hand; common practice, no source: sizes as the page about the whirlpool says."""
    solids = solids_in_wort(body_of(BASE), 30.0, 0.036, replace(USUAL, floc_size=1.5))
    flocs = [30.0, 60.0, 120.0, 300.0, 750.0]
    assert 1e6 * solids.size_m == pytest.approx([*flocs, 250.0, 400.0, 800.0])


def test_readings_are_fitted_by_a_second_look_close_by():
    """Inverse: clear within a minute over a screen, where the first look is 7 % off."""
    kettle = SwirlKettle(0.40746, 15.36, 11.171, 0.0136, 0.01244, 61.753, 7.4474, 1752.85,
                         obstacle_m2=0.004, floor_open=0.0)  # fmt: skip
    truth = replace(USUAL, wall_drag=0.75624, jet_share=0.88013, floc_size=0.83302)
    done = run(kettle, 5.0, constants=truth, seen_min=120.0)
    resting = done.resting
    counted = [resting.at(when, resting.turns_per_min) for when in COUNTED_MIN]
    clear = resting.below_one_min(resting.suspended_mg_l / USUAL.clear_mg_l)
    found = fitted_to_readings(kettle, counted, clear, 5.0)
    assert found.constants.floc_size == pytest.approx(0.83302, rel=0.005)
    assert found.clear_off == pytest.approx(1.0, abs=0.01)


def test_readings_beyond_all_bounds_end_at_them():
    kettle = SwirlKettle(0.36, 30.0, 10.0, 0.010, 0.1)
    slow = fitted_to_readings(kettle, [20.0, 0.01], 0.02, 3.0)
    fast = fitted_to_readings(kettle, [20.0, 19.9], 5000.0, 3.0)
    assert slow.constants.wall_drag == pytest.approx(5.0, rel=1e-9)
    assert fast.constants.wall_drag == pytest.approx(0.2, rel=1e-9)
    assert slow.constants.floc_size == pytest.approx(4.0, rel=1e-9)
    assert fast.constants.floc_size == pytest.approx(0.25, rel=1e-9)
