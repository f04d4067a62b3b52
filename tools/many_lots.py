"""Fills a store with many lots and times how they open."""

import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from sqlalchemy import insert, select

from wortline.app.lot_report import start_page
from wortline.app.lots import lot_of
from wortline.lot.record import as_line
from wortline.store.tables import lot_entries, lots
from wortline.wiring import Store

AT_A_TIME = 50


@dataclass(frozen=True)
class Opened:
    """How long things took, the slowest of some tries [ms]."""

    start_page_ms: float
    lot_ms: float
    lines_ms: float


def fill(store: Store, many: int, entries: int, script: Any) -> None:
    """Add lots like the first one until there are so many, each with so many entries."""
    written = []
    for number, entry in enumerate(script, 1):
        if number > entries:
            break
        written.append((entry.id, as_line(replace(entry, number=number))))
    with store.database.reading() as connection:
        row = dict(connection.execute(select(lots).where(lots.c.number == 1)).mappings().one())
    for start in range(2, many + 1, AT_A_TIME):
        numbers = range(start, min(start + AT_A_TIME, many + 1))
        with store.database.writing() as connection:
            more = [{**row, "number": n, "id": f"lot-{n}", "name": f"Lot {n}"} for n in numbers]
            connection.execute(insert(lots), more)
            rows = [
                {"lot": n, "number": i, "id": id, "line": line}
                for n in numbers
                for i, (id, line) in enumerate(written, 1)
            ]
            connection.execute(insert(lot_entries), rows)


def _slowest_ms(tries: list[Callable[[], Any]]) -> float:
    found = []
    for each in tries:
        start = time.perf_counter()
        each()
        found.append((time.perf_counter() - start) * 1000.0)
    return max(found)


def opened(store: Store, many: int) -> Opened:
    """Open the start page and some lots all over the store, a lot with its fold."""
    numbers = sorted({2, many // 3, many // 2, many - 1, many})
    pages = [lambda: start_page(store.lots), lambda: start_page(store.lots, many // 2)]
    return Opened(
        start_page_ms=_slowest_ms(pages * 2),
        lot_ms=_slowest_ms([lambda n=n: lot_of(store.lots, n) for n in numbers]),  # type: ignore[misc]
        lines_ms=_slowest_ms([lambda n=n: store.lots.lines(n) for n in numbers]),  # type: ignore[misc]
    )


def plans_of(store: Store) -> list[str]:
    """How the database finds a lot's entries, the count of the start page, and a lot."""
    asked = (
        "select number, line from lot_entries where lot = 7 and number > 0 order by number",
        "select coalesce(max(number), 0) from lot_entries where lot = 7",
        "select number from lot_entries where lot = 7 and id in ('a', 'b')",
        "select number from lots order by number desc limit 101",
        "select * from lots where number = 7",
    )
    found = []
    with store.database.reading() as connection:
        for each in asked:
            rows = connection.exec_driver_sql(f"explain query plan {each}").all()
            found += [str(row[-1]) for row in rows]
    return found


def size_mb(folder: Path) -> float:
    """What the files take [MB]."""
    return sum(path.stat().st_size for path in folder.rglob("*") if path.is_file()) / 1e6
