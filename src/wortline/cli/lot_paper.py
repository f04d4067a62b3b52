"""Typing the printed sheet in at the prompt, in its order."""

from typing import TYPE_CHECKING

import click

from wortline.app.lot_paper import PutIn, is_in, put_in, understood
from wortline.errors import RecordRefused

if TYPE_CHECKING:
    from wortline.app.lots import OpenLot
    from wortline.app.ports_lots import Watch
    from wortline.wiring import Store


def typed_in(store: "Store", watch: "Watch", opened: "OpenLot") -> PutIn:
    """Ask for every place of the sheet that the record does not have; return what was kept."""
    from wortline.lot.paper import blanks

    kept, already = 0, []
    for blank in blanks(opened.day):
        if is_in(opened, blank):
            already.append(blank.key)
            continue
        head = f"{blank.text}" if blank.kind != "phase" else f"--- {blank.text}: began"
        while True:
            line = click.prompt(head, default="", show_default=False, prompt_suffix=" : ").strip()
            if line == ".":
                return PutIn(kept, tuple(already))
            if not line:
                break
            try:
                read = understood(opened, blank, line)
                kept += put_in(store.lots, watch, opened.lot.number, [read], shelf=store.shelf).kept
                break
            except RecordRefused as refusal:
                click.echo(f"  {refusal}", err=True)
    return PutIn(kept, tuple(already))


def questions(store: "Store", opened: "OpenLot") -> list[str]:
    """What to ask about the readings of a lot, a line each."""
    from wortline.app.ways import doubts_of, standing_of

    return [
        f"Entry {doubt['number']}: {doubt['text']} {doubt['ask']}"
        + (" It counts for nothing in the advice until you say so." if doubt["holds"] else "")
        for doubt in doubts_of(standing_of(store.documents, opened))
    ]
