"""Lots that live as long as the program: for tests, and the plainest form of the contract."""

from collections.abc import Callable, Mapping, Sequence
from contextlib import ExitStack
from dataclasses import fields, replace
from datetime import datetime

from wortline.app.ports_lots import Kept, Line, Lot, LotDraft, LotHeading, LotPage, WholeLot
from wortline.lot.events import Entry, Steady
from wortline.lot.record import as_line, from_line
from wortline.store import chain
from wortline.store.lots import lacking, mapped, numbered, refuse_unkeepable, same_lot


class MemoryLots:
    """Lots in a list, their entries in lists of lines."""

    def __init__(self, clock: Callable[[], datetime]) -> None:
        self._clock = clock
        self._lots: list[Lot] = []
        self._lines: list[list[Line]] = []

    def start(self, draft: LotDraft) -> Lot:
        """See `LotStore`."""
        refuse_unkeepable(draft)
        for each in self._lots:
            if each.id == draft.id:
                return same_lot(self.lot(each.number), draft)
        number = len(self._lots) + 1
        self._lots.append(Lot(number=number, started_at=self._clock(), entries=0, **vars(draft)))
        self._lines.append([])
        return self._lots[-1]

    def lot(self, number: int) -> Lot:
        """See `LotStore`."""
        if not 1 <= number <= len(self._lots):
            raise chain.not_kept("lot", number)
        return replace(self._lots[number - 1], entries=len(self._lines[number - 1]))

    def listed(self, before: int | None = None, most: int = 100) -> LotPage:
        """See `LotStore`."""
        numbers = [
            each.number for each in reversed(self._lots) if before is None or each.number < before
        ]
        page = tuple(_heading(self.lot(number)) for number in numbers[:most])
        return LotPage(page, page[-1].number if page and len(numbers) > most else None)

    def append(self, number: int, entries: Sequence[Entry], at_ms: int, at: Steady) -> list[Kept]:
        """See `LotStore`."""
        self.lot(number)
        lines = self._lines[number - 1]
        known = {each.id: each for each in (from_line(line.text) for line in lines)}
        answers, rows = numbered(entries, known, len(lines), at_ms, at)
        lines += [Line(each.number, as_line(each)) for each in rows]
        return answers

    def lines(self, number: int, after: int = 0) -> tuple[Line, ...]:
        """See `LotStore`."""
        self.lot(number)
        return tuple(self._lines[number - 1][after:])

    def take(self, lots_there: Sequence[WholeLot], revisions: Mapping[int, int]) -> int:
        """See `LotStore`."""
        with ExitStack() as undo:
            # all of them or none, whatever stops it
            undo.callback(self._back_to, list(self._lots), list(self._lines))
            many = sum(self._taken(each, revisions) for each in lots_there)
            undo.pop_all()
        return many

    def _back_to(self, lots: list[Lot], lines: list[list[Line]]) -> None:
        self._lots, self._lines = lots, lines

    def _taken(self, there: WholeLot, revisions: Mapping[int, int]) -> int:
        draft = mapped(there.lot, revisions)
        number = next((each.number for each in self._lots if each.id == draft.id), None)
        if number is None:
            number = len(self._lots) + 1
            at = there.lot.started_at
            self._lots.append(Lot(number=number, started_at=at, entries=0, **vars(draft)))
            self._lines.append([])
        same_lot(self.lot(number), draft)
        more = lacking(there, self._lines[number - 1])
        self._lines[number - 1] = [*self._lines[number - 1], *more]
        return len(more)


def _heading(lot: Lot) -> LotHeading:
    return LotHeading(**{each.name: getattr(lot, each.name) for each in fields(LotHeading)})
