"""Pictures to take away from pages other than the plan, each as SVG and PNG, as it is shown."""

from typing import Literal

from fastapi import APIRouter, Request, Response

from wortline.web.fields import typed_in
from wortline.web.pages import pipes, rest
from wortline.web.refusals import Unwelcome
from wortline.web.rendering import units_of
from wortline.web.services import Given, Number

router = APIRouter(include_in_schema=False)
Form = Literal["svg", "png"]


def picture(svg: str, form: Form) -> Response:
    """Return a picture in the form that is asked for."""
    from wortline.app.drawing import as_png

    if form == "svg":
        return Response(svg, media_type="image/svg+xml")
    try:
        made = as_png(svg)
    except ImportError:
        told = "typst, which makes PNG pictures, is not installed on this computer. Take the SVG."
        raise Unwelcome(404, "no-png", told) from None
    return Response(made, media_type="image/png")


@router.get("/rest/{recipe}/trade.{form}")
def trade_file(
    request: Request, given: Given, recipe: Number, form: Form, rig: rest.Wanted = "",
    day: rest.Wanted = "",
) -> Response:  # fmt: skip
    """Return the trade of a rest."""
    from wortline.app.drawing import rest_svg

    papers = rest.papers_of(given, recipe, rig, day)
    found = rest.weighed(papers, typed_in(request, rest.FIELDS), units_of(request))
    return picture(rest_svg(found.report), form)


@router.get("/rest/{recipe}/kettle.{form}")
def kettle_file(
    request: Request, given: Given, recipe: Number, form: Form, rig: rest.Wanted = "",
    day: rest.Wanted = "",
) -> Response:  # fmt: skip
    """Return the kettle from the side."""
    from wortline.app.drawing import kettle_svg

    system = units_of(request)
    papers = rest.papers_of(given, recipe, rig, day)
    found = rest.weighed(papers, typed_in(request, rest.FIELDS), system)
    drawn = kettle_svg(found.planned.report, system)
    if drawn is None:
        told = "There is no such picture: this recipe plans no whirlpool and no rest."
        raise Unwelcome(404, "no-kettle", told)
    return picture(drawn, form)


@router.get("/pipes/{document}/map.{form}")
def map_file(
    request: Request, given: Given, document: Number, form: Form, do: pipes.Touches = [],  # noqa: B006
    step: pipes.Step_ = None,
) -> Response:  # fmt: skip
    """Return the pipe map as it stands, with its verdict."""
    from wortline.app.handles import whole_map_svg

    asked = pipes.asked_of(request, given, document, do, step, None)
    if "plumbing:" not in asked.kept.text:
        raise Unwelcome(404, "no-pipes", f"{asked.kept.name} has no pipes yet.")
    return picture(whole_map_svg(pipes.stand_shown(request, asked), units_of(request)), form)


@router.get("/lots/{number}/strip.{form}")
def lot_strip_file(given: Given, number: Number, form: Form) -> Response:
    """Return the strip of a lot, plan against fact."""
    from wortline.app.drawing import strip_svg
    from wortline.app.lot_report import lot_report
    from wortline.app.lots import lot_of
    from wortline.web.lot_view import with_facts
    from wortline.web.pages.lots import system_of

    opened = lot_of(given.lots, number)
    system = system_of(opened)
    told = with_facts(opened.frozen["plan"], lot_report(opened), system)
    return picture(strip_svg(told, system), form)
