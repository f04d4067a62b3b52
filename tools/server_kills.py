"""Kills `wortline serve` again and again while two devices post to it, and looks what is lost.

The real server runs in a process of its own and is spoken to over HTTP as a deck does it: one
request after the other for each device, the same entries again until they are answered. It is
killed with SIGKILL at random instants, while it starts too, and started again over the same files.
After each kill the record is read, before the next server has opened it.
"""

import json
import os
import random
import signal
import socket
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from http.client import HTTPConnection, HTTPException
from pathlib import Path
from typing import Any

import lot_kills
from lot_kills import ROOT, Client, Findings

from wortline.app.lots import lot_of
from wortline.lot.record import entry_values

PATIENCE_S = 30.0
AGAIN_S = 0.01
MOST_BETWEEN, MOST_WAIT_S = 60, 0.05
EARLY = 0.1
"""So often a server is killed before it has answered anything."""
SEEN_ALL = 2_147_483_647


class Device(threading.Thread):
    """A device that posts its entries, and posts them again where no answer came."""

    def __init__(self, client: Client, port: int, chance: random.Random) -> None:
        super().__init__(daemon=True)
        self.client, self.port, self.chance = client, port, chance
        self.up, self.idle, self.over = (threading.Event() for _ in range(3))
        self.unanswered = 0
        self.trouble: list[str] = []

    def run(self) -> None:
        """Post until it is over; while no server is up, wait and touch nothing."""
        while not self.over.is_set():
            if not self.up.is_set():
                self.idle.set()
                self.up.wait(0.05)
                continue
            self.idle.clear()
            self.post([entry_values(each) for each in self.client.batch(0, self.chance)])

    def post(self, entries: list[dict[str, Any]]) -> None:
        """Post once and take the answer in, if one comes."""
        line = HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE_S)
        body = json.dumps({"entries": entries, "after": SEEN_ALL})
        headers = {"Content-Type": "application/json", "Origin": f"http://127.0.0.1:{self.port}"}
        try:
            line.request("POST", "/api/lots/1/entries", body, headers)
            answer = line.getresponse()
            told = json.loads(answer.read())
        except (OSError, HTTPException, ValueError) as error:
            # refused: no server listens yet
            self.unanswered += not isinstance(error, ConnectionRefusedError)
            self.over.wait(AGAIN_S)
            return
        finally:
            line.close()
        if answer.status != 200:
            self.trouble.append(f"{answer.status}: {told}")
            self.over.set()
            return
        self.client.told([(each["id"], each["what"], each["number"]) for each in told["answers"]])


def free_port() -> int:
    """A port that nobody listens on."""
    with socket.socket() as asked:
        asked.bind(("127.0.0.1", 0))
        return int(asked.getsockname()[1])


def serving(folder: Path, port: int) -> "subprocess.Popen[bytes]":
    """The real program, as a person starts it."""
    words = [sys.executable, "-m", "wortline", "serve", "--data", str(folder), "--port", str(port)]
    env = {**os.environ, "PYTHONPATH": str(ROOT / "src"), "XDG_DATA_HOME": str(folder.parent)}
    return subprocess.Popen(words, env=env, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)


def one_life(
    folder: Path, port: int, devices: list[Device], chance: random.Random, waited: threading.Event
) -> None:
    """Start the server, let both devices post, kill it, and wait until both have noticed."""
    server = serving(folder, port)
    for device in devices:
        device.up.set()
    before = answered(devices)
    if chance.random() < EARLY:
        waited.wait(chance.uniform(0.0, 1.5))
    else:
        goal = before + chance.randint(1, MOST_BETWEEN)
        while answered(devices) < goal:
            assert server.poll() is None, "the server ended by itself"
            assert not any(device.trouble for device in devices), devices[0].trouble
            waited.wait(0.002)
        waited.wait(chance.uniform(0.0, MOST_WAIT_S))
    server.send_signal(signal.SIGKILL)
    server.wait()
    for device in devices:
        device.up.clear()
        device.idle.clear()
    for device in devices:
        assert device.idle.wait(2 * PATIENCE_S)


def answered(devices: list[Device]) -> int:
    """How many entries both have an answer for."""
    return sum(len(device.client.answered) for device in devices)


def killed(
    folder: Path, kills: int, seed: int, told: Callable[[Findings], Any] = lambda _: None
) -> tuple[Findings, int]:
    """Kill the server so many times; return what was found, and the posts cut off."""
    chance = random.Random(seed)
    store = lot_kills.with_a_lot(folder)
    day = lot_of(store.lots, 1).day
    port, found = free_port(), Findings()
    devices = list(_devices(day, port, seed))
    for device in devices:
        device.start()
    waited = threading.Event()
    try:
        for _ in range(kills):
            one_life(folder, port, devices, chance, waited)
            found.kills += 1
            lot_kills.look(store, [device.client for device in devices], found)
            told(found)
    finally:
        for device in devices:
            device.over.set()
            device.up.set()
        for device in devices:
            device.join(2 * PATIENCE_S)
        store.close()
    return found, sum(device.unanswered for device in devices)


def _devices(day: Any, port: int, seed: int) -> Iterator[Device]:
    for place, name in enumerate(lot_kills.DEVICES):
        client = Client(lot_kills.scripted(day, name, random.Random(seed + place)))
        yield Device(client, port, random.Random(seed + 10 + place))
