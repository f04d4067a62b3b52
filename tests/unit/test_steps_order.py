"""The day's steps stand in the order of the clock, and what is said stands where it is done."""

from functools import partial

import pytest

from wortline.app.steps import steps
from wortline.units import say

READING = {"wort_in": "96 C", "wort_out": "31 C", "wort": "5 L/min", "water": "9 L/min",
           "water_in": "14 C"}  # fmt: skip
PLATE = {"rig.chillers": [{"name": "plate", "kind": "plate", "reading": READING}]}
LATE = [
    {"hop": "Saaz", "mass": "40 g", "form": "pellets", "when": "heat-off"},
    {"hop": "Saaz", "mass": "30 g", "form": "pellets", "when": "below 78 C", "held": "mesh"},
]


def chilled(papers, how, **changes):
    chill = {"with": "plate", "how": how, "to": "19 C"}
    if how == "two-stage":
        chill["switch_at"] = "60 C"
    return papers.but({"recipe.hops": LATE, "recipe.chill": chill, **PLATE, **changes})


def told(papers):
    report = papers.planned().report
    return report, list(steps(report, partial(say, system="metric")))


def minutes(step):
    hours, minute = step.clock.split(":")
    return 60 * int(hours) + int(minute)


def place(day, text):
    found = [n for n, step in enumerate(day) if any(text in act for act in step.acts)]
    assert len(found) == 1, (text, found)
    return found[0]


@pytest.mark.parametrize("rest", ["0 min", "12 min", "40 min"])
@pytest.mark.parametrize("how", ["one-pass", "two-stage", "circulate"])
def test_the_clock_never_goes_back(papers, how, rest):
    report, day = told(chilled(papers, how, **{"recipe.whirlpool.rest": rest}))
    timed = [minutes(step) for step in day if ":" in step.clock]
    assert timed == sorted(timed) and len(timed) > 10
    doses = {dose["id"]: dose["in_min"] for dose in report["bitterness"]["doses"]}
    assert all(round(doses[name]) == minutes(day[place(day, f"{name}: ")])
               for name in ("d1", "d2") if doses[name] is not None)  # fmt: skip


def test_a_dose_into_the_chill_goes_in_before_the_draw_off_line(papers):
    report, day = told(chilled(papers, "two-stage"))
    chill = next(phase for phase in report["timeline"] if phase["phase"] == "chill")
    way = next(each for each in report["chill"]["ways"] if each["how"] == "two-stage")
    said = ("Chill from", "d2: ", "Go on in one pass", "draw-off line", "In the fermenter")
    order = [place(day, text) for text in said]
    assert order == sorted(set(order))
    passes = day[order[2]]
    assert passes.acts[-1] == "The first jug is cloudy: keep it apart."
    assert minutes(passes) == round(chill["start_min"] + way["circulate_min"])
    assert any("Read the outlet" in each for each in passes.cautions)
    assert minutes(day[order[3]]) == round(chill["end_min"])


def test_one_pass_is_cloudy_at_its_start_and_stops_at_its_end(papers):
    report, day = told(chilled(papers, "one-pass"))
    chill = next(phase for phase in report["timeline"] if phase["phase"] == "chill")
    assert place(day, "first jug") == place(day, "Chill from")
    assert minutes(day[place(day, "draw-off line")]) == round(chill["end_min"])
    assert minutes(day[place(day, "first jug")]) == round(chill["start_min"])


def test_a_kettle_chilled_whole_is_drawn_in_the_transfer(papers):
    day = told(chilled(papers, "circulate"))[1]
    at = place(day, "draw-off line")
    assert place(day, "first jug") == at == place(day, "Transfer ")


def test_pipes_say_where_one_pass_begins_and_the_first_jug_stands_there():
    """With the pipes of a rig the handles are turned first, and it is said once."""
    from pathlib import Path

    from wortline.app.files import File
    from wortline.app.planning import plan_brew

    examples = Path(__file__).parents[2] / "examples"
    recipe = (examples / "millrace-pale.yaml").read_text(encoding="utf-8")
    recipe = recipe.replace("with: plate", "with: chiller")
    rig = (examples / "shed-two-valves.yaml").read_bytes()
    report = plan_brew(
        File("recipe.yaml", recipe.encode()), File("rig.yaml", rig), None
    ).report
    day = list(steps(report, partial(say, system="metric")))
    timed = [minutes(step) for step in day]
    assert timed == sorted(timed)
    turn, jug = place(day, "Go on in one pass"), place(day, "first jug")
    assert turn < jug and timed[turn] == timed[jug]
    assert place(day, "d3: ") < place(day, "draw-off line")
