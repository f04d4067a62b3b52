"""What a deck takes along: line-ups that agree with the judge of the pipes, moment by moment."""

from datetime import UTC, datetime

import pytest
from decks import begin_lot

from wortline.app.deck import deck_values
from wortline.app.files import File
from wortline.app.lots import record
from wortline.app.piping import known_of, line_up_of, pipes_of, verdict
from wortline.app.ringing import Ringing
from wortline.lot import events as ev
from wortline.lot.events import Steady
from wortline.store.memory import MemoryDocuments
from wortline.store.memory_lots import MemoryLots

MOMENT = datetime(2028, 2, 29, 9, 0, tzinfo=UTC)


class HandWatch:
    """Clocks turned by hand."""

    def __init__(self):
        self.minute, self.ids = 0.0, 0

    def wall_ms(self):
        return round(MOMENT.timestamp() * 1000) + round(self.minute * 60_000)

    def zone_min(self):
        return 0

    def steady(self):
        return Steady("boot", 1000.0 + self.minute)

    def new_id(self):
        self.ids += 1
        return f"id-{self.ids}"


def a_lot():
    lots, watch = MemoryLots(lambda: MOMENT), HandWatch()
    begin_lot(lots, MemoryDocuments(lambda: MOMENT), watch)
    return lots, watch


@pytest.fixture(scope="module")
def pipes():
    documents, lots = MemoryDocuments(lambda: MOMENT), MemoryLots(lambda: MOMENT)
    begin_lot(lots, documents, HandWatch())
    return deck_values(lots, documents, 1)["pipes"]


def key_of(shown):
    handles = "|".join(shown["handles"].values())
    ends = "|".join(shown["hose_ends"].values())
    return f"{handles};{ends};{shown['water']}"


def test_the_plan_itself_is_never_refused(pipes):
    for moment, refused in pipes["refused"].items():
        assert key_of(pipes["shown"][moment]) not in refused, moment
        assert refused


def test_a_shut_kettle_or_a_dead_end_refuses_the_pump(pipes):
    for moment, refused in pipes["refused"].items():
        water = pipes["shown"][moment]["water"]
        for handles in ("shut|arm|kettle", "open|off|kettle"):
            codes = refused[f"{handles};fermenter;{water}"]
            assert [pipes["sentences"][code] for code in codes], (moment, handles)


def test_refusals_are_what_the_judge_of_the_pipes_says(pipes):
    """The table against the command that judges one line-up: same verdict for every handle."""
    from decks import EXAMPLES

    judged = pipes_of(
        File("rig", (EXAMPLES / "shed-two-valves.yaml").read_bytes()),
        File("day", (EXAMPLES / "cool-march.yaml").read_bytes()),
    )
    refused = pipes["refused"]["mash/turn1"]
    for key in ("open|arm|kettle", "open|chiller|kettle", "shut|arm|kettle", "open|arm|fermenter"):
        k, v1, v2 = key.split("|")
        options = {"handles": f"K={k}, V1={v1}, V2={v2}", "pump": "on", "wort": "66 C",
                   "level": "34 cm", "clean": "all=heat"}  # fmt: skip
        setting, _ = line_up_of(judged, None, options)
        told = verdict(judged, setting, known_of(judged, None, options))
        stops = [each["code"] for each in told["findings"] if each["severity"] == "stop"]
        assert bool(stops) == (f"{key};fermenter;off" in refused), (key, stops)


def test_every_picture_that_is_named_is_there(pipes):
    for moment, shown in pipes["shown"].items():
        assert pipes["pictures"][shown["picture"]].startswith("<svg"), moment


def test_the_computer_tells_each_alarm_once_and_how_late():
    lots, watch = a_lot()
    bell = Ringing(lots, watch)
    assert bell.due() == []
    record(lots, watch, 1, ev.PhaseBegun("boil"))
    (first,) = bell.due()
    assert first == "09:00  Lot 1: d1: 25 g Magnum, free."
    assert bell.due() == []
    watch.minute = 59.99
    assert bell.due() == []
    watch.minute = 60.0
    assert [line.partition(": ")[2][:8] for line in bell.due()] == ["d2: 40 g", "Heat off"]
    later = Ringing(lots, watch)
    watch.minute = 75.0
    assert all("min late)" in line for line in later.due())
    record(lots, watch, 1, ev.StepDone("boil/end"))
    assert not any("Heat off" in line for line in Ringing(lots, watch).due())


def test_a_wall_clock_that_differs_moves_no_alarm_of_the_computer():
    lots, watch = a_lot()
    bell = Ringing(lots, watch)
    record(lots, watch, 1, ev.PhaseBegun("mash"))
    watch.minute = 30.0
    assert bell.due() == []
    assert bell.now_min(bell.opened[1]) == pytest.approx(30.0)
