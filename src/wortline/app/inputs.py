"""The uncertain numbers of a plan by name, each with its spread, trust and origin."""

import re
from typing import get_args

from wortline.app.tables import Row, toml
from wortline.documents.quantity import Quantity
from wortline.plan.brew import Input, Trust
from wortline.units import KINDS

_NUMBER = re.compile(r"\.\d+(?=\.|$)")
# A constant lies evenly in its range, which is what it may well be, 5th to 95th of a hundred.
MIDDLE, RANGE_SPREAD = 0.5, 0.5 / 1.645


def pattern(name: str) -> str:
    """The name with its list numbers as `*`, as the tables have it."""
    return _NUMBER.sub(".*", name)


def _with_unit(value: float, unit: str) -> str:
    """A number as it is said: one without a unit stands alone."""
    return f"{value:g}" if unit in ("", "-") else f"{value:g} {unit}"


class Inputs:
    """Numbers gathered from documents and from typical values."""

    def __init__(self) -> None:
        self.found: dict[str, Input] = {}

    def typed(self, name: str, quantity: Quantity) -> str:
        """Take a number as a document has it; its spread as typed or as usual for the field."""
        spread = quantity.spread
        if spread is None:
            usual = toml("spreads.toml").get(pattern(name), {})
            spread = usual.get("absolute", 0.0) + abs(quantity.value) * usual.get("share", 0.0)
        self._add(
            name,
            quantity.value,
            spread,
            quantity.trust,
            quantity.text,
            "typed",
            quantity.low,
            quantity.high,
            KINDS[quantity.kind].core,
        )
        return name

    def usual(self, name: str, unit: str, low: float = 0.0, high: float = float("inf")) -> str:
        """Take the documented typical value for a number that no document gives."""
        row = toml("typical.toml")[pattern(name)]
        text = _with_unit(row["value"], unit)
        self._add(
            name,
            row["value"],
            row["spread"],
            row["trust"],
            text,
            row["source"],
            low,
            high,
            unit,
        )
        return name

    def either(
        self,
        name: str,
        quantity: Quantity | None,
        unit: str,
        low: float = 0.0,
        high: float = float("inf"),
    ) -> str:
        """Take the typed number, or the typical one where nothing was typed."""
        return self.usual(name, unit, low, high) if quantity is None else self.typed(name, quantity)

    def from_row(
        self, name: str, row: Row, column: str, spread: float, unit: str, high: float = 1.0
    ) -> str:
        """Take a typical value from a table of malts, hops or yeasts."""
        value = float(row[column])
        source = f"{row['source']} ({row['mark']})"
        text = f"{_with_unit(value, unit)}, typical of {row['name']}"
        self._add(name, value, spread, "typical", text, source, 0.0, high, unit)
        return name

    def given(
        self,
        name: str,
        value: float,
        spread: float,
        trust: str,
        text: str,
        unit: str,
        low: float = float("-inf"),
        high: float = float("inf"),
    ) -> str:
        """Take a number worked out from others."""
        self._add(name, value, spread, trust, text, text, low, high, unit)
        return name

    def taken(
        self,
        name: str,
        value: float,
        spread: float,
        trust: str,
        text: str,
        unit: str,
        source: str,
        high: float,
    ) -> str:
        """Take a number that a model brings with it, from 0 to a highest value."""
        self._add(name, value, spread, trust, text, source, 0.0, high, unit)
        return name

    def in_range(self, name: str, text: str, source: str) -> str:
        """Take a model's constant by where in its range it lies, 0-1."""
        return self.taken(
            name, MIDDLE, RANGE_SPREAD, "guess", text, "of its range", f"{text} ({source})", 1.0
        )

    def _add(
        self,
        name: str,
        value: float,
        spread: float,
        trust: str,
        text: str,
        source: str,
        low: float,
        high: float,
        unit: str,
    ) -> None:
        known: Trust = next(each for each in get_args(Trust) if each == trust)
        self.found[name] = Input(name, value, spread, low, high, known, text, unit, source)
