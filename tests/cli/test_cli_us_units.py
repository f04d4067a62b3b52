"""`--units us` prints no metric amount but those that a US brewer uses, or typed."""

import re
from itertools import product
from pathlib import Path

import pytest

from wortline.app.files import File
from wortline.app.planning import plan_brew
from wortline.app.resting import resting
from wortline.cli.rest import rest_sheet
from wortline.cli.sheet import sheet

EXAMPLES = Path(__file__).parents[2] / "examples"
RIGS = ("shed-45", "shed-two-valves", "weir-cottage-40")
RECIPES = ("rainday-pale", "fogbank-hazy", "coalhatch-stout", "lantern-strong-lager",
           "weir-cottage-bitter", "millrace-pale")  # fmt: skip
METRIC = re.compile(
    r"\d ?(L|mL|C|K|kg|g|mm|cm|m|kPa|L/min|L/h|g/L|L/kg|W/K|K/min)(?![\w/°])|\blitre|\bkelvin"
)
# What stays: the temperature at which cold is counted, said in both, and what the person typed.
AS_IT_IS = (
    "cold: counted at 20 C, which is 68 F",
    "the rig's own hold_up, 0.7 L,",
    "below 80 C",
)


def example(name):
    return File(f"{name}.yaml", (EXAMPLES / f"{name}.yaml").read_bytes())


def checked(text):
    plain = re.sub(r"\s+", " ", text)
    for each in AS_IT_IS:
        plain = plain.replace(each, "")
    assert METRIC.findall(plain) == [], [
        plain[max(found.start() - 60, 0) : found.end() + 20] for found in METRIC.finditer(plain)
    ]


@pytest.mark.parametrize(("recipe", "rig"), [
    (recipe, rig) for recipe, rig in product(RECIPES, RIGS)
    if recipe != "millrace-pale" or rig == "weir-cottage-40"
])  # fmt: skip
def test_no_example_prints_a_metric_amount(recipe, rig):
    """Concentrations stay: mg/L and ug/L are what a US brewer reads, with IBU and kWh."""
    day = example("cool-march") if rig == "shed-45" else None
    report = plan_brew(example(recipe), example(rig), day, system="us").report
    checked(sheet(report, "us"))


def test_the_rest_and_a_clog_caution_have_none():
    for recipe in ("rainday-pale", "weir-cottage-bitter"):
        found = resting(example(recipe), example("shed-two-valves"), None, system="us")
        text = rest_sheet(found.report, "us")
        checked(text)
        assert "oz/US gal of hops" in text and "chiller, 0.079 in" in text


def test_a_chill_that_clouds_the_wort_says_its_flow_in_gallons():
    files = (example("millrace-pale"), example("weir-cottage-40"), None)
    for system, flow in (("us", "1.06 US gal/min"), ("metric", "4.0 L/min")):
        notes = plan_brew(*files, system=system).report["notes"]
        text = next(each["text"] for each in notes if each["code"] == "chill-clouds")
        assert f"at {flow}:" in text


def test_alpha_acids_stay_in_milligrams_a_litre():
    report = plan_brew(example("rainday-pale"), example("shed-45"), None, system="us").report
    text = next(each["text"] for each in report["notes"] if each["code"] == "alpha-limit")
    assert " mg/L of alpha acids" in text


def test_no_day_is_guessed_in_the_units_asked_for():
    """Derived: 18 C is 64.4 F, 12 C 53.6 F, 100 m 328 ft."""
    report = plan_brew(example("rainday-pale"), example("shed-45"), None, system="us").report
    text = " ".join(each["text"] for each in report["notes"] if each["code"] == "assumed")
    for said in ("air taken as 64 F", "tap taken as 54 F", "elevation taken as 328 ft", "46 F to"):
        assert said in text


@pytest.mark.parametrize(("system", "some"), [("us", "1.32 US gal"), ("metric", "5.0 L")])
def test_a_lot_is_set_up_in_the_units_asked_for(system, some):
    from wortline.lot.rig_steps import set_up

    assert any(f"Run {some} cold water" in step.text for step in set_up(None, system)[1])
