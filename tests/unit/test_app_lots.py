"""A lot from its start to its end, over a store in memory and a clock that is turned by hand."""

import itertools
import json
import re

import pytest
from sheds import EXAMPLES, Shed, new_shed, read

from wortline.app import lot_report, ways
from wortline.app.files import File
from wortline.app.keeping import keep as keep_document
from wortline.app.lots import (
    deck_of,
    entries_after,
    file_name,
    keep,
    record,
    start_lot,
    take_text,
    text_of,
)
from wortline.errors import RecordRefused
from wortline.lot import events as ev
from wortline.lot.events import Entry, Steady
from wortline.lot.paper import blanks, written
from wortline.lot.record import entry_values
from wortline.lot.text import read_text
from wortline.lot.ways_day import Facts


@pytest.fixture
def shed():
    return new_shed()


def test_a_lot_starts_once_with_its_frozen_day(shed):
    assert shed.opened.title == "Lot 1: Rainday Pale"
    assert shed.opened.lot.entries == 1
    again = start_lot(shed.lots, shed.documents, shed.watch, 1, 2, 3, id=shed.opened.lot.id)
    assert again.lot.number == 1
    assert again.lot.entries == 1
    deck = deck_of(shed.lots, 1)
    assert deck["schema"] == "deck/1"
    assert deck["tables"]["schema"] == "tables/1"
    json.dumps(deck, allow_nan=False)


def test_a_plan_that_does_not_fit_starts_no_lot(shed):
    path = EXAMPLES / "rainday-pale.yaml"
    text = path.read_text(encoding="utf-8").replace("batch: 23 L", "batch: 90 L")
    assert text != path.read_text(encoding="utf-8")
    kept = keep_document(shed.documents, File("big.yaml", text.encode()))
    with pytest.raises(RecordRefused, match="does not fit, so no lot starts"):
        start_lot(shed.lots, shed.documents, shed.watch, kept.number, 2, 3)


def test_a_bad_entry_is_refused_alone(shed):
    good = Entry("g1", "phone", 1, 5, 0, Steady("s", 1.0), ev.PumpSet(True))
    bad = {**entry_values(good), "id": "b1", "event": {"kind": "pump", "on": "yes"}}
    answers = keep(shed.lots, shed.watch, 1, [bad, entry_values(good), 7, {"schema": "lot/9"}])
    assert [each.what for each in answers] == ["refused", "kept", "refused", "refused"]
    assert answers[0].id == "b1"
    assert "neither true nor false" in answers[0].why
    assert "newer Wortline" in answers[3].why
    with pytest.raises(RecordRefused, match="at most 500"):
        keep(shed.lots, shed.watch, 1, [entry_values(good)] * 501)


def test_a_second_device_gets_what_it_has_not_seen(shed):
    shed.at(1, ev.PhaseBegun("fill"), ev.PumpSet(True))
    later = entries_after(shed.lots, 1, after=2)
    assert [each["number"] for each in later] == [3]
    assert later[0]["event"] == {"kind": "pump", "on": True}


def test_the_report_sets_fact_beside_plan(shed):
    shed.at(0, ev.PhaseBegun("fill")).at(7, ev.PhaseBegun("heat")).at(60, ev.PhaseBegun("mash"))
    shed.at(62, read("mash", "temperature", 66.4, "thermometer"))
    report = lot_report.lot_report(shed.lot())
    rows = {row["id"]: row for row in report["phases"]}
    assert rows["fill"]["lasted_min"] == 7.0
    assert rows["fill"]["planned_min"] == pytest.approx(4.4, abs=0.1)
    assert rows["heat"]["lasted_min"] == 53.0
    (reading,) = report["readings"]
    assert (reading["counts"], reading["planned"]) == (66.4, 66.0)
    assert report["phase"] == "mash"
    assert report["events"][-1]["words"] == "Read mash temperature: 66.4 C, thermometer"
    json.dumps(report, allow_nan=False)


def test_a_hot_reading_counts_cold_beside_the_plan(shed):
    shed.at(100, read("preboil", "volume", 31.0, "jug", 99.0))
    (reading,) = lot_report.readings(shed.lot())
    # water V(99)/V(20) = 1.0408 by IAPWS-95 densities 998.2072 / 959.07 (reference steam tables)
    assert reading["counts"] == pytest.approx(31.0 / 1.0408, abs=0.01)
    assert reading["planned"] == pytest.approx(29.9, abs=0.05)


def test_a_reading_counts_the_same_in_the_report_and_in_the_day_worked_out_again():
    """Law: one reading is one number of cold litres; here at 1500 m, where wort boils cooler."""
    shed = Shed("1500 m")
    shed.at(5, read("water", "volume", 35.0, "mark"))
    shed.at(100, read("preboil", "volume", 31.0, "jug"))
    shed.at(170, read("postboil", "volume", 28.0, "mark"))
    shed.at(220, read("fermenter", "volume", 23.5, "jug"))
    known = shed.standing().now.known
    counts = {each["of"]: each["counts"] for each in lot_report.readings(shed.lot())}
    assert counts == {
        "water": known.water_l,
        "preboil": known.preboil_l,
        "postboil": known.postboil_l,
        "fermenter": known.fermenter_l,
    }
    rows = {row["step"]: row for row in shed.opened.frozen["plan"]["ledger"]}
    planned = {each["of"]: each["planned"] for each in lot_report.readings(shed.lot())}
    assert planned["preboil"] == pytest.approx(rows["preboil"]["cold_l"], rel=1e-9)
    assert planned["postboil"] == pytest.approx(rows["postboil"]["cold_l"], rel=1e-9)
    # water V(95)/V(20) = 1.0377 by IAPWS-95 densities 998.2072 / 961.89 (reference steam tables)
    assert rows["preboil"]["temp_c"] == pytest.approx(95.0, abs=0.3)
    assert counts["preboil"] == pytest.approx(31.0 / 1.0377, abs=0.01)


def test_the_text_file_reads_back_and_moves_to_another_store(shed):
    shed.at(5, ev.PhaseBegun("fill"), ev.Noted("End of the record: 9 entries,\nsum 00000000."))
    opened = shed.lot()
    back = read_text(text_of(opened))
    assert back.problems == ()
    assert back.entries == opened.entries
    other = Shed()
    kept, problems = take_text(other.lots, other.watch, 1, text_of(opened))
    assert problems == []
    assert [each.what for each in kept].count("kept") == 2
    assert file_name(opened) == "lot-0001-rainday-pale.txt"


def test_alarms_come_as_a_calendar_at_the_right_wall_time(shed):
    shed.at(100, ev.PhaseBegun("boil"))
    shed.watch.set_by_min = 60.0
    shed.at(101, ev.ClockAdjusted(60.0, "clock set"))
    calendar = lot_report.alarms_calendar(shed.lot(), shed.watch)
    assert calendar.startswith("BEGIN:VCALENDAR\r\n")
    assert all(len(line.encode()) <= 75 for line in calendar.split("\r\n"))
    starts = dict(
        zip(re.findall(r"SUMMARY:(\w+)", calendar), re.findall(r"DTSTART:(\S+)", calendar),
            strict=True)
    )  # fmt: skip
    # Boil began at minute 100; heat-off 60 min later; the wall clock was put on by an hour.
    assert starts["Heat"] == "20280229T124000Z"
    one = lot_report.alarms_calendar(shed.lot(), shed.watch, "boil/end")
    assert one.count("BEGIN:VEVENT") == 1


def test_measured_values_take_the_place_of_assumed_ones(shed):
    shed.at(110, read("preboil", "volume", 29.89, "jug", 20.0))
    shed.at(111, read("preboil", "gravity", 1.040, "hydrometer", 20.0))
    now = ways.replanned(shed.standing())
    assert now["after"]["original_sg"] == pytest.approx(1.0454, abs=3e-4)
    assert now["where"][0]["codes"] == ["sugar missing"]
    (found,) = ways.ways_of(shed.standing())["troubles"]
    assert found["trouble"] == "gravity-low"
    assert found["ways"][0]["code"] == "nothing"
    assert len(found["ways"]) >= 3


def test_a_hot_sample_is_questioned_before_any_cure(shed):
    shed.at(111, read("preboil", "gravity", 1.034, "hydrometer", 50.0))
    told = ways.ways_of(shed.standing())
    assert told["question_first"][0]["code"] == "sample-hot"
    assert "at 50 C" in told["question_first"][0]["text"]


def test_a_late_dose_is_found_and_has_ways(shed):
    shed.at(100, ev.PhaseBegun("boil")).at(120, ev.Noted("the door bell"))
    troubles = {row["trouble"]: row for row in ways.ways_of(shed.standing())["troubles"]}
    codes = [way["code"] for way in troubles["dose-late"]["ways"]]
    assert codes == ["nothing", "now", "now-with-more", "dry-hop", "boil-longer"]
    with pytest.raises(RecordRefused, match="Which dose is late"):
        ways.ways_of(shed.standing(), "dose-late", Facts())
    with pytest.raises(RecordRefused, match="no trouble known here"):
        ways.ways_of(shed.standing(), "gravity-lo")


def test_after_an_interruption_the_first_line_is_the_switches(shed):
    shed.at(100, ev.PhaseBegun("boil"), ev.StepDone("boil/d1")).at(130, ev.Noted("power cut"))
    told = ways.after_interruption(shed.standing(), 40.0)
    assert told["lines"][0].startswith("First: switch element and pump off at their switches")
    assert told["became"]["to_boil_min"] > 10.0
    boil = next(row for row in told["times"] if row["phase"] == "boil")
    # 30 min boiled, 40 without heat, the way back, the 30 that were left
    to_boil_min = told["became"]["to_boil_min"]
    assert boil["ends_min"] == pytest.approx(100.0 + 30.0 + 40.0 + to_boil_min + 30.0)
    mash = shed.at(131, ev.PhaseEnded("boil"), ev.PhaseBegun("chill"))
    assert ways.after_interruption(mash.standing(), 5.0)["lines"][0] == told["lines"][0]


def test_new_times_keep_facts_and_move_the_rest(shed):
    shed.at(10, ev.PhaseBegun("fill")).at(20, ev.PhaseBegun("heat"))
    rows = ways.replanned(shed.standing())["times"]
    assert [(row["begins_min"], row["ends_min"], row["fact"]) for row in rows[:1]] == [
        (10.0, 20.0, True)
    ]
    for before, after in itertools.pairwise(rows):
        assert after["begins_min"] == before["ends_min"]
    assert rows[2]["begins_min"] == pytest.approx(20.0 + 50.2, abs=0.2)


def test_the_sheet_is_typed_in_afterwards_in_its_order_without_times(shed):
    day = shed.opened.day
    places = blanks(day)
    assert [place.key for place in places if place.kind == "phase"][:4] == [
        "fill", "heat", "mash", "lift"]  # fmt: skip
    for place in places[:5]:
        for event in written(place, place.ask.planned if place.ask else None, "as typed"):
            answer = record(shed.lots, shed.watch, 1, event, paper=True)
            assert answer.what == "kept"
    state = shed.lot().state
    assert state.reading("water").typed == "as typed"
    assert state.phases["fill"].begun.trust == "none"


def test_the_sheet_and_its_typing_in_have_the_same_blanks(shed):
    from wortline.app.step_scene import BLANK
    from wortline.app.steps import steps
    from wortline.units import say

    def spoken(value, kind, **how):
        return "unknown" if value is None else say(value, kind, **how)

    report = shed.opened.frozen["plan"]
    printed = [act for step in steps(report, spoken) for act in step.acts]
    numbers = [place for place in blanks(shed.opened.day) if place.kind == "number"]
    assert sum(act.count(BLANK) for act in printed) == len(numbers)
    ticks = [place.key.rpartition("/")[2] for place in blanks(shed.opened.day)
             if place.kind == "tick"]  # fmt: skip
    doses = [act.partition(":")[0] for act in printed if re.match(r"d\d+:", act)]
    assert ticks == doses


def test_the_pump_is_judged_as_everything_stands(shed):
    from wortline.app.lot_pipes import pump_check
    from wortline.lot.line_up import differences

    shed.at(100, ev.PhaseBegun("fill")).at(160, ev.PhaseBegun("mash"))
    check = pump_check(shed.documents, shed.lot())
    assert check["may_run"], check["findings"]
    assert check["differs"] == []
    # Shut behind the pump: it would run against a closed way.
    shed.at(161, ev.HandleTurned("K", "shut"))
    check = pump_check(shed.documents, shed.lot())
    assert not check["may_run"]
    assert check["findings"][0]["severity"] == "stop"
    assert check["differs"] == ["K is at shut; the plan has open."]
    assert differences(shed.lot().state, "fill") == ["K is at shut; the plan has open."]
    shed.at(162, ev.HandleTurned("K", "open"), ev.Overridden("pump", "asked twice"))
    assert pump_check(shed.documents, shed.lot())["may_run"]


def test_what_no_hand_turns_for_water_is_not_taken_for_it(shed):
    from wortline.lot.line_up import stands

    shed.at(100, ev.HandleTurned("pump", "on"), ev.HandleTurned("lamp", "on"))
    assert stands(shed.lot().state).water == "off"
    shed.at(101, ev.HandleTurned("W", "on"))
    assert stands(shed.lot().state).water == "on"


def test_turning_the_handles_of_a_step_brings_the_planned_line_up(shed):
    from wortline.lot.line_up import differences, stands

    shed.at(10, ev.PhaseBegun("chill"))
    assert differences(shed.lot().state) != []
    shed.at(11, ev.StepDone("chill/turn1"))
    state = shed.lot().state
    assert differences(state) == []
    assert state.pump_on
    assert stands(state).water == "on"


def test_a_flow_that_falls_is_dirt_on_its_way(shed):
    shed.at(1, read("clean flow", "flow", 10.0, "jug")).at(2, read("flow", "flow", 8.1, "jug"))
    assert "clogged" not in {row for row, _ in ways.troubles(shed.standing())}
    shed.at(3, read("flow", "flow", 7.9, "jug"))
    assert "clogged" in {row for row, _ in ways.troubles(shed.standing())}


def test_a_day_done_as_planned_runs_the_pump_wherever_the_plan_does(shed):
    from wortline.app.lot_pipes import pump_check
    from wortline.lot.line_up import differences

    day, minute, ran = shed.opened.day, 0.0, []
    for phase in day.phases:
        minute += 10.0
        shed.at(minute, ev.PhaseBegun(phase.id))
        for step in day.of_phase(phase.id):
            shed.at(minute + 1.0, ev.StepDone(step.id))
            turned_on = ("pump", "P", "on") in step.turns
            if step.id == "whirlpool/turn1":
                # At the boil the pump would draw vapour: it is refused until the wort has cooled.
                refused = pump_check(shed.documents, shed.lot())
                assert next(each["code"] for each in refused["findings"]) == "D5"
                assert not refused["may_run"]
                shed.at(minute + 1.0, read("rest", "temperature", 97.5, "thermometer"))
            if turned_on:
                check = pump_check(shed.documents, shed.lot())
                assert check["may_run"], (step.id, check["findings"])
                ran.append(step.id)
            if step.id == "boil/clean":
                shed.at(minute + 1.0, ev.SurfaceSet("H4", "sanitised", "no-rinse acid"))
        state = shed.lot().state
        if phase.lineup and phase.id not in {"to_boil"}:
            assert differences(state, phase.id) == [], phase.id
    assert ran == ["mash/turn1", "to_boil/turn1", "whirlpool/turn1", "chill/turn1"]
    assert {"chiller", "H3", "V2", "H4"} <= set(shed.lot().state.surfaces)
    assert all(shed.lot().state.standing(step.id) == "done" for step in day.steps)
