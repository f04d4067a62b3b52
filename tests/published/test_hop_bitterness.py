"""Losses and the way from acids to IBU against published values."""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from wortline.science import bitter_losses, bitterness
from wortline.science.bitter_losses import Losses, in_wort

CASES = "hop_bitterness.toml"


def age_ratio(early_weeks, late_weeks):
    early, late = (bitter_losses.age_share(w * 10080.0) for w in (early_weeks, late_weeks))
    return late / early


HERE = SimpleNamespace(age_ratio=age_ratio)


def test_published(case, agrees):
    agrees(case, bitter_losses, bitterness, HERE)


def test_small_dose_without_boil():
    """Published, seen: Hosom, A Summary of Factors Affecting IBUs: no boil, instant chill.

    150 mg/L of 8.8 % cones at 1.055: 5.98 = 4.58 oxidised + 1.04 malt + 0.35 polyphenols.
    """
    losses = Losses(wort_ph=5.75)
    oxidised = bitterness.oxidised_alpha_ibu(
        losses, 1.055, 0.0, bitterness.oxidised_alpha_mg_l(150.0, 150.0)
    )
    assert abs(oxidised - 4.58) < 0.03 * 4.58
    polyphenols = bitterness.polyphenol_ibu(150e-6 / 0.088, 1.0)
    total = oxidised + bitterness.malt_ibu(1.055) + polyphenols
    assert abs(total - 5.98) < 0.03 * 5.98


def test_losses_of_an_average_beer():
    """Derived: 0.51 x 0.966 x 0.975 x 0.85 x 0.9754 and the like, from the printed factors."""
    assert abs(bitter_losses.iso_kept(Losses(), 1.050, 60.0) - 0.39826) < 4e-4
    oxidised = bitter_losses.oxidised_kept(Losses(), 1.050, 60.0)
    assert abs(oxidised - 0.51 * 0.966 * 0.687 * 0.85 * 0.9754) < 3e-4
    assert abs(bitterness.iso_factor(Losses(), 1.050, 60.0) - 0.39826 * 51.2 / 69.68) < 3e-4


def test_wort_has_neither_fermented_nor_aged():
    """Derived from the printed factors: 0.51 x 0.966 x 0.975 in the cold wort."""
    losses = Losses(flocculation=0.95, krausen=0.9, filter_share=0.95, age_min=1e6)
    assert abs(bitter_losses.iso_kept(in_wort(losses), 1.050, 60.0) - 0.51 * 0.966 * 0.975) < 5e-4
    clear = replace(losses, clarity=1.3, boil_share=0.6, wort_ph=5.2)
    assert (in_wort(clear).clarity, in_wort(clear).boil_share) == (1.3, 0.6)
    assert in_wort(clear).wort_ph == 5.2
    assert in_wort(clear).age_min == 0.0


def test_pellets_give_twice_the_oxidised_acids_of_cones():
    """Published, seen: Hosom, Hop Cones vs. Pellets, web article: factor 2 in general."""
    assert bitterness.OXIDISED_IN_BOIL_PELLETS == 2 * bitterness.OXIDISED_IN_BOIL_CONES


@pytest.mark.parametrize(
    ("field", "value", "iso", "oxidised"),
    [
        ("boil_share", 0.255, 0.5, 0.5),
        ("fermentation_share", 0.425, 0.5, 0.5),
        ("flocculation", 0.95, 0.95, 0.95),
        ("filter_share", 0.942, 0.942, 0.942),
        ("clarity", 1.30, 1.30, 1.0),
        ("krausen", 0.95, 0.95, 0.85),
        ("krausen", 0.5, 0.5, 0.0),
    ],
)
def test_each_loss_multiplies(field, value, iso, oxidised):
    """Published, seen: Hosom: clarity is for iso alone, krausen takes thrice from the others."""
    plain, changed = Losses(), replace(Losses(), **{field: value})
    for kept, share in ((bitter_losses.iso_kept, iso), (bitter_losses.oxidised_kept, oxidised)):
        assert kept(changed, 1.050, 30.0) == pytest.approx(share * kept(plain, 1.050, 30.0))


def test_lowering_ph_cuts_bitterness_by_15_to_35_per_cent():
    """Published, seen: Hosom, A Summary of Factors Affecting IBUs: pH 5.75 to 5.25."""

    def ibu(wort_ph, iso_mg_l):
        losses = Losses(wort_ph=wort_ph)
        return bitterness.iso_factor(losses, 1.05, 20.0) * iso_mg_l + bitterness.oxidised_alpha_ibu(
            losses, 1.05, 20.0, bitterness.oxidised_alpha_mg_l(150.0, 150.0)
        )

    for boiled_min, iso in ((10.0, 0.1156), (20.0, 0.2141)):
        cut = 1 - ibu(5.25, 150.0 * iso) / ibu(5.75, 150.0 * iso)
        assert 0.15 < cut < 0.35, boiled_min
