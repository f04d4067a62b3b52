"""From a number in the core unit of its kind to words, once, on the way out."""

import math

from wortline.errors import Unreadable
from wortline.units.kinds import KINDS
from wortline.units.typed import spelling

GLUE = "\u00a0"
"""Stands for a space at which no line may be broken, until the text is printed."""

# kind: ((from this size on, unit as printed, decimals), ...), metric and us; sizes in core units
_METRIC: dict[str, tuple[tuple[float, str, int], ...]] = {
    "volume": ((1.0, "L", 1), (0.0, "mL", 0)),
    "mass": ((1.0, "kg", 2), (0.0, "g", 0)),
    "temperature": ((0.0, "C", 1),),
    "temperature_difference": ((0.0, "K", 1),),
    "time": ((0.0, "min", 0),),
    "power": ((1000.0, "kW", 2), (0.0, "W", 0)),
    "energy": ((0.0, "kWh", 1),),
    "pressure": ((0.0, "kPa", 1),),
    "length": ((0.0, "cm", 1),),
    "elevation": ((0.0, "m", 0),),
    "area": ((0.0, "cm2", 0),),
    "flow": ((0.0, "L/min", 1),),
    "conductance": ((0.0, "W/K", 0),),
    "evaporation": ((0.0, "L/h", 1),),
    "volume_per_mass": ((0.0, "L/kg", 2),),
    "turning": ((0.0, "/min", 1),),
    "temperature_rate": ((0.0, "K/min", 1),),
    "content": ((0.0, "mg/kg", 1),),
    "concentration": ((0.0, "mg/L", 0),),
    "gravity": ((0.0, "", 3),),
    "gravity_difference": ((0.0, "", 3),),
    "colour": ((0.0, "EBC", 0),),
    "fraction": ((0.0, "%", 1),),
    "bitterness": ((0.0, "IBU", 0),),
    "factor": ((0.0, "", 2),),
    "ph": ((0.0, "", 2),),
}
_US: dict[str, tuple[tuple[float, str, int], ...]] = _METRIC | {
    "volume": ((0.473176473, "US gal", 2), (0.0, "US fl oz", 1)),
    "mass": ((0.45359237, "lb", 2), (0.0, "oz", 2)),
    "temperature": ((0.0, "F", 1),),
    "temperature_difference": ((0.0, "F", 1),),
    "pressure": ((0.0, "psi", 2),),
    "length": ((0.0, "in", 1),),
    "elevation": ((0.0, "ft", 0),),
    "area": ((0.0, "in2", 1),),
    "flow": ((0.0, "US gal/min", 2),),
    "evaporation": ((0.0, "US gal/h", 2),),
    "volume_per_mass": ((0.0, "US qt/lb", 2),),
    "temperature_rate": ((0.0, "F/min", 1),),
    "colour": ((0.0, "SRM", 0),),
}
SYSTEMS = {"metric": _METRIC, "us": _US}


def shown_in(value: float, kind: str, unit: str) -> float:
    """Return a core value as the number that stands before a given unit.

    Parameters
    ----------
    value : float
        What is to be said [core unit of the kind].
    kind
        A key of `KINDS`.
    unit
        Any unit of the kind, gallons in full (``US gal``).

    Returns
    -------
    float
        The number before the unit [that unit].

    Raises
    ------
    Unreadable
        If the kind has no such unit.
    """
    table = KINDS[kind]
    name = spelling(unit)
    found = table.units.get(name)
    if found is not None:
        return (value - found.shift) / found.factor
    if table.over and "/" in name:
        above, below, times = table.over
        first, _, second = name.partition("/")
        return value * shown_in(1.0, above, first) / shown_in(1.0, below, second) / times
    raise Unreadable(f"{table.noun} is not counted in `{unit}`")


def say(
    value: float,
    kind: str,
    system: str = "metric",
    digits: int | None = None,
    beside: float | None = None,
) -> str:
    """Return a core value as people read it: number, space, unit.

    Parameters
    ----------
    value : float
        What is to be said [core unit of the kind].
    kind
        A key of `KINDS`.
    system
        ``metric`` or ``us``.
    digits
        Decimals; those usual for the unit unless given.
    beside : float, optional
        A value it stands beside, whose unit and decimals it takes [core unit of the kind].

    Returns
    -------
    str
        Such as ``23.0 L`` or ``6.08 US gal``.
    """
    if not math.isfinite(value):
        return "unknown"
    rows = SYSTEMS[system][kind]
    sized = abs(value if beside is None else beside)
    unit, decimals = next(
        ((unit, decimals) for size, unit, decimals in rows if sized >= size),
        rows[-1][1:],
    )
    number = f"{shown_in(value, kind, unit):.{decimals if digits is None else digits}f}"
    if float(number) == 0.0:
        number = number.lstrip("-")
    return f"{number} {unit}".rstrip()


def glued(text: str) -> str:
    """The text on which no line is broken."""
    return text.replace(" ", GLUE)
