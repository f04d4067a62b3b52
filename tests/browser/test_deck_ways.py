"""Ways out with no network are those of the server, worked out when the lot began."""

from typing import Any

import pytest
from decks import Hands
from playwright.sync_api import expect

NEEDS = "Working the whole day out again needs the computer"


def ask(hands: Hands, trouble: str, typed: str = "", dose: str = "") -> None:
    hands.tap("Other")
    hands.tap("Something is off")
    hands.tap(trouble)
    if typed:
        hands.read(typed)
    if dose:
        hands.tap(dose)


def ways(hands: Hands) -> list[list[str]]:
    """The text of each way and its price, without how far a number is trusted."""
    found = [each.locator("p").all_inner_texts() for each in hands.page.locator(".way").all()]
    hands.tap("Back")
    return found


def both(hands: Hands, phone: Any, *asked: str) -> tuple[Any, Any]:
    """The ways as the server gives them, and as the device alone does."""
    ask(hands, *asked)
    place = hands.page.locator("[aria-live]")
    expect(place).not_to_contain_text("from the plan")
    hands.page.locator(".way").nth(2).wait_for()
    expect(place).not_to_contain_text("Asking the computer")
    online = ways(hands)
    phone.set_offline(True)
    ask(hands, *asked)
    expect(place).to_contain_text(NEEDS)
    assert "from the plan" in place.inner_text().lower()
    alone = ways(hands)
    phone.set_offline(False)
    return online, alone


@pytest.fixture
def quiet(eyes: Any) -> Any:
    """A test in which the network goes: what the browser says of it is meant."""
    yield
    eyes.troubles.clear()


@pytest.mark.parametrize(
    "asked",
    [("Mash too cold or warm", "62.0"), ("Mash too cold or warm", "69.0"),
     ("Wort too warm", "30"), ("Something clogs",)],
)  # fmt: skip
def test_with_no_network_the_ways_are_those_of_the_server(
    phone: Any, hands: Hands, quiet: Any, asked: tuple[str, ...]
) -> None:
    online, alone = both(hands, phone, *asked)
    assert len(alone) >= 3
    assert alone[0][0].startswith("Do nothing")
    assert alone == online


def test_a_late_dose_has_its_ways_with_no_network(phone: Any, hands: Hands, quiet: Any) -> None:
    hands.skip_phase()
    for _ in ("Fill", "Heat the water", "Mash rest", "Lift the grain", "Heat to the boil"):
        hands.skip_phase()
    hands.tap("Begin: Boil")
    hands.passes(15.0)
    if hands.page.locator(".ring").count():
        hands.page.locator(".ring").click()
        hands.settle()
    phone.set_offline(True)
    ask(hands, "A dose is late", "", "d1")
    place = hands.page.locator("[aria-live]")
    expect(place).to_contain_text("For going in 45 min before heat-off, from the plan:")
    expect(place).to_contain_text(NEEDS)
    texts = [each[0] for each in ways(hands)]
    assert texts[0] == "Do nothing: leave d1 out."
    assert texts[-1].startswith("Put d1 in now and boil 15 min longer")


def test_what_the_tables_do_not_hold_says_that_it_needs_the_computer(
    phone: Any, hands: Hands, quiet: Any
) -> None:
    phone.set_offline(True)
    ask(hands, "Mash too cold or warm", "40")
    place = hands.page.locator("[aria-live]")
    expect(place).to_contain_text("the tables on this device end before this")
    assert hands.page.locator(".way").count() == 0
    hands.tap("Back")
    ask(hands, "Gravity low")
    expect(place).to_contain_text("the tables on this device end before this")


def test_a_rest_that_lasts_too_long_is_priced_with_no_network(
    phone: Any, hands: Hands, quiet: Any
) -> None:
    phases = ("Set up", "Fill", "Heat the water", "Mash rest", "Lift the grain", "Heat to the boil",
              "Boil", "Whirlpool")  # fmt: skip
    for _ in phases:
        hands.skip_phase()
    hands.tap("Begin: Rest")
    phone.set_offline(True)
    hands.passes(48.0)
    if hands.page.locator(".ring").count():
        hands.page.locator(".ring").click()
        hands.settle()
    hands.tap("Other")
    hands.tap("Where it lands")
    # 18 min were planned; thirty more stand in the table, between two of its rows
    place = hands.page.locator("[aria-live]")
    expect(place).to_contain_text("The rest takes 48 min instead of 18: 33.8 IBU instead of 32.0")
    expect(place).to_contain_text("The computer does not answer")
