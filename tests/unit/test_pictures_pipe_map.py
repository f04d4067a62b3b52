"""The pipe map: nothing over anything else, pipes that meet their parts, words that agree.

The rigs in this file are invented for the picture only.
"""

from __future__ import annotations

import itertools
import re
from dataclasses import replace
from functools import cache
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ruamel.yaml import YAML

from wortline.app.files import File
from wortline.app.piping import line_up_of, pipes_of
from wortline.app.starting import starting_document
from wortline.documents.plumbing import PipePart, Plumbing
from wortline.pictures.labels import Box, text_box
from wortline.pictures.pipe_map import pipe_map, stance
from wortline.pictures.pipe_map_graph import picture
from wortline.pictures.pipe_map_layout import Layout, Sizes, arrows, broken, layout
from wortline.pictures.pipe_map_tracks import gap_of
from wortline.pictures.pipe_map_words import item_words, marks, sentences, states
from wortline.pipes.audit import audit
from wortline.pipes.network import Network, network
from wortline.pipes.routes import line_ups
from wortline.pipes.routes_data import EVERY
from wortline.pipes.state import Conditions, Setting
from wortline.pipes.view import View

SVG = "{http://www.w3.org/2000/svg}"
PRESETS = ("one-pump", "one-valve", "two-valves", "coil")
WIDE, PHONE = (Sizes(15.0, 12.5, 165.0), 714.0), (Sizes(13.0, 11.0, 112.0), 344.0)
KNOWN = Conditions(98.0, 14.0, 0.25, 101.3)


@cache
def preset(name):
    return pipes_of(File("rig.yaml", starting_document("rig", name).encode()))


LIMITS = preset("coil").limits
ODD = YAML(typ="safe").load(Path(__file__).with_name("odd_rigs.yaml").read_text("utf-8"))


def odd(name: str) -> tuple[Network, Setting, Conditions]:
    """An odd rig as it stands: its plumbing, its handles, what is known."""
    rig = dict(ODD[name])
    state = {
        key: ", ".join(f"{part}={word}" for part, word in said.items())
        if isinstance(said, dict) else said
        for key, said in rig.pop("state").items()
    }
    net = network(Plumbing.model_validate(rig))
    settled, known = line_up_of(replace(preset("coil"), network=net), None, state)
    return net, settled, known


def viewed(net: Network, setting: Setting, known: Conditions = KNOWN):
    return View(net, setting, known, LIMITS), audit(net, setting, known, LIMITS)


def prepared(name: str):
    """Every line-up the rig has for every route, and one with each handle between."""
    net = preset(name).network
    found = {each.setting for route in EVERY for each in line_ups(net, route)}
    between = tuple("between" for _ in net.valves)
    found.add(Setting(between, tuple(each.at for each in net.loose), True, True))
    return [viewed(net, setting) for setting in sorted(found, key=repr)]


def boxes(made: Layout) -> list[Box]:
    found = [each.words for each in made.placed if each.lines]
    return found + [each.box for each in made.placed if each.symbol.kind not in {"hose", "tee"}]


def crossed(box: Box, a, b) -> bool:
    """Whether a level or upright bit of pipe, 5 wide where wort flows, comes to a box."""
    return Box(
        min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1])
    ).touches(box, 3.0)


def check_layout(made: Layout, view: View) -> None:
    for one, other in itertools.combinations(boxes(made), 2):
        assert not one.touches(other, -0.01), (one, other)
    bits = []
    for course in made.courses:
        pipe = made.picture.pipes[course.pipe]
        for end, item, mouth in (
            (course.points[0], pipe.upper, pipe.upper_mouth),
            (course.points[-1], pipe.lower, pipe.lower_mouth),
        ):
            its = made.placed[item]
            tip = its.symbol.tip(mouth)
            assert end == pytest.approx((its.middle[0] + tip[0], its.middle[1] + tip[1]), abs=0.2)
        for a, b in itertools.pairwise(course.points):
            assert min(abs(a[0] - b[0]), abs(a[1] - b[1])) < 0.11, "a slanted pipe"
            bits.append((course.pipe, pipe, a, b))
            for its in made.placed:
                assert not (its.lines and crossed(its.words, a, b)), (its.lines, course)
                if its.item not in (pipe.upper, pipe.lower):
                    assert not crossed(its.box, a, b), (its, course)
    for (n, one, a, b), (m, other, c, d) in itertools.combinations(bits, 2):
        if n != m and along(a, b, c, d):
            shared = {one.upper, one.lower} & {other.upper, other.lower}
            # two pipes may meet inside the symbol that both are joined to
            assert any(inside(made.placed[item].box, (a, b), (c, d)) for item in shared)


def along(a, b, c, d) -> bool:
    """Whether two bits of pipe run the same way on nearly the same line."""
    for axis in (0, 1):
        level = abs(a[axis] - b[axis]) < 0.11 and abs(c[axis] - d[axis]) < 0.11
        if level and abs(a[axis] - c[axis]) < 5.0:
            low, high = sorted((a[1 - axis], b[1 - axis]))
            start, end = sorted((c[1 - axis], d[1 - axis]))
            return min(high, end) - max(low, start) > 0.5
    return False


def inside(box: Box, *bits) -> bool:
    """Whether one of the bits lies within a symbol's box."""
    return any(
        all(box.left <= x <= box.right and box.top <= y <= box.bottom for x, y in bit)
        for bit in bits
    )


def texts(svg: str):
    root = ElementTree.fromstring(svg)
    return root, list(root.iter(f"{SVG}text"))


def check_svg(svg: str) -> None:
    root, found = texts(svg)
    width, height = float(root.get("width")), float(root.get("height"))
    assert all(float(each.get("font-size")) >= 9.0 for each in found)
    outside = [each for each in found if each.get("class") in {"finding", "flow", "key", "assumed"}]
    placed = [
        text_box(
            float(each.get("x")), float(each.get("y")), each.text, float(each.get("font-size")),
            each.get("text-anchor", "start"), each.get("font-weight") == "bold",
        )
        for each in outside
    ]
    for box in placed:
        assert box.left >= 0 and box.right <= width and box.top >= 0 and box.bottom <= height
    for one, other in itertools.combinations(placed, 2):
        assert not one.touches(other, -1.0)


@pytest.mark.parametrize("name", PRESETS)
@pytest.mark.parametrize(("sizes", "room"), [WIDE, PHONE], ids=["wide", "phone"])
def test_nothing_overlaps_on_the_presets(name, sizes, room):
    shown = prepared(name)
    assert len(shown) >= 3
    for view, verdict in shown:
        made = layout(view, verdict, sizes, room)
        check_layout(made, view)
        assert made.width <= room


@pytest.mark.parametrize("name", ODD)
@pytest.mark.parametrize("paper", [WIDE, PHONE], ids=["wide", "phone"])
def test_nothing_overlaps_on_odd_rigs(name, paper):
    net, settled, known = odd(name)
    for each in {settled, replace(settled, pump=False), replace(settled, water=False)}:
        view, verdict = viewed(net, each, known)
        check_layout(layout(view, verdict, *paper), view)
        check_svg(pipe_map(view, verdict, name, 1000 if paper is WIDE else 360))
    shown = {item.part for item in picture(view).items}
    assert shown >= set(net.parts)


@pytest.mark.parametrize("name", PRESETS)
@pytest.mark.parametrize("width", [360, 1200])
def test_every_part_stands_on_the_map_with_its_state(name, width):
    for view, verdict in prepared(name):
        svg = pipe_map(view, verdict, "Shed & <barn>", width)
        check_svg(svg)
        root, found = texts(svg)
        assert float(root.get("width")) == width
        names = "".join(each.text for each in found if each.get("class") == "name")
        words = " ".join(each.text for each in found if each.get("class") == "state")
        for part in view.network.parts:
            assert part in names
            for phrase in states(view, verdict, part):
                assert squeezed(phrase) in squeezed(words)
        assert root.find(f"{SVG}title").text == "Pipe map of Shed & <barn>"


def squeezed(words: str) -> str:
    return re.sub(r"\s", "", words)


@pytest.mark.parametrize("name", PRESETS)
def test_the_sentences_say_what_the_map_says(name):
    for view, verdict in prepared(name):
        said = sentences(view, verdict)
        root, _ = texts(pipe_map(view, verdict, "a rig"))
        desc = root.find(f"{SVG}desc").text
        assert all(sentence in desc for sentence in said)
        for each in verdict.findings:
            assert any(each.code in s and each.text in s and each.do in s for s in said)
        for item in picture(view).items:
            if item.part and item.kind not in {"cap", "rim"}:
                line = next(s for s in said if re.match(rf"(\d+\. )?{item.part} \(", s))
                for phrase in (*states(view, verdict, item.part), *marks(verdict, item.part)):
                    assert phrase in line
                assert item_words(view, verdict, item)[0] == item.part


def test_the_way_of_the_wort_is_wide_numbered_and_has_its_direction():
    net = preset("two-valves").network
    view, verdict = viewed(net, line_ups(net, "whirlpool")[0].setting)
    shown = picture(view)
    live = [pipe for pipe in shown.pipes if pipe.look == "live"]
    ends = {
        frozenset((shown.items[pipe.upper].part, shown.items[pipe.lower].part)) for pipe in live
    }
    steps = list(itertools.pairwise(verdict.path))
    assert {frozenset(step) for step in steps} == ends
    for pipe in live:
        step = (shown.items[pipe.upper].part, shown.items[pipe.lower].part)
        assert (step if pipe.down == 1 else step[::-1]) in steps
    root, found = texts(pipe_map(view, verdict))
    numbers = [each.text for each in found if each.get("class") == "step"]
    assert sorted(map(int, numbers)) == list(range(1, 8))
    drawn = [g for g in root.iter(f"{SVG}g") if g.get("class") == "pipe live"]
    assert len(drawn) == len(live)
    for group in drawn:
        marks_on = [p for p in group if p.get("class") == "arrow"]
        assert marks_on or len(live) > 1
        strokes = [float(p.get("stroke-width")) for p in group if p.get("fill") == "none"]
        assert max(strokes) > 4
    # a direction mark is a shape of its own, so no renderer scales it by a line's width
    assert "marker" not in ElementTree.tostring(root, encoding="unicode")


def test_water_runs_from_the_supply_through_the_chiller_to_the_drain():
    for name in PRESETS:
        net = preset(name).network
        ends = tuple(each.at for each in net.loose)
        view, _ = viewed(net, Setting(tuple(v.stops[0] for v in net.valves), ends, False, True))
        shown = picture(view)
        water = {
            (shown.items[pipe.upper].kind, shown.items[pipe.lower].kind, pipe.down)
            for pipe in shown.pipes if pipe.look == "water"
        }
        assert water == {("water", "chiller", 1), ("chiller", "drain", 1)}


@pytest.mark.parametrize(
    ("position", "shown", "count"),
    [("arm", "way", 2), ("chiller", "way", 2), ("off", "off", 0), ("between", "between", 0)],
)
def test_a_handle_is_drawn_as_it_stands(position, shown, count):
    net = preset("two-valves").network
    settled, _ = line_up_of(
        preset("two-valves"), None, {"handles": f"K=open, V1={position}, V2=kettle"}
    )
    view, _ = viewed(net, settled)
    item = next(each for each in picture(view).items if each.part == "V1")
    its = stance(view, item)
    assert (its.position, len(its.open)) == (shown, count)
    if shown == "way":
        assert net.ports[its.towards] == ("V1", position)
        assert its.towards in its.open


def test_a_hose_end_stands_where_the_hand_put_it():
    net = preset("one-pump").network
    opened = tuple("open" for _ in net.valves)
    for end, kind in (("kettle", "rim"), ("fermenter", "fermenter"), ("floor", "floor"),
                      ("jug", "jug"), ("capped", "cap")):
        view, verdict = viewed(net, Setting(opened, (end,)))
        shown = picture(view)
        hose = next(at for at, item in enumerate(shown.items) if item.part == "H3")
        near = {
            shown.items[pipe.upper if pipe.lower == hose else pipe.lower].kind
            for pipe in shown.pipes if hose in (pipe.upper, pipe.lower)
        }
        assert near == {"valve2", kind}
        assert any("end by hand" in said for said in states(view, verdict, "H3"))


def test_two_pipes_that_change_places_keep_apart():
    gap = gap_of({1: (0.0, 40.0), 2: (40.0, 0.0)})
    bits = []
    for pipe, (start, end) in {1: (0.0, 40.0), 2: (40.0, 0.0)}.items():
        points = [(start, 0.0), *gap.bends[pipe], (end, gap.height)]
        bits += [(pipe, a, b) for a, b in itertools.pairwise(points)]
    for (n, a, b), (m, c, d) in itertools.combinations(bits, 2):
        assert n == m or not along(a, b, c, d)


def test_long_words_are_broken_and_lose_nothing():
    name = "W" * 40
    lines = broken(name, 13.0, 112.0, True)
    assert "".join(lines) == name and len(lines) > 1
    assert broken("a b", 12.0, 100.0) == ["a b"]
    assert broken("pump-that-hums-at-night", 13.0, 112.0, True) == ["pump-that-", "hums-at-night"]


def test_direction_marks_stand_on_the_pipe_and_point_along_it():
    assert arrows([(0.0, 0.0), (0.0, 50.0)], 1) == [((0.0, 25.0), 90.0)]
    assert arrows([(0.0, 0.0), (0.0, 50.0)], -1) == [((0.0, 25.0), -90.0)]
    assert len(arrows([(0.0, 0.0), (500.0, 0.0)], 1)) == 3


@pytest.mark.parametrize("width", [319, 4001])
def test_a_width_out_of_reason_is_refused(width):
    view, verdict = prepared("coil")[0]
    with pytest.raises(ValueError, match="320 to 4000"):
        pipe_map(view, verdict, "", width)


KINDS = [
    {"kind": "hose", "bore": "12 mm", "length": "1 m"},
    {"kind": "hose", "bore": "12 mm", "length": "1 m", "movable": "yes"},
    {"kind": "valve2"}, {"kind": "valve3", "passage": "L"}, {"kind": "valve3", "passage": "T"},
    {"kind": "tee"}, {"kind": "check"}, {"kind": "chiller", "form": "plate"},
    {"kind": "chiller", "form": "immersion"}, {"kind": "arm", "surface": "below"},
    {"kind": "jug"}, {"kind": "drain"}, {"kind": "water"}, {"kind": "pump"}, {"kind": "fermenter"},
]


@st.composite
def rigs(draw):
    """Parts joined at random, loops and loose ends and all, as they stand at random."""
    parts = [
        {"name": "kettle", "kind": "kettle"}, {"name": "P", "kind": "pump"},
        {"name": "fermenter", "kind": "fermenter"},
    ]
    for index, part in enumerate(draw(st.lists(st.sampled_from(KINDS), max_size=14))):
        word = draw(st.sampled_from(["p", "a-long-name-of-a-part_", 15 * "MW"]))
        parts.append({"name": f"{word}{index}", **part})
    ends = [f"{each['name']}.{port}" for each in parts
            for port in PipePart.model_validate(each).ports]
    mixed = draw(st.permutations(ends))
    joins = [
        [a, b] for a, b in zip(mixed[::2], mixed[1::2], strict=False)
        if a.partition(".")[0] != b.partition(".")[0] and draw(st.integers(0, 9))
    ]
    taken = {end for join in joins for end in join}
    capped = [end for end in ends if end not in taken]
    net = network(Plumbing.model_validate({"parts": parts, "joins": joins, "capped": capped}))
    positions = tuple(draw(st.sampled_from(valve.positions)) for valve in net.valves)
    hose_ends: list[str] = []
    used: set[int] = set()
    for loose in net.loose:
        free = [end for end, node in loose.targets.items() if node not in used]
        end = draw(st.sampled_from([*free, "capped"]))
        used |= {loose.targets[end]} if end != "capped" else set()
        hose_ends.append(end)
    return net, Setting(positions, tuple(hose_ends), draw(st.booleans()), draw(st.booleans()))


@settings(max_examples=80, derandomize=True, deadline=None)
@given(rigs(), st.sampled_from([WIDE, PHONE]))
def test_nothing_overlaps_on_random_rigs(stood, paper):
    view, verdict = viewed(*stood)
    made = layout(view, verdict, *paper)
    check_layout(made, view)
    shown = {item.part for item in made.picture.items}
    assert shown >= set(view.network.parts)


@settings(max_examples=30, derandomize=True, deadline=None)
@given(rigs(), st.sampled_from([360, 1200]), st.text(max_size=60))
def test_random_rigs_are_well_formed_pictures(stood, width, name):
    view, verdict = viewed(*stood)
    svg = pipe_map(view, verdict, name, width)
    check_svg(svg)
    assert svg == pipe_map(view, verdict, name, width)
    desc = texts(svg)[0].find(f"{SVG}desc").text
    assert all(f"{part} (" in desc for part in view.network.parts)
