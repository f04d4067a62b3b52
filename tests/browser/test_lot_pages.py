"""The pages of lots: nothing in the way, nothing sideways, from the list to the deck."""

from collections.abc import Callable
from typing import Any

import pytest
from decks import Hands
from served import Running


@pytest.mark.parametrize(("width", "dark"), [(360, False), (1600, True)])
def test_lots_have_no_barriers_at_any_width(
    deck: Running, open_page: Callable[..., Any], no_barriers: Callable[[Any], None],
    width: int, dark: bool,
) -> None:  # fmt: skip
    page = open_page("/lots", width=width, dark=dark, base_url=deck.url)
    for path in ("/lots", "/lots/1", "/lots/1/paper", "/deck"):
        page.goto(path)
        page.locator("h1").wait_for()
        no_barriers(page)
        assert page.evaluate("document.documentElement.scrollWidth") <= width, path


SIDEWAYS = """() => [...document.querySelectorAll(".wide")]
  .filter((each) => each.scrollWidth > each.clientWidth).map((each) => each.ariaLabel)"""


def test_on_a_phone_the_tables_of_a_lot_go_below_one_another(hands: Hands) -> None:
    hands.skip_phase()
    hands.tap("Begin: Fill")
    hands.tap("Enter the reading")
    hands.read("35.0", warm="14 C")
    hands.tap("Other")
    hands.tap("What is written")
    hands.tap("Correct: Water")
    hands.read("35.2", warm="14 C")
    for _ in range(60):
        hands.passes(0.1)
        if "waiting" not in [each["state"] for each in hands.rows()]:
            break
    hands.page.goto("/lots/1")
    assert hands.page.evaluate(SIDEWAYS) == []
    rows = hands.page.get_by_role("group", name="All entries").get_by_role("row")
    # an entry is called by its number, in the same table
    written = next(each for each in rows.all() if "Read water volume: 35.0 L" in each.inner_text())
    number = written.get_by_role("cell").first.inner_text()
    assert f"Corrects entry {number}: Read water volume: 35.2 L" in rows.last.inner_text()


def test_a_lot_is_started_on_its_page_and_its_deck_opens(
    deck: Running, open_page: Callable[..., Any]
) -> None:
    page = open_page("/lots", base_url=deck.url)
    page.get_by_label("What do you call it?").fill("Second try")
    page.get_by_role("button", name="Start the lot").click()
    page.get_by_role("heading", name="Lot 2: Second try").wait_for()
    page.get_by_role("link", name="Open the deck").click()
    page.get_by_text("Next phase: Set up").wait_for()


def test_an_empty_deck_of_another_lot_leads_back(hands: Hands) -> None:
    hands.page.goto("/deck")
    hands.page.get_by_text("Lot 1: Rainday Pale").click()
    hands.page.get_by_text("Next phase: Set up").wait_for()
