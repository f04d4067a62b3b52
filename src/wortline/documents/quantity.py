"""A quantity of a document: its value, how sure it is, and the text it was typed as."""

import difflib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal

from pydantic import GetCoreSchemaHandler, ValidationInfo
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from wortline.errors import UnitError
from wortline.units import KINDS, parse, say, short

Trust = Literal["measured", "typical", "guess", "typed"]
TRUSTS: tuple[Trust, ...] = ("measured", "typical", "guess")


@dataclass(frozen=True)
class Quantity:
    """A value in the core unit of its kind, with its spread, trust and limits.

    `spread` is one standard deviation in the core unit (of a temperature or gravity: a
    difference), or None where none was typed; a draw is cut at `low` and `high`.
    """

    value: float
    kind: str
    spread: float | None = None
    trust: Trust = "typed"
    text: str = ""
    low: float = float("-inf")
    high: float = float("inf")

    def __float__(self) -> float:
        """Return the value in the core unit."""
        return self.value


@dataclass(frozen=True)
class Fault:
    """What is wrong with one value, before it is known where in the document it stands."""

    text: str
    value: str = ""
    allowed: str = ""
    nearest: str = ""
    sub: tuple[str | int, ...] = ()


def refuse(*faults: Fault) -> PydanticCustomError:
    """Return the error by which a reader of one field hands its faults to pydantic."""
    return PydanticCustomError("wortline", "refused", {"faults": faults})


def typed_as(value: object) -> str:
    """Return a part of a document as one short line."""
    if isinstance(value, Mapping):
        inside = ", ".join(f"{key}: {typed_as(part)}" for key, part in list(value.items())[:5])
        return short("{" + inside + "}")
    if isinstance(value, (list, tuple)):
        return short("[" + ", ".join(typed_as(part) for part in value[:5]) + "]")
    return short(str(value))


def nearest(word: str, known: tuple[str, ...]) -> str:
    """Return the known word that looks most like a given one, or nothing."""
    found = difflib.get_close_matches(word.lower(), known, n=1, cutoff=0.6)
    return found[0] if found else ""


@dataclass(frozen=True)
class Measure:
    """The kind and the limits of a field, declared once beside it.

    `low` and `high` are in the core unit of the kind; `low_open` excludes the low limit itself.
    """

    kind: str
    low: float
    high: float
    low_open: bool = False
    high_open: bool = False
    example: str = ""

    @property
    def allowed(self) -> str:
        """Say what may stand here."""
        noun = KINDS[self.kind].noun
        first = ("above " if self.low_open else "from ") + self._said(self.low)
        last = ("below " if self.high_open else "to ") + self._said(self.high)
        return f"{noun} {first} {last}, such as `{self.example or KINDS[self.kind].example}`"

    def _said(self, value: float) -> str:
        if self.kind in {"gravity", "gravity_difference"}:
            return f"{value:.3f}"
        if self.kind == "fraction":
            return f"{value * 100:g} %"
        if self.kind == "time" and value >= 2880.0:
            return f"{value / 1440.0:g} d"
        core = KINDS[self.kind].core
        if self.kind == "mass" and 0 < value < 1:
            return say(value, "mass")
        return f"{value:g}" if core == "-" else f"{value:g} {core}"

    def read(self, given: object, context: Mapping[str, Any] | None = None) -> Quantity:
        """Return the quantity a field holds; refuse what cannot be one."""
        gallons = (context or {}).get("gallons")
        british = bool((context or {}).get("british"))
        if isinstance(given, Quantity):
            return replace(given, low=self._least(given.value), high=self.high)
        if isinstance(given, Mapping):
            return self._from_mapping(given, gallons, british)
        if not isinstance(given, str):
            raise refuse(Fault(f"needs one value, {self.allowed}", typed_as(given), self.allowed))
        fault, value = self._value(given, gallons, british)
        if fault is not None:
            raise refuse(fault)
        return Quantity(value, self.kind, None, "typed", given, self._least(value), self.high)

    def _least(self, value: float) -> float:
        """Return where a draw is cut below; a limit that is itself excluded is never drawn."""
        return self.low + 0.01 * (value - self.low) if self.low_open else self.low

    def _value(
        self, given: object, gallons: str | None, british: bool
    ) -> tuple[Fault | None, float]:
        if not isinstance(given, str):
            text = f"needs one value, {self.allowed}"
            return Fault(text, typed_as(given), self.allowed), 0.0
        try:
            value = parse(given, self.kind, gallons, british)
        except UnitError as error:
            return Fault(str(error), short(given), self.allowed), 0.0
        below = value < self.low or (self.low_open and value == self.low)
        above = value > self.high or (self.high_open and value == self.high)
        if below or above:
            hint = self._gravity_hint(value)
            text = f"`{short(given)}` is outside what is possible: {self.allowed}{hint}"
            return Fault(text, short(given), self.allowed), value
        return None, value

    def _gravity_hint(self, value: float) -> str:
        if self.kind != "gravity":
            return ""
        if 1000.0 < value <= 1200.0:
            return f"; did you mean `{value / 1000:.3f}`?"
        if 10.0 <= value <= 200.0:
            meant = f"`{1 + value / 1000:.3f}` (`{value:g} points`)"
            return (
                f"; did you mean {meant} or `{value:g} degP`?"
                if value <= 40
                else (f"; did you mean {meant}?")
            )
        return ""

    def _from_mapping(
        self, given: Mapping[str, Any], gallons: str | None, british: bool
    ) -> Quantity:
        faults = [
            Fault(
                f"`{short(key)}` is not known here; a quantity has value, spread and from",
                typed_as(given[key]),
                "value, spread, from",
                nearest(key, ("value", "spread", "from")),
                (key,),
            )
            for key in given
            if key not in {"value", "spread", "from"}
        ]
        value, spread, trust = 0.0, None, given.get("from", "typed")
        text = str(given.get("value", ""))
        if "value" not in given:
            faults.append(
                Fault("`value` is missing", typed_as(given), f"value: {KINDS[self.kind].example}")
            )
        else:
            fault, value = self._value(given["value"], gallons, british)
            if fault is not None:
                faults.append(replace(fault, sub=("value",)))
        if "spread" in given:
            fault, spread = self._spread(given["spread"], value, gallons, british)
            if fault is not None:
                faults.append(replace(fault, sub=("spread",)))
        if "from" in given and trust not in TRUSTS:
            words = ", ".join(TRUSTS)
            faults.append(
                Fault(
                    f"`{typed_as(trust)}` is not one of {words}",
                    typed_as(trust),
                    words,
                    nearest(str(trust), TRUSTS),
                    ("from",),
                )
            )
        if faults:
            raise refuse(*faults)
        return Quantity(value, self.kind, spread, trust, text, self._least(value), self.high)

    def _spread(
        self, given: object, value: float, gallons: str | None, british: bool
    ) -> tuple[Fault | None, float]:
        kind = {
            "temperature": "temperature_difference",
            "gravity": "gravity_difference",
        }.get(self.kind, self.kind)
        allowed = f"one standard deviation, {KINDS[kind].noun} or %, not below 0"
        if not isinstance(given, str):
            return Fault(f"needs {allowed}", typed_as(given), allowed), 0.0
        relative = self.kind != "fraction" and given.rstrip().endswith("%")
        if self.kind == "temperature" and relative:
            text = "a share of a temperature has no meaning; write degrees, such as `1 K`"
            return Fault(text, short(given), allowed), 0.0
        try:
            spread = parse(given, "fraction" if relative else kind, gallons, british)
        except UnitError as error:
            return Fault(str(error), short(given), allowed), 0.0
        if spread < 0.0:
            return Fault(f"`{short(given)}` is below 0", short(given), allowed), 0.0
        spread = spread * abs(value) if relative else spread
        if spread > self.high - self.low:
            text = f"`{short(given)}` is wider than all that is possible: {self.allowed}"
            return Fault(text, short(given), allowed), 0.0
        return None, spread

    def __get_pydantic_core_schema__(
        self, source: object, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        """Let pydantic read the field through `read`."""

        def through(given: object, info: ValidationInfo) -> Quantity:
            return self.read(given, info.context)

        return core_schema.with_info_plain_validator_function(through)
