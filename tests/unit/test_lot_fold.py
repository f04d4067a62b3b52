"""The state of a lot as a fold over its entries. Kind: law."""

import itertools

import pytest

from wortline.lot import events as ev
from wortline.lot.ahead import coming, meanwhile, next_steps
from wortline.lot.day import chemistry_clash, day_values, read_day
from wortline.lot.events import Entry, Steady
from wortline.lot.fold import fold, refusal
from wortline.lot.steps import day_of


@pytest.fixture(scope="module")
def day(papers):
    return day_of({**papers.quick(), "yeast": "ale yeast"}, None)


class Book:
    """Writes entries one after another, a minute apart unless told."""

    def __init__(self):
        self.entries = []
        self.minute = 0.0

    def at(self, minute, *events, device="phone"):
        self.minute = minute
        for event in events:
            number = len(self.entries) + 1
            wall = 1_800_000_000_000 + round(minute * 60_000)
            steady = Steady("s", minute)
            self.entries.append(
                Entry(f"e{number}", device, number, wall, 0, steady, event, number=number)
            )
        return self


def started():
    return Book().at(0.0, ev.Started("Lot 31"))


def test_the_day_comes_back_from_its_values(day):
    assert read_day(day_values(day)) == day


def test_phases_last_as_long_as_the_steady_clock_says(day):
    book = started().at(1.0, ev.PhaseBegun("fill")).at(6.5, ev.PhaseBegun("heat"))
    book.at(60.0, ev.PhaseEnded("heat"))
    state = fold(day, book.entries)
    assert state.phases["fill"].lasted_min == 5.5
    assert state.phases["heat"].lasted_min == 53.5
    assert state.phase is None


def test_standings_go_from_planned_to_done(day):
    book = started()
    assert fold(day, book.entries).standing("boil/d1") == "planned"
    book.at(100.0, ev.PhaseBegun("boil"))
    assert fold(day, book.entries).standing("boil/d1") == "ready"
    assert fold(day, book.entries).standing("boil/end") == "waiting"
    book.at(101.0, ev.StepDone("boil/d1"))
    state = fold(day, book.entries)
    assert state.standing("boil/d1") == "done"
    assert state.doses["d1"].min == 101.0
    book.at(102.0, ev.Undone(book.entries[-1].id))
    assert fold(day, book.entries).standing("boil/d1") == "undone"
    assert "d1" not in fold(day, book.entries).doses
    book.at(103.0, ev.Undone(book.entries[-1].id))
    assert fold(day, book.entries).standing("boil/d1") == "done"
    book.at(104.0, ev.Skipped("boil/clean"))
    assert fold(day, book.entries).standing("boil/clean") == "skipped"


def test_a_correction_counts_in_the_place_and_at_the_time_of_the_first(day):
    reading = ev.Measured("preboil", "gravity", 1.040, "hydrometer", 20.0)
    book = started().at(50.0, reading).at(51.0, ev.Noted("between"))
    better = ev.Measured("preboil", "gravity", 1.044, "hydrometer", 20.0)
    book.at(60.0, ev.Corrected("e2", better)).at(61.0, ev.Corrected("e4", reading))
    state = fold(day, book.entries[:4])
    assert [(each.value, at.min) for each, at in state.readings] == [(1.044, 50.0)]
    # A correction of the correction corrects what that one corrected.
    assert fold(day, book.entries).reading("preboil").value == 1.040
    book.at(62.0, ev.Undone("e5"), ev.Undone("e4"))
    assert fold(day, book.entries).reading("preboil").value == 1.040
    assert len(book.entries) == 7


def test_the_same_entry_twice_counts_once_and_order_is_the_servers(day):
    book = started().at(1.0, ev.PhaseBegun("fill")).at(2.0, ev.StepDone("fill/water"))
    book.at(3.0, ev.PumpSet(True)).at(4.0, ev.PumpSet(False))
    whole = fold(day, book.entries)
    for shuffled in itertools.permutations(book.entries):
        again = fold(day, [*shuffled, *book.entries[1:3]])
        assert again.steps == whole.steps
        assert again.pump_on is False


def test_two_devices_doing_one_step_move_one_step(day):
    book = started().at(5.0, ev.PhaseBegun("boil")).at(6.0, ev.StepDone("boil/d1"))
    book.at(6.2, ev.StepDone("boil/d1"), device="tablet")
    state = fold(day, book.entries)
    assert state.done_at["boil/d1"].min == 6.0


def test_alarms_come_from_when_their_phase_began(day):
    book = started().at(10.0, ev.PhaseBegun("boil"))
    (first_min, first), *rest = coming(fold(day, book.entries))
    assert first.id == "boil/d1"
    assert first_min == 10.0
    heat_off = next(minute for minute, alarm in rest if alarm.id == "boil/end")
    assert heat_off == pytest.approx(70.0)
    book.at(10.5, ev.StepDone("boil/d1"), ev.NotYet("boil/end", 5.0))
    # `not yet` asks again later.
    assert next(each.id for _, each in coming(fold(day, book.entries))) == "boil/end"
    assert coming(fold(day, book.entries))[0][0] == 15.5


def test_heat_is_refused_until_the_water_over_the_element_is_confirmed(day):
    book = started().at(1.0, ev.PhaseBegun("fill"))
    assert "stands over the element" in refusal(fold(day, book.entries), "heat/on")
    book.at(2.0, ev.StepDone("fill/water"), ev.StepDone("fill/covered"))
    assert refusal(fold(day, book.entries), "heat/on") == ""
    assert "no step `heat/onn`" in refusal(fold(day, book.entries), "heat/onn")


def test_a_skipped_reading_holds_nothing_up_and_a_skipped_look_does(day):
    book = started().at(1.0, ev.PhaseBegun("fill"), ev.Skipped("fill/water"))
    assert refusal(fold(day, book.entries), "fill/covered") == ""
    book.at(2.0, ev.Skipped("fill/covered"))
    assert "stands over the element" in refusal(fold(day, book.entries), "heat/on")
    book.at(3.0, ev.StepDone("fill/covered"))
    assert refusal(fold(day, book.entries), "heat/on") == ""
    book.at(4.0, ev.StepDone("pitch/volume"), ev.StepDone("pitch/temp"))
    book.at(4.5, ev.Skipped("pitch/gravity"))
    assert refusal(fold(day, book.entries), "pitch/end") == ""


def test_three_facts_are_asked_before_the_yeast(day):
    needs = day.step["pitch/end"].needs
    asked = {day.step[need].ask.quantity for need in needs}
    assert asked == {"gravity", "volume", "temperature"}


def test_next_and_meanwhile(day):
    book = started().at(1.0, ev.PhaseBegun("heat"))
    state = fold(day, book.entries)
    assert [step.id for step in next_steps(state)] == ["heat/on", "heat/end"]
    assert [step.id for step in meanwhile(state)] == ["heat/grain"]


def test_what_names_nothing_here_is_kept_and_said(day):
    book = started().at(1.0, ev.StepDone("moon/landing"), ev.Undone("nowhere"))
    book.at(2.0, ev.PhaseEnded("chill"))
    said = " ".join(fold(day, book.entries).doubts)
    assert "`moon/landing` is not in this plan" in said
    assert "`nowhere`, which is not before it" in said
    assert "`chill` ended and never began" in said


def test_acid_never_meets_chlorine_or_caustic_without_a_rinse(day):
    assert list(chemistry_clash(day)) == []
    without = [step for step in day.steps if step.id != "away/rinse"]
    (said,) = chemistry_clash(type(day)(day.phases, tuple(without)))
    assert "Rinse with water first" in said
    order = [step.chemical for step in day.steps if step.chemical]
    assert order == ["chlorine or caustic", "rinse", "acid", "rinse"]


def test_each_step_has_one_caution_and_doses_in_the_boil_have_theirs(day):
    assert "boil over" in day.step["boil/d1"].safety
    assert "boil over in seconds" in day.step["boil/on"].safety
    assert all("Hops make" not in day.step[f"rest/{dose}"].safety for dose in ("d3",))


def test_heat_off_comes_before_the_dose_at_heat_off(day):
    ids = [step.id for step in day.steps]
    assert ids.index("boil/end") < ids.index("boil/d2")


def test_a_phase_typed_in_late_does_not_end_the_one_under_way(day):
    book = started().at(100.0, ev.PhaseBegun("boil"))
    wall_ms = book.entries[0].wall_ms + 10 * 60_000
    steady = Steady("s", 101.0)
    late = Entry("p1", "paper", 1, wall_ms, 0, steady, ev.PhaseBegun("fill"), True, wall_ms,
                 number=3)  # fmt: skip
    state = fold(day, [*book.entries, late])
    assert state.phase == "boil"
    assert state.phases["boil"].ended is None
    assert state.phases["fill"].begun.min == 10.0
    assert state.phases["fill"].lasted_min is None


def test_entries_that_name_each_other_or_themselves_end(day):
    book = (
        started()
        .at(1.0, ev.Corrected("e3", ev.Noted("a")))
        .at(2.0, ev.Corrected("e2", ev.Noted("b")))
    )
    book.at(3.0, ev.Undone("e4"), ev.Undone("e6")).at(4.0, ev.Noted("x"))
    state = fold(day, book.entries)
    assert state.notes == ["x"]
    assert [each for each in state.doubts if "not before it" in each]
