"""How hot something is, is read on a thermometer: no caution and no step asks for a touch."""

import re

import pytest

from wortline.app.files import File
from wortline.app.planning import Planned, plan_brew
from wortline.app.tables import text
from wortline.lot.steps import day_of

TOUCHED = re.compile(
    r"\b(feel|feels|touch it|touch the|try with|your (hand|finger))\b", re.IGNORECASE
)


@pytest.fixture(scope="module")
def planned() -> Planned:
    files = (File(kind, text(f"first/{kind}.yaml").encode()) for kind in ("recipe", "rig", "day"))
    return plan_brew(*files)


def test_the_transfer_is_opened_by_thermometer(planned: Planned) -> None:
    (phase,) = (each for each in planned.report["timeline"] if each["phase"] == "transfer")
    (caution,) = phase["cautions"]
    assert caution.startswith("Hold a thermometer to the outlet before you open a coupling, gloves")
    # 45 C: common practice, no source
    assert "above 45.0 C it burns, so wait" in caution


def test_no_step_of_a_whole_day_asks_for_a_touch(planned: Planned) -> None:
    assert planned.plan.piping
    steps = day_of(planned.report, planned.plan.piping.network).steps
    said = {each.id: f"{each.safety} {each.text}" for each in steps}
    assert len(said) > 40
    assert {key for key, words in said.items() if TOUCHED.search(words)} == set()
    flushed = next(words for key, words in said.items() if key.endswith("-backflush"))
    assert "Gloves on, a thermometer at the coupling first: never open one above 45.0 C" in flushed
    assert "wait until it has cooled" in flushed
