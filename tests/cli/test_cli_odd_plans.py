"""Plans with little or nothing in them: no sentence that makes no sense there."""

import re
from pathlib import Path

import pytest

from wortline.app.files import File
from wortline.app.planning import plan_brew
from wortline.app.resting import resting
from wortline.cli.rest import rest_sheet
from wortline.cli.sheet import sheet

EXAMPLES = Path(__file__).parents[2] / "examples"
PALE = (EXAMPLES / "rainday-pale.yaml").read_text(encoding="utf-8")
NO_HOPS = re.sub(r"(?ms)^hops:.*?^(?=whirlpool)", "", PALE)
DRY = re.sub(r"when: [^,}]*(, held: free)?}", "when: dry hop}", PALE)
HELD = re.sub(r"(pellets, when: [^}]*?)(, held: free)?}", r"\1, held: bag}", PALE)
TINY = PALE
for was, now in (("23 L", "3 L"), ("4.80 kg", "0.6 kg"), ("0.50 kg", "60 g"), ("22 g", "3 g"),
                 ("40 g", "5 g"), ("35 g", "4 g")):  # fmt: skip
    TINY = TINY.replace(f"mass: {was}" if "g" in was else f"batch: {was}",
                        f"mass: {now}" if "g" in was else f"batch: {now}")  # fmt: skip
UNPUMPED = re.sub(r"pump: \d+ min", "pump: 0 min", PALE)
NO_REST = re.sub(r"rest: \d+ min", "rest: 0 min", PALE).replace("10 min into rest", "heat-off")
STILL = re.sub(r"(?m)^whirlpool:.*\n", "", PALE).replace("10 min into rest", "heat-off")
ODD = {
    "no hops": NO_HOPS, "dry hops": DRY, "held": HELD, "tiny": TINY, "unpumped": UNPUMPED,
    "no rest": NO_REST, "no whirlpool": STILL,
}  # fmt: skip


def files(text):
    rest = ("shed-45", "cool-march")
    return (
        File("recipe.yaml", text.encode()),
        *(File(f"{each}.yaml", (EXAMPLES / f"{each}.yaml").read_bytes()) for each in rest),
    )


def said(text):
    """The printed plan and the printed rest, each on one line."""
    plan = sheet(plan_brew(*files(text)).report)
    rest = rest_sheet(resting(*files(text)).report)
    return tuple(re.sub(r"\s+", " ", each) for each in (plan, rest))


@pytest.mark.parametrize("name", ODD)
def test_nothing_is_counted_that_is_not_there(name):
    assert ODD[name] != PALE
    plan, rest = said(ODD[name])
    for text in (plan, rest):
        assert " 0 turns" not in text and "add -" not in text and "nan" not in text
        assert " 0.0 g/L" not in text and "pumped 0 min" not in text
        assert "means 0.0 IBU" not in text and ": 0.0 IBU" not in text
        assert "After 0 min of rest" not in text and "You plan 0 min" not in text
        assert "about 0 % of the solids are gone by then" not in text


@pytest.mark.parametrize("name", ["no hops", "dry hops"])
def test_without_hops_in_the_kettle_nothing_is_said_of_doses(name):
    plan, rest = said(ODD[name])
    assert "the same doses" not in plan and "AROMA" not in plan
    assert "No hops go into the kettle" in plan
    assert "No hops get loose into the wort." in rest and "IBU OF EACH DOSE" not in rest
    assert "A dose for later" not in rest and "aroma:" not in rest
    assert "means no change in bitterness or DMS" in rest


def test_an_unpumped_kettle_has_no_turns_to_count_and_no_cone_to_slide():
    plan, _ = said(UNPUMPED)
    assert "Counted" not in plan and "Count the turns" not in plan
    assert "cone that is tilted" not in plan and "makes no cone" in plan
    assert "Sample at the outlet" in plan


def test_an_unpumped_lot_counts_no_turns():
    from wortline.lot.steps import day_of

    for text, count in ((PALE, 3), (UNPUMPED, 0)):
        steps = day_of(plan_brew(*files(text)).report, None).steps
        assert sum("leaf" in step.text for step in steps) == count


def test_a_rest_that_takes_bitterness_says_so():
    """A tiny kettle is cold before the whirlpool is over: its hops get less bitter than at once."""
    plan, _ = said(TINY)
    assert re.search(r"Whirlpool and rest take 0\.\d IBU from the same doses", plan)


def test_a_kettle_that_hardly_turns_says_less_than_one_turn():
    from wortline.app.steps import _about

    assert _about(0.3).replace("\u00a0", " ") == "less than 1 turn a minute"
    assert _about(0.6).replace("\u00a0", " ") == "about 1 turn a minute"
    assert _about(17.2).replace("\u00a0", " ") == "about 17 turns a minute"


def test_no_rest_is_planned_as_no_rest():
    plan, rest = said(NO_REST)
    assert "Without a rest about" in plan
    assert "You plan no rest; the knee is at" in rest
    assert "not pumped" in said(STILL)[1]
