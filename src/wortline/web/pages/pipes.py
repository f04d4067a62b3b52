"""The pipe map: handles to turn, what follows, and the day's line-ups and change-overs by step."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Any

from fastapi import APIRouter, Query, Request, Response
from fastapi.responses import RedirectResponse

from wortline.app.ports import Revision
from wortline.errors import DocumentRefused, Problem
from wortline.web.fields import Field, between, typed_in, with_units
from wortline.web.refusals import Unwelcome
from wortline.web.rendering import Nav, render, units_of
from wortline.web.services import Given, Number, Services

if TYPE_CHECKING:
    from wortline.app.day_steps import Step
    from wortline.app.handles import Stand

NAV = Nav("/pipes", "Pipes")
router = APIRouter(include_in_schema=False)
WIDE_PX, PHONE_PX = 720, 330
MOST_TOUCHES = 40

DAY = (
    Field("level", "Depth of wort in the kettle", "cm", "in"),
    Field("wort", "Wort in the kettle", "C", "F"),
    Field("throttle", "Flow throttled behind the pump", "%", "%"),
)
MORE = (
    Field("outlet", "Wort behind the chiller, as measured", "C", "F"),
    Field("water_at", "Water on its way in", "C", "F"),
    Field("blinded", "Screen covered by hops", "%", "%"),
    Field("element", "Element's power", "%", "%"),
    Field("fermenter_level", "Depth in the fermenter", "cm", "in"),
    Field("clean", "Clean marks", example="chiller=heat, all=acid"),
    Field("holds", "Contents of parts", example="chiller=water"),
)
HANDS = tuple(Field(name, name) for name in ("handles", "hose_ends", "pump", "water"))
HEADS = {"pass": "Good", "warn": "Warning", "stop": "Stop"}
Touches = Annotated[list[str], Query(max_length=MOST_TOUCHES)]
Step_ = Annotated[int | None, Query(ge=1, le=1000)]
Room = Annotated[int | None, Query(), between(280, 1400)]


@dataclass(frozen=True)
class Asked:
    """What a request asks of a rig's pipes."""

    kept: Revision
    typed: dict[str, str]
    hands: dict[str, str]
    do: list[str]
    step: int | None
    room: int | None


@router.get("/pipes")
def any_rig(request: Request, given: Given) -> Response:
    """Go to the pipe map of the rig that was kept last."""
    headings = given.documents.listed("rig", most=100).headings
    for each in headings:
        if "plumbing:" in given.documents.latest(each.document).text:
            return RedirectResponse(f"/pipes/{each.document}", 303)
    return render(request, "pipes_none.html", title="Pipes", rigs=headings)


@router.get("/pipes/{document}")
def pipes_page(
    request: Request, given: Given, document: Number, do: Touches = [], step: Step_ = None,  # noqa: B006
    room: Room = None,
) -> Response:  # fmt: skip
    """Show the pipe map of a rig as it stands."""
    asked = asked_of(request, given, document, do, step, room)
    if "plumbing:" not in asked.kept.text:
        return render(request, "pipes_none.html", title="Pipes", rigs=[asked.kept])
    values, problems = _shown(request, asked)
    return render(
        request, "pipes.html", 422 if problems else 200, title=f"Pipes of {asked.kept.name}",
        kept=asked.kept, typed=asked.typed, day_fields=DAY, more_fields=MORE,
        problems=problems, more_typed=any(each.name in asked.typed for each in MORE), **values,
    )  # fmt: skip


@router.get("/pipes/{document}/now")
def pipes_part(
    request: Request, given: Given, document: Number, do: Touches = [], step: Step_ = None,  # noqa: B006
    room: Room = None,
) -> Response:  # fmt: skip
    """Return the part of the page that follows from how everything stands."""
    asked = asked_of(request, given, document, do, step, room)
    values, problems = _shown(request, asked)
    if problems:
        headers = {"Wortline-Refused": "yes"}
        return render(request, "refused_part.html", headers=headers, problems=problems)
    return render(request, "pipes_now.html", kept=asked.kept, **values)


def stand_shown(request: Request, asked: Asked) -> "Stand":
    """Return how the pipes stand that a page shows.

    Raises
    ------
    DocumentRefused
        With every problem in what was typed; here nothing is left out.
    """
    from wortline.app.day_steps import day_steps
    from wortline.app.handles import pipes_in
    from wortline.app.keeping import file_of

    file = file_of(asked.kept)
    day = with_units(asked.typed, (*DAY, *MORE), units_of(request))
    pipes = pipes_in(file)
    steps = day_steps(file, None, day)
    return _stood(asked, pipes, steps, {**day, **_hands(asked, steps)}, asked.do).stand


def asked_of(
    request: Request, given: Services, document: int, do: list[str], step: int | None,
    room: int | None,
) -> Asked:  # fmt: skip
    """Return what a request asks of a rig's pipes."""
    kept = given.documents.latest(document)
    if kept.kind != "rig":
        raise Unwelcome(422, "wrong-kind", f"{kept.name} is a {kept.kind}; pipes belong to a rig.")
    return Asked(kept, typed_in(request, (*DAY, *MORE)), typed_in(request, HANDS), do, step, room)


def _shown(request: Request, asked: Asked) -> tuple[dict[str, Any], list[Problem]]:
    """Return all that follows from how everything stands; with faults, from what is sound."""
    from wortline.app.day_steps import day_steps
    from wortline.app.handles import pipes_in
    from wortline.app.keeping import file_of

    system = units_of(request)
    file = file_of(asked.kept)
    day: dict[str, str] = {}
    problems: list[Problem] = []
    try:
        day = with_units(asked.typed, (*DAY, *MORE), system)
    except DocumentRefused as refusal:
        problems = list(refusal.problems)
    try:
        pipes = pipes_in(file)
    except DocumentRefused as refusal:
        return _nothing(), list(refusal.problems)
    # What cannot be read is left out and said; the map shows what is left.
    for known, with_hands in ((day, True), ({}, True), ({}, False)):
        try:
            steps = day_steps(file, None, known)
            hands = _hands(asked, steps) if with_hands else {}
            do = asked.do if with_hands else []
            return _values(asked, pipes, steps, known, hands, do, system), problems
        except DocumentRefused as refusal:
            problems = problems or [_at_its_field(each) for each in refusal.problems]
    return _nothing(), problems


def _nothing() -> dict[str, Any]:
    return {"stand": None}


def _at_its_field(problem: Problem) -> Problem:
    """Return a problem with the label of its field in place of an option's name."""
    from dataclasses import replace

    name = problem.file.removeprefix("--").replace("-", "_")
    label = next((each.label for each in (*DAY, *MORE) if each.name == name), "")
    return replace(problem, file="", line=0, field=label or problem.field)


def _hands(asked: Asked, steps: "tuple[Step, ...]") -> dict[str, str]:
    """Return how the hands have left everything: as said, else as at the step that is shown."""
    if asked.hands or asked.step is None or not steps:
        return asked.hands
    return steps[min(asked.step, len(steps)) - 1].words


@dataclass(frozen=True)
class Stood:
    """How everything stands, the step that is shown, and whether it still stands so."""

    stand: "Stand"
    at: int | None
    on_step: bool


def _stood(
    asked: Asked, pipes: Any, steps: "tuple[Step, ...]", words: dict[str, str], do: list[str]
) -> Stood:
    from wortline.app.handles import HANDS as KEYS
    from wortline.app.handles import stand_of

    for each in do:
        words = {**words, **stand_of(pipes, words, each).words}
    at = min(asked.step, len(steps)) if asked.step and steps else None
    shown = steps[at - 1] if at else None
    stand = stand_of(pipes, words)
    on_step = shown is not None and all(shown.words[key] == stand.words[key] for key in KEYS)
    if shown is not None and on_step:
        goal = shown.phase if shown.is_line_up else None
        stand = stand_of(pipes, {**shown.taken, **words}, "", goal)
    return Stood(stand, at, on_step)


def _values(
    asked: Asked, pipes: Any, steps: "tuple[Step, ...]", day: dict[str, str],
    hands: dict[str, str], do: list[str], system: Any,
) -> dict[str, Any]:  # fmt: skip
    from wortline.app.handles import HANDS as KEYS
    from wortline.app.handles import map_svg, parts_in_words

    stood = _stood(asked, pipes, steps, {**day, **hands}, do)
    stand = stood.stand
    rooms = [asked.room] if asked.room else [PHONE_PX, WIDE_PX]
    return {
        "stand": stand,
        "maps": [(width, map_svg(stand, width, system)) for width in rooms],
        "head": HEADS[stand.judged["verdict"]],
        "findings": _findings(stand, system),
        "flow": _flow(stand.judged, system),
        "parts": parts_in_words(stand, system),
        "steps": steps,
        "at": stood.at,
        "on_step": stood.on_step,
        "pictures": {
            **{key: stand.words[key] for key in KEYS if stand.words[key]},
            **(asked.typed if day else {}),
            "step": stood.at,
        },
    }


def _findings(stand: Any, system: Any) -> list[tuple[str, str, str, str, str]]:
    """Return the findings as gravity, head, text, act and code, like ones of many parts as one."""
    from wortline.app.handles import gathered_findings

    return gathered_findings(stand, system)


def _flow(judged: dict[str, Any], system: Any) -> list[tuple[str, str]]:
    """Return what is measured of the flow, as name and value."""
    from wortline.units import glued, say

    if judged["flow_l_min"] is None:
        return []
    least, most = judged["flow_range_l_min"]
    flow = say(judged["flow_l_min"], "flow", system)
    if judged["regime"] == "uncertain":
        flow = f"{flow}, uncertain: {say(least, 'flow', system)} to {say(most, 'flow', system)}"
    rows = [("Flow", flow)]
    if judged["suction_margin_m"] is not None:
        rows.append(("Suction head to spare", say(judged["suction_margin_m"], "length", system)))
    if judged["vortex_l_min"] is not None:
        rows.append(("A vortex draws air above", say(judged["vortex_l_min"], "flow", system)))
    if judged["outlet_c"] is not None:
        rows.append(("Wort leaves the chiller at", say(judged["outlet_c"], "temperature", system)))
    if judged["empties"]:
        litres = say(judged["empties"]["hot_l"], "volume", system)
        minutes = say(judged["empties"]["min"], "time", system, 1)
        rows.append(("Runs through once", f"{litres} hot in {minutes}"))
    held_l = sum(each["cold_l"] for each in judged["in_line"])
    if held_l > 0.0:
        rows.append(("In the line", f"{say(held_l, 'volume', system)} cold"))
    return [(name, glued(value)) for name, value in rows]
