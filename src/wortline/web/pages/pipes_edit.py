"""Parts and joins of a rig, changed one at a time; kept only when it is asked for."""

from dataclasses import dataclass, field
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


@dataclass(frozen=True)
class Outcome:
    """What came of a change: what is said of it, or why it was refused and where on the page.

    `was` is the text before it, to go back to; `stays` is a part whose hold-up was typed and so
    does not follow its length and bore.
    """

    said: str = ""
    refused: tuple[Problem, ...] = ()
    at: str = ""
    typed: dict[str, str] = field(default_factory=dict)
    was: str = ""
    stays: tuple[str, str] | None = None


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
        elif act in ("check", "undo"):
            made = typed
        elif act == "change":
            made, change = _changed(typed, change)
        elif act == "follow":
            made = edited(typed, {**change, "act": "set", "field": "hold_up", "value": ""})
        else:
            made = edited(typed, change)
    except DocumentRefused as refusal:
        outcome = Outcome(refused=refusal.problems, at=part or act, typed=change)
        return _page(request, kept, typed, parent, why, outcome, 422)
    was = "" if made == typed else typed
    outcome = Outcome(_said(change, made), was=was, stays=_stays(change, made))
    return _page(request, kept, made, parent, why, outcome)


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
        return _page(request, kept, typed, latest, why, Outcome(said), 409)
    if saved is None:
        return _page(request, kept, typed, parent, why, Outcome(refused=tuple(problems)), 422)
    return RedirectResponse(f"/pipes/{saved.document}?kept={saved.number}", 303)


def _rig(kept: Revision) -> Revision:
    if kept.kind != "rig":
        raise Unwelcome(422, "wrong-kind", f"{kept.name} is a {kept.kind}; pipes belong to a rig.")
    return kept


def _changed(text: str, change: dict[str, str]) -> tuple[str, dict[str, str]]:
    """Give a part its new name, where it has one, and write what was filled in.

    Raises
    ------
    DocumentRefused
        If the value itself cannot be: nothing is written then.
    """
    from wortline.app.repiping import edited

    done = {**change, "act": "set"}
    named = change["name"].strip()
    if named != change["part"]:
        done["act"] = "rename"
        text = edited(text, done)
    if value := change["value"].strip():
        before = text
        text = edited(text, {**change, "act": "set", "part": named})
        known = {each.text for each in problems_in("rig", "rig", before)}
        wrong = [
            each for each in problems_in("rig", "rig", text)
            if each.value == value and each.text not in known
        ]  # fmt: skip
        if wrong:
            raise DocumentRefused(wrong)
    elif done["act"] == "set":
        done["act"] = ""
    return text, done


def _stays(change: dict[str, str], text: str) -> tuple[str, str] | None:
    """Return a part with its typed hold-up, where what changed would have changed it too."""
    from wortline.app.repiping import parts_of

    if change["act"] not in ("set", "rename") or change["field"] not in ("length", "bore"):
        return None
    if not change["value"].strip():
        return None
    named = change["name"].strip() or change["part"]
    part = next((each for each in parts_of(text).parts if each.name == named), None)
    held = dict(part.fields).get("hold_up") if part else None
    return (named, held) if held else None


def _said(change: dict[str, str], text: str) -> str:
    """Say what is done, and only what is done."""
    words = {
        "add": "{name} is added. Join its ports, then keep the rig.",
        "remove": "{part} is gone, and its joins with it.",
        "rename": "{part} is now {name}, in its joins as well.",
        "join": "{a} and {b} are joined.",
        "part": "{a} and {b} are no longer joined.",
        "cap": "{a} has a cap.",
        "uncap": "{a} has no cap any more.",
        "set": "The {field} of {part} is now {value}.",
        "follow": "The hold-up of {part} follows from its length and bore again.",
        "undo": "The last change is taken back.",
        "check": "Your earlier changes are back, and not kept yet.",
        "start": "These pipes are a start. Change names and numbers to yours.",
    }
    said = words.get(change["act"], "").format(**change)
    if change["act"] == "rename" and change["value"].strip():
        said += f" Its {change['field']} is now {change['value']}."
    if said and change["act"] in ("set", "rename", "follow") and problems_in("rig", "rig", text):
        said += " The rig cannot be read as it stands: the places to change are below."
    return said


def _page(
    request: Request,
    kept: Revision,
    text: str,
    parent: int,
    why: str = "",
    outcome: Outcome = Outcome(),
    status: int = 200,
) -> Response:
    from wortline.app.repiping import STARTS, parts_of

    problems = problems_in("rig", kept.name, text)
    return render(
        request, "pipes_edit.html", status, title=f"Parts and joins of {kept.name}", kept=kept,
        text=text, parent=parent, why=why, outcome=outcome, problems=problems,
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
