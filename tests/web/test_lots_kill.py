"""The server is killed at random instants while two clients post a day: nothing that it said it
kept is missing afterwards, nothing is there twice, and everything is in its order."""

import random
import threading
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import httpx
from decks import LotServer, lot_server, scripted_entry
from lot_server import FileWatch

from wortline.app.lots import lot_of
from wortline.lot.fold import fold
from wortline.lot.record import read_entry
from wortline.wiring import opened_store

KILLS = 20
SEED = 20_280_229
MOST_BETWEEN = 25
EACH_SENDS = 4000


class Client(threading.Thread):
    """A device that sends one entry after the other, again until it is told that it is kept."""

    def __init__(self, server: LotServer, device: str, over: threading.Event) -> None:
        super().__init__(daemon=True)
        self.server, self.device, self.over = server, device, over
        self.kept: dict[str, int] = {}
        self.refused: list[str] = []

    def run(self) -> None:
        numbers: Iterator[int] = iter(range(1, EACH_SENDS))
        waiting = next(numbers)
        with httpx.Client(base_url=self.server.url, timeout=5.0) as client:
            while not self.over.is_set():
                body = {"entries": [scripted_entry(self.device, waiting)], "after": 10**9}
                try:
                    answer = client.post(
                        "/api/lots/1/entries", json=body, headers={"Origin": self.server.url}
                    )
                    (told,) = answer.json()["answers"]
                except (httpx.HTTPError, ValueError):
                    self.over.wait(0.005)
                    continue
                if told["what"] == "refused":
                    self.refused.append(told["why"])
                else:
                    self.kept[told["id"]] = told["number"]
                waiting = next(numbers)


def check(server: LotServer, clients: list[Client]) -> int:
    """What stands in the database after the kill, beside what was acknowledged."""
    watch = FileWatch(server.folder / "clock")
    with opened_store(server.data, watch.now) as store:
        opened = lot_of(store.lots, 1)
    assert opened.problems == ()
    numbers = [each.number for each in opened.entries]
    assert numbers == list(range(1, len(numbers) + 1))
    there = {each.id: each.number for each in opened.entries}
    assert len(there) == len(numbers)
    for client in clients:
        assert client.refused == []
        assert {id: there.get(id) for id in client.kept} == client.kept
        own = [each.sequence for each in opened.entries if each.device == client.device]
        assert own == list(range(1, len(own) + 1))
        # at most the one entry that was under way is there without having been acknowledged
        assert len(own) - len(client.kept) in (0, 1)
    scripted = [
        replace(read_entry(scripted_entry(each.device, each.sequence)), number=each.number)
        if each.device.startswith("phone")
        else each
        for each in opened.entries
    ]
    again = fold(opened.day, scripted)
    assert again.handles == opened.state.handles
    assert again.pump_on == opened.state.pump_on
    assert again.steps == opened.state.steps
    assert len(again.readings) == len(opened.state.readings)
    return len(numbers)


def test_killed_at_random_instants_nothing_acknowledged_is_lost(tmp_path: Path) -> None:
    dice = random.Random(SEED)
    kept = kills = 0
    with lot_server(tmp_path) as server:
        over = threading.Event()
        clients = [Client(server, name, over) for name in ("phone-a", "phone-b")]
        for client in clients:
            client.start()
        for _ in range(KILLS):
            goal = sum(len(each.kept) for each in clients) + dice.randint(1, MOST_BETWEEN)
            while sum(len(each.kept) for each in clients) < goal:
                over.wait(0.002)
            over.wait(dice.uniform(0.0, 0.02))
            server.kill()
            kills += 1
            before, kept = kept, check(server, clients)
            assert kept >= before
            server.start()
        over.set()
        for client in clients:
            client.join(20)
        server.kill()
        total = check(server, clients)
    assert kills == KILLS
    assert total > KILLS
