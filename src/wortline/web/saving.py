"""Keeping a typed document: checked first, never lost, never silently changed."""

from wortline.app.ports import DocumentStore, Revision
from wortline.errors import DocumentRefused, Problem
from wortline.web.kinds import Kind
from wortline.web.refusals import Unwelcome

MOST_NAME = 120


def unix_lines(text: str) -> str:
    """Return a text as it was typed: a form sends every line end as two characters."""
    return text.replace("\r\n", "\n").replace("\r", "\n")


def as_before(text: str, parent: Revision | None) -> str:
    """Return a text from a form, its lines ended as those of the revision it was made from.

    A form cannot say how they ended; without this a document of another system would change on
    every line.
    """
    from wortline.app.changing import with_ends_of

    return unix_lines(text) if parent is None else with_ends_of(text, parent.text)


def problems_in(kind: Kind, name: str, text: str) -> list[Problem]:
    """Return everything that is wrong with a text, in the order of its lines."""
    from wortline.app.files import File, opened

    try:
        opened(File(name or kind, text.encode("utf-8", "replace")), kind)
    except DocumentRefused as refusal:
        return list(refusal.problems)
    return []


def keep(
    documents: DocumentStore,
    kind: Kind,
    name: str,
    text: str,
    why: str = "",
    parent: int | None = None,
    even_so: bool = False,
) -> tuple[Revision | None, list[Problem]]:
    """Keep a text as a new revision, or return what is wrong with it.

    With `even_so` it is kept with its faults, so that half a document is not lost.
    """
    problems = problems_in(kind, name, text)
    if problems and not even_so:
        return None, problems
    named = proper_name(name.strip() or _own_name(kind, text))
    if (
        parent
        and documents.revision(parent).text == text
        and documents.revision(parent).name == (named)
    ):
        latest = documents.latest(documents.revision(parent).document)
        if latest.number == parent and not why.strip():
            return latest, problems
    saved = documents.save(kind, named, text, " ".join(why.split()), parent)
    return saved, problems


def proper_name(name: str) -> str:
    """Return a name that can be kept.

    Raises
    ------
    Unwelcome
        If it is empty, too long, or has letters that cannot be seen.
    """
    if not name:
        raise Unwelcome(422, "no-name", "Give the document a name, so that you find it again.")
    if len(name) > MOST_NAME or not name.isprintable():
        text = f"A name is one line of at most {MOST_NAME} letters."
        raise Unwelcome(422, "bad-name", text)
    return name


def _own_name(kind: Kind, text: str) -> str:
    """Return the name a document gives itself."""
    from wortline.app.files import File, opened

    try:
        document = opened(File(kind, text.encode("utf-8", "replace")), kind)
    except DocumentRefused:
        return ""
    return str(getattr(document, "name", None) or "")
