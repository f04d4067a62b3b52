"""Entries as JSON and back, as `lot/1`: nothing unknown is guessed at, nothing wrong let in."""

import json
import math
from collections.abc import Callable, Mapping
from dataclasses import MISSING, Field, fields, replace
from difflib import get_close_matches
from types import UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from wortline.errors import RecordRefused
from wortline.lot import events
from wortline.lot.events import EVENTS, Change, Corrected, Deviation, Entry, Event, Steady

SCHEMA = "lot/1"
MOST_TEXT = 4000
MOST_ID = 64
MOST_CHANGE = 2880.0
"""No number of a change is larger: two days in minutes."""
MOST_MS = 253_402_300_800_000
"""The year 10000."""

_HINTS: dict[type, dict[str, Any]] = {}


def hints(kind: type) -> dict[str, Any]:
    """The types of a dataclass's fields."""
    if kind not in _HINTS:
        _HINTS[kind] = get_type_hints(kind, vars(events))
    return _HINTS[kind]


def event_values(event: Event) -> dict[str, Any]:
    """An event as plain values, `kind` first; what is left at its default is left out."""
    values: dict[str, Any] = {"kind": event.KIND}
    for each in fields(event):
        value = getattr(event, each.name)
        if value == each.default:
            continue
        if each.name == "event":
            value = event_values(value)
        elif isinstance(value, Change):
            value = {name: it for name, it in vars(value).items() if it != getattr(Change, name)}
        values[each.name] = value
    return values


def entry_values(entry: Entry) -> dict[str, Any]:
    """An entry as plain values."""
    values: dict[str, Any] = {"schema": SCHEMA}
    for each in fields(entry):
        value = getattr(entry, each.name)
        if value == each.default:
            continue
        if each.name == "event":
            value = event_values(value)
        elif isinstance(value, Steady):
            value = {"session": value.session, "min": value.min}
        values[each.name] = value
    return values


def as_line(entry: Entry) -> str:
    """An entry as one line of JSON."""
    return json.dumps(entry_values(entry), ensure_ascii=False, separators=(",", ":"))


def from_line(line: str) -> Entry:
    """The entry in a line of JSON.

    Raises
    ------
    RecordRefused
        With a sentence on what is wrong.
    """
    if "\0" in line:
        raise RecordRefused("there is a NUL byte in it: the file is damaged here")
    try:
        given = json.loads(line, parse_constant=_no_number)
    except json.JSONDecodeError as error:
        cut = " (it seems to be cut off)" if not line.rstrip().endswith("}") else ""
        raise RecordRefused(f"it is no JSON from character {error.pos + 1} on{cut}") from None
    except RecursionError:
        raise RecordRefused("it is nested too deeply") from None
    return read_entry(given)


def _no_number(word: str) -> float:
    raise RecordRefused(f"{word} is no number")


def read_entry(given: object) -> Entry:
    """The entry in plain values.

    Raises
    ------
    RecordRefused
        With a sentence on what is wrong, the value as given, and what is allowed.
    """
    if not isinstance(given, Mapping):
        raise RecordRefused(f"an entry is an object with fields, not `{_short(given)}`")
    known_schema(given.get("schema"))
    values = {key: value for key, value in given.items() if key != "schema"}
    entry: Entry = _build(Entry, values, "")
    _sound(entry)
    return entry


def known_schema(schema: object) -> None:
    """Refuse what was not written as `lot/1`, and say so of a newer one."""
    if schema == SCHEMA:
        return
    name, _, version = str(schema).partition("/")
    if name == "lot" and version.isdigit() and int(version) > 1:
        raise RecordRefused(
            f"it is written as `{_short(schema)}`, by a newer Wortline; this one knows {SCHEMA}."
            " Update Wortline; nothing was changed"
        )
    raise RecordRefused(f"`schema` is `{_short(schema)}`; it has to be {SCHEMA}")


def read_event(given: object, place: str = "event") -> Event:
    """The event in plain values.

    Raises
    ------
    RecordRefused
        With a sentence on what is wrong.
    """
    if not isinstance(given, Mapping):
        raise RecordRefused(f"{place}: an event is an object with `kind`, not `{_short(given)}`")
    kind = EVENTS.get(str(given.get("kind")))
    if kind is None:
        raise RecordRefused(
            f"{place}.kind: `{_short(given.get('kind'))}` is no event that this Wortline knows;"
            f" it knows {', '.join(EVENTS)}{_near(str(given.get('kind')), EVENTS)}"
        )
    values = {key: value for key, value in given.items() if key != "kind"}
    event: Event = _build(kind, values, f"{place}.")
    return event


def _build(kind: type, given: Mapping[str, Any], place: str) -> Any:
    table: dict[str, Field[Any]] = {each.name: each for each in fields(kind)}
    for key in given:
        if key not in table:
            near = _near(str(key), table)
            raise RecordRefused(f"{place}{_short(key)}: there is no such field{near}")
    built: dict[str, Any] = {}
    for name, each in table.items():
        if name in given:
            built[name] = _read(hints(kind)[name], given[name], place + name)
        elif each.default is MISSING:
            raise RecordRefused(f"{place}{name}: it is missing")
    return kind(**built)


def _read(hint: Any, value: Any, place: str) -> Any:
    if get_origin(hint) in (Union, UnionType):
        options = get_args(hint)
        if type(None) not in options:
            return read_event(value, place)
        if value is None:
            return None
        hint = next(option for option in options if option is not type(None))
    if get_origin(hint) is Literal:
        if value not in get_args(hint):
            allowed = ", ".join(get_args(hint))
            near = _near(str(value), get_args(hint))
            raise RecordRefused(f"{place}: `{_short(value)}` is not one of {allowed}{near}")
        return value
    if hint in NESTED:
        if not isinstance(value, Mapping):
            raise RecordRefused(f"{place}: `{_short(value)}` is no {NESTED[hint]}")
        return _build(hint, value, f"{place}.")
    return READERS[hint](value, place)


def _text(value: Any, place: str) -> str:
    if not isinstance(value, str):
        raise RecordRefused(f"{place}: `{_short(value)}` is no text")
    if "\0" in value:
        raise RecordRefused(f"{place}: there is a NUL byte in the text")
    if len(value) > MOST_TEXT:
        raise RecordRefused(f"{place}: {len(value)} characters; at most {MOST_TEXT} are kept")
    try:
        value.encode("utf-8")
    except UnicodeEncodeError:
        raise RecordRefused(f"{place}: half of a character is missing in the text") from None
    return value


def _number(value: Any, place: str) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not _finite(value):
        raise RecordRefused(f"{place}: `{_short(value)}` is no number")
    return float(value)


def _finite(value: float) -> bool:
    try:
        return math.isfinite(value)
    except OverflowError:
        return False


def _whole(value: Any, place: str) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or abs(value) > MOST_MS:
        raise RecordRefused(f"{place}: `{_short(value)}` is no whole number in range")
    return value


def _yes(value: Any, place: str) -> bool:
    if not isinstance(value, bool):
        raise RecordRefused(f"{place}: `{_short(value)}` is neither true nor false")
    return value


NESTED: dict[type, str] = {Steady: "reading of a steady clock", Change: "change of the day"}
READERS: dict[type, Callable[[Any, str], Any]] = {
    str: _text,
    float: _number,
    int: _whole,
    bool: _yes,
}


def _sound(entry: Entry) -> None:
    """Refuse what has the right types and still cannot be."""
    for name in ("id", "device"):
        value = getattr(entry, name)
        if not value or len(value) > MOST_ID:
            raise RecordRefused(f"{name}: `{_short(value)}` has to have 1 to {MOST_ID} characters")
    for name in ("sequence", "number", "wall_ms", "server_ms"):
        if getattr(entry, name) < 0:
            raise RecordRefused(f"{name}: `{getattr(entry, name)}` is below 0")
    if abs(entry.zone_min) > 24 * 60:
        raise RecordRefused(f"zone_min: `{entry.zone_min}` is more than a day")
    inner = entry.event
    if isinstance(inner, Deviation):
        _changes_little(inner.change)
    if isinstance(inner, Corrected) and isinstance(inner.event, Corrected):
        raise RecordRefused("event: a correction corrects an entry, not a correction in itself")


def _changes_little(change: Change) -> None:
    for name, value in vars(change).items():
        if isinstance(value, float) and abs(value) > MOST_CHANGE:
            raise RecordRefused(f"event.change.{name}: `{value}` is more than {MOST_CHANGE:.0f}")


def unkept(entry: Entry) -> Entry:
    """The entry as its device made it, without what the server gave it."""
    return replace(entry, number=0, server_ms=0, server=None)


def _near(word: str, known: Any) -> str:
    found = get_close_matches(word, list(known), n=1)
    return f"; did you mean `{found[0]}`?" if found else ""


def _short(value: object) -> str:
    text = repr(value) if not isinstance(value, str) else value
    return text if len(text) <= 60 else text[:57] + "..."
