"""A whole day on a phone: the network goes, the tab is closed, the server is killed, and a second
device joins. Every entry is there once, and every alarm rings in time."""

from pathlib import Path
from typing import Any

from decks import Hands, LotServer, lot_server
from playwright.sync_api import expect

PHONE = {"width": 360, "height": 640}
LATE_MS = 1000
MOST_TOUCHES = 200
READINGS = {
    "Water: volume": ("35.0", "", "14 C"),
    "Strike water: temperature": ("69.4", "", ""),
    "Mash: temperature": ("66.1", "", ""),
    "Before the boil: gravity": ("1.044", "", "20 C"),
    "Before the boil: volume": ("31.1", "", "99 C"),
    "After the boil: volume": ("28.1", "", "99 C"),
    "Turns at pump stop: turns a minute": ("20", "", ""),
    "Turns after 2 min: turns a minute": ("6", "", ""),
    "Turns after 5 min: turns a minute": ("2", "", ""),
    "Clear after: minutes": ("16", "", ""),
    "End of the rest: temperature": ("83", "", ""),
    "Left with the trub: volume": ("2.2", "", "20 C"),
    "Chilled wort: temperature": ("18.2", "", ""),
    "Fermenter: volume": ("23.0", "", "18 C"),
    "Original: gravity": ("1.050", "", "20 C"),
    "Wort for the yeast: temperature": ("18", "", ""),
}


def a_phone(browser: Any, server: LotServer) -> Any:
    context = browser.new_context(base_url=server.url, viewport=PHONE)
    context.set_default_timeout(15_000)
    return context


def one_touch(hands: Hands) -> bool:
    """Do what the deck asks for, and wait where it says to wait; False once the day is done."""
    if "The day is done." in hands.words:
        return False
    if hands.page.locator(".ring").count():
        hands.hear()
        return True
    wait_min = hands.wait_min()
    if wait_min is not None:
        hands.passes(wait_min + 0.6)
        hands.hear()
        return True
    asked = hands.first.inner_text()
    hands.tap(asked.splitlines()[0])
    if asked.startswith("Enter the reading"):
        title = hands.page.locator(".scroll h1").inner_text()
        hands.read(*READINGS[title])
    elif hands.words.startswith("Done already?"):
        hands.tap("It is done")
    return True


def until(hands: Hands, words: str) -> None:
    for _ in range(MOST_TOUCHES):
        if words in hands.words:
            return
        assert one_touch(hands), f"the day was done before `{words}`"
    raise AssertionError(f"`{words}` never came; now: {hands.words[:200]}")


def all_sent(hands: Hands) -> None:
    """Wait until the computer has everything."""
    for _ in range(100):
        hands.passes(0.05)
        if "wait" not in hands.page.locator(".kept").inner_text():
            return
        hands.page.evaluate("() => fetch('/api/lots').catch(() => 0)")
    raise AssertionError(hands.page.locator(".kept").inner_text())


def test_a_whole_day_and_all_that_can_happen_to_it(browser: Any, tmp_path: Path) -> None:
    with lot_server(tmp_path) as server:
        context, other = a_phone(browser, server), a_phone(browser, server)
        hands = cut_off(context, server)
        lateness_ms = hands.lateness_ms
        hands = closed_and_opened(hands, context)
        hands.lateness_ms += lateness_ms
        server_killed(hands, context)
        second_device(hands, other)
        until(hands, "The day is done.")
        all_sent(hands)
        all_is_there(hands, server.ask("/api/lots/1"))
        text = next(tmp_path.rglob("lot-0001*.txt"))
        assert "End of the record" in text.read_text(encoding="utf-8")
        context.close()
        other.close()


def cut_off(context: Any, server: LotServer) -> Hands:
    """From the first touch to a mash with no network."""
    hands = Hands.at(context, server).open()
    hands.tap("Alarms not on")
    # the page is whole on this device from here on
    hands.page.evaluate("() => navigator.serviceWorker.ready.then(() => 0)")
    hands.skip_phase()
    until(hands, "Hold 66.0 C")
    context.set_offline(True)
    until(hands, "60 min of mash rest are over")
    assert "kept here and wait" in hands.page.locator(".kept").inner_text()
    return hands


def closed_and_opened(before: Hands, context: Any) -> Hands:
    """The tab is closed and opened again, still with no network."""
    assert before.server
    before.page.close()
    hands = Hands.at(context, before.server, before.server.minute).open()
    assert "60 min of mash rest are over" in hands.words
    hands.tap("Alarms not on")
    until(hands, "Lift the grain out")
    return hands


def server_killed(hands: Hands, context: Any) -> None:
    """The network is back, the server is not; then it is."""
    assert hands.server
    hands.server.kill()
    context.set_offline(False)
    until(hands, "Next phase: Heat to the boil")
    hands.server.start()
    all_sent(hands)


def second_device(hands: Hands, context: Any) -> None:
    """Another device joins, sees where the day is, and does something meanwhile."""
    assert hands.server
    second = Hands.at(context, hands.server, hands.server.minute).open()
    assert "Next phase: Heat to the boil" in second.words
    until(hands, "Heat off")
    second.passes(0.1)
    expect(second.page.locator(".side")).to_contain_text("Sanitise the fermenter")
    second.page.locator(".side").get_by_role("button", name="Sanitise").first.click()
    for _ in range(100):
        second.passes(0.05)
        hands.passes(0.05)
        if "Sanitise the fermenter" not in hands.page.locator(".side").inner_text():
            return
    raise AssertionError("what the second device did never came to the first")


def all_is_there(hands: Hands, told: Any) -> None:
    """Every entry of this device stands in the record once, and the day is whole."""
    stands = {each["id"]: each["standing"] for each in told["steps"]}
    left = {each for each, how in stands.items() if how not in ("done", "skipped")}
    assert left <= {"heat/grain", "mash/hops", "chill/flow", "chill/yeast"}, left
    rows = hands.rows()
    assert {each["state"] for each in rows} == {"kept"}
    ids = [each["id"] for each in told["events"]]
    assert len(ids) == len(set(ids))
    assert {each["id"] for each in rows} == set(ids)
    assert len({each["device"] for each in told["events"]}) == 3
    assert told["problems"] == []
    assert len(hands.lateness_ms) >= 5
    assert max(hands.lateness_ms) < LATE_MS
