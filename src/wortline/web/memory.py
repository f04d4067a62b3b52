"""Documents in memory, for trying out; nothing of it outlives the server."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from threading import Lock


@dataclass(frozen=True)
class Kept:
    """One revision."""

    number: int
    kind: str
    name: str
    text: str
    why: str
    parent: int | None
    saved_at: datetime


class MemoryDocuments:
    """A store of documents that forgets when the server stops."""

    def __init__(self, clock: Callable[[], datetime]) -> None:
        self._clock = clock
        self._lock = Lock()
        self._kept: list[Kept] = []
        self._off: set[tuple[str, str]] = set()

    def save(self, kind: str, name: str, text: str, why: str, parent: int | None) -> Kept:
        """Add a revision."""
        with self._lock:
            number = len(self._kept) + 1
            kept = Kept(number, kind, name, text, why, parent, self._clock())
            self._kept.append(kept)
            self._off.discard((kind, name))
            return kept

    def latest(self, kind: str, name: str) -> Kept | None:
        """Return the newest revision of a document."""
        return next(iter(self.history(kind, name)), None)

    def revision(self, number: int) -> Kept | None:
        """Return one revision."""
        return self._kept[number - 1] if 1 <= number <= len(self._kept) else None

    def history(self, kind: str, name: str) -> list[Kept]:
        """Return all revisions of a document, newest first."""
        if (kind, name) in self._off:
            return []
        return [each for each in self._kept[::-1] if (each.kind, each.name) == (kind, name)]

    def listed(self, kind: str | None = None) -> list[Kept]:
        """Return the newest revision of every document, by kind and name."""
        newest = {(each.kind, each.name): each for each in self._kept}
        return [
            newest[key]
            for key in sorted(newest.keys() - self._off)
            if kind is None or key[0] == kind
        ]

    def discard(self, kind: str, name: str) -> None:
        """Take a document off the list."""
        self._off.add((kind, name))
