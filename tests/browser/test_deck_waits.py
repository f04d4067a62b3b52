"""What waits for something else: no dead end, no clock that runs before its time."""

from decks import Hands


def test_a_skipped_reading_is_no_dead_end(hands: Hands) -> None:
    hands.skip_phase()
    hands.tap("Begin: Fill")
    hands.tap("Skip")
    hands.tap("Skip it")
    assert hands.words.startswith("Look: the water stands over the element")
    hands.tap("Done")
    assert "Next phase: Heat the water" in hands.words
    hands.tap("Begin: Heat the water")
    assert hands.words.startswith("Element on: heat to 69.5 C")


def test_the_look_comes_before_the_element_even_if_it_was_skipped(hands: Hands) -> None:
    hands.skip_phase()
    hands.skip_phase()
    # the heating cannot begin, and no clock of it runs
    assert hands.words.startswith("Look: the water stands over the element")
    assert "Next phase: Heat the water, once this is so." in hands.words
    assert "burns out within seconds" in hands.words
    assert not hands.page.locator(".clock").is_visible()
    hands.tap("Done")
    hands.tap("Begin: Heat the water")
    assert hands.words.startswith("Element on: heat to 69.5 C")
    assert hands.page.locator(".clock").is_visible()
