"""Ways out that were taken are acts of the day: a step each, in its phase, before what ends it."""

from collections.abc import Iterable
from dataclasses import replace

from wortline.lot.day import Day, Step
from wortline.lot.events import Deviation, Event

STEP = "way-"
BEFORE_HEAT_OFF = frozenset({"fill", "heat", "mash", "lift", "to_boil", "boil"})
"""Phases in which what comes into the wort boils with it."""


def act_id(phase: str, entry: str) -> str:
    """What the step of a way is called that an entry took."""
    return f"{phase}/{STEP}{entry}"


def with_acts(day: Day, events: Iterable[tuple[str, Event]]) -> Day:
    """The day with a step for every way that was taken, given by its entry's id and event."""
    acts = [
        Step(act_id(event.phase, entry), event.phase, event.text, event.safety)
        for entry, event in events
        if isinstance(event, Deviation) and event.way and event.phase in day.phase
    ]
    if not acts:
        return day
    steps = list(day.steps)
    for act in acts:
        steps.insert(_place(steps, act.phase), act)
    return replace(day, steps=tuple(steps))


def _place(steps: list[Step], phase: str) -> int:
    """Before the first step of the phase that has a moment or ends it."""
    last = 0
    for place, step in enumerate(steps):
        if step.phase != phase:
            continue
        if step.due is not None or step.id.endswith("/end"):
            return place
        last = place + 1
    return last


def lengthen(
    longer_min: dict[str, float], again: dict[str, float], day: Day, way: Deviation
) -> None:
    """A way that was taken moves what is still to come in its phase."""
    change = way.change
    more_min = change.boil_min + change.rest_min + change.wait_min
    if not way.way or not more_min:
        return
    longer_min[way.phase] = longer_min.get(way.phase, 0.0) + more_min
    for step in day.of_phase(way.phase):
        # What was put off to a moment counts the wait already.
        if step.id in again and step.due is not None:
            again[step.id] += change.boil_min + change.rest_min
