"""Sentences with metric amounts, told in US units."""

import pytest

from wortline.units import retold, told_in


@pytest.mark.parametrize(
    ("said", "told"),
    [
        # 9/5 F for each C and 32 F at 0 C; a difference has no 32 (definition of the scale)
        ("Wort of 98 C runs into fermenter; 40 C is its limit.",
         "Wort of 208 F runs into fermenter; 104 F is its limit."),
        ("wort at 98\u00a0°C", "wort at 208\u00a0°F"),
        ("it warms them by 0.5 K.", "it warms them by 0.9 F."),
        # 1 in is 2.54 cm (international inch, 1959)
        ("level of 25.4 cm, hose, 1.27\u00a0m", "level of 10.0 in, hose, 50.0\u00a0in"),
        ("a gap of 12.7 mm", "a gap of 0.5 in"),
        # 1 US gal is 3.785411784 L, 128 US fl oz
        ("slow to 15.14 L/min", "slow to 4.00 US gal/min"),
        ("holds 0.12\u00a0L wort", "holds 4.1\u00a0US\u00a0fl\u00a0oz wort"),
        ("7.57 L hot", "2.00 US gal hot"),
        # of 1 mm an inch is 25.4: a gap needs its thousandths
        ("The narrowest place is 2.0 mm.", "The narrowest place is 0.079 in."),
        # 28.349523 g in an ounce, 3.785411784 L in a US gal: 1 g/L is 0.13353 oz/US gal
        ("3.8 g/L of hops, 10.0 g/L", "0.51 oz/US gal of hops, 1.34 oz/US gal"),
        # 1 lb is 0.45359237 kg (international pound, 1959)
        ("0.907 kg of ice", "2.00 lb of ice"),
    ],
)  # fmt: skip
def test_amounts_are_told_in_us_units(said: str, told: str) -> None:
    assert retold(said, "us") == told
    assert retold(said, "metric") == said


@pytest.mark.parametrize(
    "said",
    ["V1.5 Cold", "a jet of 3.6 m/s", "part P-5 C", "5 Litres", "step 3 of 9", "2 kgs", "2 °Cx"],
)
def test_what_is_no_amount_stays(said: str) -> None:
    assert retold(said, "us") == said


@pytest.mark.parametrize(
    ("typed", "core", "kind", "unit", "us", "metric"),
    [
        # An ounce is 28.349523125 g (international pound, 1959): 22 g are 0.7760 oz.
        ("22 g", 0.022, "mass", {"us": "oz", "metric": "g"}, "0.78 oz", "22 g"),
        ("1 oz", 0.028349523125, "mass", {"us": "oz", "metric": "g"}, "1 oz", "28.3 g"),
        # 65 x 9 / 5 + 32 = 149 (definition of the scale)
        ("65 C", 65.0, "temperature", {"us": "F", "metric": "C"}, "149 F", "65 C"),
        ("0 F", -160 / 9, "temperature", {"us": "F", "metric": "C"}, "0 F", "-17.8 C"),
        # A US gallon is 231 cubic inches, 3.785411784 L; the imperial one is 4.54609 L.
        ("20.82 L", 20.82, "volume", {"us": "US gal", "metric": "L"}, "5.5 US gal", "20.82 L"),
        ("5 gal", 5 * 4.54609, "volume", {"us": "US gal", "metric": "L"}, "6 US gal", "22.73 L"),
        ("5 imp gal", 5 * 4.54609, "volume", {"us": "US gal", "metric": "L"}, "6 US gal",
         "22.73 L"),
        ("5 US gal", 5 * 3.785411784, "volume", {"us": "US gal", "metric": "L"}, "5 US gal",
         "18.93 L"),
        # Two families in one line are neither: 1 oz + 20 g = 48.35 g = 1.7055 oz.
        ("1 oz + 20 g", 0.048349523125, "mass", {"us": "oz", "metric": "g"}, "1.71 oz", "48.3 g"),
        ("1 h", 60.0, "time", {"us": "min", "metric": "min"}, "1 h", "1 h"),
        # A difference: 2.5 K are 4.5 F.
        ("2.5 K/min", 2.5, "temperature_rate", {"us": "", "metric": ""}, "4.5 F/min",
         "2.5 K/min"),
        ("4.5 F/min", 2.5, "temperature_rate", {"us": "", "metric": ""}, "4.5 F/min",
         "2.5 K/min"),
    ],
)  # fmt: skip
def test_a_typed_amount_is_told_in_the_other_family(
    typed: str, core: float, kind: str, unit: dict[str, str], us: str, metric: str
) -> None:
    assert told_in(typed, core, kind, "us", unit["us"]) == us
    assert told_in(typed, core, kind, "metric", unit["metric"]) == metric
