"""The table of units: for each kind of quantity its core unit and every spelling that is read.

Factors are exact by definition (international yard and pound 1959, US gallon of 231 cubic inches,
imperial gallon of 4.54609 L) except colour, whose definitions stand beside it.
"""

from dataclasses import dataclass, field
from types import MappingProxyType


@dataclass(frozen=True)
class Unit:
    """core = factor * x + shift; `imperial` is the factor if gallons are imperial."""

    factor: float
    shift: float = 0.0
    imperial: float | None = None

    def core(self, number: float) -> float:
        """Return a number of this unit in the core unit; 95 % is 0.95 to the last digit."""
        whole = round(1.0 / self.factor)
        if whole > 1 and abs(whole * self.factor - 1.0) < 1e-15:
            return number / whole + self.shift
        return number * self.factor + self.shift


@dataclass(frozen=True)
class Kind:
    """A kind of quantity: what it is called, its core unit, its units by spelling."""

    noun: str
    core: str
    example: str
    units: MappingProxyType[str, Unit]
    likely: tuple[str, ...] = ()
    bare: bool = False
    summed: bool = True
    over: tuple[str, str, float] | None = None
    questions: MappingProxyType[str, tuple[str, str]] = field(
        default_factory=lambda: MappingProxyType({})
    )


def _spelled(*rows: tuple[str, float]) -> dict[str, Unit]:
    return {name: Unit(factor) for names, factor in rows for name in names.split("|")}


US_GALLON_L = 3.785411784
IMPERIAL_GALLON_L = 4.54609
POUND_KG = 0.45359237

# name: (spellings, share of a US gallon, share of an imperial gallon)
_GALLON_FAMILY = {
    "gal": ("gal|gals|gallon|gallons", 1.0, 1.0),
    "qt": ("qt|qts|quart|quarts", 1 / 4, 1 / 4),
    "pt": ("pt|pts|pint|pints", 1 / 8, 1 / 8),
    "fl oz": (
        "fl oz|floz|fluid ounce|fluid ounces|fluid oz|fl ounce|fl ounces",
        1 / 128,
        1 / 160,
    ),
}
_US = ("us", "american")
_IMPERIAL = ("imp", "imperial", "uk", "british", "english")


def _gallons() -> dict[str, Unit]:
    found: dict[str, Unit] = {}
    for names, us_share, imperial_share in _GALLON_FAMILY.values():
        us = US_GALLON_L * us_share
        imperial = IMPERIAL_GALLON_L * imperial_share
        for name in names.split("|"):
            found[name] = Unit(us, imperial=imperial)
            for says, factor in ((_US, us), (_IMPERIAL, imperial)):
                for word in says:
                    found[f"{word} {name}"] = found[f"{name} {word}"] = Unit(factor)
    return found


_VOLUME = _gallons() | _spelled(
    ("l|ltr|ltrs|lt|liter|liters|litre|litres", 1.0),
    ("ml|milliliter|milliliters|millilitre|millilitres|cc|cm3", 1e-3),
    ("cl|centiliter|centiliters|centilitre|centilitres", 1e-2),
    ("dl|deciliter|deciliters|decilitre|decilitres", 1e-1),
    ("hl|hectoliter|hectoliters|hectolitre|hectolitres", 100.0),
    ("m3", 1000.0),
)
_MASS = _spelled(
    ("kg|kgs|kilo|kilos|kilogram|kilograms|kilogramme|kilogrammes", 1.0),
    ("g|gm|gms|gram|grams|gramme|grammes", 1e-3),
    ("mg|milligram|milligrams|milligramme|milligrammes", 1e-6),
    ("ug|μg|microgram|micrograms|mcg", 1e-9),
    ("lb|lbs|pound|pounds", POUND_KG),
    ("oz|ozs|ounce|ounces", POUND_KG / 16),
)
_TIME = _spelled(
    ("s|sec|secs|second|seconds", 1 / 60),
    ("min|mins|minute|minutes", 1.0),
    ("h|hr|hrs|hour|hours", 60.0),
    ("d|day|days", 1440.0),
    ("wk|wks|week|weeks", 10080.0),
    ("mo|month|months", 1440.0 * 365.25 / 12),
    ("yr|yrs|year|years", 1440.0 * 365.25),
)
_LENGTH = _spelled(
    ("mm|millimeter|millimeters|millimetre|millimetres", 1e-3),
    ("cm|centimeter|centimeters|centimetre|centimetres", 1e-2),
    ("m|meter|meters|metre|metres", 1.0),
    ("km|kilometer|kilometers|kilometre|kilometres", 1000.0),
    ('in|inch|inches|"', 0.0254),
    ("ft|foot|feet|'", 0.3048),
)
_AREA = _spelled(
    ("mm2|sq mm", 1e-6),
    ("cm2|sq cm", 1e-4),
    ("m2|sq m", 1.0),
    ("in2|sq in|sq inch|square inch|square inches", 0.0254**2),
    ("ft2|sq ft|square foot|square feet", 0.3048**2),
)
_TURNING = _spelled(
    ("/min|/minute|turn/min|turns/min|turn/minute|turns/minute|rev/min|revs/min|rpm", 1.0),
    ("/s|/sec|/second|turn/s|turns/s|turns/second|rev/s", 60.0),
)
_CELSIUS = "c|degc|celsius|degcelsius|centigrade"
_FAHRENHEIT = "f|degf|fahrenheit|degfahrenheit"
_KELVIN = "k|degk|kelvin|kelvins"
_POINT = (
    _spelled((_CELSIUS, 1.0))
    | {name: Unit(1.0, -273.15) for name in _KELVIN.split("|")}
    | {name: Unit(5 / 9, -160 / 9) for name in _FAHRENHEIT.split("|")}
)
_DIFFERENCE = _spelled((_CELSIUS, 1.0), (_KELVIN, 1.0), (_FAHRENHEIT, 5 / 9))
_POWER = _spelled(
    ("w|watt|watts", 1.0),
    ("kw|kilowatt|kilowatts", 1000.0),
)
_ENERGY = _spelled(("kwh", 1.0), ("wh", 1e-3), ("kj", 1 / 3600), ("j", 1 / 3.6e6))
_PRESSURE = _spelled(
    ("kpa|kilopascal|kilopascals", 1.0),
    ("pa|pascal|pascals", 1e-3),
    ("hpa|mbar|mb|millibar|millibars", 0.1),
    ("bar|bars", 100.0),
    ("psi|lbf/in2", POUND_KG * 9.80665 / 0.0254**2 / 1000),
    ("atm|atmosphere|atmospheres", 101.325),
)
# SRM is 12.7 and EBC 25 times the absorbance of 1 cm at 430 nm (ASBC Beer-10, EBC 9.6);
# a malt's degrees Lovibond follow SRM = 1.3546 L - 0.76 (ASBC, from memory).
_EBC_OF_SRM = 25 / 12.7
_COLOUR = _spelled(("ebc", 1.0), ("srm", _EBC_OF_SRM)) | {
    name: Unit(1.3546 * _EBC_OF_SRM, -0.76 * _EBC_OF_SRM)
    for name in ("lovibond", "deglovibond", "degl", "lov")
}
_FRACTION = _spelled(("%|percent|per cent|pct", 0.01))
_IBU = _spelled(("ibu|ibus|ebu|bu|", 1.0))
PLATO = frozenset({"p", "degp", "plato", "degplato", "bx", "degbx", "brix", "degbrix"})
_GRAVITY = {"": Unit(1.0), "sg": Unit(1.0), "og": Unit(1.0)} | {
    name: Unit(1e-3, 1.0) for name in ("points", "point", "pts", "gp", "gu")
}
_GRAVITY_DIFFERENCE = {"": Unit(1.0), "sg": Unit(1.0)} | {
    name: Unit(1e-3) for name in ("points", "point", "pts", "gp", "gu")
}


def _kind(noun: str, core: str, example: str, units: dict[str, Unit], *likely: str) -> Kind:
    return Kind(noun, core, example, MappingProxyType(units), likely)


def _rate(noun: str, core: str, example: str, over: tuple[str, str, float], *likely: str) -> Kind:
    return Kind(noun, core, example, MappingProxyType({}), likely, over=over)


_OUNCE = MappingProxyType(dict.fromkeys(("oz", "ozs", "ounce", "ounces"), ("fl oz", "oz by mass")))
_DEGREE = MappingProxyType(dict.fromkeys(("deg", "degree", "degrees"), ("C", "F")))
_NONE: dict[str, Unit] = {"": Unit(1.0)}

KINDS: MappingProxyType[str, Kind] = MappingProxyType(
    {
        "volume": Kind(
            "a volume", "L", "23 L", MappingProxyType(_VOLUME), ("L", "US gal"), questions=_OUNCE
        ),
        "mass": _kind("a mass", "kg", "4.8 kg", _MASS, "kg", "g", "lb", "oz"),
        "temperature": Kind(
            "a temperature",
            "C",
            "66 C",
            MappingProxyType(_POINT),
            ("C", "F"),
            summed=False,
            questions=_DEGREE,
        ),
        "temperature_difference": Kind(
            "a temperature difference",
            "K",
            "1.5 K",
            MappingProxyType(_DIFFERENCE),
            ("K", "F"),
            questions=_DEGREE,
        ),
        "time": Kind(
            "a time",
            "min",
            "60 min",
            MappingProxyType(_TIME),
            ("min", "h"),
            questions=MappingProxyType({"m": ("min", "months")}),
        ),
        "power": _kind("a power", "W", "3.0 kW", _POWER, "W", "kW"),
        "energy": _kind("an energy", "kWh", "5 kWh", _ENERGY, "kWh", "kJ"),
        "pressure": _kind("a pressure", "kPa", "101.3 kPa", _PRESSURE, "kPa", "bar", "psi"),
        "length": _kind("a length", "m", "38 cm", _LENGTH, "cm", "in"),
        "elevation": _kind("a height above the sea", "m", "220 m", _LENGTH, "m", "ft"),
        "area": _kind("an area", "m2", "20 cm2", _AREA, "cm2", "in2"),
        "flow": _rate("a flow", "L/min", "8 L/min", ("volume", "time", 1.0), "L/min", "US gal/min"),
        "conductance": _rate(
            "a conductance",
            "W/K",
            "400 W/K",
            ("power", "temperature_difference", 1.0),
            "W/K",
        ),
        "evaporation": _rate(
            "a boil-off rate", "L/h", "2.9 L/h", ("volume", "time", 60.0), "L/h", "US gal/h"
        ),
        "volume_per_mass": _rate(
            "a volume for each mass", "L/kg", "0.9 L/kg", ("volume", "mass", 1.0), "L/kg", "qt/lb"
        ),
        "turning": _kind("a rate of turning", "/min", "20 /min", _TURNING, "/min"),
        "temperature_rate": _rate(
            "a rate of cooling",
            "K/min",
            "2.5 K/min",
            ("temperature_difference", "time", 1.0),
            "K/min",
            "F/min",
        ),
        "content": Kind(
            "a content by mass",
            "mg/kg",
            "5 mg/kg",
            MappingProxyType({"ppm": Unit(1.0)}),
            ("mg/kg", "ug/kg"),
            over=("mass", "mass", 1e6),
        ),
        "concentration": Kind(
            "a concentration",
            "mg/L",
            "50 mg/L",
            MappingProxyType({"ppm": Unit(1.0)}),
            ("mg/L", "g/L"),
            over=("mass", "volume", 1e6),
        ),
        "gravity": Kind(
            "a gravity",
            "SG",
            "1.050",
            MappingProxyType(_GRAVITY),
            bare=True,
            summed=False,
        ),
        "gravity_difference": Kind(
            "a difference of gravity",
            "SG",
            "2 points",
            MappingProxyType(_GRAVITY_DIFFERENCE),
            bare=True,
        ),
        "colour": Kind(
            "a colour",
            "EBC",
            "6 EBC",
            MappingProxyType(_COLOUR),
            ("EBC", "SRM", "lovibond"),
            summed=False,
            questions=MappingProxyType(dict.fromkeys(("l", "liter", "litre"), ("lovibond", "EBC"))),
        ),
        "fraction": _kind("a share", "-", "76 %", _FRACTION, "%"),
        "bitterness": Kind("a bitterness", "IBU", "32", MappingProxyType(_IBU), bare=True),
        "factor": Kind("a plain number", "-", "1.0", MappingProxyType(_NONE), bare=True),
        "ph": Kind("a pH", "-", "5.4", MappingProxyType(_NONE | {"ph": Unit(1.0)}), bare=True),
    }
)
