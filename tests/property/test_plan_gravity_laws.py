"""Laws of strength over many grists: kind law (conservation of mass)."""

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from wortline.science.extract import extract_kg, plato_from_sg

FEW = settings(max_examples=15, deadline=None, derandomize=True)
KG = st.floats(2.0, 12.0)


def with_grist(papers, kg, more=None):
    return papers.but(
        {
            "rig.kettle.brim": "200 L",
            "rig.mash.efficiency": "balance",
            "recipe.grist.0.mass": f"{kg!r} kg",
        }
        | (more or {})
    ).quick()


@FEW
@given(kg=KG, more_kg=st.floats(0.3, 3.0))
def test_a_bigger_grist_lowers_efficiency(papers, kg, more_kg):
    small, big = with_grist(papers, kg), with_grist(papers, kg + more_kg)
    assert big["efficiency"]["fraction"] < small["efficiency"]["fraction"] <= 0.95
    assert big["gravity"]["original_sg"] > small["gravity"]["original_sg"]


@FEW
@given(kg=KG, litres=st.floats(2.2, 3.2))
def test_a_sparge_raises_efficiency_but_never_above_conversion(papers, kg, litres):
    first = {"recipe.mash.water": {"first": f"{litres * (kg + 0.5)!r} L", "sparge": "remainder"}}
    plain, sparged = with_grist(papers, kg), with_grist(papers, kg, first)
    assume(sparged["fits"])
    assert plain["efficiency"]["fraction"] < sparged["efficiency"]["fraction"] <= 0.95


@FEW
@given(kg=KG, batch=st.floats(10.0, 60.0), minutes=st.floats(60.0, 180.0))
def test_extract_survives_the_boil(papers, kg, batch, minutes):
    report = with_grist(
        papers, kg, {"recipe.batch": f"{batch!r} L", "recipe.boil.for": f"{minutes!r} min"}
    )
    rows = {row["step"]: row["cold_l"] for row in report["ledger"]}
    gravity = report["gravity"]
    before, after = (
        float(extract_kg(rows[step], plato_from_sg(gravity[key])))
        for step, key in (("preboil", "preboil_sg"), ("wort", "original_sg"))
    )
    assert after == pytest.approx(before, rel=1e-8)
    in_grist_kg = kg * 0.79 + 0.50 * 0.77
    assert before == pytest.approx(report["efficiency"]["fraction"] * in_grist_kg, rel=1e-8)


@FEW
@given(
    batch=st.floats(5.0, 60.0), hold_up=st.floats(0.0, 3.0), left=st.floats(0.0, 4.0),
    rate=st.floats(0.0, 4.0), holds=st.floats(0.3, 1.5), rest=st.floats(0.0, 60.0),
)  # fmt: skip
def test_the_ledger_closes_whatever_the_rig(papers, batch, hold_up, left, rate, holds, rest):
    report = papers.but(
        {
            "recipe.batch": f"{batch!r} L",
            "rig.hold_up": f"{hold_up!r} L",
            "rig.kettle.left_behind": f"{left!r} L",
            "rig.boil_off": f"{rate!r} L/h",
            "rig.mash.grain_holds": f"{holds!r} L/kg",
            "recipe.whirlpool.rest": f"{rest!r} min",
        }
    ).quick()
    rows = {row["step"]: row["cold_l"] for row in report["ledger"]}
    hops_l = 0.097 * 9.0
    wanted_l = batch + hold_up + left + hops_l + rows["rest_loss"] + rate + holds * 5.30
    assert report["water_l"] == pytest.approx(wanted_l, abs=1e-9)
    assert rows["fermenter"] == pytest.approx(batch, abs=1e-9)
    assert 0.0 < rows["rest_loss"] < 3.0
