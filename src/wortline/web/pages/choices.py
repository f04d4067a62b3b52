"""The two switches of every page, units and light; and putting away the word on plain http."""

from typing import Annotated, Literal

from fastapi import APIRouter, Form
from fastapi.responses import RedirectResponse, Response

from wortline.web.rendering import LIGHT, PLAIN, UNITS
from wortline.web.services import Given

router = APIRouter(include_in_schema=False)
YEAR_S = 365 * 24 * 3600


def local(back: str) -> str:
    """Return a way back that stays on this server."""
    fine = back.startswith("/") and not back.startswith("//") and back.isprintable()
    return back if fine and "\\" not in back else "/"


@router.post("/choices")
def choose(
    given: Given,
    back: Annotated[str, Form()] = "/",
    units: Annotated[Literal["metric", "us"] | None, Form()] = None,
    light: Annotated[Literal["auto", "light", "dark"] | None, Form()] = None,
    plain: Annotated[Literal["read"] | None, Form()] = None,
) -> Response:
    """Keep a choice in this browser and go back."""
    answer = RedirectResponse(local(back), 303)
    for cookie, value in ((UNITS, units), (LIGHT, light), (PLAIN, plain)):
        if value:
            answer.set_cookie(
                cookie,
                value,
                max_age=YEAR_S,
                secure=given.door.secure,
                httponly=True,
                samesite="strict",
            )
    return answer
