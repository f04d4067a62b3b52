"""The whirlpool of a rig: what is read, and what is refused in plain words on its line."""

from pathlib import Path

import pytest

from wortline.documents import load
from wortline.documents.rig import Swirl
from wortline.errors import DocumentRefused

ROOT = Path(__file__).parents[2]
RIG = (ROOT / "examples/shed-45.yaml").read_text(encoding="utf-8").rstrip() + "\n"


def with_swirl(inside):
    return f"{RIG}swirl: {{{inside}}}\n"


def only(inside):
    with pytest.raises(DocumentRefused) as caught:
        load("typed.yaml", with_swirl(inside), "rig")
    (problem,) = caught.value.problems
    assert problem.file == "typed.yaml"
    assert problem.line == len(RIG.splitlines()) + 1
    return problem


def test_readings_and_what_stands_in_the_way_are_read():
    rig = load(
        "typed.yaml",
        with_swirl(
            "turns: [20 /min, 6 rpm, 2 per min], clear_after: 16 min, nozzle: 10 mm, "
            "flow: 10 L/min, obstacle: 100 cm2, floor: open, outlet: 2 cm, pumped: 3 min, "
            "wort: 28 L, hops: 60 g"
        ),
        "rig",
    )
    assert rig.swirl is not None
    assert [each.value for each in rig.swirl.turns] == [20.0, 6.0, 2.0]
    assert rig.swirl.turns[0].text == "20 /min"
    assert rig.swirl.clear_after.value == 16.0
    assert rig.swirl.nozzle.value == pytest.approx(0.010)
    assert rig.swirl.obstacle.value == pytest.approx(0.010)
    assert rig.swirl.outlet.value == pytest.approx(0.02)
    assert (rig.swirl.pumped.value, rig.swirl.wort.value) == (3.0, 28.0)
    assert rig.swirl.hops.value == pytest.approx(0.060)
    assert (rig.swirl.floor, rig.swirl.flow.value) == ("open", 10.0)


def test_a_rig_without_a_word_about_it_is_a_rig():
    assert load("typed.yaml", RIG, "rig").swirl is None
    assert load("typed.yaml", with_swirl("clear_after: 16 min"), "rig").swirl.turns is None


@pytest.mark.parametrize(
    ("inside", "field", "says"),
    [
        ("turns: [20]", "swirl.turns.0", "`20` has no unit: do you mean `20 /min`"),
        ("turns: [20 L/min]", "swirl.turns.0", "a rate of turning is needed, like `20 /min`"),
        ("turns: [0 /min]", "swirl.turns.0", "above 0 /min"),
        ("turns: [900 /min]", "swirl.turns.0", "to 300 /min"),
        ("turns: []", "swirl.turns", "no entries; write from 1 to 3"),
        ("turns: [9 /min, 5 /min, 3 /min, 2 /min]", "swirl.turns", "4 entries"),
        ("turns: [6 /min, 20 /min]", "swirl.turns", "`[6 /min, 20 /min]` does not fall"),
        ("turns: [20 /min, 20 /min]", "swirl.turns", "2 min and 5 min later"),
        ("clear_after: 0 min", "swirl.clear_after", "above 0 min"),
        ("clear_after: 16", "swirl.clear_after", "`16 min`"),
        ("clear_after: -2 min", "swirl.clear_after", "above 0 min to 600 min"),
        ("nozzle: 20 cm", "swirl.nozzle", "to 0.1 m"),
        ("nozzle: 0 mm", "swirl.nozzle", "above 0 m"),
        ("flow: 0 L/min", "swirl.flow", "above 0 L/min"),
        ("obstacle: 12 cm", "swirl.obstacle", "is a length; here an area is needed"),
        ("obstacle: -1 cm2", "swirl.obstacle", "from 0 m2"),
        ("floor: scren", "swirl.floor", "open or screen"),
        ("outlet: 9 m", "swirl.outlet", "to 5 m"),
        ("hops: -5 g", "swirl.hops", "from 0 kg"),
        ("wort: 28 kg", "swirl.wort", "is a mass; here a volume is needed"),
        ("pumped: 11 h", "swirl.pumped", "to 600 min"),
        ("turn: [20 /min]", "swirl.turn", "did you mean `turns`?"),
    ],
)
def test_what_cannot_be_is_refused(inside, field, says):
    problem = only(inside)
    assert problem.field == field
    assert says in problem.text


def test_every_field_is_in_the_first_rig_and_in_the_reference():
    """A person finds each field where a rig is started and where the fields are described."""
    started = (ROOT / "src/wortline/data/new/rig.yaml").read_text(encoding="utf-8")
    described = (ROOT / "docs/reference/documents.md").read_text(encoding="utf-8")
    for field in Swirl.model_fields:
        assert f"#   {field}:" in started
        assert f"`swirl.{field}`" in described


def test_the_lines_of_the_first_rig_are_readable_once_uncommented():
    started = (ROOT / "src/wortline/data/new/rig.yaml").read_text(encoding="utf-8")
    block = started[started.index("# swirl:") :]
    opened = "\n".join(line.removeprefix("# ").removeprefix("#") for line in block.splitlines())
    rig = load("typed.yaml", RIG + opened, "rig")
    assert rig.swirl.model_fields_set == set(Swirl.model_fields)


@pytest.mark.parametrize(
    ("inside", "field", "told"),
    [
        ("outlet: 60 cm", "outlet", "cm deep"),
        ("wort: 500 L", "wort", "to the brim"),
        ("obstacle: 1 m2", "obstacle", "seen from the side"),
    ],
)
def test_what_has_no_room_in_the_kettle_is_refused(inside, field, told):
    """Law: the kettle's depth is its volume to the brim over its floor."""
    problem = only(inside)
    assert problem.field == f"swirl.{field}"
    assert told in problem.text and inside.partition(": ")[2] in problem.text
