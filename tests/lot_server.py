"""A server in a process of its own over a database on the disk, with a clock that a file turns.

The file holds minutes, by which the steady clock and the wall clock are ahead of the moment
2028-02-29 09:00 UTC. The libraries are loaded once, in a process from which servers are forked
where the system can do that: a test that kills twenty of them has to be short.
"""

import multiprocessing
import os
from datetime import UTC, datetime, timedelta
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from pathlib import Path

from wortline.lot.events import Steady

BEGUN = datetime(2028, 2, 29, 9, 0, tzinfo=UTC)


class FileWatch:
    """Clocks turned by whoever writes the file."""

    def __init__(self, file: Path) -> None:
        self._file, self._ids = file, 0

    def minute(self) -> float:
        return float(self._file.read_text(encoding="ascii"))

    def now(self) -> datetime:
        return BEGUN + timedelta(minutes=self.minute())

    def wall_ms(self) -> int:
        return round(self.now().timestamp() * 1000)

    def zone_min(self) -> int:
        return 0

    def steady(self) -> Steady:
        return Steady("test", 5000.0 + self.minute())

    def new_id(self) -> str:
        self._ids += 1
        return f"made-by-the-server-{self._ids}"


LOADED = ("lot_server", "wortline.app.lots", "wortline.app.lot_report", "wortline.store.upgrading",
          "wortline.store.lots", "wortline.store.documents", "wortline.web.listening",
          "wortline.web.server", "wortline.wiring", "uvicorn", "alembic.command")  # fmt: skip
HOW = "forkserver" if "forkserver" in multiprocessing.get_all_start_methods() else "spawn"


def started(port: int, data: str, folder: Path) -> BaseProcess:
    """A server that listens."""
    context = multiprocessing.get_context(HOW)
    if HOW == "forkserver":
        context.set_forkserver_preload(list(LOADED))  # type: ignore[union-attr]
    here, there = context.Pipe(duplex=False)
    process = context.Process(target=serve, args=(port, data, folder, there), daemon=True)
    process.start()
    there.close()
    assert here.recv() == "ready"
    here.close()
    return process


def serve(port: int, data: str, folder: Path, ready: Connection) -> None:
    """Serve until somebody kills it."""
    os.environ["XDG_DATA_HOME"] = str(folder)
    from wortline.web.listening import LOOPBACK, bound, run
    from wortline.web.services import services
    from wortline.wiring import opened_store

    watch = FileWatch(folder / "clock")
    with bound(LOOPBACK, port) as made, opened_store(data, watch.now) as store:
        given = services(
            store.documents, watch.now, secret=b"test", lots=store.lots, watch=watch,
            shelf=store.shelf,
        )  # fmt: skip
        run(given, made, None, lambda: ready.send("ready"))
