"""Prepared line-ups, right and wrong: every check fires alone on one and not on a near miss."""

from functools import cache
from math import pi

import pytest

from wortline.app.files import File
from wortline.app.piping import line_up_of, pipes_of, verdict
from wortline.app.starting import starting_document
from wortline.pipes.audit import CHECKS
from wortline.science.kettle_heating import resting_kettle

TWO = starting_document("rig", "two-valves")
T_BORE = TWO.replace("passage: L", "passage: T")
UNGUARDED = TWO.replace("guard: preventer", "guard: none")
# a jug on the suction side, behind a tee and a valve
JUG = TWO.replace(
    "    - [K.b, H1.a]\n",
    """    - [K.b, X.a]
    - [X.b, H1.a]
    - [X.c, J.a]
    - [J.b, jug.out]
""",
).replace(
    "  joins:\n",
    """    - {name: X, kind: tee}
    - {name: J, kind: valve2}
    - {name: jug, kind: jug, height: 20 cm}
  joins:
""",
)
# a loose hose on a tee in the return behind the chiller
LOOSE = TWO.replace(
    "    - [V2.kettle, H5.a]\n",
    """    - [V2.kettle, X.a]
    - [X.b, H5.a]
    - [X.c, H6.a]
""",
).replace(
    "  joins:\n",
    """    - {name: X, kind: tee}
    - {name: H6, kind: hose, bore: 12.7 mm, length: 1 m, movable: yes}
  joins:
""",
)
# the chiller's water runs away through a valve
SHUT_IN = TWO.replace(
    "    - [chiller.water_out, waste.in]\n",
    """    - [chiller.water_out, D.a]
    - [D.b, waste.in]
""",
).replace("  joins:\n", "    - {name: D, kind: valve2}\n  joins:\n")
BACKWARD = TWO.replace("[W.out, chiller.water_in]", "[W.out, chiller.water_out]").replace(
    "[chiller.water_out, waste.in]", "[chiller.water_in, waste.in]"
)

ON = {"pump": "on"}
WHIRL = {"handles": "K=open, V1=arm, V2=kettle", "wort": "98 C", **ON}
LOOP = {**WHIRL, "handles": "K=open, V1=chiller, V2=kettle"}
SEND = {
    "handles": "K=open, V1=chiller, V2=fermenter",
    "wort": "98 C",
    "water": "on",
    "water_at": "14 C",
    "outlet": "19 C",
    "clean": "all=heat",
    "level": "26 cm",
    **ON,
}
COLD = {**SEND, "wort": "18 C", "water": "off"}
del COLD["outlet"]


@cache
def pipes_from(rig):
    return pipes_of(File("rig.yaml", rig.encode()))


def judged(rig, options, goal=None):
    pipes = pipes_from(rig)
    settled, known = line_up_of(pipes, None, options)
    return verdict(pipes, settled, known, goal)


def codes(values):
    return {finding["code"] for finding in values["findings"]}


RIGHT = {
    "mash-recirculate": (TWO, {**WHIRL, "wort": "66 C"}),
    "whirlpool": (TWO, WHIRL),
    "whirlpool on another stop of a free handle": (
        TWO,
        {**WHIRL, "handles": "K=open, V1=arm, V2=off"},
    ),
    "sanitise-loop": (TWO, LOOP),
    "chill-circulate": (TWO, {**LOOP, "water": "on", "clean": "all=heat"}),
    "chill-and-transfer": (TWO, SEND),
    "transfer": (TWO, COLD),
    "drain": (TWO, {**COLD, "hose_ends": "H4=jug"}),
    "rest": (TWO, {**WHIRL, "pump": "off"}),
    "back-flush": (TWO, {**WHIRL, "pump": "off", "wort": "60 C"}),
    "all shut": (TWO, {"handles": "K=shut, V1=off, V2=off"}),
    "handles named by what they point to": (TWO, {**WHIRL, "handles": "K=OPEN, V1=H2, V2=H5"}),
}


@pytest.mark.parametrize("name", RIGHT)
def test_right_line_ups_pass(name):
    rig, options = RIGHT[name]
    goal = name if name in {"whirlpool", "chill-and-transfer", "drain", "transfer"} else None
    values = judged(rig, options, goal)
    assert values["verdict"] == "pass", values["findings"]
    assert all(finding["severity"] == "note" for finding in values["findings"])


# code: (severity, part, rig, options, goal), then what differs in the near miss
ALONE = {
    "D1": (
        "stop",
        "P",
        TWO,
        {**WHIRL, "handles": "K=open, V1=off, V2=kettle"},
        None,
        {"pump": "off"},
    ),
    "D2": (
        "stop",
        "P",
        TWO,
        {**WHIRL, "handles": "K=shut, V1=arm, V2=kettle"},
        None,
        {"pump": "off"},
    ),
    "D3": (
        "warn",
        "kettle",
        TWO,
        {**WHIRL, "wort": "70 C", "level": "12 cm"},
        None,
        {"level": "22 cm"},
    ),
    "D4": ("warn", "H1", TWO, {**WHIRL, "holds": "H1=air"}, None, {"holds": "H1=water"}),
    "D5": ("stop", "P", TWO, {**WHIRL, "wort": "99.9 C", "level": "26 cm"}, None, {"wort": "97 C"}),
    "P1": (
        "stop",
        "fermenter",
        T_BORE,
        {**COLD, "handles": "K=open, V1=chiller, V2=all"},
        None,
        {"handles": "K=open, V1=chiller, V2=fermenter"},
    ),
    "P2": (
        "warn",
        "jug",
        JUG,
        {**WHIRL, "handles": "K=open, J=open, V1=arm, V2=kettle"},
        None,
        {"handles": "K=open, J=shut, V1=arm, V2=kettle"},
    ),
    "P3": (
        "stop",
        "chiller",
        TWO,
        {**LOOP, "wort": "30 C"},
        "whirlpool",
        {"handles": "K=open, V1=arm, V2=kettle"},
    ),
    "P4": (
        "note",
        "fermenter",
        TWO,
        {**WHIRL, "handles": "K=open, V1=arm, V2=fermenter"},
        None,
        {"handles": "K=open, V1=arm, V2=kettle"},
    ),
    "P5": (
        "warn",
        "V2",
        TWO,
        {**WHIRL, "handles": "K=open, V1=arm, V2=between"},
        None,
        {"handles": "K=open, V1=arm, V2=kettle"},
    ),
    "T1": ("stop", "fermenter", TWO, {**SEND, "outlet": "41 C"}, None, {"outlet": "40 C"}),
    "T2": ("stop", "chiller", TWO, {**SEND, "water": "off"}, None, {"water": "on"}),
    "T3": (
        "stop",
        "chiller",
        TWO,
        {**WHIRL, "handles": "K=open, V1=arm, V2=off", "holds": "chiller=wort"},
        None,
        {"wort": "90 C"},
    ),
    "T4": (
        "warn",
        "chiller",
        TWO,
        {**WHIRL, "holds": "chiller=wort"},
        None,
        {"holds": "chiller=water"},
    ),
    "B1": (
        "stop",
        "chiller",
        TWO,
        {**SEND, "clean": "all=heat, chiller=no"},
        None,
        {"clean": "all=heat, chiller=acid"},
    ),
    "B2": (
        "warn",
        "H6",
        LOOSE,
        {**LOOP, "wort": "18 C", "hose_ends": "H6=capped"},
        None,
        {"handles": "K=open, V1=arm, V2=kettle"},
    ),
    "B3": (
        "warn",
        "H4",
        TWO,
        {**WHIRL, "clean": "H4=acid", "holds": "H4=air"},
        None,
        {"holds": "H4=sanitiser"},
    ),
    "F1": (
        "warn",
        "fermenter",
        TWO,
        {**COLD, "pump": "off"},
        None,
        {"handles": "K=open, V1=arm, V2=fermenter"},
    ),
    "F2": (
        "stop",
        "fermenter",
        TWO,
        {**COLD, "pump": "off", "level": "5 cm", "fermenter_level": "60 cm"},
        None,
        {"fermenter_level": "39 cm"},
    ),
    "F3": ("note", "W", UNGUARDED, {**WHIRL, "water": "on"}, None, {"water": "off"}),
    "H1": (
        "note",
        "H4",
        TWO,
        {
            **WHIRL,
            "handles": "K=open, V1=chiller, V2=fermenter",
            "wort": "30 C",
            "hose_ends": "H4=kettle",
        },
        None,
        {"hose_ends": "H4=jug"},
    ),
    "H2": (
        "warn",
        "H4",
        TWO,
        {**SEND, "hose_ends": "H4=jug", "outlet": "46 C"},
        None,
        {"outlet": "45 C"},
    ),
    "H3": ("stop", "H4", TWO, {**COLD, "hose_ends": "H4=floor"}, None, {"hose_ends": "H4=jug"}),
    "E1": ("stop", "kettle", TWO, {**SEND, "element": "5 %"}, None, {"element": "0 %"}),
    "L1": (
        "warn",
        "H4",
        TWO,
        {**SEND, "holds": "H4=sanitiser"},
        None,
        {"hose_ends": "H4=jug"},
    ),
}


def test_every_check_is_prepared():
    assert set(ALONE) == set(CHECKS)


@pytest.mark.parametrize("code", ALONE)
def test_a_check_fires_alone(code):
    severity, part, rig, options, goal, _ = ALONE[code]
    values = judged(rig, options, goal)
    (finding,) = values["findings"]
    assert (finding["code"], finding["severity"], finding["part"]) == (code, severity, part)
    assert finding["text"].endswith(".")
    assert finding["do"].endswith(".")
    assert values["verdict"] == ("pass" if severity == "note" else severity)


@pytest.mark.parametrize("code", ALONE)
def test_a_near_miss_does_not_fire(code):
    _, _, rig, options, goal, change = ALONE[code]
    assert code not in codes(judged(rig, {**options, **change}, goal))


def test_an_element_under_wort_that_circulates_is_fine():
    assert "E1" not in codes(judged(TWO, {**LOOP, "element": "100 %"}))
    assert "E1" in codes(judged(TWO, {**LOOP, "element": "100 %", "level": "3 cm"}))
    assert "E1" not in codes(judged(TWO, {**LOOP, "element": "100 %", "level": "4 cm"}))


def test_the_wait_for_suction_head_is_long_enough():
    """Law: at the temperature that is said the warning is gone, a tenth above it is not."""
    values = judged(TWO, {**WHIRL, "wort": "99.9 C"})
    (finding,) = [each for each in values["findings"] if each["code"] == "D5"]
    wait_c = float(finding["do"].split("at ")[1].split(" C")[0])
    assert "D5" not in codes(judged(TWO, {**WHIRL, "wort": f"{wait_c:.1f} C"}))
    assert "D5" in codes(judged(TWO, {**WHIRL, "wort": f"{wait_c + 0.3:.1f} C"}))


def test_the_wait_is_as_long_as_an_open_kettle_takes_to_cool():
    """Law: a kettle that stands so long, followed step by step, has come that far down."""
    (finding,) = [
        each
        for each in judged(TWO, {**WHIRL, "wort": "99.9 C"})["findings"]
        if each["code"] == "D5"
    ]
    wait_c = float(finding["do"].split("at ")[1].split(" C")[0])
    wait_min = int(finding["do"].split("about ")[1].split(" min")[0])
    rests = [
        resting_kettle(99.9, minute, 0.25 * pi * 0.40**2 * 0.25 * 959.0, 12.0, 20.0, 101.3, 0.40)
        for minute in (wait_min - 1.2, wait_min + 0.2)
    ]
    assert rests[1].bulk_c < wait_c < rests[0].bulk_c
    boiling = judged(TWO, {**WHIRL, "wort": "99.9 C", "element": "100 %"})
    assert not any("about" in each["do"] for each in boiling["findings"])


def test_an_unmarked_line_is_named_part_by_part():
    values = judged(TWO, {**SEND, "clean": "chiller=heat"})
    assert values["verdict"] == "stop"
    named = [finding["part"] for finding in values["findings"] if finding["code"] == "B1"]
    assert named == ["K", "H1", "P", "V1", "H3", "V2", "H4"]


def test_hot_wort_that_runs_down_by_itself_is_stopped_as_well():
    values = judged(TWO, {**SEND, "pump": "off", "water": "off", "outlet": "98 C"})
    assert {"T1", "T2", "F1"} <= codes(values)
    assert values["verdict"] == "stop"


def test_the_water_of_a_chiller_is_not_shut_in():
    hot = {**LOOP, "wort": "90 C"}
    shut = judged(SHUT_IN, {**hot, "handles": "K=open, V1=chiller, V2=kettle, D=shut"})
    opened = judged(SHUT_IN, {**hot, "handles": "K=open, V1=chiller, V2=kettle, D=open"})
    assert "T3" in codes(shut)
    assert "T3" not in codes(opened)


def test_water_that_runs_with_the_wort_is_a_note():
    values = judged(BACKWARD, SEND)
    assert [(f["code"], f["severity"]) for f in values["findings"]] == [("T2", "note")]


def test_a_t_bore_on_its_way_joins_and_an_l_bore_shuts():
    between = {**COLD, "handles": "K=open, V1=chiller, V2=between"}
    assert {"P1", "P5"} <= codes(judged(T_BORE, between))
    assert {"D1", "P5"} <= codes(judged(TWO, between))


def test_the_path_and_what_is_in_the_line():
    values = judged(TWO, SEND)
    assert values["path"] == [
        "kettle",
        "K",
        "H1",
        "P",
        "V1",
        "H3",
        "chiller",
        "V2",
        "H4",
        "fermenter",
    ]
    assert [each["part"] for each in values["in_line"]] == values["path"][1:-1]
    assert sum(each["cold_l"] for each in values["in_line"]) == pytest.approx(0.87)
    assert values["outlet_c"] == 19.0


def test_what_is_unsaid_is_said_to_be_taken():
    assert judged(TWO, {"handles": "K=open, V1=arm, V2=kettle"})["assumed"] == [
        "wort at 98 C",
        "water at 14 C",
        "level of 25 cm",
    ]
