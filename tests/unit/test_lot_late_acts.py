"""What lasts from an act on lasts as long when the act comes late. Kind: law."""

from pathlib import Path

import pytest

from wortline.app.files import File
from wortline.app.planning import plan_brew
from wortline.lot import events as ev
from wortline.lot.ahead import coming
from wortline.lot.events import Entry, Steady
from wortline.lot.fold import fold
from wortline.lot.steps import day_of

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def day():
    names = ("rainday-pale", "shed-two-valves", "cool-march")
    paths = [EXAMPLES / f"{name}.yaml" for name in names]
    planned = plan_brew(*(File(path.name, path.read_bytes()) for path in paths))
    return day_of(planned.report, planned.plan.piping.network)


def alarms(day, *written):
    """The coming alarms after what was written at its minutes."""
    entries = [
        Entry(f"e{number}", "phone", number, 1_800_000_000_000 + round(minute * 60_000), 0,
              Steady("s", minute), event, number=number)
        for number, (minute, event) in enumerate([(0.0, ev.Started("Lot 31")), *written], 1)
    ]  # fmt: skip
    return {alarm.id: at_min for at_min, alarm in coming(fold(day, entries))}


def test_five_minutes_of_contact_stay_five_minutes(day):
    begins, ends = day.step["to_boil/turn1"], day.step["to_boil/turn2"]
    assert ends.due.plus_min - begins.due.plus_min == pytest.approx(5.0)
    assert (ends.due.since, ends.due.since_min) == ("to_boil/turn1", pytest.approx(5.0))
    begun = (100.0, ev.PhaseBegun("to_boil"))
    before = alarms(day, begun)
    assert before["to_boil/turn1"] == pytest.approx(100.0 + begins.due.plus_min)
    # what has not begun cannot be over
    assert "to_boil/turn2" not in before
    late_min = 103.0 + begins.due.plus_min
    after = alarms(day, begun, (late_min, ev.StepDone("to_boil/turn1")))
    assert after["to_boil/turn2"] == pytest.approx(late_min + 5.0)


def test_what_was_left_out_moves_nothing(day):
    begun = (100.0, ev.PhaseBegun("to_boil"))
    after = alarms(day, begun, (125.0, ev.Skipped("to_boil/turn1")))
    planned_min = day.step["to_boil/turn2"].due.plus_min
    assert after["to_boil/turn2"] == pytest.approx(100.0 + planned_min)


def test_a_whirlpool_that_begins_late_turns_as_long_as_planned(day):
    due = day.step["whirlpool/end"].due
    assert due.since == "whirlpool/turn1"
    assert due.since_min == pytest.approx(due.plus_min - day.step["whirlpool/turn1"].due.plus_min)
    after = alarms(
        day, (200.0, ev.PhaseBegun("whirlpool")), (205.0, ev.StepDone("whirlpool/turn1"))
    )
    assert after["whirlpool/end"] == pytest.approx(205.0 + due.since_min)


def test_the_grain_drains_from_the_lifting_on(day):
    due = day.step["lift/end"].due
    after = alarms(day, (150.0, ev.PhaseBegun("lift")), (154.0, ev.StepDone("lift/out")))
    assert after["lift/end"] == pytest.approx(154.0 + due.plus_min)
