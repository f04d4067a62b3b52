"""The timeline: named phases in order, no gap in time, and the moments of the doses on it.

Kind: law, unless a test says otherwise.
"""

import itertools
import math

import pytest

PHASES = ["fill", "heat", "mash", "lift", "to_boil", "boil", "whirlpool", "rest", "chill",
          "transfer", "pitch"]  # fmt: skip


def phase(report, name):
    return next(each for each in report["timeline"] if each["phase"] == name)


def temp_at(report, minute, last=False):
    """Temperature at a minute, straight between the points of the day's line."""
    time_min, temp_c = report["lines"]["time_min"], report["lines"]["temp_c"]
    for i in range(len(time_min) - 1):
        if time_min[i] <= minute <= time_min[i + 1] and time_min[i + 1] > time_min[i]:
            share = (minute - time_min[i]) / (time_min[i + 1] - time_min[i])
            return temp_c[i] + share * (temp_c[i + 1] - temp_c[i])
    raise AssertionError(minute)


def test_phases_in_order_without_a_gap(papers):
    report = papers.quick()
    assert [each["phase"] for each in report["timeline"]] == PHASES
    assert report["timeline"][0]["start_min"] == 0.0
    for before, after in itertools.pairwise(report["timeline"]):
        assert before["end_min"] == after["start_min"]
        assert before["end_min"] >= before["start_min"]


def test_phases_that_are_not_wanted_are_not_there(papers):
    plain = papers.but({"recipe.whirlpool": None, "recipe.hops.2.when": "heat-off"}).quick()
    assert [each["phase"] for each in plain["timeline"]] == [
        each for each in PHASES if each not in ("whirlpool", "rest")
    ]
    unpumped = papers.but({"recipe.whirlpool": {"rest": "18 min"}}).quick()
    assert "whirlpool" not in {each["phase"] for each in unpumped["timeline"]}


def test_two_mash_rests_are_heated_in_between(papers):
    rests = [{"at": "63 C", "for": "40 min"}, {"at": "72 C", "for": "20 min"}]
    report = papers.but({"recipe.mash.rests": rests}).quick()
    names = [each["phase"] for each in report["timeline"]][:5]
    assert names == ["fill", "heat", "mash", "heat", "mash"]
    second = report["timeline"][3]
    assert (second["start_c"], second["end_c"]) == (63.0, 72.0)
    # 9 K of about 30 kg at 2.85 kW: 9 x 4.18 x 32 / 2.85 / 60 s, less what is lost on the way.
    assert 6.0 < second["end_min"] - second["start_min"] < 9.0


def test_temperature_is_continuous_on_the_hot_side(papers):
    report = papers.quick()
    hot = report["timeline"][2:-1]
    for before, after in itertools.pairwise(hot):
        assert before["end_c"] == pytest.approx(after["start_c"], abs=1e-9), after["phase"]


def test_lengths_are_as_typed(papers):
    report = papers.quick()
    for name, minutes in (("mash", 60.0), ("boil", 60.0), ("whirlpool", 4.0), ("rest", 18.0)):
        each = phase(report, name)
        assert each["end_min"] - each["start_min"] == pytest.approx(minutes), name


def test_lines_lie_on_the_phases(papers):
    report = papers.quick()
    lines = report["lines"]
    count = len(lines["time_min"])
    assert lines["time_min"] == sorted(lines["time_min"])
    assert lines["time_min"][0] == 0.0
    assert lines["time_min"][-1] == report["timeline"][-1]["end_min"]
    assert all(len(lines[key]) == count for key in ("temp_c", "cold_l", "dms_ug_l"))
    assert all(len(dose["ibu"]) == count for dose in lines["doses"])
    assert [dose["id"] for dose in lines["doses"]] == ["d1", "d2", "d3", "malt"]


def test_lines_of_doses_end_at_their_totals(papers):
    report = papers.quick()
    totals = {dose["id"]: dose["total_ibu"] for dose in report["bitterness"]["doses"]}
    for dose in report["lines"]["doses"]:
        assert dose["ibu"][-1] == pytest.approx(totals[dose["id"]], rel=1e-9)
        assert all(each >= 0.0 for each in dose["ibu"])


def test_litres_go_from_nothing_to_the_batch(papers):
    lines = papers.quick()["lines"]
    assert lines["cold_l"][0] == 0.0
    assert lines["cold_l"][-1] == pytest.approx(23.0, abs=1e-9)


def in_min(papers, when, changes=None):
    report = papers.but({"recipe.hops.2.when": when} | (changes or {})).quick()
    return report, report["bitterness"]["doses"][2]["in_min"]


def test_minutes_before_heat_off_and_heat_off_itself(papers):
    for when, before_min in (("15 min", 15.0), ("heat-off", 0.0), ("0 min", 0.0)):
        report, at_min = in_min(papers, when)
        assert at_min == pytest.approx(phase(report, "boil")["end_min"] - before_min)


def test_first_wort_is_in_from_the_lift_on(papers):
    report, at_min = in_min(papers, "first wort")
    assert at_min == phase(report, "lift")["start_min"]


def test_into_rest_counts_from_the_stop_of_the_pump(papers):
    report, at_min = in_min(papers, "10 min into rest")
    assert at_min == pytest.approx(phase(report, "whirlpool")["end_min"] + 10.0)


def test_into_rest_counts_from_heat_off_without_pumping(papers):
    report, at_min = in_min(papers, "10 min into rest", {"recipe.whirlpool": {"rest": "18 min"}})
    assert at_min == pytest.approx(phase(report, "boil")["end_min"] + 10.0)


@pytest.mark.parametrize("below_c", [94.0, 91.3, 80.0, 40.0])
def test_below_is_the_first_moment_at_or_below(papers, below_c):
    report, at_min = in_min(papers, f"below {below_c} C")
    assert temp_at(report, at_min) == pytest.approx(below_c, abs=0.02)
    lines, start_min = report["lines"], phase(report, "rest")["start_min"]
    before_c = [
        temp_c
        for minute, temp_c in zip(lines["time_min"], lines["temp_c"], strict=True)
        if start_min <= minute < at_min
    ]
    assert min(before_c) > below_c - 0.02, "it was as cold as that earlier"
    assert phase(report, "rest")["start_min"] <= at_min <= phase(report, "chill")["end_min"]


def test_below_that_is_met_at_once_goes_in_when_the_rest_starts(papers):
    report, at_min = in_min(papers, "below 99.5 C")
    assert at_min == pytest.approx(phase(report, "rest")["start_min"])


def test_below_the_end_of_the_chill_itself_is_reached(papers):
    report, at_min = in_min(papers, "below 18 C")
    assert report["fits"]
    assert at_min == pytest.approx(phase(report, "chill")["end_min"])


def test_an_instant_chill_takes_no_time(papers):
    report, at_min = in_min(papers, "below 80 C", {"recipe.chill.at": "instant"})
    chill = phase(report, "chill")
    assert chill["end_min"] == chill["start_min"]
    assert chill["start_c"] > 80.0
    assert chill["end_c"] == 18.0
    assert at_min == pytest.approx(chill["start_min"])


def test_cautions_stand_on_their_phase(papers):
    """Kind: common practice, no source. A wet basket weighs grain, wort held and some dripping."""
    report = papers.but({"rig.kettle.brim": "36 L", "recipe.batch": "21 L"}).quick()
    said = {each["phase"]: " ".join(each["cautions"]) for each in report["timeline"]}
    assert "Mains near water" in said["fill"]
    assert "kg" in said["lift"] and "basket" in said["lift"]
    assert "boil over" in said["boil"] or "foams up" in said["boil"]
    assert "clamp" in said["to_boil"]
    assert "return arm" in said["whirlpool"]


def test_a_refused_day_prints_no_false_times(papers):
    """An element too weak to reach the boil: no number is printed for what never happens."""
    report = papers.but({"rig.element.power": "300 W", "rig.boil_off": "0.2 L/h"}).quick()
    assert not report["fits"]
    ends = [each["end_min"] for each in report["timeline"]]
    assert None in ends
    assert all(end is None or math.isfinite(end) for end in ends)
