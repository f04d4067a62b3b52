"""The whole way from hops to IBU against beers measured in a laboratory."""

import tomllib
from pathlib import Path

import numpy as np
import pytest

from wortline.science.bitter_losses import WEEK_MIN, Losses
from wortline.science.bitterness import (
    ibu_from_acids,
    iso_factor,
    malt_ibu,
    oxidised_alpha_ibu,
    oxidised_alpha_mg_l,
    polyphenol_ibu,
)
from wortline.science.dissolving import dissolved_mg_l, dosed_alpha_mg_l
from wortline.science.isomerisation import hot_time, iso_share
from wortline.science.natural_cooling import natural_cooling_hosom_2015_c
from wortline.science.utilisation import (
    tinseth_hot_time,
    utilisation_tinseth_1997,
    utilisation_tinseth_hosom_2015,
)

SETS = tomllib.loads((Path(__file__).parent / "measured_ibu.toml").read_text(encoding="utf-8"))
MIDDLES_MIN = np.arange(0.25, 15.0, 0.5)


def parts_ibu(brew_set, alpha_mg_l, hops_mg_l, boil_min, rest_c, original_sg):
    """IBU of iso, oxidised alpha, polyphenols and malt of one dose of cones."""
    lengths = np.append(boil_min, np.full(len(rest_c), 0.5))
    hot = hot_time(np.append(100.0, rest_c), lengths)
    losses = Losses(wort_ph=brew_set["wort_ph"], age_min=brew_set["age_weeks"] * WEEK_MIN)
    dissolved = dissolved_mg_l(alpha_mg_l)
    oxidised = oxidised_alpha_mg_l(dissolved, alpha_mg_l)
    return np.array(
        [
            dissolved
            * iso_share(hot, 0.0, lengths.sum())
            * iso_factor(losses, original_sg, boil_min),
            oxidised_alpha_ibu(losses, original_sg, boil_min, oxidised),
            polyphenol_ibu(hops_mg_l * 1e-6, 1.0),
            malt_ibu(original_sg),
        ]
    )


def rms(difference):
    return np.sqrt(np.mean(np.square(difference)))


def stand():
    """Minutes boiled, gravity, litres and rest temperatures of the beers left to stand."""
    beers = SETS["stand"]
    rest_c = (np.polynomial.Polynomial(beers["cooling_f"])(MIDDLES_MIN) - 32.0) / 1.8
    return (
        beers,
        rest_c,
        list(zip(beers["boil_min"], beers["original_sg"], beers["cold_l"], strict=True)),
    )


def test_beers_left_to_stand():
    beers, rest_c, brews = stand()
    found = [
        parts_ibu(
            beers,
            beers["alpha_fraction"] * beers["hops_g"] * 1000 / litres,
            beers["hops_g"] * 1000 / litres,
            boil_min,
            rest_c,
            gravity,
        ).sum()
        for boil_min, gravity, litres in brews
    ]
    assert rms(np.subtract(found, beers["measured_ibu"])) < beers["rms_ibu"]
    assert found == sorted(found, reverse=True)


def test_tinseth_of_the_same_article():
    """Plain with scale 6.15 and weighted with 6.60, as the author printed them for these beers.

    Plain agrees to 2 %. Weighted does for hops boiled half an hour or more; for late hops the
    printed values are up to 14 % above what his published formula and cooling curve give.
    """
    beers, rest_c, brews = stand()
    boiling = np.append(True, np.zeros(len(rest_c), bool))
    for (boil_min, gravity, litres), plain, weighted in zip(
        brews, beers["tinseth_ibu"], beers["weighted_tinseth_ibu"], strict=True
    ):
        alpha = dosed_alpha_mg_l(beers["alpha_fraction"], beers["hops_g"] / 1000, litres)
        lengths = np.append(boil_min, np.full(len(rest_c), 0.5))
        hot = tinseth_hot_time(np.append(100.0, rest_c), lengths, boiling)
        mean_sg = (gravity + beers["preboil_sg"]) / 2
        found = alpha * utilisation_tinseth_1997(mean_sg, boil_min, 6.15)
        assert found == pytest.approx(plain, rel=0.02)
        found = alpha * utilisation_tinseth_hosom_2015(hot, mean_sg, 0.0, lengths.sum(), 6.60)
        assert found == pytest.approx(weighted, rel=0.02 if boil_min >= 30 else 0.14)


def test_large_doses():
    beers = SETS["solubility"]
    found, measured = [], []
    for minutes, ibus in beers["measured_ibu"].items():
        series = [
            parts_ibu(
                beers,
                alpha,
                alpha / beers["alpha_fraction"],
                float(minutes),
                np.empty(0),
                beers["original_sg"],
            ).sum()
            for alpha in beers["alpha_mg_l"]
        ]
        least, most = beers["rise"]
        assert least < series[-1] / series[-2] - 1 < most
        assert least < ibus[-1] / ibus[-2] - 1 < most
        found += series
        measured += ibus
    assert rms(np.subtract(found, measured)) < beers["rms_ibu"]


@pytest.mark.parametrize(
    "brew", SETS["worked"]["brew"], ids=lambda b: f"{b['hops_kg']} kg {b['boil_min']} min"
)
def test_worked_brews(brew):
    """Cones of 8.8 % in 19.87 L, 10 min of natural cooling, one week old."""
    beers = SETS["worked"]
    area = np.pi * beers["pot_m"] ** 2 / 4
    minutes = MIDDLES_MIN[: 2 * beers["rest_min"]]
    rest_c = natural_cooling_hosom_2015_c(minutes, beers["cold_l"], area, area)
    hops_mg_l = brew["hops_kg"] * 1e6 / beers["cold_l"]
    parts = parts_ibu(
        beers,
        beers["alpha_fraction"] * hops_mg_l,
        hops_mg_l,
        float(brew["boil_min"]),
        rest_c,
        beers["original_sg"],
    )
    tolerance = brew["tolerance_share"]
    assert parts[0] == pytest.approx(ibu_from_acids(brew["iso_mg_l"]), rel=tolerance)
    assert parts.sum() == pytest.approx(brew["total_ibu"], rel=tolerance)
    for part, name in zip(parts[1:], ("oxidised_ibu", "polyphenol_ibu", "malt_ibu"), strict=True):
        if name in brew:
            assert part == pytest.approx(brew[name], rel=tolerance)
