"""Files as a face hands them in: opened into documents, or refused with every problem in them."""

from dataclasses import dataclass

from wortline.app.ingredients import missing_names, unknown_names
from wortline.documents.kinds import DocumentKind
from wortline.documents.loading import Document, load
from wortline.documents.reading import read
from wortline.documents.recipe import Recipe
from wortline.errors import DocumentRefused, Problem


@dataclass(frozen=True)
class File:
    """A document as it was handed in: the name the person gave it, and its bytes.

    `trouble` says in a sentence why it could not be read, and is empty where it could.
    """

    name: str
    content: bytes
    trouble: str = ""


def refuse_unread(file: File, kind: DocumentKind | None = None) -> None:
    """Refuse a file that could not be read.

    Raises
    ------
    DocumentRefused
        With the reason.
    """
    if file.trouble:
        allowed = f"a {kind or 'rig, recipe or day'} that can be read"
        raise DocumentRefused([Problem(file.name, 0, "", "", allowed, "", file.trouble)])


def opened(file: File, kind: DocumentKind | None = None) -> Document:
    """Return the document in a file; of a recipe, every name is known or brings its numbers.

    Raises
    ------
    DocumentRefused
        With every problem of this file.
    """
    refuse_unread(file, kind)
    document = (
        load(file.name, file.content) if kind is None else load(file.name, file.content, kind)
    )
    if isinstance(document, Recipe) and (missing := missing_names(document)):
        line_of = read(file.name, file.content).line
        raise DocumentRefused(unknown_names(missing, file.name, line_of))
    return document
