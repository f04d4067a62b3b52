"""A chill after the rest that circulates or stirs: what is clear then, and the word on it.

Kind: law, unless a test says otherwise.
"""

import numpy as np
import pytest

from wortline.science.swirl_course import Setting
from wortline.science.whirlpool import USUAL

READING = {"wort_in": "96 C", "wort_out": "31 C", "wort": "5 L/min", "water": "9 L/min",
           "water_in": "14 C"}  # fmt: skip
CHILLERS = [
    {"name": "plate", "kind": "plate", "reading": READING},
    {"name": "coil", "kind": "immersion", "ua": "400 W/K", "stirred": "yes"},
    {"name": "quiet", "kind": "immersion", "ua": "400 W/K", "stirred": "no"},
]


def day_of(papers, **chill):
    return papers.but({"rig.chillers": CHILLERS, "recipe.chill": {"to": "22 C", **chill}}).plain()


def clear_by_small_steps(kettle, *pieces):
    """Share of the solids out of the wort after pieces of (minutes, flow), in steps of 1 s.

    The plan takes a few dozen steps that grow; nothing of its clock is used here.
    """
    setting = Setting.of(kettle, USUAL)
    trub, turning = setting.start, 0.0
    for minutes, flow_l_min in pieces:
        steps = np.full(round(60 * minutes), minutes / round(60 * minutes))
        course, trub, turning = setting.passed(trub, turning, steps, flow_l_min)
    return float(course.clear_fraction[-1])


def word(report):
    return [each for each in report["notes"] if each["code"] == "chill-clouds"]


def test_a_circulating_chill_clouds_the_rested_wort_again(papers):
    plan, report = day_of(papers, **{"with": "plate", "how": "circulate"})
    told = report["whirlpool"]
    assert told["clear_fraction_after_chill"] < told["clear_fraction"] - 0.05
    (note,) = word(report)
    assert note["severity"] == "warn" and "clouds again" in note["text"]
    assert f"{100 * told['clear_fraction_after_chill']:.0f} % of the solids" in note["text"]
    minutes = float(plan.day.hot.stretches["chill"].minutes_min)
    kettle = plan.swirl.kettle
    fine = clear_by_small_steps(kettle, (4.0, kettle.flow_l_min), (18.0, 0.0), (minutes, 5.0))
    assert told["clear_fraction_after_chill"] == pytest.approx(fine, abs=0.003)


def test_of_two_stages_the_first_alone_circulates(papers):
    plan, report = day_of(papers, **{"with": "plate", "how": "two-stage", "switch_at": "60 C"})
    clouded, chill = plan.clouded, plan.day.hot.stretches["chill"]
    assert 0.0 < clouded.minutes_min < float(chill.minutes_min)
    assert report["whirlpool"]["clear_fraction_after_chill"] == clouded.clear_after
    assert len(word(report)) == 1


def test_one_pass_or_a_still_coil_leaves_it_as_it_was(papers):
    for chill in ({"with": "plate", "how": "one-pass"}, {"with": "quiet"}):
        plan, report = day_of(papers, **chill)
        told = report["whirlpool"]
        assert plan.clouded is None and not word(report)
        assert told["clear_fraction_after_chill"] == told["clear_fraction"]


def test_of_a_stirred_coil_nobody_knows_how_much_it_lifts(papers):
    _, report = day_of(papers, **{"with": "coil"})
    assert report["whirlpool"]["clear_fraction_after_chill"] is None
    (note,) = word(report)
    assert note["severity"] == "warn" and "no data" in note["text"]
