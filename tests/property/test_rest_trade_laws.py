"""The trade of the rest against single days worked out one by one, and laws that must hold.

Kind: law, unless a test says otherwise.
"""

from dataclasses import replace

import numpy as np
import pytest

from wortline.documents.words import Lid
from wortline.plan.brew_day import brew_day
from wortline.plan.loss_curve import loss_curves
from wortline.plan.rest_lines import (
    RestWay,
    lines_of_ways,
    rest_lengths_min,
    stand_min,
    under_lid,
    with_rest,
)
from wortline.plan.rest_report import trade_of
from wortline.plan.swirl_line import swirl_line
from wortline.units import say

OFF, ON = Lid("off"), Lid("on")
# Days of other lengths cut their rest into other steps: the same within what a step costs.
STEPS = 1e-3


@pytest.fixture(scope="module")
def rested(papers):
    """The test recipe with its planned rest, and the lines of three ways of holding it."""
    plan = papers.planned().plan
    curves = loss_curves(plan.fitted.case.central)
    rests_min = rest_lengths_min(float(plan.day.brew.rest_min))
    ways = [RestWay(OFF), RestWay(ON), RestWay(OFF, 90.0), RestWay(OFF, 20.0)]
    return plan, curves, rests_min, lines_of_ways(plan.fitted, curves, rests_min, ways)


def test_the_lengths_hold_the_planned_rest_and_none(rested):
    for planned_min in (0.0, 7.3, 18.0, 45.0, 120.0):
        rests_min = rest_lengths_min(planned_min)
        assert rests_min[0] == 0.0 and planned_min in rests_min
        assert rests_min[-1] >= max(60.0, 2.0 * planned_min)
        assert (np.diff(rests_min) > 0.0).all()


def test_at_the_planned_rest_the_trade_is_the_plan(rested):
    plan, _, rests_min, lines = rested
    here = int(np.flatnonzero(rests_min == float(plan.day.brew.rest_min))[0])
    first = lines[0]
    assert first.ibu[here] == pytest.approx(float(plan.day.ibu), rel=STEPS)
    assert first.dms_ug_l[here] == pytest.approx(float(plan.day.dms.beer_ug_l), rel=STEPS)
    assert first.rest_end_c[here] == pytest.approx(
        float(plan.day.hot.stretches["rest"].ends_c[-1]), abs=0.01
    )
    assert first.chilled_min[here] == pytest.approx(
        float(plan.day.hot.end_min - plan.day.hot.heat_off_min), rel=STEPS
    )
    index = plan.day.aroma.index_g_l
    assert first.aroma_g_l[here] == pytest.approx(index[np.isfinite(index)].sum(), rel=STEPS)
    for mine, dose_ibu in zip(first.dose_ibu, plan.day.dose_ibu, strict=True):
        assert mine[here] == pytest.approx(float(dose_ibu), rel=STEPS)


@pytest.mark.parametrize("rest_min", [0.0, 5.0, 23.0, 60.0])
@pytest.mark.parametrize("number", [0, 1])
def test_every_rest_is_the_day_with_that_rest(rested, number, rest_min):
    plan, curves, rests_min, lines = rested
    mine = lines[number]
    brew = with_rest(under_lid(plan.day.brew, mine.way.lid), rest_min)
    alone = brew_day(brew, curves, plan.day.volumes.water_l, plan.day.method)
    here = int(np.flatnonzero(rests_min == rest_min)[0])
    assert mine.ibu[here] == pytest.approx(float(alone.ibu), rel=STEPS)
    assert mine.dms_ug_l[here] == pytest.approx(float(alone.dms.beer_ug_l), rel=STEPS)
    assert mine.rest_end_c[here] == pytest.approx(
        float(alone.hot.stretches["rest"].ends_c[-1]), abs=0.01
    )


def test_a_way_that_never_comes_about_is_left_out(rested):
    plan, curves, _, lines = rested
    assert [each.way.pump_on_c for each in lines] == [None, None, 90.0]
    assert np.isnan(stand_min(plan.fitted, curves, RestWay(OFF, 20.0)))


def test_the_pump_goes_on_when_the_wort_is_as_cool_as_asked(rested):
    plan, curves, _, lines = rested
    stood = lines[2].stand_min
    assert stand_min(plan.fitted, curves, RestWay(OFF, 100.5)) == 0.0
    # Standing for as long, without any pump, the same kettle has just come down to 90 C.
    brew = replace(plan.day.brew, pump_min=0.0, rest_min=stood)
    alone = brew_day(brew, curves, plan.day.volumes.water_l, plan.day.method)
    assert float(alone.hot.stretches["rest"].ends_c[-1]) == pytest.approx(90.0, abs=0.05)
    assert lines[2].chilled_min[0] > lines[0].chilled_min[0] + 0.5 * stood


def test_lid_off_cools_faster_and_rest_cools(rested):
    _, _, _, lines = rested
    assert (lines[0].rest_end_c[1:] < lines[1].rest_end_c[1:]).all()
    assert lines[0].rest_end_c[0] < lines[1].rest_end_c[0], "while it is pumped too"
    for each in lines:
        assert (np.diff(each.rest_end_c) < 0.0).all()
        assert (np.diff(each.chilled_min) > 0.0).all()


def test_more_rest_is_more_bitter_and_most_so_under_a_lid(rested):
    plan, _, rests_min, lines = rested
    into = max(
        (dose.when.into_min for dose in plan.day.brew.doses if hasattr(dose.when, "into_min")),
        default=0.0,
    )
    later = rests_min >= into
    for each in lines:
        assert (np.diff(each.ibu[later]) > 0.0).all()
    gained = [each.ibu[-1] - each.ibu[later][0] for each in lines]
    assert gained[1] > gained[0]


def test_dms_grows_in_a_lidded_rest_of_pale_malt(rested):
    # Hot wort under a lid goes on splitting precursor and lets none of it go.
    _, _, _, lines = rested
    assert (np.diff(lines[1].dms_ug_l) > 0.0).all()
    assert (lines[1].dms_ug_l >= lines[0].dms_ug_l).all()


def test_a_chill_that_never_gets_there_has_no_time(papers):
    chill = {"day.tap": "27 C", "recipe.chill.to": "20 C"}
    plan = papers.but(chill).plain()[0]
    curves = loss_curves(plan.fitted.case.central)
    (line,) = lines_of_ways(plan.fitted, curves, np.array([0.0, 15.0]), [RestWay(OFF)])
    assert np.isnan(line.chilled_min).all()
    # The other lines do not need the chill to end.
    assert np.isfinite(line.rest_end_c).all()


def test_how_long_it_will_stand_does_not_change_how_it_turns_and_clears(papers):
    """One spin-down: nothing before a moment knows how long the rest goes on after it."""
    plan = papers.but({"recipe.hops.2.when": "heat-off"}).plain()[0]
    curves = loss_curves(plan.fitted.case.central)
    found = {}
    for rest_min in (5.0, 15.0, 60.0, 720.0):
        brew = with_rest(plan.day.brew, rest_min)
        # The same water for all: a longer rest takes more only because more of it steams away.
        day = brew_day(brew, curves, plan.day.volumes.water_l, plan.day.method)
        line = swirl_line(day, curves)
        found[rest_min] = (
            line.turns_per_min[0],
            line.moments[0].clear_fraction,
            line.headlines["whirlpool.rest_min"],
        )
    assert found[5.0] == pytest.approx(found[15.0], rel=1e-9)
    assert found[60.0] == pytest.approx(found[15.0], rel=1e-9)
    # Looked at for twelve times as long, the steps in time are longer.
    assert found[720.0][:2] == pytest.approx(found[15.0][:2], rel=1e-9)
    assert found[720.0][2] == pytest.approx(found[15.0][2], rel=0.02)


def test_a_very_long_rest_leaves_the_first_hour_its_points():
    rests_min = rest_lengths_min(720.0)
    assert 720.0 in rests_min and rests_min[-1] < 1000.0
    assert (rests_min <= 60.0).sum() > 25


def test_where_a_dose_moves_from_the_chill_into_the_rest_is_said(papers):
    plan = papers.but({"recipe.hops.2.when": "below 85 C"}).plain()[0]
    trade = trade_of(plan, 90.0, say)
    (told,) = [each.text for each in trade.notes if each.code == "rest-dose-moves"]
    line = trade.ways[0].lines
    from_min = next(
        at for at, end_c in zip(trade.rest_min, line.rest_end_c, strict=True) if end_c <= 85.0
    )
    assert f"a rest of {from_min:.0f} min and more" in told
    plain = trade_of(papers.plain()[0], 90.0, say)
    assert not [each for each in plain.notes if each.code == "rest-dose-moves"]
