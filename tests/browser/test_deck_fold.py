"""The device folds a record as the server does: same standing, same minutes, same alarms."""

import json
import random
from typing import Any

import pytest
from decks import Hands

from wortline.app.lots import OpenLot, lot_of
from wortline.lot.ahead import coming, meanwhile, next_steps
from wortline.lot.events import Steady
from wortline.lot.fold import State, fold, ordered
from wortline.lot.record import entry_values, read_entry
from wortline.web.services import Services

FOLDED = """async ([deck, entries]) => {
  const folder = document.querySelector("script[type=module]").src.replace(/deck.js$/, "");
  const {fold, coming, meanwhile, nextSteps, ordered} = await import(folder + "deck_fold.js");
  const sorted = ordered(entries);
  const state = fold(deck, sorted);
  const at = (each) => each && each.min;
  return {
    steps: Object.fromEntries(state.steps), handles: state.handles, pump: state.pumpOn,
    phase: state.phase, surfaces: state.surfaces, order: sorted.map((each) => each.id),
    phases: Object.fromEntries([...state.phases].map(([name, span]) =>
      [name, [at(span.begun), at(span.ended)]])),
    doses: Object.fromEntries([...state.doses].map(([name, each]) => [name, at(each)])),
    minutes: state.facts.map((fact) => [fact.entry.id, fact.at.min, fact.at.trust]),
    readings: state.readings.map(({event}) => event.value),
    former: state.facts.map((fact) => fact.former.map((each) => each.kind)),
    coming: coming(deck, state).map((each) => [each.id, each.dueMin]),
    next: nextSteps(deck, state).map((each) => each.id),
    meanwhile: meanwhile(deck, state).map((each) => each.id),
  };
}"""
SEEDS = range(12)
MANY = 60


def by_python(state: State, entries: Any) -> dict[str, Any]:
    return {
        "steps": dict(state.steps),
        "handles": dict(state.handles),
        "pump": state.pump_on,
        "phase": state.phase,
        "surfaces": dict(state.surfaces),
        "order": [each.id for each in ordered(entries)],
        "phases": {
            name: [span.begun.min, span.ended.min if span.ended else None]
            for name, span in state.phases.items()
        },
        "doses": {name: at.min for name, at in state.doses.items()},
        "minutes": [[each.entry.id, each.at.min, each.at.trust] for each in state.facts],
        "readings": [measured.value for measured, _ in state.readings],
        "former": [[event.KIND for event in each.former] for each in state.facts],
        "coming": [[alarm.id, due_min] for due_min, alarm in coming(state)],
        "next": [each.id for each in next_steps(state)],
        "meanwhile": [each.id for each in meanwhile(state)],
    }


def happened(dice: random.Random, opened: OpenLot) -> list[Any]:
    """A record at random: three devices, two servers, sleep, set clocks, undos, corrections."""
    steps, phases = [each.id for each in opened.day.steps], [each.id for each in opened.day.phases]
    made: list[Any] = []
    minute, sequences = 0.0, {"a": 0, "b": 0, "c": 0}
    for number in range(1, MANY):
        minute += dice.choice((0.0, 0.2, 3.0, 12.5))
        device = dice.choice("aab" + "c" * (number > MANY // 2))
        sequences[device] += 1
        session = "late" if number > MANY // 2 and dice.random() < 0.5 else "early"
        # one that came before, one that comes after, or one that is not there
        meant = f"e{number + dice.randint(-6, 3)}"
        event = dice.choice(
            (
                {"kind": "phase begun", "phase": phases[min(number // 5, len(phases) - 1)]},
                {"kind": "phase ended", "phase": dice.choice(phases)},
                {"kind": "step done", "step": dice.choice(steps)},
                {"kind": "skipped", "step": dice.choice(steps)},
                {"kind": "not yet", "step": dice.choice(steps), "again_min": 4.5},
                {
                    "kind": "deviation",
                    "text": "a way",
                    "trouble": "gravity-low",
                    "way": "boil-longer",
                    "phase": dice.choice([*phases, "nowhere", ""]),
                    "change": {"boil_min": 7.5, "wait_min": 2.25},
                },
                {"kind": "not yet", "step": dice.choice(steps)},
                {"kind": "dose in", "dose": dice.choice(("d1", "d2"))},
                {"kind": "measured", "of": "mash", "quantity": "temperature", "value": 65.5},
                {"kind": "handle turned", "part": "V1", "position": dice.choice(("arm", "off"))},
                {"kind": "pump", "on": dice.random() < 0.5},
                {"kind": "surface", "part": "H4", "now": "sanitised"},
                {"kind": "clock adjusted", "by_min": 7.5, "because": "device slept"},
                {"kind": "clock adjusted", "by_min": -60.0, "because": "clock set"},
                {"kind": "undone", "entry": meant},
                {"kind": "corrected", "entry": meant,
                 "event": {"kind": "measured", "of": "mash", "quantity": "temperature",
                           "value": 67.0}},
            )
        )  # fmt: skip
        kept = number < MANY - 6
        entry: dict[str, Any] = {
            "schema": "lot/1", "id": f"e{number}", "device": device,
            "sequence": sequences[device], "wall_ms": 1_835_427_600_000 + round(minute * 60_000),
            "zone_min": 60, "steady": {"session": session, "min": 100.0 + minute}, "event": event,
        }  # fmt: skip
        if dice.random() < 0.1:
            entry |= {"paper": True}
            if dice.random() < 0.5:
                entry |= {"written_ms": 1_835_427_600_000 + round(minute * 60_000)}
        if kept:
            server = Steady("one" if number < 20 else "two", 900.0 + minute + dice.random())
            entry |= {"number": number, "server_ms": entry["wall_ms"],
                      "server": {"session": server.session, "min": server.min}}  # fmt: skip
        made.append(entry)
    dice.shuffle(made)
    return made


@pytest.fixture
def opened(begun: Services) -> OpenLot:
    return lot_of(begun.lots, 1)


def test_the_device_folds_as_the_server_does(
    hands: Hands, opened: OpenLot, begun: Services
) -> None:
    from wortline.app.deck import deck_values

    deck = deck_values(begun.lots, begun.documents, 1)
    seen: set[str] = set()
    for seed in SEEDS:
        entries = happened(random.Random(seed), opened)
        read = [read_entry(each) for each in entries]
        there = hands.page.evaluate(FOLDED, [deck, [entry_values(each) for each in read]])
        here = json.loads(json.dumps(by_python(fold(opened.day, read), read)))
        for key, found in here.items():
            assert rounded(there[key]) == rounded(found), (seed, key)
        seen |= {key for key, found in here.items() if found}
    assert seen == set(here)


def rounded(value: Any) -> Any:
    """Minutes to a millionth: the order of additions may differ."""
    if isinstance(value, float):
        return round(value, 6) + 0.0
    if isinstance(value, list):
        return [rounded(each) for each in value]
    if isinstance(value, dict):
        return {key: rounded(each) for key, each in value.items()}
    return float(value) if isinstance(value, int) and not isinstance(value, bool) else value
