"""A chill after the rest that circulates or stirs: what is clear then, and the word on it.

Kind: law, unless a test says otherwise.
"""

import pytest

from wortline.science.swirl_choices import returned_after_rest

READING = {"wort_in": "96 C", "wort_out": "31 C", "wort": "5 L/min", "water": "9 L/min",
           "water_in": "14 C"}  # fmt: skip
CHILLERS = [
    {"name": "plate", "kind": "plate", "reading": READING},
    {"name": "coil", "kind": "immersion", "ua": "400 W/K", "stirred": "yes"},
    {"name": "quiet", "kind": "immersion", "ua": "400 W/K", "stirred": "no"},
]


def day_of(papers, **chill):
    return papers.but({"rig.chillers": CHILLERS, "recipe.chill": {"to": "22 C", **chill}}).plain()


def word(report):
    return [each for each in report["notes"] if each["code"] == "chill-clouds"]


def test_a_circulating_chill_clouds_the_rested_wort_again(papers):
    plan, report = day_of(papers, **{"with": "plate", "how": "circulate"})
    told = report["whirlpool"]
    assert told["clear_fraction_after_chill"] < told["clear_fraction"] - 0.05
    (note,) = word(report)
    assert note["severity"] == "warn" and "clouds again" in note["text"]
    assert f"{100 * told['clear_fraction_after_chill']:.0f} % of the solids" in note["text"]
    # Oracle of the wiring: the same return given to the model by hand.
    line, chill = plan.swirl, plan.day.hot.stretches["chill"]
    by_hand = returned_after_rest(line.kettle, 4.0, 18.0, 5.0, float(chill.minutes_min))
    assert told["clear_fraction_after_chill"] == pytest.approx(float(by_hand.clear_after))


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
