"""Lots in a database, by SQLAlchemy Core: two tables that are only ever added to."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any, TypeVar

from sqlalchemy import Connection, func, insert, select

from wortline.app.ports import Draft
from wortline.app.ports_lots import Kept, Line, Lot, LotDraft, LotHeading, LotPage, WholeLot
from wortline.errors import Conflict, Unkeepable
from wortline.lot.events import Entry, Steady
from wortline.lot.record import as_line, from_line, unkept
from wortline.store import chain
from wortline.store.engine import Database
from wortline.store.tables import lot_entries, lots
from wortline.units import short

kept, entry = lots.c, lot_entries.c
_COUNT = (
    select(func.coalesce(func.max(entry.number), 0))
    .where(entry.lot == kept.number)
    .scalar_subquery()
    .label("entries")
)
HEADING = (kept.number, kept.id, kept.name, kept.started_at, kept.recipe, kept.rig, kept.day,
           kept.method, kept.system, _COUNT)  # fmt: skip
AT_A_TIME = 200
AnyLot = TypeVar("AnyLot", bound=LotHeading)
SAME = ("name", "recipe", "rig", "day", "method", "system")


class SqlLots:
    """Lots and their entries."""

    def __init__(self, database: Database, clock: Callable[[], datetime]) -> None:
        self._database = database
        self._clock = clock

    def start(self, draft: LotDraft) -> Lot:
        """See `LotStore`."""
        refuse_unkeepable(draft)
        with self._database.writing() as connection:
            found = connection.execute(
                select(*HEADING, kept.frozen).where(kept.id == draft.id)
            ).one_or_none()
            if found is not None:
                return same_lot(_lot(found), draft)
            last = connection.execute(select(func.coalesce(func.max(kept.number), 0))).scalar_one()
            row = {**vars(draft), "number": last + 1, "started_at": self._clock()}
            connection.execute(insert(lots).values(**row))
            return Lot(entries=0, **row)

    def lot(self, number: int) -> Lot:
        """See `LotStore`."""
        chain.refuse_no_number("lot", number)
        with self._database.reading() as connection:
            row = connection.execute(
                select(*HEADING, kept.frozen).where(kept.number == number)
            ).one_or_none()
        if row is None:
            raise chain.not_kept("lot", number)
        return _lot(row)

    def listed(self, before: int | None = None, most: int = 100) -> LotPage:
        """See `LotStore`."""
        asked = select(*HEADING).order_by(kept.number.desc()).limit(most + 1)
        if before is not None:
            asked = asked.where(kept.number < max(0, min(before, chain.LARGEST)))
        with self._database.reading() as connection:
            rows = connection.execute(asked).all()
        page = tuple(LotHeading(**row._mapping) for row in rows[:most])
        return LotPage(page, page[-1].number if page and len(rows) > most else None)

    def append(self, number: int, entries: Sequence[Entry], at_ms: int, at: Steady) -> list[Kept]:
        """See `LotStore`."""
        with self._database.writing() as connection:
            _refuse_unknown(connection, number)
            known = _known(connection, number, [each.id for each in entries])
            asked = select(func.coalesce(func.max(entry.number), 0)).where(entry.lot == number)
            last = connection.execute(asked).scalar_one()
            answers, rows = numbered(entries, known, last, at_ms, at)
            if rows:
                values = [
                    {"lot": number, "number": each.number, "id": each.id, "line": as_line(each)}
                    for each in rows
                ]
                connection.execute(insert(lot_entries), values)
        return answers

    def lines(self, number: int, after: int = 0) -> tuple[Line, ...]:
        """See `LotStore`."""
        asked = (
            select(entry.number, entry.line)
            .where(entry.lot == number, entry.number > max(0, min(after, chain.LARGEST)))
            .order_by(entry.number)
        )
        with self._database.reading() as connection:
            _refuse_unknown(connection, number)
            return tuple(Line(row.number, row.line) for row in connection.execute(asked))

    def take(self, lots_there: Sequence[WholeLot], revisions: Mapping[int, int]) -> int:
        """See `LotStore`."""
        with self._database.writing() as connection:
            return sum(_taken(connection, each, revisions) for each in lots_there)


def _taken(connection: Connection, there: WholeLot, revisions: Mapping[int, int]) -> int:
    """Take one lot; return how many of its entries are new here."""
    draft = mapped(there.lot, revisions)
    found = connection.execute(select(*HEADING).where(kept.id == draft.id)).one_or_none()
    if found is None:
        last = connection.execute(select(func.coalesce(func.max(kept.number), 0))).scalar_one()
        number = max(there.lot.number, last + 1)
        row = {**vars(draft), "number": number, "started_at": there.lot.started_at}
        connection.execute(insert(lots).values(**row))
        here: tuple[Line, ...] = ()
    else:
        number = found.number
        same_lot(LotHeading(**found._mapping), draft)
        asked = select(entry.number, entry.line).where(entry.lot == number).order_by(entry.number)
        here = tuple(Line(row.number, row.line) for row in connection.execute(asked))
    more = lacking(there, here)
    if more:
        rows = [
            {"lot": number, "number": line.number, "id": from_line(line.text).id, "line": line.text}
            for line in more
        ]
        connection.execute(insert(lot_entries), rows)
    return len(more)


def mapped(lot: Lot, revisions: Mapping[int, int]) -> LotDraft:
    """A lot from another store as a draft with the numbers that its revisions have here.

    Raises
    ------
    Unkeepable
        If a revision of its plan did not come with it.
    """
    numbers = [lot.recipe, lot.rig, *([] if lot.day is None else [lot.day])]
    missing = [str(number) for number in numbers if number not in revisions]
    if missing:
        raise Unkeepable(f"lot {lot.number} goes by revision {missing[0]}, which is missing.")
    recipe, rig, *day = (revisions[number] for number in numbers)
    draft = LotDraft(
        lot.id, lot.name, recipe, rig, day[0] if day else None, lot.method, lot.system, lot.frozen
    )
    refuse_unkeepable(draft)
    return draft


def refuse_parted(there: Iterable[WholeLot], here: Iterable[WholeLot]) -> None:
    """Refuse lots that went on here and there in different ways, before anything is taken.

    Raises
    ------
    Conflict
        At the first of them.
    """
    known = {each.lot.id: each.lines for each in here}
    for each in there:
        lacking(each, known.get(each.lot.id, ()))


def lacking(there: WholeLot, here: Sequence[Line]) -> tuple[Line, ...]:
    """The entries that a lot lacks here.

    Raises
    ------
    Conflict
        If an entry of one number is another one here than there.
    """
    for mine, other in zip(here, there.lines, strict=False):
        if mine.text != other.text:
            raise Conflict(
                f"lot {there.lot.number}, `{short(there.lot.name)}`, went on here and there: its"
                f" entry {mine.number} differs. Nothing was taken over.",
                mine.number,
            )
    return there.lines[len(here) :]


def _lot(row: Any) -> Lot:
    return Lot(**row._mapping)


def _refuse_unknown(connection: Connection, number: int) -> None:
    chain.refuse_no_number("lot", number)
    if connection.execute(select(kept.number).where(kept.number == number)).one_or_none() is None:
        raise chain.not_kept("lot", number)


def _known(connection: Connection, number: int, ids: Sequence[str]) -> dict[str, Entry]:
    """The entries of a lot that have one of these ids."""
    found: dict[str, Entry] = {}
    for start in range(0, len(ids), AT_A_TIME):
        some = ids[start : start + AT_A_TIME]
        asked = select(entry.number, entry.line).where(entry.lot == number, entry.id.in_(some))
        for row in connection.execute(asked):
            each = from_line(row.line)
            found[each.id] = replace(each, number=row.number)
    return found


def same_lot(lot: AnyLot, draft: LotDraft) -> AnyLot:
    """The lot that was started by this draft before.

    Raises
    ------
    Conflict
        If it was another one.
    """
    if any(getattr(lot, field) != getattr(draft, field) for field in SAME):
        raise Conflict(
            f"lot {lot.number} was started with the same id from another plan; start with a new"
            " id.",
            lot.number,
        )
    return lot


def numbered(
    entries: Sequence[Entry], known: dict[str, Entry], last: int, at_ms: int, at: Steady
) -> tuple[list[Kept], list[Entry]]:
    """What becomes of each entry, and those to be written, with their numbers."""
    known = dict(known)
    answers: list[Kept] = []
    rows: list[Entry] = []
    for each in entries:
        had = known.get(each.id)
        if had is None:
            last += 1
            row = replace(each, number=last, server_ms=at_ms, server=at)
            known[each.id] = row
            rows.append(row)
            answers.append(Kept(each.id, "kept", last, at_ms))
        elif unkept(had) == unkept(each):
            answers.append(Kept(each.id, "known", had.number, had.server_ms))
        else:
            why = (
                f"entry {had.number} has this id and says something else; a correction is an entry"
                " of its own."
            )
            answers.append(Kept(each.id, "refused", had.number, had.server_ms, why))
    return answers, rows


def refuse_unkeepable(draft: LotDraft) -> None:
    """Refuse what some store could not give back letter by letter.

    Raises
    ------
    Unkeepable
        With what is wrong, in a sentence.
    """
    for text in (draft.name, draft.id):
        chain.refuse_unkeepable(Draft("recipe", text, ""))
