"""The command `chill`, and a plan whose recipe chills with a chiller of the rig."""

import json
import re
from pathlib import Path

import jsonschema
import pytest

REFERENCE = Path(__file__).parents[2] / "docs" / "reference"
CHILLERS = """
chillers:
  - name: plate
    kind: plate
    reading: {wort_in: 96 C, wort_out: 31 C, wort: 5 L/min, water: 9 L/min, water_in: 14 C}
  - {name: coil, kind: immersion, ua: 400 W/K, stirred: yes}
"""
HOWS = {("plate", "circulate"), ("plate", "one-pass"), ("plate", "two-stage"),
        ("coil", "coil-stirred"), ("coil", "coil-still")}  # fmt: skip


@pytest.fixture
def shed(desk):
    """A rig with two chillers beside the example's recipe and day."""
    desk.change({})
    desk.write("rig", desk.path("rig").read_text(encoding="utf-8") + CHILLERS)
    return desk


def ask(desk, *more, volume="22 L cold", tap="14 C", to="18 C"):
    words = ["chill", "--rig", desk.path("rig"), "--volume", volume, "--from", "98C", "--to", to]
    return desk.run(*words, *(["--tap", tap] if tap else []), *more)


def schema(name):
    return json.loads((REFERENCE / f"{name}.schema.json").read_text(encoding="utf-8"))


def by_how(told):
    return {(way["chiller"], way["how"]): way for way in told["ways"]}


@pytest.mark.parametrize("more", [[], ["--ice", "4 kg"], ["--ice", "0.2 kg"]])
@pytest.mark.parametrize("tap", ["5 C", "14 C", "17.9 C", "27 C"])
def test_every_answer_keeps_to_chill_1(shed, tap, more):
    ran = ask(shed, "--json", *more, tap=tap)
    told = ran.json
    jsonschema.Draft202012Validator(schema("chill-1")).validate(told)
    assert ran.code == (3 if told["best"] is None else 0)
    for way in told["ways"]:
        # Never a time for a temperature that cannot be reached, and the lowest in its place.
        assert way["ok"] == (way["time_min"] is not None) == (way["water_cold_l"] is not None)
        if way["ok"]:
            assert way["reached_c"] <= 18.0 + 1e-6
        else:
            assert way["reached_c"] > 18.0 and "does not get there" in way["text"]
            assert not re.search(r"\d min", way["text"].partition("then")[0])
    assert set(by_how(told)) >= HOWS


def test_what_a_warm_tap_leaves(shed):
    told = ask(shed, "--json", tap="27 C").json
    assert not any(by_how(told)[how]["ok"] for how in HOWS)
    assert 27.0 <= told["lowest_c"] < 27.2
    finishes = {way["how"].partition(", ")[2] for way in told["ways"]} - {""}
    assert finishes == {"ice water", "ice around", "fridge"}
    assert told["best"] in [{"chiller": w["chiller"], "how": w["how"]} for w in told["ways"]]
    # A little ice does not do, and then there is no time for it either.
    little = ask(shed, "--json", "--ice", "200 g", tap="27 C").json
    iced = [way for way in little["ways"] if way["ice_kg"] and way["fridge_from_c"] is None]
    assert iced and not any(way["ok"] for way in iced)
    # By energy: 200 g take 0.2 (334 + 4.19 x 10) = 75 kJ, not 1 K of 22 L, from just above the tap.
    water = next(way for way in iced if way["how"].endswith("ice water"))
    assert 26.5 < water["reached_c"] < 27.0
    assert re.search(r"You need \d\.\d+\skg of ice\.", water["text"])
    # 9.5 K of 22 L and its kettle at about 4 kJ/K each: 2.3 kg at 376 kJ/kg.
    assert 2.2 < water["ice_needed_kg"] < 2.6
    # With a fridge after it, it does.
    shared = [way for way in little["ways"] if way["how"].endswith("ice water, fridge")]
    assert shared and shared[0]["ok"] and "min in the fridge" in shared[0]["text"]
    # What is not used is left over, and does not cost.
    plain, rich = (ask(shed, "--json", "--ice", ice, tap="27 C").json for ice in ("4 kg", "99 kg"))
    assert plain["best"] == rich["best"]
    assert any("of ice is left over" in way["text"] for way in rich["ways"])


def test_flows_at_hand_bound_the_ways(shed):
    plain, slow = (by_how(ask(shed, "--json", *more).json) for more in ([], [
        "--wort-flow", "3 L/min", "--water-flow", "5 L/min"]))  # fmt: skip
    for how in HOWS:
        assert slow[how]["water_l_min"] <= 5.0
        assert slow[how]["time_min"] > plain[how]["time_min"]
    assert slow["plate", "circulate"]["wort_l_min"] == 3.0


def test_hot_litres_are_fewer_cold(shed):
    hot, cold = (ask(shed, "--json", volume=f"22 L {state}").json for state in ("hot", "cold"))
    assert cold["volume_cold_l"] == 22.0
    # 98 to 20 C: water shrinks by 998.21/959.79 (IAPWS-95).
    assert hot["volume_cold_l"] == pytest.approx(22.0 * 959.79 / 998.21, rel=2e-4)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"volume": "22 L"}, "do you mean `22 L cold` or `22 L hot`?"),
        ({"volume": "22 cold"}, "has no unit"),
        ({"volume": "-2 L cold"}, "outside what is possible"),
        ({"tap": None}, "how warm is the tap water?"),
        ({"tap": "14"}, "do you mean `14 C` or `14 F`?"),
        ({"to": "99 C"}, "nothing to chill"),
        ({"to": "98 C"}, "nothing to chill"),
    ],
)
def test_a_question_ends_with_exit_code_1(shed, changes, words):
    ran = ask(shed, **changes)
    assert ran.code == 1 and words in ran.err and not ran.out
    told = ask(shed, "--json", **changes)
    assert told.code == 1 and told.json["schema"] == "problems/1"


def test_all_problems_are_named_at_once(shed):
    shed.write("rig", shed.path("rig").read_text(encoding="utf-8").replace("400 W/K", "400"))
    ran = ask(shed, "--ice", "4", volume="22 L", tap=None)
    for option in ("--ice", "--volume", "--tap", "chillers.1.ua"):
        assert option in ran.err, ran.err
    assert "cannot be read" in desk_without_rig(shed).err


def desk_without_rig(desk):
    words = ["--volume", "22 L cold", "--from", "98 C", "--to", "18 C", "--tap", "14 C"]
    return desk.run("chill", "--rig", desk.folder / "none.yaml", *words)


def test_the_tap_may_come_from_a_day(shed):
    day = shed.path("day")
    assert ask(shed, "--json", "--day", day, tap=None).json["tap_c"] == 14.0
    text = day.read_text(encoding="utf-8")
    shed.write("day", text.replace("tap: 14 C", "climate: {mean: 10 C, range: 22 K, month: 8}"))
    # Burch and Christensen (2007): 18.4 C in August, as an independent program has it.
    told = ask(shed, "--json", "--day", day, tap=None).json
    assert told["tap_c"] == pytest.approx(18.4, abs=0.06)
    assert ask(shed, "--json", "--day", day, tap="9 C").json["tap_c"] == 9.0


def test_the_sheet_says_ways_cautions_and_trust(shed):
    ran = ask(shed)
    flat = " ".join(ran.out.split())
    assert ran.out.count("\n> ") == 1 and "marked > is the least bad" in flat
    for words in ("732 W/K +/- 73 W/K, from its reading", "22.0 L cold", "gloves on", "local code",
                  "Lowest with tap water alone", "stays hot"):  # fmt: skip
        assert words in flat, words
    assert max(map(len, ran.out.splitlines())) <= 78
    assert " F" in ask(shed, "--units", "us").out and " gal" in ask(shed, "--units", "us").out


def test_a_rig_without_a_chiller_gets_a_typical_one_and_is_told(desk):
    desk.change({})
    told = ask(desk, "--json").json
    assert "says nothing of a chiller" in told["notes"][0]
    assert [unit["kind"] for unit in told["chillers"]] == ["plate"]
    (way,) = (way for way in told["ways"] if way["how"] == "one-pass")
    assert way["high_min"] is None or way["high_min"] > 1.3 * way["time_min"]


CHILL = "chill: {to: 18 C, at: 2.5 K/min}"


def planned(desk, chill, *more):
    text = desk.path("recipe").read_text(encoding="utf-8")
    line = next(line for line in text.splitlines() if line.startswith("chill:"))
    desk.write("recipe", text.replace(line, f"chill: {chill}"))
    return desk.plan(*more)


@pytest.mark.parametrize(
    ("chill", "how"),
    [
        ("{to: 18 C, with: plate, how: one-pass}", "one-pass"),
        ("{to: 18 C, with: plate, how: circulate}", "circulate"),
        ("{to: 18 C, with: plate, how: two-stage, switch_at: 55 C}", "two-stage"),
        ("{to: 18 C, with: coil}", "coil-stirred"),
    ],
)
def test_the_chiller_drives_the_plan(shed, chill, how):
    plan = planned(shed, chill, "--json").json
    jsonschema.Draft202012Validator(schema("plan-1")).validate(plan)
    assert plan["fits"] and plan["chill"]["chosen"]["how"] == how
    ways = by_how(plan["chill"])
    phase = next(phase for phase in plan["timeline"] if phase["phase"] == "chill")
    lasts = phase["end_min"] - phase["start_min"]
    chosen = ways[plan["chill"]["chosen"]["chiller"], how]
    assert chosen["time_min"] == pytest.approx(lasts, rel=1e-6)
    assert phase["end_c"] == pytest.approx(18.0)
    if how == "two-stage":
        assert chosen["switch_c"] == 55.0
    transfer = next(phase for phase in plan["timeline"] if phase["phase"] == "transfer")
    passed = how in ("one-pass", "two-stage")
    assert (transfer["end_min"] == transfer["start_min"]) == passed
    assert any("Read the outlet" in caution for caution in phase["cautions"]) == passed


def test_the_printed_day_says_the_way_and_the_least_bad(shed):
    flat = " ".join(planned(shed, "{to: 18 C, with: plate, how: circulate}").out.split())
    assert "Circulate through plate back into the kettle: 20 min (" in flat
    assert "Least bad for this tap: one pass through plate:" in flat
    flat = " ".join(planned(shed, "{to: 18 C, with: plate, how: one-pass}").out.split())
    assert "Least bad for this tap" not in flat and "One pass through plate:" in flat
    assert "In the fermenter: 23.0 L cold." in flat


@pytest.mark.parametrize(
    ("chill", "words"),
    [
        ("{to: 18 C, with: plates, how: circulate}", "did you mean `plate`?"),
        ("{to: 18 C, with: fridge, how: circulate}", "it has plate, coil"),
        ("{to: 18 C, with: plate}", "does not say how `plate` is run"),
        ("{to: 18 C, with: coil, how: one-pass}", "`coil` is a coil"),
    ],
)
def test_a_chill_the_rig_does_not_have_is_refused(shed, chill, words):
    ran = planned(shed, chill)
    assert ran.code == 1 and words in ran.err and "recipe.yaml:" in ran.err


def test_a_chiller_that_is_nowhere_is_asked_for(desk):
    desk.change({})
    ran = planned(desk, "{to: 18 C, with: plate, how: circulate}")
    assert ran.code == 1 and "write it under `chillers`" in ran.err


def test_a_chill_of_no_minutes_is_not_said_to_take_none(shed):
    told = ask(shed, "--json", volume="0.2 L cold").json
    texts = [way["text"].replace("\u00a0", " ") for way in told["ways"]]
    assert any("under 1 min" in text for text in texts)
    assert not any(re.search(r"\b0 min", text) for text in texts)
    # One time is said once.
    assert not any(re.search(r"(\d+ min) \(\1 to \1\)", text) for text in texts)


def test_a_reading_that_left_as_cold_as_the_water_tells_little(shed):
    plain = ask(shed, "--json").json["chillers"][0]
    assert plain["from"] == "from its reading"
    assert plain["spread_w_k"] == pytest.approx(0.10 * plain["ua_w_k"])
    rig = shed.path("rig").read_text(encoding="utf-8")
    shed.write("rig", rig.replace("wort_out: 31 C", "wort_out: 14.001 C"))
    told = ask(shed, "--json").json
    near = told["chillers"][0]
    assert "tells little" in near["from"]
    # Kays and London, ch. 2, counterflow, by hand: at 14.501 C, half a kelvin warmer, effectiveness
    # 81.499/82 = 0.99389, ratio 0.532, NTU ln((1 - .5288)/(1 - .99389))/.468 = 9.285, x 334.1.
    assert near["ua_w_k"] - near["spread_w_k"] == pytest.approx(3102.0, rel=5e-3)
    circulate = by_how(told)["plate", "circulate"]
    assert circulate["low_min"] < circulate["time_min"] < circulate["high_min"]


def test_what_bounds_a_pass_is_said_in_the_units_asked_for(shed):
    notes = " ".join(ask(shed, "--json").json["notes"]).replace("\u00a0", " ")
    assert "no slower than 1.0 L/min" in notes and "10.0 L of water" in notes
    us = " ".join(ask(shed, "--json", "--units", "us").json["notes"]).replace("\u00a0", " ")
    assert "gal/min" in us and " L of" not in us and " kg " not in us and "2.64 US gal" in us
