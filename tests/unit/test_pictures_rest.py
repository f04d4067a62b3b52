"""The kettle from the side and the trade of the rest: what stands in them, that words never touch.

The kettles and days in this file are invented for the pictures only; no number means anything.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from wortline.pictures.kettle_side import KettleMoment, KettleSide, kettle_side
from wortline.pictures.labels import Box, text_box
from wortline.pictures.rest_trade import (
    PANELS,
    DoseCurve,
    TradePicture,
    Way,
    drawn_doses,
    rest_trade_picture,
)

SVG = "{http://www.w3.org/2000/svg}"
WIDTHS = (320, 360, 699, 700, 900, 1200, 1600, 4000)
RESTS = tuple(float(each) for each in range(0, 61, 2))

SIDE = KettleSide(
    "The kettle from the side, Invented Pale",
    "On Shed 45: 4 min pumped, then 18 min still.",
    diameter_m=0.38, wall_m=0.40, wort_m=0.235, outlet_m=0.02, draw_off_m=0.041,
    draw_off_words="draw-off line, 4.1 cm: 3.3 L cold stay; half a litre more lifts the cone",
    moments=(
        KettleMoment("Pump running", "just before it stops", 22.3, 0.009, 0.24, 0.76, 0.05, 0.008,
                     0.0),
        KettleMoment("Pump off", "2 min into the rest", 4.7, 0.001, 0.4, 0.6, 0.1, 0.02, 0.1),
        KettleMoment("End of rest", "18 min into the rest", 0.05, 0.0, 0.82, 0.16, 0.129, 0.035,
                     0.25),
    ),
)  # fmt: skip


def way(label: str, off: float = 0.0) -> Way:
    return Way(
        label,
        ibu=tuple(28 + 6 * (1 - math.exp(-r / 20)) + off for r in RESTS),
        aroma_index=tuple(100 * math.exp(-r / 80) - off for r in RESTS),
        dms_ug_l=tuple(20 + 0.4 * r + off for r in RESTS),
        clear_fraction=tuple(1 - math.exp(-r / 9) for r in RESTS),
        clog_level=tuple(float(max(1, 5 - r // 12)) for r in RESTS),
        clock_min=tuple(35 + r + off for r in RESTS),
    )


TRADE = TradePicture(
    "The trade of the rest, Invented Pale",
    "On Shed 45, pumped 4 min. Every panel stands over the same minutes of rest.",
    RESTS,
    (DoseCurve("malt", (1.0,) * len(RESTS)), DoseCurve("d1 Magnum", (25.0,) * len(RESTS)),
     DoseCurve("d2 Saaz", tuple(2 + 6 * (1 - math.exp(-r / 20)) for r in RESTS))),
    (way("the lid off (planned)"), way("the lid on", 3.0), way("the pump on at 90 C", 6.0)),
    clear_low=tuple(0.6 * (1 - math.exp(-r / 9)) for r in RESTS),
    clear_high=tuple(min(1.0, 1.2 * (1 - math.exp(-r / 9))) for r in RESTS),
    planned_min=18.0,
    knee_min=14.0,
    verdict="Knee at 14 min: 5 more minutes clear less than 5 % of the solids.",
)  # fmt: skip
EMPTY = (None,) * len(RESTS)
TRADES = {
    "usual": TRADE,
    "no data": replace(
        TRADE,
        ways=tuple(
            replace(each, aroma_index=EMPTY, clear_fraction=EMPTY, clog_level=EMPTY)
            for each in TRADE.ways
        ),
        clear_low=(), clear_high=(), knee_min=None, verdict="No data on how your kettle clears.",
    ),
    "knee is planned": replace(TRADE, knee_min=18.0),
    "knee after": replace(TRADE, knee_min=40.0),
    "at the start": replace(TRADE, knee_min=0.0, planned_min=2.0),
    "at the end": replace(TRADE, knee_min=58.0, planned_min=60.0),
    "no hops": replace(TRADE, doses=TRADE.doses[:1]),
    "many hops": replace(
        TRADE,
        doses=tuple(DoseCurve(f"d{i} Tettnang", (float(i + 1),) * len(RESTS)) for i in range(9)),
    ),
    "long verdict": replace(TRADE, verdict="For you, not worth it: " + "so many words " * 12),
}  # fmt: skip


def texts(svg: str) -> list[tuple[str, str, Box]]:
    found = []
    for node in ElementTree.fromstring(svg).iter(f"{SVG}text"):
        words = node.text or ""
        box = text_box(
            float(node.attrib["x"]), float(node.attrib["y"]), words,
            float(node.attrib["font-size"]), node.attrib.get("text-anchor", "start"),
            node.attrib.get("font-weight") == "bold",
        )  # fmt: skip
        found.append((node.attrib.get("class", ""), words, box))
    return found


def of_kind(svg: str, kind: str) -> list[str]:
    return [words for name, words, _ in texts(svg) if name == kind]


def check_words(svg: str, width: int) -> None:
    high = float(ElementTree.fromstring(svg).attrib["height"])
    found = texts(svg)
    for _, words, box in found:
        assert box.left >= 0 and box.right <= width, words
        assert box.top >= 0 and box.bottom <= high, words
    for (_, a, one), (_, b, other) in itertools.combinations(found, 2):
        assert not one.touches(other), f"{a!r} touches {b!r}"


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("which", TRADES)
def test_words_of_the_trade_neither_touch_nor_leave_the_picture(which: str, width: int) -> None:
    check_words(rest_trade_picture(TRADES[which], width), width)


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("diameter", [0.25, 0.38, 0.6])
def test_words_of_the_kettle_neither_touch_nor_leave_the_picture(
    diameter: float, width: int
) -> None:
    side = replace(SIDE, diameter_m=diameter)
    check_words(kettle_side(side, width), width)
    check_words(kettle_side(replace(side, draw_off_m=None), width, "us"), width)


def test_the_trade_has_its_panels_its_ways_and_its_moments() -> None:
    svg = rest_trade_picture(TRADE)
    assert of_kind(svg, "panel") == [panel.name for panel in PANELS]
    assert of_kind(svg, "moment") == ["knee", "planned"] * 2
    assert of_kind(svg, "key")[:3] == [each.label for each in TRADE.ways]
    assert of_kind(svg, "key")[3:6] == ["malt", "d1 Magnum", "d2 Saaz"]
    assert of_kind(svg, "axis") == ["minutes of rest"] * 2
    assert of_kind(svg, "verdict") == [TRADE.verdict]
    planned = RESTS.index(18.0)
    assert of_kind(svg, "value")[0] == f"{TRADE.ways[0].ibu[planned]:.1f} at 18 min"
    assert of_kind(svg, "value")[-1] == "53 at 18 min"
    root = ElementTree.fromstring(svg)
    dashed = {node.attrib.get("stroke-dasharray", "") for node in root.iter(f"{SVG}polyline")}
    assert len(dashed) == len(TRADE.ways), "ways differ by dash, not by colour"


def test_every_panel_stands_over_the_same_axis() -> None:
    root = ElementTree.fromstring(rest_trade_picture(TRADE))
    knees = [
        float(node.attrib["x1"])
        for node in root.iter(f"{SVG}line")
        if node.attrib["stroke"] == "#b23a0e" and node.attrib["x1"] == node.attrib["x2"]
    ]
    assert len(knees) == len(PANELS)
    assert len(set(knees)) == 2, "one place in each of two columns"
    narrow = ElementTree.fromstring(rest_trade_picture(TRADE, 360))
    places = {
        node.attrib["x1"]
        for node in narrow.iter(f"{SVG}line")
        if node.attrib["stroke"] == "#b23a0e" and node.attrib["x1"] == node.attrib["x2"]
    }
    assert len(places) == 1


def test_a_line_without_data_says_so() -> None:
    svg = rest_trade_picture(TRADES["no data"])
    said = [words for words in of_kind(svg, "panel") if words.endswith(": no data")]
    assert len(said) == 3
    assert "knee" not in of_kind(svg, "moment")


def test_small_doses_are_drawn_together_and_none_is_lost() -> None:
    many = TRADES["many hops"]
    drawn = drawn_doses(many)
    assert len(drawn) == 6 and drawn[-1].name == "4 other doses"
    assert sum(dose.ibu[0] for dose in drawn) == sum(dose.ibu[0] for dose in many.doses)


def specks(svg: str) -> list[int]:
    root = ElementTree.fromstring(svg)
    clouds = [node for node in root.iter(f"{SVG}path") if node.attrib.get("class") == "cloud"]
    return [node.attrib["d"].count("M") for node in clouds]


def test_the_kettle_shows_as_many_specks_as_there_is_afloat() -> None:
    for width in (360, 1200):
        shown = specks(kettle_side(SIDE, width))
        shares = [moment.suspended_fraction for moment in SIDE.moments]
        assert len(shown) == 3
        for count, share in zip(shown, shares, strict=True):
            assert count == pytest.approx(170 * share, abs=0.51)


def test_the_kettle_says_its_moments_line_and_outlet() -> None:
    svg = kettle_side(SIDE)
    assert of_kind(svg, "moment") == [moment.name for moment in SIDE.moments]
    assert of_kind(svg, "outlet") == ["outlet"] * 3
    assert of_kind(svg, "draw-off") == ["4.1 cm"] * 3
    words = of_kind(svg, "words")
    assert words[0] == "22 turns a minute; 76 % still afloat"
    assert words[-1] == "at the outlet 82 % of the solids are gone"
    assert of_kind(kettle_side(SIDE, system="us"), "draw-off") == ["1.6 in"] * 3
    assert not of_kind(kettle_side(replace(SIDE, draw_off_m=None)), "draw-off")


def test_only_turning_wort_has_an_arrow() -> None:
    root = ElementTree.fromstring(kettle_side(SIDE))
    arrows = [node for node in root.iter(f"{SVG}path") if node.attrib.get("class") == "swirl"]
    assert len(arrows) == 2


@pytest.mark.parametrize("svg", [kettle_side(SIDE), rest_trade_picture(TRADE)])
def test_accessible_and_alone(svg: str) -> None:
    root = ElementTree.fromstring(svg)
    assert root.attrib["role"] == "img"
    assert root[0].tag == f"{SVG}title" and root[1].tag == f"{SVG}desc"
    assert "http" not in svg.replace("http://www.w3.org/2000/svg", "")
    assert not {"image", "script", "foreignObject", "use"} & {
        node.tag.removeprefix(SVG) for node in root.iter()
    }


def test_text_is_escaped() -> None:
    name = "<script>&\"'\x00 ]]> 麦芽"
    for svg in (
        kettle_side(replace(SIDE, title=name, subtitle=name, draw_off_words=name)),
        rest_trade_picture(replace(TRADE, title=name, subtitle=name, verdict=name)),
    ):
        ElementTree.fromstring(svg)
        assert "<script" not in svg


@pytest.mark.parametrize("width", [0, 319, 4001])
def test_impossible_width_is_refused(width: int) -> None:
    for draw in (lambda: kettle_side(SIDE, width), lambda: rest_trade_picture(TRADE, width)):
        with pytest.raises(ValueError, match="pixels wide"):
            draw()
