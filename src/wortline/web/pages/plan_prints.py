"""What is taken away from a plan: pictures, the sheet of the day, a page to show."""

from typing import Annotated

from fastapi import APIRouter, Query, Request, Response

from wortline.web.pages.plan import METHOD, Wanted, papers_of
from wortline.web.rendering import units_of
from wortline.web.services import Given, Number

router = APIRouter(include_in_schema=False)
Rig = Annotated[int, Query(ge=1, le=2_147_483_647)]


@router.get("/plan/{recipe}/strip.svg")
def strip_file(
    request: Request, given: Given, recipe: Number, rig: Rig, day: Wanted = None
) -> Response:
    """Return the strip as SVG."""
    from wortline.app.drawing import strip_svg
    from wortline.app.trying import plan_as_kept

    system = units_of(request)
    report = plan_as_kept(papers_of(given, recipe, rig, day), METHOD, system).report
    return Response(strip_svg(report, system), media_type="image/svg+xml")


@router.get("/plan/{recipe}/strip.png")
def strip_image(
    request: Request, given: Given, recipe: Number, rig: Rig, day: Wanted = None
) -> Response:
    """Return the strip as PNG."""
    from wortline.app.drawing import strip_png
    from wortline.app.trying import plan_as_kept

    system = units_of(request)
    report = plan_as_kept(papers_of(given, recipe, rig, day), METHOD, system).report
    return Response(strip_png(report, system), media_type="image/png")
