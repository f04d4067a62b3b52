"""How a phone gets in: the code from the terminal, a few tries at a time."""

from collections.abc import Mapping
from typing import Annotated

from fastapi import APIRouter, Form, Query, Request, Response
from fastapi.responses import RedirectResponse

from wortline.web.door import SESSION, SESSION_DAYS, new_session
from wortline.web.rendering import render
from wortline.web.services import Given, Services

router = APIRouter(include_in_schema=False)


@router.get("/join")
def join_page(
    request: Request, given: Given, code: Annotated[str, Query(max_length=40)] = ""
) -> Response:
    """Ask for the code; a scanned address brings it along, but nothing happens before a touch."""
    return _asked(request, given, code=code)


@router.post("/join")
def join(
    request: Request, given: Given, code: Annotated[str, Form(max_length=40)] = ""
) -> Response:
    """Let in whoever has the code."""
    client = request.client.host if request.client else ""
    fits = given.door.code_fits(code)
    if wait_s := given.tries.wait_s(client, fits):
        said = f"Too many wrong codes. Wait {wait_s} s and try again."
        headers = {"Retry-After": str(wait_s)}
        return _asked(request, given, 429, said=said, headers=headers)
    if not fits:
        said = "That is not the code. It stands in the terminal that runs Wortline."
        return _asked(request, given, 403, code, said)
    answer = RedirectResponse("/", 303)
    answer.set_cookie(
        SESSION,
        new_session(given.secret, given.clock()),
        max_age=SESSION_DAYS * 24 * 3600,
        secure=given.door.secure,
        httponly=True,
        samesite="strict",
    )
    return answer


def _asked(
    request: Request, given: Services, status: int = 200, code: str = "", said: str = "",
    headers: Mapping[str, str] | None = None,
) -> Response:  # fmt: skip
    return render(
        request, "join.html", status, headers, title="Join", code=code, said=said,
        certificate=given.door.certificate is not None,
    )  # fmt: skip
