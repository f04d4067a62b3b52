"""The strip picture: what stands in it, that words never touch, that odd plans are drawn too.

The days in this file are invented for the picture only; no number in them means anything.
"""

from __future__ import annotations

import itertools
import math
import struct
import zlib
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wortline.pictures import png, strip
from wortline.pictures.heat import interpolated
from wortline.pictures.labels import Box, text_box
from wortline.pictures.scale import time_scale

SVG = "{http://www.w3.org/2000/svg}"


def invented_day(
    doses: list[tuple[str, str, float | None]] | None = None,
    boil_min: float = 60.0,
    rest_min: float = 18.0,
    pump_min: float = 4.0,
    chill_min: float = 30.0,
) -> dict[str, Any]:
    """A day made up for the picture: smooth curves of about the right shape."""
    lengths = [
        ("fill", 15.0, 14.0, 14.0), ("heat", 48.0, 14.0, 70.0), ("mash", 60.0, 67.0, 65.0),
        ("lift", 10.0, 65.0, 64.0), ("to_boil", 45.0, 64.0, 99.3), ("boil", boil_min, 99.3, 99.3),
        ("whirlpool", pump_min, 99.3, 96.0), ("rest", rest_min, 96.0, 88.0),
        ("chill", chill_min, 88.0, 18.0), ("transfer", 20.0, 18.0, 18.0),
        ("pitch", 5.0, 18.0, 18.0),
    ]
    rows: list[dict[str, Any]] = []
    at = 0.0
    for phase, length, start_c, end_c in lengths:
        if length == 0.0 and phase in ("whirlpool", "rest"):
            continue
        rows.append({
            "phase": phase, "start_min": at, "end_min": at + length, "start_c": start_c,
            "end_c": end_c, "cautions": ["Hot."] if phase in ("lift", "boil") else [],
        })
        at += length
    off = next(r["end_min"] for r in rows if r["phase"] == "boil")
    chill = next(r["start_min"] for r in rows if r["phase"] == "chill")
    if doses is None:
        doses = [("Magnum", "60 min", off - 60), ("Saaz", "heat-off", off),
                 ("Saaz", "10 min into rest", off + pump_min + 10), ("Saaz", "dry hop", None)]
    times = sorted({float(t) for t in range(int(at) + 1)} | {r["start_min"] for r in rows} | {at})
    temps = [_temp(rows, t) for t in times]
    lines: list[dict[str, Any]] = []
    table: list[dict[str, Any]] = []
    for place, (name, when, in_min) in enumerate(doses):
        grown = [0.0] * len(times)
        if in_min is not None:
            for i in range(1, len(times)):
                warm = math.exp((temps[i] - 100) / 13)
                inside = max(0.0, times[i] - max(times[i - 1], in_min))
                gain = 26.0 * warm * inside / 45 * math.exp(-max(0.0, times[i] - in_min) / 45)
                grown[i] = grown[i - 1] + gain
        by_off = grown[_index(times, off)]
        by_chill = grown[_index(times, chill)]
        table.append({
            "id": f"d{place + 1}", "name": name, "at": when, "held": "free", "in_min": in_min,
            "boil_ibu": by_off, "rest_ibu": by_chill - by_off, "chill_ibu": grown[-1] - by_chill,
            "total_ibu": grown[-1], "shift_min": None,
        })
        lines.append({"id": f"d{place + 1}", "ibu": grown})
    mid = sum(sum(line["ibu"][-1:]) for line in lines)
    boiled = [min(1.0, max(0.0, (t - (off - boil_min)) / boil_min)) for t in times]
    return {
        "schema": "plan/1", "name": "Invented Pale", "rig": "Shed 45", "fits": True, "cant": [],
        "water_l": 34.2, "strike_c": 69.8, "timeline": rows,
        "ledger": [{"step": "fermenter", "cold_l": 23.0}],
        "gravity": {"preboil_sg": 1.044, "original_sg": 1.05, "final_sg": 1.011},
        "abv_fraction": 0.052, "colour_ebc": 11.0,
        "bitterness": {"method": "kinetic", "doses": table,
                       "ibu": {"low": mid * 0.82, "mid": mid, "high": mid * 1.19}},
        "lines": {
            "time_min": times, "temp_c": temps, "doses": lines,
            "cold_l": [30.0 * min(1.0, t / 15.0 if t else 0.0) - 2.9 * b
                       for t, b in zip(times, boiled, strict=True)],
            "dms_ug_l": [80.0 * math.exp(-((t - off + boil_min) / 30.0) ** 2) for t in times],
        },
        "notes": [],
    }


def _temp(rows: list[dict[str, Any]], at_min: float) -> float:
    for row in reversed(rows):
        if row["start_min"] <= at_min:
            length = row["end_min"] - row["start_min"]
            share = min(1.0, (at_min - row["start_min"]) / length) if length else 1.0
            return float(row["start_c"] + share * (row["end_c"] - row["start_c"]))
    return float(rows[0]["start_c"])


def _index(times: list[float], at_min: float) -> int:
    return next(i for i, t in enumerate(times) if t >= at_min)


OFF = 238.0
NAMES = ["Magnum", "Saaz", "Brambling Late Harvest", "Tettnang", "Perle"]
ODD: dict[str, dict[str, Any]] = {
    "usual": invented_day(),
    "no hops": invented_day([]),
    "no whirlpool": invented_day(pump_min=0.0, rest_min=0.0),
    "instant chill": invented_day(pump_min=0.0, rest_min=0.0, chill_min=0.0),
    "long boil": invented_day(
        [("Magnum", "300 min", 178.0), ("Saaz", "heat-off", 478.0)], boil_min=300.0),
    "early": invented_day([("Perle", "first wort", 20.0), ("Saaz", "heat-off", OFF)]),
    "first wort": invented_day([("Perle", "first wort", 123.0), ("Saaz", "5 min", OFF - 5)]),
    "twelve": invented_day([(NAMES[i % 5], f"{60 - 5 * i} min", OFF - 60 + 5 * i)
                            for i in range(12)]),
    "forty at once": invented_day([(NAMES[i % 5], "heat-off", OFF) for i in range(40)]),
    "forty apart": invented_day([(NAMES[i % 5], f"{i} min", OFF - 60 + 2 * i)
                                 for i in range(40)]),
    "late": invented_day([("Saaz", "in the chill", OFF + 22 + 3 * i) for i in range(5)]),
    "long names": invented_day([("A very long name of hops " * 5, "60 min", OFF - 60),
                                ("Another one & <b>" * 9, "heat-off", OFF)])
    | {"name": "A beer with a name " * 12, "rig": "rig " * 80},
    "refused": invented_day() | {
        "fits": False,
        "cant": [{"code": "x", "text": "the hot wort would stand at 47.2 L and the brim is at "
                  "45.0 L; the nearest plan that works makes 21.4 L in the fermenter"}] * 5},
    "refused and empty": {"schema": "plan/1", "fits": False, "cant": [{"text": "strike " * 90}]},
    "nothing": {},
}
WIDTHS = [320, 360, 700, 899, 900, 1200]
every = pytest.mark.parametrize("which", ODD)


def texts(svg: str) -> list[tuple[str, str, Box]]:
    """Class, words and estimated box of every line of text."""
    found = []
    for node in ElementTree.fromstring(svg).iter(f"{SVG}text"):
        words = node.text or ""
        box = text_box(
            float(node.attrib["x"]), float(node.attrib["y"]), words,
            float(node.attrib["font-size"]), node.attrib.get("text-anchor", "start"),
            node.attrib.get("font-weight") == "bold",
        )
        found.append((node.attrib.get("class", ""), words, box))
    return found


def of_kind(svg: str, kind: str) -> list[str]:
    return [words for name, words, _ in texts(svg) if name == kind]


@pytest.mark.parametrize("width", WIDTHS)
@every
def test_words_neither_touch_nor_leave_the_picture(which: str, width: int) -> None:
    svg = strip(ODD[which], width)
    high = float(ElementTree.fromstring(svg).attrib["height"])
    found = texts(svg)
    for _, words, box in found:
        assert box.left >= 0 and box.right <= width, words
        assert box.top >= 0 and box.bottom <= high, words
    for (_, a, one), (_, b, other) in itertools.combinations(found, 2):
        assert not one.touches(other), f"{a!r} touches {b!r}"


@pytest.mark.parametrize(("width", "least"), [(320, 12.0), (360, 12.0), (699, 12.0), (940, 14.0),
                                              (1050, 14.0), (1200, 14.0)])  # fmt: skip
@every
def test_print_can_be_read_across_a_table(which: str, width: int, least: float) -> None:
    drawn = strip(ODD[which], width, bare=True)
    sizes = [float(node.attrib["font-size"])
             for node in ElementTree.fromstring(drawn).iter(f"{SVG}text")]  # fmt: skip
    assert min(sizes, default=least) >= least


@pytest.mark.parametrize("width", [940, 1050, 1200])
def test_where_a_dose_earned_its_bitterness_is_not_cut(width: int) -> None:
    assert [each for each in of_kind(strip(ODD["usual"], width), "dose-parts") if "…" in each] == []


@every
def test_poles_do_not_cross_words(which: str) -> None:
    for width in (360, 1200):
        svg = strip(ODD[which], width)
        kinds = ("dose-name", "phase-name", "panel")
        names = [(words, box) for kind, words, box in texts(svg) if kind in kinds]
        for node in ElementTree.fromstring(svg).iter(f"{SVG}line"):
            x1, x2, y1, y2 = (float(node.attrib[k]) for k in ("x1", "x2", "y1", "y2"))
            if x1 == x2 and node.attrib["stroke-width"] == "0.8":
                pole = Box(x1, min(y1, y2), x1, max(y1, y2))
                assert not [w for w, box in names if box.touches(pole)]


def test_usual_day_holds_its_phases_doses_and_numbers() -> None:
    svg = strip(ODD["usual"])
    phases = {row["phase"].replace("_", " ") for row in ODD["usual"]["timeline"]}
    assert set(of_kind(svg, "phase-name")) == phases
    assert of_kind(svg, "dose-name") == [
        "d1 Magnum, 60 min", "d2 Saaz, heat-off", "d3 Saaz, 10 min into rest"]
    assert of_kind(svg, "dose-end") == ["d3 Saaz", "d2 Saaz", "d1 Magnum"]
    totals = [row["total_ibu"] for row in ODD["usual"]["bitterness"]["doses"][:3]]
    assert of_kind(svg, "dose-total") == [f"{t:.1f}" for t in reversed(totals)]
    assert of_kind(svg, "title") == ["Invented Pale"]
    assert {"1.050", "23.0 L", "5.2 %"} <= set(of_kind(svg, "number"))
    assert any("d4 Saaz (dry hop)" in words for words in of_kind(svg, "note"))
    assert len(list(ElementTree.fromstring(svg).iter(f"{SVG}polygon"))) >= 3


def test_accessible_and_alone() -> None:
    svg = strip(ODD["usual"])
    root = ElementTree.fromstring(svg)
    assert root.attrib["role"] == "img"
    assert root[0].tag == f"{SVG}title" and root[1].tag == f"{SVG}desc"
    assert "Invented Pale" in (root[0].text or "")
    assert "http" not in svg.replace("http://www.w3.org/2000/svg", "")
    assert not {"image", "script", "foreignObject", "use"} & {
        node.tag.removeprefix(SVG) for node in root.iter()}


def test_change_of_pace_is_said() -> None:
    words = " ".join(of_kind(strip(ODD["usual"]), "pace"))
    assert "× 1" in words and "times as wide" in words


def test_a_dose_at_a_jump_lands_before_it() -> None:
    assert interpolated([0.0, 10.0, 10.0, 20.0], [90.0, 100.0, 18.0, 18.0], 10.0) == 100.0


@given(
    st.floats(0, 400), st.floats(0, 400), st.floats(0, 200), st.floats(0, 300),
)
@settings(max_examples=100, deadline=None, derandomize=True)
def test_time_axis_runs_one_way_and_is_whole(
    before: float, boil: float, cool: float, after: float
) -> None:
    hot = (before, before + boil, before + boil + cool)
    scale = time_scale(0.0, hot[2] + after, hot, 50.0, 950.0)
    assert scale.x(0.0) == pytest.approx(50.0)
    assert scale.pieces[-1].right == pytest.approx(950.0)
    assert all(b.start_min - a.end_min < 0.02 and a.right == pytest.approx(b.left)
               for a, b in itertools.pairwise(scale.pieces))
    assert all(piece.pace > 0 for piece in scale.pieces)


def test_phone_picture_keeps_every_total() -> None:
    assert len(of_kind(strip(ODD["usual"], 360), "dose-total")) == 3


def test_refusal_is_told() -> None:
    words = " ".join(of_kind(strip(ODD["refused"]), "cant"))
    assert "47.2 L" in words and "and 2 more" in words


def test_us_units() -> None:
    svg = strip(ODD["usual"], system="us")
    assert {"6.1 US gal", "1.050"} <= set(of_kind(svg, "number"))
    assert any(words.endswith("°F") for words in of_kind(svg, "temperature"))
    assert not any(words.endswith("°C") for words in of_kind(svg, "temperature"))


@pytest.mark.parametrize("width", [320, 360, 700, 900, 1200, 2000])
def test_no_number_is_cut(width: int) -> None:
    for svg in (strip(ODD["usual"], width), strip(ODD["usual"], width, "us")):
        for kind in ("number", "dose-total", "temperature", "tick", "pace"):
            assert not [words for words in of_kind(svg, kind) if "…" in words]


def test_text_is_escaped() -> None:
    name = "<script>&\"'\x00\x0b\ud800 ]]> 麦芽 🍺"
    plan = invented_day([(name, name, OFF)]) | {"name": name, "rig": name}
    for width in (360, 1200):
        svg = strip(plan, width)
        ElementTree.fromstring(svg)
        assert "<script" not in svg
        svg.encode()


@pytest.mark.parametrize("width", [-1, 0, 319, 4001])
def test_impossible_width_is_refused(width: int) -> None:
    with pytest.raises(ValueError, match="pixels wide"):
        strip({}, width)


def test_same_plan_same_picture() -> None:
    assert strip(invented_day()) == strip(invented_day())


minutes = st.floats(0, 700, allow_nan=False)
anything = st.one_of(
    st.none(), st.booleans(), st.integers(-10**6, 10**6), st.text(max_size=8),
    st.floats(), st.lists(st.floats(), max_size=3), st.just({}),
)


@settings(max_examples=20, deadline=None, derandomize=True)
@given(
    st.lists(st.tuples(st.text(max_size=40), st.text(max_size=20), st.none() | minutes),
             max_size=45),
    st.sampled_from([1.0, 30.0, 60.0, 300.0]), st.sampled_from([0.0, 1.0, 18.0, 90.0]),
    st.sampled_from([0.0, 30.0, 200.0]), st.integers(320, 2000),
)
def test_any_day_is_drawn_without_a_touch(
    doses: list[tuple[str, str, float | None]], boil: float, rest: float, chill: float, width: int
) -> None:
    svg = strip(invented_day(doses, boil, rest, 4.0, chill), width)
    found = texts(svg)
    assert all(box.left >= 0 and box.right <= width for *_, box in found)
    assert not [(a, b) for (_, a, one), (_, b, other) in itertools.combinations(found, 2)
                if one.touches(other)]


@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.data())
def test_damaged_plans_are_still_well_formed(data: st.DataObject) -> None:
    plan = invented_day()
    for key in data.draw(st.lists(st.sampled_from(sorted(plan)), max_size=3)):
        plan[key] = data.draw(anything)
    for place in ("bitterness", "lines", "gravity"):
        part = plan.get(place)
        if isinstance(part, dict) and part and data.draw(st.booleans()):
            part[data.draw(st.sampled_from(sorted(part)))] = data.draw(anything)
    if isinstance(plan["timeline"], list) and plan["timeline"]:
        row = data.draw(st.sampled_from(plan["timeline"]))
        if isinstance(row, dict):
            row[data.draw(st.sampled_from(sorted(row)))] = data.draw(anything)
    ElementTree.fromstring(strip(plan, data.draw(st.sampled_from([360, 1200]))))


def pixels(file: bytes) -> list[bytes]:
    """Rows of an 8-bit PNG, filters undone, and nothing else of the format."""
    assert file[:8] == b"\x89PNG\r\n\x1a\n"
    at, packed, size, colour = 8, b"", (0, 0), 0
    while at < len(file):
        length, kind = struct.unpack(">I4s", file[at : at + 8])
        body = file[at + 8 : at + 8 + length]
        if kind == b"IHDR":
            wide, high, depth, colour, *_ = struct.unpack(">IIBBBBB", body)
            size = (wide, high)
            assert depth == 8
        packed += body if kind == b"IDAT" else b""
        at += length + 12
    step = {0: 1, 2: 3, 4: 2, 6: 4}[colour]
    raw, stride = zlib.decompress(packed), size[0] * step
    rows, before = [], bytearray(stride)
    for y in range(size[1]):
        kind_of, *data = raw[y * (stride + 1) : (y + 1) * (stride + 1)]
        row = bytearray(data)
        for i in range(stride):
            a = row[i - step] if i >= step else 0
            b, c = before[i], before[i - step] if i >= step else 0
            paeth = min((abs(b - c), 0, a), (abs(a - c), 1, b), (abs(a + b - 2 * c), 2, c))[2]
            row[i] = (row[i] + (0, a, b, (a + b) // 2, paeth)[kind_of]) & 255
        rows.append(bytes(row))
        before = row
    return [bytes(sum(row[i : i + min(step, 3)]) // min(step, 3) for i in range(0, stride, step))
            for row in rows]


def test_png_shows_words_and_is_stable() -> None:
    svg = strip(ODD["usual"], 360)
    file = png(svg, 360)
    assert file == png(svg, 360)
    grey = pixels(file)
    assert len(grey[0]) == 360
    assert abs(len(grey) - float(ElementTree.fromstring(svg).attrib["height"])) <= 1
    for kind, words, box in texts(svg):
        if kind in ("title", "number", "dose-total", "tick", "note"):
            inside = [v for y in range(int(box.top), int(box.bottom))
                      for v in grey[y][int(box.left) : int(box.right) + 1]]
            assert min(inside) < 150 < 230 < max(inside), words
            # The words reach as far as a line of their length must: nothing dropped on the way.
            half = (box.left + box.right) / 2 - 0.2 * (box.right - box.left)
            tail = [v for y in range(int(box.top), int(box.bottom))
                    for v in grey[y][int(half) : int(box.right) + 1]]
            assert min(tail) < 190, words


@pytest.mark.parametrize("width", [0, -3, 8001])
def test_png_refuses_impossible_widths(width: int) -> None:
    with pytest.raises(ValueError, match="pixels wide"):
        png("<svg/>", width)


def test_facts_stand_in_a_band_of_their_own_and_stretch_the_axis() -> None:
    plan = invented_day()
    facts = [
        {"phase": "fill", "start_min": 0.0, "end_min": 9.0},
        {"phase": "boil", "start_min": 160.0, "end_min": 400.0},
    ]
    picture = strip({**plan, "facts": facts})
    assert picture.count('class="fact"') == 2
    assert "as it was" in picture
    assert "boil, 2:40 to 6:40" in picture
    assert 'class="fact"' not in strip(plan)
