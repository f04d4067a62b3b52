"""Strength of the wort: extract is neither made nor lost, and the mass of the wort closes.

Kind: law (conservation of mass), with the strength of a solution from `science.extract`, which is
held to published tables elsewhere.
"""

import pytest

from wortline.science.extract import extract_kg, plato_from_sg, sg_from_plato, wort_density_kg_m3

GRIST_EXTRACT_KG = 4.80 * 0.79 + 0.50 * 0.77
BALANCE = {"rig.mash.efficiency": "balance"}
SPARGE = {"recipe.mash.water": {"first": "17 L", "sparge": "remainder"}}


def cold_l(report, step):
    return next(row["cold_l"] for row in report["ledger"] if row["step"] == step)


def kg_at(report, step, key):
    return float(extract_kg(cold_l(report, step), plato_from_sg(report["gravity"][key])))


@pytest.mark.parametrize("changes", [{}, BALANCE, BALANCE | SPARGE], ids=["typed", "all", "sparge"])
def test_extract_is_the_same_from_the_preboil_to_the_cold_wort(papers, changes):
    report = papers.but(changes).quick()
    kg = report["efficiency"]["fraction"] * GRIST_EXTRACT_KG
    for step, key in (
        ("preboil", "preboil_sg"),
        ("postboil", "postboil_sg"),
        ("wort", "original_sg"),
    ):
        assert kg_at(report, step, key) == pytest.approx(kg, rel=1e-8), step


def test_gravity_rises_as_water_leaves(papers):
    gravity = papers.quick()["gravity"]
    assert gravity["preboil_sg"] < gravity["postboil_sg"] < gravity["original_sg"]


@pytest.mark.parametrize("kg", ["2.4 kg", "4.8 kg", "7.2 kg"])
def test_a_typed_efficiency_is_used_as_typed(papers, kg):
    report = papers.but({"recipe.grist.0.mass": kg}).quick()
    assert report["efficiency"] == {"fraction": 0.76, "from": "typed"}
    in_grist_kg = float(kg.split()[0]) * 0.79 + 0.50 * 0.77
    assert kg_at(report, "preboil", "preboil_sg") == pytest.approx(0.76 * in_grist_kg, rel=1e-8)
    assert "efficiency-typed" in {note["code"] for note in report["notes"]}


def test_the_balance_closes_on_the_mass_of_the_wort(papers):
    """No sparge: what is left in the grain is the wort that is not in the kettle, as strong as it.

    Conversion 0.95 and moisture 4.0 and 4.5 % typed; one kilogram of water is 1.0018 cold litres.
    """
    report = papers.but(
        BALANCE
        | {
            "rig.mash.conversion": "95 %",
            "recipe.grist.0.moisture": "4.0 %",
            "recipe.grist.1.moisture": "4.5 %",
        }
    ).quick()
    dissolved_kg = 0.95 * GRIST_EXTRACT_KG
    moisture_kg = 4.80 * 0.040 + 0.50 * 0.045
    all_kg = cold_l(report, "water") * 0.99820 + moisture_kg + dissolved_kg
    plato = 100.0 * dissolved_kg / all_kg
    kettle_kg = cold_l(report, "preboil") * float(wort_density_kg_m3(plato, 20.0)) / 1000.0
    assert plato_from_sg(report["gravity"]["preboil_sg"]) == pytest.approx(plato, rel=1e-5)
    share = kettle_kg * plato / 100.0 / GRIST_EXTRACT_KG
    assert report["efficiency"]["fraction"] == pytest.approx(share, rel=1e-5)
    assert report["efficiency"]["from"] == "balance"
    assert "efficiency-balance" in {note["code"] for note in report["notes"]}


def test_the_balance_closes_with_a_sparge(papers):
    """Two runnings by hand: drain, fill up with sparge water, mix, drain to the same wort held.

    The wort held by the grain is what the litres of the ledger leave over; it is found here by
    bisection on the one condition that both runnings fill the pre-boil litres.
    """
    report = papers.but(BALANCE | SPARGE | {"rig.mash.conversion": "95 %",
        "recipe.grist.0.moisture": "4 %", "recipe.grist.1.moisture": "4 %"}).quick()  # fmt: skip
    dissolved_kg = 0.95 * GRIST_EXTRACT_KG
    first_kg, sparge_kg = 17.0 * 0.998207, cold_l(report, "sparge") * 0.998207
    mash_kg = first_kg + 5.30 * 0.04 + dissolved_kg

    def kettle(held_kg):
        first = dissolved_kg / mash_kg
        second = first * held_kg / (held_kg + sparge_kg)
        run_kg = mash_kg - held_kg, sparge_kg
        litres = sum(
            kg / float(wort_density_kg_m3(100 * strength, 20.0)) * 1000.0
            for kg, strength in zip(run_kg, (first, second), strict=True)
        )
        return litres, run_kg[0] * first + run_kg[1] * second

    low_kg, high_kg = 0.0, mash_kg
    for _ in range(80):
        held_kg = 0.5 * (low_kg + high_kg)
        if kettle(held_kg)[0] > cold_l(report, "preboil"):
            low_kg = held_kg
        else:
            high_kg = held_kg
    share = kettle(held_kg)[1] / GRIST_EXTRACT_KG
    assert report["efficiency"]["fraction"] == pytest.approx(share, rel=1e-4)


def test_a_sparge_brings_out_more(papers):
    plain = papers.but(BALANCE).quick()["efficiency"]["fraction"]
    sparged = papers.but(BALANCE | SPARGE).quick()["efficiency"]["fraction"]
    assert plain < sparged < 0.95


def test_every_number_of_the_gravity_of_the_beer_hangs_together(papers):
    """Apparent attenuation is what it says, on the Plato scale."""
    report = papers.quick()
    gravity = report["gravity"]
    original, final = (plato_from_sg(gravity[key]) for key in ("original_sg", "final_sg"))
    reached = 1.0 - float(final) / float(original)
    assert gravity["apparent_attenuation_fraction"] == pytest.approx(reached, abs=1e-9)


def test_alcohol_by_balling(papers):
    """Balling's equation, constants as printed; gravity of ethanol 0.791 (20/4), from memory."""
    report = papers.quick()
    gravity = report["gravity"]
    original, final = (float(plato_from_sg(gravity[key])) for key in ("original_sg", "final_sg"))
    real = 0.1808 * original + 0.8192 * final
    by_mass = (original - real) / (2.0665 - 0.010665 * original)
    assert report["abv_fraction"] == pytest.approx(
        by_mass * gravity["final_sg"] / 0.791 / 100.0, rel=5e-3
    )


def test_colour_by_morey(papers):
    """SRM = 1.4922 MCU^0.6859 (Morey); EBC = 25/12.7 SRM; malt EBC = 2.65 L - 1.2 (trade)."""
    typed = papers.but({"recipe.grist.0.colour": "6 EBC", "recipe.grist.1.colour": "20 EBC"})
    report = typed.quick()
    lovibond = [(ebc + 1.2) / 2.65 for ebc in (6.0, 20.0)]
    pounds = [kg / 0.45359237 for kg in (4.80, 0.50)]
    gallons = cold_l(report, "wort") / 3.785411784
    mcu = sum(a * b for a, b in zip(lovibond, pounds, strict=True)) / gallons
    assert report["colour_ebc"] == pytest.approx(25 / 12.7 * 1.4922 * mcu**0.6859, rel=1e-4)


def test_sugar_ferments_and_malt_does_not_all(papers):
    sugar = papers.but({"recipe.grist.1.malt": "sucrose"}).quick()["gravity"]
    malt = papers.quick()["gravity"]
    assert sugar["apparent_attenuation_fraction"] > malt["apparent_attenuation_fraction"]


def test_a_hot_mash_leaves_more_sugar(papers):
    hot = papers.but({"recipe.mash.rests.0.at": "72 C"}).quick()
    assert hot["gravity"]["final_sg"] > papers.quick()["gravity"]["final_sg"] + 0.001
    assert "mash-limits" in {note["code"] for note in hot["notes"]}


def test_gravity_and_plato_are_inverse_here(papers):
    sg = papers.quick()["gravity"]["original_sg"]
    assert float(sg_from_plato(plato_from_sg(sg))) == pytest.approx(sg, abs=1e-12)
