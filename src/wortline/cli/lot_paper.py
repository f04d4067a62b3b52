"""Typing the printed sheet in at the prompt, in its order."""

import re
from typing import TYPE_CHECKING, Any

import click

from wortline.cli.lot_words import number_of
from wortline.errors import RecordRefused

if TYPE_CHECKING:
    from wortline.app.lots import OpenLot
    from wortline.app.ports_lots import Watch
    from wortline.wiring import Store

_LINE = re.compile(r"^(?P<value>[^@]*?)\s*(?:@\s*(?P<hour>\d{1,2}):(?P<minute>[0-5]\d))?$")
DAY_MS = 86_400_000


def typed_in(store: "Store", watch: "Watch", opened: "OpenLot") -> int:
    """Ask for every place of the sheet; return how many entries were kept."""
    from wortline.lot.paper import blanks

    midnight_ms = _midnight_ms(opened)
    kept = 0
    for blank in blanks(opened.day):
        head = f"{blank.text}" if blank.kind != "phase" else f"--- {blank.text}: began"
        while True:
            line = click.prompt(head, default="", show_default=False, prompt_suffix=" : ").strip()
            if line == ".":
                return kept
            if not line:
                break
            try:
                kept += _keep(store, watch, opened, blank, line, midnight_ms)
                break
            except RecordRefused as refusal:
                click.echo(f"  {refusal}", err=True)
    return kept


def _midnight_ms(opened: "OpenLot") -> int:
    """The midnight before the lot began, by the wall clock it began by."""
    first = opened.entries[0]
    local_ms = first.wall_ms + first.zone_min * 60_000
    return local_ms - local_ms % DAY_MS - first.zone_min * 60_000


def _keep(
    store: "Store", watch: "Watch", opened: "OpenLot", blank: Any, line: str, midnight_ms: int
) -> int:
    from wortline.app.lots import record
    from wortline.lot.paper import written

    found = _LINE.match(line)
    if found is None or (found["hour"] is not None and int(found["hour"]) > 23):
        raise RecordRefused(
            f"`{line}` is not understood; write a value, @ and a time: 1.044 @ 13:20"
        )
    value, text = None, found["value"].strip()
    if blank.kind == "number" and text:
        value = number_of(text, blank.ask.quantity, blank.text)
    written_ms = None
    if found["hour"] is not None:
        written_ms = midnight_ms + (int(found["hour"]) * 60 + int(found["minute"])) * 60_000
    events = written(blank, value, text)
    for event in events:
        answer = record(
            store.lots, watch, opened.lot.number, event, paper=True, written_ms=written_ms
        )
        if answer.why:
            raise RecordRefused(answer.why)
    return len(events)
