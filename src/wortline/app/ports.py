"""What the application asks of a store; the room `store` brings it.

A document is known by the number of its first revision. A revision is never changed: every save is
a new one, with its parent and a line why. Discarding hides a document and deletes nothing.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Literal, Protocol

from wortline.documents.kinds import DocumentKind


@dataclass(frozen=True)
class Draft:
    """A text to be kept; `parent` is the revision that it was made from, None for a new document.

    `name` is the person's own text. It may hold markup or look like a path; it is only ever shown.
    """

    kind: DocumentKind
    name: str
    text: str
    why: str = ""
    parent: int | None = None


@dataclass(frozen=True)
class Heading:
    """A revision without its text."""

    number: int
    document: int
    kind: DocumentKind
    name: str
    why: str
    parent: int | None
    saved_at: datetime


@dataclass(frozen=True)
class Revision(Heading):
    """A document as it was kept at one moment.

    `key` is made from all that was kept and from the parent's key: the same revision has the same
    key in every store, and no other revision has it.
    """

    text: str
    key: str


@dataclass(frozen=True)
class ShelfAct:
    """A document put out of sight, or taken back."""

    number: int
    document: int
    act: Literal["discard", "restore"]
    at: datetime


@dataclass(frozen=True)
class Page:
    """Some headings, newest first; the next page, if any, is the one `before` this number."""

    headings: tuple[Heading, ...]
    before: int | None


@dataclass(frozen=True)
class Taken:
    """What an import brought: how much was new, and which number each revision has here.

    `entries` is how many entries of lots were new.
    """

    new: int
    numbers: dict[int, int]
    entries: int = 0


class DocumentStore(Protocol):
    """Keeps documents; every implementation passes tests/contract."""

    def save(
        self, kind: DocumentKind, name: str, text: str, why: str = "", parent: int | None = None
    ) -> Revision:
        """Keep a text as a new revision; durable when this returns.

        A discarded document that is saved is no longer discarded.

        Raises
        ------
        Conflict
            If `parent` is not the latest revision of its document.
        NotKept
            If there is no revision `parent`.
        Unkeepable
            If a text cannot be kept as it stands.
        """

    def save_together(self, drafts: Sequence[Draft]) -> tuple[Revision, ...]:
        """Keep several texts, all or none."""

    def latest(self, document: int) -> Revision:
        """The newest revision of a document."""

    def revision(self, number: int) -> Revision:
        """One revision."""

    def history(self, document: int) -> tuple[Heading, ...]:
        """All revisions of a document, newest first."""

    def listed(
        self,
        kind: DocumentKind | None = None,
        name: str | None = None,
        discarded: bool = False,
        before: int | None = None,
        most: int = 100,
        contains: str | None = None,
    ) -> Page:
        """The newest revision of each document, the last kept first.

        Either those in sight or the discarded ones; of one kind, of exactly this name, or with this
        text somewhere in their name, if asked. There, A to Z are found in either case.
        """

    def counted(
        self,
        kind: DocumentKind | None = None,
        discarded: bool = False,
        contains: str | None = None,
    ) -> int:
        """How many documents `listed` has on all its pages together."""

    def discard(self, document: int) -> None:
        """Put a document out of sight. Nothing is deleted."""

    def restore(self, document: int) -> None:
        """Take a discarded document back."""

    def revisions(self) -> Iterable[Revision]:
        """Everything that was ever kept, in the order of its numbers."""

    def shelf_acts(self) -> Iterable[ShelfAct]:
        """Everything that was ever discarded or restored, in order."""

    def take(self, revisions: Sequence[Revision], acts: Sequence[ShelfAct]) -> Taken:
        """Take revisions from another store, all or none.

        Those known here already stay as they are. Into an empty store they come with their own
        numbers.
        """
