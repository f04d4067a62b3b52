"""Oracle: every spelling of every unit against `pint`, a general library of units."""

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wortline.units import KINDS, parse, shown_in

UREG = pint.UnitRegistry()

GALLONS = {
    "gallon": "gal|gals|gallon|gallons",
    "quart": "qt|qts|quart|quarts",
    "pint": "pt|pts|pint|pints",
    "fluid_ounce": "fl oz|floz|fluid ounce|fluid ounces|fluid oz|fl ounce|fl ounces",
}
PLAIN = {
    "volume": {
        "liter": "l|ltr|ltrs|lt|liter|liters|litre|litres",
        "milliliter": "ml|milliliter|milliliters|millilitre|millilitres|cc|cm3",
        "centiliter": "cl|centiliter|centiliters|centilitre|centilitres",
        "deciliter": "dl|deciliter|deciliters|decilitre|decilitres",
        "hectoliter": "hl|hectoliter|hectoliters|hectolitre|hectolitres",
        "meter**3": "m3",
    },
    "mass": {
        "kilogram": "kg|kgs|kilo|kilos|kilogram|kilograms|kilogramme|kilogrammes",
        "gram": "g|gm|gms|gram|grams|gramme|grammes",
        "milligram": "mg|milligram|milligrams|milligramme|milligrammes",
        "microgram": "ug|μg|microgram|micrograms|mcg",
        "pound": "lb|lbs|pound|pounds",
        "ounce": "oz|ozs|ounce|ounces",
    },
    "time": {
        "second": "s|sec|secs|second|seconds",
        "minute": "min|mins|minute|minutes",
        "hour": "h|hr|hrs|hour|hours",
        "day": "d|day|days",
        "week": "wk|wks|week|weeks",
        "month": "mo|month|months",
        "year": "yr|yrs|year|years",
    },
    "length": {
        "millimeter": "mm|millimeter|millimeters|millimetre|millimetres",
        "centimeter": "cm|centimeter|centimeters|centimetre|centimetres",
        "meter": "m|meter|meters|metre|metres",
        "kilometer": "km|kilometer|kilometers|kilometre|kilometres",
        "inch": 'in|inch|inches|"',
        "foot": "ft|foot|feet|'",
    },
    "area": {
        "millimeter**2": "mm2|sq mm",
        "centimeter**2": "cm2|sq cm",
        "meter**2": "m2|sq m",
        "inch**2": "in2|sq in|sq inch|square inch|square inches",
        "foot**2": "ft2|sq ft|square foot|square feet",
    },
    "temperature": {
        "degC": "c|degc|celsius|degcelsius|centigrade",
        "degF": "f|degf|fahrenheit|degfahrenheit",
        "kelvin": "k|degk|kelvin|kelvins",
    },
    "temperature_difference": {
        "delta_degC": "c|degc|celsius|degcelsius|centigrade",
        "delta_degF": "f|degf|fahrenheit|degfahrenheit",
        "kelvin": "k|degk|kelvin|kelvins",
    },
    "power": {"watt": "w|watt|watts", "kilowatt": "kw|kilowatt|kilowatts"},
    "energy": {
        "kilowatt_hour": "kwh",
        "watt_hour": "wh",
        "kilojoule": "kj",
        "joule": "j",
    },
    "pressure": {
        "kilopascal": "kpa|kilopascal|kilopascals",
        "pascal": "pa|pascal|pascals",
        "hectopascal": "hpa|mbar|mb|millibar|millibars",
        "bar": "bar|bars",
        "psi": "psi|lbf/in2",
        "atm": "atm|atmosphere|atmospheres",
    },
    "turning": {
        "revolution/minute": (
            "/min|/minute|turn/min|turns/min|turn/minute|turns/minute|rev/min|revs/min|rpm"
        ),
        "revolution/second": "/s|/sec|/second|turn/s|turns/s|turns/second|rev/s",
    },
    "fraction": {"percent": "%|percent|per cent|pct"},
}
PLAIN["elevation"] = PLAIN["length"]
CORE = {
    "volume": "liter",
    "mass": "kilogram",
    "time": "minute",
    "length": "meter",
    "elevation": "meter",
    "area": "meter**2",
    "temperature": "degC",
    "temperature_difference": "delta_degC",
    "power": "watt",
    "energy": "kilowatt_hour",
    "pressure": "kilopascal",
    "turning": "revolution/minute",
    "fraction": "dimensionless",
}
RATES = {
    "flow": ("volume", "time", "liter/minute"),
    "conductance": ("power", "temperature_difference", "watt/delta_degC"),
    "evaporation": ("volume", "time", "liter/hour"),
    "volume_per_mass": ("volume", "mass", "liter/kilogram"),
    "temperature_rate": ("temperature_difference", "time", "delta_degC/minute"),
    "content": ("mass", "mass", "milligram/kilogram"),
    "concentration": ("mass", "volume", "milligram/liter"),
}
# no quantity of general physics: scales of the trade, and plain numbers
OWN = {"gravity", "gravity_difference", "colour", "bitterness", "factor", "ph"}


def spellings(kind):
    found = {name: unit for unit, names in PLAIN[kind].items() for name in names.split("|")}
    if kind == "volume":
        for unit, names in GALLONS.items():
            for name in names.split("|"):
                found[name] = unit
                for word in ("us", "american"):
                    found[f"{word} {name}"] = found[f"{name} {word}"] = unit
                for word in ("imp", "imperial", "uk", "british", "english"):
                    found[f"{word} {name}"] = found[f"{name} {word}"] = f"imperial_{unit}"
    return found


SPELLINGS = {kind: spellings(kind) for kind in PLAIN}
ALL = [(kind, name, unit) for kind, names in SPELLINGS.items() for name, unit in names.items()]


def test_every_kind_and_every_spelling_is_compared():
    assert set(KINDS) == set(PLAIN) | set(RATES) | OWN
    for kind, names in SPELLINGS.items():
        assert set(names) == set(KINDS[kind].units)


@pytest.mark.parametrize(("kind", "name", "unit"), ALL)
def test_a_spelling_has_the_size_pint_gives_it(kind, name, unit):
    for number in (0.0, 1.0, 37.5, 1234.5):
        want = UREG.Quantity(number, unit).to(CORE[kind]).magnitude
        assert parse(f"{number} {name}", kind) == pytest.approx(want, rel=1e-12, abs=1e-12)


@pytest.mark.parametrize(("kind", "name", "unit"), ALL)
def test_a_core_value_is_shown_as_pint_shows_it(kind, name, unit):
    want = UREG.Quantity(12.5, CORE[kind]).to(unit).magnitude
    assert shown_in(12.5, kind, name) == pytest.approx(want, rel=1e-12)


@pytest.mark.parametrize("kind", RATES)
@settings(max_examples=60, derandomize=True)
@given(data=st.data(), number=st.floats(0.001, 1e4))
def test_a_rate_of_any_two_units_has_the_size_pint_gives_it(kind, data, number):
    above, below, core = RATES[kind]
    top = data.draw(st.sampled_from([n for n in sorted(SPELLINGS[above]) if n.isalpha()]))
    bottom = data.draw(st.sampled_from([n for n in sorted(SPELLINGS[below]) if n.isalpha()]))
    unit = f"{SPELLINGS[above][top]} / ({SPELLINGS[below][bottom]})"
    want = UREG.Quantity(number, unit).to(core).magnitude
    sign = data.draw(st.sampled_from(["/", " / ", " per "]))
    assert parse(f"{number!r} {top}{sign}{bottom}", kind) == pytest.approx(want, rel=1e-12)
    assert shown_in(want, kind, f"{top}/{bottom}") == pytest.approx(number, rel=1e-12)


@settings(max_examples=100, derandomize=True)
@given(number=st.floats(-200, 400))
def test_points_and_differences_of_temperature_are_different_conversions(number):
    point = UREG.Quantity(number, "degF").to("degC").magnitude
    step = UREG.Quantity(number, "delta_degF").to("delta_degC").magnitude
    assert parse(f"{number!r} F", "temperature") == pytest.approx(point, rel=1e-12, abs=1e-12)
    found = parse(f"{number!r} F", "temperature_difference")
    assert found == pytest.approx(step, rel=1e-12, abs=1e-12)
