"""Reads the settings, opens the store and hands it to `app`: the only place that knows everything.

A setting is declared once, here. The command line makes its option from that row, and the
environment has it as WORTLINE_NAME.
"""

import os
from collections.abc import Callable, Iterator, Mapping
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from wortline.app.ports import DocumentStore, Taken
    from wortline.app.ports_lots import LotStore, Shelf, Watch
    from wortline.store.engine import Database

Clock = Callable[[], datetime]


@dataclass(frozen=True)
class Setting:
    """One thing that can be set: its name, what it is if nobody sets it, and what it does."""

    name: str
    default: str
    help: str

    @property
    def variable(self) -> str:
        """Its name in the environment."""
        return f"WORTLINE_{self.name.upper().replace('-', '_')}"


SETTINGS = {
    each.name: each
    for each in (
        Setting(
            "data",
            "",
            "Where documents are kept: a folder, or postgresql://user@host/database. Else your own "
            "data folder.",
        ),
    )
}


def setting(name: str, typed: str | None, environment: Mapping[str, str] | None = None) -> str:
    """A setting as typed, else as the environment has it, else its default."""
    row = SETTINGS[name]
    if typed is not None:
        return typed
    return (os.environ if environment is None else environment).get(row.variable) or row.default


@dataclass(frozen=True)
class Store:
    """An open store, for as long as the program needs it."""

    documents: "DocumentStore"
    database: "Database"
    lots: "LotStore"
    shelf: "Shelf"

    @property
    def place(self) -> str:
        """Where it is, as a person would say it."""
        return self.database.place

    def export(self, folder: Path) -> None:
        """Write everything that is kept to a new folder.

        Raises
        ------
        StoreTrouble
            If the folder is not empty or cannot be written.
        """
        from wortline.store.export import document_parts, write
        from wortline.store.export_lots import lot_parts

        write(folder, chain(document_parts(self.documents), lot_parts(self.lots)))

    def take(self, folder: Path) -> "Taken":
        """Take everything back from a folder that `export` wrote.

        Raises
        ------
        DocumentRefused, Unkeepable
            If the folder is not what was written; nothing is taken then.
        Conflict
            If a document or a lot went on here and there in different ways.
        """
        from wortline.store.export import read
        from wortline.store.export_lots import read_lots

        # All is read before anything is taken: a damaged lot stops its documents too.
        documents, lots = read(folder), read_lots(folder)
        taken = self.documents.take(*documents)
        return replace(taken, entries=self.lots.take(lots, taken.numbers))

    def close(self) -> None:
        """Let go of it."""
        self.database.close()


def now() -> datetime:
    """The real clock."""
    return datetime.now(UTC)


def watch() -> "Watch":
    """The clocks that a lot goes by."""
    from wortline.store.watch import SystemWatch

    return SystemWatch()


def own_folder() -> Path:
    """The folder that this system keeps for a user's data of Wortline."""
    from platformdirs import user_data_path

    return user_data_path("wortline", appauthor=False)


def open_store(data: str | None = None, clock: Clock = now) -> Store:
    """Open the store that the settings name, and bring it up to date.

    Raises
    ------
    StoreTrouble
        If it cannot be used, with what to do about it.
    """
    from wortline.store.documents import SqlDocuments
    from wortline.store.engine import connected
    from wortline.store.lots import SqlLots
    from wortline.store.shelf import FolderShelf
    from wortline.store.upgrading import bring_up

    where = setting("data", data) or str(own_folder())
    database = connected(where, own_folder() / "backups")
    with ExitStack() as undo:
        undo.callback(database.close)
        bring_up(database, clock)
        undo.pop_all()
    shelf = FolderShelf(database.backups.parent / "lots")
    return Store(SqlDocuments(database, clock), database, SqlLots(database, clock), shelf)


@contextmanager
def opened_store(data: str | None = None, clock: Clock = now) -> Iterator[Store]:
    """The store for the time of a command.

    Raises
    ------
    StoreTrouble
        If it cannot be used, with what to do about it.
    """
    store = open_store(data, clock)
    try:
        yield store
    finally:
        store.close()
