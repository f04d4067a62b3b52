"""The start page: what is there, what fades, what is next."""

from fastapi import APIRouter, Request, Response

from wortline.app.ports import Revision
from wortline.web.kinds import KINDS, PLURAL
from wortline.web.rendering import Nav, link, render
from wortline.web.services import Given, Services

NAV = Nav("/", "Start")
router = APIRouter(include_in_schema=False)

MOST_READ = 24
"""How many documents of a kind are opened for one look; the rest is counted and said."""
MOST_FADING = 8


@router.get("/")
def start_page(request: Request, given: Given) -> Response:
    """Show what is there."""
    from wortline.app.standing import fading, next_steps
    from wortline.app.starting import is_example

    pages = {kind: given.documents.listed(kind, most=MOST_READ) for kind in KINDS}
    read = [revision for page in pages.values() for revision in _texts(given, page.headings)]
    faded = fading(read, given.clock())
    plans = any(each.path == "/plan" for each in request.app.state.nav)
    steps = [
        (step, _way(step.act, step.heading))
        for step in next_steps(read)
        if step.act != "plan" or plans
    ]
    return render(
        request,
        "start.html",
        title="Start",
        shelves=[(kind, PLURAL[kind], page) for kind, page in pages.items()],
        is_example=is_example,
        examples=[each for each in read if is_example(each)],
        fading=faded[:MOST_FADING],
        more_fading=max(len(faded) - MOST_FADING, 0),
        steps=steps,
        plans=plans,
    )


def _texts(given: Services, headings: object) -> list[Revision]:
    return [given.documents.revision(each.number) for each in headings]  # type: ignore[attr-defined]


def _way(act: str, heading: object) -> str:
    """Return the page on which a next step is done."""
    if heading is not None:
        return f"/documents/{heading.document}"  # type: ignore[attr-defined]
    ways = {"measure": "/rig", "plan": "/plan"}
    return ways.get(act, link("/new", kind=act))
