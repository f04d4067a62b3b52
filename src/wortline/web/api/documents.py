"""Documents over the API: list, keep, read, their past, check without keeping."""

from typing import Annotated, Any

from fastapi import APIRouter, Query, Response
from pydantic import BaseModel, ConfigDict, Field

from wortline.app.ports import Heading, Revision
from wortline.errors import DocumentRefused
from wortline.web.kinds import Kind
from wortline.web.refusals import Complaint, complaint, json_answer
from wortline.web.saving import keep, problems_in, unix_lines
from wortline.web.services import Given, Number

router = APIRouter(prefix="/api", tags=["documents"])
MOST_TEXT = 300_000


class Told(BaseModel):
    """A body whose fields are all known."""

    model_config = ConfigDict(extra="forbid")


class NewRevision(Told):
    """A text to keep; `parent` is the revision it was made from."""

    kind: Kind
    text: str = Field(max_length=MOST_TEXT)
    name: str = Field("", max_length=1000)
    why: str = Field("", max_length=1000)
    parent: int | None = Field(None, ge=1, le=2_147_483_647)
    even_so: bool = False


class Text(Told):
    """A text to look at."""

    kind: Kind
    text: str = Field(max_length=MOST_TEXT)


class Found(BaseModel):
    """What is wrong with a text; empty if nothing is."""

    problems: list[Complaint]


def heading_values(each: Heading) -> dict[str, Any]:
    """Return a heading as plain values."""
    return {
        "number": each.number,
        "document": each.document,
        "kind": each.kind,
        "name": each.name,
        "why": each.why,
        "parent": each.parent,
        "saved_at": each.saved_at.isoformat(),
    }


def revision_values(each: Revision) -> dict[str, Any]:
    """Return a revision as plain values."""
    return {**heading_values(each), "text": each.text, "key": each.key}


@router.get("/documents")
def listed(
    given: Given,
    kind: Kind | None = None,
    name: Annotated[str | None, Query(max_length=1000)] = None,
    discarded: bool = False,
    before: Annotated[int | None, Query(ge=1, le=2_147_483_647)] = None,
    most: Annotated[int, Query(ge=1, le=1000)] = 100,
    contains: Annotated[str | None, Query(max_length=1000)] = None,
) -> Response:
    """The newest revision of each document, the last kept first, without their texts.

    `name` is the whole name, `contains` a part of it in which A to Z count in either case.
    """
    page = given.documents.listed(kind, name, discarded, before, most, contains)
    listed_ = [heading_values(each) for each in page.headings]
    return json_answer(200, {"documents": listed_, "before": page.before})


@router.post("/documents", status_code=201)
def kept(given: Given, told: NewRevision) -> Response:
    """Keep a text as a new revision; 409 if its parent is not the newest one."""
    # As it was sent: unlike a form, this way says how its lines end.
    saved, problems = keep(
        given.documents, told.kind, told.name, told.text, told.why, told.parent, told.even_so
    )
    if saved is None:
        raise DocumentRefused(problems)
    return json_answer(201, revision_values(saved))


@router.get("/documents/{document}")
def latest(given: Given, document: Number) -> Response:
    """The newest revision of a document."""
    return json_answer(200, revision_values(given.documents.latest(document)))


@router.get("/documents/{document}/history")
def history(given: Given, document: Number) -> Response:
    """All revisions of a document, the newest first, without their texts."""
    revisions = [heading_values(each) for each in given.documents.history(document)]
    return json_answer(200, {"revisions": revisions})


@router.post("/documents/{document}/discard")
def discard(given: Given, document: Number) -> Response:
    """Put a document out of sight; nothing is deleted."""
    given.documents.discard(document)
    return json_answer(200, heading_values(given.documents.latest(document)))


@router.post("/documents/{document}/restore")
def restore(given: Given, document: Number) -> Response:
    """Take a discarded document back."""
    given.documents.restore(document)
    return json_answer(200, heading_values(given.documents.latest(document)))


@router.get("/revisions/{number}")
def revision(given: Given, number: Number) -> Response:
    """One revision."""
    return json_answer(200, revision_values(given.documents.revision(number)))


@router.post("/check", response_model=Found)
def checked(told: Text) -> Response:
    """Everything that is wrong with a text, without keeping it."""
    found = problems_in(told.kind, "", unix_lines(told.text))
    listed_ = [complaint(each).model_dump() for each in found]
    return json_answer(200, {"problems": listed_})
