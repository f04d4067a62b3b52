"""The command `serve` as a whole: on the network with a code, and under many hands at once."""

import asyncio
import os
import re
import socket
import ssl
import subprocess
import sys
import threading
import urllib.request
from collections.abc import Iterator
from http.client import HTTPSConnection
from pathlib import Path
from typing import IO

import httpx
from click.testing import CliRunner
from served import Served

from wortline.cli import main
from wortline.web.listening import LOOPBACK
from wortline.web.services import services
from wortline.wiring import opened_store

DAY = "schema: day/1\nair: 16 C\ntap: 14 C\ngrain: 12 C\nelevation: 220 m\n"


def lines_until(stream: IO[str], last: str) -> Iterator[str]:
    for line in stream:
        yield line
        if last in line:
            return
    raise AssertionError(f"the server ended before it said `{last}`")


# The program as a user starts it, on a computer of this name; this one may have none.
NAME = "brewhouse.local"
NAMED = """
import socket
socket.gethostname = lambda: "Brewhouse.home.arpa"
from wortline.cli import main
main()
"""


def test_the_network_side_asks_for_the_code_over_https(tmp_path: Path) -> None:
    with socket.socket() as asked:
        asked.bind((LOOPBACK, 0))
        port = asked.getsockname()[1]
    env = dict(os.environ, XDG_DATA_HOME=str(tmp_path), PYTHONUNBUFFERED="1", PYTHONUTF8="1")
    words = [sys.executable, "-c", NAMED, "serve", "--lan", "--port", str(port)]
    with subprocess.Popen(words, env=env, stdout=subprocess.PIPE, encoding="utf-8") as server:
        try:
            assert server.stdout
            said = "".join(lines_until(server.stdout, "Fingerprint")) + server.stdout.readline()
            code = re.search(r"Join code: (\w{4}-\w{4})", said)
            assert code, said
            assert f"https://{NAME}:{port}" in said
            trusting = ssl.create_default_context(
                cafile=tmp_path / "wortline" / "web" / "authority.pem"
            )
            host = f"{NAME}:{port}"
            answer, cookie = https(port, trusting, "GET", "/", {"Host": host})
            assert (answer, cookie) == (303, "")
            headers = {
                "Host": host,
                "Origin": f"https://{host}",
                "Content-Type": "application/x-www-form-urlencoded",
            }
            answer, cookie = https(port, trusting, "POST", "/join", headers, f"code={code[1]}")
            assert answer == 303
            assert "Secure" in cookie
            session = {"Host": host, "Cookie": cookie.partition(";")[0]}
            assert https(port, trusting, "GET", "/", session)[0] == 200
        finally:
            server.terminate()
            server.wait(20)


def https(
    port: int, trusting: ssl.SSLContext, method: str, path: str, headers: dict[str, str],
    body: str = "",
) -> tuple[int, str]:  # fmt: skip
    """Ask by the loopback address, under the name that the header claims."""
    connection = HTTPSConnection(LOOPBACK, port, context=trusting, timeout=30)
    try:
        connection.request(method, path, body or None, headers)
        answer = connection.getresponse()
        answer.read()
        return answer.status, answer.headers.get("set-cookie", "")
    finally:
        connection.close()


def test_many_hands_at_once_lose_nothing(tmp_path: Path) -> None:
    hands, each_keeps = 6, 10
    with (
        opened_store(str(tmp_path)) as store,
        Served(services(store.documents)) as server,
    ):
        refused: list[str] = []

        def keep(hand: int) -> None:
            async def all_of_them() -> None:
                async with httpx.AsyncClient(base_url=server.url, timeout=60) as client:
                    for number in range(each_keeps):
                        body = {"kind": "day", "name": f"Day {hand}.{number}", "text": DAY}
                        answer = await client.post(
                            "/api/documents", json=body, headers={"Origin": server.url}
                        )
                        if answer.status_code != 201:
                            refused.append(answer.text)

            asyncio.run(all_of_them())

        threads = [threading.Thread(target=keep, args=(hand,)) for hand in range(hands)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert refused == []
        with urllib.request.urlopen(f"{server.url}/api/documents?most=1000") as answer:
            assert answer.read().count(b'"number"') == hands * each_keeps


def test_plain_belongs_to_lan() -> None:
    done = CliRunner().invoke(main, ["serve", "--plain"])
    assert done.exit_code == 2
    assert "--plain belongs to --lan" in done.stderr


def test_a_port_that_is_taken_is_said_and_the_program_ends() -> None:
    with socket.socket() as taken:
        taken.bind((LOOPBACK, 0))
        taken.listen()
        port = str(taken.getsockname()[1])
        done = CliRunner().invoke(main, ["serve", "--port", port])
    assert done.exit_code == 1
    assert done.stderr.startswith(f"Error: Port {port} cannot be used")
