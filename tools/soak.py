"""A long trial of the record: 300 kills of a writer, 100 of the server, 40 power cuts, 10,000 lots.

Run by `python3 dev.py soak`; writes what came of it into docs/soak.md, with date and machine.
`python3 dev.py soak server` (or `kills`, `cuts`, `lots`) runs one part and leaves the others as
they were found before.
"""

import itertools
import os
import platform
import random
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import fields
from datetime import UTC, datetime
from pathlib import Path

import lot_kills
import many_lots
import server_kills

from wortline.app.lots import lot_of

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "docs" / "soak.md"
KILLS, IN_A_SERIES, ROUNDS = 300, 30, 12
SERVER_KILLS, SERVER_SERIES = 100, 25
CUTS, LOTS, ENTRIES, SEED = 40, 10_000, 300, 20_261_126
MOST_MS = 200.0


def machine() -> str:
    """What it ran on, in words that name no place."""
    model = platform.processor() or platform.machine()
    info = Path("/proc/cpuinfo")
    if info.exists():
        lines = info.read_text(encoding="utf-8", errors="replace").splitlines()
        model = next((line.partition(":")[2].strip() for line in lines if "model name" in line),
                     model)  # fmt: skip
    return (
        f"{os.cpu_count()} cores ({model}), {platform.system()} {platform.release()}, Python"
        f" {platform.python_version()}, SQLite {sqlite3.sqlite_version}"
    )


def added(whole: lot_kills.Findings, found: lot_kills.Findings) -> None:
    """Add what one series found to the whole."""
    for each in fields(found):
        setattr(whole, each.name, getattr(whole, each.name) + getattr(found, each.name))
    print(f"{whole.kills} kills, {whole.answered} entries answered", flush=True)


def counts(found: lot_kills.Findings) -> str:
    """What was found, as a table."""
    return f"""| what | how many |
|---|---|
| kills | {found.kills} |
| entries that were answered as kept | {found.answered} |
| of these lost | {found.lost} |
| there twice | {found.twice} |
| out of order, or under another number | {found.disordered} |
| changed | {found.changed} |
| folds that differ when read again | {found.folds_differ} |"""


def kills(folder: Path) -> tuple[str, bool]:
    """Kill the program that writes."""
    found = lot_kills.Findings()
    for series in range(KILLS // IN_A_SERIES):
        place = folder / f"kills-{series}"
        added(found, lot_kills.killed(place, IN_A_SERIES, SEED + series, most_rounds=ROUNDS))
    text = f"""## {found.kills} kills of the writer

Two devices post a scripted day to a program that keeps it in SQLite; the program is killed with
SIGKILL at random instants (seeds from {SEED} on) and started again; a new lot begins after every
{IN_A_SERIES} kills. After each start the whole record is read.

{counts(found)}"""
    return text, found.clean


def server(folder: Path) -> tuple[str, bool]:
    """Kill the web server."""
    found, unanswered = lot_kills.Findings(), 0
    for series in range(SERVER_KILLS // SERVER_SERIES):
        some, without = server_kills.killed(
            folder / f"server-{series}" / "data", SERVER_SERIES, SEED + series
        )
        added(found, some)
        unanswered += without
    text = f"""## {found.kills} kills of the server

`wortline serve` over SQLite; two devices post the scripted day to it over HTTP, one request after
the other, the same entries again until they are answered. The server is killed with SIGKILL at
random instants (seeds from {SEED} on), one time in ten while it starts, and started again; a new
lot begins after every {SERVER_SERIES} kills. After each kill the whole record is read.
{unanswered} posts reached a server and had no answer from it.

{counts(found)}"""
    return text, found.clean


def cuts(folder: Path) -> tuple[str, bool]:
    """Copy the files while they are written to."""
    clean, lost = lot_kills.power_cuts(folder / "cuts", CUTS, SEED)
    text = f"""## {CUTS} power cuts

The files of the database were copied while it was written to, all of one instant; every other
copy also lost the end of its log at a random byte behind what had been answered. {clean} of {CUTS}
opened clean; {lost} answered entries were missing."""
    return text, clean == CUTS and lost == 0


def lots(folder: Path) -> tuple[str, bool]:
    """Fill a store and open it."""
    store = lot_kills.with_a_lot(folder / "many")
    day = lot_of(store.lots, 1).day
    script = itertools.islice(lot_kills.scripted(day, "phone", random.Random(SEED)), ENTRIES)
    many_lots.fill(store, LOTS, ENTRIES, script)
    times = many_lots.opened(store, LOTS)
    plans = many_lots.plans_of(store)
    store.close()
    size = many_lots.size_mb(folder / "many")
    fine = max(times.start_page_ms, times.lot_ms) < MOST_MS
    text = f"""## {LOTS:,} lots of {ENTRIES} entries

{size:.0f} MB in all. Slowest of several tries: start page {times.start_page_ms:.0f} ms, a lot with
its fold {times.lot_ms:.0f} ms, its lines alone {times.lines_ms:.0f} ms (asked for: under
{MOST_MS:.0f} ms). How they are found: {"; ".join(dict.fromkeys(plans))}.
The start page (`SCAN lots`) walks the primary key from its end and stops after 101 lots."""
    return text, fine and not any(plan.startswith("SCAN lot_entries") for plan in plans)


PARTS: dict[str, Callable[[Path], tuple[str, bool]]] = {
    "kills": kills, "server": server, "cuts": cuts, "lots": lots,
}  # fmt: skip
TITLE = "# The record under stress"
MADE = "Made by `python3 dev.py soak"


def sections(page: str) -> dict[str, str]:
    """The parts of a page as it was written before, by the part's name."""
    found = {}
    for each in page.split("\n## ")[1:]:
        made = each.rpartition(MADE)[2]
        found[made.strip().partition("`")[0]] = f"## {each.strip()}"
    return found


def main(words: list[str]) -> int:
    """Do all of it, or one part, and write the page."""
    wanted = words or list(PARTS)
    if not set(wanted) <= set(PARTS):
        print(f"The parts are {', '.join(PARTS)}.", file=sys.stderr)
        return 2
    known = sections(PAGE.read_text(encoding="utf-8")) if PAGE.exists() else {}
    fine = True
    for name in wanted:
        begun = time.perf_counter()
        with tempfile.TemporaryDirectory() as made:
            told, right = PARTS[name](Path(made))
        fine = fine and right
        known[name] = (
            f"{told}\n\n{MADE} {name}` on {datetime.now(UTC):%Y-%m-%d}, in"
            f" {time.perf_counter() - begun:.0f} s, on\n{machine()}."
        )
        print(known[name], flush=True)
        text = "\n\n".join([TITLE, *(known[each] for each in PARTS if each in known)])
        PAGE.write_text(f"{text}\n", encoding="utf-8", newline="\n")
    return 0 if fine else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
