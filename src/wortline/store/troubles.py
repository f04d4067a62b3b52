"""What a database says when it cannot go on, as a sentence."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DBAPIError, OperationalError
from sqlalchemy.exc import TimeoutError as NoConnectionFree

from wortline.errors import StoreTrouble

DAMAGED = (
    "{place} is damaged and cannot be read on. It is left as it is: make a copy of it, then take "
    "the newest file out of the folder `backups` beside it, if there is one, or import your last "
    "export into another folder (--data)."
)
SENTENCES = {
    sqlite3.SQLITE_FULL: "The disk is full: nothing was kept in {place}. Free some space, "
    "then save again.",
    sqlite3.SQLITE_READONLY: "{place} cannot be written: you may only read it. Nothing was kept; "
    "allow writing, or name another folder with --data.",
    sqlite3.SQLITE_CANTOPEN: "{place} cannot be opened: its folder is missing, or you may not "
    "write in it. Allow writing, or name another folder with --data.",
    sqlite3.SQLITE_PERM: "{place} cannot be opened: you may not. Nothing was kept.",
    sqlite3.SQLITE_BUSY: "Another program is writing to {place}. Nothing was kept; save again.",
    sqlite3.SQLITE_LOCKED: "Another program is writing to {place}. Nothing was kept; save again.",
    sqlite3.SQLITE_IOERR: "The disk does not answer properly at {place}; it may be full. Nothing "
    "was kept: free some space, then save again.",
    sqlite3.SQLITE_CORRUPT: DAMAGED,
    sqlite3.SQLITE_NOTADB: DAMAGED,
}


@contextmanager
def trouble(place: str) -> Iterator[None]:
    """Say in a sentence why the database at a place cannot go on.

    Raises
    ------
    StoreTrouble
        Where the place is at fault; a mistake in a statement comes through as it is.
    """
    try:
        yield
    except DBAPIError as error:
        sentence = _sentence(error)
        if sentence is None:
            raise
        raise StoreTrouble(sentence.format(place=place)) from error
    except sqlite3.Error as error:
        sentence = _of_sqlite(error)
        if sentence is None:
            raise
        raise StoreTrouble(sentence.format(place=place)) from error
    except NoConnectionFree as error:
        raise StoreTrouble(f"{place} is too busy to answer; try again.") from error


def _sentence(error: DBAPIError) -> str | None:
    if isinstance(error.orig, sqlite3.Error):
        return _of_sqlite(error.orig)
    if not isinstance(error, OperationalError):
        return None
    state = getattr(error.orig, "sqlstate", None) or ""
    if state.startswith("53100"):
        return "The disk of {place} is full: nothing was kept. Free some space, then save again."
    return (
        "{place} does not answer, or does not let you in. Nothing was kept; see that PostgreSQL "
        "runs there and knows the user, the password and the database."
    )


def _of_sqlite(error: sqlite3.Error) -> str | None:
    # the lowest byte is the kind, what is above it the particular case
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    return SENTENCES.get(code)
