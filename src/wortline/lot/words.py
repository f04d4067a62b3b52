"""What an entry says, in words: for the list of a lot's events and its plain-text file."""

from collections.abc import Callable, Iterable

from wortline.lot.day import Day
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
from wortline.lot.fold import Fact

Say = Callable[[float, str], str]
Named = Callable[[str], str]


READ = {
    "water": "water",
    "strike": "strike water",
    "mash": "mash",
    "preboil": "before the boil",
    "postboil": "after the boil",
    "rest": "end of the rest",
    "chilled": "chilled wort",
    "fermenter": "in the fermenter",
    "original": "original gravity",
    "pitch": "wort for the yeast",
    "flow": "flow with hops in",
    "clean flow": "clean flow",
    "clear after": "clear after",
}
"""What is read, in words."""


def read_words(of: str, quantity: str) -> str:
    """What a reading is of, with its quantity where the name does not say it."""
    name = READ.get(of, of)
    told = not quantity or quantity in name or quantity in ("time", "turning")
    words = name if told else f"{name}, {quantity}"
    return words[:1].upper() + words[1:]


def phase_words(day: Day, phase: str) -> str:
    """What a phase is called."""
    found = day.phase.get(phase)
    return found.words if found else phase


def step_words(day: Day, step: str) -> str:
    """What a step says."""
    found = day.step.get(step)
    return found.text if found else step


def event_words(event: Event, day: Day, say: Say, named: Named = str) -> str:
    """An event in one line; `named` says what the entry of an id is called."""
    match event:
        case Started(name):
            return f"The lot begins: {name}"
        case PhaseBegun(phase):
            return f"Begins: {phase_words(day, phase)}"
        case PhaseEnded(phase):
            return f"Ends: {phase_words(day, phase)}"
        case StepDone(step):
            return f"Done: {step_words(day, step)}"
        case NotYet(step):
            return f"Not yet: {step_words(day, step)}"
        case Skipped(step, why):
            return _because(f"Skipped: {step_words(day, step)}", why)
        case Measured():
            return _measured(event, say)
        case DoseIn(dose, mass_kg):
            return f"In: {dose}" + (f", {say(mass_kg, 'mass')}" if mass_kg is not None else "")
        case _:
            return _rarer(event, day, say, named)


def _rarer(event: Event, day: Day, say: Say, named: Named) -> str:
    match event:
        case HandleTurned(part, position):
            return f"{part} to {position}"
        case PumpSet(on):
            return f"Pump {'on' if on else 'off'}"
        case SurfaceSet(part, now, how):
            return _because(f"{part or 'Parts'} {now}", how)
        case Deviation(text, _, way):
            return _because(f"Otherwise: {text}", way)
        case Noted(text):
            return f"Note: {text}"
        case Photo(reference, text):
            return _because(f"Photo {reference}", text)
        case Corrected(entry, inner, why):
            meant = event_words(inner, day, say, named)
            return _because(f"Corrects {named(entry)}: {meant}", why)
        case Undone(entry, why):
            return _because(f"Undoes {named(entry)}", why)
        case ClockAdjusted(0.0, _):
            return "Clock: compared with the computer's"
        case ClockAdjusted(by_min, because):
            return f"Clock: {because}, {by_min:.1f} min"
        case Overridden(check, why):
            return _because(f"Went on against the check: {check}", why)
        case _:
            return event.KIND


def _because(text: str, why: str) -> str:
    return f"{text} ({why})" if why else text


def _measured(event: Measured, say: Say) -> str:
    value = say(event.value, event.quantity)
    at = f" at {say(event.sample_c, 'temperature')}" if event.sample_c is not None else ""
    how = f", {event.instrument}" if event.instrument != "other" else ""
    typed = f", typed `{event.typed}`" if event.typed and event.typed != value else ""
    told = event.quantity in event.of or event.quantity in ("time", "turning")
    of = event.of if told else f"{event.of} {event.quantity}"
    return f"Read {of}: {value}{at}{how}{typed}"


def names_of(entries: Iterable[Entry]) -> Named:
    """What entries are called: by their number; by their id where it is not kept yet or unknown."""
    numbers = {entry.id: entry.number for entry in entries if entry.number}
    return lambda id: f"entry {numbers[id]}" if id in numbers else id


def moment_words(fact: Fact) -> str:
    """The minute of the lot of a fact, with a mark where it is less than sure."""
    if fact.at.min is None:
        return "no time"
    mark = {"sure": "", "fair": "~", "guess": "?", "none": "?"}[fact.at.trust]
    whole = round(fact.at.min)
    sign = "-" if whole < 0 else ""
    return f"{mark}{sign}{abs(whole) // 60}:{abs(whole) % 60:02d}"
