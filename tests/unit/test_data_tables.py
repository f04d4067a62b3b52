"""The tables of typical values: whole, within limits, each row with source and mark."""

import csv
from pathlib import Path

import pytest

from wortline.documents import Recipe, load, measure_at

ROOT = Path(__file__).parents[2]
MARKS = {"SEEN", "MEMORY", "PRACTICE", "DERIVED"}


def rows(name):
    path = ROOT / "src/wortline/data" / f"{name}.csv"
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def names(name):
    found = [row["name"] for row in rows(name)]
    for row in rows(name):
        found += [alias for alias in row["aliases"].split(";") if alias]
    return found


@pytest.mark.parametrize("name", ["malts", "hops", "yeasts", "oils"])
def test_names_are_unique_lower_case_and_every_row_has_source_and_mark(name):
    found = names(name)
    assert len(found) == len(set(found))
    assert all(word == word.lower().strip() for word in found)
    assert all(row["source"] and row["mark"] in MARKS for row in rows(name))


def test_extract_as_is_is_that_of_the_dry_malt_less_its_moisture():
    """Law: what is not water is dry malt."""
    for row in rows("malts"):
        dry, moisture = float(row["extract_dry_fraction"]), float(row["moisture_fraction"])
        assert float(row["extract_fraction"]) == pytest.approx(dry * (1 - moisture), abs=5.1e-4)
        assert row["dms_source"] and row["dms_mark"] in MARKS


def test_every_value_lies_within_the_limits_of_its_field():
    for row in rows("malts"):
        for column, field in (
            ("extract_fraction", "extract"),
            ("moisture_fraction", "moisture"),
            ("colour_ebc", "colour"),
            ("dms_precursor_mg_kg", "dms_precursor"),
        ):
            measure = measure_at(Recipe, ("grist", 0, field))
            assert measure.low <= float(row[column]) <= measure.high
    alpha = measure_at(Recipe, ("hops", 0, "alpha"))
    for row in rows("hops"):
        low, mid, high = (float(row[f"alpha_{part}fraction"]) for part in ("low_", "", "high_"))
        assert alpha.low < low <= mid <= high <= alpha.high
        assert not row["kept_six_months_20_c_fraction"] or (
            0 < float(row["kept_six_months_20_c_fraction"]) < 1
        )
    for row in rows("oils"):
        low, mid, high = (float(row[f"volatility{part}"]) for part in ("_low", "", "_high"))
        assert 1 < low <= mid <= high
        assert not row["after_kettle_fraction"] or 0 < float(row["after_kettle_fraction"]) < 1
    for row in rows("yeasts"):
        low, high = (float(row[f"attenuation_{part}_fraction"]) for part in ("low", "high"))
        assert 0 < low < high < 1
        assert float(row["low_c"]) < float(row["high_c"])


def test_what_the_examples_name_is_in_the_tables():
    malts, hops, yeasts = (set(names(name)) for name in ("malts", "hops", "yeasts"))
    for path in sorted((ROOT / "examples").glob("*.yaml")):
        recipe = load(path.name, path.read_bytes())
        if isinstance(recipe, Recipe):
            assert {malt.malt.lower() for malt in recipe.grist} <= malts
            assert {hop.hop.lower() for hop in recipe.hops} <= hops
            assert recipe.yeast.kind.lower() in yeasts
