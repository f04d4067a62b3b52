"""Entries as JSON: round trip, and what is refused with which sentence. Kind: law."""

import dataclasses
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortline.errors import RecordRefused
from wortline.lot import events as ev
from wortline.lot.events import EVENTS, Entry, Steady
from wortline.lot.record import as_line, entry_values, from_line, read_entry

TEXT = st.text(st.characters(exclude_characters="\0", exclude_categories=("Cs",)), max_size=40)
NUMBER = st.floats(allow_nan=False, allow_infinity=False)
WHOLE = st.integers(0, 10**12)
LITTLE = st.floats(-2880.0, 2880.0)
SPECIAL = {
    "change": st.builds(
        ev.Change, added_l=LITTLE, boil_min=LITTLE, dose=TEXT, lid_on=st.booleans()
    ),
    "quantity": st.sampled_from(["gravity", "volume", "temperature", "flow", "mass", "ph", "time"]),
    "instrument": st.sampled_from(["hydrometer", "refractometer", "mark", "other"]),
    "now": st.sampled_from(["sanitised", "opened", "left wet"]),
    "because": st.sampled_from(["clock set", "device slept"]),
}
BY_NAME = {
    "on": st.booleans(),
    "value": NUMBER,
    "by_min": NUMBER,
    "again_min": st.none() | NUMBER,
    "mass_kg": st.none() | NUMBER,
    "sample_c": st.none() | NUMBER,
}


def event_of(kind: type) -> st.SearchStrategy:
    if kind is ev.Corrected:
        inner = st.one_of(*(event_of(each) for each in EVENTS.values() if each is not ev.Corrected))
        return st.builds(ev.Corrected, entry=TEXT, event=inner, why=TEXT)
    fields = {each.name for each in dataclasses.fields(kind)}
    parts = {name: (SPECIAL | BY_NAME).get(name, TEXT) for name in fields}
    return st.builds(kind, **parts)


EVENT = st.one_of(*(event_of(each) for each in EVENTS.values()))
NAME = st.text(st.characters(codec="ascii", categories=("L", "N")), min_size=1, max_size=20)
ENTRY = st.builds(
    Entry,
    id=NAME,
    device=NAME,
    sequence=WHOLE,
    wall_ms=WHOLE,
    zone_min=st.integers(-720, 840),
    steady=st.builds(Steady, TEXT, NUMBER),
    event=EVENT,
    paper=st.booleans(),
    written_ms=st.none() | WHOLE,
    number=WHOLE,
    server_ms=WHOLE,
    server=st.none() | st.builds(Steady, TEXT, NUMBER),
)


@given(ENTRY)
def test_every_entry_comes_back_as_it_was(entry: Entry) -> None:
    line = as_line(entry)
    assert "\n" not in line
    assert from_line(line) == entry


def plain(**more: object) -> dict:
    base = entry_values(
        Entry("a1", "phone", 3, 1_800_000_000_000, 60, Steady("s", 4.5), ev.StepDone("mash/in"))
    )
    return {**base, **more}


def test_all_kinds_are_in_the_union_once() -> None:
    assert len(EVENTS) == 18
    assert set(EVENTS) >= {"measured", "dose in", "override", "undone", "clock adjusted"}


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"schema": "lot/2"}, "by a newer Wortline; this one knows lot/1"),
        ({"schema": "plan/1"}, "`schema` is `plan/1`; it has to be lot/1"),
        ({"event": {"kind": "step dun", "step": "x"}}, "did you mean `step done`?"),
        ({"event": {"kind": "step done", "stp": "x"}}, "event.stp: there is no such field"),
        ({"event": {"kind": "step done"}}, "event.step: it is missing"),
        ({"event": {"kind": "step done", "step": "a\0b"}}, "NUL byte"),
        ({"event": {"kind": "pump", "on": 1}}, "`1` is neither true nor false"),
        ({"wall_ms": 1.5}, "wall_ms: `1.5` is no whole number"),
        ({"sequence": -1}, "sequence: `-1` is below 0"),
        ({"id": ""}, "id: `` has to have 1 to 64 characters"),
        ({"steady": {"session": "s", "min": True}}, "steady.min: `True` is no number"),
        ({"colour": "red"}, "colour: there is no such field"),
        (
            {"event": {"kind": "measured", "of": "x", "quantity": "gravty", "value": 1}},
            "did you mean `gravity`?",
        ),
        ({"event": {"kind": "note", "text": "x" * 4001}}, "at most 4000 are kept"),
        ({"zone_min": 5000}, "more than a day"),
    ],
)
def test_what_is_wrong_is_said(change: dict, said: str) -> None:
    with pytest.raises(RecordRefused) as refused:
        read_entry(plain(**change))
    assert said in str(refused.value)


def test_a_line_cut_in_half_or_with_a_nul_byte_is_said() -> None:
    line = json.dumps(plain())
    with pytest.raises(RecordRefused, match="cut off"):
        from_line(line[: len(line) // 2])
    with pytest.raises(RecordRefused, match="NUL byte"):
        from_line(line[:20] + "\0" + line[20:])
    with pytest.raises(RecordRefused, match="NaN is no number"):
        from_line(line.replace("4.5", "NaN"))
    with pytest.raises(RecordRefused, match="object with fields"):
        from_line("[1]")


def test_a_correction_of_a_correction_in_itself_is_refused() -> None:
    inner = {"kind": "corrected", "entry": "x", "event": {"kind": "note", "text": "t"}}
    with pytest.raises(RecordRefused, match="not a correction in itself"):
        read_entry(plain(event={"kind": "corrected", "entry": "y", "event": inner}))


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"boil_min": 1e9}, "event.change.boil_min: `1000000000.0` is more than 2880"),
        ({"boil": 3.0}, "event.change.boil: there is no such field; did you mean `boil_min`?"),
        ([3], "event.change: `[3]` is no change of the day"),
        ({"lid_on": 1}, "event.change.lid_on: `1` is neither true nor false"),
    ],
)
def test_a_change_of_the_day_that_cannot_be_is_refused(change: object, said: str) -> None:
    event = {"kind": "deviation", "text": "x", "way": "boil-longer", "change": change}
    with pytest.raises(RecordRefused) as refused:
        read_entry(plain(event=event))
    assert said in str(refused.value)
