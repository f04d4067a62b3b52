"""Brings a database to the newest version when it is opened, after a copy of what was there."""

import json
import os
import re
import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import datetime
from functools import cache
from pathlib import Path

from sqlalchemy import Connection, MetaData, inspect, select, text

from wortline.errors import StoreTrouble
from wortline.store.engine import WRITERS_LOCK, WRITING, Database
from wortline.store.private import keep_private, private_file
from wortline.store.tables import METADATA
from wortline.store.troubles import DAMAGED, trouble

STEPS = Path(__file__).parent / "migrations"


@cache
def known_versions(steps: Path = STEPS) -> tuple[str, ...]:
    """The versions that this Wortline knows, oldest first: the numbers of the steps' files."""
    names = (each.name for each in (steps / "versions").iterdir())
    return tuple(sorted(found[1] for n in names if (found := re.match(r"v(\d{4})_.*\.py$", n))))


def bring_up(database: Database, clock: Callable[[], datetime], steps: Path = STEPS) -> None:
    """Make the tables of a new database, or bring older ones up to date.

    An older database is copied first. Everything is done in one transaction: whatever happens, the
    database has the old version or the new one.

    Raises
    ------
    StoreTrouble
        If it is newer than this Wortline, belongs to another program, or cannot be used.
    """
    with database.reading() as connection:
        version = _version(connection, database.place, steps)
    if version == known_versions(steps)[-1]:
        return
    # loaded before the writer's lock is taken: others should not wait for that
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(steps).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    with trouble(database.place), database.engine.connect() as connection:
        connection.execution_options(**WRITING)
        if database.file is not None:
            # Rebuilding a table takes the old one away, to which others point; checked at the end.
            connection.connection.dbapi_connection.execute("pragma foreign_keys = off")  # type: ignore[union-attr]
        try:
            with connection.begin():
                if _is_to_be_done(connection, database, clock, steps):
                    config.attributes.update(connection=connection, metadata=METADATA)
                    command.upgrade(config, "head")
                    _refuse_astray(connection, database)
        finally:
            # the setting must not go back to the pool
            connection.invalidate()


def _is_to_be_done(
    connection: Connection, database: Database, clock: Callable[[], datetime], steps: Path
) -> bool:
    """Ask once more, now alone, whether the database is old, and copy it if so."""
    if database.file is None:
        connection.execute(text("select pg_advisory_xact_lock(:lock)"), {"lock": WRITERS_LOCK})
    version = _version(connection, database.place, steps)
    if version == known_versions(steps)[-1]:
        # another program has done it meanwhile
        return False
    if version:
        _copy(connection, database, f"{version}-{clock():%Y%m%dT%H%M%S}")
    return True


def _refuse_astray(connection: Connection, database: Database) -> None:
    """See that every row still points to one that is there; SQLite was told not to look."""
    if database.file and connection.execute(text("pragma foreign_key_check")).fetchall():
        raise StoreTrouble(DAMAGED.format(place=database.place))


def _version(connection: Connection, place: str, steps: Path) -> str | None:
    tables = inspect(connection).get_table_names()
    if "alembic_version" not in tables:
        if tables:
            raise StoreTrouble(
                f"{place} holds tables of another program; Wortline leaves them alone. Name "
                "another folder or database with --data."
            )
        return None
    version = connection.execute(text("select version_num from alembic_version")).scalar()
    if version is not None and version not in known_versions(steps):
        raise StoreTrouble(
            f"{place} was written by a newer Wortline (version {version} of its tables; this one "
            f"knows {known_versions(steps)[-1]}). It is left as it is: use the newer Wortline."
        )
    return None if version is None else str(version)


def _copy(connection: Connection, database: Database, name: str) -> None:
    """Write all that is there to a file of its own, complete before it has its name."""
    suffix = "sqlite" if database.file else "jsonl"
    target = database.backups / f"wortline-{name}.{suffix}"
    part = target.with_suffix(".part")
    try:
        database.backups.mkdir(parents=True, exist_ok=True, mode=0o700)
        part.unlink(missing_ok=True)
        if database.file:
            keep_private(part)
            # a second reader: a copy is not made from inside the transaction that will change it
            with (
                closing(sqlite3.connect(database.file)) as source,
                closing(sqlite3.connect(part)) as copy,
            ):
                source.backup(copy)
                sound = copy.execute("pragma integrity_check").fetchone() == ("ok",)
            if not sound:
                raise StoreTrouble(DAMAGED.format(place=database.place))
        else:
            with private_file(part) as stream:
                stream.write(_lines(connection).encode("utf-8"))
        with part.open("rb+") as written:
            os.fsync(written.fileno())
        part.replace(target)
    except OSError as error:
        reason = (error.strerror or "the system does not say why").lower()
        raise StoreTrouble(
            f"The copy {target}, needed before {database.place} is brought up to date, cannot be "
            f"written: {reason}. Nothing was changed."
        ) from None


def _lines(connection: Connection) -> str:
    """Every row of every table as a line of JSON."""
    found = MetaData()
    found.reflect(connection)
    lines = []
    for table in found.sorted_tables:
        for row in connection.execute(select(table).order_by(*table.primary_key)).mappings():
            lines.append(json.dumps({"table": table.name, "row": dict(row)}, default=str))
    return "\n".join(lines) + "\n"
