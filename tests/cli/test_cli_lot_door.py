"""The prompt lets in what the deck lets in: limits, units, known parts, the pump's check, times."""

import re
from pathlib import Path

import pytest

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["read", "preboil", "1e9 L"], "`1e9 L` cannot be: volume can be 0 mL to 500.0 L"),
        (["read", "preboil", "1e9"], "preboil: "),
        (["read", "preboil", "-1"], "preboil: "),
        (["read", "preboil", "10.9"], "preboil: "),
        (["read", "mash", "400 C"], "`400 C` cannot be: temperature can be -5.0 C to 110.0 C"),
        (["read", "preboil", "1.044", "--at", "400 C"], "--at: `400 C` cannot be"),
        (["photo", "/etc/hostname"], "`/etc/hostname` is no picture"),
        (["right", "1"], "entry 1 (started) is no reading"),
    ],
)
def test_what_the_deck_refuses_is_refused_here(lot, words, said):
    code, _, err = lot.run("say", 1, *words)
    assert code == 1
    assert said in err
    assert len(lot.shown()["events"]) == 1


def test_a_mash_in_fahrenheit_by_mistake_is_kept_and_asked_about(lot):
    told = lot.say("read", "mash", "66 F")
    assert told.startswith("Kept as entry 2")
    flat = " ".join(told.split())
    assert "66 F, which is 19 C, is far from the planned 66.0 C. Is the number right" in flat
    assert "wortline lot say 1 right 2" in flat
    assert "Do nothing" not in told
    told = lot.say("right", "2")
    assert "Mash too cold or too warm" in lot.run("ways", 1)[1]
    assert "mash-off" in lot.run("show", 1)[1]


@pytest.fixture
def piped(lot):
    """A lot of the rig that tells its pipes."""
    (lot.desk.folder / "piped.yaml").write_bytes((EXAMPLES / "shed-two-valves.yaml").read_bytes())
    day = ("--rig", lot.desk.folder / "piped.yaml", "--day", lot.desk.path("day"))
    assert lot.run("start", lot.desk.path("recipe"), *day)[0] == 0
    lot.number = 2
    return lot


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["turn", "V1", "banana"], "V1 cannot be at `banana`; it can be at "),
        (["turn", "V9", "open"], "this lot has no handle or hose end `V9`; there are K, V1, V2"),
    ],
)
def test_only_parts_of_the_rig_are_turned_to_where_they_can_be(piped, words, said):
    code, _, err = piped.run("say", 2, *words)
    assert code == 1
    assert said in err
    piped.say("turn", "V1", "arm")


def test_the_pump_is_refused_with_a_wrong_handle_and_goes_on_only_even_so(piped):
    lot = piped
    lot.say("begin", "fill")
    lot.say("begin", "mash")
    lot.say("turn", "K", "shut")
    code, _, err = lot.run("say", 2, "pump", "on")
    assert code == 1
    assert "The pump is refused: " in err
    assert "K is at shut; the plan has open." in err
    code, _, err = lot.run("say", 2, "pump", "on", "--even-so")
    assert code == 1
    lot.say("pump", "on", "--even-so", "--why", "water only")
    report = lot.shown()
    assert report["pump"] == "on"
    assert report["overrides"][0]["why"] == "water only"
    assert report["overrides"][0]["check"].startswith("pump: ")


def test_a_missed_temperature_has_its_ways_at_once(lot):
    lot.say("begin", "heat")
    told = lot.say("read", "strike", "64 C")
    assert "Strike water too cold or too warm" in told
    assert "[element]" in told
    code, out, err = lot.run("take", 1, "strike-off", "element", "--strike", "64 C")
    assert code == 0, err
    assert "Element on for about" in out
    assert [step["id"] for step in lot.shown()["steps"] if "heat/way-" in step["id"]]
    code, _, err = lot.run("take", 1, "strike-off", "pray", "--strike", "64 C")
    assert code == 1
    assert "`pray` is no way out of strike-off; there are nothing, element, hot-water" in err


def test_short_water_is_poured_in_before_anything_else(lot):
    lot.say("begin", "fill")
    told = lot.say("read", "water", "33 L", "--at", "20 C", "--with", "jug")
    assert told.index("more water in before the grain") < told.index("boiled and cooled water")
    assert "Gravity high" not in told
    assert " 0 g" not in told
    shown = lot.run("show", 1)[1]
    assert re.search(r"[\d.]+ L cold less at the tap: 33.0 L instead of", " ".join(shown.split()))
    assert "(was: " in shown


def test_too_much_water_is_named_and_boiled_away_first(lot):
    lot.say("read", "preboil", "32 L", "--at", "20 C", "--with", "jug")
    told = lot.say("read", "preboil", "1.041", "--at", "20 C")
    assert "There is too much water" in told
    assert told.index("[boil-longer]") < told.index("[add-malt-extract]")


@pytest.mark.parametrize("dose", ["d1", "d2"])
def test_a_late_dose_has_three_ways(lot, dose):
    lot.say("begin", "boil")
    out = lot.run("ways", 1, "dose-late", "--dose", dose)[1]
    assert out.count("* ") >= 3


def test_a_long_cut_leaves_only_numbers(lot):
    lot.say("begin", "boil")
    lot.say("done", "boil/d1")
    out = " ".join(lot.run("ways", 1, "boil-cut", "--off", "10 h")[1].split())
    assert "nan" not in out
    assert "unknown" not in out
    code, _, err = lot.run("ways", 1, "boil-cut")
    assert code == 1
    assert "--off: how long was the heat off? Write it as --off 25min" in err


def test_the_paper_loses_no_typed_value(lot):
    typed = "34.5 L @ 9:05\n9:05\n34.5 L @ 9:06\n1.043\n.\n"
    code, out, err = lot.run("paper", 1, typed=typed)
    assert code == 0
    assert "`34.5 L` is no time. Here only the time when `Fill` began is wanted" in err
    assert "`1.043` is no time" in err
    report = lot.shown()
    assert [row["value"] for row in report["readings"]] == [34.5]
    begun = next(row for row in report["phases"] if row["id"] == "fill")
    assert begun["begun_min"] is not None
    assert out.count("Fill: began") == 2


def test_the_paper_asks_about_what_is_odd(lot):
    lines = "\n" * 2 + "\n\n\n"
    code, out, _ = lot.run("paper", 1, typed="9:00\n12 L\n" + lines + ".\n")
    assert code == 0
    assert "12 L is far from the planned" in out
    assert "It counts for nothing in the advice until you say so." in out


def test_the_text_of_another_lot_is_refused(lot, tmp_path):
    lot.say("begin", "fill")
    mine = tmp_path / "mine.txt"
    assert lot.run("text", 1, "--out", mine)[0] == 0
    day = ("--rig", lot.desk.path("rig"), "--day", lot.desk.path("day"))
    for _ in range(2):
        assert lot.run("start", lot.desk.path("recipe"), *day)[0] == 0
    assert lot.run("say", 2, "note", "something")[0] == 0
    code, out, err = lot.run("text", 2, "--read", mine)
    assert (code, out) == (1, "")
    assert "This file is of another lot (`Rainday Pale`)" in err
    # one in which nothing was written takes it, as after a move
    assert lot.run("text", 3, "--read", mine)[1] == "New here: 2 entries. Known already: 0.\n"
