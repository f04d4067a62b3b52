"""A lot under US units: targets, keys and answers in gallons, pounds and degrees Fahrenheit; either
family of units may be typed, and what was typed stays as it was typed."""

import copy
import re
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from decks import Hands, begin_lot
from playwright.sync_api import expect
from served import Clock, Running

from wortline.store.memory import MemoryDocuments
from wortline.units import parse
from wortline.web.services import Services, services

GAL_L = 3.785411784
"""231 cubic inches (NIST Handbook 44, appendix C)."""
METRIC = re.compile(r"\d[ \u00a0](?:°?C|L|L/min|kg|mL|cm|mm|kPa|K)\b")
UNITS = """async (asked) => {
  const folder = document.querySelector("script[type=module]").src.replace(/deck.js$/, "");
  const {unitsOf} = await import(folder + "deck_numbers.js");
  const deck = {lot: {system: asked.system}, plato: {plato: [0, 1], sg: [1, 1]}};
  return asked.kinds.map((kind) => unitsOf(kind, deck).map((each) =>
    [kind, each.unit, each.to(3.5), each.from(each.to(3.5))]));
}"""


@pytest.fixture(scope="session")
def us_begun() -> Services:
    clock = Clock()
    given = services(MemoryDocuments(clock), clock)
    begin_lot(given.lots, given.documents, given.watch, "us")
    return given


@pytest.fixture
def deck(serve: Callable[..., Running], us_begun: Services) -> Running:
    """A server on which a lot under US units has begun."""
    return serve(services(us_begun.documents, Clock(), lots=copy.deepcopy(us_begun.lots)))


@pytest.fixture
def filled(hands: Hands) -> Hands:
    """Somebody who stands before the filling."""
    hands.skip_phase()
    hands.tap("Begin: Fill")
    return hands


def readings(hands: Hands) -> list[Any]:
    return [each for each in hands.events() if each["kind"] == "measured"]


def kept(hands: Hands) -> str:
    return str(hands.page.locator(".kept").inner_text())


def test_targets_are_said_and_readings_taken_in_us_units(filled: Hands) -> None:
    hands = filled
    assert "Fill 9.26 US gal cold (mark 12.2 in)" in hands.words
    hands.tap("Enter the reading")
    assert "Planned 9.26 US gal cold." in hands.words
    hands.key("9.3")
    assert hands.page.locator(".typed").inner_text() == "9.3 US gal"
    hands.tap("Keep")
    hands.tap("57 F")
    # what was read first counts, at 14 C as the plan has the water; the law is tested elsewhere
    assert "Kept: 9.3 US gal. At 68 F that is 9.31 US gal cold. Planned 9.26 US gal cold." in kept(
        hands
    )
    (read,) = readings(hands)
    assert read["typed"] == "9.3 US gal"
    assert read["value"] == pytest.approx(9.3 * GAL_L, rel=1e-12)
    assert (read["sample_c"], read["instrument"]) == (14, "mark")


def test_either_family_may_be_typed_and_is_kept_as_typed(filled: Hands) -> None:
    hands = filled
    hands.tap("Enter the reading")
    hands.read("35.2", unit="L", warm="Other")
    hands.read("57.2")
    (read,) = readings(hands)
    assert (read["typed"], read["value"]) == ("35.2 L", 35.2)
    # 57.2 F are 14 C exactly
    assert read["sample_c"] == pytest.approx(14.0, abs=1e-9)
    hands.tap("Done")
    hands.tap("Begin: Heat the water")
    hands.tap("Done")
    hands.tap("Enter the reading")
    assert "Planned 157.1 F." in hands.words
    hands.read("69.4", unit="C")
    hands.tap("Other")
    hands.tap("A reading")
    hands.tap("Strike water")
    hands.read("158")
    assert [(each["typed"], each["value"]) for each in readings(hands)[1:]] == [
        ("69.4 C", 69.4),
        ("158 F", pytest.approx(70.0)),
    ]


def test_what_cannot_be_is_said_in_us_units(filled: Hands) -> None:
    filled.tap("Enter the reading")
    filled.read("900")
    assert "It can be 0.00 US gal to 132.09 US gal." in filled.words
    assert readings(filled) == []


def test_a_correction_shows_both_as_they_were_typed(filled: Hands) -> None:
    hands = filled
    hands.tap("Enter the reading")
    hands.read("8.3", warm="57 F")
    hands.tap("Other")
    hands.tap("What is written")
    hands.tap("Correct: Water")
    assert "Written: 8.3 US gal at 57.2 F." in hands.words
    hands.read("35.2", unit="L", warm="57 F")
    row = hands.page.locator(".written > li").filter(has=hands.page.locator("s"))
    assert "Water: volume 35.2 L at 57.2 F" in row.inner_text()
    assert row.locator("s").inner_text() == "Water: volume 8.3 US gal at 57.2 F"


def test_nothing_on_the_deck_speaks_metric(filled: Hands) -> None:
    """Steps, line-ups, refusals, ways out and questions; what a person typed is apart."""
    hands = filled
    hands.tap("Other")
    hands.tap("A reading")
    hands.tap("Before the boil: volume")
    hands.read("7.4", warm="210 F")
    hands.tap("Other")
    hands.tap("A reading")
    hands.tap("Before the boil: gravity")
    hands.read("1.028", warm="122 F")
    assert "At 68 F that is" in kept(hands)
    for trouble in ("Gravity low", "Too few litres", "Something clogs"):
        hands.tap("Other")
        hands.tap("Something is off")
        hands.tap(trouble)
        hands.page.locator(".way").nth(2).wait_for()
        # first by this device's tables, then by the computer
        alone = hands.page.locator("#deck").inner_text()
        assert METRIC.findall(alone) == [], trouble
        expect(hands.page.locator("[aria-live]")).not_to_contain_text("Asking the computer")
        words = hands.page.locator("#deck").inner_text()
        assert METRIC.findall(words) == [], trouble
        assert "1.028 at 122 F is" in words
        # the number that was typed, not one rounded in litres
        assert "7.40 US gal at 210 F are" in words
        hands.tap("Back")
    for trouble, typed in (("Mash too cold or warm", "145"), ("Wort too warm", "85")):
        hands.tap("Other")
        hands.tap("Something is off")
        hands.tap(trouble)
        hands.read(typed)
        hands.page.locator(".way").nth(2).wait_for()
        # first by this device's tables, then by the computer
        alone = hands.page.locator("#deck").inner_text()
        assert METRIC.findall(alone) == [], trouble
        expect(hands.page.locator("[aria-live]")).not_to_contain_text("Asking the computer")
        words = hands.page.locator("#deck").inner_text()
        assert METRIC.findall(words) == [], trouble
        hands.tap("Back")


def strings(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        for each in value.values():
            yield from strings(each)
    elif isinstance(value, list):
        for each in value:
            yield from strings(each)
    elif isinstance(value, str):
        yield "\n".join(re.findall(r">([^<>]+)<", value)) if "<svg" in value else value


def test_what_a_deck_takes_along_speaks_no_metric(us_begun: Services) -> None:
    from wortline.app.deck import deck_values

    values = deck_values(us_begun.lots, us_begun.documents, 1)
    said = [each for each in strings(values) if METRIC.search(each)]
    assert said == []
    assert any("104 F is its limit" in each for each in values["pipes"]["sentences"])
    assert values["tables"]["hydrometer"]["above_c"].startswith("Above 140")


def test_every_unit_of_the_keys_is_the_unit_of_that_name(hands: Hands) -> None:
    kinds = ["volume", "temperature", "flow", "mass"]
    for system in ("us", "metric"):
        told = hands.page.evaluate(UNITS, {"system": system, "kinds": kinds})
        families = {kind: {row[1] for row in rows} for kind, rows in zip(kinds, told, strict=True)}
        assert families["volume"] == {"US gal", "L"}
        assert families["temperature"] == {"F", "C"}
        assert {"oz", "g"} <= families["mass"]
        for kind, unit, core, back in [row for rows in told for row in rows]:
            assert core == pytest.approx(parse(f"3.5 {unit}", kind), rel=1e-12), unit
            assert back == pytest.approx(3.5)
