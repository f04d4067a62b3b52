"""What tests of lots share: a lot in a store, a server that can be killed, hands on a deck."""

import re
import socket
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from multiprocessing.process import BaseProcess
from pathlib import Path
from typing import Any

import httpx
from lot_server import BEGUN, FileWatch, started

from wortline.app.files import File
from wortline.app.keeping import keep
from wortline.app.lots import OpenLot, start_lot
from wortline.app.ports import DocumentStore
from wortline.app.ports_lots import LotStore, Watch

EXAMPLES = Path(__file__).parents[1] / "examples"
TICKED_MIN, STRETCH_MIN = 2.0, 10.0
NAMES = ("rainday-pale", "shed-two-valves", "cool-march")


def begin_lot(
    lots: LotStore, documents: DocumentStore, watch: Watch, system: str = "metric"
) -> OpenLot:
    """A lot of the example with all its pipes."""
    numbers = []
    for name in NAMES:
        file = EXAMPLES / f"{name}.yaml"
        numbers.append(keep(documents, File(file.name, file.read_bytes())).number)
    recipe, rig, day = numbers
    return start_lot(lots, documents, watch, recipe, rig, day, system=system)


def scripted_entry(device: str, sequence: int) -> dict[str, Any]:
    """What a device sends: a scripted day of notes, readings and steps."""
    events = (
        {"kind": "note", "text": f"{device} {sequence}"},
        {"kind": "measured", "of": "mash", "quantity": "temperature", "value": 60.0 + sequence % 9},
        {"kind": "step done", "step": "setup/look"},
        {"kind": "pump", "on": sequence % 2 == 0},
        {"kind": "handle turned", "part": "V1", "position": "chiller" if sequence % 3 else "arm"},
    )
    return {
        "schema": "lot/1",
        "id": f"{device}-{sequence}",
        "device": device,
        "sequence": sequence,
        "wall_ms": 1_835_427_600_000 + sequence,
        "zone_min": 0,
        "steady": {"session": "s", "min": sequence / 100.0},
        "event": events[sequence % len(events)],
    }


@dataclass
class LotServer:
    """A server over SQLite on the disk that can be killed at any instant and started again."""

    folder: Path
    port: int = 0
    process: BaseProcess | None = None
    minute: float = 0.0

    def __post_init__(self) -> None:
        with socket.socket() as asked:
            asked.bind(("127.0.0.1", 0))
            self.port = asked.getsockname()[1]
        self.turn(0.0)

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    @property
    def data(self) -> str:
        return str(self.folder / "data")

    def turn(self, minutes: float) -> None:
        """Let time pass on the server's clock; the file is whole at every instant."""
        self.minute += minutes
        part = self.folder / "clock.part"
        part.write_text(str(self.minute), encoding="ascii")
        part.replace(self.folder / "clock")

    def begin(self) -> None:
        """Start a lot in the database."""
        from wortline.wiring import opened_store

        watch = FileWatch(self.folder / "clock")
        with opened_store(self.data, watch.now) as store:
            begin_lot(store.lots, store.documents, watch)

    def start(self) -> None:
        """Start the server and wait until it listens."""
        self.process = started(self.port, self.data, self.folder)

    def kill(self) -> None:
        """SIGKILL: nothing is written down any more."""
        if self.process is not None:
            self.process.kill()
            self.process.join()
            self.process.close()
            self.process = None

    def ask(self, path: str) -> Any:
        with httpx.Client(base_url=self.url, timeout=30) as client:
            answer = client.get(path)
            assert answer.status_code == 200, answer.text
            return answer.json()


@contextmanager
def lot_server(folder: Path) -> Iterator[LotServer]:
    """A server with one lot begun."""
    server = LotServer(folder)
    server.begin()
    server.start()
    try:
        yield server
    finally:
        server.kill()


ROWS = """() => new Promise((go) => {
  const asked = indexedDB.open("wortline-deck");
  asked.onsuccess = () => {
    const read = asked.result.transaction(["entries", "meta"]);
    const all = read.objectStore("entries").getAll();
    const name = read.objectStore("meta").get("device");
    read.oncomplete = () => {
      asked.result.close();
      go(all.result.map((row) => ({...row, own: row.entry.device === name.result.value}))
        .sort((a, b) => a.entry.sequence - b.entry.sequence));
    };
  };
})"""


@dataclass
class Hands:
    """Somebody at a deck, with the clock of the page and of the server in hand."""

    page: Any
    server: LotServer | None = None
    lateness_ms: list[int] = field(default_factory=list)

    @classmethod
    def at(cls, context: Any, server: LotServer | None = None, minute: float = 0.0) -> "Hands":
        """A new page on a clock that stands."""
        page = context.new_page()
        now_s = BEGUN.timestamp() + 60.0 * minute
        page.clock.install(time=now_s - 1.0)
        # from here on only `passes` and `jumps` move it
        page.clock.pause_at(now_s)
        return cls(page, server)

    def open(self, path: str = "/deck/1") -> "Hands":
        self.page.goto(path)
        self.page.locator(".foot .touch, .scroll h1").first.wait_for()
        self.passes(0.01)
        return self

    def passes(self, minutes: float) -> None:
        """Let time pass: long stretches in a few ticks, the last two minutes in every one."""
        while minutes > TICKED_MIN:
            stretch = min(minutes - TICKED_MIN, STRETCH_MIN)
            self.jumps(stretch)
            minutes -= stretch
        if self.server:
            self.server.turn(minutes)
        self.page.clock.run_for(round(minutes * 60_000))

    def jumps(self, minutes: float) -> None:
        """Let time pass in a single tick, as for a page that was not running."""
        if self.server:
            self.server.turn(minutes)
        self.page.clock.fast_forward(round(minutes * 60_000))

    def looked_at(self, look: Callable[[Any], None]) -> None:
        """Let the clock of the page run by itself while something looks at it that needs timers."""
        self.page.clock.resume()
        look(self.page)
        self.page.clock.pause_at(self.page.evaluate("Date.now() / 1000") + 1.0)

    @property
    def words(self) -> str:
        """What is asked for now."""
        next_ = self.page.locator(".scroll .next")
        return str((next_ if next_.count() else self.page.locator(".scroll")).inner_text())

    @property
    def first(self) -> Any:
        return self.page.locator(".foot .first, .foot .touch").first

    def tap(self, name: str) -> None:
        named = self.page.get_by_role("button", name=name)
        foot = self.page.locator(".foot").get_by_role("button", name=name)
        (foot if foot.count() else named).first.click()
        self.settle()

    def settle(self) -> None:
        """Wait until what was touched is kept on this device and drawn."""
        self.page.locator("#deck:not([aria-busy])").wait_for()
        # longer than the moment in which a touch on a changed step does not count
        self.passes(0.011)

    def key(self, number: str) -> None:
        for sign in number:
            self.page.get_by_role("button", name=sign, exact=True).click()

    def read(self, number: str, unit: str = "", warm: str = "") -> None:
        """Enter a reading."""
        if unit:
            self.page.locator(".unit").filter(has_text=re.compile(f"^{unit}(chosen)?$")).click()
        self.key(number)
        self.tap("Keep")
        if warm:
            self.tap(warm)

    def hear(self) -> None:
        """Answer the alarm that rings; it has to have rung in time."""
        ring = self.page.locator(".ring")
        ring.wait_for()
        for each in ring.locator("[data-late-ms]").all():
            self.lateness_ms.append(int(each.get_attribute("data-late-ms")))
        ring.click()
        self.settle()

    def wait_min(self) -> float | None:
        """How long until the step that is asked for is due [min]."""
        when = self.page.locator(".next > .when[data-due]")
        if not when.count():
            return None
        found = re.search(r"(?:(\d+):(\d\d) h|(\d+) min)", when.first.inner_text())
        if found is None:
            return 1.0
        hours, minutes, alone = found.groups()
        return float(alone) if alone else 60.0 * float(hours) + float(minutes)

    def to_the_mash(self) -> "Hands":
        """From the start to the pump of the mash, quickly."""
        self.skip_phase()
        self.tap("Begin: Fill")
        self.tap("Enter the reading")
        self.read("35.0", warm="14 C")
        self.tap("Done")
        self.tap("Begin: Heat the water")
        self.tap("Done")
        self.tap("Enter the reading")
        self.read("69.4")
        self.tap("Begin: Mash rest")
        return self

    def skip_phase(self) -> None:
        self.tap("Skip")
        self.tap("Leave it out")

    def rows(self) -> Any:
        """The entries on this device, in its order, with what became of them."""
        return self.page.evaluate(ROWS)

    def events(self) -> list[Any]:
        """What was written on this device, in its order."""
        return [each["entry"]["event"] for each in self.rows() if each["own"]]
