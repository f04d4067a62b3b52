"""What the pages need of a store of documents."""

from datetime import datetime
from typing import Protocol


class Revision(Protocol):
    """One saved state of a document; it is never changed."""

    @property
    def number(self) -> int:
        """Counts up over all documents."""

    @property
    def kind(self) -> str:
        """Is `rig`, `recipe`, `day` and so on."""

    @property
    def name(self) -> str:
        """Names the document among its kind."""

    @property
    def text(self) -> str:
        """Holds the document as typed."""

    @property
    def why(self) -> str:
        """Says in a line why it was saved."""

    @property
    def parent(self) -> int | None:
        """Numbers the revision this one was made from."""

    @property
    def saved_at(self) -> datetime:
        """Tells when."""


class DocumentStore(Protocol):
    """Documents as revisions that are only ever added."""

    def save(self, kind: str, name: str, text: str, why: str, parent: int | None) -> Revision:
        """Add a revision."""

    def latest(self, kind: str, name: str) -> Revision | None:
        """Return the newest revision of a document."""

    def revision(self, number: int) -> Revision | None:
        """Return one revision."""

    def history(self, kind: str, name: str) -> list[Revision]:
        """Return all revisions of a document, newest first."""

    def listed(self, kind: str | None = None) -> list[Revision]:
        """Return the newest revision of every document, by name."""

    def discard(self, kind: str, name: str) -> None:
        """Take a document off the list."""
