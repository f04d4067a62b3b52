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
    "m": ("length", "m"),
    "kg": ("mass", "kg"),
}
_AMOUNT = re.compile(
    r"(?<![\w.,-])([+-]?\d+(?:\.\d+)?)([ \u00a0])(°C|L/min|g/L|cm|mm|kg|C|K|L|m)(?![\w/°])"
)
HOPPED = "g/L"
OZ_GAL_PER_G_L = 0.001 / KINDS["mass"].units["oz"].factor * KINDS["volume"].units["us gal"].factor
"""Hops by volume: ounces in a US gallon that are one gram in a litre."""
FINE_M = 0.01


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
    if spelt == HOPPED:
        return f"{float(number) * OZ_GAL_PER_G_L:.2f}{space}oz/US{space}gal"
    kind, unit = _SPELT[spelt]
    known = KINDS[kind].units.get(unit)
    # A kind over two others, such as a flow, is said in its core unit.
    value = float(number) if known is None else known.core(float(number))
    # A temperature has as many decimals as it was said with; a gap of some mm needs more.
    digits = len(number.partition(".")[2]) if kind == "temperature" else None
    if spelt == "mm" and value < FINE_M:
        digits = 3
    said = say(value, kind, system, digits).replace(" ", space)
    return said.replace("F", "°F") if spelt == "°C" else said
