"""Kills a program that writes a lot down, again and again, and looks whether anything is lost.

Two devices post a scripted day. Each sends its entries in order and keeps sending those that were
not answered, as a deck does. The writer is killed with SIGKILL at a random instant: some lines are
on their way, some half done. After each start the record is read: every entry that was answered
must be there, once, under its number, each device's in its order.
"""

import json
import os
import random
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from wortline.app.files import File
from wortline.app.keeping import keep as keep_document
from wortline.app.lots import lot_of, start_lot
from wortline.lot import events as ev
from wortline.lot.day import Day
from wortline.lot.events import Entry, Event, Steady
from wortline.lot.fold import fold
from wortline.lot.record import entry_values, unkept
from wortline.store.watch import SystemWatch
from wortline.wiring import Store, open_store

ROOT = Path(__file__).parents[1]
PAPERS = ("rainday-pale", "shed-45", "cool-march")
DEVICES = ("phone", "tablet")
START_MS = 1_835_420_400_000
MOST_AHEAD, MOST_TOGETHER = 12, 3


def with_a_lot(folder: Path) -> Store:
    """An open store with the example's papers and one lot of them."""
    store = open_store(str(folder))
    for name in PAPERS:
        path = ROOT / "examples" / f"{name}.yaml"
        keep_document(store.documents, File(path.name, path.read_bytes()))
    start_lot(store.lots, store.documents, SystemWatch(), 1, 2, 3, id="lot")
    return store


def scripted(day: Day, device: str, chance: random.Random) -> Iterator[Entry]:
    """A day without end as one device writes it down: phases, steps, readings, mistakes."""
    sequence, minute = 0, 0.0
    written: list[str] = []
    while True:
        for step in day.steps:
            for event in _events(step.id, step.phase, chance, written):
                sequence += 1
                minute += chance.random()
                wall_ms = START_MS + round(minute * 60_000)
                steady = Steady(f"{device}-1", minute)
                entry = Entry(f"{device}-{sequence}", device, sequence, wall_ms, 60, steady, event)
                written.append(entry.id)
                yield entry


def _events(step: str, phase: str, chance: random.Random, written: list[str]) -> list[Event]:
    found: list[Event] = [ev.PhaseBegun(phase), ev.StepDone(step)]
    found += [ev.Measured(step, "temperature", 20.0 + 80.0 * chance.random(), "thermometer", None)]
    if written and chance.random() < 0.2:
        found.append(ev.Undone(chance.choice(written)))
    if written and chance.random() < 0.2:
        found.append(ev.Corrected(chance.choice(written), ev.Noted("better: ä \U0001f37a")))
    return found


@dataclass
class Client:
    """A device with its entries: what was answered, and what still has to be."""

    source: Iterator[Entry]
    waiting: list[Entry] = field(default_factory=list)
    answered: dict[str, tuple[int, Entry]] = field(default_factory=dict)

    def batch(self, skip: int, chance: random.Random) -> list[Entry]:
        """The next entries to send, behind some that are on their way."""
        many = chance.randint(1, MOST_TOGETHER)
        while len(self.waiting) < skip + many:
            self.waiting.append(next(self.source))
        return self.waiting[skip : skip + many]

    def told(self, answers: list[tuple[str, str, int]]) -> None:
        """Take an answer in."""
        for id, what, number in answers:
            assert what in {"kept", "known"}, (id, what)
            entry = next((each for each in self.waiting if each.id == id), None)
            if entry is None:
                assert self.answered[id][0] == number, id
                continue
            self.waiting.remove(entry)
            self.answered[id] = number, entry


@dataclass
class Findings:
    """What so many kills came to."""

    kills: int = 0
    answered: int = 0
    unanswered_kept: int = 0
    lost: int = 0
    twice: int = 0
    disordered: int = 0
    changed: int = 0
    folds_differ: int = 0

    @property
    def clean(self) -> bool:
        """Whether nothing at all went wrong."""
        wrong = self.lost + self.twice + self.disordered + self.changed + self.folds_differ
        return wrong == 0


class Nursery:
    """The program that brings up writers; it has loaded everything before."""

    def __init__(self, folder: Path) -> None:
        self.doors = tempfile.mkdtemp(prefix="lot-")
        self.lives = 0
        self.process: subprocess.Popen[str] = subprocess.Popen(
            [sys.executable, str(ROOT / "tools" / "lot_writer.py"), str(folder), "1"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            env={**os.environ, "PYTHONPATH": str(ROOT / "src")},
        )

    def born(self) -> "Writer":
        """A new writer that has opened the store."""
        self.lives += 1
        address = str(Path(self.doors) / str(self.lives))
        assert self.process.stdin is not None
        self.process.stdin.write(f"{address}\n")
        self.process.stdin.flush()
        return Writer(int(self.said()), address)

    def said(self) -> str:
        """Its next line."""
        assert self.process.stdout is not None
        return self.process.stdout.readline().strip()

    def close(self) -> None:
        """Let it end."""
        assert self.process.stdin is not None and self.process.stdout is not None
        self.process.stdin.close()
        self.process.stdout.close()
        self.process.wait()
        shutil.rmtree(self.doors)


class Writer:
    """A program that keeps entries, and is killed."""

    def __init__(self, pid: int, address: str) -> None:
        self.pid = pid
        self._connection = socket.socket(socket.AF_UNIX)
        self._connection.connect(address)
        self._lines = self._connection.makefile("r", encoding="utf-8")

    def send(self, entries: list[Entry]) -> None:
        """Send entries without waiting for the answer."""
        line = json.dumps([entry_values(each) for each in entries]) + "\n"
        self._connection.sendall(line.encode("utf-8"))

    def answer(self) -> list[tuple[str, str, int]] | None:
        """The next answer; None where it died before."""
        try:
            line = self._lines.readline()
        except ConnectionResetError:
            return None
        # A line that ends in the middle was no answer.
        return [(a, b, c) for a, b, c in json.loads(line)] if line.endswith("\n") else None

    def signal(self, number: int) -> None:
        """Stop it, let it go on, or end it as a power cut to the program alone would."""
        os.kill(self.pid, number)

    def leave(self) -> None:
        """Close the connection."""
        self._lines.close()
        self._connection.close()


def one_life(
    nursery: Nursery, clients: list[Client], chance: random.Random, most_rounds: int
) -> None:
    """Start the writer, let both devices post, kill it at a random instant, take late answers."""
    writer = nursery.born()
    ahead: list[tuple[Client, int]] = []
    for _ in range(chance.randint(1, most_rounds)):
        for _ in range(chance.randint(1, MOST_AHEAD)):
            client = chance.choice(clients)
            skip = sum(many for each, many in ahead if each is client)
            entries = client.batch(skip, chance)
            writer.send(entries)
            ahead.append((client, len(entries)))
        for _ in range(chance.randint(0, len(ahead))):
            answers = writer.answer()
            assert answers is not None
            ahead.pop(0)[0].told(answers)
    writer.signal(signal.SIGKILL)
    # What it had answered before it died still comes.
    while ahead and (answers := writer.answer()) is not None:
        ahead.pop(0)[0].told(answers)
    writer.leave()
    assert nursery.said() == "gone"


def look(store: Store, clients: list[Client], found: Findings) -> None:
    """Read the record and compare it with what was answered."""
    opened = lot_of(store.lots, 1)
    assert opened.problems == ()
    kept = {entry.id: entry for entry in opened.entries}
    found.twice += len(opened.entries) - len(kept)
    found.answered = found.unanswered_kept = 0
    for client in clients:
        found.answered += len(client.answered)
        for id, (number, entry) in client.answered.items():
            here = kept.get(id)
            found.lost += here is None
            if here is not None:
                found.disordered += here.number != number
                found.changed += unkept(here) != entry
        found.unanswered_kept += sum(each.id in kept for each in client.waiting)
    for device in DEVICES:
        order = [each.sequence for each in opened.entries if each.device == device]
        found.disordered += order != sorted(order)
    found.disordered += [each.number for each in opened.entries] != list(
        range(1, len(opened.entries) + 1)
    )
    again = fold(opened.day, list(reversed(opened.entries)))
    found.folds_differ += again.steps != opened.state.steps or again.phases != opened.state.phases


def killed(
    folder: Path,
    kills: int,
    seed: int,
    told: Callable[[Findings], Any] = lambda _: None,
    most_rounds: int = 6,
) -> Findings:
    """Kill the writer so many times and look after each; rounds make its lives longer."""
    chance = random.Random(seed)
    store = with_a_lot(folder)
    day = lot_of(store.lots, 1).day
    clients = [Client(scripted(day, device, random.Random(seed + i)))
               for i, device in enumerate(DEVICES)]  # fmt: skip
    found = Findings()
    nursery = Nursery(folder)
    for _ in range(kills):
        one_life(nursery, clients, chance, most_rounds)
        found.kills += 1
        look(store, clients, found)
        told(found)
    nursery.close()
    store.close()
    return found


def power_cuts(folder: Path, cuts: int, seed: int) -> tuple[int, int]:
    """Copy the files of a database while it is written to; return copies that opened and losses.

    The writer is stopped for the copy, so that all files are of one instant, as after a power cut.
    Every other copy also loses the end of its log, as a disk that was still writing would: then
    what was answered before that end has to be there.
    """
    chance = random.Random(seed)
    store = with_a_lot(folder)
    day = lot_of(store.lots, 1).day
    client = Client(scripted(day, DEVICES[0], random.Random(seed)))
    nursery = Nursery(folder)
    writer = nursery.born()
    clean = lost = 0
    for cut in range(cuts):
        safe = set(client.answered)
        # All was answered: so much of the log is on the disk, whatever happens.
        safe_bytes = _log_bytes(folder)
        ahead = _posting(writer, client, chance)
        copy = folder.parent / f"copy-{cut}"
        _copied(writer, folder, copy)
        if cut % 2 == 1:
            _tear(copy, chance, safe_bytes)
        else:
            safe = set(client.answered)
        opened = _opened(copy)
        numbers = [each.number for each in opened]
        clean += numbers == list(range(1, len(numbers) + 1))
        lost += len(safe - {each.id for each in opened})
        shutil.rmtree(copy)
        while ahead:
            ahead -= _one_answer(writer, client)
    writer.signal(signal.SIGKILL)
    writer.leave()
    assert nursery.said() == "gone"
    nursery.close()
    store.close()
    return clean, lost


def _posting(writer: Writer, client: Client, chance: random.Random) -> int:
    """Send some entries, take some of the answers, and return how many are on their way."""
    ahead = 0
    for _ in range(chance.randint(3, 20)):
        entries = client.batch(ahead, chance)
        writer.send(entries)
        ahead += len(entries)
        if chance.random() < 0.5:
            ahead -= _one_answer(writer, client)
    return ahead


def _one_answer(writer: Writer, client: Client) -> int:
    answers = writer.answer()
    assert answers is not None
    client.told(answers)
    return len(answers)


def _copied(writer: Writer, folder: Path, copy: Path) -> None:
    """Copy all files as they are at one instant, while the writer stands still."""
    writer.signal(signal.SIGSTOP)
    state = Path(f"/proc/{writer.pid}/stat")
    while state.exists() and state.read_text(encoding="utf-8").rpartition(")")[2].split()[0] != "T":
        os.sched_yield()
    shutil.copytree(folder, copy, ignore=shutil.ignore_patterns("*-shm"))
    writer.signal(signal.SIGCONT)


def _log_bytes(folder: Path) -> int:
    return sum(path.stat().st_size for path in folder.glob("*-wal"))


def _tear(copy: Path, chance: random.Random, safe_bytes: int) -> None:
    """Cut the end of the log off at any byte of what was written last."""
    for log in copy.glob("*-wal"):
        size = log.stat().st_size
        os.truncate(log, chance.randint(min(safe_bytes, size), size))


def _opened(copy: Path) -> tuple[Entry, ...]:
    store = open_store(str(copy))
    with store.database.reading() as connection:
        sound = connection.exec_driver_sql("pragma integrity_check").scalar()
    assert sound == "ok", sound
    entries: tuple[Entry, ...] = lot_of(store.lots, 1).entries
    store.close()
    return entries
