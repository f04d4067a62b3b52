"""Typing the printed sheet in afterwards: its blanks in its order, a time beside each or none."""

from dataclasses import dataclass
from typing import Literal

from wortline.lot.day import Ask, Day, Step
from wortline.lot.events import DoseIn, Event, Instrument, Measured, PhaseBegun, Quantity, StepDone

INSTRUMENTS: dict[str, Instrument] = {
    "gravity": "hydrometer",
    "volume": "mark",
    "temperature": "thermometer",
}


@dataclass(frozen=True)
class Blank:
    """One place of the sheet: a phase with its clock, a dose to tick, or a number to write."""

    key: str
    kind: Literal["phase", "tick", "number"]
    text: str
    ask: Ask | None = None
    dose: str = ""


def blanks(day: Day) -> list[Blank]:
    """Every place of the printed sheet that somebody may have written on, in its order."""
    found: list[Blank] = []
    for phase in day.phases:
        if phase.stage != "brew":
            continue
        found.append(Blank(phase.id, "phase", phase.words))
        found += [blank for step in day.of_phase(phase.id) for blank in _of_step(step)]
    return found


def _of_step(step: Step) -> list[Blank]:
    if step.dose:
        return [Blank(step.id, "tick", step.text, dose=step.dose)]
    if step.ask and step.ask.on_sheet:
        return [Blank(step.id, "number", step.text, step.ask)]
    return []


def written(
    blank: Blank,
    value: float | None = None,
    typed: str = "",
    sample_c: float | None = None,
    instrument: Instrument | None = None,
) -> tuple[Event, ...]:
    """The events that a filled-in blank stands for."""
    if blank.kind == "phase":
        return (PhaseBegun(blank.key),)
    if blank.kind == "tick" and value is not None:
        return (DoseIn(blank.dose, value), StepDone(blank.key))
    if blank.kind == "tick" or blank.ask is None or value is None:
        return (StepDone(blank.key),)
    quantity: Quantity = blank.ask.quantity  # type: ignore[assignment]
    how: Instrument = instrument or INSTRUMENTS.get(quantity, "other")
    reading = Measured(blank.ask.of, quantity, value, how, sample_c, typed, blank.key)
    return (reading, StepDone(blank.key))
