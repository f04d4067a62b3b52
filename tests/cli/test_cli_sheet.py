"""The printed plan: 80 columns, in the order of the day, and the same numbers as the JSON."""

import re
from unicodedata import category, east_asian_width

import pytest

from wortline.units import say

RECIPES = ["rainday-pale", "weir-cottage-bitter", "fogbank-hazy", "lantern-strong-lager",
           "coalhatch-stout"]  # fmt: skip
ALL = "hops:\n" + "".join(
    f"  - {{hop: Saaz, mass: {1 + i} g, alpha: 3 %, when: {60 - i} min, held: mesh}}\n"
    for i in range(40)
)
MALTS = "grist:\n" + "".join(f"  - {{malt: pale, mass: {200 + i} g}}\n" for i in range(20))
LONG = "Interminable " * 15
WIDE = "雨の日のペールエール🍺" * 15
GONE = {"whirlpool: {pump: 4 min, rest: 18 min, lid: off}": "", "10 min into rest": "below 80 C"}
ODD = {
    "long names": {"recipe": {"Rainday Pale": LONG, "Magnum": LONG, "clean American ale": LONG},
                   "rig": {"Shed 45": "x" * 200}},
    "wide letters": {"recipe": {"Rainday Pale": WIDE, "hop: Saaz": f"hop: {WIDE}"},
                     "rig": {"Shed 45": WIDE}},
    "40 doses, 20 malts": {"recipe": {"hops:": ALL + "notes: |", "grist:": MALTS + "origin: |"}},
    "instant chill at heat-off": {"recipe": {**GONE, "at: 2.5 K/min": "at: instant"}},
    "chill alone": {"recipe": GONE},
    "rest alone": {"recipe": {"pump: 4 min, ": ""}},
    "pump alone": {"recipe": {", rest: 18 min": "", "10 min into rest": "heat-off"}},
    "dry hop": {"recipe": {"10 min into rest": "Dry Hop"}},
    "too hot to pitch": {"recipe": {"to: 18 C": "to: 80 C"}},
    "never boils": {"rig": {"power: 3.0 kW": "power: 100 W"}},
    "no boil": {"recipe": {"boil: {for: 60": "boil: {for: 0", "when: 60 min": "when: 0 min"}},
    "huge": {"recipe": {"23 L": "2000 L"}},
    "tiny": {"recipe": {"23 L": "3 mL"}, "rig": {"38 cm": "1 mm"}},
    "tun": {"rig": {"kind: basket": "kind: tun"}},
    "no element to speak of": {"rig": {"efficiency: 76 %": "efficiency: 0.00001 %"}},
}  # fmt: skip
HEADS = ["WEIGH OUT", "LEDGER", "BITTER LINE", "THE DAY"]


def columns(line):
    letters = [each for each in line if category(each) not in ("Mn", "Me", "Cf")]
    return sum(2 if east_asian_width(each) in "WF" else 1 for each in letters)


def block(text, head):
    """The lines under a heading."""
    return re.search(rf"^{head}[^\n]*\n(.*?)(?=\n\n|\Z)", text, re.DOTALL | re.MULTILINE)[1]


def flowing(text):
    """The text with broken lines joined."""
    return " ".join(text.split())


def written(desk, changes):
    for document, texts in changes.items():
        text = desk.path(document).read_text(encoding="utf-8")
        for before, after in texts.items():
            assert before in text
            text = text.replace(before, after)
        if "notes: |" in text or "origin: |" in text:
            # what stood under the old heading is dropped with it
            text = re.sub(r"^(notes|origin): \|\n(  .*\n)*", "", text, flags=re.MULTILINE)
        desk.write(document, text)


def check_sheet(desk, units):
    """What holds of every printed plan."""
    plain = desk.plan("--units", units)
    plan = desk.plan("--units", units, "--json").json
    assert plain.code == (0 if plan["fits"] else 3)
    text = plain.out
    assert [line for line in text.splitlines() if columns(line) > 80] == []
    assert "nan" not in text and "None" not in text and "\u00a0" not in text
    places = [text.index(f"\n{head}") for head in HEADS]
    assert places == sorted(places)
    check_ledger(block(text, "LEDGER"), plan, units)
    check_day(block(text, "THE DAY"), plan, units)
    check_volumes(block(text, "THE DAY"))
    for note in plan["notes"]:
        assert flowing(note["text"]) in flowing(text)
    for cant in plan["cant"]:
        assert flowing(cant["text"]) in flowing(text)
        assert flowing(cant["nearest"]["text"]) in flowing(text)
    return text, plan


def check_ledger(text, plan, units):
    """Every row says what the JSON says, in one unit of volume."""
    assert re.match(r" +cold +hot +at +mark\n", text)
    flat = flowing(text)
    at = 0
    for row in plan["ledger"]:
        for key, kind in (("cold_l", "volume"), ("hot_l", "volume"), ("temp_c", "temperature")):
            if row[key] is not None:
                beside = plan["water_l"] if kind == "volume" else None
                said = say(row[key], kind, units, beside=beside)
                assert said in flat[at:], (row["step"], said)
                at += flat[at:].index(said) + len(said)
        if row["mark_cm"] is not None:
            said = say(row["mark_cm"] / 100.0, "length", units)
            assert flat[at:].lstrip().startswith(said)


def check_day(text, plan, units):
    """Phases in order, each caution before its first act, heat-off with litres and mark."""
    flat = flowing(text.replace("[ ]", "@").replace("!", "#"))
    at = 0
    for phase in plan["timeline"]:
        if phase["end_min"] is None:
            assert "never on this rig" in flat[at:]
            return
        whole = round(phase["start_min"])
        for caution in phase["cautions"]:
            at += flat[at:].index(f"# {flowing(caution)}") + 2
        clock = f"{whole // 60}:{whole % 60:02d} @"
        assert clock in flat[at:], phase["phase"]
        between, _, _ = flat[at:].partition(clock)
        assert "@" not in between or not phase["cautions"]
        at += flat[at:].index(clock) + len(clock) - 1
    row = next(row for row in plan["ledger"] if row["step"] == "postboil")
    hot, mark = say(row["hot_l"], "volume", units), say(row["mark_cm"] / 100.0, "length", units)
    assert flat.count(f"Heat off: {hot} hot (mark {mark}).") == 1
    heat_off = flat.index("Heat off:")
    for dose in plan["bitterness"]["doses"][:-1]:
        mass = say(dose["mass_kg"], "mass", units)
        said = f"{dose['id']}: {mass} {flowing(dose['name'])}"
        assert flat.count(said) == 1 or columns(said) > 60, said
        if columns(said) <= 60 and dose["in_min"] is not None:
            end_min = next(p["end_min"] for p in plan["timeline"] if p["phase"] == "boil")
            assert (flat.index(said) > heat_off) == (dose["in_min"] > end_min - 1e-6)


def check_volumes(text):
    """Every volume of the day says hot or cold right after it."""
    flat = flowing(text)
    said = list(re.finditer(r"\d (L|mL|US gal|US fl oz)\b(?!/)", flat))
    assert said
    for match in said:
        assert re.match(r" (hot|cold)\b", flat[match.end() :]), flat[match.start() - 20 :][:60]


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("recipe", RECIPES)
def test_every_example(examples_desk, recipe, units):
    check_sheet(examples_desk(recipe), units)


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("changes", ODD.values(), ids=list(ODD))
def test_odd_plans(desk, changes, units):
    written(desk, changes)
    check_sheet(desk, units)


def test_the_numbers_at_the_top_are_those_of_the_json(desk):
    text, plan = check_sheet(desk, "metric")
    flat = flowing(text)
    said = {
        "fermenter_l": lambda v: say(v, "volume"),
        "gravity.original_sg": lambda v: f"{v:.3f}",
        "gravity.final_sg": lambda v: f"{v:.3f}",
        "abv_fraction": lambda v: f"{100 * v:.1f} %",
        "bitterness.ibu": lambda v: f"{v:.0f} IBU",
        "colour_ebc": lambda v: say(v, "colour"),
        "dms_ug_l.beer": lambda v: f"{v:.0f} µg/L",
        "energy_kwh": lambda v: f"{v:.1f} kWh",
    }
    for key, shown in said.items():
        spread = plan["ranges"][key]
        low, mid, high = (shown(spread[each]) for each in ("low", "mid", "high"))
        assert f" {mid} ({low} to {high}, {spread['trust']})" in flat, key


def test_the_bitter_line_says_what_each_dose_earns(desk):
    text, plan = check_sheet(desk, "metric")
    rows = block(text, "BITTER LINE").splitlines()[1:]
    parts = ("boil_ibu", "rest_ibu", "chill_ibu", "total_ibu")
    for row, dose in zip(rows, plan["bitterness"]["doses"], strict=False):
        numbers = " ".join(f"{dose[part]:.1f}" for part in parts)
        assert numbers in flowing(row)
        assert dose["at"] in row
    assert rows[4].split() == ["all", "doses", f"{plan['bitterness']['ibu']['mid']:.1f}"]


def test_what_to_weigh_is_what_the_plan_was_made_with(desk):
    text, plan = check_sheet(desk, "us")
    lines = [flowing(line) for line in block(text, "WEIGH OUT").splitlines()]
    for malt in plan["grist"]:
        assert f"[ ] {say(malt['mass_kg'], 'mass', 'us')} {malt['name']}" in lines
    for dose in plan["bitterness"]["doses"][:-1]:
        begins = f"[ ] {say(dose['mass_kg'], 'mass', 'us')} {dose['name']} ({dose['id']}), "
        assert any(line.startswith(begins) for line in lines)


def test_rinsing_water_is_said_hot(examples_desk):
    text, plan = check_sheet(examples_desk("lantern-strong-lager"), "metric")
    row = next(row for row in plan["ledger"] if row["step"] == "sparge")
    said = f"Rinse the grain with {say(row['hot_l'], 'volume')} hot at 76.0 C"
    assert said in flowing(block(text, "THE DAY"))


def test_wort_too_hot_for_yeast_waits(desk):
    written(desk, ODD["too hot to pitch"])
    text, _ = check_sheet(desk, "metric")
    assert "80.0 C is too hot for yeast" in text
    assert text.index("too hot for yeast") < text.index("Aerate and pitch")


def test_a_dry_hop_comes_after_the_day_is_done(desk):
    written(desk, ODD["dry hop"])
    text, _ = check_sheet(desk, "metric")
    assert re.search(r"pitch clean American ale.*\n later \[ \] d3: 35 g Saaz", text)


def test_the_plan_as_a_sheet_and_as_a_page(tmp_path, desk):
    pdf, page = tmp_path / "day.pdf", tmp_path / "day.html"
    done = desk.plan("--sheet", str(pdf), "--show", str(page))
    assert done.code == 0
    assert pdf.read_bytes().startswith(b"%PDF")
    assert page.read_text(encoding="utf-8").startswith("<!doctype html>")
    # Letter paper is 612 by 792 points, with US units unless asked otherwise
    desk.plan("--units", "us", "--sheet", str(pdf))
    assert b"612 792" in pdf.read_bytes()
    desk.plan("--units", "us", "--paper", "a4", "--sheet", str(pdf))
    assert b"612 792" not in pdf.read_bytes()
