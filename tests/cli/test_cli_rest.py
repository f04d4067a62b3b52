"""`wortline rest`: what it prints and writes, and how it refuses."""

import json
import re
from pathlib import Path
from xml.etree import ElementTree

import jsonschema
import pytest

REFERENCE = Path(__file__).parents[2] / "docs" / "reference"
RECIPES = ["rainday-pale", "weir-cottage-bitter", "fogbank-hazy", "lantern-strong-lager",
           "coalhatch-stout"]  # fmt: skip


def rest(desk, *words):
    return desk.run("rest", desk.path("recipe"), "--rig", desk.path("rig"), "--day",
                    desk.path("day"), *words)  # fmt: skip


def check(report):
    schema = json.loads((REFERENCE / "rest-1.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(report)
    count = len(report["rest_min"])
    assert report["planned_min"] in report["rest_min"]
    for way in report["ways"]:
        lines = [value for value in way.values() if isinstance(value, list)]
        lines = [line for line in lines if line is not way["doses"]]
        lines += [dose["ibu"] for dose in way["doses"]]
        assert {len(line) for line in lines} == {count}


@pytest.mark.parametrize("recipe", RECIPES)
def test_every_example_keeps_to_rest_1(examples_desk, recipe):
    desk = examples_desk(recipe)
    ran = rest(desk, "--json")
    check(ran.json)
    assert ran.code == (0 if ran.json["fits"] else 3)
    page = rest(desk)
    assert page.code == ran.code
    assert all(len(line) <= 80 for line in page.out.splitlines())


def test_the_planned_rest_is_that_of_the_plan(desk):
    plan, report = desk.plan("--json").json, rest(desk, "--json").json
    here = report["rest_min"].index(report["planned_min"])
    first = report["ways"][0]
    assert first["ibu"][here] == pytest.approx(plan["bitterness"]["ibu"]["mid"], rel=1e-3)
    assert first["dms_ug_l"][here] == pytest.approx(plan["dms_ug_l"]["beer"], rel=1e-3)
    doses = {dose["id"]: dose["total_ibu"] for dose in plan["bitterness"]["doses"]}
    for dose in first["doses"]:
        assert dose["ibu"][here] == pytest.approx(doses[dose["id"]], rel=1e-3)
    total = sum(dose["ibu"][here] for dose in first["doses"])
    assert total == pytest.approx(first["ibu"][here], rel=1e-9)


def test_the_page_shows_the_planned_rest_and_the_verdict(desk):
    page = rest(desk).out
    assert re.search(r"18 min .*< .*planned", page)
    assert "IBU OF EACH DOSE" in page and "THE LID ON" in page
    verdict = rest(desk, "--json").json["verdict"]
    assert " ".join(verdict.split()) in " ".join(page.split())


def test_the_page_tells_the_clog_caution_and_what_holding_a_dose_changes(desk):
    plan, report = desk.plan("--json").json, rest(desk, "--json").json
    assert report["clog"] == plan["clog"]
    assert [each["ways"] for each in report["containment"]] == [
        dose["ways"] for dose in plan["aroma"]["doses"]
    ]
    page = rest(desk).out
    assert f"CLOG CAUTION {plan['clog']['level']} OF 5" in page
    assert len(re.findall(r"^.{16}(?:free|bag|mesh) .*\d", page, re.MULTILINE)) == 9


def test_a_recipe_without_a_whirlpool_is_weighed_too(desk):
    whirlpool = "whirlpool: {pump: 4 min, rest: 18 min, lid: off}"
    desk.change({"recipe": {whirlpool: "", "10 min into rest": "heat-off"}})
    report = rest(desk, "--json").json
    check(report)
    first = report["ways"][0]
    assert (report["planned_min"], first["pump_min"], len(report["ways"])) == (0.0, 0.0, 2)
    assert first["clear_fraction"][0] == 0.0 < first["clear_fraction"][-1]
    assert "makes no cone" in report["verdict"]
    ran = rest(desk, "--kettle", desk.folder / "kettle.svg")
    assert ran.code == 1 and "plans no whirlpool and no rest" in ran.err
    assert "as planned" in ran.out, "the table does not need the picture"


def test_the_pump_can_be_put_on_later(desk):
    report = rest(desk, "--json", "--pump-on", "176 F").json
    assert report["ways"][2]["pump_on_c"] == pytest.approx(80.0)
    assert report["ways"][2]["stand_min"] > 20.0
    page = rest(desk, "--units", "us").out
    assert "PUMP ON AT 194.0 F" in page and not re.search(r"\d C\b", page)


@pytest.mark.parametrize(
    ("typed", "said"),
    [("90", "unit"), ("20 C", "outside what is possible: 40 C to 100 C"), ("hot", "hot")],
)
def test_a_temperature_that_is_none_is_refused_in_plain_words(desk, typed, said):
    ran = rest(desk, "--pump-on", typed)
    assert (ran.code, ran.out) == (1, "")
    assert "--pump-on" in ran.err and said in ran.err
    assert "Traceback" not in ran.err


def test_pictures_are_written(desk):
    trade, kettle = desk.folder / "trade.svg", desk.folder / "kettle.svg"
    assert rest(desk, "--svg", trade, "--kettle", kettle).code == 0
    for path in (trade, kettle):
        ElementTree.fromstring(path.read_text(encoding="utf-8"))
    images = desk.folder / "trade.png", desk.folder / "kettle.png"
    assert rest(desk, "--png", images[0], "--kettle-png", images[1]).code == 0
    assert all(each.read_bytes().startswith(b"\x89PNG") for each in images)
    ran = rest(desk, "--svg", desk.folder / "no" / "x.svg")
    assert (ran.code, "cannot be written" in ran.err) == (1, True)


def test_a_refused_document_is_refused_here_too(desk):
    desk.change({"recipe": {"23 L": "23"}})
    ran = rest(desk, "--json")
    assert ran.code == 1
    assert ran.json["schema"] == "problems/1"


def test_a_plan_that_does_not_fit_leaves_with_3(desk):
    desk.change({"rig": {"brim: 45 L": "brim: 20 L"}})
    ran = rest(desk)
    assert ran.code == 3
    assert "\nx " in ran.out
    check(rest(desk, "--json").json)


def test_the_same_input_gives_the_same_bytes(desk):
    assert rest(desk, "--json").out == rest(desk, "--json").out


def test_the_page_asks_app_alone():
    # The page calls the same function with files as they are sent.
    from wortline.app.files import File
    from wortline.app.resting import resting

    examples = Path(__file__).parents[2] / "examples"
    files = [
        File(name, (examples / name).read_bytes())
        for name in ("rainday-pale.yaml", "shed-45.yaml", "cool-march.yaml")
    ]
    check(resting(*files).report)


def test_a_chill_that_never_gets_there_has_no_time_on_any_face(desk):
    day = desk.path("day").read_text(encoding="utf-8")
    tap = re.search(r"tap: *\S+ *C", day)[0]
    desk.change({"day": {tap: "tap: 27 C"}})
    ran = rest(desk, "--json", "--svg", desk.folder / "trade.svg")
    assert ran.code == 3
    check(ran.json)
    for way in ran.json["ways"]:
        assert set(way["chilled_min"]) == {None}
    assert re.search(r"18 min .* -  < .*planned", rest(desk).out)
    assert "minutes after heat-off: no data" in (desk.folder / "trade.svg").read_text("utf-8")
