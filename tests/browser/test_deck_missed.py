"""What was missed is mended on the deck: ways at once, a step for the way, new numbers to come."""

import re

from decks import Hands


def to_strike(hands: Hands) -> None:
    hands.skip_phase()
    hands.tap("Begin: Fill")
    hands.tap("Enter the reading")
    hands.read("33.0", warm="14 C")
    hands.tap("Done")
    hands.tap("Begin: Heat the water")


def test_new_numbers_reach_the_steps_with_what_was_beside(hands: Hands) -> None:
    to_strike(hands)
    # the deck asks by itself once its entries are sent
    hands.passes(0.05)
    hands.page.locator(".was").wait_for()
    assert re.search(r"heat to [\d.]+ C, about 4\d min", hands.words), hands.words
    assert "Was, before what you read: Element on: heat to 69.5 C, about 50 min" in hands.words


def test_missed_strike_water_has_ways_at_once_and_the_way_is_a_step(hands: Hands) -> None:
    to_strike(hands)
    hands.tap("Done")
    hands.tap("Enter the reading")
    hands.read("64.0")
    hands.page.locator(".way").nth(2).wait_for()
    assert "the mash lands at" in hands.words
    ways = hands.page.locator(".way")
    element = ways.filter(has_text="Element on for about")
    element.get_by_role("button", name="Take this way").click()
    hands.settle()
    last = hands.events()[-1]
    assert (last["kind"], last["way"], last["phase"]) == ("deviation", "element", "heat")
    assert 4.0 < last["change"]["wait_min"] < 7.0


def test_warm_wort_at_the_pitch_is_said_before_the_yeast(hands: Hands) -> None:
    for _ in range(30):
        if "Next phase: Pitch" in hands.words:
            break
        hands.skip_phase()
    hands.tap("Begin: Pitch")
    foot = hands.page.locator(".foot")
    while not foot.get_by_role("button", name="Enter the reading").count():
        hands.first.click()
        hands.settle()
    for number, warm in (("23.0", "18 C"), ("1.051", "20 C")):
        hands.tap("Enter the reading")
        hands.read(number, warm=warm)
    hands.tap("Enter the reading")
    hands.read("35")
    hands.page.locator(".way").nth(2).wait_for()
    assert "kills the yeast" in hands.words
    hands.tap("Back")
    assert "kills the yeast" in hands.words
