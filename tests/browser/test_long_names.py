"""A name as long as one may be widens no page."""

import re
from collections.abc import Callable
from typing import Any

import pytest
from decks import begin_lot
from served import Clock, Running

from wortline.app.lots import start_lot
from wortline.store.memory import MemoryDocuments
from wortline.web.services import services

LONG = "W" * 119
"""No place in it where a line could end, and the widest letter."""
PAGES = (
    "/", "/plan", "/plan/{recipe}?rig={rig}&day={day}",
    "/plan/{recipe}/print?rig={rig}&day={day}", "/plan/{recipe}/show.html?rig={rig}&day={day}",
    "/plan/{recipe}/why?rig={rig}&day={day}&key=bitterness.ibu", "/rig", "/rig/{rig}",
    "/documents", "/documents/{recipe}", "/documents/{recipe}/history",
    "/documents/{recipe}/compare", "/new", "/pipes/{rig}", "/pipes/{bare}", "/pipes/{rig}/edit",
    "/pipes/{bare}/edit", "/rest/{recipe}?rig={rig}&day={day}", "/chill?rig={rig}", "/lots",
    "/lots/2", "/lots/2/paper", "/deck/2", "/join",
)  # fmt: skip


@pytest.fixture(scope="module")
def named() -> dict[str, Any]:
    """Services whose documents and lot all have the longest name."""
    clock = Clock()
    given = services(MemoryDocuments(clock), clock)
    begin_lot(given.lots, given.documents, given.watch)
    numbers, newest = {}, []
    for kind in ("recipe", "rig", "day"):
        kept = given.documents.latest(given.documents.listed(kind).headings[0].document)
        text = re.sub(r"(?m)^name:.*$", f"name: {LONG}", kept.text)
        newest.append(given.documents.save(kind, LONG, text, LONG, kept.number).number)
        numbers[kind] = kept.document
    bare = given.documents.latest(numbers["rig"]).text.partition("\nplumbing:")[0]
    numbers["bare"] = given.documents.save("rig", LONG, bare).document
    start_lot(given.lots, given.documents, given.watch, *newest, LONG)
    return {"given": given, "numbers": numbers}


@pytest.mark.parametrize("width", [360, 1600])
def test_the_longest_name_widens_no_page(
    serve: Callable[..., Running], open_page: Callable[..., Any], named: dict[str, Any], width: int
) -> None:
    url = serve(named["given"]).url
    page = open_page("/", width=width, base_url=url)
    wide = {}
    for each in PAGES:
        page.goto(each.format(**named["numbers"]))
        shown = page.evaluate("document.documentElement.scrollWidth")
        if shown > width:
            wide[each] = shown
    assert wide == {}
