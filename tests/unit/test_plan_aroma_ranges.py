"""Ranges of the aroma: the pace at which oil leaves hops is one of the draws."""

from dataclasses import replace

import numpy as np
import pytest

from wortline.app.tables import normal_draws, toml
from wortline.plan.aim import Aim
from wortline.plan.aroma_ranges import MEMBERS
from wortline.plan.plan import plan
from wortline.plan.report import report
from wortline.plan.rest_report import trade_of
from wortline.units import say

QUICK = {"recipe.whirlpool": None, "recipe.chill.at": "instant"}
# Where a normal draw of spread 0.5 / 1.645 around the middle has its 10th and 90th of a hundred.
TENTH = 0.5 - 1.2815516 * 0.5 / 1.645


def late(when, held="free"):
    return [{"hop": "Saaz", "mass": "40 g", "form": "pellets", "when": when, "held": held}]


def kept(report, name="linalool", dose=0):
    oils = report["aroma"]["doses"][dose]["oils"]
    return next(each for each in oils if each["name"] == name)["kept_fraction"]


def with_spread_of_pace(case, spread):
    pace = replace(case.inputs["model.oil.pace"], spread=spread)
    return replace(case, inputs={**case.inputs, "model.oil.pace": pace})


def planned(case):
    return plan(case, Aim(), normal_draws(), toml("trust.toml"))


@pytest.mark.parametrize(("held", "pace", "reachable"), [("free", 0.35, 1.0), ("mesh", 0.15, 0.9)])
def test_what_is_kept_is_as_wide_as_the_pace(papers, held, pace, reachable, monkeypatch):
    """Law: what 2 min extract is 1 - exp(-pace x 2), at the tenth and ninetieth of the pace.

    A gentle boil of 2 min takes next to nothing of geraniol; the pace is known to a factor of two.
    All 512 draws are taken: their ninetieth of a hundred is good to 0.012.
    """
    monkeypatch.setattr("wortline.plan.aroma_ranges.MEMBERS", 512)
    changes = {"recipe.hops": late("2 min", held), "rig.boil_off": "0.5 L/h", **QUICK}
    found = kept(report(planned(papers.but(changes).plain()[0].case), {}), "geraniol")
    for share, end in ((TENTH, "low"), (0.5, "mid"), (1.0 - TENTH, "high")):
        times = 2.0 ** ((share - 0.5) / 0.5)
        exact = reachable * (1.0 - np.exp(-pace * times * 2.0))
        assert found[end] == pytest.approx(exact, abs=0.03)


def test_without_a_spread_of_the_pace_it_is_narrower(papers):
    case = papers.but({"recipe.hops": late("2 min"), **QUICK}).plain()[0].case
    known, unknown = (
        kept(report(planned(with_spread_of_pace(case, spread)), {}))
        for spread in (0.0, case.inputs["model.oil.pace"].spread)
    )
    assert known["mid"] == unknown["mid"]
    assert known["high"] - known["low"] < 0.3 * (unknown["high"] - unknown["low"])


def test_a_boiled_dose_is_as_wide_as_its_volatility(papers):
    """Law: after an hour all oil is out, and what is left hangs on the steam alone."""
    case = papers.but({"recipe.hops": late("60 min"), **QUICK}).plain()[0].case
    known, unknown = (
        kept(report(planned(with_spread_of_pace(case, spread)), {}))
        for spread in (0.0, case.inputs["model.oil.pace"].spread)
    )
    assert unknown["low"] == pytest.approx(known["low"], rel=0.25)
    assert unknown["high"] == pytest.approx(known["high"], rel=0.25)
    # The sheet's own bounds of K 37 to 114 leave 0.03 to 0.14 of 0.07: twofold either way.
    assert unknown["low"] < 0.6 * unknown["mid"] and unknown["high"] > 1.6 * unknown["mid"]


def test_the_index_is_no_narrower_than_half_to_twice(papers):
    told = papers.planned().report
    for place, dose in enumerate(told["aroma"]["doses"]):
        index = dose["index_g_l"]
        share = kept(told, dose=place)
        assert index["low"] <= index["mid"] / 2 and index["high"] >= index["mid"] * 2
        # A boiled dose is wider: so is what is kept of it.
        if share["low"] < 0.3 * share["mid"]:
            assert index["low"] < 0.4 * index["mid"]
    total = told["aroma"]["index_g_l"]
    ranged = told["ranges"]["aroma.index_g_l"]
    assert {key: ranged[key] for key in total} == total
    assert ranged["trust"] == "guess"
    assert all(name.startswith(("model.oil.", "recipe.hops.", "rig.", "day.", "model.s"))
               for name in ranged["because"])  # fmt: skip


def test_no_other_number_hangs_on_the_oil(papers):
    told = papers.planned().report
    others = {key: each for key, each in told["ranges"].items() if not key.startswith("aroma.")}
    assert all("model.oil" not in name for each in others.values() for name in each["because"])


def test_members_of_the_ranges_are_those_of_the_ensemble(papers):
    """One pass over a part of the members gives each what it gets in a day of its own."""
    from wortline.plan.brew_day import brew_day
    from wortline.plan.loss_curve import loss_curves

    case = papers.plain()[0].case
    found = planned(case)
    step = len(normal_draws()) // MEMBERS
    assert found.aroma_members.kept.shape == (3, 5, MEMBERS)
    curves = loss_curves(case.central)
    for place in (0, 1, MEMBERS - 1):
        brew = case.drawn(normal_draws()[place * step : place * step + 1])[0]
        alone = brew_day(brew, curves, found.day.volumes.water_l).aroma
        np.testing.assert_allclose(
            found.aroma_members.index_g_l[:, place], alone.index_g_l[:, 0], rtol=2e-3, atol=1e-5
        )


@pytest.mark.parametrize("hops", [[], late("dry hop")])
def test_without_hops_in_hot_wort_there_is_no_range(papers, hops):
    told = papers.but({"recipe.hops": hops}).planned().report
    assert "aroma.index_g_l" not in told["ranges"]
    assert told["aroma"]["index_g_l"] == {"low": 0.0, "mid": 0.0, "high": 0.0}
    for dose in told["aroma"]["doses"]:
        assert all(set(each["kept_fraction"].values()) == {None} for each in dose["oils"])


def test_the_trade_has_a_range_of_aroma(papers):
    """Law: a rest against itself is sure; the longer the other, the less is known of it."""
    worked = papers.planned().plan
    trade = trade_of(worked, 90.0, say, normal_draws())
    first, *others = trade.ways
    low, high = first.aroma_ends()
    assert low[0] == pytest.approx(100.0) and high[0] == pytest.approx(100.0)
    assert (low <= first.aroma_index).all() and (first.aroma_index <= high).all()
    wide = high - low
    assert wide[15] > 2.0 and wide[-1] > wide[15]
    assert all(way.aroma_ends() is None for way in others)
    # The sentence says the same as the curve.
    knee = int(trade.knee_min)
    place = int(np.searchsorted(trade.rest_min, knee))
    assert (
        f"aroma x {first.aroma_index[place] / 100:.2f}"
        f" ({low[place] / 100:.2f} to {high[place] / 100:.2f})" in trade.verdict
    )


def test_the_trade_is_wider_for_the_pace(papers):
    """A dose that goes in as the rest ends has seconds to give up its oil before it is cold."""
    changes = {"recipe.hops": late("heat-off"), "recipe.chill.at": "20 K/min"}
    worked = papers.but(changes).planned().plan
    known = replace(worked, fitted=replace(
        worked.fitted, case=with_spread_of_pace(worked.fitted.case, 0.0)))  # fmt: skip
    wide = [
        np.subtract(*trade_of(each, 90.0, say, normal_draws()).ways[0].aroma_ends()[::-1])
        for each in (worked, known)
    ]
    assert wide[0][5] > 1.5 * wide[1][5]


def test_without_draws_the_trade_has_none(papers):
    assert trade_of(papers.planned().plan, 90.0, say).ways[0].aroma_ends() is None


def test_the_range_is_printed_and_shown(papers):
    from wortline.app.drawing import rest_svg
    from wortline.app.rest_words import rows
    from wortline.app.resting import resting
    from wortline.cli.rest import rest_sheet
    from wortline.cli.sheet import sheet

    told = resting(*_files(papers)).report
    way = told["ways"][0]
    at = told["rest_min"].index(told["planned_min"])
    low, high = (f"{way[f'aroma_{end}_index'][at]:.0f}" for end in ("low", "high"))
    row = next(each for each in rows(told, "metric") if each.key == "aroma_index")
    assert row.cells[0][at] == f"{way['aroma_index'][at]:.0f} ({low} to {high})"
    assert "(" not in row.cells[1][at]
    lines = rest_sheet(told).splitlines()
    head = next(n for n, line in enumerate(lines) if line.startswith("AROMA as planned"))
    minutes = lines[head + 1].removeprefix("minutes of rest").split()
    column = minutes.index(f"{told['planned_min']:.0f}")
    printed = [line.split()[-len(minutes) :] for line in lines[head + 2 : head + 5]]
    assert printed[1][column] == low and printed[2][column] == high
    # Two grey bands: aroma and solids.
    assert rest_svg(told).count('fill="#d4d6da"') >= 3
    text = sheet(papers.planned().report)
    under = text[text.index("AROMA") :].splitlines()
    assert under[3].startswith("  8 in 10 days") and "-" in under[3]


def _files(papers):
    from wortline.app.files import File

    return [
        File(name, text.encode())
        for name, text in zip(("recipe", "rig", "day"), papers.texts(), strict=True)
    ]
