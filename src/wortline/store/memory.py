"""A store that lives as long as the program: for tests, and the plainest form of the contract."""

from collections.abc import Callable, Sequence
from contextlib import ExitStack
from dataclasses import fields
from datetime import datetime
from typing import Literal

from wortline.app.ports import Draft, Heading, Page, Revision, ShelfAct, Taken
from wortline.documents.kinds import DocumentKind
from wortline.store import chain, taking


class MemoryDocuments:
    """Documents in two lists."""

    def __init__(self, clock: Callable[[], datetime]) -> None:
        self._clock = clock
        self._kept: dict[int, Revision] = {}
        self._acts: list[ShelfAct] = []

    def save(
        self, kind: DocumentKind, name: str, text: str, why: str = "", parent: int | None = None
    ) -> Revision:
        """See `DocumentStore`."""
        return self.save_together([Draft(kind, name, text, why, parent)])[0]

    def save_together(self, drafts: Sequence[Draft]) -> tuple[Revision, ...]:
        """See `DocumentStore`."""
        for draft in drafts:
            chain.refuse_unkeepable(draft)
        with ExitStack() as undo:
            # all of them or none, whatever stops it
            undo.callback(self._back_to, dict(self._kept), list(self._acts))
            saved = tuple(self._append(draft) for draft in drafts)
            undo.pop_all()
        return saved

    def _back_to(self, kept: dict[int, Revision], acts: list[ShelfAct]) -> None:
        self._kept, self._acts = kept, acts

    def _append(self, draft: Draft) -> Revision:
        number, document, parent_key = self._newest() + 1, self._newest() + 1, ""
        if draft.parent is not None:
            parent = self.revision(draft.parent)
            chain.refuse_stale(draft, self.latest(parent.document))
            document, parent_key = parent.document, parent.key
            if self._discarded(document):
                self._act(document, "restore")
        saved_at = self._clock()
        key = chain.key_of(draft, saved_at, parent_key)
        same = next((each for each in self._kept.values() if each.key == key), None)
        if same:
            return same
        self._kept[number] = chain.followed(draft, number, document, saved_at, key)
        return self._kept[number]

    def _newest(self) -> int:
        return max(self._kept, default=0)

    def latest(self, document: int) -> Revision:
        """See `DocumentStore`."""
        return self.revision(self.history(document)[0].number)

    def revision(self, number: int) -> Revision:
        """See `DocumentStore`."""
        if number not in self._kept:
            raise chain.not_kept("revision", number)
        return self._kept[number]

    def history(self, document: int) -> tuple[Heading, ...]:
        """See `DocumentStore`."""
        found = [each for each in self._kept.values() if each.document == document]
        if not found:
            raise chain.not_kept("document", document)
        return tuple(_heading(each) for each in found[::-1])

    def listed(
        self,
        kind: DocumentKind | None = None,
        name: str | None = None,
        discarded: bool = False,
        before: int | None = None,
        most: int = 100,
    ) -> Page:
        """See `DocumentStore`."""
        parents = {each.parent for each in self._kept.values()}
        found = [
            _heading(each)
            for each in reversed(self._kept.values())
            if each.number not in parents
            and (kind is None or each.kind == kind)
            and (name is None or each.name == name)
            and (before is None or each.number < before)
            and self._discarded(each.document) == discarded
        ]
        page = tuple(found[:most])
        return Page(page, page[-1].number if page and len(found) > most else None)

    def _discarded(self, document: int) -> bool:
        acts = [each.act for each in self._acts if each.document == document]
        return acts[-1:] == ["discard"]

    def discard(self, document: int) -> None:
        """See `DocumentStore`."""
        self.history(document)
        if not self._discarded(document):
            self._act(document, "discard")

    def restore(self, document: int) -> None:
        """See `DocumentStore`."""
        self.history(document)
        if self._discarded(document):
            self._act(document, "restore")

    def _act(self, document: int, act: Literal["discard", "restore"]) -> None:
        self._acts.append(ShelfAct(len(self._acts) + 1, document, act, self._clock()))

    def revisions(self) -> tuple[Revision, ...]:
        """See `DocumentStore`."""
        return tuple(self._kept.values())

    def shelf_acts(self) -> tuple[ShelfAct, ...]:
        """See `DocumentStore`."""
        return tuple(self._acts)

    def take(self, revisions: Sequence[Revision], acts: Sequence[ShelfAct]) -> Taken:
        """See `DocumentStore`."""
        here = taking.Here(
            {each.key: (each.number, each.document) for each in self._kept.values()},
            {each.parent: each.number for each in self._kept.values() if each.parent is not None},
            self._newest(),
        )
        new, numbers = taking.renumbered(revisions, here)
        more = taking.new_acts(acts, numbers, self._acts)
        self._kept.update((each.number, each) for each in new)
        self._acts.extend(more)
        return Taken(len(new), numbers)


def _heading(revision: Revision) -> Heading:
    return Heading(**{each.name: getattr(revision, each.name) for each in fields(Heading)})
