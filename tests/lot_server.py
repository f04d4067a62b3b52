"""A server in a process of its own over a database on the disk, with a clock that a file turns.

Run as `python lot_server.py PORT DATA CLOCK`: the file CLOCK holds minutes, by which the steady
clock and the wall clock are ahead of the moment 2028-02-29 09:00 UTC.
"""

import sys
from datetime import UTC, datetime, timedelta
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


def main(port: int, data: str, clock: Path) -> None:
    from wortline.web.listening import LOOPBACK, bound, run
    from wortline.web.services import services
    from wortline.wiring import opened_store

    watch = FileWatch(clock)
    with bound(LOOPBACK, port) as made, opened_store(data, watch.now) as store:
        given = services(
            store.documents, watch.now, secret=b"test", lots=store.lots, watch=watch,
            shelf=store.shelf,
        )  # fmt: skip
        run(given, made, None, lambda: print("ready", flush=True))


if __name__ == "__main__":
    main(int(sys.argv[1]), sys.argv[2], Path(sys.argv[3]))
