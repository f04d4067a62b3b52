"""The start page: what is there, what fades, what is next."""

from collections.abc import Iterable
from typing import Any

from fastapi import APIRouter, Request, Response

from wortline.app.ports import Heading
from wortline.web.kinds import KINDS, PLURAL
from wortline.web.rendering import Nav, link, render
from wortline.web.services import Given, Services

NAV = Nav("/", "Start")
router = APIRouter(include_in_schema=False)

MOST_READ = 24
"""How many documents of a kind are opened for one look; the rest is counted and said."""
MOST_FADING = 8
MOST_LOTS = 8


@router.get("/")
def start_page(request: Request, given: Given, look: bool = False) -> Response:
    """Show what is there; right after the start, what fades and what is next follow later."""
    from wortline.app.starting import examples_in, is_example

    pages = {kind: given.documents.listed(kind, most=MOST_READ) for kind in KINDS}
    looked = look or request.app.state.warm.is_set()
    headings = [each for page in pages.values() for each in page.headings]
    shown = {each.number for each in headings}
    examples = examples_in(given.documents)
    return render(
        request,
        "start.html",
        title="Start",
        shelves=[
            (kind, PLURAL[kind], page, given.documents.counted(kind) if page.before else 0)
            for kind, page in pages.items()
        ],
        lots=given.lots.listed(None, MOST_LOTS),
        is_example=is_example,
        examples=examples,
        hidden=[each for each in examples if each.number not in shown],
        looked=looked,
        **(_standing(request, given, headings) if looked else {}),
    )


@router.get("/standing")
def standing_part(request: Request, given: Given) -> Response:
    """Return what fades and what is next, as a part of the start page."""
    pages = [given.documents.listed(kind, most=MOST_READ) for kind in KINDS]
    headings = [each for page in pages for each in page.headings]
    return render(request, "standing.html", **_standing(request, given, headings))


def _standing(request: Request, given: Services, headings: Iterable[Heading]) -> dict[str, Any]:
    from wortline.app.standing import fading, next_steps

    read = [given.documents.revision(each.number) for each in headings]
    faded = fading(read, given.clock())
    plans = any(each.path == "/plan" for each in request.app.state.nav)
    return {
        "fading": faded[:MOST_FADING],
        "more_fading": max(len(faded) - MOST_FADING, 0),
        "steps": [
            (step, _way(step.act, step.heading))
            for step in next_steps(read)
            if step.act != "plan" or plans
        ],
    }


def _way(act: str, heading: Heading | None) -> str:
    """Return the page on which a next step is done."""
    if heading is not None:
        return f"/documents/{heading.document}"
    ways = {"measure": "/rig", "plan": "/plan"}
    return ways.get(act, link("/new", kind=act))
