"""Documents as text: the list, a new one, one to read and change, saving."""

from typing import Annotated

from fastapi import APIRouter, Form, Query, Request, Response
from fastapi.responses import RedirectResponse

from wortline.app.ports import Revision
from wortline.errors import Conflict, NotKept, Problem, WortlineError
from wortline.web.kinds import KINDS, ONE, PLURAL, Kind
from wortline.web.rendering import Nav, render
from wortline.web.saving import as_before, keep, problems_in
from wortline.web.services import Given, Number

NAV = Nav("/documents", "Documents")
router = APIRouter(include_in_schema=False)
PAGE = 100
Find = Annotated[str, Query(max_length=120)]


@router.get("/documents")
def list_page(
    request: Request,
    given: Given,
    kind: Annotated[Kind | None, Query()] = None,
    before: Annotated[int | None, Query(ge=1, le=2_147_483_647)] = None,
    discarded: bool = False,
    find: Find = "",
) -> Response:
    """List documents, those last kept first; all, or those with a text in their name."""
    sought = find.strip() or None
    page = given.documents.listed(
        kind, discarded=discarded, before=before, most=PAGE, contains=sought
    )
    title = PLURAL[kind] if kind else "Documents"
    return render(
        request, "documents.html", title=title, page=page, kind=kind, kinds=KINDS, plural=PLURAL,
        one=ONE, discarded=discarded, before=before, find=sought,
        count=given.documents.counted(kind, discarded, sought),
    )  # fmt: skip


@router.get("/new")
def new_page(request: Request, kind: Kind = "recipe") -> Response:
    """Show a commented document to start from."""
    from wortline.app.starting import starting_document

    text = "schema: lineup/1\n" if kind == "lineup" else starting_document(kind)
    return _editor(request, kind=kind, name="", text=text, why="")


@router.get("/documents/{document}")
def document_page(request: Request, given: Given, document: Number) -> Response:
    """Show the newest revision of a document, to read or to change."""
    kept = given.documents.latest(document)
    problems = problems_in(kept.kind, kept.name, kept.text)
    return _editor(
        request, kind=kept.kind, name=kept.name, text=kept.text, why="", kept=kept,
        problems=problems,
    )  # fmt: skip


@router.post("/documents")
def save_document(
    request: Request,
    given: Given,
    kind: Annotated[Kind, Form()],
    text: Annotated[str, Form()] = "",
    name: Annotated[str, Form()] = "",
    why: Annotated[str, Form()] = "",
    parent: Annotated[int | None, Form(ge=1, le=2_147_483_647)] = None,
    even_so: Annotated[bool, Form()] = False,
) -> Response:
    """Keep what was typed as a new revision; what cannot be used comes back with every reason."""
    kept = given.documents.revision(parent) if parent else None
    typed = as_before(text, kept)
    try:
        saved, problems = keep(given.documents, kind, name, typed, why, parent, even_so)
    except Conflict as conflict:
        return _editor(
            request, 409, kind=kind, name=name, text=typed, why=why, kept=kept,
            conflict=given.documents.revision(conflict.latest), said=str(conflict),
        )  # fmt: skip
    except NotKept:
        raise
    except WortlineError as error:
        return _editor(
            request, 422, kind=kind, name=name, text=typed, why=why, kept=kept, said=str(error)
        )
    if saved is None:
        return _editor(
            request, 422, kind=kind, name=name, text=typed, why=why, kept=kept,
            problems=problems, refused=True,
        )  # fmt: skip
    return RedirectResponse(f"/documents/{saved.document}?kept={saved.number}", 303)


def _editor(
    request: Request,
    status: int = 200,
    *,
    kind: Kind,
    name: str,
    text: str,
    why: str,
    kept: Revision | None = None,
    problems: list[Problem] | None = None,
    refused: bool = False,
    conflict: Revision | None = None,
    said: str = "",
) -> Response:
    return render(
        request, "document.html", status, title=name or f"New {ONE[kind]}", kind=kind,
        one=ONE[kind], name=name, text=text, why=why, kept=kept, problems=problems or [],
        refused=refused, conflict=conflict, said=said,
        lines=max(12, min(text.count("\n") + 3, 60)),
        plans=any(each.path == "/plan" for each in request.app.state.nav),
    )  # fmt: skip
