"""Alarms: in time, missed and told with how late, and never silent without saying so."""

from typing import Any

from decks import Hands

HIDE = """(hidden) => {
  Object.defineProperty(document, "visibilityState", {get: () => hidden, configurable: true});
  document.dispatchEvent(new Event("visibilitychange"));
}"""
NO_LOCK = "Object.defineProperty(Navigator.prototype, 'wakeLock', {get: () => undefined})"
COUNTED = """() => {
  const start = OscillatorNode.prototype.start;
  window.tones = 0;
  OscillatorNode.prototype.start = function (...more) { window.tones++; start.apply(this, more); };
  window.shaken = 0;
  navigator.vibrate = () => (window.shaken++, true);
}"""


def wake(page: Any) -> str:
    return str(page.locator(".wake").inner_text())


def put_off(hands: Hands) -> None:
    """Something that is asked again in two minutes."""
    hands.skip_phase()
    hands.tap("Begin: Fill")
    hands.tap("Not yet")


def test_alarms_are_on_only_with_the_screen_held_and_the_sound_unlocked(hands: Hands) -> None:
    assert "Alarms not on" in wake(hands.page)
    assert "Sound is off. Touch here" in wake(hands.page)
    hands.tap("Alarms not on")
    assert wake(hands.page).startswith("Alarms on")


def test_a_reload_without_a_touch_says_that_it_cannot_wake_you(hands: Hands) -> None:
    hands.tap("Alarms not on")
    hands.page.reload()
    hands.page.locator(".wake").wait_for()
    hands.passes(0.01)
    assert "Sound is off. Touch here" in wake(hands.page)
    hands.tap("Begin")
    assert wake(hands.page).startswith("Alarms on")


def test_a_device_that_cannot_hold_its_screen_says_what_to_do(phone: Any) -> None:
    phone.add_init_script(NO_LOCK)
    hands = Hands.at(phone).open()
    hands.tap("Alarms not on")
    assert "This screen may go dark: set it to stay on" in wake(hands.page)
    assert "Alarms on" not in wake(hands.page)


def test_an_alarm_sounds_shakes_and_flashes_within_a_second(hands: Hands) -> None:
    hands.tap("Alarms not on")
    hands.page.evaluate(COUNTED)
    put_off(hands)
    hands.passes(1.9)
    assert hands.page.locator(".ring").count() == 0
    hands.passes(0.2)
    assert hands.page.evaluate("document.documentElement.className") == "ringing"
    assert hands.page.evaluate("window.tones") >= 3
    assert hands.page.evaluate("window.shaken") >= 1
    hands.hear()
    assert max(hands.lateness_ms) < 1000
    heard = hands.page.evaluate("window.tones")
    hands.passes(0.5)
    assert hands.page.evaluate("window.tones") == heard


def test_what_came_while_the_page_stood_still_comes_first_with_how_late(hands: Hands) -> None:
    hands.tap("Alarms not on")
    put_off(hands)
    hands.page.evaluate(HIDE, "hidden")
    # a frozen page runs nothing until it is seen again
    hands.jumps(9.0)
    hands.page.evaluate(HIDE, "visible")
    hands.passes(0.01)
    ring = hands.page.locator(".ring")
    assert "7 min late" in ring.inner_text()
    assert "missed: this screen was dark, or the deck was shut" in ring.inner_text()
    assert hands.page.locator("#deck").inner_text().startswith("7 min late")
    hands.hear()
    assert "7 min late" in hands.page.locator(".side").inner_text()


def test_a_clock_set_by_hand_moves_no_alarm_and_is_written_down(hands: Hands) -> None:
    hands.tap("Alarms not on")
    put_off(hands)
    # daylight saving done by hand: the wall clock goes on by an hour, the steady one does not
    hands.page.evaluate("() => { const real = Date.now; Date.now = () => real() + 3_600_000; }")
    hands.passes(0.1)
    # a mere comparison with the computer's clock has no reason and moves nothing
    told = [each for each in hands.events() if each["kind"] == "clock adjusted" and each["by_min"]]
    assert [(round(each["by_min"]), each.get("because", "clock set")) for each in told] == [
        (60, "clock set")
    ]
    assert hands.page.locator(".ring").count() == 0
    hands.passes(1.95)
    hands.hear()
    assert max(hands.lateness_ms) < 1000


def test_a_device_that_slept_catches_up(hands: Hands) -> None:
    hands.tap("Alarms not on")
    put_off(hands)
    hands.page.evaluate(HIDE, "hidden")
    hands.passes(0.01)
    # asleep, the steady clock stands still and the wall clock goes on
    hands.page.evaluate("() => { const real = Date.now; Date.now = () => real() + 600_000; }")
    hands.passes(0.01)
    hands.page.evaluate(HIDE, "visible")
    hands.passes(0.05)
    (told,) = [each for each in hands.events() if each["kind"] == "clock adjusted"]
    assert told["because"] == "device slept"
    assert "8 min late" in hands.page.locator(".ring").inner_text()


SET_ON = "() => { const real = Date.now; Date.now = () => real() + 3_600_000; }"


def test_a_clock_set_on_in_the_hot_part_is_no_interruption(hands: Hands) -> None:
    hands.tap("Alarms not on")
    hands.to_the_mash()
    hands.passes(0.2)
    hands.page.evaluate(SET_ON)
    hands.passes(0.1)
    assert "Nobody saw this deck" not in hands.words
    assert "Pump refused" in hands.words
    said = hands.page.locator(".kept").inner_text()
    assert "The clock of this device was changed by 60 min" in said


def unheld(phone: Any) -> Hands:
    """The wall's clock goes on by an hour on a device that cannot hold its screen on."""
    phone.add_init_script(NO_LOCK)
    hands = Hands.at(phone).open()
    hands.to_the_mash()
    hands.passes(0.2)
    hands.page.evaluate(SET_ON)
    hands.passes(0.1)
    return hands


def test_a_clock_that_may_have_been_set_is_asked_about(phone: Any) -> None:
    hands = unheld(phone)
    assert hands.words.startswith("The clock of this device changed.")
    assert "Nobody saw this deck" not in hands.words
    hands.tap("The clock was set")
    assert "Pump refused" in hands.words
    hands.passes(0.01)
    told = [each for each in hands.events() if each["kind"] == "clock adjusted" and each["by_min"]]
    slept = [each["by_min"] for each in told if each.get("because") == "device slept"]
    assert len(slept) == 2
    # it did not sleep: the minutes of the lot have not moved
    assert abs(sum(slept)) < 0.01


def test_a_device_that_was_asleep_leads_to_the_switches(phone: Any) -> None:
    hands = unheld(phone)
    hands.tap("It was asleep")
    assert hands.words.startswith("First: switch element and pump off at their switches.")
    assert "Nobody saw this deck for 60 min" in hands.words
