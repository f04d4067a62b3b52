"""The chill call: this wort, this tap; every way with its time, its water, and what it reaches."""

from dataclasses import replace
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request, Response

from wortline.app.ports import Heading, Revision
from wortline.errors import DocumentRefused, Problem
from wortline.web.fields import Field, typed_in, with_units
from wortline.web.refusals import Unwelcome
from wortline.web.rendering import Nav, render, units_of
from wortline.web.services import Given, Services

NAV = Nav("/chill", "Chill")
router = APIRouter(include_in_schema=False)
Wanted = Annotated[str, Query(max_length=20)]

WORT = (
    Field("volume", "Wort", "L", "US gal"),
    Field("from", "From", "C", "F"),
    Field("to", "To", "C", "F"),
    Field("tap", "Tap water, as measured", "C", "F"),
)
MORE = (
    Field("wort_flow", "Most wort you can send through", "L/min", "US gal/min"),
    Field("water_flow", "Most water your tap gives", "L/min", "US gal/min"),
    Field("ice", "Ice at hand", "kg", "lb"),
)
STATES = ("cold", "hot")
FIRST = {
    "metric": {"volume": "23", "from": "98", "to": "18"},
    "us": {"volume": "6", "from": "208", "to": "64"},
}
LABELS = {each.name.replace("_", "-"): each.label for each in (*WORT, *MORE)}


@router.get("/chill")
def chill_page(request: Request, given: Given, rig: Wanted = "", day: Wanted = "") -> Response:
    """Ask for wort and tap, and answer every way to chill it."""
    rigs = given.documents.listed("rig", most=100).headings
    if not rig and not rigs:
        return render(request, "chill_none.html", title="Chill")
    days = given.documents.listed("day", most=100).headings
    asked = _asked(request, given, rig, day, rigs)
    told, problems = _told(request, *asked)
    kept, on_day, typed = asked
    return render(
        request, "chill.html", 422 if problems else 200, title="Chill the wort", kept=kept,
        on_day=on_day, rigs=rigs, days=days, typed=typed, wort=WORT, more=MORE, states=STATES,
        told=told, problems=problems,
    )  # fmt: skip


@router.get("/chill/now")
def chill_part(request: Request, given: Given, rig: Wanted = "", day: Wanted = "") -> Response:
    """Return the answer alone."""
    rigs = given.documents.listed("rig", most=100).headings
    told, problems = _told(request, *_asked(request, given, rig, day, rigs))
    if problems:
        headers = {"Wortline-Refused": "yes"}
        return render(request, "refused_part.html", headers=headers, problems=problems)
    return render(request, "chill_now.html", told=told)


def _asked(
    request: Request, given: Services, rig: str, day: str, rigs: tuple[Heading, ...]
) -> tuple[Revision, Revision | None, dict[str, str]]:
    """Return rig, day and what was typed; what was never asked starts from a usual evening."""
    if not rig and not rigs:
        raise Unwelcome(422, "no-rig", "There is no rig yet. Measure yours first: /rig.")
    kept = _kept(given, rig or str(rigs[0].document), "rig")
    on_day = _kept(given, day, "day") if day and day != "none" else None
    typed = typed_in(request, (*WORT, *MORE, Field("state", "")))
    if not any(each.name in request.query_params for each in WORT):
        typed = {**FIRST[units_of(request)], **typed}
        if not day:
            headings = given.documents.listed("day", most=1).headings
            on_day = given.documents.latest(headings[0].document) if headings else None
    state = typed.get("state", "cold")
    return kept, on_day, {**typed, "state": state if state in STATES else "cold"}


def _kept(given: Services, typed: str, kind: str) -> Revision:
    if not typed.isdecimal() or not 1 <= int(typed) <= 2_147_483_647:
        raise Unwelcome(422, "bad-number", f"`{typed}` is not the number of a {kind}.")
    kept = given.documents.latest(int(typed))
    if kept.kind != kind:
        told = f"{kept.name} is a {kept.kind}; here a {kind} is needed."
        raise Unwelcome(422, "wrong-kind", told)
    return kept


def _told(
    request: Request, kept: Revision, on_day: Revision | None, typed: dict[str, str]
) -> tuple[dict[str, Any] | None, list[Problem]]:
    from wortline.app.chilling import chill_call
    from wortline.app.keeping import file_of
    from wortline.web.chill_view import view

    system = units_of(request)
    try:
        given = with_units(typed, (*WORT, *MORE), system)
        volume = given.get("volume", "")
        if volume and not volume.lower().endswith(STATES):
            volume = f"{volume} {typed['state']}"
        told = chill_call(
            file_of(kept), volume, given.get("from", ""), given.get("to", ""),
            given.get("tap"), given.get("wort_flow"), given.get("water_flow"), given.get("ice"),
            file_of(on_day) if on_day else None, system,
        )  # fmt: skip
    except DocumentRefused as refusal:
        return None, [_at_its_field(each) for each in refusal.problems]
    return view(told, system), []


def _at_its_field(problem: Problem) -> Problem:
    """Return a problem with the label of its field; one in a document keeps its place."""
    name = problem.file.removeprefix("--")
    if name not in LABELS:
        return problem
    text = problem.text
    if name == "tap" and not problem.value:
        text = "how warm is the tap water? Type it as measured, or choose a day"
    return replace(problem, file="", field=LABELS[name], text=text)
