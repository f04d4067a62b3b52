"""What waits for something else: no dead end, nothing early, no touch that counts twice."""

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


def heading(hands: Hands) -> str:
    return str(hands.page.locator(".next h1").first.inner_text())


def test_a_step_to_come_is_small_and_the_headline_says_wait(hands: Hands) -> None:
    hands.to_the_mash()
    hands.tap("I looked")
    hands.tap("Done: ")
    hands.tap("Done")
    hands.tap("Enter the reading")
    hands.read("66.1")
    assert heading(hands) == "Nothing is due yet. Prepare what stands under Meanwhile."
    hands.page.locator(".side").get_by_role("button", name="Done").first.click()
    hands.settle()
    hands.page.locator(".side").get_by_role("button", name="Done").first.click()
    hands.settle()
    assert heading(hands) == "Wait. Nothing is due yet."
    assert "In 60 min" in hands.words
    assert "60 min of mash rest are over" in hands.words
    # nothing there is the one touch; what is done before its time is asked twice
    assert hands.page.locator(".foot .first").count() == 0
    hands.tap("Done")
    assert hands.words.startswith("Done already?")
    hands.tap("No, back")
    hands.passes(58.5)
    assert heading(hands) == "60 min of mash rest are over."
    assert hands.page.locator(".foot .first").inner_text().startswith("Done")


def test_a_second_touch_on_the_same_spot_does_not_count(hands: Hands) -> None:
    hands.tap("Begin: Set up")
    before = len(hands.events())
    key = hands.page.locator(".foot .first")
    key.click()
    hands.page.locator("#deck:not([aria-busy])").wait_for()
    hands.passes(0.003)
    assert "look for drips" in hands.words
    key.click()
    hands.page.locator("#deck:not([aria-busy])").wait_for()
    assert len(hands.events()) == before + 1
    assert "look for drips" in hands.words
    hands.passes(0.011)
    key.click()
    hands.settle()
    assert len(hands.events()) == before + 2


def test_the_end_of_the_hot_loop_moves_with_its_beginning(hands: Hands) -> None:
    hands.skip_phase()
    hands.skip_phase()
    hands.tap("Done")
    for _ in range(3):
        hands.skip_phase()
    hands.tap("Begin: Heat to the boil")
    hands.tap("Done")
    hands.tap("Enter the reading")
    hands.read("1.044", warm="20 C")
    assert heading(hands).startswith(("Wait", "Nothing is due"))
    assert "Turn V1 from arm to chiller" in hands.words
    assert "burns at a touch" in hands.words
    hands.passes(20.4)
    hands.hear()
    while "Switch P off" not in hands.words:
        hands.tap(hands.first.inner_text().splitlines()[0])
    wait_min = hands.wait_min()
    assert wait_min is not None and 4.0 <= wait_min <= 5.0
    assert "burns at a touch" in hands.words
