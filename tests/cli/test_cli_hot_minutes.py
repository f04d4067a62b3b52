"""Aroma in the printed plan, and `why` of the hot minutes: chill, whirlpool, aroma."""

import json
import re
import shutil
from pathlib import Path

import jsonschema
import pytest

ROOT = Path(__file__).parents[2]
EXAMPLES, REFERENCE = ROOT / "examples", ROOT / "docs" / "reference"

MORE = """
swirl: {nozzle: 10 mm, flow: 10 L/min, outlet: 2 cm}
chillers:
  - {name: plate, kind: plate}
  - {name: coil, kind: immersion}
"""
CHILL = "chill: {to: 20 C, with: plate, how: two-stage}"


@pytest.fixture
def shed(desk):
    """A rig with chillers and a whirlpool, and a recipe that asks for one of them."""
    desk.write("rig", desk.path("rig").read_text(encoding="utf-8") + MORE)
    recipe = desk.path("recipe").read_text(encoding="utf-8")
    desk.write("recipe", re.sub(r"(?m)^chill: .*$", CHILL, recipe))
    return desk


def why(desk, key, *more):
    rig, day = desk.path("rig"), desk.path("day")
    return desk.run("why", key, desk.path("recipe"), "--rig", rig, "--day", day, *more)


def test_the_printed_plan_has_a_line_of_aroma_for_each_dose(shed):
    report, text = shed.plan("--json").json, shed.plan().out
    part = text.partition("AROMA of the cold wort, a guess -")[2].partition("\n\n")[0]
    lines = part.splitlines()
    assert all(len(line) <= 80 for line in text.splitlines())
    told = report["aroma"]["doses"]
    assert told and lines[1].split()[2:] == [oil["name"] for oil in told[0]["oils"]]
    for dose, line in zip(told, lines[2::2], strict=False):
        assert line.startswith(dose["id"])
        low, mid, high = (dose["index_g_l"][end] for end in ("low", "mid", "high"))
        # The wide range stands beside it: half to twice.
        said = re.search(r"([<\d.]+) \(([<\d.]+) to ([<\d.]+)\)", line)
        for word, value in zip(said.groups(), (mid, low, high), strict=True):
            assert value < 0.005 if word == "<0.01" else abs(float(word) - value) <= 0.05
        shares = re.findall(r"(<?)(\d+) %", line)
        assert len(shares) == len(dose["oils"])
        for (under, share), oil in zip(shares, dose["oils"], strict=True):
            kept = oil["kept_fraction"]["mid"]
            assert kept <= 0.025 if under else abs(float(share) / 100.0 - kept) <= 0.025 + 1e-9
            assert under or int(share) % 5 == 0
    assert f"all doses{'':7}" in part and "half to twice" in part and "?" not in part


def test_no_hops_no_aroma(shed):
    recipe = shed.path("recipe").read_text(encoding="utf-8")
    shed.write("recipe", re.sub(r"(?ms)^hops:.*?^(?=whirlpool)", "", recipe))
    ran = shed.plan()
    assert ran.code == 0 and "AROMA" not in ran.out


def at(report, key):
    """The number that a key names, looked up by hand."""
    chill, doses = report["chill"], {dose["id"]: dose for dose in report["aroma"]["doses"]}
    ways = {f"{way['chiller']}.{way['how']}": way for way in chill["ways"]}
    oils = {oil["name"]: oil for oil in doses["d2"]["oils"]}
    return {
        "chill.lowest_c": chill["lowest_c"],
        "chill.chosen": ways["plate.two-stage"]["time_min"],
        "chill.plate.one-pass": ways["plate.one-pass"]["time_min"],
        "chill.plate.one-pass.water_cold_l": ways["plate.one-pass"]["water_cold_l"],
        "chill.coil.coil-still.cost_min": ways["coil.coil-still"]["cost_min"],
        "chill.best.reached_c": 20.0,
        "whirlpool.turns": report["whirlpool"]["turns"][0]["turns_per_min"],
        "whirlpool.turns.5": report["whirlpool"]["turns"][2]["turns_per_min"],
        "aroma.doses.d2": doses["d2"]["index_g_l"]["mid"],
        "aroma.doses.d2.linalool": oils["linalool"]["kept_fraction"]["mid"],
        "aroma.doses.d2.esters.stripped_fraction": oils["esters"]["stripped_fraction"],
    }[key]


@pytest.mark.parametrize(
    ("key", "unit", "source"),
    [
        ("chill.lowest_c", "C", "Kays"),
        ("chill.chosen", "min", "Kern"),
        ("chill.plate.one-pass", "min", "Kays"),
        ("chill.plate.one-pass.water_cold_l", "L", "Kays"),
        ("chill.coil.coil-still.cost_min", "min", "Kern"),
        ("chill.best.reached_c", "C", "Kays"),
        ("whirlpool.turns", "/min", ""),
        ("whirlpool.turns.5", "/min", ""),
        ("aroma.doses.d2", "g/L of hops", ""),
        ("aroma.doses.d2.linalool", "%", ""),
        ("aroma.doses.d2.esters.stripped_fraction", "%", ""),
    ],
)
def test_why_of_the_hot_minutes(shed, key, unit, source):
    ran = why(shed, key, "--json")
    assert ran.code == 0, ran.err
    told = ran.json
    assert told["value"] == pytest.approx(at(shed.plan("--json").json, key), rel=1e-9)
    assert told["formula"] and told["inputs"] and told["sources"]
    assert source in str(told["sources"])
    first = why(shed, key).out.splitlines()[0]
    assert first.startswith(f"{key} = ") and first.endswith(f" {unit}")
    if key.startswith("aroma.doses.d2"):
        hops = {each["name"] for each in told["inputs"] if each["name"].startswith("recipe.hops.")}
        assert hops and all(name.startswith("recipe.hops.1.") for name in hops)


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("chill.plat.one-pass", "Did you mean chill.plate.one-pass"),
        ("chill.plate", "Did you mean chill.plate."),
        ("chill.plate.one-pass.colour", "Did you mean chill.plate."),
        ("aroma.doses.d9", "Did you mean aroma.doses.d"),
        ("aroma.doses.d2.linalol", "Did you mean aroma.doses.d2.linalool"),
        ("aroma.doses.d2.linalool.colour", "Did you mean aroma.doses."),
        ("whirlpool.turns.3", "Did you mean whirlpool.turns."),
        ("whirlpool.trns", "Did you mean whirlpool.turns"),
        ("nonsense", "under whirlpool, aroma, chill"),
    ],
)
def test_a_key_that_is_none_gets_a_short_answer(shed, key, words):
    ran = why(shed, key)
    assert ran.code == 2 and words in ran.err, ran.err
    said = ran.err.splitlines()[-1]
    assert f"`{key}` is no number of this plan." in said
    # At most three keys, and never the whole list of them.
    assert len(said) < 300 and len(re.findall(r"\b[a-z_]+\.[\w.-]+", said)) <= 5


def test_the_example_with_chillers_and_counted_turns(desk):
    """The recipe names a chiller of the rig, and the rig's readings take the guess's place."""
    for name, example in (("recipe", "millrace-pale"), ("rig", "weir-cottage-40")):
        shutil.copy(EXAMPLES / f"{example}.yaml", desk.path(name))
    ran = desk.plan("--json")
    assert ran.code == 0, ran.err
    schema = json.loads((REFERENCE / "plan-1.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(ran.json)
    assert ran.json["fits"] and ran.json["whirlpool"]["from_readings"]
    assert ran.json["chill"]["chosen"] == {"chiller": "plate", "how": "two-stage"}
    chosen = why(desk, "chill.chosen", "--json").json
    phases = {each["phase"]: each for each in ran.json["timeline"]}
    lasts = phases["chill"]["end_min"] - phases["chill"]["start_min"]
    assert chosen["value"] == pytest.approx(lasts, rel=0.02)
    assert not [note for note in ran.json["notes"] if note["code"] == "swirl-readings"]
    text = desk.plan().out
    assert "AROMA" in text and all(len(line) <= 80 for line in text.splitlines())
    rested = desk.run("rest", desk.path("recipe"), "--rig", desk.path("rig"), "--day",
                      desk.path("day"))  # fmt: skip
    assert rested.code == 0
