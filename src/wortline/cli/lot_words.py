"""From words typed at the prompt to an event of a lot."""

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from wortline.app.lot_paper import number_of
from wortline.errors import RecordRefused

if TYPE_CHECKING:
    from wortline.app.lots import OpenLot
    from wortline.lot.events import Event


def event_of(
    opened: "OpenLot",
    words: tuple[str, ...],
    sample: str | None,
    instrument: str | None,
    why: str,
    parts: tuple[str, ...] = (),
    positions: "Mapping[str, Sequence[str]] | None" = None,
) -> "Event":
    """The event that the words say; `parts` are those of the rig, none if it does not tell them.

    `positions` are the handles and hose ends of the rig with where each can be; None if unknown.

    Raises
    ------
    RecordRefused
        If they say none.
    """
    verb, *rest = words
    if verb not in VERBS:
        raise RecordRefused(f"`{verb}` is not understood; say one of {', '.join(VERBS)}")
    wants, make = VERBS[verb]
    if not wants[0] <= len(rest) <= wants[1]:
        many = f"{wants[0]}" if wants[0] == wants[1] else f"{wants[0]} to {wants[1]}"
        raise RecordRefused(f"`{verb}` takes {many} words after it; {len(rest)} are here")
    sample_c = None if sample is None else number_of(sample, "temperature", "--at")
    more = {"sample_c": sample_c, "instrument": instrument, "why": why}
    return make(opened, rest, {**more, "parts": parts, "positions": positions})


def _phase(opened: "OpenLot", name: str) -> str:
    return _named(name, opened.day.phase, "phase")


def _step(opened: "OpenLot", name: str) -> str:
    return _named(name, opened.day.step, "step")


def _named(name: str, known: Any, what: str) -> str:
    from difflib import get_close_matches

    if name in known:
        return name
    near = get_close_matches(name, list(known), n=1)
    hint = f"did you mean `{near[0]}`?" if near else f"there are {', '.join(known)}"
    raise RecordRefused(f"this lot has no {what} `{name}`; {hint}")


def _begin(opened: "OpenLot", rest: list[str], more: Any) -> "Event":
    from wortline.lot.events import PhaseBegun

    return PhaseBegun(_phase(opened, rest[0]))


def _end(opened: "OpenLot", rest: list[str], more: Any) -> "Event":
    from wortline.lot.events import PhaseEnded

    return PhaseEnded(_phase(opened, rest[0]))


def _done(opened: "OpenLot", rest: list[str], more: Any) -> "Event":
    from wortline.lot.events import StepDone
    from wortline.lot.fold import refusal

    step = _step(opened, rest[0])
    if unmet := refusal(opened.state, step):
        raise RecordRefused(unmet)
    return StepDone(step)


def _skip(opened: "OpenLot", rest: list[str], more: Any) -> "Event":
    from wortline.lot.events import Skipped

    return Skipped(_step(opened, rest[0]), more["why"])


def _not_yet(opened: "OpenLot", rest: list[str], more: Any) -> "Event":
    from wortline.lot.events import NotYet

    again = number_of(" ".join(rest[1:]), "time", "MINUTES") if len(rest) > 1 else None
    return NotYet(_step(opened, rest[0]), again)


def _read(opened: "OpenLot", rest: list[str], more: Any) -> "Event":
    of, text = rest[0], " ".join(rest[1:])
    asks = [step.ask for step in opened.day.steps if step.ask and step.ask.of == of]
    if not asks:
        known = dict.fromkeys(step.ask.of for step in opened.day.steps if step.ask)
        _named(of, known, "reading")
    return _reading(of, [ask.quantity for ask in asks], text, more)


def _reading(of: str, kinds: list[str], text: str, more: Any) -> "Event":
    """A reading of the first quantity that the text is one of."""
    from wortline.errors import UnitError
    from wortline.lot.events import Measured
    from wortline.lot.limits import cannot_be
    from wortline.lot.paper import INSTRUMENTS
    from wortline.units import parse, say

    refusals = []
    for kind in dict.fromkeys(kinds):
        try:
            value = float(parse(text, kind))
        except UnitError as refusal:
            refusals.append(str(refusal))
            continue
        if wrong := cannot_be(kind, value, say, text):
            refusals.append(wrong)
            continue
        how = more["instrument"] or INSTRUMENTS.get(kind, "other")
        return Measured(of, kind, value, how, more["sample_c"], text)  # type: ignore[arg-type]
    raise RecordRefused(f"{of}: {'; or: '.join(refusals)}")


def _dose(opened: "OpenLot", rest: list[str], more: Any) -> "Event":
    from wortline.lot.events import DoseIn

    known = dict.fromkeys(step.dose for step in opened.day.steps if step.dose)
    mass_kg = number_of(" ".join(rest[1:]), "mass", "MASS") if len(rest) > 1 else None
    return DoseIn(_named(rest[0], known, "dose"), mass_kg)


def _turn(opened: "OpenLot", rest: list[str], more: Any) -> "Event":
    from wortline.lot.events import HandleTurned

    part, position = rest
    known = more["positions"]
    if known is not None:
        _named(part, known, "handle or hose end")
        if position not in known[part]:
            raise RecordRefused(
                f"{part} cannot be at `{position}`; it can be at {', '.join(known[part])}"
            )
    return HandleTurned(part, position)


def _pump(opened: "OpenLot", rest: list[str], more: Any) -> "Event":
    from wortline.lot.events import PumpSet

    if rest[0] not in {"on", "off"}:
        raise RecordRefused(f"the pump is `on` or `off`, not `{rest[0]}`")
    return PumpSet(rest[0] == "on")


def _surface(opened: "OpenLot", rest: list[str], more: Any) -> "Event":
    from wortline.lot.events import SurfaceSet

    now = " ".join(rest[1:])
    if now not in {"sanitised", "opened", "left wet"}:
        raise RecordRefused(f"a surface is `sanitised`, `opened` or `left wet`, not `{now}`")
    part = _named(rest[0], more["parts"], "part") if more["parts"] else rest[0]
    return SurfaceSet(part, now, more["why"])  # type: ignore[arg-type]


PICTURES = (".jpg", ".jpeg", ".png", ".heic", ".webp", ".gif", ".tif", ".tiff")


def _photo(opened: "OpenLot", rest: list[str], more: Any) -> "Event":
    from wortline.lot.events import Photo

    name = " ".join(rest)
    if not name.lower().endswith(PICTURES):
        raise RecordRefused(f"`{name}` is no picture; its name ends in one of {' '.join(PICTURES)}")
    return Photo(name, more["why"])


def _said(kind: str) -> Callable[["OpenLot", list[str], Any], "Event"]:
    """An event that is nothing but its text."""

    def make(opened: "OpenLot", rest: list[str], more: Any) -> "Event":
        from wortline.lot.events import EVENTS

        values = {"override": (more["why"],)}.get(kind, ())
        made: Event = EVENTS[kind](" ".join(rest), *values)  # type: ignore[arg-type]
        return made

    return make


def _entry(opened: "OpenLot", number: str) -> Any:
    """The entry of a number."""
    found = next((each for each in opened.entries if str(each.number) == number), None)
    if found is None:
        raise RecordRefused(f"this lot has no entry `{number}`; it has 1 to {len(opened.entries)}")
    return found


def _undo(opened: "OpenLot", rest: list[str], more: Any) -> "Event":
    from wortline.lot.events import Undone

    return Undone(_entry(opened, rest[0]).id, more["why"])


def _right(opened: "OpenLot", rest: list[str], more: Any) -> "Event":
    """A reading that was questioned is right as it stands."""
    from wortline.lot.events import Measured, Overridden
    from wortline.lot.fold import RIGHT

    entry = _entry(opened, rest[0])
    if not isinstance(entry.event, Measured):
        raise RecordRefused(f"entry {entry.number} ({entry.event.KIND}) is no reading")
    return Overridden(f"{RIGHT}{entry.id}", more["why"])


def _correct(opened: "OpenLot", rest: list[str], more: Any) -> "Event":
    """Another value, or another text, for an entry that has one."""
    from dataclasses import replace

    from wortline.lot.events import Corrected, Deviation, Measured, Noted

    entry, text = _entry(opened, rest[0]), " ".join(rest[1:])
    event = entry.event
    if isinstance(event, Measured):
        how = {**more, "instrument": more["instrument"] or event.instrument}
        if how["sample_c"] is None:
            how["sample_c"] = event.sample_c
        read = _reading(event.of, [event.quantity], text, how)
        return Corrected(entry.id, read, more["why"])
    if isinstance(event, Noted | Deviation):
        return Corrected(entry.id, replace(event, text=text), more["why"])
    raise RecordRefused(
        f"entry {entry.number} ({event.KIND}) has no value to correct; undo it and say it anew"
    )


MANY = 10_000
VERBS: dict[str, tuple[tuple[int, int], Callable[["OpenLot", list[str], Any], "Event"]]] = {
    "begin": ((1, 1), _begin),
    "end": ((1, 1), _end),
    "done": ((1, 1), _done),
    "skip": ((1, 1), _skip),
    "not-yet": ((1, 3), _not_yet),
    "read": ((2, 4), _read),
    "dose": ((1, 3), _dose),
    "turn": ((2, 2), _turn),
    "pump": ((1, 1), _pump),
    "surface": ((2, 3), _surface),
    "note": ((1, MANY), _said("note")),
    "otherwise": ((1, MANY), _said("deviation")),
    "photo": ((1, MANY), _photo),
    "override": ((1, MANY), _said("override")),
    "undo": ((1, 1), _undo),
    "correct": ((2, MANY), _correct),
    "right": ((1, 1), _right),
}
