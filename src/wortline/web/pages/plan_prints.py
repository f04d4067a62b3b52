"""What is taken away from a plan: pictures, the sheet of the day, a page to show."""

from typing import Annotated, Literal

from fastapi import APIRouter, Query, Request, Response
from fastapi.responses import RedirectResponse

from wortline.web.pages.plan import METHOD, Wanted, papers_of
from wortline.web.rendering import link, render, units_of
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


@router.get("/plan/{recipe}/sheet.pdf")
def sheet_file(
    request: Request,
    given: Given,
    recipe: Number,
    rig: Rig,
    day: Wanted = None,
    paper: Literal["a4", "letter"] = "a4",
) -> Response:
    """Return the sheet of the day as a tagged PDF; without typst, lead to the print view."""
    from wortline.app.day_sheet import day_sheet
    from wortline.app.drawing import sheet_pdf
    from wortline.app.trying import plan_as_kept

    system = units_of(request)
    planned = plan_as_kept(papers_of(given, recipe, rig, day), METHOD, system)
    try:
        made = sheet_pdf(day_sheet(planned, system).values(), paper)
    except ImportError:
        return RedirectResponse(link(f"/plan/{recipe}/print", rig=rig, day=day), 303)
    return Response(made, media_type="application/pdf")


@router.get("/plan/{recipe}/print")
def print_page(
    request: Request, given: Given, recipe: Number, rig: Rig, day: Wanted = None
) -> Response:
    """Show the sheet of the day as a page that any browser prints."""
    from wortline.app.day_sheet import day_sheet
    from wortline.app.trying import plan_as_kept

    system = units_of(request)
    planned = plan_as_kept(papers_of(given, recipe, rig, day), METHOD, system)
    return render(
        request, "plan_print.html", title=f"{planned.report['name']}, day sheet",
        sheet=day_sheet(planned, system), way_back=link(f"/plan/{recipe}", rig=rig, day=day),
        pdf={
            paper: link(f"/plan/{recipe}/sheet.pdf", rig=rig, day=day, paper=paper)
            for paper in ("a4", "letter")
        },
    )  # fmt: skip


@router.get("/plan/{recipe}/show.html")
def show_file(
    request: Request, given: Given, recipe: Number, rig: Rig, day: Wanted = None
) -> Response:
    """Return the plan as one file that needs nothing from elsewhere."""
    from wortline.app.showing import show_page, style_digest
    from wortline.app.trying import plan_as_kept
    from wortline.web.guard import POLICY

    system = units_of(request)
    planned = plan_as_kept(papers_of(given, recipe, rig, day), METHOD, system)
    # Its style is inside; the policy lets exactly this one pass.
    policy = POLICY.replace("style-src 'self'", f"style-src '{style_digest()}'")
    return Response(
        show_page(planned, system),
        headers={"Content-Security-Policy": policy},
        media_type="text/html",
    )
