"""Quantities as people type them: what is read, what is asked, what is refused."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wortline.errors import Question, UnitError, UnitMismatch, Unreadable
from wortline.units import KINDS, parse, say

LB, OZ = 0.45359237, 0.45359237 / 16


@pytest.mark.parametrize(
    ("text", "kind", "core"),
    [
        ("12 lb 3 oz", "mass", 12 * LB + 3 * OZ),
        ("1.5 oz + 20 g", "mass", 1.5 * OZ + 0.020),
        ("1 h 30 min", "time", 90.0),
        ("1h30min", "time", 90.0),
        ("5,25 gal", "volume", 5.25 * 3.785411784),
        ("1/2 lb", "mass", LB / 2),
        ("1 1/2 lb", "mass", 1.5 * LB),
        ("1½ lb", "mass", 1.5 * LB),
        ("½ lb", "mass", LB / 2),
        ("3⁄4 oz", "mass", 0.75 * OZ),
        ("66 °C", "temperature", 66.0),
        ("66℃", "temperature", 66.0),
        ("150 deg F", "temperature", (150 - 32) / 1.8),
        ("150 degrees fahrenheit", "temperature", (150 - 32) / 1.8),
        ("−18 C", "temperature", -18.0),
        ("339.15 K", "temperature", 66.0),
        ("4 U.S. gallons", "volume", 4 * 3.785411784),
        ("4 gal (US)", "volume", 4 * 3.785411784),
        ("8 fl. oz.", "volume", 8 * 3.785411784 / 128),
        ("23 litres", "volume", 23.0),
        ("23\u00a0L", "volume", 23.0),
        ("23L", "volume", 23.0),
        (".5 L", "volume", 0.5),
        ("1e1 L", "volume", 10.0),
        ("1e+1 L", "volume", 10.0),
        ("1,234.5 L", "volume", 1234.5),
        ("1.234,5 L", "volume", 1234.5),
        ("1'234.5 L", "volume", 1234.5),
        ("1,234,567 mL", "volume", 1234.567),
        ("0,500 kg", "mass", 0.5),
        ("20 cm²", "area", 0.002),
        ("20 cm^2", "area", 0.002),
        ("2.9 L / h", "evaporation", 2.9),
        ("2.9 litres per hour", "evaporation", 2.9),
        ("5 gpm", "flow", 5 * 3.785411784),
        ("20 /min", "turning", 20.0),
        ("20/min", "turning", 20.0),
        ("20 per min", "turning", 20.0),
        ("20 / min", "turning", 20.0),
        ("20 turns per minute", "turning", 20.0),
        ("0.5 turns/s", "turning", 30.0),
        ("95 %", "fraction", 0.95),
        ("95%", "fraction", 0.95),
        ("95 per cent", "fraction", 0.95),
        ("1.050", "gravity", 1.050),
        ("1,050", "gravity", 1.050),
        ("1.050 SG", "gravity", 1.050),
        ("50 points", "gravity", 1.050),
        ("32", "bitterness", 32.0),
        ("32 IBU", "bitterness", 32.0),
        ("5.4", "ph", 5.4),
        ("pH", "ph", None),
        ("5 ug/g", "content", 5.0),
        ("5 ppm", "content", 5.0),
        ("12.7 SRM", "colour", 25.0),
        ("6 months", "time", 6 * 365.25 / 12 * 1440),
    ],
)
def test_what_people_type_is_read(text, kind, core):
    if core is None:
        with pytest.raises(Unreadable):
            parse(text, kind)
    else:
        assert parse(text, kind) == pytest.approx(core, rel=1e-12)


def test_a_share_typed_in_per_cent_is_the_number_itself():
    assert [parse(f"{n} %", "fraction") for n in (5, 29, 57, 95)] == [0.05, 0.29, 0.57, 0.95]


def test_lovibond_is_the_scale_of_malt_colour():
    # SRM = 1.3546 L - 0.76, and EBC = 25/12.7 SRM: from memory
    want = (1.3546 * 60 - 0.76) * 25 / 12.7
    assert parse("60 lovibond", "colour") == pytest.approx(want)
    assert parse("60 °L", "colour") == pytest.approx(want)


@pytest.mark.parametrize(
    ("text", "kind", "readings"),
    [
        ("3000", "power", ("3000 W", "3000 kW")),
        ("23", "volume", ("23 L", "23 US gal")),
        ("60", "time", ("60 min", "60 h")),
        ("66", "temperature", ("66 C", "66 F")),
        ("66 °", "temperature", ("66 C", "66 F")),
        ("0.76", "fraction", ("76 %", "0.76 %")),
        ("76", "fraction", ("76 %", "0.76 %")),
        ("8 oz", "volume", ("8 fl oz", "8 oz by mass")),
        ("8 ounces", "volume", ("8 fl oz", "8 oz by mass")),
        ("60 L", "colour", ("60 lovibond", "60 EBC")),
        ("5 m", "time", ("5 min", "5 months")),
        ("1,234 g", "mass", ("1.234", "1234")),
    ],
)
def test_two_readings_are_a_question_that_names_both(text, kind, readings):
    with pytest.raises(Question) as caught:
        parse(text, kind)
    assert caught.value.readings == readings
    assert all(reading in str(caught.value) for reading in readings)


def test_a_question_about_an_ounce_of_liquid_reaches_into_a_rate():
    with pytest.raises(Question, match="fl oz"):
        parse("3 oz/lb", "volume_per_mass")


@pytest.mark.parametrize("unit", ["gal", "qt", "pints", "fl oz"])
def test_a_bare_gallon_follows_the_document(unit):
    us = parse(f"5 {unit}", "volume")
    imperial = parse(f"5 {unit}", "volume", gallons="imperial")
    assert parse(f"5 {unit}", "volume", gallons="us", british=True) == us
    assert parse(f"5 us {unit}", "volume", gallons="imperial", british=True) == us
    assert parse(f"5 imp {unit}", "volume", british=True) == imperial
    with pytest.raises(Question) as caught:
        parse(f"5 {unit}", "volume", british=True)
    assert f"{us:.4g} L" in str(caught.value)
    assert f"{imperial:.4g} L" in str(caught.value)


def test_a_bare_gallon_in_a_rate_follows_the_document_too():
    assert parse("1 gal/h", "evaporation", gallons="imperial") == pytest.approx(4.54609)
    with pytest.raises(Question):
        parse("1 gal/h", "evaporation", british=True)
    with pytest.raises(Question):
        parse("1 gal + 2 L", "volume", british=True)


@pytest.mark.parametrize(
    ("text", "kind", "said"),
    [
        ("5 kg", "volume", "a mass"),
        ("5 lb", "volume", "a mass"),
        ("5 L", "mass", "a volume"),
        ("10 %", "evaporation", "a share"),
        ("3 kW", "temperature", "a power"),
        ("12 degP", "volume", "a gravity"),
        ("60 oz", "time", "a mass"),
        ("5 gal", "mass", "a volume"),
    ],
)
def test_another_kind_of_quantity_is_named(text, kind, said):
    with pytest.raises(UnitMismatch, match=said):
        parse(text, kind, british=True)


HOSTILE = [
    "5, L", "1 000 L", "2 x 11 L",
    "", " ", "abc", "NaN", "nan L", "inf L", "-inf L", ".inf", "Infinity", "1e400 L", "-1e999 L",
    "1e308 L + 1e308 L", "1.7976931348623157e308 gal", "12 L L", "12..5 L", "1,2,3 L",
    "12.34.5 L", "1234,567.8 L", "5 L 3", "5 + 3 L", "5 L +", "+", "++5 L", "--5 L", "5 - 3 L",
    "20-25 L", "20 to 25 L", "~5 L", "about 5 L", "5 L?", "1/0 L", "0x10 L", "1_000 L", "٥ L",
    "10² L", "5 litr", "5 °", "L", "= 5 L", "$5", "5 L\n6 L;", "{}", "null", "~", "true",
    "1:30 h", "5 kg L", "5 L/", "5 kg 5 kg", "3 oz 12 lb", "12 lb -3 oz", "5 L 5 L", "5 /L",
    "5 /", "%", "5 %%", "1" * 400 + " L", "L " * 80, "1 " * 90, "1 / 2 / 3 L", "5 L\u0000",
]  # fmt: skip


@pytest.mark.parametrize("text", HOSTILE)
@pytest.mark.parametrize("kind", ["volume", "temperature_rate"])
def test_what_is_no_quantity_is_refused_with_a_sentence(text, kind):
    with pytest.raises(UnitError) as caught:
        parse(text, kind)
    assert 0 < len(str(caught.value)) < 400


def test_temperatures_are_not_added_up():
    with pytest.raises(Unreadable, match="no meaning"):
        parse("60 C + 6 C", "temperature")


def test_an_extract_beyond_any_wort_is_refused():
    with pytest.raises(Unreadable, match="degP"):
        parse("90 degP", "gravity")


@settings(max_examples=300, derandomize=True)
@given(text=st.text(max_size=40), kind=st.sampled_from(sorted(KINDS)))
def test_any_text_is_read_or_refused(text, kind):
    try:
        parse(text, kind)
    except UnitError as error:
        assert str(error)


@settings(max_examples=200, derandomize=True)
@given(
    text=st.text(alphabet="0123456789.,'/+- eELlkghmin%°²½oz", max_size=30),
    kind=st.sampled_from(sorted(KINDS)),
)
def test_nearly_right_texts_are_read_or_refused(text, kind):
    try:
        value = parse(text, kind)
    except UnitError as error:
        assert str(error)
    else:
        assert abs(value) < float("inf")


@settings(max_examples=200, derandomize=True)
@given(
    value=st.floats(1e-3, 1e3),
    kind=st.sampled_from(sorted(KINDS)),
    system=st.sampled_from(["metric", "us"]),
)
def test_what_is_said_reads_back_as_what_was_meant(value, kind, system):
    """Law: the inverse of the inverse, to the digits that are printed."""
    said = say(value, kind, system, digits=9)
    assert parse(said, kind) == pytest.approx(value, rel=1e-5, abs=1e-7)


@settings(max_examples=100, derandomize=True)
@given(first=st.floats(0.001, 1e3), second=st.floats(0.001, 1e3))
def test_a_sum_is_the_sum_of_its_parts(first, second):
    """Law: addition."""
    parts = parse(f"{first!r} oz", "mass") + parse(f"{second!r} g", "mass")
    assert parse(f"{first!r} oz + {second!r} g", "mass") == pytest.approx(parts, rel=1e-14)


@pytest.mark.parametrize(
    ("value", "kind", "system", "said"),
    [
        (23.0, "volume", "metric", "23.0 L"),
        (0.25, "volume", "metric", "250 mL"),
        (23.0, "volume", "us", "6.08 US gal"),
        (0.022, "mass", "metric", "22 g"),
        (66.0, "temperature", "us", "150.8 F"),
        (1.0, "temperature_difference", "us", "1.8 F"),
        (1.05, "gravity", "metric", "1.050"),
        (3000.0, "power", "metric", "3.00 kW"),
        (0.38, "length", "metric", "38.0 cm"),
        (-0.001, "temperature", "metric", "0.0 C"),
        (float("nan"), "volume", "metric", "unknown"),
    ],
)
def test_a_core_value_is_said_as_people_read_it(value, kind, system, said):
    assert say(value, kind, system) == said
