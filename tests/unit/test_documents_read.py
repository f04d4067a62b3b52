"""Rig, recipe and day as documents: what they hold once read."""

from pathlib import Path

import pytest
from pydantic import ValidationError

from wortline.documents import (
    BeforeHeatOff,
    Below,
    Day,
    DryHop,
    FirstWort,
    HeatOff,
    IntoRest,
    Lid,
    Recipe,
    Rig,
    load,
    measure_at,
)
from wortline.documents.described import described
from wortline.documents.lineup import LineUp
from wortline.errors import DocumentRefused

ROOT = Path(__file__).parents[2]
EXAMPLES = sorted((ROOT / "examples").glob("*.yaml"))
STARTING = sorted((ROOT / "src/wortline/data/new").glob("*.yaml"))


def example(name):
    path = ROOT / "examples" / f"{name}.yaml"
    return load(path.name, path.read_bytes())


@pytest.mark.parametrize("path", EXAMPLES + STARTING, ids=lambda path: path.name)
def test_every_example_and_starting_document_is_read(path):
    document = load(path.name, path.read_bytes())
    assert isinstance(document, (Rig, Recipe, Day, LineUp))


def test_there_is_a_starting_document_for_every_kind():
    assert {path.stem for path in STARTING} == {"rig", "recipe", "day"}
    for path in STARTING:
        assert path.stem == type(load(path.name, path.read_bytes(), path.stem)).SCHEMA


def test_a_rig_in_core_units():
    rig = example("shed-45")
    assert rig.name == "Shed 45"
    assert float(rig.kettle.diameter) == 0.38
    assert float(rig.kettle.brim) == 45.0
    assert float(rig.element.power) == 3000.0
    assert float(rig.element.efficiency) == 0.95
    assert float(rig.boil_off) == 2.9
    assert rig.mash.kind == "basket"
    assert float(rig.mash.efficiency) == 0.76
    assert (float(rig.hops_hold.free), float(rig.hops_hold.contained)) == (9.0, 5.0)
    assert rig.boil_off.text == "2.9 L/h"
    assert (rig.boil_off.trust, rig.boil_off.spread) == ("typed", None)


def test_a_recipe_in_core_units():
    recipe = example("rainday-pale")
    assert [float(malt.mass) for malt in recipe.grist] == [4.8, 0.5]
    assert recipe.grist[1].extract is None
    assert float(recipe.mash.rests[0].lasts) == 60.0
    assert recipe.mash.water.first is None
    assert [hop.when for hop in recipe.hops] == [BeforeHeatOff(60.0), HeatOff(), IntoRest(10.0)]
    assert [hop.held for hop in recipe.hops] == ["free"] * 3
    assert recipe.boil.lid == recipe.whirlpool.lid == Lid("off")
    assert recipe.heating is None
    assert (float(recipe.chill.at), recipe.chill.within) == (2.5, None)
    assert float(recipe.aim.gravity) == 1.050


def test_the_other_forms_of_a_recipe():
    hazy, lager = example("fogbank-hazy"), example("lantern-strong-lager")
    assert float(hazy.batch) == pytest.approx(5.5 * 3.785411784)
    assert float(hazy.hops[2].mass) == pytest.approx(2 * 0.45359237 / 16 + 0.015)
    assert hazy.hops[2].when.below_c == pytest.approx((175 - 32) / 1.8)
    assert hazy.hops[3].when == DryHop()
    assert hazy.whirlpool.lid == Lid("gap", 0.002)
    assert hazy.yeast.attenuation.trust == "typical"
    assert hazy.yeast.attenuation.spread == pytest.approx(0.02)
    assert lager.hops[0].when == FirstWort()
    assert (float(lager.mash.water.first), lager.mash.water.sparge) == (24.0, "remainder")
    assert lager.hops[1].stored.packed == "vacuum"
    assert example("coalhatch-stout").chill.at == "instant"
    assert float(example("weir-cottage-bitter").batch) == pytest.approx(4 * 4.54609)


def test_a_document_cannot_be_changed():
    rig = example("shed-45")
    with pytest.raises(ValidationError):
        rig.name = "Shed 46"


@pytest.mark.parametrize(
    ("typed", "when"),
    [
        ("60 min", BeforeHeatOff(60.0)),
        ("1 h", BeforeHeatOff(60.0)),
        ("15 min before heat-off", BeforeHeatOff(15.0)),
        ("0 min", BeforeHeatOff(0.0)),
        ("heat-off", HeatOff()),
        ("Heat off", HeatOff()),
        ("flame-out", HeatOff()),
        ("knock-out", HeatOff()),
        ("10 min into rest", IntoRest(10.0)),
        ("10 min into the rest", IntoRest(10.0)),
        ("10 min in rest", IntoRest(10.0)),
        ("below 80 C", Below(80.0)),
        ("under 80 °C", Below(80.0)),
        ("first wort", FirstWort()),
        ("First-Wort", FirstWort()),
        ("dry hop", DryHop()),
    ],
)
def test_the_moment_of_a_dose(typed, when):
    text = (ROOT / "examples/rainday-pale.yaml").read_text(encoding="utf-8")
    recipe = load("r.yaml", text.replace("when: heat-off", f"when: {typed}"), "recipe")
    assert recipe.hops[1].when == when


@pytest.mark.parametrize("when", [BeforeHeatOff(7.5), HeatOff(), IntoRest(10.0), Below(79.5),
                                  FirstWort(), DryHop()])  # fmt: skip
def test_the_moment_of_a_dose_is_said_as_it_can_be_typed(when):
    test_the_moment_of_a_dose(when.said, when)


RIG = (ROOT / "examples/shed-45.yaml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("typed", "spread", "trust"),
    [
        ("{value: 2.9 L/h, spread: 0.2 L/h, from: measured}", 0.2, "measured"),
        ("{value: 2.9 L/h, spread: 10 %}", 0.29, "typed"),
        ("{value: 2.9 L/h, from: guess}", None, "guess"),
        ("{value: 2900 mL/h, spread: 0.01 L/min}", 0.6, "typed"),
    ],
)
def test_a_quantity_with_its_spread(typed, spread, trust):
    rig = load("rig.yaml", RIG.replace("2.9 L/h ", typed), "rig")
    assert float(rig.boil_off) == pytest.approx(2.9)
    assert rig.boil_off.spread == (None if spread is None else pytest.approx(spread))
    assert rig.boil_off.trust == trust


def test_the_spread_of_a_share_counts_in_the_same_per_cent():
    rig = load(
        "rig.yaml", RIG.replace("efficiency: 76 %", "efficiency: {value: 76 %, spread: 3 %}")
    )
    assert rig.mash.efficiency.spread == 0.03


def test_the_spread_of_a_temperature_and_a_gravity_is_a_difference():
    day = load("d", "schema: day/1\nair: {value: 60 F, spread: 9 F}\ntap: 9 C\ngrain: 9 C\n"
                    "elevation: 300 ft\n")  # fmt: skip
    assert day.air.spread == pytest.approx(5.0)
    text = (ROOT / "examples/rainday-pale.yaml").read_text(encoding="utf-8")
    recipe = load("r", text.replace("gravity: 1.050", "gravity: {value: 1.050, spread: 2 points}"))
    assert recipe.aim.gravity.spread == pytest.approx(0.002)


def test_the_efficiency_may_be_left_to_the_balance():
    rig = load("rig.yaml", RIG.replace("efficiency: 76 %", "efficiency: balance"))
    assert rig.mash.efficiency == "balance"


def test_limits_stand_with_the_quantity_and_with_the_field():
    rig = example("shed-45")
    assert rig.element.efficiency.high == 1.0
    # nothing is drawn at a limit that is itself excluded
    assert 0.0 < rig.element.efficiency.low < 0.01
    assert rig.boil_off.low == 0.0
    assert measure_at(Recipe, ("hops", 3, "alpha")).high == 0.35
    assert measure_at(Recipe, ("mash", "rests", 0, "for")).kind == "time"
    assert measure_at(Rig, ("mash", "efficiency")).high == 2.0
    assert measure_at(Rig, ("name",)) is None


def test_a_byte_order_mark_and_other_line_ends_are_fine():
    plain = load("rig.yaml", RIG)
    assert load("rig.yaml", b"\xef\xbb\xbf" + RIG.replace("\n", "\r\n").encode()) == plain
    assert load("rig.yaml", RIG.replace("\n", "\r")) == plain


def test_every_value_is_the_text_that_was_typed():
    text = RIG.replace("name: Shed 45", "name: 014:30")
    assert load("rig.yaml", text).name == "014:30"
    assert load("rig.yaml", RIG.replace("Shed 45", "no")).name == "no"


def test_a_bare_gallon_is_american_unless_the_document_says_otherwise():
    text = RIG.replace("brim: 45 L", "brim: 10 gal")
    assert float(load("r", text).kettle.brim) == pytest.approx(37.85411784)
    imperial = load("r", text + "gallons: imperial\norigin: British club\n")
    assert float(imperial.kettle.brim) == pytest.approx(45.4609)
    said = load("r", text + "gallons: US\norigin: British club\n")
    assert float(said.kettle.brim) == pytest.approx(37.85411784)
    assert load("r", text + "origin: New England\n").kettle.brim.value < 38.0
    assert load("r", text + "origin: New South Wales\n").kettle.brim.value < 38.0


@pytest.mark.parametrize("origin", ["British club", "an English book", "UK", "imperial pints",
                                    "Wales", "a note from Yorkshire", "the U.K."])  # fmt: skip
def test_a_bare_gallon_of_british_origin_is_a_question(origin):
    text = RIG.replace("brim: 45 L", "brim: 10 gal") + f"origin: {origin}\n"
    with pytest.raises(DocumentRefused) as caught:
        load("r", text)
    (problem,) = caught.value.problems
    assert problem.field == "kettle.brim"
    assert "10 US gal (37.85 L)" in problem.text
    assert "10 imp gal (45.46 L)" in problem.text


def test_the_reference_is_made_from_the_models():
    page = (ROOT / "docs/reference/documents.md").read_text(encoding="utf-8")
    assert page == described()


def test_every_example_value_fits_its_own_field():
    examples = set()
    for line in described().splitlines():
        path = line.split("`")[1] if line.startswith("| `") else ""
        keys = tuple(part for key in path.split(".") for part in ([key[:-2], 0] if key.endswith(
            "[]") else [key]))  # fmt: skip
        for model in (Rig, Recipe, Day):
            measure = measure_at(model, keys) if path else None
            if measure and measure.allowed in line:
                examples.add((measure, measure.allowed.split("`")[1]))
    assert len(examples) > 20
    for measure, example_value in examples:
        measure.read(example_value)
