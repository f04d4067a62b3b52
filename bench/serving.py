"""`wortline serve`: from the start of the process until its first page is read."""

import os
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

from timing import TRIES, Line, Took, timed

PATIENCE_S = 60.0
AGAIN_S, FIRST_S = 1.0, 3.0


def serving(calibration: Took) -> Iterator[Line]:
    """The first start, which makes the data folder, and later ones; on the clock."""
    with TemporaryDirectory() as kept:
        env = {**os.environ, "PYTHONPYCACHEPREFIX": str(Path(kept, "bytecode"))}
        env.pop("PYTHONDONTWRITEBYTECODE", None)
        # the bytecode is written by a start that is not timed, as an installation does it
        first_page_s(env, Path(kept, "warm"))
        firsts = [first_page_s(env, Path(kept, f"{number}")) for number in range(TRIES)]
        later = [first_page_s(env, Path(kept, "warm")) for _ in range(TRIES)]
    for what, taken, budget_s in (
        ("first page of `wortline serve`, first start", firsts, FIRST_S),
        ("first page of `wortline serve`, data folder there", later, AGAIN_S),
    ):
        yield timed(what, Took(min(taken), min(taken)), calibration, budget_s)


def first_page_s(env: dict[str, str], folder: Path) -> float:
    """Start it on a data folder, read its first page, stop it [s]."""
    with socket.socket() as asked:
        asked.bind(("127.0.0.1", 0))
        port = str(asked.getsockname()[1])
    words = [sys.executable, "-m", "wortline", "serve", "--port", port]
    env = {**env, "XDG_DATA_HOME": str(folder)}
    begun = time.perf_counter()
    with subprocess.Popen(words, env=env, stdout=subprocess.DEVNULL) as server:
        try:
            read(f"http://127.0.0.1:{port}/", begun)
            return time.perf_counter() - begun
        finally:
            server.terminate()


def read(url: str, begun: float) -> None:
    """Read a page as soon as there is one."""
    while time.perf_counter() - begun < PATIENCE_S:
        try:
            with urllib.request.urlopen(url, timeout=PATIENCE_S) as answer:
                answer.read()
                return
        except urllib.error.URLError:
            continue
    raise SystemExit(f"{url} did not answer within {PATIENCE_S:.0f} s")
