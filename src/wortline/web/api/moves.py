"""What the plan page asks while levers move: the parts of the page anew, a reason, keeping."""

from typing import TYPE_CHECKING, Annotated, Any

from fastapi import APIRouter, Request, Response
from pydantic import Field

from wortline.errors import Conflict, NotKept
from wortline.web.api.documents import Told
from wortline.web.fields import between
from wortline.web.refusals import Unwelcome, complaint, json_answer
from wortline.web.rendering import environment, link, units_of
from wortline.web.services import Given, Services

if TYPE_CHECKING:
    from wortline.app.trying import Papers, Tried

router = APIRouter(prefix="/api/plan", include_in_schema=False)
METHOD = "kinetic"
MOST_MOVES = 900
MOST_NUMBER = 2_147_483_647


class Moves(Told):
    """The revisions a plan is made from, and what was moved since."""

    recipe: int = Field(ge=1, le=MOST_NUMBER)
    rig: int = Field(ge=1, le=MOST_NUMBER)
    day: int | None = Field(None, ge=1, le=MOST_NUMBER)
    moves: dict[str, str] = Field(default_factory=dict, max_length=MOST_MOVES)
    width: Annotated[int, between(320, 1600)] = 1040
    whole: bool = True


class Question(Moves):
    """A number of the plan to explain."""

    key: str = Field(max_length=200)


class Accepted(Moves):
    """Moves to keep, and a line that says why."""

    why: str = Field("", max_length=1000)


@router.post("/moved")
def moved(request: Request, given: Given, asked: Moves) -> Response:
    """Return every part of the page as it is with these levers moved.

    A move that cannot be read is named and left out; the others are followed.
    If the page asks for no whole plan, the parts that take longer are left out.
    """
    from wortline.app.trying import tried_but

    trial, problems = tried_but(
        _papers(given, asked), asked.moves, METHOD, units_of(request), asked.whole
    )
    answer = _answer(request, trial, asked.width, asked.whole)
    answer["problems"] = [complaint(each).model_dump() for each in problems]
    return json_answer(200, answer)


@router.post("/why")
def why(request: Request, given: Given, asked: Question) -> Response:
    """Explain a number of the plan as it stands on the page."""
    from wortline.app.explaining import UnknownKey
    from wortline.app.trying import tried_but
    from wortline.web.plan_view import why_parts

    trial, _ = tried_but(_papers(given, asked), asked.moves, METHOD, units_of(request))
    try:
        told = why_parts(trial.planned, asked.key, units_of(request))
    except UnknownKey as error:
        raise Unwelcome(404, "unknown-number", str(error)) from None
    return json_answer(200, {"html": environment().get_template("plan_why.html").render(**told)})


@router.post("/accepted")
def accepted(request: Request, given: Given, asked: Accepted) -> Response:
    """Keep what was moved, every document it changes or none, and return the page's parts."""
    from wortline.app.trying import accept, tried

    trial = tried(_papers(given, asked), asked.moves, METHOD, units_of(request))
    try:
        papers = accept(given.documents, trial, " ".join(asked.why.split()))
    except Conflict as conflict:
        return json_answer(409, _newer(given, trial.papers, str(conflict)))
    now = tried(papers, {}, METHOD, units_of(request))
    return json_answer(200, _answer(request, now, asked.width))


def _newer(given: Services, papers: "Papers", text: str) -> dict[str, Any]:
    """Say which documents have changed since, and what to put one's own moves on top of."""
    newest = {each.kind: given.documents.latest(each.document) for each in papers.all}
    found = [
        {
            "kind": each.kind,
            "name": newest[each.kind].name,
            "why": newest[each.kind].why,
            "compare": link(
                f"/documents/{each.document}/compare",
                before=each.number, after=newest[each.kind].number,
            ),
        }
        for each in papers.all
        if newest[each.kind].number != each.number
    ]  # fmt: skip
    numbers = {kind: each.number for kind, each in newest.items()}
    return {
        "error": {"code": "changed-elsewhere", "text": text[:1].upper() + text[1:], "problems": []},
        "newer": found,
        "newest": {"day": None, **numbers},
    }


def _papers(given: Services, asked: Moves) -> "Papers":
    from wortline.app.trying import Papers

    found = {}
    for kind in ("recipe", "rig", "day"):
        number = getattr(asked, kind)
        if number is None:
            continue
        kept = given.documents.revision(number)
        if kept.kind != kind:
            raise NotKept(f"revision {number} is a {kept.kind}; here a {kind} is needed")
        found[kind] = kept
    return Papers(**found)


def _answer(
    request: Request, trial: "Tried", width_px: int, whole: bool = True
) -> dict[str, Any]:
    from wortline.web.plan_view import WIDE_PX, View

    view = View.of(trial, METHOD, units_of(request), whole)
    day = trial.papers.day
    return {
        "revisions": {
            "recipe": trial.papers.recipe.number,
            "rig": trial.papers.rig.number,
            "day": day.number if day else None,
        },
        "whole": whole,
        "moved": list(trial.moved),
        "fits": view.report["fits"],
        "told": view.told(),
        "parts": {
            "strip": view.strip(width_px),
            **view.parts(),
            # However wide the screen, paper has the same room.
            **({"paper": view.strip(WIDE_PX, "paper-")} if whole else {}),
        },
    }
