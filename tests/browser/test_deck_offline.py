"""With no network and no server: opens again, keeps every entry, sends it in order, once."""

import copy
import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from decks import Hands, lot_server
from served import Clock, Running
from services import Chromium

from wortline.web.door import LOOPBACK, Door
from wortline.web.services import Services, services

AWAY = "wortline.test"


def test_it_can_be_installed_and_opens_with_no_network(hands: Hands, phone: Any, eyes: Any) -> None:
    hands.page.evaluate("() => navigator.serviceWorker.ready.then(() => 0)")
    session = phone.new_cdp_session(hands.page)
    manifest = session.send("Page.getAppManifest")
    assert manifest["errors"] == []
    assert manifest["url"].endswith("/deck.webmanifest")
    told = session.send("Page.getInstallabilityErrors")["installabilityErrors"]
    # a context of Playwright is like a private window, in which nothing is installed
    assert [each["errorId"] for each in told] in ([], ["in-incognito"])
    phone.set_offline(True)
    hands.page.goto("/deck/1")
    hands.page.locator(".foot .touch").first.wait_for()
    assert "Next phase: Set up" in hands.words
    hands.page.goto("/deck")
    hands.page.get_by_text("Lot 1: Rainday Pale").wait_for()
    # a lot this device has never seen says so
    hands.page.goto("/deck/7")
    hands.page.get_by_text("The computer does not answer").wait_for()
    eyes.troubles.clear()


def test_it_opens_with_the_server_dead_and_sends_after_a_restart_of_both(
    browser: Any, tmp_path: Path
) -> None:
    with lot_server(tmp_path) as server:
        context = browser.new_context(base_url=server.url)
        hands = Hands.at(context, server).open()
        hands.page.evaluate("() => navigator.serviceWorker.ready.then(() => 0)")
        server.kill()
        hands.tap("Begin: Set up")
        hands.tap("Done")
        hands.page.close()
        hands = Hands.at(context, server, server.minute).open()
        hands.tap("Done")
        assert [each["state"] for each in hands.rows() if each["own"]] == ["waiting"] * 3
        server.start()
        for _ in range(60):
            hands.passes(0.1)
            if "waiting" not in [each["state"] for each in hands.rows()]:
                break
        sent = server.ask("/api/lots/1/entries?after=1")["entries"][:3]
        assert [each["sequence"] for each in sent] == [1, 2, 3]
        assert [each["event"]["kind"] for each in sent] == ["phase begun", "step done", "step done"]
        context.close()


PLAIN = """
import sys
from playwright.sync_api import sync_playwright
from decks import Hands
path, address, *flags = sys.argv[1:]
with sync_playwright() as playwright:
    started = playwright.chromium.launch(executable_path=path, args=flags)
    context = started.new_context(base_url=address)
    hands = Hands.at(context).open()
    assert not hands.page.evaluate("isSecureContext")
    hands.tap("Alarms not on")
    assert "open the deck over https" in hands.page.locator(".wake").inner_text()
    context.set_offline(True)
    hands.tap("Begin: Set up")
    hands.tap("Done")
    assert "2 entries are kept here and wait" in hands.page.locator(".kept").inner_text()
    context.set_offline(False)
    for _ in range(60):
        hands.passes(0.1)
        if "waiting" not in [each["state"] for each in hands.rows()]:
            break
    assert {each["state"] for each in hands.rows()} == {"kept"}
    print("kept")
    started.close()
"""


def test_over_plain_http_one_loaded_page_keeps_every_entry(
    chromium: Chromium, serve: Callable[..., Running], begun: Services
) -> None:
    given = services(
        begun.documents, Clock(), Door(LOOPBACK | {AWAY}), lots=copy.deepcopy(begun.lots)
    )
    running = serve(given)
    flags = [*chromium.flags, f"--host-resolver-rules=MAP {AWAY} 127.0.0.1"]
    # a browser of its own: its flags are others, and one process has one Playwright
    words = [sys.executable, "-c", PLAIN, str(chromium.path),
             running.url.replace("127.0.0.1", AWAY), *flags]  # fmt: skip
    env = dict(os.environ, PYTHONPATH=os.pathsep.join(sys.path))
    done = subprocess.run(words, env=env, capture_output=True, text=True, check=False)
    assert done.stdout == "kept\n", done.stdout + done.stderr
    kept = [json.loads(line.text)["event"]["kind"] for line in given.lots.lines(1)]
    assert kept[:3] == ["started", "phase begun", "step done"]


def test_what_was_run_with_no_server_has_its_true_minutes_afterwards(
    browser: Any, tmp_path: Path
) -> None:
    """A page opened and used with no server is tied to the computer's clock when it is back."""
    with lot_server(tmp_path) as server:
        context = browser.new_context(base_url=server.url)
        hands = Hands.at(context, server).open()
        hands.page.evaluate("() => navigator.serviceWorker.ready.then(() => 0)")
        hands.page.close()
        server.kill()
        hands = Hands.at(context, server, server.minute).open()
        hands.tap("Begin: Set up")
        hands.passes(12.0)
        hands.tap("Done")
        hands.passes(9.0)
        server.start()
        for _ in range(80):
            hands.passes(0.1)
            told = server.ask("/api/lots/1")
            if any("compared with" in each["words"] for each in told["events"]):
                break
        (begun,) = [each for each in told["phases"] if each["id"] == "setup"]
        done = next(each for each in told["steps"] if each["id"] == "setup/look")
        assert done["done_min"] - begun["begun_min"] == pytest.approx(12.0, abs=0.1)
        assert begun["begun_min"] == pytest.approx(0.0, abs=0.2)
        context.close()
