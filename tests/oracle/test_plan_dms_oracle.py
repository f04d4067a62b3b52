"""The DMS line against scipy's solver, and its directions.

Kind: oracle, `solve_ivp`, with constants typed here: half-life of the precursor 38 min at pH 5.2
and 100 C, faster with pH by exp(0.521 dpH), 128 kJ/mol (Dickenson, 1979; Wilson and Booer, 1979);
stripping 63.5 (boil) and 45 (still surface, common practice) times the share evaporated a minute.
"""

import itertools

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from wortline.science.extract import plato_from_sg, wort_density_kg_m3
from wortline.science.kettle import LID_LEAK, lidded_surface

AREA_M2 = np.pi / 4 * 0.38**2
KPA = 101.325 * (1.0 - 2.25577e-5 * 220.0) ** 5.25588
MALTS = {"recipe.grist.0.dms_precursor": "5 mg/kg", "recipe.grist.1.dms_precursor": "3 mg/kg"}


def split_per_min(temp_c):
    warm = np.exp(-128e3 / 8.314462618 * (1.0 / (temp_c + 273.15) - 1.0 / 373.15))
    return np.log(2.0) / 38.0 * warm * np.exp(0.521 * (5.4 - 5.2))


def phase(report, name):
    return next(each for each in report["timeline"] if each["phase"] == name)


@pytest.mark.parametrize("lid", ["off", "on"])
def test_precursor_and_free_dms_along_the_hot_side(papers, lid):
    report = papers.but(MALTS | {"recipe.whirlpool.lid": lid}).quick()
    lines = report["lines"]
    time_min, temp_c = np.array(lines["time_min"]), np.array(lines["temp_c"])
    wort_l = next(row["cold_l"] for row in report["ledger"] if row["step"] == "wort")
    plato = float(plato_from_sg(report["gravity"]["original_sg"]))
    wort_kg = wort_l * float(wort_density_kg_m3(plato, 20.0)) / 1000.0
    shares = {"lift": 1.0, "to_boil": LID_LEAK, "boil": None}
    shares |= dict.fromkeys(("whirlpool", "rest", "chill"), 1.0 if lid == "off" else LID_LEAK)
    state = np.array([(4.80 * 5.0 + 0.50 * 3.0) * 1000.0 / wort_l, 0.0])
    for name, share in shares.items():
        start, end = phase(report, name)["start_min"], phase(report, name)["end_min"]
        inside = (time_min > start) & (time_min < end)
        times = np.array([start, *time_min[inside], end])
        temps = np.array([phase(report, name)["start_c"], *temp_c[inside],
                          phase(report, name)["end_c"]])  # fmt: skip

        def change(t, y, times=times, temps=temps, share=share):
            now_c = np.interp(t, times, temps)
            if share is None:
                strip = 63.5 * 2.9 * 0.998207 / 60.0 / wort_kg
            else:
                steam = lidded_surface(now_c, 16.0, KPA, share).evaporation_kg_m2_min * AREA_M2
                strip = 45.0 * max(float(steam), 0.0) / wort_kg
            split = split_per_min(now_c)
            return [-split * y[0], split * y[0] - strip * y[1]]

        state = solve_ivp(change, (start, end), state, rtol=1e-8, max_step=2.0).y[:, -1]
    found = report["dms_ug_l"]
    assert found["precursor_left"] == pytest.approx(state[0], rel=3e-3)
    assert found["wort"] == pytest.approx(state[1], rel=1e-2)
    # Fermentation carries off half (Fix, 1999).
    assert found["beer"] == pytest.approx(0.5 * found["wort"])


def wort_ug_l(papers, **changes):
    return papers.but(changes).quick()["dms_ug_l"]


def test_a_lid_on_the_rest_keeps_it_in(papers):
    """Kind: law. It is also hotter under the lid, so more is set free."""
    lids = ("off", {"gap": "40 cm2"}, "on")
    found = [wort_ug_l(papers, **{"recipe.whirlpool.lid": lid})["wort"] for lid in lids]
    assert found == sorted(found) and found[-1] > 1.5 * found[0]


def test_a_lid_on_the_boil_lets_it_drip_back(papers):
    """Kind: law."""
    lids = ("off", {"gap": "100 cm2"}, "on")
    found = [wort_ug_l(papers, **{"recipe.boil.lid": lid})["wort"] for lid in lids]
    assert found == sorted(found) and found[-1] > 3.0 * found[0]


def test_pilsner_malt_brings_more_than_pale(papers):
    """Kind: common practice, and the typical values of the malts (Fix, 1999)."""
    pale = wort_ug_l(papers)
    pilsner = wort_ug_l(papers, **{"recipe.grist.0.malt": "pilsner"})
    assert pilsner["wort"] > 2.0 * pale["wort"]


def test_a_longer_boil_leaves_less_precursor_and_less_dms(papers):
    """Kind: law. Half of the precursor for each 36 min at about 99 C and pH 5.4."""
    found = [
        wort_ug_l(papers, **{"recipe.boil.for": f"{minutes} min"}) for minutes in (60, 75, 90, 120)
    ]
    for one, other in itertools.pairwise(found):
        assert other["precursor_left"] < one["precursor_left"]
        assert other["wort"] < one["wort"]


def test_a_slow_chill_sets_more_free(papers):
    """Kind: law, under a lid where nothing leaves."""
    lid = {"recipe.whirlpool": None, "recipe.hops.2.when": "heat-off"}
    fast, slow = (
        wort_ug_l(papers, **lid, **{"recipe.chill": {"to": "18 C", "at": rate, "lid": "on"}})
        for rate in ("10 K/min", "1 K/min")
    )
    assert slow["wort"] > fast["wort"]
    assert slow["precursor_left"] < fast["precursor_left"]


def test_what_can_be_tasted_is_said(papers):
    """Kind: common practice, about 50 ug/L in beer."""
    report = papers.but({"recipe.grist.0.malt": "pilsner", "recipe.boil.lid": "on"}).quick()
    assert report["dms_ug_l"]["beer"] > 50.0
    assert "dms" in {note["code"] for note in report["notes"]}
    assert "dms" not in {note["code"] for note in papers.quick()["notes"]}
