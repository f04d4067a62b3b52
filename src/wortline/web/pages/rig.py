"""Your own rig in ten minutes: a tape measure, a bucket and a watch, in this order."""

from typing import Annotated, Any

from fastapi import APIRouter, Form, Request, Response
from fastapi.responses import RedirectResponse

from wortline.errors import DocumentRefused
from wortline.web.refusals import plain
from wortline.web.rendering import Nav, render, units_of
from wortline.web.saving import keep
from wortline.web.services import Given, Number

NAV = Nav("/rig", "My rig")
router = APIRouter(include_in_schema=False)
WHY = "Measured with tape, bucket and watch."
Typed = Annotated[str, Form(max_length=200)]


@router.get("/rig")
def rig_page(request: Request) -> Response:
    """Ask what a first plan needs."""
    return _asked(request, {}, {})


@router.post("/rig")
def measure_rig(
    request: Request,
    given: Given,
    name: Typed = "",
    kind: Typed = "",
    power: Typed = "",
    diameter: Typed = "",
    depth: Typed = "",
    poured: Typed = "",
    drained: Typed = "",
    through: Typed = "",
    filled: Typed = "",
    ran_in: Typed = "",
    emptied: Typed = "",
    boiled: Typed = "",
    fell: Typed = "",
    pump: Annotated[str, Form(max_length=10)] = "",
    units: Annotated[str, Form(max_length=10)] = "",
) -> Response:
    """Make a rig of the answers; what cannot be used is asked again, everything typed stays."""
    from wortline.app.measuring import measured_rig

    typed = {
        "power": power, "diameter": diameter, "depth": depth, "poured": poured,
        "drained": drained, "through": through, "filled": filled, "ran_in": ran_in,
        "emptied": emptied, "boiled": boiled, "fell": fell,
    }  # fmt: skip
    system = "us" if units == "us" else "metric"
    try:
        text = measured_rig(name, kind, typed, system, pump)
    except DocumentRefused as refusal:
        wrong = {each.field: plain(each.text) for each in refusal.problems}
        return _asked(request, {**typed, "name": name, "kind": kind, "pump": pump}, wrong, system)
    saved, problems = keep(given.documents, "rig", name, text, WHY)
    if saved is None:
        raise DocumentRefused(problems)
    return RedirectResponse(f"/rig/{saved.document}", 303)


@router.get("/rig/{document}")
def measured_page(request: Request, given: Given, document: Number) -> Response:
    """Show what the answers make, how well each number is known, and the way to a plan."""
    from wortline.app.standing import document_in

    kept = given.documents.latest(document)
    rig = document_in(kept)
    recipes = given.documents.listed("recipe", most=20).headings
    days = given.documents.listed("day", most=20).headings
    return render(
        request, "rig_measured.html", title=kept.name, kept=kept, recipes=recipes, days=days,
        numbers=_numbers(rig, units_of(request)),
        plans=any(each.path == "/plan" for each in request.app.state.nav),
    )  # fmt: skip


def _asked(
    request: Request, typed: dict[str, Any], wrong: dict[str, str], system: str | None = None
) -> Response:
    from wortline.app.measuring import POWER, QUESTIONS

    sections = [
        (tool, [each for each in QUESTIONS if each.tool == tool])
        for tool in ("tape", "bucket", "watch")
    ]
    return render(
        request, "rig.html", 422 if wrong else 200, title="My rig", sections=sections,
        power=POWER, typed=typed, wrong=wrong, system=system or units_of(request),
    )  # fmt: skip


def _numbers(rig: Any, system: str) -> list[tuple[str, str, str, str]]:
    """Return what was found: what, value, spread, and where from."""
    from wortline.units import glued, say

    if rig is None:
        return []
    found = (
        ("Kettle to the brim", rig.kettle.brim),
        ("Kettle width inside", rig.kettle.diameter),
        ("Stays in the kettle (cold)", rig.kettle.left_behind),
        ("Stays in the line (cold)", rig.hold_up),
        ("Boil-off (cold)", rig.boil_off),
        ("Element", rig.element.power),
        ("Fills with", rig.fill),
        ("Leaves the kettle with", rig.transfer),
    )
    numbers = [
        (what, glued(say(each.value, each.kind, system)), _spread(each, system), each.trust)
        for what, each in found
        if each is not None
    ]
    return [*numbers, ("Pump", "yes" if rig.has_pump else "none", "", "your answers")]


def _spread(quantity: Any, system: str) -> str:
    """Return a spread in the unit of its value, with two digits that mean something."""
    from wortline.units import glued, say

    spread = quantity.spread or 0.0
    said = say(spread, quantity.kind, system, 2, quantity.value)
    if float(said.partition(" ")[0]) >= 10.0:
        said = say(spread, quantity.kind, system, 0, quantity.value)
    return glued(said)
