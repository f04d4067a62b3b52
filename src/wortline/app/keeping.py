"""Keep documents, find them again, and plan from what was kept."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import get_args

from wortline.app.files import File, opened
from wortline.app.planning import Planned, plan_brew
from wortline.app.ports import DocumentStore, Draft, Heading, Revision
from wortline.documents.kinds import DocumentKind
from wortline.errors import Conflict, DocumentRefused, Problem


@dataclass(frozen=True)
class Edit:
    """A document handed in to be kept, why, and the revision it was made from.

    It is kept under its own name unless another is given.
    """

    file: File
    why: str = ""
    parent: int | None = None
    name: str = ""


def keep(store: DocumentStore, file: File, why: str = "", parent: int | None = None) -> Revision:
    """Check a document and keep it as a new revision.

    Raises
    ------
    DocumentRefused
        With every problem of the document; nothing is kept then.
    Conflict
        If it was changed elsewhere since `parent`.
    """
    return keep_together(store, [Edit(file, why, parent)])[0]


def keep_together(store: DocumentStore, edits: Sequence[Edit]) -> tuple[Revision, ...]:
    """Check several documents and keep them, all or none.

    Raises
    ------
    DocumentRefused
        With every problem of all of them.
    Conflict
        If one of them was changed elsewhere since its parent.
    """
    return store.save_together(_drafts(edits))


def keep_by_name(store: DocumentStore, file: File, why: str = "") -> Revision:
    """Keep a file as the next revision of the document with its kind and name, or as a new one.

    A file that says what is kept already changes nothing.

    Raises
    ------
    DocumentRefused
        With every problem of the file.
    Conflict
        If several documents have this kind and name.
    """
    (draft,) = _drafts([Edit(file, why)])
    same = store.listed(kind=draft.kind, name=draft.name, most=2).headings
    if len(same) > 1:
        numbers = " and ".join(str(each.document) for each in same)
        raise Conflict(
            f"two documents at least are a {draft.kind} of the name `{draft.name}`: {numbers}. "
            "Give one of them another name.",
            same[0].number,
        )
    if not same:
        return store.save(draft.kind, draft.name, draft.text, why)
    latest = store.revision(same[0].number)
    if latest.text == draft.text:
        return latest
    return store.save(draft.kind, draft.name, draft.text, why, latest.number)


def _drafts(edits: Sequence[Edit]) -> list[Draft]:
    problems: list[Problem] = []
    drafts = []
    for edit in edits:
        try:
            document = opened(edit.file)
        except DocumentRefused as refusal:
            problems.extend(refusal.problems)
            continue
        kind = next(each for each in get_args(DocumentKind) if each == document.SCHEMA)
        name = edit.name or getattr(document, "name", None) or f"{kind} without a name"
        text = edit.file.content.decode("utf-8")
        drafts.append(Draft(kind, name, text, edit.why, edit.parent))
    if problems:
        raise DocumentRefused(problems)
    return drafts


def planned_of(
    store: DocumentStore,
    recipe: int,
    rig: int,
    day: int | None = None,
    method: str = "kinetic",
    system: str = "metric",
) -> Planned:
    """Plan the day that these revisions mean; the same numbers give the same plan for ever.

    Raises
    ------
    NotKept
        If there is no such revision.
    DocumentRefused
        If one of them cannot be used, or is no document of the kind needed.
    """
    recipe_file, rig_file = file_of(store.revision(recipe)), file_of(store.revision(rig))
    day_file = None if day is None else file_of(store.revision(day))
    return plan_brew(recipe_file, rig_file, day_file, method, system)


def file_of(revision: Revision) -> File:
    """A revision as a file that a face might have handed in."""
    return File(title(revision), revision.text.encode("utf-8"))


def title(heading: Heading) -> str:
    """What a revision is called where a file's name would stand; printable on one line."""
    name = "".join(letter if letter.isprintable() else "�" for letter in heading.name)
    return f"{heading.kind} {heading.number} ({name})"
