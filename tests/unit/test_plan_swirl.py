"""The whirlpool in the plan: the kettle it is given, what the plan makes of it, what readings do.

Kind: law, unless a test says otherwise. The model itself is tested with the science.
"""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from wortline.app.drawing import kettle_svg
from wortline.app.explaining import why
from wortline.app.steps import steps
from wortline.app.tables import normal_draws, toml
from wortline.documents.words import Lid
from wortline.plan import swirl_ranges
from wortline.plan.loss_curve import loss_curves
from wortline.plan.swirl_line import LATER, PLANNED, RUNNING, STOP, hops_free_kg
from wortline.plan.swirl_notes import swirl_notes
from wortline.science.swirl_kettle import SwirlKettle
from wortline.science.water import expansion
from wortline.science.whirlpool import run
from wortline.units import say

KEYS = ["turns_per_min", "pump_min", "rest_min", "clear_fraction", "cone_cold_l",
        "draw_off_mark_cm", "left_cold_l"]  # fmt: skip
READINGS = {
    "turns": ["14 /min", "4 /min", "1.6 /min"],
    "clear_after": "22 min",
    "pumped": "4 min",
}


@pytest.fixture(scope="module")
def planned(papers):
    return papers.planned()


def swirled(papers, **swirl):
    return papers.but({"rig.swirl": swirl})


def notes(planned, code):
    return [note["text"] for note in planned["notes"] if note["code"] == code]


def test_the_kettle_is_that_of_the_day(planned):
    plan = planned.plan
    kettle, day = plan.swirl.kettle, plan.day
    assert kettle.diameter_m == 0.38
    hot_l = float(day.volumes.postboil_l * expansion(kettle.temp_c))
    assert kettle.wort_hot_l == pytest.approx(hot_l)
    rest_c = [float(day.hot.stretches[name].ends_c[-1]) for name in ("rest", "boil")]
    assert rest_c[0] < kettle.temp_c < rest_c[1]
    assert kettle.hops_free_kg == pytest.approx(0.022 + 0.040 + 0.035)
    # What the kettle loses is what its temperature falls by: its heat, over the 18 min of its rest.
    # The kettle is that of the first 15 of them, a little warmer than the whole.
    fall_dk = float(np.ptp(day.hot.stretches["rest"].ends_c))
    heat_kj_k = float(day.volumes.postboil_l) * 1.05 * 4.0 + float(day.brew.rig.metal_kj_k)
    assert kettle.loss_w == pytest.approx(1000.0 * heat_kj_k * fall_dk / (60.0 * 18.0), rel=0.05)


def test_the_plan_has_the_numbers_of_the_model(planned):
    """Kind: oracle of the wiring: the same kettle given to the model by hand."""
    kettle = planned.plan.swirl.kettle
    plain = SwirlKettle(**{key: float(value) for key, value in vars(kettle).items()})
    found = run(plain, 4.0, 18.0)
    told = planned.report["whirlpool"]
    wanted = {
        "turns_per_min": found.turns_per_min_stop,
        "pump_min": found.pump_min,
        "rest_min": found.rest_min,
        "clear_fraction": found.clear_fraction,
        "cone_cold_l": found.cone_cold_l,
        "draw_off_mark_cm": 100.0 * found.draw_off.level_m,
        "left_cold_l": found.left_cold_l,
    }
    assert {key: told[key] for key in wanted} == pytest.approx(
        {key: float(value) for key, value in wanted.items()}, rel=1e-9
    )
    assert [each["after_min"] for each in told["turns"]] == [0.0, 2.0, 5.0]
    assert told["turns"][0]["turns_per_min"] == pytest.approx(told["turns_per_min"])
    assert told["running_clear_fraction"] == pytest.approx(
        float(run(plain, 4.0, 18.0, rest_flow_l_min=plain.flow_l_min).clear_fraction), rel=1e-9
    )


def test_a_running_pump_never_clears_and_rest_does(planned):
    line = planned.plan.swirl
    clear = [line.at(line.found.clear_fraction, each) for each in (STOP, LATER, PLANNED)]
    assert clear == sorted(clear)
    assert line.at(line.found.clear_fraction, RUNNING) < 0.5 * clear[-1]
    assert "never clears" in notes(planned.report, "swirl-pump")[0]


def test_the_moments_follow_each_other(planned):
    moments = planned.report["whirlpool"]["moments"]
    assert [each["name"] for each in moments] == ["pump running", "pump stopped", "end of rest"]
    for before, after in pairwise(moments):
        assert after["turns_per_min"] < before["turns_per_min"]
        assert after["suspended_fraction"] < before["suspended_fraction"]
        assert after["cone_height_m"] > before["cone_height_m"]
        assert after["dip_m"] < before["dip_m"]
    # v^2 / 2g at the wall of a body that turns as one, from any textbook of mechanics.
    wall_m_s = moments[0]["turns_per_min"] / 60.0 * 2.0 * np.pi * 0.19
    assert moments[0]["dip_m"] == pytest.approx(wall_m_s**2 / (2.0 * 9.80665), rel=1e-9)


def test_every_number_has_a_wide_range_a_reason_and_the_word_guess(planned):
    report = planned.report
    for key in KEYS:
        ranged = report["ranges"][f"whirlpool.{key}"]
        assert ranged["low"] <= ranged["mid"] == report["whirlpool"][key] <= ranged["high"]
        assert ranged["trust"] == "guess"
        told = why(planned, f"whirlpool.{key}")
        assert told["value"] == report["whirlpool"][key]
        assert told["inputs"] and told["sources"] and told["formula"]
        assert len(set(ranged["because"])) == 2
        assert {each["name"] for each in told["inputs"]} >= set(ranged["because"])
    assert report["ranges"]["whirlpool.rest_min"]["high"] > 1.5 * report["whirlpool"]["rest_min"]


def test_a_part_of_the_draws_gives_the_ranges_of_all(planned, monkeypatch):
    """An end that one member in ten lies beyond is known to a fifth from 64 of them."""
    plan, all_draws = planned.plan, normal_draws()
    curves = loss_curves(plan.fitted.case.central)
    monkeypatch.setattr(swirl_ranges, "MEMBERS", len(all_draws))
    members = swirl_ranges.swirl_members(plan.fitted, curves, plan.swirl, all_draws)
    inputs, words = plan.fitted.case.inputs, toml("trust.toml")
    for key, each in swirl_ranges.swirl_ranges(plan.swirl, members, inputs, words).items():
        mine = planned.report["ranges"][key]
        assert mine["low"] == pytest.approx(each.low, rel=0.2), key
        assert mine["high"] == pytest.approx(each.high, rel=0.2), key


def test_without_whirlpool_and_rest_there_is_none(papers):
    bare = papers.but({"recipe.whirlpool": None, "recipe.hops.2.when": "heat-off"})
    planned = bare.planned()
    assert planned.report["whirlpool"] is None
    assert not [key for key in planned.report["ranges"] if key.startswith("whirlpool")]
    assert why(planned, "whirlpool.turns_per_min")["value"] is None
    assert not notes(planned.report, "draw-off")


def test_a_rest_without_a_pump_settles_but_gathers_no_cone(papers, planned):
    still = papers.but({"recipe.whirlpool.pump": "0 min"}).planned()
    told = still.report["whirlpool"]
    assert (told["turns_per_min"], told["pump_min"] > 0.0) == (0.0, True)
    spun, stood = planned.plan.swirl, still.plan.swirl
    assert stood.at(stood.found.cone_share) < 0.5 * spun.at(spun.found.cone_share)
    assert not notes(still.report, "swirl-pump")


def test_what_stands_in_the_way_costs_the_swirl(papers, planned):
    coil = swirled(papers, obstacle="400 cm2").plain()[1]
    free = planned.report["whirlpool"]
    assert coil["whirlpool"]["turns_per_min"] < 0.6 * free["turns_per_min"]
    assert coil["whirlpool"]["unobstructed_turns_per_min"] == pytest.approx(
        free["turns_per_min"], rel=1e-6
    )
    assert free["unobstructed_turns_per_min"] is None
    assert "costs you the swirl" in notes(coil, "swirl-obstacle")[0]
    screen = swirled(papers, floor="screen").plain()[1]
    assert notes(screen, "swirl-obstacle")[0].startswith("The screen on the floor")


def test_more_flow_turns_faster(papers):
    turns = [
        swirled(papers, flow=flow).plain()[1]["whirlpool"]["turns_per_min"]
        for flow in ("5 L/min", "8 L/min", "15 L/min")
    ]
    assert turns == sorted(turns)


def test_readings_take_the_place_of_the_guess(papers, planned):
    mine = swirled(papers, **READINGS).planned()
    told, ranges = mine.report["whirlpool"], mine.report["ranges"]
    assert told["from_readings"] and not planned.report["whirlpool"]["from_readings"]
    counted = [each["turns_per_min"] for each in told["turns"]]
    assert counted == pytest.approx([14.0, 4.0, 1.6], rel=0.15)
    assert told["turns_per_min"] == pytest.approx(14.0, rel=0.02)
    # Clear is when it looks clear; the plan waits for it to be still besides.
    assert told["rest_min"] == pytest.approx(22.0, rel=0.10)
    for key in ("turns_per_min", "rest_min"):
        mine_r, guess = (each[f"whirlpool.{key}"] for each in (ranges, planned.report["ranges"]))
        widths = [np.log(each["high"] / each["low"]) for each in (mine_r, guess)]
        assert widths[0] < 0.7 * widths[1], key
        assert mine_r["trust"] in ("fair", "guess")
    assert ranges["whirlpool.turns_per_min"]["trust"] == "fair"
    assert not notes(mine.report, "swirl-guess") and notes(planned.report, "swirl-guess")


def test_readings_of_another_day_serve_on_this_one(papers):
    """Fuller, with other hops and pumped for longer: the constants are the rig's, not the day's."""
    other = {**READINGS, "wort": "40 L", "hops": "20 g", "pumped": "8 min"}
    report = swirled(papers, **other).planned().report
    ranges = {key: each for key, each in report["ranges"].items() if key.startswith("whirlpool")}
    turns = ranges["whirlpool.turns_per_min"]
    assert turns["high"] / turns["low"] < 1.6
    for each in ranges.values():
        assert each["low"] <= each["mid"] <= each["high"]
    still = papers.but({"rig.swirl": READINGS, "recipe.whirlpool.pump": "0 min"}).planned().report
    assert still["whirlpool"]["from_readings"] and not notes(still, "swirl-guess")


def test_readings_that_no_kettle_gives_are_named(papers):
    odd = swirled(papers, turns=["60 /min", "59 /min", "58 /min"], clear_after="1 min").plain()[1]
    assert "cannot be met" in notes(odd, "swirl-readings")[0]


def test_a_rig_with_pipes_takes_flow_bore_and_outlet_from_them(papers):
    from pathlib import Path

    from wortline.app.files import File
    from wortline.app.planning import plan_brew

    examples = Path(__file__).parents[2] / "examples"
    files = [
        File(name, (examples / name).read_bytes())
        for name in ("rainday-pale.yaml", "shed-two-valves.yaml", "cool-march.yaml")
    ]
    plan = plan_brew(*files).plan
    kettle, inputs = plan.swirl.kettle, plan.case.inputs
    assert (kettle.nozzle_m, kettle.outlet_m) == (0.0095, 0.03)
    assert 8.0 < kettle.flow_l_min < 20.0
    assert "from the plumbing" in inputs["rig.swirl.flow"].text


def test_hops_that_swim_are_free_and_in_before_the_chill(papers):
    plan = papers.but(
        {"recipe.hops.0.held": "mesh", "recipe.hops.1.when": "dry hop"}
    ).plain()[0]
    assert hops_free_kg(plan.day) == pytest.approx(0.035)
    told = papers.plain()[1]
    assert notes(told, "hops-after-pump")[0].startswith("d3 goes in free after the pump")


def test_many_free_hops_bring_the_cone_to_the_outlet(papers):
    """Kind: published as common practice: about 100 g and more in a kettle of this size."""
    plenty = papers.but({"recipe.hops.1.mass": "200 g"}).plain()[1]
    assert "hold a dose in a bag or mesh" in notes(plenty, "cone-at-outlet")[0]
    assert not notes(papers.but({"recipe.hops.2.held": "bag"}).plain()[1], "cone-at-outlet")


def test_the_ledger_is_held_against_the_draw_off_line(papers):
    little = papers.but({"rig.kettle.left_behind": "0.2 L"}).plain()[1]
    (text,) = notes(little, "draw-off")
    assert "less in the fermenter" in text and "left_behind" in text
    roomy = papers.but({"rig.kettle.left_behind": "3 L"}).plain()[1]
    assert "left_behind" not in notes(roomy, "draw-off")[0]


def said(report):
    def spoken(value, kind, **how):
        return f"{value:.4g} {kind}"

    return list(steps(report, spoken))


def test_the_printed_day_says_what_to_count_and_where_to_stop(planned):
    day = said(planned.report)
    (pump,) = [step for step in day if step.acts[0].startswith("Pump on")]
    assert "turns" in pump.acts[1] and "______" in pump.acts[1]
    assert pump.cautions and "Element off first" in pump.cautions[0]
    (rest,) = [step for step in day if "Rest\u00a0" in step.acts[0] or "Rest 18" in step.acts[0]]
    assert [act.split(" in:")[0] for act in rest.acts[1:3]] == ["2 min", "5 min"]
    slow = planned.report | {
        "whirlpool": planned.report["whirlpool"]
        | {"turns": [{"after_min": 2.0, "turns_per_min": 1.2}]}
    }
    acts = [act for step in said(slow) for act in step.acts]
    assert any("about 1\u00a0turn\u00a0a\u00a0minute" in act for act in acts)
    assert rest.acts[3].startswith("Sample at the outlet, clear after")
    (sent,) = [step for step in day if any("Transfer" in act for act in step.acts)]
    assert "draw-off line" in sent.acts[0] and sent.cautions


def test_a_short_rest_counts_no_further_than_it_lasts(papers):
    short = papers.but({"recipe.whirlpool.rest": "3 min", "recipe.hops.2.when": "heat-off"})
    day = said(short.planned().report)
    (rest,) = [step for step in day if "Rest" in step.acts[0]]
    assert len([act for act in rest.acts if " in: about" in act]) == 1


def test_more_rest_never_makes_the_wort_dirtier(planned):
    from wortline.plan.rest_report import trade_of
    from wortline.units import say

    trade = trade_of(planned.plan, 90.0, say)
    for way in trade.ways:
        assert (np.diff(way.clear) >= -1e-12).all()
        assert ((way.clear >= 0.0) & (way.clear <= 1.0)).all()
    first = trade.ways[0]
    here = int(np.flatnonzero(trade.rest_min == 18.0)[0])
    assert first.clear[here] == pytest.approx(
        planned.report["whirlpool"]["clear_fraction"], abs=2e-3
    )
    assert (first.clear_low <= first.clear_high).all()
    assert first.lines.way.lid == Lid("off")
    assert first.aroma_index[0] == pytest.approx(100.0)
    # More rest takes aroma away with the steam, the less so under a lid.
    after = trade.rest_min >= 10.0
    assert (np.diff(first.aroma_index[after]) < 0.0).all()
    assert (trade.ways[1].aroma_index >= first.aroma_index).all()
    assert all(a >= b for a, b in pairwise(first.clog) if b)


def test_a_screen_costs_the_cone_and_claims_nothing_of_the_turns_or_the_pump(papers):
    screen = swirled(papers, floor="screen").plain()[1]
    (text,) = notes(screen, "swirl-obstacle")
    assert "costs you the cone, though it turns as fast" in text and "instead of" in text
    (pump,) = notes(screen, "swirl-pump")
    assert "never clears" not in pump and "running or not" in pump


def test_where_the_outlet_decides_the_line_says_so(papers):
    high = swirled(papers, outlet="6 cm").plain()
    assert high[0].swirl.outlet_decides
    assert high[1]["whirlpool"]["draw_off_mark_cm"] == pytest.approx(6.0)
    (text,) = notes(high[1], "draw-off")
    assert "the outlet decides" in text and "Only tilting" in text and "more hardly" not in text
    low = swirled(papers, outlet="2 mm").plain()
    assert not low[0].swirl.outlet_decides
    assert "the outlet decides" not in notes(low[1], "draw-off")[0]


def test_a_rate_of_turning_is_not_told_in_minutes(planned):
    from wortline.cli.reasons import reasons

    first = reasons(why(planned, "whirlpool.turns_per_min")).splitlines()[0]
    assert first.endswith("/min")


def test_unpumped_there_is_no_cone_anywhere_and_a_word_on_it(papers):
    still = papers.but({"recipe.whirlpool.pump": "0 min"}).planned()
    told = still.report["whirlpool"]
    assert told["cone_cold_l"] == 0.0
    assert [each["cone_height_m"] for each in told["moments"]] == [0.0, 0.0, 0.0]
    assert "whirlpool.cone_cold_l" not in still.report["ranges"]
    (text,) = notes(still.report, "swirl-unpumped")
    assert "makes no cone" in text
    drawn = kettle_svg(still.report)
    assert "not turning" in drawn and "switched off" not in drawn


def test_a_range_that_ends_where_nobody_looks_any_more_is_told_as_over_it(planned):
    high = planned.report["ranges"]["whirlpool.rest_min"]["high"]
    (text,) = notes(planned.report, "swirl-rest")
    assert f"to {high:.0f}, guess" in text and "over" not in text
    slow = {**planned.plan.ranges}
    slow["whirlpool.rest_min"] = replace(slow["whirlpool.rest_min"], high=60.0)
    told = swirl_notes(planned.plan.day, planned.plan.swirl, slow, say)
    (text,) = [each.text for each in told if each.code == "swirl-rest"]
    assert "to over 60, guess" in text


def test_a_sample_that_clears_after_the_rest_is_said_to(planned):
    late = planned.report | {"whirlpool": planned.report["whirlpool"] | {"rest_min": 40.0}}
    acts = [act for step in said(late) for act in step.acts if act.startswith("Sample")]
    assert "later than this rest lasts" in acts[0]
    acts = [act for step in said(planned.report) for act in step.acts if act.startswith("Sample")]
    assert "later than" not in acts[0]


def test_a_rest_that_lets_the_wort_get_warm_is_warned_of(papers, planned):
    """Kind: common practice, no source: below about 60 C wort no longer keeps itself."""
    long = papers.but({"recipe.whirlpool.rest": "12 h"}).plain()[1]
    (text,) = notes(long, "rest-stands-warm")
    assert "60" in text
    assert not notes(planned.report, "rest-stands-warm")


def test_a_dose_into_the_chill_stands_at_its_minute_among_the_acts_of_the_hand(planned):
    """Law: a day is read from top to bottom; nothing stands before what comes earlier."""
    report = planned.report
    chill = next(each for each in report["timeline"] if each["phase"] == "chill")
    start_min, end_min = chill["start_min"], chill["end_min"]
    turn = {"text": "Valve to fermenter.", "first": [], "for": "chill-and-transfer"}
    acted = {**chill, "turns": [{**turn, "at_min": 0.1 * start_min + 0.9 * end_min}]}
    doses = [
        dose | {"in_min": 0.5 * (start_min + end_min), "moment": "below"}
        if dose["id"] == "d3" else dose for dose in report["bitterness"]["doses"]
    ]  # fmt: skip
    mixed = report | {
        "timeline": [acted if each is chill else each for each in report["timeline"]],
        "bitterness": report["bitterness"] | {"doses": doses},
    }
    acts = [step.acts[0] for step in said(mixed)]
    dose = next(at for at, act in enumerate(acts) if act.startswith("d3"))
    hand = next(at for at, step in enumerate(said(mixed)) if "Valve to" in " ".join(step.acts))
    assert dose < hand
