"""The plan page: the day as a picture, the few numbers beside it, and levers to move."""

from typing import TYPE_CHECKING, Annotated

from fastapi import APIRouter, Query, Request, Response
from fastapi.responses import RedirectResponse
from pydantic import BeforeValidator, Field

from wortline.app.ports import Revision
from wortline.errors import NotKept
from wortline.web.refusals import Unwelcome
from wortline.web.rendering import Nav, link, render, units_of
from wortline.web.services import Given, Number, Services

if TYPE_CHECKING:
    from wortline.app.trying import Papers

NAV = Nav("/plan", "Plan")
router = APIRouter(include_in_schema=False)
# A choice left open in a form comes as an empty text.
Wanted = Annotated[
    Annotated[int, Field(ge=1, le=2_147_483_647)] | None,
    BeforeValidator(lambda typed: typed or None),
    Query(),
]
MOST_LISTED = 100
METHOD = "kinetic"


@router.get("/plan")
def choose_page(
    request: Request, given: Given, recipe: Wanted = None, rig: Wanted = None, day: Wanted = None
) -> Response:
    """Ask for recipe, rig and day; what is known goes straight on to the plan."""
    listed = {
        kind: given.documents.listed(kind, most=MOST_LISTED).headings
        for kind in ("recipe", "rig", "day")
    }
    if recipe and rig:
        return RedirectResponse(link(f"/plan/{recipe}", rig=rig, day=day), 303)
    return render(
        request, "plan_choose.html", title="Plan a day", listed=listed,
        chosen={"recipe": recipe, "rig": rig, "day": day},
    )  # fmt: skip


@router.get("/plan/{recipe}")
def plan_page(
    request: Request, given: Given, recipe: Number, rig: Wanted = None, day: Wanted = None
) -> Response:
    """Show the day of a recipe on a rig."""
    from wortline.app.trying import levers_of, tried
    from wortline.web.plan_view import NARROW_PX, WIDE_PX, View

    if rig is None:
        return RedirectResponse(link("/plan", recipe=recipe, day=day), 303)
    papers = papers_of(given, recipe, rig, day)
    system = units_of(request)
    view = View.of(tried(papers, {}, METHOD, system), METHOD, system)
    levers = levers_of(papers, METHOD, system)
    doses: dict[str, list[object]] = {}
    for each in levers:
        if each.group:
            doses.setdefault(each.group, []).append(each)
    return render(
        request, "plan.html", title=papers.recipe.name, papers=papers, parts=view.parts(),
        wide=view.strip(WIDE_PX, "wide-"), narrow=view.strip(NARROW_PX, "narrow-"),
        paper=view.strip(WIDE_PX, "paper-"),
        levers=[each for each in levers if not each.group], dose_levers=doses,
        told=view.told(), query={"rig": rig, "day": day}, fits=view.report["fits"],
        piped=bool(view.report["timeline"] and "lineup" in view.report["timeline"][0]),
    )  # fmt: skip


@router.get("/plan/{recipe}/why")
def why_page(
    request: Request,
    given: Given,
    recipe: Number,
    rig: Annotated[int, Query(ge=1, le=2_147_483_647)],
    key: Annotated[str, Query(max_length=200)],
    day: Wanted = None,
) -> Response:
    """Explain one number of the plan as it is kept."""
    from wortline.app.explaining import UnknownKey
    from wortline.app.trying import plan_as_kept
    from wortline.web.plan_view import why_parts

    system = units_of(request)
    planned = plan_as_kept(papers_of(given, recipe, rig, day), METHOD, system)
    try:
        told = why_parts(planned, key, system)
    except UnknownKey as error:
        raise Unwelcome(404, "unknown-number", str(error)) from None
    return render(
        request, "plan_why_page.html", title="Why this number",
        way_back=link(f"/plan/{recipe}", rig=rig, day=day), **told,
    )  # fmt: skip


def papers_of(given: Services, recipe: int, rig: int, day: int | None) -> "Papers":
    """Return the newest revisions of documents, each of its kind."""
    from wortline.app.trying import Papers

    wanted = (("recipe", recipe), ("rig", rig), ("day", day))
    found = {kind: _kept(given, kind, each) for kind, each in wanted if each is not None}
    return Papers(**found)


def _kept(given: Services, kind: str, document: int) -> Revision:
    kept = given.documents.latest(document)
    if kept.kind != kind:
        raise NotKept(f"document {document} is a {kept.kind}; here a {kind} is needed")
    return kept
