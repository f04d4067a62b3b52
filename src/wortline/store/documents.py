"""Documents in a database, by SQLAlchemy Core."""

from collections.abc import Callable, Iterator, Sequence
from datetime import datetime
from typing import Any, Literal

from sqlalchemy import ColumnElement, Connection, Row, exists, false, func, insert, select

from wortline.app.ports import Draft, Heading, Page, Revision, ShelfAct, Taken
from wortline.documents.kinds import DocumentKind
from wortline.store import chain, taking
from wortline.store.engine import Database
from wortline.store.tables import revisions, shelf_acts

kept, acts = revisions.c, shelf_acts.c
HEADING = (kept.number, kept.document, kept.kind, kept.name, kept.why, kept.parent, kept.saved_at)
WHOLE = (*HEADING, kept.text, kept.key)
AT_A_TIME = 200


class SqlDocuments:
    """Documents in two tables."""

    def __init__(self, database: Database, clock: Callable[[], datetime]) -> None:
        self._database = database
        self._clock = clock

    def save(
        self, kind: DocumentKind, name: str, text: str, why: str = "", parent: int | None = None
    ) -> Revision:
        """See `DocumentStore`."""
        return self.save_together([Draft(kind, name, text, why, parent)])[0]

    def save_together(self, drafts: Sequence[Draft]) -> tuple[Revision, ...]:
        """See `DocumentStore`."""
        for draft in drafts:
            chain.refuse_unkeepable(draft)
        with self._database.writing() as connection:
            return tuple(self._append(connection, draft) for draft in drafts)

    def _append(self, connection: Connection, draft: Draft) -> Revision:
        number = document = _last(connection, kept.number) + 1
        parent_key = ""
        if draft.parent is not None:
            parent = _revision(connection, draft.parent)
            chain.refuse_stale(draft, _latest(connection, parent.document))
            document, parent_key = parent.document, parent.key
            if _discarded(connection, document):
                self._act(connection, document, "restore")
        saved_at = self._clock()
        key = chain.key_of(draft, saved_at, parent_key)
        same = connection.execute(select(kept.number).where(kept.key == key)).scalar()
        if same is not None:
            return _revision(connection, same)
        made = chain.followed(draft, number, document, saved_at, key)
        connection.execute(insert(revisions).values(vars(made)))
        return made

    def latest(self, document: int) -> Revision:
        """See `DocumentStore`."""
        with self._database.reading() as connection:
            return _revision(connection, _latest(connection, document).number)

    def revision(self, number: int) -> Revision:
        """See `DocumentStore`."""
        with self._database.reading() as connection:
            return _revision(connection, number)

    def history(self, document: int) -> tuple[Heading, ...]:
        """See `DocumentStore`."""
        with self._database.reading() as connection:
            return _history(connection, document)

    def listed(
        self,
        kind: DocumentKind | None = None,
        name: str | None = None,
        discarded: bool = False,
        before: int | None = None,
        most: int = 100,
        contains: str | None = None,
    ) -> Page:
        """See `DocumentStore`."""
        if name is not None and not chain.is_keepable(name):
            # PostgreSQL cannot even be asked for it, and nothing was ever kept under it.
            return Page((), None)
        wanted = _in_sight(kind, discarded, contains)
        wanted += [] if name is None else [kept.name == name]
        wanted += [] if before is None else [kept.number < max(0, min(before, chain.LARGEST))]
        ask = select(*HEADING).where(*wanted).order_by(kept.number.desc()).limit(most + 1)
        with self._database.reading() as connection:
            found = [_heading(row) for row in connection.execute(ask)]
        page = tuple(found[:most])
        return Page(page, page[-1].number if page and len(found) > most else None)

    def counted(
        self,
        kind: DocumentKind | None = None,
        discarded: bool = False,
        contains: str | None = None,
    ) -> int:
        """See `DocumentStore`."""
        ask = select(func.count()).select_from(revisions)
        with self._database.reading() as connection:
            found = connection.execute(ask.where(*_in_sight(kind, discarded, contains))).scalar()
        return found or 0

    def discard(self, document: int) -> None:
        """See `DocumentStore`."""
        with self._database.writing() as connection:
            _latest(connection, document)
            if not _discarded(connection, document):
                self._act(connection, document, "discard")

    def restore(self, document: int) -> None:
        """See `DocumentStore`."""
        with self._database.writing() as connection:
            _latest(connection, document)
            if _discarded(connection, document):
                self._act(connection, document, "restore")

    def _act(
        self, connection: Connection, document: int, act: Literal["discard", "restore"]
    ) -> None:
        made = ShelfAct(_last(connection, acts.number) + 1, document, act, self._clock())
        connection.execute(insert(shelf_acts).values(vars(made)))

    def revisions(self) -> Iterator[Revision]:
        """See `DocumentStore`."""
        last = 0
        while True:
            ask = select(*WHOLE).where(kept.number > last).order_by(kept.number).limit(AT_A_TIME)
            with self._database.reading() as connection:
                found = [Revision(**row._mapping) for row in connection.execute(ask)]
            if not found:
                return
            yield from found
            last = found[-1].number

    def shelf_acts(self) -> tuple[ShelfAct, ...]:
        """See `DocumentStore`."""
        with self._database.reading() as connection:
            return _acts(connection)

    def take(self, revisions_: Sequence[Revision], acts_: Sequence[ShelfAct]) -> Taken:
        """See `DocumentStore`."""
        with self._database.writing() as connection:
            ask = select(kept.key, kept.number, kept.document, kept.parent)
            rows = connection.execute(ask).fetchall()
            here = taking.Here(
                {row.key: (row.number, row.document) for row in rows},
                {row.parent: row.number for row in rows if row.parent is not None},
                max((row.number for row in rows), default=0),
            )
            new, numbers = taking.renumbered(revisions_, here)
            more = taking.new_acts(acts_, numbers, _acts(connection))
            if new:
                connection.execute(insert(revisions), [vars(each) for each in new])
            if more:
                connection.execute(insert(shelf_acts), [vars(each) for each in more])
        return Taken(len(new), numbers)


def _heading(row: Row[*tuple[Any, ...]]) -> Heading:
    return Heading(**row._mapping)


def _revision(connection: Connection, number: int) -> Revision:
    chain.refuse_no_number("revision", number)
    row = connection.execute(select(*WHOLE).where(kept.number == number)).first()
    if row is None:
        raise chain.not_kept("revision", number)
    return Revision(**row._mapping)


def _latest(connection: Connection, document: int) -> Heading:
    return _history(connection, document, 1)[0]


def _history(connection: Connection, document: int, most: int | None = None) -> tuple[Heading, ...]:
    chain.refuse_no_number("document", document)
    newest_first = select(*HEADING).order_by(kept.number.desc()).limit(most)
    ask = newest_first.where(kept.document == document)
    found = tuple(_heading(row) for row in connection.execute(ask))
    if not found:
        raise chain.not_kept("document", document)
    return found


def _in_sight(
    kind: DocumentKind | None, discarded: bool, contains: str | None
) -> list[ColumnElement[bool]]:
    """What is true of the newest revisions that are asked for."""
    later = revisions.alias("later")
    newest = ~exists().where(later.c.parent == kept.number)
    wanted: list[ColumnElement[bool]] = [newest, _is_discarded(kept.document) == discarded]
    wanted += [] if kind is None else [kept.kind == kind]
    if contains is not None:
        sought = chain.folded(contains)
        # no name holds a NUL, and PostgreSQL takes none
        found = func.lower(kept.name).contains(sought, autoescape=True)
        wanted.append(false() if "\0" in sought else found)
    return wanted


def _is_discarded(document: Any) -> ColumnElement[bool]:
    last = (
        select(acts.act)
        .where(acts.document == document)
        .order_by(acts.number.desc())
        .limit(1)
        .scalar_subquery()
    )
    return func.coalesce(last, "restore") == "discard"


def _discarded(connection: Connection, document: int) -> bool:
    return bool(connection.execute(select(_is_discarded(document))).scalar())


def _acts(connection: Connection) -> tuple[ShelfAct, ...]:
    ask = select(acts.number, acts.document, acts.act, acts.at).order_by(acts.number)
    return tuple(ShelfAct(**row._mapping) for row in connection.execute(ask))


def _last(connection: Connection, number: ColumnElement[int]) -> int:
    return connection.execute(select(func.max(number))).scalar() or 0
