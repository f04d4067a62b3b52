"""Putting away: every low point is drained, and what stays behind agrees with the ledger."""

from pathlib import Path

import pytest

from wortline.app.files import File
from wortline.app.planning import plan_brew
from wortline.app.steps import steps as sheet_steps
from wortline.lot.rig_steps import low_points
from wortline.lot.steps import day_of
from wortline.units import say

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def planned():
    names = ("rainday-pale", "shed-two-valves", "cool-march")
    paths = [EXAMPLES / f"{name}.yaml" for name in names]
    return plan_brew(*(File(path.name, path.read_bytes()) for path in paths))


def test_the_pump_is_drained_too(planned):
    # the pump hangs at 20 cm under a kettle at 90 cm: whatever the waste of the chill water does
    assert low_points(planned.plan.piping.network) == ("P", "chiller")
    day = day_of(planned.report, planned.plan.piping.network)
    assert "Drain at the low points: P, chiller." in day.step["away/drain"].text


def test_both_parts_of_what_stays_behind_are_said_as_the_ledger_has_them(planned):
    rows = {row["step"]: row["cold_l"] for row in planned.report["ledger"]}
    kettle_l = rows["hops_hold"] + rows["left_behind"]
    told = (
        f"The ledger counts {say(kettle_l, 'volume')} cold in the kettle and"
        f" {say(rows['hold_up'], 'volume')} cold in the line."
    )
    assert rows["wort"] - kettle_l - rows["hold_up"] == pytest.approx(rows["fermenter"])
    day = day_of(planned.report, planned.plan.piping.network)
    assert told in day.step["transfer/drawn"].text

    def spoken(value, kind, **how):
        return say(value, kind, "metric", **how)

    printed = " ".join(act for step in sheet_steps(planned.report, spoken) for act in step.acts)
    assert told in printed


def test_what_is_left_wet_is_ticked_part_by_part(planned):
    day = day_of(planned.report, planned.plan.piping.network)
    wet = day.step["away/wet"]
    assert wet.surface == ("", "left wet")
    assert {"kettle", "P", "chiller", "H4", "fermenter"} <= set(wet.parts)
    assert not {"W", "waste"} & set(wet.parts)
    assert "chiller" in day.step["setup/marks"].parts
