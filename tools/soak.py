"""A long trial of the record: 300 kills, 40 power cuts, 10,000 lots of 300 entries.

Run by `python3 dev.py soak`; writes what came of it into docs/soak.md, with date and machine.
"""

import itertools
import os
import platform
import random
import sqlite3
import sys
import tempfile
import time
from dataclasses import fields
from datetime import UTC, datetime
from pathlib import Path

import lot_kills
import many_lots

from wortline.app.lots import lot_of

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "docs" / "soak.md"
KILLS, IN_A_SERIES, ROUNDS = 300, 30, 12
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


def killed_in_series(folder: Path) -> lot_kills.Findings:
    """The kills, a new lot for every so many, and all that was found."""
    whole = lot_kills.Findings()
    for series in range(KILLS // IN_A_SERIES):
        found = lot_kills.killed(
            folder / f"kills-{series}", IN_A_SERIES, SEED + series, most_rounds=ROUNDS
        )
        for each in fields(found):
            setattr(whole, each.name, getattr(whole, each.name) + getattr(found, each.name))
        print(f"{whole.kills} kills, {whole.answered} entries answered", flush=True)
    return whole


def main() -> int:
    """Do all of it and write the page."""
    begun = time.perf_counter()
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        found = killed_in_series(folder)
        clean, lost = lot_kills.power_cuts(folder / "cuts", CUTS, SEED)
        print(f"{clean} of {CUTS} copies opened clean")
        store = lot_kills.with_a_lot(folder / "many")
        day = lot_of(store.lots, 1).day
        script = itertools.islice(lot_kills.scripted(day, "phone", random.Random(SEED)), ENTRIES)
        many_lots.fill(store, LOTS, ENTRIES, script)
        times = many_lots.opened(store, LOTS)
        plans = many_lots.plans_of(store)
        store.close()
        size = many_lots.size_mb(folder / "many")
    fine = found.clean and clean == CUTS and lost == 0
    fine = fine and max(times.start_page_ms, times.lot_ms) < MOST_MS
    fine = fine and not any(plan.startswith("SCAN lot_entries") for plan in plans)
    text = f"""# The record under stress

Made by `python3 dev.py soak` on {datetime.now(UTC):%Y-%m-%d}, in
{time.perf_counter() - begun:.0f} s, on {machine()}.

## {found.kills} kills

Two devices post a scripted day to a program that keeps it in SQLite; the program is killed with
SIGKILL at random instants (seeds from {SEED} on) and started again; a new lot begins after every
{IN_A_SERIES} kills. After each start the whole record is read.

| what | how many |
|---|---|
| kills | {found.kills} |
| entries that were answered as kept | {found.answered} |
| of these lost | {found.lost} |
| there twice | {found.twice} |
| out of order, or under another number | {found.disordered} |
| changed | {found.changed} |
| folds that differ when read again | {found.folds_differ} |

## {CUTS} power cuts

The files of the database were copied while it was written to, all of one instant; every other
copy also lost the end of its log at a random byte behind what had been answered. {clean} of {CUTS}
opened clean; {lost} answered entries were missing.

## {LOTS:,} lots of {ENTRIES} entries

{size:.0f} MB in all. Slowest of several tries: start page {times.start_page_ms:.0f} ms, a lot with
its fold {times.lot_ms:.0f} ms, its lines alone {times.lines_ms:.0f} ms (asked for: under
{MOST_MS:.0f} ms). How they are found: {"; ".join(dict.fromkeys(plans))}.
The start page (`SCAN lots`) walks the primary key from its end and stops after 101 lots.
"""
    PAGE.write_text(text, encoding="utf-8", newline="\n")
    print(text)
    return 0 if fine else 1


if __name__ == "__main__":
    sys.exit(main())
