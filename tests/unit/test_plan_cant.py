"""Can't, because: each reason alone, its bound, its numbers, and the nearest plan that works.

Kind: law. What is proposed as the nearest plan is put into the documents and planned again.
"""

import json
import math

import pytest
from click.testing import CliRunner

COLD = {"recipe.whirlpool": None, "recipe.chill.at": "instant", "recipe.hops.2.when": "heat-off"}
"""Nothing evaporates after heat-off: litres do not depend on the kettle."""

ALONE = {
    "extract-above-malt": [
        {"rig.mash.efficiency": "101 %"},
        {"recipe.grist.0.extract": "97 %", "recipe.grist.0.moisture": "4 %"},
    ],
    "first-water-above-all": [
        {"recipe.mash.water": {"first": "40 L", "sparge": "remainder"}},
    ],
    "mash-above-brim": [
        {"rig.kettle.brim": "35 L"},
        {"rig.kettle.brim": "33 L", "rig.mash.efficiency": "balance"},
        {"recipe.batch": "30 L", "recipe.aim": {"gravity": "1.080"}},
    ],
    "wort-above-brim": [
        {"rig.kettle.brim": "30 L", "recipe.mash.water": {"first": "16 L", "sparge": "remainder"}},
        {"recipe.batch": "38 L", "recipe.mash.water": {"first": "18 L", "sparge": "remainder"}},
        {"recipe.batch": "38 L", "recipe.aim": {"gravity": "1.045"},
         "recipe.mash.water": {"first": "18 L", "sparge": "remainder"}},
    ],
    "strike-above-boiling": [
        {"recipe.mash.rests.0.at": "96 C"},
        {"recipe.mash.rests.0.at": "80 C", "day.grain": "-30 C", "day.elevation": "3000 m",
         "recipe.mash.water": {"first": "10 L", "sparge": "remainder"}},
    ],
    "element-too-weak": [
        {"rig.element.power": "300 W", "rig.boil_off": "0.3 L/h"},
        {"rig.element.power": "900 W", "rig.boil_off": "0.3 L/h", "recipe.heating": {"lid": "off"}},
    ],
    "boil-off-above-power": [{"rig.boil_off": "5.2 L/h"}, {"rig.element.power": "1.7 kW"}],
    "dose-before-boil": [
        {"recipe.hops.0.when": "75 min"},
        {"recipe.hops.0.when": "70 min", "recipe.boil.for": "4000 s"},
    ],
    "dose-after-rest": [
        {"recipe.hops.2.when": "25 min into rest"},
        {"recipe.hops.2.when": "1 min into rest", "recipe.whirlpool": None},
        {"recipe.hops.2.when": "20 min into rest", "recipe.whirlpool.rest": "1000 s"},
    ],
    "dose-never-reached": [
        {"recipe.hops.2.when": "below 17 C"},
        {"recipe.hops.2.when": "below 60 F", "recipe.chill.to": "64.4 F"},
    ],
    "chill-below-tap": [
        {"recipe.chill.to": "12 C"},
        {"recipe.chill": {"to": "14 C", "in": "25 min"}},
        {"day.tap": "25 C"},
    ],
    "extract-above-wort": [{"recipe.grist.0.mass": "200 kg", "rig.kettle.brim": "2000 L"}],
    "grist-far-from-aim": [
        {"recipe.grist.0.mass": "0.10 kg", "recipe.grist.1.mass": "0.05 kg",
         "recipe.aim": {"gravity": "1.050"}},
    ],
}  # fmt: skip
CASES = [(code, i) for code, many in ALONE.items() for i in range(len(many))]


def by_code(report):
    return {cant["code"]: cant for cant in report["cant"]}


def row(report, step):
    return next(each for each in report["ledger"] if each["step"] == step)


@pytest.mark.parametrize(("code", "number"), CASES)
def test_each_reason_alone_and_the_nearest_plan_fits(papers, code, number):
    changed = papers.but(ALONE[code][number])
    report = changed.quick()
    assert not report["fits"]
    assert set(by_code(report)) == {code}
    for cant in report["cant"]:
        assert cant["text"].startswith("Can't ") and cant["nearest"]["text"]
        assert math.isfinite(cant["wanted"]) and math.isfinite(cant["limit"])
    nearest = [change for cant in report["cant"] for change in cant["nearest"]["changes"]]
    assert nearest
    again = changed.changed(nearest).quick()
    assert again["cant"] == []
    assert again["fits"]


@pytest.mark.parametrize(("code", "number"), CASES)
def test_a_refused_plan_is_still_plain_json(papers, code, number):
    report = papers.but(ALONE[code][number]).quick()
    text = json.dumps(report, allow_nan=False)
    assert json.loads(text)["schema"] == "plan/1"


@pytest.mark.parametrize(("code", "number"), CASES)
def test_wanted_is_on_the_wrong_side_of_the_limit(papers, code, number):
    cant = papers.but(ALONE[code][number]).quick()["cant"][0]
    below = code in ("chill-below-tap", "dose-never-reached", "grist-far-from-aim")
    if below:
        assert cant["wanted"] <= cant["limit"]
    else:
        assert cant["wanted"] >= cant["limit"]


def test_the_two_numbers_are_those_of_the_documents(papers):
    def cant(code, number=0):
        return by_code(papers.but(ALONE[code][number]).quick())[code]

    boil_off = cant("boil-off-above-power")
    # 3 kW over 2257 kJ/kg is 4.785 kg/h, 4.79 cold litres (IAPWS-95, from memory).
    assert boil_off["wanted"] == pytest.approx(5.2)
    assert boil_off["limit"] == pytest.approx(4.79, abs=0.01)
    assert "5.2" in boil_off["text"] and "4.8" in boil_off["text"] and boil_off["unit"] == "L/h"
    dose = cant("dose-before-boil")
    assert (dose["wanted"], dose["limit"], dose["unit"]) == (75.0, 60.0, "min")
    assert "75" in dose["text"] and "60" in dose["text"] and "d1" in dose["text"]
    chill = cant("chill-below-tap")
    assert (chill["wanted"], chill["limit"], chill["unit"]) == (12.0, 14.0, "C")
    assert "12" in chill["text"] and "14" in chill["text"]
    strike = cant("strike-above-boiling")
    assert strike["limit"] == pytest.approx(99.26, abs=0.05)
    mash = cant("mash-above-brim")
    assert mash["limit"] == 35.0
    assert mash["unit"] == "L"


def test_numbers_are_said_in_the_units_asked_for(papers):
    planned = papers.but({"recipe.chill.to": "12 C"}).planned(system="us")
    text = planned.report["cant"][0]["text"]
    assert "53.6 F" in text and "57.2 F" in text
    assert planned.report["cant"][0]["wanted"] == 12.0


@pytest.mark.parametrize("what", ["mash", "preboil"])
def test_exactly_full_does_not_fit_and_a_hair_more_room_does(papers, what):
    """Brim as wide as the hot litres to the last digit, and one digit above."""
    water = "all" if what == "mash" else {"first": "16 L", "sparge": "remainder"}
    base = papers.but(COLD | {"recipe.mash.water": water})
    hot_l = row(base.quick(), what)["hot_l"]
    full = base.but({"rig.kettle.brim": f"{hot_l!r} L"}).quick()
    code = {"mash": "mash-above-brim", "preboil": "wort-above-brim"}[what]
    assert set(by_code(full)) == {code}
    assert by_code(full)[code]["wanted"] == by_code(full)[code]["limit"]
    roomy = base.but({"rig.kettle.brim": f"{math.nextafter(hot_l, math.inf)!r} L"}).quick()
    assert roomy["fits"]


def test_bounds_themselves(papers):
    """A dose with the boil, into the last minute of the rest, a chill a hair above the tap."""
    assert papers.but({"recipe.hops.0.when": "60 min"}).quick()["fits"]
    assert papers.but({"recipe.hops.2.when": "18 min into rest"}).quick()["fits"]
    assert papers.but({"recipe.chill.to": "14.1 C"}).quick()["fits"]
    assert papers.but({"rig.mash.efficiency": "100 %"}).quick()["fits"]


COMBINED = {
    "mash over the brim, dose too early, tap too warm": {
        "rig.kettle.brim": "34 L", "recipe.hops.0.when": "90 min", "day.tap": "24 C",
    },
    "too little power twice": {"rig.element.power": "300 W"},
    "too hot and too full": {"recipe.mash.rests.0.at": "96 C", "rig.kettle.brim": "35 L"},
    "too hot and far too full": {"recipe.mash.rests.0.at": "97 C", "rig.kettle.brim": "24 L"},
    "first water above all and above the brim": {
        "recipe.mash.water": {"first": "60 L", "sparge": "remainder"}, "rig.kettle.brim": "30 L",
    },
    "too much extract and too full": {"rig.mash.efficiency": "120 %", "rig.kettle.brim": "30 L"},
    "below the tap with a dose near it": {
        "recipe.chill.to": "10 C", "recipe.hops.2.when": "below 12 C",
    },
    "a dose below the tap's reach": {
        "recipe.chill.to": "10 C", "recipe.hops.2.when": "below 8 C",
    },
    "boil-off and dose and chill": {
        "rig.boil_off": "9 L/h", "recipe.hops.0.when": "61 min", "recipe.chill.to": "5 C",
    },
    "boil-off and brim": {"rig.boil_off": "9 L/h", "rig.kettle.brim": "33 L"},
    "strong and full with an aim": {
        "recipe.aim": {"gravity": "1.120"}, "rig.kettle.brim": "38 L",
    },
    "a hundred times the grist": {"recipe.grist.0.mass": "480 kg"},
    "a hundred times the grist with an aim": {
        "recipe.grist.0.mass": "480 kg", "recipe.aim": {"gravity": "1.050"},
    },
}  # fmt: skip


@pytest.mark.parametrize("name", COMBINED)
def test_combined_reasons_and_their_nearest_plans(papers, name):
    """All changes of all reasons put in, in the order they are printed."""
    changed = papers.but(COMBINED[name])
    report = changed.quick()
    json.dumps(report, allow_nan=False)
    assert not report["fits"]
    changes = [change for cant in report["cant"] for change in cant["nearest"]["changes"]]
    again = changed.changed(changes).quick()
    assert [cant["code"] for cant in again["cant"]] == []


def run(tmp_path, papers, *more):
    paths = []
    for name, text in zip(("recipe", "rig", "day"), papers.texts(), strict=True):
        paths.append(tmp_path / f"{name}.yaml")
        paths[-1].write_text(text, encoding="utf-8")
    from wortline.cli.main import main

    arguments = ["plan", str(paths[0]), "--rig", str(paths[1]), "--day", str(paths[2]), *more]
    return CliRunner().invoke(main, arguments)


def test_no_plan_fits_is_exit_code_3_with_the_json_printed(papers, tmp_path):
    result = run(tmp_path, papers.but({"recipe.hops.0.when": "90 min"}), "--json")
    assert result.exit_code == 3
    printed = json.loads(result.stdout)
    assert printed["fits"] is False and printed["cant"][0]["code"] == "dose-before-boil"
    assert run(tmp_path, papers.but({"recipe.hops.0.when": "90 min"})).exit_code == 3
    assert run(tmp_path, papers).exit_code == 0


@pytest.mark.parametrize("odd", ["150 kg", "5 %", "3000"])
def test_refused_input_comes_before_no_plan_fits(papers, tmp_path, odd):
    both = {"recipe.hops.0.when": "90 min", "recipe.hops.1.mass": odd}
    result = run(tmp_path, papers.but(both), "--json")
    assert result.exit_code == 1
    printed = json.loads(result.stdout)
    assert printed["schema"] == "problems/1"
    assert {problem["field"] for problem in printed["problems"]} == {"hops.1.mass"}


@pytest.mark.parametrize(
    "changes", [{"recipe.mash.rests.0.at": "101 C"}, {"recipe.hops.0.alpha": "36 %"}]
)
def test_what_is_impossible_by_itself_is_1(papers, tmp_path, changes):
    assert run(tmp_path, papers.but(changes)).exit_code == 1
