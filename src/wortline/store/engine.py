"""Opens a database: SQLite in a folder, or PostgreSQL by its address."""

import re
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event, text
from sqlalchemy.engine import make_url
from sqlalchemy.exc import ArgumentError

from wortline.errors import StoreTrouble
from wortline.store.troubles import trouble

FILE = "wortline.sqlite"
WRITING = {"wortline_writes": True}
# One writer at a time also in PostgreSQL: any number, as long as it is always the same one.
WRITERS_LOCK = 2_026_112_600
BUSY_MS = 10_000


@dataclass(frozen=True)
class Database:
    """An open database; `place` is how a person would name it, `backups` where copies go."""

    engine: Engine
    place: str
    backups: Path
    file: Path | None = None

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A connection that sees one moment."""
        with trouble(self.place), self.engine.connect() as connection:
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """A connection that alone may write; all of it is durable at the end, or none is done."""
        with trouble(self.place), self.engine.connect() as connection:
            connection.execution_options(**WRITING)
            with connection.begin():
                if self.file is None:
                    lock = text("select pg_advisory_xact_lock(:lock)")
                    connection.execute(lock, {"lock": WRITERS_LOCK})
                yield connection

    def close(self) -> None:
        """Let go of every connection."""
        self.engine.dispose()


def is_address(data: str) -> bool:
    """Whether the setting names a database server instead of a folder."""
    return re.match(r"[a-z][a-z0-9+.-]+://", data.strip(), re.IGNORECASE) is not None


def connected(data: str, backups: Path) -> Database:
    """The database at a folder or address, as it is: not yet looked into.

    Raises
    ------
    StoreTrouble
        If the folder cannot be made or the address is none.
    """
    return _server(data.strip(), backups) if is_address(data) else _file(Path(data))


def _file(folder: Path) -> Database:
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    except OSError as error:
        reason = (error.strerror or "the system does not say why").lower()
        raise StoreTrouble(
            f"The folder {folder} cannot be made: {reason}. Name another one with --data."
        ) from None
    file = folder / FILE
    # connected by hand, not by an address: a folder's name may hold any sign
    engine = create_engine("sqlite://", **_sqlite(file))
    event.listen(engine, "begin", _begin)
    return Database(engine, str(file), folder / "backups", file)


def _sqlite(file: Path) -> dict[str, Any]:
    import sqlite3

    from sqlalchemy.pool import QueuePool

    def connect() -> sqlite3.Connection:
        # transactions are begun by `_begin`, not by the driver
        connection = sqlite3.connect(
            file, timeout=BUSY_MS / 1000, isolation_level=None, check_same_thread=False
        )
        with ExitStack() as undo:
            undo.callback(connection.close)
            _set_up(connection)
            undo.pop_all()
        return connection

    return {"creator": connect, "poolclass": QueuePool}


def _set_up(connection: Any) -> None:
    for pragma in (
        # first, so that a second program waits in all that follows
        f"busy_timeout = {BUSY_MS}",
        "journal_mode = wal",
        # a commit is on the disk before it is called done; on macOS this takes one more word
        "synchronous = full",
        "fullfsync = on",
        "foreign_keys = on",
        # so that replacing a row is a deletion, which a trigger refuses
        "recursive_triggers = on",
    ):
        connection.execute(f"pragma {pragma}")


def _begin(connection: Connection) -> None:
    writes = connection.get_execution_options().get("wortline_writes")
    connection.exec_driver_sql("begin immediate" if writes else "begin")


def _server(address: str, backups: Path) -> Database:
    try:
        url = make_url(address)
    except (ArgumentError, ValueError):
        raise StoreTrouble(
            "The address of the data cannot be read; write postgresql://user@host/database."
        ) from None
    if url.drivername not in {"postgresql", "postgres", "postgresql+psycopg"}:
        raise StoreTrouble(
            f"`{url.drivername}://` is no place for data; write a folder, or "
            "postgresql://user@host/database."
        )
    place = url.set(drivername="postgresql").render_as_string(hide_password=True)
    engine = create_engine(
        url.set(drivername="postgresql+psycopg"),
        isolation_level="READ COMMITTED",
        pool_pre_ping=True,
        connect_args={"connect_timeout": 10},
    )
    return Database(engine, place, backups)
