"""What is refused in the plumbing of a rig: in plain sentences, on its line."""

import pytest

from wortline.app.files import File
from wortline.app.piping import line_up_of, overview, pipes_of
from wortline.app.starting import starting_document
from wortline.documents import load
from wortline.errors import DocumentRefused
from wortline.pipes.day import complaints
from wortline.pipes.network import network
from wortline.pipes.state import Conditions

TWO = starting_document("rig", "two-valves")


def problems(text):
    with pytest.raises(DocumentRefused) as caught:
        load("rig.yaml", text, "rig")
    return [(problem.field, problem.text) for problem in caught.value.problems]


def swapped(before, after, text=TWO):
    assert before in text
    return text.replace(before, after, 1)


CASES = {
    "a missing join": ("    - [V1.chiller, H3.a]\n", "", "plumbing.parts.4",
                       "a join is missing: `V1.chiller` leads nowhere"),
    "a part joined to itself": ("[H2.b, arm.in]", "[H2.b, H2.b]", "plumbing.joins.5",
                                "`H2` is joined to itself"),
    "an unknown part": ("[H2.b, arm.in]", "[H2.b, amr.in]", "plumbing.joins.5",
                        "did you mean `arm`?"),
    "an unknown port": ("[K.b, H1.a]", "[K.c, H1.a]", "plumbing.joins.1", "it has K.a, K.b"),
    "a port joined twice": ("[K.b, H1.a]", "[K.a, H1.a]", "plumbing.joins.1", "is joined already"),
    "a join of one port": ("[K.b, H1.a]", "[K.b]", "plumbing.joins.1", "is not a join"),
    "two parts of one name": ("name: H2,", "name: h1,", "plumbing.parts.5.name", "two parts"),
    "a field of another kind": ("kind: valve2,", "kind: valve2, length: 1 m,",
                                "plumbing.parts.1.length", "does not belong to a two-way valve"),
    "a hose without length": ("length: 0.6 m, ", "", "plumbing.parts.2", "a hose needs its length"),
    "a three-way valve without bore": ("passage: L, ", "", "plumbing.parts.4", "passage: L"),
    "a curve that rises": ("head: 2.9 m", "head: 3.9 m", "plumbing.parts.3.curve", "head falls"),
    "a name like a position": ("name: K,", "name: open,", "plumbing.parts.1.name", "position"),
    "a name with a dot": ("name: K,", "name: K.1,", "plumbing.parts.1.name", "cannot be a name"),
    "two kettles": ("{name: waste, kind: drain,", "{name: waste, kind: kettle,",
                    "plumbing.parts.14", "second kettle"),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_refused(name):
    before, after, field, text = CASES[name]
    found = problems(swapped(before, after))
    assert any(where.startswith(field) and text in said for where, said in found), found


SMALL = """
plumbing:
  parts:
    - {name: kettle, kind: kettle, height: 90 cm}
    - {name: P, kind: pump}
"""
RIG = starting_document("rig")


def test_no_sink():
    joins = "  joins:\n    - [kettle.outlet, P.in]\n    - [P.out, kettle.rim]\n"
    assert any("nowhere to go" in text for _, text in problems(RIG + SMALL + joins))


def test_no_kettle():
    parts = "plumbing:\n  parts:\n    - {name: D, kind: drain}\n    - {name: J, kind: jug}\n"
    found = problems(RIG + parts + "  joins:\n    - [J.out, D.in]\n")
    assert [text for _, text in found] == [
        "there is no kettle among the parts; add one of kind kettle"
    ]


def test_no_pump_is_said_and_the_rig_still_read():
    text = RIG + SMALL.replace("{name: P, kind: pump}", "{name: waste, kind: drain}") + (
        "  joins:\n    - [kettle.outlet, waste.in]\n"
    )  # fmt: skip
    net = network(load("r", text, "rig").plumbing)
    assert any("no pump" in each for each in complaints(net))


def test_a_ring_without_a_vessel_is_said_in_a_sentence():
    text = RIG + SMALL + (
        "    - {name: H, kind: hose, bore: 12 mm, length: 1 m}\n"
        "    - {name: waste, kind: drain}\n"
        "  joins:\n    - [kettle.outlet, waste.in]\n    - [P.out, H.a]\n    - [H.b, P.in]\n"
    )  # fmt: skip
    pipes = pipes_of(File("r", text.encode()))
    said = overview(pipes, Conditions(98.0, 14.0, 0.25, 101.3))["complaints"]
    assert any("No way leads from the kettle through P" in each for each in said)


def test_a_rig_without_plumbing():
    with pytest.raises(DocumentRefused, match="has no `plumbing`"):
        pipes_of(File("r", RIG.encode()))


@pytest.mark.parametrize(
    ("options", "field", "text"),
    [
        ({"handles": "K=open, V1=arm"}, "handles", "the position of `V2` is not said"),
        ({"handles": "K=ajar, V1=arm, V2=off"}, "handles.K", "is no position of `K`"),
        ({"handles": "K=open, V1=arm, V2=off, V3=on"}, "handles.V3", "not a handle"),
        ({"hose_ends": "H1=jug"}, "hose_ends.H1", "moved by hand"),
        ({"hose_ends": "H4=moon"}, "hose_ends.H4", "cannot be at `moon`"),
        ({"clean": "chiler=heat"}, "clean.chiler", "did you mean `chiller`?"),
        ({"clean": "chiller=soap"}, "clean.chiller", "heat, acid or no"),
        ({"holds": "chiller=beer"}, "holds.chiller", "wort, water, sanitiser or air"),
        ({"wort": "98"}, "wort", "has no unit"),
        ({"wort": "it's hot"}, "wort", "it's hot"),
        ({"pump": "maybe"}, "pump", "is not on or off"),
    ],
)
def test_line_ups_refused(options, field, text):
    pipes = pipes_of(File("r", TWO.encode()))
    whole = {"handles": "K=open, V1=arm, V2=kettle", **options}
    with pytest.raises(DocumentRefused) as caught:
        line_up_of(pipes, None, whole)
    assert any(p.field == field and text in p.text for p in caught.value.problems), caught.value


def test_a_file_with_options_over_it_keeps_its_lines():
    pipes = pipes_of(File("r", TWO.encode()))
    state = File("s.yaml", b"schema: lineup/1\nhandles: {K: open, V1: arm, V2: kettle}\npump: on\n")
    settled, known = line_up_of(pipes, state, {"handles": "V1=chiller", "wort": "80 C"})
    assert settled.positions == ("open", "chiller", "kettle")
    assert known.wort_c == 80.0
    wrong = File("s.yaml", b"schema: lineup/1\nhandles:\n  K: open\n  V1: arn\n  V2: kettle\n")
    with pytest.raises(DocumentRefused) as caught:
        line_up_of(pipes, wrong, {})
    assert str(caught.value.problems[0]).startswith("s.yaml:4: handles.V1: ")
