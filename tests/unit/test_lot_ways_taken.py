"""A way that is taken: a step of the day, and a day that lands where its price said."""

import json

import pytest
from sheds import new_shed, read

from wortline.app import lot_report, ways
from wortline.lot import events as ev


@pytest.fixture
def shed():
    return new_shed()


def _boil_cut(shed, off_min, boiled_min):
    """The boil begins at 100; the cut is written down when somebody is back."""
    back_min = 100.0 + boiled_min + off_min
    change = ev.Change(boiled_min=boiled_min, off_min=off_min)
    shed.at(100, ev.PhaseBegun("boil"), ev.StepDone("boil/d1"))
    return shed.at(back_min, ev.Deviation("no power", "boil-cut", change=change))


def test_a_cut_counts_back_from_now_whoever_asks(shed):
    shed.at(100, ev.PhaseBegun("boil"), ev.StepDone("boil/d1")).at(116, ev.Noted("dark"))
    by_clock = ways.after_interruption(shed.standing(), 25.0, now_min=130.0)
    by_deck = ways.after_interruption(shed.standing(), 25.0, boiled_min=5.0, now_min=130.0)
    assert by_clock == by_deck
    assert by_clock["cut"]["boiled_min"] == 5.0
    before = ways.after_interruption(shed.standing(), 25.0, now_min=116.0)
    assert before["cut"]["boiled_min"] == 0.0


@pytest.mark.parametrize("off_min", [0.0, 5.0, 40.0, 600.0, 2880.0])
@pytest.mark.parametrize("boiled_min", [0.0, 16.0, 60.0])
def test_a_cut_on_record_leaves_only_numbers(shed, off_min, boiled_min):
    standing = _boil_cut(shed, off_min, boiled_min).standing()
    told = ways.after_interruption(standing, off_min, now_min=100.0 + boiled_min + off_min)
    text = json.dumps([told, ways.replanned(standing), ways.ways_of(standing)], allow_nan=False)
    assert "unknown" not in text
    assert "nan" not in text.lower().replace("finance", "")
    assert told["cut"]["boiled_min"] == boiled_min
    times = {row["phase"]: row for row in told["times"]}
    back_min = told["became"]["to_boil_min"]
    ends_min = 100.0 + 60.0 + off_min + back_min
    assert times["boil"]["ends_min"] == pytest.approx(ends_min, abs=1e-6)
    # how it stands has the gap in it, too, before any way is taken
    stands = {row["phase"]: row for row in ways.replanned(standing)["times"]}
    assert stands["boil"]["ends_min"] == pytest.approx(ends_min, abs=0.01)


def test_hops_in_earn_in_a_gap_what_the_day_then_has(shed):
    standing = _boil_cut(shed, 40.0, 30.0).standing()
    told = ways.after_interruption(standing, 40.0, now_min=170.0)
    nothing = told["ways"][0]
    after = ways.replanned(standing)["after"]
    assert after["ibu"] == pytest.approx(nothing["ibu"], abs=1e-6)
    assert after["ibu"] > ways.replanned(standing)["before"]["ibu"] + 0.5


@pytest.mark.parametrize(
    ("trouble", "code", "readings"),
    [
        ("gravity-low", "add-malt-extract", (29.89, 1.038)),
        ("gravity-low", "add-sugar", (29.89, 1.038)),
        ("gravity-low", "boil-longer", (29.89, 1.038)),
        ("gravity-high", "add-water", (27.0, 1.051)),
        ("gravity-high", "add-boiled-water", (27.0, 1.051)),
        ("gravity-high", "swap", (27.0, 1.051)),
        ("gravity-high", "boil-shorter", (29.89, 1.050)),
        ("volume-short", "add-water", (27.0, 1.044)),
        ("volume-short", "water-and-malt-extract", (27.0, 1.044)),
        ("volume-over", "boil-longer", (32.0, 1.044)),
        ("volume-over", "set-aside", (32.0, 1.044)),
        ("volume-over", "second-pot", (32.0, 1.044)),
    ],
)
def test_a_way_taken_is_a_step_and_lands_the_day_where_its_price_said(
    shed, trouble, code, readings
):
    shed.at(100, ev.PhaseBegun("to_boil"))
    shed.at(110, read("preboil", "volume", readings[0], "jug", 20.0))
    shed.at(111, read("preboil", "gravity", readings[1], "hydrometer", 20.0))
    before = {row["phase"]: row for row in ways.replanned(shed.standing())["times"]}
    way = shed.take(112, trouble, code)
    opened = shed.lot()
    (act,) = shed.acts
    assert (act.text, act.safety, act.phase) == (way["text"], way["safety"], way["phase"])
    assert opened.state.standing(act.id) in {"planned", "ready"}
    now = ways.replanned(shed.standing())
    for name, within in (("fermenter_l", 0.02), ("original_sg", 3e-5), ("ibu", 0.02)):
        assert now["after"][name] == pytest.approx(way[name], abs=within), name
    after = {row["phase"]: row for row in now["times"]}
    # a longer boil leaves less to chill; its minutes are those of the whole hot side
    phase = "chill" if code.startswith("boil") else "boil"
    moved_min = after[phase]["ends_min"] - before[phase]["ends_min"]
    assert moved_min == pytest.approx(way["minutes_min"], abs=0.1)


def test_heat_off_rings_later_for_a_boil_made_longer_with_no_server(shed):
    from wortline.lot.ahead import coming

    shed.at(100, ev.PhaseBegun("boil"))
    moments = {alarm.id: due_min for due_min, alarm in coming(shed.lot().state)}
    change = ev.Change(boil_min=12.0, wait_min=3.0)
    shed.at(101, ev.Deviation("longer", "gravity-low", "boil-longer", "boil", change=change))
    later = {alarm.id: due_min for due_min, alarm in coming(shed.lot().state)}
    assert later["boil/end"] == moments["boil/end"] + 15.0
    act = shed.acts[0].id
    shed.at(102, ev.Skipped(act))
    assert ways.replanned(shed.standing())["after"]["fermenter_l"] == pytest.approx(23.0, abs=0.05)


def test_what_was_read_after_the_water_went_in_has_it_in_it(shed):
    shed.at(100, ev.PhaseBegun("to_boil"))
    shed.at(110, read("preboil", "volume", 27.0, "jug", 20.0))
    shed.at(111, read("preboil", "gravity", 1.051, "hydrometer", 20.0))
    way = shed.take(112, "gravity-high", "add-water")
    act = shed.acts[0].id
    shed.at(113, ev.StepDone(act))
    poured_l = way["change"]["added_l"]
    promised = ways.replanned(shed.standing())["after"]
    shed.at(114, read("preboil", "volume", 27.0 + poured_l, "jug", 20.0))
    again = ways.replanned(shed.standing())["after"]
    assert again["fermenter_l"] == pytest.approx(promised["fermenter_l"], abs=0.02)


def test_after_heat_off_only_what_can_still_be_done_is_offered(shed):
    shed.at(100, ev.PhaseBegun("boil")).at(160, ev.PhaseEnded("boil"), ev.PhaseBegun("pitch"))
    shed.at(161, read("fermenter", "volume", 20.0, "mark", 20.0))
    shed.at(162, read("original", "gravity", 1.056, "hydrometer", 20.0))
    after = ways.replanned(shed.standing())["after"]
    assert (after["fermenter_l"], after["original_sg"]) == pytest.approx((20.0, 1.056), abs=1e-3)
    told = ways.ways_of(shed.standing(), "gravity-high")["troubles"][0]["ways"]
    assert {way["code"] for way in told} == {"nothing", "add-boiled-water", "swap"}
    way = shed.take(163, "gravity-high", "add-boiled-water")
    # 20 L of 56 points to 51.1: the extract stays, 20 * 56 / 51.1 = 21.9 L
    planned_sg = ways.replanned(shed.standing())["before"]["original_sg"]
    by_hand_l = 20.0 * 0.056 / (planned_sg - 1.0)
    assert way["fermenter_l"] == pytest.approx(by_hand_l, abs=0.1)
    assert ways.replanned(shed.standing())["after"]["fermenter_l"] == pytest.approx(
        by_hand_l, abs=0.1
    )


def test_a_cut_and_the_way_back_move_heat_off(shed):
    _boil_cut(shed, 40.0, 30.0)
    told = ways.after_interruption(shed.standing(), 40.0, now_min=170.0)
    whole = next(way for way in told["ways"] if way["code"] == "boil-whole")
    shed.at(171, ways.way_event("boil-cut", "boil-whole", told["ways"]))
    now = ways.replanned(shed.standing())
    boil = next(row for row in now["times"] if row["phase"] == "boil")
    back_min = told["became"]["to_boil_min"]
    assert boil["ends_min"] == pytest.approx(100.0 + 30.0 + 40.0 + back_min + 60.0, abs=0.1)
    assert now["after"]["ibu"] == pytest.approx(whole["ibu"], abs=0.05)
    assert now["after"]["fermenter_l"] == pytest.approx(whole["fermenter_l"], abs=0.02)
    (alarm,) = [
        row["due_min"]
        for row in lot_report.lot_report(shed.lot())["alarms"]
        if row["id"] == "boil/end"
    ]
    assert alarm == pytest.approx(boil["ends_min"], abs=0.1)


def test_a_shorter_boil_never_calls_more_bitterness_the_planned(shed):
    _boil_cut(shed, 600.0, 16.0)
    told = ways.after_interruption(shed.standing(), 600.0, now_min=716.0)
    shorter = next(way for way in told["ways"] if way["code"] == "boil-shorter")
    goal_ibu = ways.replanned(shed.standing())["before"]["ibu"]
    is_planned = abs(shorter["ibu"] - goal_ibu) < 0.5
    assert ("as bitter as planned" in shorter["text"]) == is_planned
    assert is_planned or f"{shorter['ibu']:.0f} IBU is as near as it gets" in shorter["text"]
