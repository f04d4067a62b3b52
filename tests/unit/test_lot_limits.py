"""The door for readings: the same limits here and on the deck."""

import re
from functools import partial
from pathlib import Path

import pytest

from wortline.lot.limits import LIMITS, cannot_be
from wortline.units import say

DECK = Path(__file__).parents[2] / "src/wortline/web/static/deck_numbers.js"


def test_the_deck_has_the_same_limits():
    table = re.search(r"BOUNDS = \{(.*?)\};", DECK.read_text(encoding="utf-8"), re.DOTALL)
    found = re.findall(r"(\w+): \[([-\d.]+), ([-\d.]+)\]", table[1])
    assert {name: (float(low), float(high)) for name, low, high in found} == LIMITS


@pytest.mark.parametrize("quantity", list(LIMITS))
def test_the_ends_can_be_and_a_little_beyond_cannot(quantity):
    low, high = LIMITS[quantity]
    assert cannot_be(quantity, low, say) == cannot_be(quantity, high, say) == ""
    for value in (low - 0.01, high + 0.01, float("nan"), float("inf")):
        assert f"{quantity} can be" in cannot_be(quantity, value, say)


def test_it_speaks_the_units_of_the_lot():
    told = cannot_be("temperature", 120.0, partial(say, system="us"))
    assert told == "`248.0 F` cannot be: temperature can be 23.0 F to 230.0 F"
