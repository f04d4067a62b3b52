"""Ranges and their words, notes on what was assumed, reasons for every number.

Kind: law, unless a test says otherwise.
"""

import json

import numpy as np
import pytest

from wortline.app.explaining import UnknownKey, known_keys, why
from wortline.app.tables import normal_draws, toml
from wortline.plan.ranges import capped, trust

WORDS = ["sure", "fair", "guess"]


def value_at(report, key):
    value = report
    for part in key.split("."):
        value = value[part]
    return value["mid"] if isinstance(value, dict) else value


@pytest.fixture(scope="module")
def planned(papers):
    return papers.planned()


def test_every_range_holds_its_central_number(planned):
    report = planned.report
    assert len(report["ranges"]) >= 19
    for key, each in report["ranges"].items():
        assert each["low"] <= each["mid"] <= each["high"], key
        assert value_at(report, key) == pytest.approx(each["mid"], rel=1e-9), key
        assert each["trust"] in WORDS
        assert np.isfinite([each["low"], each["high"]]).all()


def test_ibu_has_the_same_range_in_both_places(planned):
    bitterness, ranged = planned.report["bitterness"]["ibu"], planned.report["ranges"]
    assert all(bitterness[end] == ranged["bitterness.ibu"][end] for end in ("low", "mid", "high"))


def test_because_names_two_different_known_inputs(planned):
    inputs = planned.plan.case.inputs
    for key, each in planned.report["ranges"].items():
        assert len(set(each["because"])) == 2, key
        assert set(each["because"]) <= set(inputs), key


def test_because_names_what_moves_the_number(planned):
    ranges = planned.report["ranges"]
    assert "rig.element.power" in ranges["heat.max_boil_off_l_h"]["because"]
    assert "recipe.mash.rests.0.at" in ranges["strike_c"]["because"]
    assert "model.tinseth" in ranges["bitterness.tinseth_ibu"]["because"]
    assert ranges["gravity.original_sg"]["because"][0] in (
        "rig.mash.efficiency", "rig.boil_off", "rig.mash.grain_holds", "recipe.grist.0.extract"
    )  # fmt: skip


def test_thresholds_are_those_meant():
    """Half widths: 3 and 12 % of mid, 1 and 3 K, 1 and 4 points of gravity."""
    assert toml("trust.toml") == {
        "relative": {"sure": 0.03, "fair": 0.12},
        "temperature_dk": {"sure": 1.0, "fair": 3.0},
        "gravity_sg": {"sure": 0.001, "fair": 0.004},
    }


@pytest.mark.parametrize(
    ("key", "mid", "half", "word"),
    [
        ("water_l", 30.0, 0.90, "sure"), ("water_l", 30.0, 0.91, "fair"),
        ("water_l", 30.0, 3.60, "fair"), ("water_l", 30.0, 3.61, "guess"),
        ("strike_c", 70.0, 1.0, "sure"), ("strike_c", 70.0, 1.01, "fair"),
        ("strike_c", 70.0, 3.0, "fair"), ("strike_c", 70.0, 3.01, "guess"),
        ("gravity.original_sg", 1.050, 0.001, "sure"),
        ("gravity.original_sg", 1.050, 0.0011, "fair"),
        ("gravity.original_sg", 1.050, 0.0040, "fair"),
        ("gravity.original_sg", 1.050, 0.0041, "guess"),
        ("bitterness.ibu", 0.0, 1.0, "guess"),
    ],
)  # fmt: skip
def test_words_by_their_thresholds(key, mid, half, word):
    assert trust(key, mid, half, toml("trust.toml")) == word


@pytest.mark.parametrize(
    ("word", "leading", "wanted"),
    [
        ("sure", ["typed", "measured"], "sure"), ("sure", ["typed", "typical"], "fair"),
        ("sure", ["guess", "typed"], "guess"), ("fair", ["typical", "typical"], "fair"),
        ("guess", ["measured", "measured"], "guess"), ("fair", ["typical", "guess"], "guess"),
    ],
)  # fmt: skip
def test_no_surer_than_what_it_rests_on(word, leading, wanted):
    assert capped(word, leading) == wanted


def test_words_in_the_plan_follow_width_and_leading_inputs(planned):
    inputs = planned.plan.case.inputs
    for key, each in planned.report["ranges"].items():
        half = 0.5 * (each["high"] - each["low"])
        size, limits = half / abs(each["mid"]), (0.03, 0.12)
        if key.endswith("_sg"):
            size, limits = half, (0.001, 0.004)
        elif key.endswith("_c"):
            size, limits = half, (1.0, 3.0)
        least = sum(size > limit + 1e-12 for limit in limits)
        trusts = {inputs[name].trust for name in each["because"]}
        floor = 2 if "guess" in trusts else 1 if "typical" in trusts else 0
        assert each["trust"] == WORDS[max(least, floor)], key


def width(planned, key):
    each = planned.report["ranges"][key]
    return each["high"] - each["low"]


def test_a_wider_spread_makes_a_wider_range(papers, planned):
    def typed(spread):
        value = {"value": "76 %", "spread": spread, "from": "measured"}
        return papers.but({"rig.mash.efficiency": value}).planned()

    widths = [
        width(typed(spread), "gravity.original_sg") for spread in ("0.2 %", "1 %", "3 %", "6 %")
    ]
    assert widths == sorted(widths) and widths[-1] > 3.0 * widths[0]
    assert width(planned, "gravity.original_sg") == pytest.approx(
        width(typed("2 %"), "gravity.original_sg"), rel=1e-9
    )


def test_spread_and_origin_of_the_documents_are_taken_over(papers):
    report = papers.but(
        {"rig.boil_off": {"value": "2.9 L/h", "spread": "0.2 L/h", "from": "measured"},
         "recipe.hops.0.alpha": {"value": "13 %", "spread": "10 %", "from": "guess"}}
    ).planned()  # fmt: skip
    inputs = report.plan.case.inputs
    assert inputs["rig.boil_off"].spread == pytest.approx(0.2)
    assert inputs["rig.boil_off"].trust == "measured"
    assert inputs["recipe.hops.0.alpha"].trust == "guess"
    # Tinseth's number rests first on its own spread; the guessed hop comes with it.
    ranged = report.report["ranges"]["bitterness.tinseth_ibu"]
    if "recipe.hops.0.alpha" in ranged["because"]:
        assert ranged["trust"] == "guess"


def test_a_number_led_by_a_guess_is_a_guess(papers):
    report = papers.but({"day.grain": {"value": "12 C", "spread": "0.1 C", "from": "guess"},
        "recipe.mash.rests.0.at": {"value": "66 C", "spread": "0 C"}}).planned().report  # fmt: skip
    strike = report["ranges"]["strike_c"]
    assert strike["high"] - strike["low"] < 1.0
    assert "day.grain" in strike["because"]
    assert strike["trust"] == "guess"


def test_draws_are_cut_at_the_limits_of_the_field(papers):
    wild = papers.but(
        {"rig.element.efficiency": {"value": "98 %", "spread": "40 %"},
         "rig.mash.conversion": {"value": "95 %", "spread": "50 %"}}
    ).planned()  # fmt: skip
    _, moved = wild.plan.case.drawn(normal_draws())
    for name in ("rig.element.efficiency", "rig.mash.conversion"):
        assert moved[name].max() == 1.0
        assert moved[name].min() >= 0.0
        assert (moved[name] == 1.0).mean() > 0.2
    most = wild.report["ranges"]["heat.likely_boil_off_l_h"]
    assert most["high"] <= wild.report["ranges"]["heat.max_boil_off_l_h"]["high"]


def test_the_draws_are_standard_normal_and_no_two_move_together():
    """Moments and quantiles of the normal distribution: 10 and 90 % lie at 1.28."""
    draws = normal_draws()
    assert abs(draws.mean(axis=0)).max() < 1e-4
    assert abs(draws.std(axis=0) - 1.0).max() < 1e-4
    assert abs(np.percentile(draws, [10, 90], axis=0) - [[-1.2816], [1.2816]]).max() < 0.01
    columns = draws.shape[1]
    assert abs(np.corrcoef(draws.T) - np.eye(columns)).max() < 0.01
    # Used again with its rows moved on, no more than chance would have it: 1 / sqrt(512) is 0.044.
    moved = np.corrcoef(draws.T, np.roll(draws, 37, axis=0).T)[:columns, columns:]
    assert abs(moved).max() < 0.25


def test_the_same_input_gives_the_same_bytes(papers):
    from wortline.app.planning import File, plan_brew

    recipe, rig, day = (text.encode() for text in papers.texts())
    files = File("recipe", recipe), File("rig", rig), File("day", day)
    one, other = (json.dumps(plan_brew(*files).report) for _ in range(2))
    assert one == other


def test_bitterness_has_a_standard_deviation_near_fifteen_per_cent(papers):
    """From 10-90 % over 2.563 of a normal distribution; a usual brew of known hops."""
    for changes in (
        {},
        {"recipe.whirlpool": None, "recipe.hops.2.when": "heat-off"},
        {"recipe.aim": {"gravity": "1.060", "bitterness": "45"}},
    ):
        each = papers.but(changes).planned().report["ranges"]["bitterness.ibu"]
        deviation = (each["high"] - each["low"]) / 2.563 / each["mid"]
        assert 0.12 < deviation < 0.18


# ---- notes


def test_a_missing_day_is_said_for_every_value(papers):
    from dataclasses import replace

    planned = replace(papers, day=None).planned()
    notes = [note for note in planned.report["notes"] if note["code"] == "assumed"]
    assert len(notes) == 4
    for field in ("air", "tap", "grain", "elevation"):
        said = [note["text"] for note in notes if field in note["text"]]
        assert len(said) == 1 and "guess" in said[0]
        assert planned.plan.case.inputs[f"day.{field}"].trust == "guess"
    assert "assumed" not in {note["code"] for note in papers.planned().report["notes"]}
    assert planned.report["ranges"]["strike_c"]["trust"] == "guess"


def test_a_boil_off_between_likely_and_most_is_a_warning_with_both_numbers(papers):
    heat = papers.quick()["heat"]
    likely, most = heat["likely_boil_off_l_h"], heat["max_boil_off_l_h"]
    assert 2.9 < likely < most
    between = 0.5 * (likely + most)
    report = papers.but({"rig.boil_off": f"{between:.3f} L/h"}).quick()
    assert report["fits"]
    note = next(note for note in report["notes"] if note["code"] == "boil-off-above-likely")
    assert note["severity"] == "warn"
    now = report["heat"]["likely_boil_off_l_h"]
    assert f"{between:.1f}" in note["text"] and f"{now:.1f}" in note["text"]
    assert "boil-off-above-likely" not in {note["code"] for note in papers.quick()["notes"]}


# ---- units


def test_the_same_recipe_in_us_units_is_the_same_plan(papers):
    """The pound is 0.45359237 kg, the US gallon 3.785411784 L, the inch 2.54 cm: exact."""
    metric = {
        "recipe.batch": "22.712470704 L", "recipe.grist.0.mass": "4.5359237 kg",
        "recipe.grist.1.mass": "0.5669904625 kg", "recipe.mash.rests.0.at": "65 C",
        "recipe.hops.0.mass": "28.349523125 g", "recipe.chill.to": "20 C",
        "recipe.chill.at": "2.5 K/min", "rig.kettle.diameter": "38.1 cm",
        "rig.boil_off": "2.839058838 L/h", "day.air": "15 C", "day.elevation": "304.8 m",
        "rig.kettle.brim": "45.424941408 L",
    }  # fmt: skip
    american = {
        "recipe.batch": "6 gal", "recipe.grist.0.mass": "10 lb",
        "recipe.grist.1.mass": "1 lb 4 oz", "recipe.mash.rests.0.at": "149 F",
        "recipe.hops.0.mass": "1 oz", "recipe.chill.to": "68 F",
        "rig.kettle.diameter": "15 in", "rig.boil_off": "0.75 gal/h",
        "day.air": "59 F", "day.elevation": "1000 ft", "rig.kettle.brim": "12 gal",
    }  # fmt: skip
    one, other = papers.but(metric).quick(), papers.but(american).quick()
    for key in ("water_l", "strike_c", "abv_fraction", "colour_ebc", "energy_kwh"):
        assert other[key] == pytest.approx(one[key], rel=1e-9), key
    for key in ("gravity", "heat", "dms_ug_l"):
        assert other[key] == pytest.approx(one[key], rel=1e-9), key
    assert other["lines"]["temp_c"] == pytest.approx(one["lines"]["temp_c"], abs=1e-7)
    mid = one["bitterness"]["ibu"]["mid"]
    assert other["bitterness"]["ibu"]["mid"] == pytest.approx(mid, rel=1e-9)


# ---- why


def test_every_number_with_a_range_can_be_explained(planned):
    for key in planned.report["ranges"]:
        told = why(planned, key)
        assert told["value"] == pytest.approx(planned.report["ranges"][key]["mid"], rel=1e-9)
        assert told["what"] and told["formula"]
        assert told["range"] == planned.report["ranges"][key]
        named = {each["name"]: each for each in told["inputs"]}
        for leading in planned.report["ranges"][key]["because"]:
            assert named[leading]["leads"]


def test_every_known_key_and_every_row_and_dose_can_be_explained(planned):
    report = planned.report
    keys = list(known_keys(report))
    keys += [
        f"ledger.{row['step']}.{field}"
        for row in report["ledger"]
        for field in ("cold_l", "hot_l", "mark_cm")
    ]
    keys += [
        f"bitterness.doses.{dose['id']}.{field}"
        for dose in report["bitterness"]["doses"]
        for field in ("boil_ibu", "rest_ibu", "chill_ibu", "total_ibu", "shift_min")
    ]
    for key in keys:
        told = why(planned, key)
        assert told["formula"], key
        json.dumps(told, allow_nan=False)


def test_sources_are_named_where_a_formula_is_published(planned):
    told = why(planned, "bitterness.ibu")
    text = json.dumps(told["sources"])
    assert "Malowicki" in text and "Hosom" in text
    alcohol = json.dumps(why(planned, "abv_fraction")["sources"])
    assert len(alcohol) > 50


def test_a_key_nearly_right_is_answered_with_the_nearest(planned):
    with pytest.raises(UnknownKey, match=r"gravity\.original_sg"):
        why(planned, "gravity.orignal_sg")
    with pytest.raises(UnknownKey, match="no number of this plan"):
        why(planned, "bitterness.doses.d9")
    for odd in ("", "ledger", "ledger.tea", "schema", "cant", "lines.temp_c", "ranges"):
        with pytest.raises(UnknownKey):
            why(planned, odd)
