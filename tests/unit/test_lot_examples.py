"""Every example, method and set of units makes a lot whose ways and tables are numbers."""

import json
from dataclasses import asdict
from functools import partial
from pathlib import Path

import pytest

from wortline.app.files import File
from wortline.app.planning import plan_brew
from wortline.lot.bench import Bench
from wortline.lot.day import chemistry_clash, day_values, read_day
from wortline.lot.interruption import Cut
from wortline.lot.replan import Known, base_of, replan
from wortline.lot.steps import day_of
from wortline.lot.ways_day import Facts
from wortline.lot.ways_out import TROUBLES, ways_after_cut, ways_out
from wortline.units import say

EXAMPLES = Path(__file__).parents[2] / "examples"
RECIPES = sorted(
    path.stem
    for path in EXAMPLES.glob("*.yaml")
    if "schema: recipe/" in path.read_text(encoding="utf-8")
)


assert len(RECIPES) >= 5


def file(name):
    path = EXAMPLES / f"{name}.yaml"
    return File(path.name, path.read_bytes())


@pytest.mark.parametrize("recipe", RECIPES)
@pytest.mark.parametrize(
    ("rig", "method", "system"),
    [("shed-45", "kinetic", "us"), ("shed-two-valves", "tinseth", "metric")],
)
def test_an_example_becomes_a_lot(recipe, rig, method, system):
    # A recipe that names a chiller is brewed where that chiller is.
    rig = "weir-cottage-40" if b"with: plate" in file(recipe).content else rig
    planned = plan_brew(file(recipe), file(rig), file("cool-march"), method, system)
    piping = planned.plan.piping
    day = day_of(planned.report, piping.network if piping else None, system)
    assert read_day(json.loads(json.dumps(day_values(day), allow_nan=False))) == day
    assert list(chemistry_clash(day)) == []
    assert len({step.id for step in day.steps}) == len(day.steps)
    assert {step.phase for step in day.steps} <= set(day.phase)
    for step in day.steps:
        assert set(step.needs) <= set(day.step), step.id
    doses = {dose["id"] for dose in planned.report["bitterness"]["doses"]
             if dose["in_min"] is not None}  # fmt: skip
    assert {step.dose for step in day.steps if step.dose} == doses
    if not planned.report["fits"]:
        return
    base = base_of(planned.plan)
    bench = Bench(replan(base, Known()), partial(say, system=system), 20.0)
    facts = Facts(mash_c=60.0, dose=base.day.brew.doses[0].id, before_heat_off_min=5.0,
                  wort_c=30.0, left_l=8.0)  # fmt: skip
    for trouble in TROUBLES:
        ways = ways_out(bench, trouble, facts)
        assert ways[0].code == "nothing"
        json.dumps([asdict(way) for way in ways], allow_nan=False)
    cut = ways_after_cut(bench, Cut(20.0, 30.0))
    assert len(cut) == 4
    json.dumps([asdict(way) for way in cut], allow_nan=False)
