"""The same record from the command line: start, say, show, mend, write out, type in."""

import json
import re
from pathlib import Path

import pytest


def test_a_lot_is_started_said_and_shown(lot):
    assert lot.say("begin", "fill") == "Kept as entry 2 of lot 1.\n"
    lot.say("read", "water", "35 L")
    lot.say("done", "fill/water")
    report = lot.shown()
    assert report["schema"] == "lot-report/1"
    assert report["phase"] == "fill"
    assert report["next"][0] == "fill/covered"
    assert report["readings"][0]["value"] == 35.0
    code, out, _ = lot.run("show", 1)
    assert code == 0
    assert "! An element that runs dry" in out
    assert all(len(line) <= 80 for line in out.splitlines())


def test_heat_is_refused_until_the_element_is_covered(lot):
    code, _, err = lot.run("say", 1, "done", "heat/on")
    assert code == 1
    assert err.startswith("Not yet. First: Look: the water stands over the element")
    lot.say("done", "fill/water")
    lot.say("done", "fill/covered")
    lot.say("done", "heat/on")


def test_an_odd_reading_is_kept_and_questioned(lot):
    told = lot.say("read", "preboil", "1.034", "--at", "50 C", "--with", "hydrometer")
    assert "Kept as entry 2" in told
    assert "1.034 at 50 C is 1.045 at 20 C." in told
    told = lot.say("correct", "2", "1.036")
    reading = lot.shown()["readings"][0]
    assert (reading["value"], reading["sample_c"]) == (1.036, 50.0)
    lot.say("undo", "2")
    assert lot.shown()["readings"] == []


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["begn", "fill"], "`begn` is not understood; say one of begin, end"),
        (["begin", "fil"], "this lot has no phase `fil`; did you mean `fill`?"),
        (["done", "mash/inn"], "this lot has no step `mash/inn`; did you mean `mash/in`?"),
        (["begin"], "`begin` takes 1 words after it; 0 are here"),
        (["read", "preboil", "31 kg"], "`31 kg` is a mass"),
        (["read", "prebol", "31 L"], "did you mean `preboil`?"),
        (["dose", "d9"], "this lot has no dose `d9`"),
        (["pump", "up"], "the pump is `on` or `off`, not `up`"),
        (["surface", "H4", "clean"], "`sanitised`, `opened` or `left wet`, not `clean`"),
        (["undo", "77"], "this lot has no entry `77`; it has 1 to 1"),
        (["correct", "1", "x"], "has no value to correct"),
        (["read", "preboil", "1.04", "--at", "hot"], "--at: "),
    ],
)
def test_what_cannot_be_said_is_refused_in_a_sentence(lot, words, said):
    code, _, err = lot.run("say", 1, *words)
    assert code == 1
    assert said in err
    assert len(lot.shown()["events"]) == 1


def test_a_turn_names_a_handle_that_the_rig_has(lot, desk):
    examples = Path(__file__).parents[2] / "examples"
    rig = examples / "shed-two-valves.yaml"
    day = ("--rig", rig, "--day", examples / "cool-march.yaml")
    lot.run("start", examples / "rainday-pale.yaml", *day)
    for words, said in (
        (["V9", "arm"], "this lot has no handle or hose end `V9`; there are K, V1, V2, H4, W"),
        # What is switched on and off by another name would be taken for the water.
        (["pump", "off"], "this lot has no handle or hose end `pump`"),
    ):
        code, _, err = lot.run("say", 2, "turn", *words)
        assert (code, said in err) == (1, True), err
    for words in (["V1", "arm"], ["H4", "jug"], ["W", "on"]):
        assert lot.run("say", 2, "turn", *words)[0] == 0
    code, _, err = lot.run("say", 2, "surface", "chillr", "sanitised")
    assert (code, "this lot has no part `chillr`; did you mean `chiller`?" in err) == (1, True), err
    assert lot.run("say", 2, "surface", "chiller", "sanitised")[0] == 0


def test_everything_that_can_be_said_is_kept(lot):
    for words in (
        ["begin", "boil"],
        ["dose", "d1", "26 g"],
        ["not-yet", "boil/end", "5 min"],
        ["skip", "boil/clean", "--why", "did it yesterday"],
        ["turn", "V1", "arm"],
        ["pump", "off"],
        ["surface", "fermenter", "sanitised"],
        ["surface", "hose", "left", "wet"],
        ["note", "a", "wasp"],
        ["otherwise", "the lid fell in"],
        ["photo", "boil.jpg"],
        ["override", "pump check", "--why", "looked twice"],
        ["end", "boil"],
    ):
        lot.say(*words)
    report = lot.shown()
    assert report["doses"].keys() == {"d1"}
    assert report["surfaces"] == {"fermenter": "sanitised", "hose": "left wet"}
    assert report["overrides"] == [{"check": "pump check", "why": "looked twice"}]
    assert report["notes"] == ["a wasp"]
    assert (report["pump"], report["handles"]) == ("off", {"V1": "arm"})
    assert len(report["events"]) == 14


def test_ways_out_and_an_interruption(lot):
    lot.say("read", "preboil", "29.9 L", "--at", "20 C", "--with", "jug")
    lot.say("read", "preboil", "1.040", "--at", "20 C")
    code, out, _ = lot.run("ways", 1)
    assert code == 0
    assert "Gravity low" in out
    assert "Do nothing" in out
    assert "dry malt extract" in out
    code, out, _ = lot.run("ways", 1, "--json")
    assert json.loads(out)["schema"] == "ways/1"
    lot.say("begin", "boil")
    code, out, _ = lot.run("ways", 1, "boil-cut", "--off", "40 min")
    assert out.startswith("First: switch element and pump off at their switches")
    code, _, err = lot.run("ways", 1, "gravity-lo")
    assert code == 1
    assert "`gravity-lo` is no trouble known here; known are gravity-low" in err
    code, _, err = lot.run("ways", 1, "dose-late")
    assert "Which dose is late?" in err
    code, out, _ = lot.run("ways", 1, "dose-late", "--dose", "d1")
    assert "leave d1 out" in out


@pytest.mark.parametrize(
    ("option", "typed", "said"),
    [
        ("--mash", "400C", "--mash: `400C` cannot be: temperature can be -5.0 C to 110.0 C"),
        ("--wort", "1e6 C", "--wort: `1e6 C` cannot be"),
        ("--left", "1e9 L", "--left: `1e9 L` cannot be: volume can be"),
    ],
)
def test_what_no_kettle_can_be_is_refused_with_what_can(lot, option, typed, said):
    trouble = {"--mash": "mash-off", "--wort": "wort-warm", "--left": "clogged"}[option]
    code, out, err = lot.run("ways", 1, trouble, option, typed)
    assert (code, out) == (1, "")
    assert said in err


@pytest.mark.parametrize(
    "mash", ["-5 C", "0 C", "64 C", "66 C", "71 C", "99.9 C", "100 C", "110 C"]
)
def test_whatever_a_mash_can_read_every_price_is_a_number(lot, mash):
    code, out, err = lot.run("ways", 1, "mash-off", "--mash", mash)
    assert code == 0, err
    assert "Do nothing" in out
    assert "nan" not in out
    assert "unknown" not in out


def test_the_text_file_goes_out_and_comes_back(lot, tmp_path):
    lot.say("begin", "fill")
    shelf = list((lot.data / "lots").iterdir())
    assert [path.name for path in shelf] == ["lot-0001-rainday-pale.txt"]
    out = tmp_path / "out.txt"
    assert lot.run("text", 1, "--out", out)[0] == 0
    code, _, err = lot.run("text", 1, "--out", out)
    assert code == 1
    assert "is there already and is left as it is" in err
    assert lot.run("text", 1, "--read", out)[1] == "New here: 0 entries. Known already: 2.\n"
    half = tmp_path / "half.txt"
    half.write_bytes(out.read_bytes()[:-80])
    code, _, err = lot.run("text", 1, "--read", half)
    assert code == 1
    assert "The file ends in the middle" in err


def test_the_sheet_is_typed_in_at_the_prompt(lot):
    code, out, _ = lot.run("paper", 1, typed="@ 9:00\n34.8 L @ 9:06\n\n69.9 C\n.\n")
    assert code == 0
    assert out.endswith("5 entries are kept.\n")
    report = lot.shown()
    readings = {row["of"]: row for row in report["readings"]}
    assert readings["water"]["typed"] == "34.8 L"
    assert readings["strike"]["at_min"] is None
    assert readings["water"]["at_min"] is not None
    code, out, err = lot.run("paper", 1, typed="6 kg\n\n\n7 kg\n\n.\n")
    assert code == 0
    assert "`6 kg` is no time. Here only the time when `Heat the water` began is wanted" in err
    assert "`7 kg` is a mass" in err
    # what is there already is said and not asked again
    assert "In the record already, so not asked: fill, fill/water, heat/end.\n" in out
    assert out.endswith("0 entries are kept.\n")
    assert lot.shown()["readings"] == report["readings"]


def test_the_typed_sheet_is_in_the_text_file_on_the_shelf(lot):
    lot.run("paper", 1, typed="@ 9:00\n34.8 L @ 9:06\n.\n")
    (file,) = (lot.data / "lots").iterdir()
    assert "34.8 L" in file.read_text(encoding="utf-8")


def test_alarms_are_listed_and_written_for_the_phone(lot, tmp_path):
    assert "No alarm is coming" in lot.run("alarms", 1)[1]
    lot.say("begin", "boil")
    _, out, _ = lot.run("alarms", 1)
    assert re.search(r"^\d\d:\d\d  Heat off: .*\[boil/end\]$", out, re.MULTILINE)
    ics = tmp_path / "a.ics"
    assert lot.run("alarms", 1, "--one", "boil/end", "--ics", ics)[0] == 0
    raw = ics.read_bytes()
    assert raw.startswith(b"BEGIN:VCALENDAR\r\n")
    assert raw.count(b"BEGIN:VEVENT") == 1


def test_lots_are_listed_and_an_unknown_one_is_said(lot):
    assert re.match(r" +1  \d{4}-\d\d-\d\d \d\d:\d\d +1 entries  Rainday Pale\n",
                    lot.run("list")[1])  # fmt: skip
    code, _, err = lot.run("show", 9)
    assert (code, err) == (1, "there is no lot 9 here.\n")
