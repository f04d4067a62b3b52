"""What is printed as JSON keeps to its published schema, and the pages made from code are fresh."""

import importlib.util
import itertools
import json
import math
import re
from pathlib import Path

import jsonschema
import pytest

ROOT = Path(__file__).parents[2]
REFERENCE = ROOT / "docs" / "reference"
RECIPES = ["rainday-pale", "weir-cottage-bitter", "fogbank-hazy", "lantern-strong-lager",
           "coalhatch-stout"]  # fmt: skip
CHANGES = {
    "chill below the tap": {"day": {"tap: 14 C": "tap: 24 C"}},
    "element never gets there": {"rig": {"power: 3.0 kW": "power: 1 W"}},
    "over the brim": {"rig": {"brim: 45 L": "brim: 20 L"}},
    "no hops": {"recipe": {"hops:": "hops: []\nnotes: |"}},
    "nothing after heat-off": {
        "recipe": {
            "whirlpool: {pump: 4 min, rest: 18 min, lid: off}": "",
            "at: 2.5 K/min": "at: instant",
            "10 min into rest": "dry hop",
        }
    },
    "balance": {"rig": {"efficiency: 76 %": "efficiency: balance"}},
    "more malt than dissolves": {
        "recipe": {"4.80 kg": "480 kg", "aim: {gravity: 1.050, bitterness: 32}": ""}
    },
}


def schema(name):
    return json.loads((REFERENCE / f"{name}.schema.json").read_text(encoding="utf-8"))


def check(name, value):
    jsonschema.Draft202012Validator(schema(name)).validate(value)


def keys(value, path=""):
    """Every key of nested values; the entries of a list count as one."""
    if isinstance(value, dict):
        for key, each in value.items():
            inner = f"{path}.*" if path == "ranges" else f"{path}.{key}".lstrip(".")
            yield inner
            yield from keys(each, inner)
    if isinstance(value, list):
        for each in value:
            yield from keys(each, f"{path}[]")


def check_plan(plan):
    """A plan keeps to its schema, and to what a schema cannot say."""
    check("plan-1", plan)
    table = (REFERENCE / "plan-1.md").read_text(encoding="utf-8")
    described = set(re.findall(r"^\| `([^`]+)`", table, re.MULTILINE))
    assert set(keys(plan)) <= described, "every key is described"
    assert plan["fits"] == (plan["cant"] == [])
    doses = plan["bitterness"]["doses"]
    count = len(doses) - 1
    assert [dose["id"] for dose in doses] == [f"d{i + 1}" for i in range(count)] + ["malt"]
    assert [line["id"] for line in plan["lines"]["doses"]] == [dose["id"] for dose in doses]
    lengths = {len(plan["lines"][key]) for key in ("time_min", "temp_c", "cold_l", "dms_ug_l")}
    lengths |= {len(line["ibu"]) for line in plan["lines"]["doses"]}
    assert len(lengths) == 1
    for before, after in itertools.pairwise(plan["timeline"]):
        assert before["end_min"] == after["start_min"]
    assert plan["timeline"][0]["start_min"] == 0.0
    for key, spread in plan["ranges"].items():
        assert spread["low"] <= spread["mid"] <= spread["high"]
        value = plan
        for part in key.split("."):
            value = value[part]
        assert spread["mid"] == (value["mid"] if isinstance(value, dict) else value)
    if plan["bitterness"]["ibu"]["mid"] is not None:
        for dose in doses:
            parts = dose["boil_ibu"] + dose["rest_ibu"] + dose["chill_ibu"]
            assert math.isclose(parts, dose["total_ibu"], abs_tol=1e-9)
        total = sum(dose["total_ibu"] for dose in doses)
        assert math.isclose(total, plan["bitterness"]["ibu"]["mid"], rel_tol=1e-9, abs_tol=1e-9)


@pytest.mark.parametrize("method", ["kinetic", "tinseth"])
@pytest.mark.parametrize("recipe", RECIPES)
def test_every_example_keeps_to_plan_1(examples_desk, recipe, method):
    ran = examples_desk(recipe).plan("--json", "--method", method)
    plan = ran.json
    check_plan(plan)
    assert ran.code == (0 if plan["fits"] else 3)
    assert plan["bitterness"]["method"] == method


@pytest.mark.parametrize("changes", CHANGES.values(), ids=list(CHANGES))
def test_odd_and_refused_plans_keep_to_plan_1(desk, changes):
    desk.change(changes)
    ran = desk.plan("--json")
    check_plan(ran.json)
    assert ran.code == (0 if ran.json["fits"] else 3)


def test_the_units_to_print_in_do_not_touch_the_numbers(desk):
    metric, us = desk.plan("--json").json, desk.plan("--json", "--units", "us").json
    check_plan(us)
    for spoken in ("notes", "cant"):
        metric.pop(spoken), us.pop(spoken)
    for plan in (metric, us):
        for phase in plan["timeline"]:
            phase.pop("cautions")
        for said in (*plan["clog"]["reasons"], *plan["clog"].get("ways", ())):
            said.pop("text")
    assert metric == us


def test_the_same_input_gives_the_same_bytes(desk):
    assert desk.plan("--json").out == desk.plan("--json").out


def test_problems_and_reasons_keep_to_their_schemas(desk):
    where = [desk.path("recipe"), "--rig", desk.path("rig")]
    for key in ("abv_fraction", "ledger.boil_off.hot_l", "bitterness.doses.d1"):
        check("why-1", desk.run("why", key, *where, "--json").json)
    desk.change({"recipe": {"23 L": "-23 L", "13 %": "130 %"}, "rig": {"hold_up": "holdup"}})
    check("problems-1", desk.plan("--json").json)
    check("problems-1", desk.run("check", desk.folder, "--json").json)


@pytest.mark.parametrize("name", ["chill-1", "plan-1", "problems-1", "rest-1", "why-1"])
def test_the_schemas_are_schemas_and_describe_every_key(name):
    root = schema(name)
    jsonschema.Draft202012Validator.check_schema(root)

    def parts(part):
        yield part
        rest = part.get("additionalProperties")
        inner = [*part.get("properties", {}).values(), part.get("items"), rest]
        for each in inner:
            if isinstance(each, dict):
                yield from parts(each)

    for part in parts(root):
        assert part["description"]
        if "number" in part.get("type", ()) and part["type"] != "string":
            assert re.search(r"\[[^]]+\]$", part["description"]), part


def test_a_schema_notices_a_key_that_is_gone_or_renamed(desk):
    plan = desk.plan("--json").json
    for key in plan:
        less = {name: value for name, value in plan.items() if name != key}
        with pytest.raises(jsonschema.ValidationError):
            check("plan-1", less)
    check("plan-1", {**plan, "added": 1})


def test_the_pages_made_from_code_are_fresh():
    spec = importlib.util.spec_from_file_location("docs_pages", ROOT / "tools" / "docs.py")
    pages = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(pages)
    stale = [
        name
        for name, made in pages.PAGES.items()
        if (ROOT / name).read_text(encoding="utf-8") != made()
    ]
    assert not stale, f"not up to date: {stale}; run python3 dev.py docs and look at the change"
