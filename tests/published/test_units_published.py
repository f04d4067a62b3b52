"""Published: definitions of units and anchors of Plato's table, typed as printed."""

import tomllib
from pathlib import Path

import pytest

from wortline.units import parse

TABLE = tomllib.loads((Path(__file__).parent / "units.toml").read_text(encoding="utf-8"))


@pytest.mark.parametrize("row", TABLE["plato"], ids=lambda row: str(row["extract_plato"]))
@pytest.mark.parametrize("unit", ["degP", "°P", "P", "Plato", "Bx", "°Brix"])
def test_a_gravity_in_degrees_plato(row, unit):
    found = parse(f"{row['extract_plato']} {unit}", "gravity")
    assert found == pytest.approx(row["gravity_sg"], abs=row["tolerance"])


@pytest.mark.parametrize("row", TABLE["definition"], ids=lambda row: row["text"])
def test_a_unit_is_as_defined(row):
    assert parse(row["text"], row["kind"]) == pytest.approx(row["core"], rel=1e-14)
