"""The start page: what is there, what fades, what is next."""

from fastapi import APIRouter, Request, Response

from wortline.web.rendering import Nav, render
from wortline.web.services import Given

NAV = Nav("/", "Start")
router = APIRouter(include_in_schema=False)


@router.get("/")
def start_page(request: Request, given: Given) -> Response:
    """Show what is there."""
    return render(request, "start.html", title="Start", listed=given.documents.listed())
