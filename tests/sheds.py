"""A lot in a store in memory, run by hands whose clock is turned."""

import copy
from datetime import UTC, datetime
from functools import cache
from pathlib import Path

from wortline.app import ways
from wortline.app.files import File
from wortline.app.keeping import keep as keep_document
from wortline.app.lots import lot_of, record, start_lot
from wortline.lot import events as ev
from wortline.lot.events import Steady
from wortline.store.memory import MemoryDocuments
from wortline.store.memory_lots import MemoryLots

EXAMPLES = Path(__file__).parents[1] / "examples"
FEB_29 = round(datetime(2028, 2, 29, 9, 0, tzinfo=UTC).timestamp() * 1000)


class HandWatch:
    """Clocks turned by hand; ids that count."""

    def __init__(self):
        self.minute, self.ids, self.set_by_min = 0.0, 0, 0.0

    def wall_ms(self):
        return FEB_29 + round((self.minute + self.set_by_min) * 60_000)

    def zone_min(self):
        return 0

    def steady(self):
        return Steady("boot", 1000.0 + self.minute)

    def new_id(self):
        self.ids += 1
        return f"id-{self.ids}"


class Shed:
    """A lot of the example in a store, and the hands that run it."""

    def __init__(self, elevation="220 m"):
        self.watch = HandWatch()
        moment = datetime(2028, 2, 29, 9, 0, tzinfo=UTC)
        self.documents = MemoryDocuments(lambda: moment)
        self.lots = MemoryLots(lambda: moment)
        for name in ("rainday-pale", "shed-two-valves", "cool-march"):
            path = EXAMPLES / f"{name}.yaml"
            text = path.read_text(encoding="utf-8")
            text = text.replace("elevation: 220 m", f"elevation: {elevation}")
            keep_document(self.documents, File(path.name, text.encode()))
        self.opened = start_lot(self.lots, self.documents, self.watch, 1, 2, 3)

    def at(self, minute, *events):
        self.watch.minute = float(minute)
        for event in events:
            assert record(self.lots, self.watch, 1, event).what == "kept"
        return self

    def lot(self):
        return lot_of(self.lots, 1)

    def standing(self):
        return ways.standing_of(self.documents, self.lot())

    def take(self, minute, trouble, code, facts=None):
        """Take a way as both faces do, and say what was promised."""
        offered = ways.ways_of(self.standing(), trouble, facts)["troubles"][0]["ways"]
        self.at(minute, ways.way_event(trouble, code, offered))
        return next(way for way in offered if way["code"] == code)

    @property
    def acts(self):
        """The steps of ways that were taken."""
        return [step for step in self.lot().day.steps if "/way-" in step.id]


@cache
def _started():
    return Shed()


def new_shed():
    """The same start, copied: planning is done once."""
    return copy.deepcopy(_started())


def read(of, quantity, value, instrument, sample_c=None):
    """A reading off an instrument."""
    return ev.Measured(of, quantity, value, instrument, sample_c)
