"""Parts and joins of a rig, changed one at a time; kept only when it is asked for."""

from typing import Annotated

from fastapi import APIRouter, Form, Request, Response
from fastapi.responses import RedirectResponse

from wortline.app.ports import Revision
from wortline.errors import Conflict, DocumentRefused, Problem
from wortline.web.api.documents import MOST_TEXT
from wortline.web.refusals import Unwelcome
from wortline.web.rendering import render, units_of
from wortline.web.saving import as_before, keep, problems_in
from wortline.web.services import Given, Number

router = APIRouter(include_in_schema=False)
Text = Annotated[str, Form(max_length=MOST_TEXT)]
Short = Annotated[str, Form(max_length=200)]
Parent = Annotated[int, Form(ge=1, le=2_147_483_647)]


@router.get("/pipes/{document}/edit")
def edit_page(request: Request, given: Given, document: Number) -> Response:
    """Show the parts and joins of a rig, to change."""
    kept = _rig(given.documents.latest(document))
    return _page(request, kept, kept.text, kept.number)


@router.post("/pipes/{document}/edit")
def change_page(
    request: Request,
    given: Given,
    document: Number,
    text: Text,
    parent: Parent,
    act: Short = "",
    part: Short = "",
    name: Short = "",
    kind: Short = "",
    join: Short = "",
    a: Short = "",
    b: Short = "",
    field: Short = "",
    value: Short = "",
    why: Short = "",
    pipes: Short = "",
) -> Response:
    """Do one change to the text that came along; nothing is kept by it."""
    from wortline.app.changing import plain_ends
    from wortline.app.repiping import edited, with_pipes

    kept = _rig(given.documents.latest(document))
    typed = plain_ends(text)
    if join:
        a, _, b = join.partition(" ")
    change = {
        "act": act, "part": part, "name": name, "kind": kind, "a": a, "b": b, "field": field,
        "value": value,
    }  # fmt: skip
    try:
        if act == "start":
            made = with_pipes(typed, pipes)
        elif act == "check":
            made = typed
        elif act == "change":
            made, change = _changed(typed, change)
        else:
            made = edited(typed, change)
    except DocumentRefused as refusal:
        return _page(request, kept, typed, parent, why, refused=list(refusal.problems), status=422)
    return _page(request, kept, made, parent, why, said=_said(change))


@router.post("/pipes/{document}/keep")
def keep_pipes(
    request: Request, given: Given, document: Number, text: Text, parent: Parent, why: Short = ""
) -> Response:
    """Keep the changed rig as a new revision; with faults it is refused and stays on the page."""
    kept = _rig(given.documents.revision(parent))
    if kept.document != document:
        raise Unwelcome(422, "wrong-parent", "That revision belongs to another document.")
    typed = as_before(text, kept)
    try:
        saved, problems = keep(given.documents, "rig", kept.name, typed, why, parent)
    except Conflict as conflict:
        latest = conflict.latest
        said = f"{conflict} What you changed stands below; keep it on top, or start again."
        return _page(request, kept, typed, latest, why, said=said, status=409)
    if saved is None:
        return _page(request, kept, typed, parent, why, refused=problems, status=422)
    return RedirectResponse(f"/pipes/{saved.document}?kept={saved.number}", 303)


def _rig(kept: Revision) -> Revision:
    if kept.kind != "rig":
        raise Unwelcome(422, "wrong-kind", f"{kept.name} is a {kept.kind}; pipes belong to a rig.")
    return kept


def _changed(text: str, change: dict[str, str]) -> tuple[str, dict[str, str]]:
    """Give a part its new name, where it has one, and write what was filled in."""
    from wortline.app.repiping import edited

    done = {**change, "act": "set"}
    named = change["name"].strip()
    if named != change["part"]:
        done["act"] = "rename"
        text = edited(text, done)
    if change["value"].strip():
        text = edited(text, {**change, "act": "set", "part": named})
    elif done["act"] == "set":
        done["act"] = ""
    return text, done


def _said(change: dict[str, str]) -> str:
    words = {
        "add": "{name} is added. Join its ports, then keep the rig.",
        "remove": "{part} is gone, and its joins with it.",
        "rename": "{part} is now {name}, in its joins as well.",
        "join": "{a} and {b} are joined.",
        "part": "{a} and {b} are no longer joined.",
        "cap": "{a} has a cap.",
        "uncap": "{a} has no cap any more.",
        "set": "{field} of {part} is now {value}.",
        "check": "Your earlier changes are back, and not kept yet.",
        "start": "These pipes are a start. Change names and numbers to yours.",
    }
    return words.get(change["act"], "").format(**change)


def _page(
    request: Request,
    kept: Revision,
    text: str,
    parent: int,
    why: str = "",
    refused: list[Problem] | None = None,
    said: str = "",
    status: int = 200,
) -> Response:
    from wortline.app.repiping import STARTS, parts_of

    problems = problems_in("rig", kept.name, text)
    return render(
        request, "pipes_edit.html", status, title=f"Parts and joins of {kept.name}", kept=kept,
        text=text, parent=parent, why=why, said=said, refused=refused or [], problems=problems,
        changed=text != kept.text, outline=parts_of(text), starts=STARTS,
        svg=None if problems else _svg(text, request), kinds=_kinds(),
        lines=max(12, min(text.count("\n") + 2, 50)),
    )  # fmt: skip


def _svg(text: str, request: Request) -> str | None:
    """The map of the changed pipes as they would stand at the start of the day."""
    from wortline.app.files import File
    from wortline.app.handles import map_svg, pipes_in, stand_of

    if "plumbing:" not in text:
        return None
    try:
        stand = stand_of(pipes_in(File("rig", text.encode("utf-8"))), {})
    except DocumentRefused:
        return None
    return map_svg(stand, 420, units_of(request), buttons=False)


def _kinds() -> list[tuple[str, str]]:
    from wortline.documents.plumbing import SHAPES

    return [(kind, shape.noun) for kind, shape in SHAPES.items()]
