"""What a lot came to: plan against fact, its events in words, and its alarms as a calendar."""

from dataclasses import asdict
from functools import partial
from typing import Any

from wortline.app.lots import OpenLot
from wortline.app.ports_lots import LotStore, Watch
from wortline.lot.ahead import coming, meanwhile, next_steps
from wortline.lot.clock import civil, clock_text
from wortline.lot.day import Step
from wortline.lot.events import Entry, Measured
from wortline.lot.fold import State, due_at_min, refusal
from wortline.lot.readings import cold_l, strength_plato, usual_c
from wortline.lot.words import Named, event_words, moment_words, names_of
from wortline.science.extract import sg_from_plato
from wortline.science.standards import COLD_C
from wortline.units import say

SCHEMA = "lot-report/1"
FOLD_BYTES = 75


def lot_report(opened: OpenLot) -> dict[str, Any]:
    """Everything a face shows of one lot, in core units."""
    state, lot = opened.state, opened.lot
    return {
        "schema": SCHEMA,
        "number": lot.number,
        "name": lot.name,
        "started_at": lot.started_at.isoformat(),
        "phase": state.phase,
        "phases": [_phase(opened, index) for index in range(len(opened.day.phases))],
        "steps": [
            {
                "id": step.id,
                "phase": step.phase,
                "text": step.text,
                "safety": step.safety,
                "standing": state.standing(step.id),
                "done_min": at.min if (at := state.done_at.get(step.id)) else None,
                "refusal": refusal(state, step.id),
            }
            for step in opened.day.steps
        ],
        "next": [step.id for step in next_steps(state)],
        "meanwhile": [step.id for step in meanwhile(state)],
        "alarms": [
            {"id": alarm.id, "text": alarm.text, "due_min": due_min}
            for due_min, alarm in coming(state)
        ],
        "readings": readings(opened),
        "dosed": [_dose(step, state) for step in opened.day.steps if step.dose],
        "doses": {dose: at.min for dose, at in state.doses.items()},
        "handles": dict(state.handles),
        "pump": "on" if state.pump_on else "off",
        "surfaces": dict(state.surfaces),
        "deviations": [asdict(each) for each in state.deviations],
        "overrides": [asdict(each) for each in state.overrides],
        "notes": list(state.notes),
        "events": events(opened),
        "problems": [*opened.problems, *state.doubts],
        "gravity": opened.frozen["plan"]["gravity"],
        "bitterness": opened.frozen["plan"]["bitterness"]["ibu"],
    }


def _dose(step: Step, state: State) -> dict[str, Any]:
    """One dose: what it is, when it was due in the day as it went, and when it went in."""
    at = state.doses.get(step.dose)
    return {
        "id": step.dose,
        "words": step.text,
        "due_min": due_at_min(step.due, state) if step.due else None,
        "at_min": at.min if at else None,
        "standing": state.standing(step.id),
    }


def _phase(opened: OpenLot, index: int) -> dict[str, Any]:
    """One phase of the plan beside what it was."""
    phase = opened.day.phases[index]
    span = opened.state.span(phase.id)
    return {
        "id": phase.id,
        "words": phase.words,
        "stage": phase.stage,
        "planned_min": phase.planned_min,
        "begun_min": span.begun.min if span else None,
        "lasted_min": span.lasted_min if span else None,
        "trust": span.begun.trust if span else None,
    }


def readings(opened: OpenLot) -> list[dict[str, Any]]:
    """Every number that was read, as read and as it counts, beside the plan's."""
    planned = {(step.ask.of, step.ask.quantity): step.ask for step in opened.day.steps if step.ask}
    temps_c = {row["step"]: row["temp_c"] for row in opened.frozen["plan"]["ledger"]}

    def by_plan_c(of: str) -> float:
        found_c = usual_c(of, temps_c["preboil"], temps_c["fermenter"], temps_c["water"])
        return COLD_C if found_c is None else found_c

    found = []
    for fact in opened.state.facts:
        measured, at = fact.event, fact.at
        if not isinstance(measured, Measured):
            continue
        ask = planned.get((measured.of, measured.quantity))
        counts = measured.value
        if measured.quantity == "gravity":
            plato = strength_plato(measured)
            counts = None if plato is None else float(sg_from_plato(plato))  # type: ignore[assignment]
        elif measured.quantity == "volume":
            counts = cold_l(measured, by_plan_c(measured.of))
        plan = ask.planned if ask else None
        if plan is not None and ask is not None and ask.hot:
            plan = cold_l(type(measured)(measured.of, "volume", plan), by_plan_c(measured.of))
        former = [asdict(each) for each in fact.former if isinstance(each, Measured)]
        known = {"counts": counts, "planned": plan, "at_min": at.min, "former": former}
        found.append({**asdict(measured), **known})
    return found


def events(opened: OpenLot) -> list[dict[str, Any]]:
    """All entries in words, in the order of the record; undone ones too."""
    spoken = partial(say, system=opened.lot.system)
    facts = {fact.entry.id: fact for fact in opened.state.facts}
    named = names_of(opened.entries)
    return [_event(entry, opened, facts, spoken, named) for entry in opened.entries]


def _event(
    entry: Entry, opened: OpenLot, facts: dict[str, Any], spoken: Any, named: Named
) -> dict[str, Any]:
    fact = facts.get(entry.id)
    wall_ms = entry.written_ms if entry.paper else entry.wall_ms
    return {
        "number": entry.number,
        "id": entry.id,
        "kind": entry.event.KIND,
        "words": event_words(entry.event, opened.day, spoken, named),
        "counts": fact is not None,
        "now": event_words(fact.event, opened.day, spoken) if fact and fact.corrected else None,
        "minute": moment_words(fact) if fact else None,
        "device": entry.device,
        "wall": clock_text(wall_ms, entry.zone_min) if wall_ms is not None else None,
    }


def start_page(lots: LotStore, before: int | None = None, most: int = 100) -> dict[str, Any]:
    """The lots there are, the newest first."""
    page = lots.listed(before, most)
    return {
        "lots": [
            {**vars(each), "started_at": each.started_at.isoformat()} for each in page.headings
        ],
        "before": page.before,
    }


def alarm_times(state: State) -> list[tuple[str, str, int]]:
    """Every coming alarm with its id, text and wall time [UTC ms since 1970]."""
    known = [fact for fact in state.facts if fact.at.min is not None and not fact.entry.paper]
    if not known:
        return []
    # The newest entry ties minutes to the wall: a clock that was set since counts as it is now.
    newest = max(known, key=lambda fact: fact.at.min if fact.at.min is not None else 0.0)
    now_min = newest.at.min
    assert now_min is not None
    return [
        (alarm.id, alarm.text, newest.entry.wall_ms + round((due_min - now_min) * 60_000.0))
        for due_min, alarm in coming(state)
    ]


def alarms_calendar(opened: OpenLot, watch: Watch, one: str | None = None) -> str:
    """The coming alarms, or one of them, as iCalendar for the clock of a phone."""
    stamp = _utc(watch.wall_ms())
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Wortline//lot//EN"]
    for step, text, wall_ms in alarm_times(opened.state):
        if one is not None and step != one:
            continue
        said = _escaped(text)
        lines += [
            "BEGIN:VEVENT",
            f"UID:{_escaped(opened.lot.id)}-{_escaped(step)}@wortline.invalid",
            f"DTSTAMP:{stamp}",
            f"DTSTART:{_utc(wall_ms)}",
            "DURATION:PT1M",
            f"SUMMARY:{said}",
            "BEGIN:VALARM",
            "ACTION:DISPLAY",
            "TRIGGER:PT0S",
            f"DESCRIPTION:{said}",
            "END:VALARM",
            "END:VEVENT",
        ]
    lines.append("END:VCALENDAR")
    return "".join(f"{_folded(line)}\r\n" for line in lines)


def _utc(wall_ms: int) -> str:
    year, month, day, hour, minute, second = civil(wall_ms)
    return f"{year:04d}{month:02d}{day:02d}T{hour:02d}{minute:02d}{second:02d}Z"


def _escaped(text: str) -> str:
    for sign in "\\;,":
        text = text.replace(sign, f"\\{sign}")
    return text.replace("\r", "").replace("\n", "\\n")


def _folded(line: str) -> str:
    """A line cut into pieces of 75 bytes, no letter cut in two (RFC 5545, section 3.1)."""
    pieces: list[bytes] = []
    now = b""
    for letter in line:
        raw = letter.encode("utf-8")
        if len(now) + len(raw) > FOLD_BYTES - (1 if pieces else 0):
            pieces.append(now)
            now = b""
        now += raw
    pieces.append(now)
    return b"\r\n ".join(pieces).decode("utf-8")
