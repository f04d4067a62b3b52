"""Sentences that were made with metric amounts in them, told again in US units."""

import re

from wortline.units.kinds import KINDS
from wortline.units.said import say

# how a sentence spells a unit: the kind it belongs to, and the unit by which that kind is read
_SPELT = {
    "°C": ("temperature", "C"),
    "C": ("temperature", "C"),
    "K": ("temperature_difference", "K"),
    "L/min": ("flow", "L/min"),
    "L": ("volume", "L"),
    "cm": ("length", "cm"),
    "mm": ("length", "mm"),
    "m/s": ("", ""),
    "m": ("length", "m"),
    "kg": ("mass", "kg"),
}
_AMOUNT = re.compile(
    r"(?<![\w.,-])([+-]?\d+(?:\.\d+)?)([ \u00a0])(°C|L/min|m/s|cm|mm|kg|C|K|L|m)(?![\w/°])"
)


def retold(text: str, system: str) -> str:
    """Return a sentence with its metric amounts in the units of a system.

    Parameters
    ----------
    text : str
        A sentence of Wortline's own, such as ``Wort of 98 C runs into fermenter``.
    system : str
        ``metric`` returns it as it is; ``us`` changes every amount with a unit.

    Returns
    -------
    str
        The sentence; a difference of temperature stays one.
    """
    return text if system == "metric" else _AMOUNT.sub(lambda found: _said(found, system), text)


def _said(found: re.Match[str], system: str) -> str:
    number, space, spelt = found.groups()
    kind, unit = _SPELT[spelt]
    if not kind:
        return found[0]
    given = KINDS[kind].units[unit] if unit in KINDS[kind].units else None
    value = float(number) if given is None else given.core(float(number))
    # No more decimals than were said, but for a length in inches or a volume in gallons.
    digits = len(number.partition(".")[2]) if kind in ("temperature",) else None
    said = say(value, kind, system, digits).replace(" ", space)
    return said.replace("F", "°F") if spelt == "°C" else said


__all__ = ["retold"]
