"""The row of line-ups under the phases: a stretch for each, marks with the acts of hands."""

import re
from functools import cache
from typing import Any
from xml.etree import ElementTree

import pytest

from wortline.app.files import File
from wortline.app.planning import plan_brew
from wortline.app.tables import text
from wortline.pictures.labels import text_box
from wortline.pictures.strip import strip

SVG = "{http://www.w3.org/2000/svg}"
WIDTHS = (320, 336, 700, 940, 1600)


@cache
def planned(piped: bool) -> dict[str, Any]:
    rig = text("first/rig.yaml" if piped else "new/rig.yaml")
    texts = {"recipe": text("first/recipe.yaml"), "rig": rig, "day": text("first/day.yaml")}
    return plan_brew(*(File(kind, each.encode()) for kind, each in texts.items())).report


def drawn(plan: dict[str, Any], width_px: int, **how: Any) -> ElementTree.Element:
    return ElementTree.fromstring(strip(plan, width_px, bare=True, **how))


def of_kind(picture: ElementTree.Element, tag: str, kind: str) -> list[ElementTree.Element]:
    return [each for each in picture.iter(f"{SVG}{tag}") if each.get("class") == kind]


def told(each: ElementTree.Element) -> str:
    return each.findtext(f"{SVG}title") or ""


@pytest.mark.parametrize("width_px", WIDTHS)
def test_every_stretch_in_which_something_flows_stands_under_its_phase(width_px: int) -> None:
    plan = planned(True)
    picture = drawn(plan, width_px)
    stretches = of_kind(picture, "rect", "line-up")
    assert [told(each).partition(",")[0] for each in stretches] == [
        "Line-up 1: recirculate", "Line-up 2: hot loop", "Line-up 3: whirlpool",
        "Line-up 4: circulating chill", "Line-up 5: into the fermenter",
    ]  # fmt: skip
    phases = {told(each).partition(",")[0]: each for each in of_kind(picture, "rect", "phase")}
    for stretch, phase in ((0, "mash"), (2, "whirlpool"), (3, "chill"), (4, "transfer")):
        (x, width), (above_x, above_width) = (
            (float(each.get("x") or 0), float(each.get("width") or 0))
            for each in (stretches[stretch], phases[phase])
        )
        row = next(each for each in plan["timeline"] if each["phase"] == phase)
        # a whirlpool that waits for its pump has it only after that
        waits = row.get("stand_min", 0.0) / (row["end_min"] - row["start_min"])
        # every place and width is drawn to a tenth of a pixel, so sums of two to two tenths
        assert x == pytest.approx(above_x + waits * above_width, abs=0.2), phase
        assert x + width == pytest.approx(above_x + above_width, abs=0.2), phase
        lower = float(phases[phase].get("y") or 0) + float(phases[phase].get("height") or 0)
        assert float(stretches[stretch].get("y") or 0) > lower


def test_every_change_over_has_a_mark_with_its_acts_in_order() -> None:
    plan = planned(True)
    marks = [told(each) for each in of_kind(drawn(plan, 940), "g", "change-over")]
    turns = [turn for phase in plan["timeline"] for turn in phase["turns"]]
    assert len(marks) == len({round(turn["at_min"], 6) for turn in turns}) == 9
    said = " ".join(marks)
    for turn in turns:
        assert turn["text"] in said
    assert "Turn the water on. Turn V1 from arm to chiller. Switch P on." in said
    assert all(re.match(r"\d:\d\d ", each) for each in marks)


@pytest.mark.parametrize("width_px", WIDTHS)
def test_numbers_and_words_of_the_row_touch_nothing(width_px: int) -> None:
    picture = drawn(planned(True), width_px)
    boxes = []
    for each in picture.iter(f"{SVG}text"):
        size = float(each.get("font-size") or 0)
        box = text_box(
            float(each.get("x") or 0), float(each.get("y") or 0), each.text or "", size,
            each.get("text-anchor") or "start", each.get("font-weight") == "bold",
        )  # fmt: skip
        boxes.append((each.get("class"), each.text, box))
    mine = [each for each in boxes if each[0] in ("line-up-name", "line-ups")]
    assert len([each for each in mine if each[0] == "line-up-name"]) == 5
    for kind, words, box in mine:
        assert 0.0 <= box.left <= box.right <= width_px
        for other, said, there in boxes:
            assert (kind, words) == (other, said) or not box.touches(there), (words, said)


@pytest.mark.parametrize("width_px", WIDTHS)
def test_what_the_numbers_mean_is_written_out(width_px: int) -> None:
    written = " ".join(each.text or "" for each in drawn(planned(True), width_px).iter())
    for words in ("1 recirculate", "2 hot loop", "4 circulating chill", "5 into the fermenter"):
        assert words in " ".join(written.split()), words


def test_a_rig_without_pipes_has_no_row() -> None:
    picture = drawn(planned(False), 940)
    assert of_kind(picture, "rect", "line-up") == []
    assert "ine-up" not in strip(planned(False), 940)


@pytest.mark.parametrize("width_px", WIDTHS)
def test_the_row_keeps_its_room_while_it_is_worked_out(width_px: int) -> None:
    plan = planned(True)
    bare = ("lineup", "turns")
    quick = plan | {
        "timeline": [{k: v for k, v in each.items() if k not in bare} for each in plan["timeline"]]
    }
    late, whole = (drawn(each, width_px, room_for=plan) for each in (quick, plan))
    assert late.get("height") == whole.get("height")
    assert of_kind(late, "rect", "line-up") == []
    assert len(of_kind(late, "text", "line-up-late")) == 1
    # so does the row of the key that says what the faint lines are, on a phone
    moved = drawn(plan, width_px, room_for=plan, former=plan)
    assert moved.get("height") == whole.get("height")
