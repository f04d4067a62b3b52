"""The past of a document: its revisions, two of them side by side, going back, throwing away."""

from collections.abc import Iterator
from difflib import SequenceMatcher
from typing import Annotated, NamedTuple

from fastapi import APIRouter, Form, Query, Request, Response
from fastapi.responses import RedirectResponse

from wortline.app.ports import Revision
from wortline.web.kinds import ONE
from wortline.web.refusals import Unwelcome
from wortline.web.rendering import render
from wortline.web.services import Given, Number, Services

router = APIRouter(include_in_schema=False)
RevisionNumber = Annotated[int | None, Query(ge=1, le=2_147_483_647)]


class Line(NamedTuple):
    """A line of a comparison: `same`, `gone` or `new`, or a `gap` of lines left out."""

    mark: str
    before: int | None
    after: int | None
    text: str


@router.get("/documents/{document}/history")
def history_page(request: Request, given: Given, document: Number) -> Response:
    """Show all revisions, the newest first."""
    revisions = given.documents.history(document)
    newest = revisions[0]
    title = f"History of {newest.name}"
    return render(
        request, "history.html", title=title, revisions=revisions, newest=newest,
        one=ONE[newest.kind],
    )  # fmt: skip


@router.get("/documents/{document}/compare")
def compare_page(
    request: Request,
    given: Given,
    document: Number,
    before: RevisionNumber = None,
    after: RevisionNumber = None,
) -> Response:
    """Show what differs between two revisions, line by line."""
    history = given.documents.history(document)
    newer = _own(given, document, after or history[0].number)
    older = _own(given, document, before or newer.parent or newer.number)
    return render(
        request, "compare.html", title=f"{newer.name}: {older.number} and {newer.number}",
        older=older, newer=newer, lines=list(compared(older.text, newer.text)),
        newest=history[0],
    )  # fmt: skip


@router.post("/documents/{document}/restore")
def restore_revision(
    given: Given, document: Number, number: Annotated[int, Form(ge=1, le=2_147_483_647)]
) -> Response:
    """Keep an old revision's text once more, as the newest."""
    old, newest = _own(given, document, number), given.documents.latest(document)
    why = f"Back to revision {old.number}."
    saved = given.documents.save(newest.kind, old.name, old.text, why, newest.number)
    return RedirectResponse(f"/documents/{saved.document}?kept={saved.number}", 303)


@router.post("/documents/{document}/discard")
def discard_document(given: Given, document: Number) -> Response:
    """Take a document off the lists; its history stays and it can be taken back."""
    given.documents.discard(document)
    return RedirectResponse(f"/?thrown={document}", 303)


@router.post("/documents/{document}/take-back")
def take_back(given: Given, document: Number) -> Response:
    """Put a thrown away document back on the lists."""
    given.documents.restore(document)
    return RedirectResponse(f"/documents/{document}", 303)


def _own(given: Services, document: int, number: int) -> Revision:
    revision = given.documents.revision(number)
    if revision.document != document:
        raise Unwelcome(404, "not-found", f"Revision {number} belongs to another document.")
    return revision


def compared(before: str, after: str, around: int = 3) -> Iterator[Line]:
    """Return what differs between two texts, with a few lines around each change."""
    old, new = before.splitlines(), after.splitlines()
    groups = SequenceMatcher(None, old, new, autojunk=False).get_grouped_opcodes(around)
    for place, group in enumerate(groups):
        if place:
            yield Line("gap", None, None, "")
        for tag, i1, i2, j1, j2 in group:
            if tag == "equal":
                for i, j in zip(range(i1, i2), range(j1, j2), strict=True):
                    yield Line("same", i + 1, j + 1, old[i])
                continue
            for i in range(i1, i2):
                yield Line("gone", i + 1, None, old[i])
            for j in range(j1, j2):
                yield Line("new", None, j + 1, new[j])
