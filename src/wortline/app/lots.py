"""Run a lot: start it from a plan, keep what happens, and say how it stands."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from wortline.app.keeping import planned_of
from wortline.app.planning import Planned
from wortline.app.ports import DocumentStore
from wortline.app.ports_lots import Kept, Lot, LotDraft, LotStore, Shelf, Watch
from wortline.errors import RecordRefused, StoreTrouble
from wortline.lot.clock import moments
from wortline.lot.day import Day, day_values, read_day
from wortline.lot.events import (
    Corrected,
    Entry,
    Event,
    Measured,
    Noted,
    PhaseBegun,
    PhaseEnded,
    Started,
)
from wortline.lot.fold import State, fold
from wortline.lot.limits import cannot_be
from wortline.lot.record import entry_values, from_line, read_entry, unkept
from wortline.lot.replan import base_of
from wortline.lot.steps import day_of
from wortline.lot.tables import tables
from wortline.lot.text import as_text, read_text
from wortline.units import say

COMPUTER = "computer"
MOST_AT_ONCE = 500


@dataclass(frozen=True)
class OpenLot:
    """A lot with its day, its entries, how it stands, and what could not be read."""

    lot: Lot
    day: Day
    entries: tuple[Entry, ...]
    state: State
    problems: tuple[str, ...]
    frozen: Mapping[str, Any]

    @property
    def title(self) -> str:
        """What it is called."""
        return f"Lot {self.lot.number}: {self.lot.name}"


def start_lot(
    lots: LotStore,
    documents: DocumentStore,
    watch: Watch,
    recipe: int,
    rig: int,
    day: int | None = None,
    name: str = "",
    method: str = "kinetic",
    system: str = "metric",
    id: str | None = None,
) -> OpenLot:
    """Start a lot from the revisions of a plan; with the same `id` it is started once.

    Raises
    ------
    NotKept, DocumentRefused
        If the plan cannot be made.
    RecordRefused
        If the plan does not fit: a lot needs one that does.
    """
    planned = planned_of(documents, recipe, rig, day, method, system)
    if not planned.report["fits"]:
        why = "; ".join(cant["text"] for cant in planned.report["cant"])
        raise RecordRefused(f"This plan does not fit, so no lot starts from it: {why}")
    frozen = json.dumps(_frozen(planned, system), allow_nan=False)
    called = name.strip() or str(planned.report["name"])
    draft = LotDraft(id or watch.new_id(), called, recipe, rig, day, method, system, frozen)
    lot = lots.start(draft)
    if not lot.entries:
        record(lots, watch, lot.number, Started(called, draft.id), id=f"{draft.id[:56]}-start")
    return lot_of(lots, lot.number)


def _frozen(planned: Planned, system: str) -> dict[str, Any]:
    """The day, the tables and the plan's own numbers, as they go with the lot for ever."""
    piping = planned.plan.piping
    day = day_of(planned.report, piping.network if piping else None, system)
    base = base_of(planned.plan)
    return {
        "day": day_values(day),
        "tables": tables(base, partial(say, system=system)),
        "plan": planned.report,
    }


def keep(
    lots: LotStore,
    watch: Watch,
    number: int,
    given: Sequence[object],
    shelf: Shelf | None = None,
) -> list[Kept]:
    """Keep entries as devices send them, as plain values, in their order.

    One that cannot be read is refused with its reason and the others are kept. What is kept is
    durable when this returns. After a change of phase the lot's text file is written.

    Raises
    ------
    NotKept
        If there is no such lot.
    RecordRefused
        If there are too many at once.
    """
    if len(given) > MOST_AT_ONCE:
        raise RecordRefused(f"{len(given)} entries at once; send at most {MOST_AT_ONCE}.")
    read: list[Entry] = []
    answers: dict[int, Kept] = {}
    places: list[int] = []
    for place, values in enumerate(given):
        try:
            read.append(at_the_door(unkept(read_entry(values))))
            places.append(place)
        except RecordRefused as refusal:
            answers[place] = Kept(_id_of(values), "refused", why=f"{refusal}.")
    # Asked for even with nothing to keep: an unknown lot is said.
    kept = lots.append(number, read, watch.wall_ms(), watch.steady())
    answers.update(zip(places, kept, strict=True))
    if shelf is not None and any(isinstance(each.event, PhaseBegun | PhaseEnded) for each in read):
        shelve(lots, number, shelf)
    return [answers[place] for place in range(len(given))]


def at_the_door(entry: Entry) -> Entry:
    """The entry, unless it reads what cannot be: that is refused wherever it comes from.

    Raises
    ------
    RecordRefused
        With what is allowed.
    """
    event = entry.event.event if isinstance(entry.event, Corrected) else entry.event
    if isinstance(event, Measured):
        readings = [(event.quantity, event.value, event.typed)]
        if event.sample_c is not None:
            readings.append(("temperature", event.sample_c, ""))
        for quantity, value, typed in readings:
            if wrong := cannot_be(quantity, value, say, typed):
                raise RecordRefused(f"{event.of}: {wrong}")
    return entry


def _id_of(values: object) -> str:
    found = values.get("id") if isinstance(values, Mapping) else None
    return found[:64] if isinstance(found, str) else ""


def shelve(lots: LotStore, number: int, shelf: Shelf) -> None:
    """Write the text file; where that fails the record is still kept, which matters more."""
    try:
        write_text(lots, number, shelf)
    except StoreTrouble:
        return


def record(
    lots: LotStore,
    watch: Watch,
    number: int,
    event: Event,
    device: str = COMPUTER,
    id: str | None = None,
    shelf: Shelf | None = None,
    **more: Any,
) -> Kept:
    """Keep one event as this computer's own entry."""
    have = lots.lot(number).entries
    entry = Entry(
        id=id or watch.new_id(),
        device=device,
        sequence=have + 1,
        wall_ms=watch.wall_ms(),
        zone_min=watch.zone_min(),
        steady=watch.steady(),
        event=event,
        **more,
    )
    return keep(lots, watch, number, [entry_values(entry)], shelf)[0]


def lot_of(lots: LotStore, number: int) -> OpenLot:
    """A lot and how it stands.

    Raises
    ------
    NotKept
        If there is no such lot.
    """
    lot = lots.lot(number)
    frozen = json.loads(lot.frozen)
    entries: list[Entry] = []
    problems: list[str] = []
    for line in lots.lines(number):
        try:
            entries.append(replace(from_line(line.text), number=line.number))
        except RecordRefused as refusal:
            problems.append(f"Entry {line.number} cannot be read: {refusal}.")
    state = fold(read_day(frozen["day"]), entries)
    return OpenLot(lot, state.day, tuple(entries), state, tuple(problems), frozen)


def minute_now(opened: OpenLot, watch: Watch) -> float | None:
    """The minute of the lot that it is on this computer's clock; None while no time is known."""
    steady = watch.steady()
    probe = Entry(
        id="\0now",
        device=COMPUTER,
        sequence=len(opened.entries) + 1,
        wall_ms=watch.wall_ms(),
        zone_min=watch.zone_min(),
        steady=steady,
        event=Noted(""),
        server=steady,
    )
    return moments([*opened.entries, probe])[probe.id].min


def entries_after(lots: LotStore, number: int, after: int = 0) -> list[dict[str, Any]]:
    """The entries a device has not seen yet, as plain values.

    Raises
    ------
    NotKept
        If there is no such lot.
    """
    return [{**json.loads(line.text), "number": line.number} for line in lots.lines(number, after)]


def deck_of(lots: LotStore, number: int) -> dict[str, Any]:
    """All that a deck needs to run a lot with no server: the day, the tables, the plan.

    Raises
    ------
    NotKept
        If there is no such lot.
    """
    lot = lots.lot(number)
    frozen = json.loads(lot.frozen)
    return {
        **frozen["day"],
        "lot": {"number": lot.number, "id": lot.id, "name": lot.name, "system": lot.system},
        "tables": frozen["tables"],
        # a lot from before this was asked is taken to have a pump
        "has_pump": frozen["plan"].get("has_pump", True),
        "gravity": frozen["plan"]["gravity"],
        "bitterness": frozen["plan"]["bitterness"],
        "lines": frozen["plan"]["lines"],
    }


def text_of(opened: OpenLot) -> str:
    """The lot as a plain-text file."""
    spoken = partial(say, system=opened.lot.system)
    return as_text(opened.title, opened.state, opened.entries, spoken)


def file_name(opened: OpenLot) -> str:
    """What the text file of a lot is called, in letters that every system takes."""
    plain = "".join(letter if letter.isascii() and letter.isalnum() else "-"
                    for letter in opened.lot.name.lower())  # fmt: skip
    words = "-".join(part for part in plain.split("-") if part)[:40].rstrip("-")
    return f"lot-{opened.lot.number:04d}{'-' if words else ''}{words}.txt"


def write_text(lots: LotStore, number: int, shelf: Shelf) -> str:
    """Write the text file of a lot and return where it is.

    Raises
    ------
    NotKept
        If there is no such lot.
    StoreTrouble
        If it cannot be written.
    """
    opened = lot_of(lots, number)
    return shelf.write(file_name(opened), text_of(opened))


def _is_of(opened: OpenLot, entries: Sequence[Entry]) -> None:
    """Refuse the file of another lot."""
    own = {entry.id for entry in opened.entries}
    if len(own) <= 1 or any(entry.id in own for entry in entries) or not entries:
        return
    name = next((each.event.name for each in entries if isinstance(each.event, Started)), "")
    called = f" (`{name}`)" if name else ""
    raise RecordRefused(
        f"This file is of another lot{called}: none of its entries is in {opened.title}. Nothing"
        " was kept. To bring it back into a lot of its own, start that lot and read it in there"
    )


def take_text(lots: LotStore, watch: Watch, number: int, text: str) -> tuple[list[Kept], list[str]]:
    """Read a lot's text file back into a lot: what it does not have yet is kept.

    Raises
    ------
    NotKept
        If there is no such lot.
    RecordRefused
        If the file is none, of a newer version, or of another lot. A lot in which nothing was
        written yet takes any file, as when a record moves to a new place.
    """
    read = read_text(text)
    _is_of(lot_of(lots, number), read.entries)
    kept: list[Kept] = []
    for start in range(0, len(read.entries), MOST_AT_ONCE):
        some = [entry_values(each) for each in read.entries[start : start + MOST_AT_ONCE]]
        kept += keep(lots, watch, number, some)
    return kept, list(read.problems)
