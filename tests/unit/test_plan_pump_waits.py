"""A pump that hot wort would boil in waits, and the wait is in the clock and in every number."""

from dataclasses import replace
from functools import partial
from pathlib import Path

import numpy as np
import pytest

from wortline.app.files import File
from wortline.app.planning import plan_brew, plan_documents
from wortline.app.resting import resting
from wortline.app.steps import steps
from wortline.documents.loading import load
from wortline.lot.steps import day_of
from wortline.plan.brew_day import brew_day
from wortline.plan.loss_curve import loss_curves
from wortline.units import say

EXAMPLES = Path(__file__).parents[2] / "examples"
RIG = (EXAMPLES / "shed-two-valves.yaml").read_text(encoding="utf-8")
RECIPE = (EXAMPLES / "rainday-pale.yaml").read_text(encoding="utf-8")


def files(rig=RIG, recipe=RECIPE):
    day = (EXAMPLES / "cool-march.yaml").read_bytes()
    return File("r.yaml", recipe.encode()), File("rig.yaml", rig.encode()), File("d.yaml", day)


def phase(report, name):
    return next(each for each in report["timeline"] if each["phase"] == name)


@pytest.fixture(scope="module")
def planned():
    return plan_brew(*files())


def test_the_wait_is_in_the_clock(planned):
    report = planned.report
    whirlpool, rest = phase(report, "whirlpool"), phase(report, "rest")
    assert whirlpool["stand_min"] >= 1.0 and whirlpool["stand_min"] % 1.0 == 0.0
    on_min = whirlpool["start_min"] + whirlpool["stand_min"]
    assert rest["start_min"] == pytest.approx(on_min + 4.0)
    on = [turn for turn in whirlpool["turns"] if turn["act"] == "pump"]
    assert [turn["at_min"] for turn in on] == pytest.approx([on_min])
    # Nothing is left to wait for once it goes on.
    assert not any("Wait until" in first for turn in on for first in turn["first"])
    note = next(each for each in report["notes"] if each["code"] == "pump-waits")
    assert f"stand {whirlpool['stand_min']:.0f} min" in note["text"]


def test_the_wort_is_cool_enough_when_the_pump_goes_on(planned):
    """Law: at the temperature reached, the suction head left is what the check wants."""
    from wortline.pipes.routes import line_ups
    from wortline.pipes.view import View
    from wortline.plan.line_ups import _Day

    plan = planned.plan
    whirlpool = next(each for each in plan.track.phases if each.phase == "whirlpool")
    network, limits = plan.piping.network, plan.piping.limits
    setting = line_ups(network, "whirlpool")[0].setting
    here = _Day(plan.piping, plan.day, plan.track, setting, {})
    margins = [
        View(network, setting, here.known(whirlpool.start_min + minutes), limits).suction_margin_m
        for minutes in (0.0, whirlpool.stand_min - 1.0, whirlpool.stand_min)
    ]
    assert margins[0] < limits.suction_warn_m and margins[1] < limits.suction_warn_m
    assert margins[2] >= limits.suction_warn_m


def test_every_hot_minute_counts(planned):
    """Law: the day is the day of a brew that stands so long, its bitterness higher than without."""
    plan, report = planned.plan, planned.report
    stand_min = phase(report, "whirlpool")["stand_min"]
    brew = plan.day.brew
    assert brew.stand_min == stand_min
    curves, water_l = loss_curves(brew), plan.day.volumes.water_l
    at_once = brew_day(replace(brew, stand_min=0.0), curves, water_l)
    rested = [each.hot.start_min("rest") - each.hot.heat_off_min for each in (plan.day, at_once)]
    assert rested == pytest.approx([stand_min + 4.0, 4.0])
    assert plan.day.ibu > at_once.ibu + 0.05
    assert plan.day.hot.rest_loss_l > at_once.hot.rest_loss_l
    off_min, end_min = phase(report, "whirlpool")["start_min"], phase(report, "chill")["end_min"]
    hot = plan.day.hot
    assert end_min - off_min == pytest.approx(float(hot.end_min - hot.heat_off_min))


def test_the_trade_of_the_rest_waits_as_long(planned):
    found = resting(*files())
    way = found.report["ways"][0]
    at = found.report["rest_min"].index(found.report["planned_min"])
    report = planned.report
    assert way["stand_min"] == phase(report, "whirlpool")["stand_min"]
    assert way["ibu"][at] == pytest.approx(report["bitterness"]["ibu"]["mid"], rel=2e-3)
    after_min = phase(report, "chill")["end_min"] - phase(report, "whirlpool")["start_min"]
    assert way["chilled_min"][at] == pytest.approx(after_min, rel=2e-3)
    low, high = way["aroma_low_index"][at], way["aroma_high_index"][at]
    assert low < way["aroma_index"][at] < high


def test_a_quick_plan_waits_too(planned):
    recipe, rig, day = (load(each.name, each.content) for each in files())
    quick = plan_documents(recipe, rig, day, whole=False).report
    assert phase(quick, "whirlpool")["stand_min"] == phase(planned.report, "whirlpool")["stand_min"]
    assert quick["bitterness"]["ibu"]["mid"] == planned.report["bitterness"]["ibu"]["mid"]


def test_a_pump_that_hangs_low_and_a_rig_without_pipes_wait_for_nothing(papers):
    high = RIG.replace("kind: kettle, height: 90 cm", "kind: kettle, height: 250 cm")
    assert high != RIG
    for report in (plan_brew(*files(high)).report, papers.planned().report):
        assert phase(report, "whirlpool")["stand_min"] == 0.0
        assert all(each["code"] != "pump-waits" for each in report["notes"])


def test_it_is_said_in_the_order_of_the_clock(planned):
    day = list(steps(planned.report, partial(say, system="metric")))
    acts = [(step.clock, act) for step in day for act in step.acts]
    off, waits, on, counted = (
        next(n for n, (_, act) in enumerate(acts) if text in act)
        for text in ("Heat off", "Let it stand for", "Switch P on. (First: The wort", "Counted")
    )
    on = next(n for n, (_, act) in enumerate(acts) if n > waits and act.startswith("Switch P on"))
    assert off < waits < on < counted
    assert acts[on][0] == acts[counted][0] > acts[waits][0] == acts[off][0]
    pumped = next(act for _, act in acts if act.startswith("Pump on for"))
    assert pumped.replace("\u00a0", " ") == "Pump on for 4 min."


def test_a_lot_waits_before_it_pumps(planned):
    lot = day_of(planned.report, planned.plan.piping.network)
    mine = [step for step in lot.steps if step.phase == "whirlpool"]
    ids = [step.id.partition("/")[2] for step in mine]
    assert ids.index("stand") < ids.index("turn1") < ids.index("on") < ids.index("turns")
    stand_min = phase(planned.report, "whirlpool")["stand_min"]
    due = {name: step.due.plus_min for name, step in zip(ids, mine, strict=True) if step.due}
    assert due["turn1"] == pytest.approx(stand_min) and due["on"] == stand_min
    assert due["turns"] == pytest.approx(stand_min + 4.0)
    assert "4 min" in mine[ids.index("on")].text


def test_a_lot_that_was_pumped_shorter_has_stood_before(planned):
    from wortline.lot.replan import _pumped, _stood

    brew = planned.plan.day.brew
    for whole_min in (0.5, brew.stand_min, brew.stand_min + 3.0):
        lasted = {"whirlpool": whole_min}
        assert _stood(brew, lasted) + _pumped(brew, lasted) == pytest.approx(whole_min)
        assert _pumped(brew, lasted) == pytest.approx(max(whole_min - brew.stand_min, 0.0))
    assert np.isclose(_pumped(brew, {}), 4.0) and _stood(brew, {}) == brew.stand_min
