"""The pump is refused until the line-up is checked; going on against it asks twice."""

from decks import Hands


def test_the_pump_waits_until_somebody_has_looked(hands: Hands) -> None:
    hands.to_the_mash()
    assert "Pump refused" in hands.words
    assert "V1 to arm" in hands.words
    assert hands.page.locator(".side svg").count() == 1
    hands.tap("I looked: they stand so")
    assert "The line-up is checked." in hands.words
    hands.tap("Done: Switch P on")
    assert hands.events()[-2:] == [
        {"kind": "pump", "on": True},
        {"kind": "step done", "step": "mash/turn1"},
    ]


def test_a_wrong_line_up_is_refused_with_its_reason_and_the_override_is_written_down(
    hands: Hands,
) -> None:
    hands.to_the_mash()
    hands.tap("I looked: they stand so")
    hands.tap("Other")
    hands.tap("A handle")
    hands.tap("K: shut")
    assert "Pump refused" in hands.words
    assert "K shut; it has to be: K open." in hands.words
    # and what the pipes themselves have against it, worked out beforehand for every way to stand
    assert len(hands.page.locator(".next .refused ~ ul:not(.stands) li").all()) >= 2
    hands.tap("Switch it on anyway")
    hands.tap("On even so")
    assert not [each for each in hands.events() if each["kind"] == "pump"]
    hands.tap("Yes, on even so")
    last = hands.events()[-3:]
    assert last[0]["kind"] == "override"
    assert last[1:] == [
        {"kind": "pump", "on": True},
        {"kind": "step done", "step": "mash/turn1"},
    ]


def test_a_pump_step_that_is_taken_back_is_checked_again(hands: Hands) -> None:
    hands.to_the_mash()
    hands.tap("I looked: they stand so")
    hands.tap("Done: Switch P on")
    hands.tap("Other")
    hands.tap("What is written")
    hands.tap("Take back: Done: See first: The wort stands in the pump")
    hands.tap("Take it back")
    hands.tap("Correct: V2")
    hands.tap("V2: fermenter")
    hands.tap("Back")
    assert "Pump refused" in hands.words
    assert "V2 to fermenter; it has to be: V2 to kettle." in hands.words


def test_the_pump_under_other_is_checked_too(hands: Hands) -> None:
    hands.tap("Other")
    hands.tap("Pump on")
    assert "Pump refused" in hands.words
    hands.tap("Back")
    assert not [each for each in hands.events() if each["kind"] == "pump"]
