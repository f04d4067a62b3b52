"""Refusals in one shape, as JSON for the API and as a page for people."""

import json
from collections.abc import Iterable, Mapping
from typing import Any

from fastapi import Request, Response
from fastapi.exceptions import RequestValidationError
from pydantic import BaseModel
from starlette.exceptions import HTTPException

from wortline.errors import (
    Conflict,
    DocumentRefused,
    NotKept,
    Problem,
    StoreTrouble,
    WortlineError,
)
from wortline.web.rendering import render


class Complaint(BaseModel):
    """One complaint about one place: what was typed, what is allowed, what to do."""

    file: str
    line: int
    field: str
    typed: str
    allowed: str
    text: str
    do: str


class Refusal(BaseModel):
    """What went wrong, as a code for programs and a sentence for people."""

    code: str
    text: str
    problems: list[Complaint] = []


class Refused(BaseModel):
    """The body of every answer that is no success."""

    error: Refusal


class Unwelcome(WortlineError):
    """A request the web face refuses by itself."""

    def __init__(self, status: int, code: str, text: str) -> None:
        self.status, self.code = status, code
        super().__init__(text)


CODES = {
    400: "bad-request",
    403: "not-allowed",
    404: "not-found",
    405: "not-allowed",
    413: "too-large",
    422: "refused",
}
TEXTS = {
    404: "There is nothing at this address.",
    405: "This address does not take that kind of request.",
}


def plain(text: object) -> str:
    """Return a text without lone surrogates, which no answer can carry."""
    return str(text).encode("utf-8", "replace").decode("utf-8")


def complaint(problem: Problem) -> Complaint:
    """Return a document's problem as the API tells it."""
    if problem.nearest:
        act = f"Write `{problem.nearest}`."
    elif problem.allowed:
        act = f"Write {problem.allowed}."
    else:
        act = "Change this place and try again."
    return Complaint(
        file=plain(problem.file),
        line=problem.line,
        field=plain(problem.field),
        typed=plain(problem.value),
        allowed=plain(problem.allowed),
        text=plain(problem.text),
        do=plain(act),
    )


def json_answer(status: int, value: Any, headers: Mapping[str, str] | None = None) -> Response:
    """Return plain values as JSON in ASCII; a number that is not finite stops here."""
    text = json.dumps(value, allow_nan=False, separators=(",", ":"))
    return Response(text, status, headers, media_type="application/json")


def refusal(
    request: Request,
    status: int,
    code: str,
    text: str,
    problems: Iterable[Problem] = (),
    headers: Mapping[str, str] | None = None,
) -> Response:
    """Return a refusal in the shape this request can read."""
    listed = [complaint(problem) for problem in problems]
    if wants_json(request):
        told = Refused(error=Refusal(code=code, text=plain(text), problems=listed))
        return json_answer(status, told.model_dump(), headers)
    return render(
        request,
        "refusal.html",
        status,
        headers=headers,
        title="This did not work",
        text=plain(text),
        problems=listed,
    )


def wants_json(request: Request) -> bool:
    """Say whether a program asks, not a person."""
    return request.url.path.startswith("/api/") or request.url.path == "/openapi.json"


async def on_http(request: Request, error: Exception) -> Response:
    """Answer an error of the web itself."""
    assert isinstance(error, HTTPException)
    code = CODES.get(error.status_code, "refused")
    text = TEXTS.get(error.status_code, str(error.detail))
    return refusal(request, error.status_code, code, text, headers=error.headers)


async def on_invalid(request: Request, error: Exception) -> Response:
    """Answer a request whose fields do not fit."""
    assert isinstance(error, RequestValidationError)
    problems = [_unfit(each, error.body) for each in error.errors()]
    text = "Some fields of this request do not fit."
    if any(each["type"] == "json_invalid" for each in error.errors()):
        text = "The body of this request is no JSON."
    return refusal(request, 422, "refused", text, problems)


UNFIT: Mapping[str, tuple[str, str]] = {
    "missing": ("it is missing", ""),
    "int_parsing": ("`{typed}` is no whole number", "a whole number"),
    "int_type": ("`{typed}` is no whole number", "a whole number"),
    "int_from_float": ("`{typed}` is no whole number", "a whole number"),
    "float_parsing": ("`{typed}` is no number", "a number"),
    "float_type": ("`{typed}` is no number", "a number"),
    "string_type": ("`{typed}` is no text", "a text"),
    "bool_parsing": ("`{typed}` is neither yes nor no", "true or false"),
    "greater_than_equal": ("`{typed}` is too small", "{ge} or more"),
    "greater_than": ("`{typed}` is too small", "more than {gt}"),
    "less_than_equal": ("`{typed}` is too large", "{le} or less"),
    "less_than": ("`{typed}` is too large", "less than {lt}"),
    "finite_number": ("`{typed}` is no number", "a number that has an end"),
    "string_too_long": ("it is too long", "at most {max_length} letters"),
    "string_too_short": ("it is too short", "at least {min_length} letters"),
    "too_long": ("there are too many of it", "at most {max_length}"),
    "literal_error": ("`{typed}` is not known here", "{expected}"),
    "extra_forbidden": ("there is no such field", ""),
    "dict_type": ("`{typed}` is no set of fields", "fields with their values in braces"),
    "model_attributes_type": (
        "`{typed}` is no set of fields", "fields with their values in braces"),
}  # fmt: skip
"""What is wrong with a field, and what is allowed, for the ways in which fields are wrong."""


def _unfit(error: Mapping[str, Any], body: object) -> Problem:
    """Return what is wrong with one field of a request, in plain words."""
    kind, said = error["type"], error.get("ctx", {})
    if kind == "json_invalid":
        typed = plain(body)[:80]
        at = int(error["loc"][-1]) + 1
        text = f"at letter {at}: {str(said.get('error', '')).lower()}"
        return Problem("", 0, "body", typed, "JSON, such as {\"name\": \"value\"}", "", text)
    typed = plain(error.get("input", ""))[:80]
    field = ".".join(str(part) for part in error["loc"][1:])
    if kind not in UNFIT:
        return Problem("", 0, field, typed, "", "", str(error["msg"]))
    words = {**said, "typed": typed}
    text, allowed = (each.format(**words) for each in UNFIT[kind])
    return Problem("", 0, field, typed, allowed, "", text)


async def on_refused(request: Request, error: Exception) -> Response:
    """Answer refused documents with every problem in them."""
    assert isinstance(error, DocumentRefused)
    count = len(error.problems)
    text = "One place needs a change." if count == 1 else f"{count} places need a change."
    return refusal(request, 422, "refused", text, error.problems)


async def on_unwelcome(request: Request, error: Exception) -> Response:
    """Answer what the web face refuses by itself."""
    assert isinstance(error, Unwelcome)
    return refusal(request, error.status, error.code, str(error))


KNOWN: Mapping[type[WortlineError], tuple[int, str]] = {
    NotKept: (404, "not-found"),
    Conflict: (409, "changed-elsewhere"),
    StoreTrouble: (503, "store-trouble"),
}


async def on_wortline(request: Request, error: Exception) -> Response:
    """Answer anything else that Wortline says no to, in a sentence."""
    status, code = next(
        (known for kind, known in KNOWN.items() if isinstance(error, kind)), (422, "refused")
    )
    text = str(error)
    return refusal(request, status, code, text[:1].upper() + text[1:])


async def on_fault(request: Request, error: Exception) -> Response:
    """Answer a fault of Wortline itself; what it was stands in the terminal."""
    text = "Something in Wortline broke. Your documents are as they were. Go back and try again."
    return refusal(request, 500, "fault", text)


REFUSALS: Mapping[Any, Any] = {
    HTTPException: on_http,
    RequestValidationError: on_invalid,
    DocumentRefused: on_refused,
    Unwelcome: on_unwelcome,
    WortlineError: on_wortline,
    Exception: on_fault,
}
