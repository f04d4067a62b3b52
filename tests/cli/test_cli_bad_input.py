"""Bad input from end to end: the right exit code, plain sentences, nothing silently changed."""

import json
import re
from pathlib import Path

import jsonschema
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from wortline.cli.sheet import sheet

ROOT = Path(__file__).parents[2]
REFERENCE = ROOT / "docs" / "reference"
JARGON = re.compile(r"Traceback|pydantic|ValidationError|NoneType|<class|\bdict\b|\.py\b|\bnan\b")
LARGEST = "1.7976931348623157e308"

REFUSED = {
    "negative": {"recipe": {"batch: 23 L": "batch: -23 L"}},
    "zero": {"recipe": {"batch: 23 L": "batch: 0 L"}},
    "text": {"recipe": {"batch: 23 L": "batch: plenty"}},
    "NaN": {"recipe": {"batch: 23 L": "batch: NaN L"}},
    "YAML's own NaN": {"rig": {"2.9 L/h": ".nan"}},
    "infinity": {"recipe": {"batch: 23 L": "batch: inf L"}},
    "minus infinity": {"day": {"16 C": "-.inf"}},
    "the largest float": {"recipe": {"batch: 23 L": f"batch: {LARGEST} L"}},
    "more than the largest float": {"recipe": {"mass: 22 g": "mass: 1e400 g"}},
    "a mash above boiling": {"recipe": {"at: 66 C": "at: 166 C"}},
    "an alpha ten times too large": {"recipe": {"alpha: 13 %": "alpha: 130 %"}},
    "a gravity without its point": {"recipe": {"gravity: 1.050": "gravity: 1050"}},
    "a gravity in points": {"recipe": {"gravity: 1.050": "gravity: 50"}},
    "a power without a unit": {"rig": {"power: 3.0 kW": "power: 3000"}},
    "a mass without a unit": {"recipe": {"mass: 4.80 kg": "mass: 4.80"}},
    "ounces of a liquid": {"rig": {"left_behind: 1.2 L": "left_behind: 8 oz"}},
    "an unknown field": {"rig": {"hold_up:": "holdup:"}},
    "a tag": {"rig": {"name: Shed 45": "name: !!python/object:os.system x"}},
    "an alias": {"rig": {"name: Shed 45": "name: *shed"}},
    "a key twice": {"rig": {"boil_off:": "hold_up: 1 L\nboil_off:"}},
    "a brace left open": {"rig": {"45 L, left_behind: 1.2 L}": "45 L"}},
    "a tab": {"rig": {"boil_off:": "\tboil_off:"}},
    "a comma that splits": {"rig": {"diameter: 38 cm": "diameter: 34,5 cm"}},
    "a newer version": {"rig": {"rig/1": "rig/9"}},
    "another document": {"rig": {"rig/1": "recipe/1"}},
}
NO_FIT = {
    "a dose earlier than the boil": ({"recipe": {"when: 60 min": "when: 90 min"}},
                                     "dose-before-boil"),
    "a hundred times the grain": ({"recipe": {"4.80 kg": "480 kg", "0.50 kg": "50 kg"}},
                                  "grist-far-from-aim"),
    "a hundred times, no aim": (
        {"recipe": {"4.80 kg": "480 kg", "0.50 kg": "50 kg",
                    "aim: {gravity: 1.050, bitterness: 32}": ""}}, "mash-above-brim"),
    "chill below the tap": ({"recipe": {"to: 18 C": "to: 8 C"}}, "chill-below-tap"),
    "strike above boiling": ({"recipe": {"at: 66 C": "at: 99 C"}}, "strike-above-boiling"),
    "evaporation above the power": ({"rig": {"2.9 L/h": "9 L/h"}}, "boil-off-above-power"),
    "five tonnes of one malt": ({"recipe": {"4.80 kg": "5000 kg"}}, "grist-far-from-aim"),
    "a chill of months in a wide kettle": (
        {"rig": {"38 cm": "1 m"}, "recipe": {"2.5 K/min": "0.0001 K/min"}}, "wort-above-brim"),
    "less than no wort left": (
        {"recipe": {"23 L": "1 mL", "2.5 K/min": "0.0001 K/min"}, "day": {"16 C": "-50 C"}},
        "wort-above-brim"),
    "an element of one watt": ({"rig": {"3.0 kW": "1 W"}}, "element-too-weak"),
    "over the brim": ({"rig": {"brim: 45 L": "brim: 20 L"}}, "wort-above-brim"),
    "more than the malt holds": ({"rig": {"efficiency: 76 %": "efficiency: 150 %"}},
                                 "extract-above-malt"),
}  # fmt: skip


def check_problems(desk, ran, least=1):
    """Problems on stdout as problems/1, and the same in plain sentences on stderr."""
    assert ran.code == 1
    schema = (REFERENCE / "problems-1.schema.json").read_text(encoding="utf-8")
    jsonschema.Draft202012Validator(json.loads(schema)).validate(ran.json)
    problems = ran.json["problems"]
    assert len(problems) >= least
    for problem in problems:
        assert not JARGON.search(problem["text"].replace(problem["value"], ""))
        assert len(problem["text"]) < 2000
    return problems


@pytest.mark.parametrize("changes", REFUSED.values(), ids=list(REFUSED))
def test_one_impossible_field_is_refused(desk, changes):
    desk.change(changes)
    (document,) = changes
    problems = check_problems(desk, desk.plan("--json"))
    assert {Path(problem["file"]) for problem in problems} == {desk.path(document)}
    plain = desk.plan()
    assert (plain.code, plain.out) == (1, "")
    assert plain.err.splitlines()[0].startswith(f"{desk.path(document)}:")
    assert len(plain.err.splitlines()) == len(problems)


@pytest.mark.parametrize(("changes", "code"), NO_FIT.values(), ids=list(NO_FIT))
def test_fields_that_cannot_go_together(desk, changes, code):
    desk.change(changes)
    ran = desk.plan("--json")
    assert ran.code == 3
    found = {cant["code"]: cant for cant in ran.json["cant"]}
    assert code in found
    cant = found[code]
    assert cant["wanted"] != cant["limit"]
    assert cant["text"].startswith("Can't ")
    assert not JARGON.search(cant["text"] + cant["nearest"]["text"])
    plain = desk.plan()
    assert (plain.code, plain.err) == (3, "")
    assert not JARGON.search(plain.out)


def test_a_question_names_both_readings(desk):
    desk.change({"rig": {"power: 3.0 kW": "power: 3000", "1.2 L": "8 oz"}})
    problems = check_problems(desk, desk.plan("--json"), 2)
    said = " ".join(problem["text"] for problem in problems)
    assert "3000 W" in said and "kW" in said and "fl oz" in said


def test_a_huge_a_deep_and_a_long_document(desk):
    deep = "schema: recipe/1\nname: " + "[" * 5000 + "]" * 5000
    many = "hops:\n" + "  - {hop: Saaz, mass: 1 g, alpha: 3 %, when: 5 min}\n" * 5000
    malts = "grist:\n" + "  - {malt: pale, mass: 1 g}\n" * 101
    recipe = desk.path("recipe").read_text(encoding="utf-8")
    for content in (
        "schema: recipe/1\nname: " + "x" * 300_000,
        deep,
        re.sub(r"hops:\n(  - .*\n)+", many, recipe),
        re.sub(r"grist:\n(  - .*\n)+", malts, recipe),
    ):
        desk.write("recipe", content)
        problems = check_problems(desk, desk.plan("--json"))
        assert len(problems) == 1, "one sentence, before anything else is read"


NUMBERS = re.compile(r"(?<![\w.])\d+(?:\.\d+)?(?= ?[A-Za-z%])")
HOSTILE = st.sampled_from(
    ["-1", "0", "0.0001", "1e-300", "1e300", LARGEST, "NaN", "inf", "1000", "99999", "0.5", "2",
     "1,5", "1/3", "100", "60", "", "x", "..", "{", "[", "'", "#", "&a", "*a", "!!str"]
)  # fmt: skip
LINE_ENDS = st.sampled_from(["\n", "\r\n", "\n\n", " # said\n"])


@st.composite
def mutated(draw):
    """An example's documents with some numbers, words or pieces changed."""
    changed = {}
    for name in draw(st.sets(st.sampled_from(["recipe", "rig", "day"]), min_size=1)):
        changed[name] = [
            (draw(st.integers(0, 60)), draw(HOSTILE)) for _ in range(draw(st.integers(1, 3)))
        ]
    return changed, draw(LINE_ENDS)


@st.composite
def allowed(draw):
    """Documents whose every field is possible by itself, at the edge of what is."""
    pick = {
        "batch: 23 L": ["1 mL", "1 L", "200 L", "2000 L"],
        "mass: 4.80 kg": ["1 mg", "100 g", "50 kg", "5000 kg"],
        "extract: 79 %": ["0.01 %", "50 %", "96 %", "100 %"],
        "at: 66 C": ["0 C", "12 C", "80 C", "95 C", "100 C"],
        "boil: {for: 60 min": ["0 min", "1 min", "5 h", "10 h"],
        "mass: 22 g": ["1 mg", "1 kg", "100 kg"],
        "alpha: 13 %": ["0.0001 %", "35 %"],
        "when: 60 min": ["0 min", "first wort", "600 min", "heat-off", "dry hop", "below 0 C"],
        "when: 10 min into rest": ["0 min into rest", "below 100 C", "below 19 C"],
        "pump: 4 min": ["0 min", "48 h"],
        "rest: 18 min": ["0 min", "48 h", "0.001 min"],
        "to: 18 C": ["0 C", "15 C", "98 C", "100 C"],
        "at: 2.5 K/min": ["0.0001 K/min", "1000 K/min"],
        "gravity: 1.050": ["1.001", "1.2"],
        "bitterness: 32": ["0", "500"],
        "diameter: 38 cm": ["1 mm", "10 cm", "1 m", "5 m"],
        "brim: 45 L": ["1 mL", "5000 L"],
        "left_behind: 1.2 L": ["0 L", "1000 L"],
        "power: 3.0 kW": ["1 W", "200 kW"],
        "efficiency: 95 %": ["0.01 %", "100 %"],
        "boil_off: 2.9 L/h": ["0 L/h", "2000 L/h"],
        "grain_holds: 0.90 L/kg": ["0 L/kg", "5 L/kg"],
        "efficiency: 76 %": ["0.01 %", "100 %", "200 %", "balance"],
        "hold_up: 0.7 L": ["0 L", "1000 L"],
        "free: 9 L/kg": ["0 L/kg", "50 L/kg"],
        "mesh: 10 %": ["0 %", "100 %"],
        "air: 16 C": ["-50 C", "60 C"],
        "tap: 14 C": ["0 C", "95 C"],
        "grain: 12 C": ["-50 C", "80 C"],
        "elevation: 220 m": ["-430 m", "6000 m"],
    }  # fmt: skip
    keys = draw(st.lists(st.sampled_from(sorted(pick)), min_size=1, max_size=6, unique=True))
    return {key: draw(st.sampled_from(pick[key])) for key in keys}


QUICK = {
    "derandomize": True,
    "deadline": None,
    "database": None,
    "suppress_health_check": [HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
}


@pytest.fixture(scope="module")
def schemas():
    return {
        name: jsonschema.Draft202012Validator(
            json.loads((REFERENCE / f"{name}-1.schema.json").read_text(encoding="utf-8"))
        )
        for name in ("plan", "problems")
    }


def check_answer(ran, schemas):
    """Whatever went in: an exit code of the contract, and strict JSON of its schema."""
    assert ran.code in (0, 1, 3)
    assert ran.err == ""
    answer = ran.json
    schemas["problems" if ran.code == 1 else "plan"].validate(answer)
    if ran.code == 1:
        assert answer["problems"]
        return answer
    assert answer["fits"] == (ran.code == 0) == (answer["cant"] == [])
    said = [each["text"] for each in (*answer["cant"], *answer["notes"])]
    said += [caution for phase in answer["timeline"] for caution in phase["cautions"]]
    assert not [text for text in said if JARGON.search(text)]
    if answer["fits"]:
        central = [answer["water_l"], answer["strike_c"], answer["gravity"]["original_sg"]]
        central += [answer["abv_fraction"], answer["colour_ebc"], answer["energy_kwh"]]
        central += [answer["bitterness"]["ibu"]["mid"], answer["heat"]["to_boil_min"]]
        assert None not in central, "a plan that fits knows its numbers"
    return answer


@settings(max_examples=80, **QUICK)
@given(change=mutated(), method=st.sampled_from(["kinetic", "tinseth"]))
def test_mutated_documents(session_desk, schemas, change, method):
    spots, end = change
    session_desk.change({})
    for name, places in spots.items():
        text = session_desk.path(name).read_text(encoding="utf-8")
        for place, hostile in places:
            found = [match.span() for match in NUMBERS.finditer(text)]
            if found:
                start, stop = found[place % len(found)]
                text = text[:start] + hostile + text[stop:]
        session_desk.write(name, text.replace("\n", end))
    check_answer(session_desk.plan("--json", "--method", method), schemas)


@settings(max_examples=60, **QUICK)
@given(values=allowed(), method=st.sampled_from(["kinetic", "tinseth"]))
def test_documents_at_the_edge_of_what_is_allowed(session_desk, schemas, values, method):
    session_desk.change({})
    for key, value in values.items():
        for name in ("recipe", "rig", "day"):
            text = session_desk.path(name).read_text(encoding="utf-8")
            if key in text:
                field = key.rpartition(": ")[0]
                session_desk.write(name, text.replace(key, f"{field}: {value}", 1))
                break
    answer = check_answer(session_desk.plan("--json", "--method", method), schemas)
    if answer["schema"] == "plan/1":
        assert not JARGON.search(sheet(answer, "us"))


@settings(max_examples=60, **QUICK)
@given(content=st.binary(max_size=120) | st.text(max_size=120))
def test_random_documents(session_desk, schemas, content):
    session_desk.change({})
    session_desk.write("recipe", content)
    assert check_answer(session_desk.plan("--json"), schemas)["schema"] == "problems/1"
