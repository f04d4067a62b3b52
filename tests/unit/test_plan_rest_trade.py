"""The knee of the rest and the advice: made-up curves whose knee is known beforehand.

Kind: law (the definition of the knee); the sentences are pinned by what they must name.
"""

from types import SimpleNamespace

import numpy as np
import pytest

from wortline.documents.words import Lid
from wortline.plan.rest_lines import RestWay
from wortline.plan.rest_trade import WayTrade, knee_min, rest_trade

RESTS = np.arange(0.0, 61.0)


def settling(tau_min, most=1.0):
    return most * (1.0 - np.exp(-RESTS / tau_min))


def way(
    clear=None,
    ibu=0.0,
    dms=0.0,
    clog=None,
    aroma=None,
    lid="off",
    pump_on_c=None,
    stand=0.0,
    pump=4.0,
):
    lines = SimpleNamespace(
        way=RestWay(Lid(lid), pump_on_c),
        stand_min=stand,
        pump_min=pump,
        ibu=30.0 + ibu * RESTS / 60.0,
        dms_ug_l=20.0 + dms * RESTS / 60.0,
        chilled_min=30.0 + stand + RESTS,
    )
    return WayTrade(lines, None, clear, None, None, clog)


@pytest.mark.parametrize("tau_min", [4.0, 9.0, 15.0])
def test_the_knee_of_a_settling_wort(tau_min):
    # (1 - exp(-5/tau)) exp(-t/tau) falls below 0.05 at t = tau ln((1 - exp(-5/tau)) / 0.05).
    exact = tau_min * np.log((1.0 - np.exp(-5.0 / tau_min)) / 0.05)
    knee = knee_min(RESTS, settling(tau_min))
    assert exact <= knee <= exact + 1.0


def test_no_knee_where_it_clears_to_the_end_or_nothing_is_known():
    assert knee_min(RESTS, RESTS / 60.0) is None
    assert knee_min(RESTS, None) is None
    assert knee_min(RESTS, np.full(61, np.nan)) is None
    assert knee_min(RESTS, np.full(61, 0.2)) == 0.0


def test_a_swirl_that_still_stirs_at_first_has_its_knee_behind_the_steep_part():
    clear = np.interp(RESTS, [0.0, 10.0, 20.0, 60.0], [0.0, 0.02, 0.8, 0.82])
    assert 15.0 < knee_min(RESTS, clear) <= 20.0


def test_a_rest_that_is_worth_it_says_what_it_costs_and_what_to_do():
    trade = rest_trade(RESTS, 18.0, (way(settling(9.0), ibu=24.0, clog=(4,) * 10 + (2,) * 51),))
    assert trade.worth == "worth"
    cost = 24.0 * trade.knee_min / 60.0
    assert f"{cost:+.1f} IBU" in trade.verdict
    assert "from 4 to 2" in trade.verdict and "by their shift" in trade.verdict
    assert trade.notes[0].code == "rest-knee" and trade.notes[0].text == trade.verdict


def test_dms_that_could_be_tasted_is_named():
    trade = rest_trade(RESTS, 18.0, (way(settling(9.0), dms=200.0),))
    assert "DMS could then be tasted" in trade.verdict
    assert "DMS could" not in rest_trade(RESTS, 18.0, (way(settling(9.0), dms=20.0),)).verdict


def test_not_worth_it_where_nothing_clears():
    trade = rest_trade(RESTS, 18.0, (way(settling(9.0, 0.08)),))
    assert trade.worth == "not worth"
    assert trade.verdict.startswith("For you, not worth it:")
    assert trade.notes[0].severity == "warn"


def test_not_worth_it_for_the_pump_where_nothing_can_clog():
    trade = rest_trade(RESTS, 18.0, (way(settling(9.0), ibu=6.0, clog=(1,) * 61),))
    assert trade.worth == "not worth"
    assert "the clog caution is 1 without any rest" in trade.verdict
    assert "clearer wort in the fermenter" in trade.verdict


def test_unpumped_wort_is_said_to_make_no_cone():
    unpumped = rest_trade(RESTS, 18.0, (way(settling(9.0), pump=0.0),))
    assert "makes no cone" in unpumped.verdict
    assert "cone" not in rest_trade(RESTS, 18.0, (way(settling(9.0)),)).verdict


def test_without_a_swirl_the_other_lines_still_stand():
    trade = rest_trade(RESTS, 18.0, (way(ibu=6.0), way(ibu=18.0, lid="on")))
    assert (trade.worth, trade.knee_min) == ("no data", None)
    (other,) = [note for note in trade.notes if note.code == "rest-otherwise"]
    assert "with the lid on: +3.6 IBU" in other.text


def test_a_planned_rest_off_the_knee_is_weighed_against_it():
    steep = settling(9.0)
    longer = rest_trade(RESTS, 45.0, (way(steep, ibu=12.0),))
    (past,) = [note for note in longer.notes if note.code == "rest-past-knee"]
    assert f"{45 - longer.knee_min:.0f} past the knee" in past.text
    assert f"{12.0 * (45 - longer.knee_min) / 60:+.1f} IBU" in past.text
    shorter = rest_trade(RESTS, 5.0, (way(steep, ibu=12.0),))
    (before,) = [note for note in shorter.notes if note.code == "rest-before-knee"]
    assert f"{100 * steep[5]:.0f} % of the solids are gone" in before.text
    near = rest_trade(RESTS, longer.knee_min + 2.0, (way(steep),))
    assert not [note for note in near.notes if "knee" in note.code and note.code != "rest-knee"]


def test_a_cooler_start_of_the_pump_says_how_long_it_waits():
    ways = (way(settling(9.0)), way(settling(9.0), pump_on_c=90.0, stand=11.0))
    (other,) = [note for note in rest_trade(RESTS, 18.0, ways).notes if note.code.endswith("wise")]
    assert "the pump on at 90.0 C" in other.text and "waits 11 min" in other.text
    assert "11 min later" in other.text


def test_ways_that_change_nothing_are_not_spoken_of():
    ways = (way(settling(9.0)), way(settling(9.0), ibu=0.5, lid="on"))
    assert not [note for note in rest_trade(RESTS, 18.0, ways).notes if note.code.endswith("wise")]
