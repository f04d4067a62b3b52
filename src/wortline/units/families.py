"""Which family of units a typed text speaks, and an amount in the words of another family."""

import math

from wortline.errors import UnitError
from wortline.units.kinds import KINDS
from wortline.units.said import say, shown_in
from wortline.units.typed import parse, units_in

# Units of the US family, as the table spells them; where a kind has none, both families share it.
_US_SAMPLES = {
    "volume": ("us gal", "us qt", "us pt", "us fl oz"),
    "mass": ("lb", "oz"),
    "temperature": ("f",),
    "temperature_difference": ("f",),
    "length": ("in", "ft"),
    "elevation": ("in", "ft"),
    "area": ("in2", "ft2"),
    "pressure": ("psi",),
    "colour": ("srm", "lovibond"),
}


def told_in(text: str, value: float, kind: str, system: str, unit: str = "") -> str:
    """Return a typed amount as people of a system read it: as typed wherever that is their family.

    Parameters
    ----------
    text : str
        As typed, such as ``22 g``.
    value : float
        What it means [core unit of the kind].
    kind
        A key of `KINDS`.
    system
        ``metric`` or ``us``.
    unit
        The unit to change it into; the usual one of its size unless given.

    Returns
    -------
    str
        The text itself, or such as ``0.78 oz``.
    """
    if _speaks(text, value, kind, system):
        return text
    if not unit:
        return _trimmed(say(value, kind, system))
    return _trimmed(f"{shown_in(value, kind, unit):.{_decimals(unit)}f} {unit}")


def _decimals(unit: str) -> int:
    return 2 if unit in ("oz", "lb", "kg", "L", "US gal") else 1


def _trimmed(said: str) -> str:
    """Return a number without the noughts behind its point; 0 has no sign."""
    number, space, unit = said.partition(" ")
    if "." in number:
        number = number.rstrip("0").rstrip(".")
    return f"{'0' if number == '-0' else number}{space}{unit}"


def _speaks(text: str, value: float, kind: str, system: str) -> bool:
    try:
        found = units_in(text, kind)
        # A gallon that the document calls imperial is no US one.
        same = math.isclose(parse(text, kind, "us"), value, rel_tol=1e-9, abs_tol=1e-12)
    except UnitError:
        return False
    return same and all(_of_system(unit, kind, system) for unit in found)


def _of_system(unit: str, kind: str, system: str) -> bool:
    over = KINDS[kind].over
    if over is not None and "/" in unit:
        above, _, below = unit.partition("/")
        return _of_system(above, over[0], system) and _of_system(below, over[1], system)
    samples = _US_SAMPLES.get(kind)
    if samples is None:
        return True
    table = KINDS[kind].units
    us = {table[each].factor for each in samples}
    is_us = unit in table and table[unit].factor in us
    return is_us == (system == "us") and not unit.startswith(("imp", "uk", "british", "english"))
