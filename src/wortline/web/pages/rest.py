"""The trade of the rest: what every length costs and brings, its knee, the kettle from the side."""

import json
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Annotated, Any

from fastapi import APIRouter, Query, Request, Response
from fastapi.responses import RedirectResponse

from wortline.app.ports import Heading, Revision
from wortline.errors import DocumentRefused, Problem
from wortline.web.fields import Field, between, typed_in, with_units
from wortline.web.refusals import Unwelcome
from wortline.web.rendering import System, link, render, units_of
from wortline.web.services import Given, Number, Services

if TYPE_CHECKING:
    from wortline.app.resting import Resting

router = APIRouter(include_in_schema=False)
Wanted = Annotated[str, Query(max_length=20)]
Rest = Annotated[float | None, Query(ge=0.0, le=240.0)]
Room = Annotated[int | None, Query(), between(280, 1400)]
WIDE_PX = 1200
LEAST_PX = 320
FIELDS = (
    Field("pump", "Pump for", "min", "min"),
    Field("pump_on", "Or wait, and pump from", "C", "F"),
    Field("lid", "Lid"),
)
LABELS = {"pump": "Pump for", "pump_on": "Or wait, and pump from", "lid": "Lid"}


@dataclass(frozen=True)
class Papers:
    """The documents a page is about, and those it may be about."""

    recipe: Revision
    rig: Revision
    day: Revision | None
    rigs: tuple[Heading, ...]
    days: tuple[Heading, ...]

    @property
    def query(self) -> dict[str, int | None]:
        """Return rig and day as they stand in an address."""
        return {"rig": self.rig.document, "day": self.day.document if self.day else None}


@router.get("/rest")
def any_rest(given: Given) -> Response:
    """Go to the rest of the recipe that was kept last."""
    recipes = given.documents.listed("recipe", most=1).headings
    return RedirectResponse(f"/rest/{recipes[0].document}" if recipes else "/new?kind=recipe", 303)


@router.get("/rest/{recipe}")
def rest_page(
    request: Request, given: Given, recipe: Number, rig: Wanted = "", day: Wanted = "",
    rest: Rest = None, room: Room = None,
) -> Response:  # fmt: skip
    """Show the trade of a recipe's rest on a rig."""
    papers = papers_of(given, recipe, rig, day)
    typed = typed_in(request, FIELDS)
    values, problems = _weighed(request, papers, typed, rest, room)
    if problems and typed:
        values, others = _weighed(request, papers, {}, rest, room)
        problems = others or problems
    return render(
        request, "rest.html", 422 if problems else 200, title=f"The rest of {papers.recipe.name}",
        papers=papers, fields=_fields(values), typed={**values.pop("planned", {}), **typed},
        problems=problems, **values,
    )  # fmt: skip


def _fields(values: dict[str, Any]) -> tuple[Field, ...]:
    """Return what can be asked; without a pump nothing is asked of one."""
    plan = values.get("plan")
    return FIELDS[:2] if plan is None or plan["has_pump"] else ()


@router.get("/rest/{recipe}/now")
def rest_part(
    request: Request, given: Given, recipe: Number, rig: Wanted = "", day: Wanted = "",
    rest: Rest = None, room: Room = None,
) -> Response:  # fmt: skip
    """Return the part of the page that follows from its fields."""
    papers = papers_of(given, recipe, rig, day)
    values, problems = _weighed(request, papers, typed_in(request, FIELDS), rest, room)
    if problems:
        headers = {"Wortline-Refused": "yes"}
        return render(request, "refused_part.html", headers=headers, problems=problems)
    values.pop("planned", None)
    return render(request, "rest_now.html", papers=papers, **values)


def papers_of(given: Services, recipe: int, rig: str, day: str) -> Papers:
    """Return the newest revisions; without a rig or a day the one kept last is taken.

    ``day=none`` is for no day: usual air and tap.
    """
    rigs = given.documents.listed("rig", most=100).headings
    days = given.documents.listed("day", most=100).headings
    if not rig and not rigs:
        raise Unwelcome(422, "no-rig", "There is no rig yet. Measure yours first: /rig.")
    named = _number(rig, "rig") if rig else rigs[0].document
    on_day = days[0].document if not day and days else None
    if day and day != "none":
        on_day = _number(day, "day")
    return Papers(
        _kept(given, recipe, "recipe"),
        _kept(given, named, "rig"),
        None if on_day is None else _kept(given, on_day, "day"),
        rigs,
        days,
    )


def _number(typed: str, kind: str) -> int:
    if not typed.isdecimal() or not 1 <= int(typed) <= 2_147_483_647:
        raise Unwelcome(422, "bad-number", f"`{typed}` is not the number of a {kind}.")
    return int(typed)


def _kept(given: Services, document: int, kind: str) -> Revision:
    kept = given.documents.latest(document)
    if kept.kind != kind:
        told = f"{kept.name} is a {kept.kind}; here a {kind} is needed."
        raise Unwelcome(422, "wrong-kind", told)
    return kept


def weighed(papers: Papers, typed: dict[str, str], system: System) -> "Resting":
    """Return the rest with what was typed.

    Raises
    ------
    DocumentRefused
        With the label of its field in each problem.
    """
    from wortline.app.keeping import file_of
    from wortline.app.rest_choices import rest_so

    try:
        return rest_so(
            file_of(papers.recipe), file_of(papers.rig),
            file_of(papers.day) if papers.day else None,
            with_units(typed, FIELDS, system), system,
        )  # fmt: skip
    except DocumentRefused as refusal:
        raise DocumentRefused([
            replace(each, field=LABELS.get(each.field, each.field)) for each in refusal.problems
        ]) from None  # fmt: skip


def _weighed(
    request: Request, papers: Papers, typed: dict[str, str], rest: float | None, room: int | None
) -> tuple[dict[str, Any], list[Problem]]:
    system = units_of(request)
    try:
        found = weighed(papers, typed, system)
    except DocumentRefused as refusal:
        return {"report": None}, list(refusal.problems)
    values = _values(papers, found, with_units(typed, FIELDS, system), system, rest, room)
    query = {**papers.query, "day": papers.query["day"] or "none", **typed}
    return {**values, "pictures": query}, []


def _taken(choices: dict[str, str]) -> dict[str, str]:
    """Return choices as the levers of the plan page that they move."""
    return {f"recipe.whirlpool.{key}": choices[key] for key in ("lid", "pump") if key in choices}


def _values(
    papers: Papers, found: "Resting", choices: dict[str, str], system: Any, rest: float | None,
    room: int | None,
) -> dict[str, Any]:  # fmt: skip
    from wortline.app import rest_words as words
    from wortline.app.drawing import kettle_svg, rest_svg
    from wortline.app.keeping import file_of
    from wortline.app.rest_choices import otherwise

    report, plan = found.report, found.planned.report
    place = words.at_first(report) if rest is None else words.place_of(report, rest)
    width = max(LEAST_PX, min(room or WIDE_PX, WIDE_PX))
    rows, marks = words.rows(report, system), words.marks(report)
    first = report["ways"][0]
    shown = {"rows": [row.cells for row in rows], "marks": marks, "rests": report["rest_min"]}
    kept = file_of(papers.recipe)
    as_kept = otherwise(kept, choices.get("lid"), choices.get("pump")) == kept
    why = link(f"/plan/{papers.recipe.document}/why", **papers.query)
    return {
        "report": report,
        "plan": plan,
        "head": words.HEADS[report["worth"]],
        "rows": rows,
        "marks": marks,
        "place": place,
        "planned_place": words.place_of(report, report["planned_min"]),
        "trade": json.dumps(shown, separators=(",", ":")).replace("<", "\\u003c"),
        "picture": rest_svg(report, width, with_verdict=False),
        "kettle": kettle_svg(plan, system, width),
        "facts": words.facts(plan, system),
        "clog": list(words.clog_words(plan)),
        "advice": words.containment(found, system),
        "why_at": f"{why}&key=" if as_kept else None,
        "take": link(f"/plan/{papers.recipe.document}", **{**papers.query, **_taken(choices)}),
        "planned": {
            "lid": "on" if first["lid"] == "on" else "off",
            "pump": f"{first['pump_min']:g}",
        },
    }
