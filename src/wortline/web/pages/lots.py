"""Lots: the list, starting one from a plan, and the page of one: plan against fact."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Annotated, Any, Literal
from urllib.parse import quote

from fastapi import APIRouter, Form, Query, Request, Response
from fastapi.responses import RedirectResponse
from markupsafe import Markup

from wortline.web.rendering import Nav, render
from wortline.web.services import Given, Number

if TYPE_CHECKING:
    from wortline.app.lots import OpenLot

NAV = Nav("/lots", "Lots")
router = APIRouter(include_in_schema=False)
Revised = Annotated[int, Form(ge=1, le=2_147_483_647)]
MOST_CHOICES = 50


@router.get("/lots")
def lots_page(
    request: Request,
    given: Given,
    before: Annotated[int | None, Query(ge=1, le=2_147_483_647)] = None,
) -> Response:
    """List the lots, and offer to start one."""
    page = given.lots.listed(before, 40)
    choices = {
        kind: given.documents.listed(kind, most=MOST_CHOICES).headings
        for kind in ("recipe", "rig", "day")
    }
    return render(request, "lots.html", title="Lots", page=page, choices=choices,
                  start=given.watch.new_id())  # fmt: skip


@router.post("/lots")
def start_lot_page(
    request: Request,
    given: Given,
    recipe: Revised,
    rig: Revised,
    day: Annotated[str, Form(max_length=12)] = "",
    name: Annotated[str, Form(max_length=120)] = "",
    id: Annotated[str, Form(min_length=8, max_length=56)] = "",
    method: Annotated[Literal["kinetic", "tinseth"], Form()] = "kinetic",
    units: Annotated[Literal["metric", "us"], Form()] = "metric",
) -> Response:
    """Start a lot; the same form sent twice starts one."""
    from wortline.app.lots import start_lot
    from wortline.errors import RecordRefused

    if day and not day.isdigit():
        raise RecordRefused(f"`{day}` is no day; choose one from the list")
    opened = start_lot(
        given.lots, given.documents, given.watch, recipe, rig, int(day) if day else None,
        name, method, units, id or None,
    )  # fmt: skip
    return RedirectResponse(f"/lots/{opened.lot.number}", 303)


@router.get("/lots/{number}")
def lot_page(request: Request, given: Given, number: Number) -> Response:
    """Show a lot: the strip, plan against fact, every event."""
    from wortline.app.drawing import strip_svg
    from wortline.app.lot_report import lot_report
    from wortline.app.lots import lot_of
    from wortline.web.lot_view import dose_row, reading_row, with_facts

    opened = lot_of(given.lots, number)
    told = lot_report(opened)
    system = system_of(opened)
    return render(
        request,
        "lot.html",
        title=opened.title,
        lot=opened.lot,
        told=told,
        phases=[_phase(each) for each in told["phases"]],
        readings=[reading_row(each, system) for each in told["readings"]],
        doses=[dose_row(each) for each in told["dosed"]],
        picture=Markup(strip_svg(with_facts(opened.frozen["plan"], told, system), system)),
    )


def system_of(opened: "OpenLot") -> Literal["metric", "us"]:
    """Return the units a lot was planned in."""
    return "us" if opened.lot.system == "us" else "metric"


def _phase(row: Mapping[str, Any]) -> dict[str, Any]:
    planned, lasted = row["planned_min"], row["lasted_min"]
    fact = "not yet" if row["begun_min"] is None else "under way"
    if lasted is not None:
        fact = f"{lasted:.0f} min"
    apart = ""
    if planned is not None and lasted is not None:
        more = lasted - planned
        apart = "as planned" if abs(more) < 1.0 else f"{more:+.0f} min"
    return {
        **row,
        "planned": "as long as it takes" if planned is None else f"{planned:.0f} min",
        "fact": fact,
        "apart": apart,
    }


@router.get("/lots/{number}/text")
def lot_text(given: Given, number: Number) -> Response:
    """Hand the lot over as a plain-text file."""
    from wortline.app.lots import file_name, lot_of, text_of

    opened = lot_of(given.lots, number)
    return Response(
        text_of(opened),
        headers={"Content-Disposition": f'attachment; filename="{file_name(opened)}"'},
        media_type="text/plain",
    )


@router.get("/lots/{number}/alarms.ics")
def lot_alarms(
    given: Given, number: Number, one: Annotated[str | None, Query(max_length=120)] = None
) -> Response:
    """Hand the coming alarms, or one, over as iCalendar for the clock of a phone."""
    from wortline.app.lot_report import alarms_calendar
    from wortline.app.lots import lot_of

    text = alarms_calendar(lot_of(given.lots, number), given.watch, one)
    name = quote(f"lot-{number}-alarms.ics")
    return Response(
        text,
        headers={"Content-Disposition": f'attachment; filename="{name}"'},
        media_type="text/calendar",
    )
