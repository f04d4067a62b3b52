"""Mashes that are too dry, too full or too cold, and chills that are not needed."""

import pytest


def codes(report: dict) -> list[str]:
    return [cant["code"] for cant in report["cant"]]


def test_first_water_that_the_grain_drinks_does_not_fit(papers) -> None:
    dry = papers.but({"recipe.mash.water": {"first": "4 L", "sparge": "remainder"}})
    refused = dry.quick()
    assert "mash-too-dry" in codes(refused)
    cant = next(each for each in refused["cant"] if each["code"] == "mash-too-dry")
    grist_kg = sum(malt["mass_kg"] for malt in refused["grist"])
    assert cant["wanted"] == pytest.approx(4.0)
    assert cant["limit"] == pytest.approx(0.90 * grist_kg, rel=1e-9)
    assert dry.changed(cant["nearest"]["changes"]).quick()["fits"]


def test_a_mash_near_the_brim_is_cautioned_before_the_grain_goes_in(papers) -> None:
    roomy = papers.quick()
    mash = next(row for row in roomy["ledger"] if row["step"] == "mash")
    tight = papers.but({"rig.kettle.brim": f"{mash['hot_l'] + 0.5:.2f} L"}).quick()
    assert tight["fits"]

    def said(report: dict) -> str:
        return next(each for each in report["timeline"] if each["phase"] == "mash")["cautions"][0]

    assert "Little room" in said(tight)
    assert "Little room" not in said(roomy)


def test_a_mash_below_gelatinisation_is_doubted(papers) -> None:
    cold = papers.but({"recipe.mash.rests.0.at": "66 F"}).quick()
    assert "mash-too-cold" in [note["code"] for note in cold["notes"]]
    assert "mash-too-cold" not in [note["code"] for note in papers.quick()["notes"]]


def test_wort_that_is_cool_enough_is_not_chilled(papers) -> None:
    warm = papers.but({"recipe.chill": {"to": "90 C", "in": "25 min"}}).quick()
    chill = next(each for each in warm["timeline"] if each["phase"] == "chill")
    assert chill["start_c"] < 90.0
    assert chill["end_min"] == chill["start_min"]


def test_a_dry_hop_is_not_counted_as_dissolved_in_the_kettle(papers) -> None:
    def said(report: dict) -> list[str]:
        return [note["text"] for note in report["notes"] if note["code"] == "alpha-limit"]

    hops = [{"hop": "Saaz", "mass": "20 g", "alpha": "10 %", "when": "30 min"}]
    dry = {"hop": "Saaz", "mass": "200 g", "alpha": "10 %", "when": "dry hop"}
    assert said(papers.but({"recipe.hops": [*hops, dry]}).quick()) == []
    kettle = {**dry, "when": "30 min"}
    assert said(papers.but({"recipe.hops": [*hops, kettle]}).quick())
