"""The state of a lot: a fold over its entries, against the day it goes by.

Order is the order in which the server kept them; when a thing happened is worked out from the
steady clocks. A correction or an undo acts on the entry it names, wherever that stands.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from wortline.lot.acts import lengthen, with_acts
from wortline.lot.clock import At, moments
from wortline.lot.day import Day, Due, Step
from wortline.lot.events import (
    ClockAdjusted,
    Corrected,
    Deviation,
    DoseIn,
    Entry,
    Event,
    HandleTurned,
    Measured,
    Noted,
    NotYet,
    Overridden,
    PhaseBegun,
    PhaseEnded,
    Photo,
    PumpSet,
    Skipped,
    Started,
    StepDone,
    SurfaceSet,
    Undone,
)

RIGHT = "reading "
"""An override of this and an entry's id: the person says that an odd reading is right."""
Standing: TypeAlias = Literal[
    "planned", "ready", "under way", "waiting", "done", "skipped", "undone"
]


@dataclass(frozen=True)
class Fact:
    """An entry as it counts: what it means now, what it was before, and when it happened."""

    entry: Entry
    event: Event
    at: At
    former: tuple[Event, ...] = ()

    @property
    def corrected(self) -> bool:
        """Whether it means something else than was written first."""
        return bool(self.former)


@dataclass(frozen=True)
class Span:
    """When a phase began and ended, in minutes of the lot; None while it has not."""

    begun: At
    ended: At | None = None

    @property
    def lasted_min(self) -> float | None:
        """How long it took [min]; None where that is not known."""
        if self.ended is None or self.ended.min is None or self.begun.min is None:
            return None
        length_min = self.ended.min - self.begun.min
        # Times typed in from paper may be out of order: no length is better than a false one.
        return length_min if length_min >= 0.0 else None


@dataclass
class State:
    """What is so after all entries."""

    day: Day
    name: str = ""
    facts: list[Fact] = field(default_factory=list)
    phases: dict[str, Span] = field(default_factory=dict)
    steps: dict[str, Standing] = field(default_factory=dict)
    done_at: dict[str, At] = field(default_factory=dict)
    again: dict[str, float] = field(default_factory=dict)
    longer_min: dict[str, float] = field(default_factory=dict)
    doses: dict[str, At] = field(default_factory=dict)
    readings: list[tuple[Measured, At]] = field(default_factory=list)
    handles: dict[str, str] = field(default_factory=dict)
    pump_on: bool = False
    surfaces: dict[str, str] = field(default_factory=dict)
    deviations: list[Deviation] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    photos: list[Photo] = field(default_factory=list)
    overrides: list[Overridden] = field(default_factory=list)
    clocks_set: int = 0
    right: set[str] = field(default_factory=set)
    doubts: list[str] = field(default_factory=list)
    phase: str | None = None
    last: At | None = None

    def reading(self, of: str, quantity: str | None = None) -> Measured | None:
        """The last reading of something."""
        for measured, _ in reversed(self.readings):
            if measured.of == of and quantity in (None, measured.quantity):
                return measured
        return None

    def span(self, phase: str) -> Span | None:
        """When a phase was."""
        return self.phases.get(phase)

    def standing(self, step: str) -> Standing:
        """How a step stands."""
        return self.steps.get(step, "planned")


def counted(entries: Sequence[Entry]) -> list[Fact]:
    """The entries that count, each as what it means after corrections and undos.

    The later of two corrections counts. An undo of an undo makes the entry count again.
    """
    at = moments(entries)
    place = {entry.id: number for number, entry in enumerate(entries)}
    undone: set[str] = set()
    # From the last to the first: an undo that is itself undone has no effect.
    for entry in reversed(entries):
        if isinstance(entry.event, Undone) and entry.id not in undone and _earlier(entry, place):
            undone.add(entry.event.entry)
    means: dict[str, list[Event]] = {}
    corrects: dict[str, str] = {}
    for entry in entries:
        if isinstance(entry.event, Corrected) and _earlier(entry, place):
            # A correction of a correction corrects what that one corrected.
            target = corrects.get(entry.event.entry, entry.event.entry)
            corrects[entry.id] = target
            if entry.id not in undone:
                means.setdefault(target, []).append(entry.event.event)
    facts = []
    for entry in entries:
        if entry.id in undone or isinstance(entry.event, Corrected | Undone):
            continue
        *former, event = [entry.event, *means.get(entry.id, [])]
        facts.append(Fact(entry, event, at[entry.id], tuple(former)))
    return facts


def _earlier(entry: Entry, place: Mapping[str, int]) -> bool:
    """Whether what a correction or an undo names was kept before it; nothing acts on what comes."""
    event = entry.event
    assert isinstance(event, Corrected | Undone)
    return place.get(event.entry, len(place)) < place[entry.id]


def ordered(entries: Iterable[Entry]) -> list[Entry]:
    """Entries by their number, those not kept yet behind, in their device's order; once each."""
    once: dict[str, Entry] = {}
    for entry in entries:
        held = once.get(entry.id)
        if held is None or (not held.number and entry.number):
            once[entry.id] = entry
    return sorted(
        once.values(),
        key=lambda each: (each.number == 0, each.number, each.device, each.sequence),
    )


def fold(day: Day, entries: Iterable[Entry]) -> State:
    """The state after these entries."""
    in_order = ordered(entries)
    facts = counted(in_order)
    day = with_acts(day, ((fact.entry.id, fact.event) for fact in facts))
    state = State(day, facts=facts)
    known: set[str] = set()
    for entry in in_order:
        if isinstance(entry.event, Corrected | Undone) and entry.event.entry not in known:
            state.doubts.append(
                f"Entry {entry.number} {entry.event.KIND} `{entry.event.entry}`, which is not"
                " before it."
            )
        known.add(entry.id)
    for fact in state.facts:
        _apply(state, fact)
    _undone_steps(state, in_order)
    _settle(state)
    return state


def _apply(state: State, fact: Fact) -> None:
    """Let one entry act on the state."""
    at = fact.at
    if at.min is not None:
        state.last = at
    match fact.event:
        case Started(name):
            state.name = name
        case PhaseBegun(phase):
            _begin(state, phase, at)
        case PhaseEnded(phase):
            _end(state, phase, at)
        case StepDone(step):
            _done(state, step, at)
        case NotYet(step, again_min):
            _known(state, step)
            state.steps[step] = "waiting"
            if again_min is not None and at.min is not None:
                state.again[step] = at.min + again_min
        case Skipped(step):
            _known(state, step)
            state.steps[step] = "skipped"
        case DoseIn(dose):
            state.doses.setdefault(dose, at)
        case Measured():
            state.readings.append((fact.event, at))
        case HandleTurned(part, position):
            state.handles[part] = position
        case PumpSet(on):
            state.pump_on = on
        case SurfaceSet(part, now):
            state.surfaces[part] = now
        case _:
            _told(state, fact.event)


def _told(state: State, event: Event) -> None:
    match event:
        case Deviation():
            state.deviations.append(event)
            lengthen(state.longer_min, state.again, state.day, event)
        case Noted(text):
            state.notes.append(text)
        case Photo():
            state.photos.append(event)
        case Overridden():
            state.overrides.append(event)
            if event.check.startswith(RIGHT):
                state.right.add(event.check.removeprefix(RIGHT))
        case ClockAdjusted(_, because):
            state.clocks_set += because == "clock set"


def _begin(state: State, phase: str, at: At) -> None:
    if phase not in state.day.phase:
        state.doubts.append(f"Phase `{phase}` began, which is not in this plan.")
    if phase in state.phases:
        return
    now = state.phases[state.phase] if state.phase is not None else None
    if now is not None and _before(at, now.begun):
        # Typed in from paper afterwards: it was over before the phase that is under way began.
        state.phases[phase] = Span(at)
        return
    # One main phase at a time: the next one ends the one before.
    if state.phase is not None:
        _end(state, state.phase, at)
    state.phases[phase] = Span(at)
    state.phase = phase


def _before(at: At, other: At) -> bool:
    return at.min is not None and other.min is not None and at.min < other.min


def _end(state: State, phase: str, at: At) -> None:
    span = state.phases.get(phase)
    if span is None:
        state.doubts.append(f"Phase `{phase}` ended and never began.")
        return
    if span.ended is None:
        state.phases[phase] = Span(span.begun, at)
    if state.phase == phase:
        state.phase = None


def _known(state: State, step: str) -> Step | None:
    found = state.day.step.get(step)
    if found is None:
        state.doubts.append(f"Step `{step}` is not in this plan.")
    return found


def _done(state: State, step: str, at: At) -> None:
    found = _known(state, step)
    # Done on two devices is done once, at the first.
    if state.steps.get(step) == "done":
        return
    state.steps[step] = "done"
    state.done_at[step] = at
    if found is None:
        return
    if found.dose:
        state.doses.setdefault(found.dose, at)
    for act, part, position in found.turns:
        if act == "pump":
            state.pump_on = position == "on"
        else:
            state.handles[part] = position
    for part in found.marks:
        state.surfaces[part] = "sanitised"
    if found.surface[0]:
        state.surfaces[found.surface[0]] = found.surface[1]


def _undone_steps(state: State, entries: Sequence[Entry]) -> None:
    """A step whose doing was undone, and that is not done again, is undone."""
    counts = {fact.entry.id for fact in state.facts}
    for entry in entries:
        if isinstance(entry.event, StepDone | Skipped) and entry.id not in counts:
            state.steps.setdefault(entry.event.step, "undone")


def _settle(state: State) -> None:
    """Say of every step nothing was written of how it stands."""
    now_min = state.last.min if state.last and state.last.min is not None else None
    for step in state.day.steps:
        if step.id in state.steps:
            continue
        begun = step.phase in state.phases
        ended = begun and state.phases[step.phase].ended is not None
        unmet = [need for need in step.needs if not _met(state, need)]
        if not begun and not step.meanwhile:
            state.steps[step.id] = "planned"
        elif unmet:
            state.steps[step.id] = "waiting"
        elif step.due is not None and not ended:
            due_min = due_at_min(step.due, state)
            later = due_min is not None and now_min is not None and due_min > now_min
            state.steps[step.id] = "waiting" if later else "ready"
        else:
            state.steps[step.id] = "ready" if begun else "planned"


def due_at_min(due: Due, state: State) -> float | None:
    """When a moment comes in the lot [min]; None while its phase has not begun or ended."""
    since = state.done_at.get(due.since) if state.steps.get(due.since) == "done" else None
    if since is not None and since.min is not None:
        return since.min + due.since_min
    span = state.phases.get(due.after)
    if span is None:
        return None
    edge = span.begun if due.edge == "begun" else span.ended
    if edge is None or edge.min is None:
        return None
    more_min = state.longer_min.get(due.after, 0.0) if due.edge == "begun" else 0.0
    return edge.min + due.plus_min + more_min


def refusal(state: State, step: str) -> str:
    """Why a step may not be done yet, in a sentence; empty if it may."""
    found = state.day.step.get(step)
    if found is None:
        return f"There is no step `{step}` in this plan."
    unmet = [need for need in found.needs if not _met(state, need)]
    if not unmet:
        return ""
    first = state.day.step[unmet[0]]
    return f"Not yet. First: {first.text}"


def _met(state: State, need: str) -> bool:
    """Whether a step that others wait for is done; of a reading it is enough that it was asked."""
    if state.steps.get(need) == "skipped":
        found = state.day.step.get(need)
        return found is not None and found.ask is not None
    return state.steps.get(need) == "done"
