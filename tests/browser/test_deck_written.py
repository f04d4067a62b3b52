"""What is written can be corrected and taken back: by touch, by keyboard, with no network; what was
written first stays readable."""

from typing import Any

from decks import Hands
from playwright.sync_api import expect
from served import Running

WRONG = {"kind": "measured", "of": "preboil", "quantity": "gravity", "value": 1.034,
         "typed": "1034 SG", "instrument": "hydrometer", "sample_c": 50}  # fmt: skip
RIGHT = {**WRONG, "value": 1.043, "typed": "1.043 SG", "sample_c": 20}


def own_words(event: Any) -> Any:
    """An event without what is empty: the computer hands it back so."""
    inner = {"event": own_words(event["event"])} if "event" in event else {}
    return {name: value for name, value in event.items() if value != ""} | inner


def misread(hands: Hands) -> str:
    """A reading with a slip of the finger in it; return the id of its entry."""
    hands.tap("Other")
    hands.tap("A reading")
    hands.tap("Before the boil: gravity")
    hands.read("1034", warm="50 C")
    row = [each for each in hands.rows() if each["own"]][-1]
    assert own_words(row["entry"]["event"]) == WRONG
    return str(row["entry"]["id"])


def open_list(hands: Hands) -> Any:
    hands.tap("Other")
    hands.tap("What is written")
    return hands.page.locator(".written > li")


def struck(row: Any) -> list[str]:
    return [each.inner_text() for each in row.locator("s").all()]


def sent(hands: Hands) -> None:
    """Wait until nothing waits any more."""
    for _ in range(60):
        hands.passes(0.1)
        if "waiting" not in [each["state"] for each in hands.rows()]:
            return
    raise AssertionError("something still waits")


def test_a_reading_is_corrected_beside_the_first_writing(hands: Hands, deck: Running) -> None:
    entry = misread(hands)
    row = open_list(hands).first
    assert "Before the boil: gravity 1034 SG at 50.0 C" in row.inner_text()
    assert struck(row) == []
    hands.tap("Correct")
    assert "Written: 1034 SG at 50.0 C." in hands.words
    hands.read("1.043", warm="20 C")
    last = [own_words(each) for each in hands.events()[-2:]]
    assert last == [WRONG, {"kind": "corrected", "entry": entry, "event": RIGHT}]
    row = hands.page.locator(".written > li").first
    assert "Before the boil: gravity 1.043 SG at 20.0 C" in row.inner_text()
    assert struck(row) == ["Before the boil: gravity 1034 SG at 50.0 C"]
    # a second correction strikes both of the former ones, and the last one counts
    hands.tap("Correct")
    hands.read("1.044", warm="20 C")
    assert len(struck(hands.page.locator(".written > li").first)) == 2
    sent(hands)
    told = hands.page.evaluate("() => fetch('/api/lots/1').then((each) => each.json())")
    (reading,) = told["readings"]
    assert (reading["value"], reading["typed"]) == (1.044, "1.044 SG")
    assert [each["typed"] for each in reading["former"]] == ["1034 SG", "1.043 SG"]
    hands.page.goto("/lots/1")
    page = hands.page.get_by_role("group", name="Readings, plan against fact")
    assert struck(page) == ["1.034 at 50.0 C", "1.043 at 20.0 C"]
    expect(page).to_contain_text("1.044 at 20.0 C")
    assert any("1.034" in each for each in struck(hands.page.get_by_role("group", name="All ent")))


def test_offline_corrections_wait_and_are_sent_in_order_once(
    hands: Hands, phone: Any, eyes: Any
) -> None:
    hands.page.evaluate("() => navigator.serviceWorker.ready.then(() => 0)")
    phone.set_offline(True)
    entry = misread(hands)
    open_list(hands)
    hands.tap("Correct")
    hands.read("1.043", warm="20 C")
    hands.tap("Take back")
    assert "Both stay in the record." in hands.words
    hands.tap("Take it back")
    row = hands.page.locator(".written > li").first
    assert "taken back" in row.inner_text()
    assert "waits for the computer" in row.inner_text()
    assert [each["state"] for each in hands.rows() if each["own"]] == ["waiting"] * 3
    # the tab is closed and opened again with no network: all of it is still there
    hands.page.reload()
    hands.page.locator(".foot .touch").first.wait_for()
    hands.passes(0.01)
    assert struck(open_list(hands).first) == ["Before the boil: gravity 1034 SG at 50.0 C"]
    phone.set_offline(False)
    eyes.troubles.clear()
    sent(hands)
    sent(hands)
    kinds = "() => fetch('/api/lots/1/entries').then((each) => each.json())"
    entries = hands.page.evaluate(kinds)["entries"]
    own = [each for each in entries if each["device"].startswith("device-")]
    assert [each["event"]["kind"] for each in own[:3]] == ["measured", "corrected", "undone"]
    assert own[2]["event"]["entry"] == entry
    assert len({each["id"] for each in own}) == len(own)


def test_what_was_taken_back_can_count_again(hands: Hands) -> None:
    hands.tap("Begin: Set up")
    hands.tap("Done")
    open_list(hands)
    hands.tap("Take back: Done: Lay hoses")
    hands.tap("Take it back")
    hands.tap("Back")
    assert "Lay hoses" in hands.words
    row = open_list(hands).first
    assert struck(row)[0].startswith("Done: Lay hoses")
    hands.tap("Count it again")
    hands.tap("Back")
    assert "Lay hoses" not in hands.words
    kinds = [each["kind"] for each in hands.events()]
    assert kinds == ["phase begun", "step done", "undone", "undone"]


def test_a_handle_and_a_note_are_corrected_and_a_phase_is_only_taken_back(hands: Hands) -> None:
    hands.tap("Begin: Set up")
    hands.tap("Other")
    hands.tap("A handle")
    hands.tap("V1: arm")
    hands.tap("Other")
    hands.tap("A note")
    hands.page.locator("#note").fill("the lid was of")
    hands.tap("Keep")
    open_list(hands)
    hands.tap("Correct: Note")
    hands.page.locator("#meant").fill("the lid was off")
    hands.tap("Keep")
    hands.tap("Correct: V1: arm")
    hands.tap("V1: chiller")
    last = [each["event"] for each in hands.events()[-2:]]
    assert last[0] == {"kind": "note", "text": "the lid was off"}
    assert last[1] == {"kind": "handle turned", "part": "V1", "position": "chiller"}
    rows = hands.page.locator(".written > li").all()
    assert [struck(each) for each in rows] == [["Note: the lid was of"], ["V1: arm"], []]
    begun = rows[2]
    assert begun.get_by_role("button").count() == 1
    assert begun.get_by_role("button", name="Take back: Begun: Set up").count() == 1


def tab_to(page: Any, words: str) -> None:
    """Press the tabulator until a button of these words has the focus."""
    for _ in range(60):
        page.keyboard.press("Tab")
        named = "() => document.activeElement.ariaLabel || document.activeElement.innerText || ''"
        if page.evaluate(named).startswith(words):
            return
    raise AssertionError(f"`{words}` is not reached by the keyboard")


def test_a_keyboard_alone_corrects_and_takes_back(hands: Hands) -> None:
    misread(hands)
    keys = hands.page.keyboard

    def go(words: str) -> None:
        tab_to(hands.page, words)
        keys.press("Enter")
        hands.settle()

    go("Other")
    go("What is written")
    go("Correct: Before the boil")
    keys.type("1.0e43")
    keys.press("Backspace")
    keys.type("4")
    assert "1.044 SG" in hands.page.locator(".typed").inner_text()
    keys.press("Enter")
    hands.settle()
    go("20 C")
    assert hands.events()[-1]["event"]["value"] == 1.044
    go("Take back: Before the boil")
    go("Take it back")
    assert hands.events()[-1]["kind"] == "undone"
    keys.press("Escape")
    assert "Next phase" in hands.words
