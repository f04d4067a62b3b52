"""Every act on the deck carries what the printed sheet says before it."""

from functools import lru_cache
from pathlib import Path

import pytest

from wortline.app.files import File
from wortline.app.planning import plan_brew
from wortline.app.steps import steps as sheet_steps
from wortline.lot.steps import day_of
from wortline.units import say

EXAMPLES = Path(__file__).parents[2] / "examples"
DAYS = [
    ("rainday-pale", "shed-two-valves"),
    ("fogbank-hazy", "shed-two-valves"),
    ("coalhatch-stout", "weir-cottage-40"),
    ("weir-cottage-bitter", "weir-cottage-40"),
    ("rainday-pale", "shed-45"),
]


@lru_cache
def brewed(recipe, rig):
    files = [EXAMPLES / f"{name}.yaml" for name in (recipe, rig, "cool-march")]
    planned = plan_brew(*(File(path.name, path.read_bytes()) for path in files))
    piping = planned.plan.piping
    return planned, day_of(planned.report, piping.network if piping else None)


def spoken(value, kind, **how):
    return "unknown" if value is None else say(value, kind, "metric", **how)


@pytest.mark.parametrize(("recipe", "rig"), DAYS)
def test_no_caution_of_the_sheet_is_missing_on_the_deck(recipe, rig):
    planned, day = brewed(recipe, rig)
    printed = {caution for step in sheet_steps(planned.report, spoken) for caution in step.cautions}
    said = " ".join(step.safety for step in day.steps)
    assert printed
    assert [caution for caution in printed if caution not in said] == []


@pytest.mark.parametrize(("recipe", "rig"), DAYS)
def test_every_act_of_a_phase_has_the_cautions_of_the_phase(recipe, rig):
    planned, day = brewed(recipe, rig)
    brewing = [phase.id for phase in day.phases if phase.stage == "brew"]
    assert len(brewing) == len(planned.report["timeline"])
    for phase, row in zip(brewing, planned.report["timeline"], strict=True):
        for step in day.of_phase(phase):
            if step.meanwhile or step.id == "boil/end":
                continue
            hops = [each for each in row["cautions"] if each.startswith("Hops")]
            wanted = hops if step.dose else [each for each in row["cautions"] if each not in hops]
            assert [each for each in wanted if each not in step.safety] == [], step.id


def test_lifting_says_what_the_basket_weighs():
    _, day = brewed("rainday-pale", "shed-two-valves")
    assert "wet basket weighs about 14.27 kg" in day.step["lift/out"].safety
    assert "never over your head" in day.step["lift/out"].safety


def test_the_hot_loop_says_gloves_on_when_it_begins_and_when_it_ends():
    _, day = brewed("rainday-pale", "shed-two-valves")
    for act in ("turn1", "turn2"):
        assert "burns at a touch" in day.step[f"to_boil/{act}"].safety
        assert "gloves on" in day.step[f"to_boil/{act}"].safety


def test_a_hose_into_the_fermenter_is_read_first():
    _, day = brewed("rainday-pale", "shed-two-valves")
    assert "Read the outlet with a thermometer" in day.step["transfer/turn1"].safety


def test_nothing_is_said_twice_on_one_step():
    for recipe, rig in DAYS:
        for step in brewed(recipe, rig)[1].steps:
            sentences = step.safety.split(". ")
            assert len(sentences) == len(set(sentences)), step.id
