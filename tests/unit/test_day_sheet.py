"""The sheet of the day: order, blanks, ticks, and a PDF whose texts are what was typed."""

import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

from wortline.app.day_sheet import day_sheet
from wortline.app.files import File
from wortline.app.planning import Planned, plan_brew
from wortline.app.showing import show_page
from wortline.pictures.day_sheet import SIZES_PT, day_sheet_pdf

EXAMPLES = Path(__file__).parents[2] / "examples"
ODD = "#let a = [*b*] <i>&amp; $x$ \\\\ ../etc @ref \"q\""


def planned(recipe: str = "rainday-pale", rig: str = "shed-two-valves", **how: Any) -> Planned:
    files = [File(each, (EXAMPLES / f"{each}.yaml").read_bytes()) for each in (recipe, rig)]
    if "name" in how:
        name = how.pop("name").replace("'", "''")
        text = files[0].content.decode().replace("name: Rainday Pale", f"name: '{name}'")
        files[0] = File("recipe", text.encode())
    return plan_brew(*files, File("day", (EXAMPLES / "cool-march.yaml").read_bytes()), **how)


def pdf_text(made: bytes, tmp_path: Path, how: str = "-layout") -> str:
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext is not installed")
    file = tmp_path / "sheet.pdf"
    file.write_bytes(made)
    done = subprocess.run(
        ["pdftotext", how, str(file), "-"], capture_output=True, text=True, check=True
    )
    return done.stdout


def test_steps_stand_in_order_with_blanks_and_ticks() -> None:
    sheet = day_sheet(planned())
    clocks = [each.clock for each in sheet.steps]
    minutes = [int(c.split(":")[0]) * 60 + int(c.split(":")[1]) for c in clocks]
    assert minutes == sorted(minutes)
    acts = [act for step in sheet.steps for act in step.acts]
    assert [act.text[:2] for act in acts if act.kind == "dose"] == ["d1", "d2", "d3"]
    assert sum(act.blank == "Measured" for act in acts) >= 6
    assert not any("____" in act.text for act in acts)
    assert all(act.text for act in acts)
    assert any("Mains near water" in each for each in sheet.steps[0].cautions)


def test_what_no_heat_has_sanitised_is_said_before_wort_runs_through_it() -> None:
    plan = planned("coalhatch-stout")
    (note,) = [each for each in plan.report["notes"] if each["code"] == "pipes-unmarked"]
    sheet = day_sheet(plan)
    (step,) = [each for each in sheet.steps if note["text"] in each.cautions]
    assert any("into the fermenter" in act.text for act in step.acts)
    heated = day_sheet(planned(rig="shed-45"))
    assert not any("no-rinse" in each for step in heated.steps for each in step.cautions)


def test_what_must_be_true_before_a_turn_is_said_in_the_units_of_the_sheet() -> None:
    # 97.3 C and 40 C are 207.1 F and 104 F, by the definition of the degree Fahrenheit
    for system, hot, cool in (("metric", "97.3 C", "40 C"), ("us", "207.1 F", "104 F")):
        acts = [act.text for step in day_sheet(planned(), system).steps for act in step.acts]
        said = f"Let it stand for 2 min, to about {hot}, before the pump goes on"
        assert sum(said in each.replace("\u00a0", " ") for each in acts) == 1
        assert sum(f"leaves the chiller at {cool} or below" in each for each in acts) == 1


def test_a_rig_with_pipes_has_each_line_up_once() -> None:
    sheet = day_sheet(planned())
    words = [each.words for each in sheet.line_ups]
    assert len(words) == len(set(words)) >= 3
    assert all(each.svg.startswith("<svg") for each in sheet.line_ups)
    assert day_sheet(planned(rig="shed-45")).line_ups == ()


@pytest.mark.parametrize(("paper", "size"), [("a4", b"595"), ("letter", b"612 792")])
@pytest.mark.parametrize(("rig", "pages"), [("shed-45", 1), ("shed-two-valves", 2)])
def test_one_page_and_one_of_pipes(paper: str, size: bytes, rig: str, pages: int) -> None:
    made = day_sheet_pdf(day_sheet(planned(rig=rig)).values(), paper)  # type: ignore[arg-type]
    assert made.startswith(b"%PDF")
    assert size in made
    assert f"/Type/Pages/Count {pages}".encode() in made
    # tagged, with a language: what a screen reader needs (PDF/UA-1, ISO 14289-1)
    for mark in (b"/MarkInfo", b"/StructTreeRoot", b"/Lang"):
        assert mark in made


@pytest.mark.parametrize("recipe", ["rainday-pale", "coalhatch-stout", "fogbank-hazy"])
@pytest.mark.parametrize(("system", "paper"), [("metric", "a4"), ("us", "letter")])
def test_a_day_with_pipes_is_one_page_and_one_more(recipe: str, system: str, paper: str) -> None:
    # What is read at arm's length over steam is not smaller than 8.5 pt.
    assert min(min(each) for each in SIZES_PT.values()) == 8.5
    sheet = day_sheet(planned(recipe, system=system), system).values()
    made = day_sheet_pdf(sheet, paper)  # type: ignore[arg-type]
    assert b"/Type/Pages/Count 2" in made


def test_two_columns_are_read_one_after_the_other(tmp_path: Path) -> None:
    sheet = day_sheet(planned())
    text = " ".join(pdf_text(day_sheet_pdf(sheet.values()), tmp_path, "-raw").split())
    place = text.index("The day, hours:minutes")
    for step in sheet.steps:
        # the caution stands before its moment, on the same step
        for said in (*(each.split(":")[0] for each in step.cautions), f"{step.clock} "):
            place = text.index(said, place) + len(said)


def test_a_day_too_long_for_a_page_runs_on_and_loses_nothing(tmp_path: Path) -> None:
    files = [File(n, (EXAMPLES / f"{n}.yaml").read_bytes())
             for n in ("rainday-pale", "shed-two-valves")]  # fmt: skip
    more = "".join(
        f"  - {{hop: Saaz, mass: 1 g, alpha: 3.8 %, form: pellets, when: {each} min}}\n"
        for each in range(1, 41)
    )
    long = files[0].content.decode().replace("whirlpool:", f"{more}whirlpool:")
    sheet = day_sheet(plan_brew(File("r", long.encode()), files[1], None))
    made = day_sheet_pdf(sheet.values())
    text = " ".join(pdf_text(made, tmp_path, "-raw").split())
    assert b"/Type/Pages/Count 3" in made
    assert all(f"d{number}: " in text for number in range(1, 44))
    assert "Aerate and pitch" in text


def test_every_word_of_it_is_on_the_paper(tmp_path: Path) -> None:
    sheet = day_sheet(planned())
    text = " ".join(pdf_text(day_sheet_pdf(sheet.values()), tmp_path).split())
    for step in sheet.steps:
        for said in (*step.cautions, *(act.text for act in step.acts)):
            assert said.split()[0] in text
    for words in ("Weigh out", "Where it should end", "measured", "page 1 of 2"):
        assert words in text


def test_markup_in_a_name_stays_text(tmp_path: Path) -> None:
    odd = planned(name=ODD)
    text = pdf_text(day_sheet_pdf(day_sheet(odd).values()), tmp_path)
    assert "#let a = [*b*]" in text
    assert "$x$" in text
    page = show_page(odd)
    assert "<i>" not in page
    assert "&lt;i&gt;" in page


def test_a_plan_that_does_not_fit_says_so_on_paper(tmp_path: Path) -> None:
    files = [File(n, (EXAMPLES / f"{n}.yaml").read_bytes()) for n in ("rainday-pale", "shed-45")]
    big = File("r", files[0].content.replace(b"batch: 23 L", b"batch: 60 L"))
    sheet = day_sheet(plan_brew(big, files[1], None))
    assert not sheet.fits
    assert "This plan does not fit" in pdf_text(day_sheet_pdf(sheet.values()), tmp_path)


def test_the_shown_page_is_one_file() -> None:
    page = show_page(planned(), "us")
    assert page.startswith("<!doctype html>")
    assert "US gal" in page
    for outside in ("<script", "<link rel=\"stylesheet", "@import", "url(http"):
        assert outside not in page


def test_another_paper_is_refused() -> None:
    with pytest.raises(ValueError, match="a3"):
        day_sheet_pdf({}, "a3")  # type: ignore[arg-type]
