"""The tables as they are now. How a database comes to them stands in `migrations`."""

from datetime import datetime
from typing import Any

from sqlalchemy import (
    CheckConstraint,
    Column,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    TypeDecorator,
    UniqueConstraint,
)

from wortline.store import chain

NAMES = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s",
    "pk": "pk_%(table_name)s",
}
METADATA = MetaData(naming_convention=NAMES)


class Moment(TypeDecorator[datetime]):
    """A moment as text in universal time: the same in every database and in the export."""

    impl = String(27)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Any) -> str | None:
        """Write it."""
        return None if value is None else chain.stamp(value)

    def process_result_value(self, value: str | None, dialect: Any) -> datetime | None:
        """Read it."""
        return None if value is None else chain.moment(value)


# A number is given by the store, one more than the last: no gap tells of a save that failed.
revisions = Table(
    "revisions",
    METADATA,
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("document", Integer, ForeignKey("revisions.number"), nullable=False),
    Column("kind", String(20), nullable=False),
    Column("name", Text, nullable=False),
    Column("why", Text, nullable=False),
    Column("parent", Integer, ForeignKey("revisions.number"), unique=True),
    Column("saved_at", Moment, nullable=False),
    Column("text", Text, nullable=False),
    Column("key", String(64), nullable=False, unique=True),
    Index(None, "document", "number"),
)

shelf_acts = Table(
    "shelf_acts",
    METADATA,
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("document", Integer, ForeignKey("revisions.number"), nullable=False),
    Column(
        "act", String(10), CheckConstraint("act in ('discard', 'restore')", "act"), nullable=False
    ),
    Column("at", Moment, nullable=False),
    Index(None, "document", "number"),
)

lots = Table(
    "lots",
    METADATA,
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("id", String(64), nullable=False, unique=True),
    Column("name", Text, nullable=False),
    Column("started_at", Moment, nullable=False),
    Column("recipe", Integer, ForeignKey("revisions.number"), nullable=False),
    Column("rig", Integer, ForeignKey("revisions.number"), nullable=False),
    Column("day", Integer, ForeignKey("revisions.number")),
    Column("method", String(20), nullable=False),
    Column("system", String(20), nullable=False),
    Column("frozen", Text, nullable=False),
)

# Laid down by lot and number, so that a lot is read in one piece however its entries came in.
lot_entries = Table(
    "lot_entries",
    METADATA,
    Column("lot", Integer, ForeignKey("lots.number"), primary_key=True, autoincrement=False),
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("id", String(64), nullable=False),
    Column("line", Text, nullable=False),
    UniqueConstraint("lot", "id"),
    sqlite_with_rowid=False,
)
