"""The pipes in the plan: line-ups of the phases, the acts between, sanitising, hold-up."""

import json
from itertools import pairwise
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner

from wortline.app.files import File
from wortline.app.piping import pipes_of
from wortline.app.planning import plan_brew
from wortline.app.starting import starting_document
from wortline.cli import main
from wortline.pipes.audit import audit
from wortline.pipes.state import Conditions, Setting

ROOT = Path(__file__).parents[2]
EXAMPLES = ROOT / "examples"
RECIPE = (EXAMPLES / "rainday-pale.yaml").read_bytes()
SHED = (EXAMPLES / "shed-45.yaml").read_text(encoding="utf-8")
DAY = (EXAMPLES / "cool-march.yaml").read_bytes()
NAMES = ("one-pump", "one-valve", "two-valves", "coil")


def with_pipes(name):
    whole = starting_document("rig", name)
    return SHED + whole[whole.index("plumbing:") :]


def planned(rig, recipe=RECIPE):
    return plan_brew(
        File("recipe.yaml", recipe), File("rig.yaml", rig.encode()), File("day.yaml", DAY)
    )


def timeline(rig):
    return planned(rig).report["timeline"]


TWO = with_pipes("two-valves")


def by_name(phases, name):
    return next(phase for phase in phases if phase["phase"] == name)


def test_a_rig_without_plumbing_says_nothing_of_it():
    report = planned(SHED).report
    assert not any({"lineup", "turns"} & phase.keys() for phase in report["timeline"])
    assert not any(note["code"].startswith(("pipes", "hold-up")) for note in report["notes"])
    assert next(row for row in report["ledger"] if row["step"] == "hold_up")["cold_l"] == 0.7


@pytest.mark.parametrize("name", NAMES)
def test_every_phase_has_its_line_up_and_each_follows_from_the_one_before(name):
    phases = timeline(with_pipes(name))
    now = phases[0]["lineup"]
    for phase in phases:
        # A whirlpool that waits for its pump stands so once the pump is on.
        begun_min = phase["start_min"] + phase["stand_min"]
        opening = [t for t in phase["turns"] if t["at_min"] == begun_min]
        later = [t for t in phase["turns"] if t["at_min"] > begun_min]
        now = json.loads(json.dumps(now))
        for turn in opening:
            apply(turn, now)
        assert now == phase["lineup"], phase["phase"]
        for turn in later:
            assert phase["start_min"] < turn["at_min"]
            apply(turn, now)
    for before, after in pairwise([t["at_min"] for phase in phases for t in phase["turns"]]):
        assert before <= after


def apply(turn, now):
    """Do an act, and check that what it changes stood as it says."""
    if turn["act"] == "turn":
        assert now["handles"][turn["part"]] == turn["from"]
        now["handles"][turn["part"]] = turn["to"]
    elif turn["act"] == "hose":
        assert now["hose_ends"][turn["part"]] == turn["from"]
        now["hose_ends"][turn["part"]] = turn["to"]
    else:
        assert now[turn["act"]] == turn["from"]
        now[turn["act"]] = turn["to"]


def test_what_two_valves_do_on_the_day():
    """Practice: whirlpool past the chiller, chill through it, then one handle to the fermenter."""
    phases = timeline(TWO)
    wanted = {
        "mash": ("arm", "kettle", "on", "off"),
        "boil": ("arm", "kettle", "off", "off"),
        "whirlpool": ("arm", "kettle", "on", "off"),
        "rest": ("arm", "kettle", "off", "off"),
        "chill": ("chiller", "kettle", "on", "on"),
        "transfer": ("chiller", "fermenter", "on", "on"),
        "pitch": ("arm", "kettle", "off", "off"),
    }
    for name, (first, second, pump, water) in wanted.items():
        stand = by_name(phases, name)["lineup"]
        assert stand["handles"] == {"K": "open", "V1": first, "V2": second}, name
        assert (stand["pump"], stand["water"]) == (pump, water), name
    assert [turn["part"] for turn in by_name(phases, "transfer")["turns"]] == ["V2"]


def test_the_chiller_is_sanitised_on_the_way_to_the_boil():
    """Published: 5 min at 77 C at the outlet (California FAC 33519)."""
    report = planned(TWO).report
    phase = by_name(report["timeline"], "to_boil")
    loop = [turn for turn in phase["turns"] if turn["for"] == "sanitise-loop"]
    assert loop
    start_min, end_min = loop[0]["at_min"], phase["turns"][-1]["at_min"]
    assert end_min - start_min == pytest.approx(5.0)
    lines = report["lines"]
    wort_c = dict(zip(lines["time_min"], lines["temp_c"], strict=True))
    inside = [temp_c for at_min, temp_c in wort_c.items() if start_min <= at_min <= end_min]
    assert all(temp_c >= 80.0 for temp_c in inside)
    assert end_min < phase["end_min"]
    notes = [note for note in report["notes"] if note["code"] == "pipes-unmarked"]
    assert [note["text"].split(":")[0] for note in notes] == ["No hot loop reaches H4"]


def test_an_element_too_strong_leaves_no_time_to_sanitise():
    strong = TWO.replace("power: 3.0 kW", "power: 30 kW")
    codes = {note["code"] for note in planned(strong).report["notes"]}
    assert "pipes-sanitise-short" in codes
    assert "pipes-sanitise-short" not in {note["code"] for note in planned(TWO).report["notes"]}


@pytest.mark.parametrize("name", NAMES)
def test_no_line_up_of_the_day_is_a_stop_once_all_is_clean(name):
    """Law of the tool: what the plan says passes its own audit, boiling suction side apart."""
    rig = with_pipes(name)
    work = planned(rig).plan
    pipes = pipes_of(File("rig.yaml", rig.encode()))
    for phase, stand in zip(work.track.phases, work.stands, strict=True):
        known = pipes_known(phase)
        found = audit(pipes.network, stand.setting, known, pipes.limits).findings
        stops = [f"{f.code} {f.part}" for f in found if f.severity == "stop" and f.code != "D5"]
        assert not stops, (phase.phase, stops)


def pipes_known(phase):
    warm_c = phase.end_c if phase.phase in {"transfer", "pitch"} else phase.start_c
    return Conditions(warm_c, 14.0, 0.26, 101.3, min(warm_c, 19.0), clean={"all": "acid"})


def test_near_the_boil_the_pump_waits():
    """The wait is in the clock; `test_plan_pump_waits` looks at it closely."""
    phase = by_name(timeline(TWO), "whirlpool")
    turn = phase["turns"][-1]
    assert (turn["act"], turn["to"]) == ("pump", "on")
    assert turn["at_min"] == phase["start_min"] + phase["stand_min"] > phase["start_min"]
    assert not any("Wait until the wort is at" in each for each in turn["first"])


def test_the_hold_up_comes_from_the_parts():
    """Derived by hand: K .02, H1 .12, P .12, V1 .02, H2 .15, arm .03, H3 .06, chiller .32,
    V2 .02, H5 .15, H4 .19 make 1.20 L."""
    report = planned(TWO).report
    row = next(row for row in report["ledger"] if row["step"] == "hold_up")
    assert row["cold_l"] == pytest.approx(1.20)
    (note,) = [note for note in report["notes"] if note["code"] == "hold-up-from-parts"]
    assert "1.2 L stay in the line" in note["text"]
    # Half a litre more, and what a little more grain for the same gravity keeps.
    assert 0.5 < report["water_l"] - planned(SHED).report["water_l"] < 0.7
    assert report["fermenter_l"] == pytest.approx(planned(SHED).report["fermenter_l"])


def test_a_hose_without_hold_up_holds_its_bore_times_its_length():
    """Derived: 1.5 m of 12.7 mm are 0.190 L."""
    plain = TWO.replace("length: 1.5 m, hold_up: 0.19 L,", "length: 1.5 m,")
    row = next(row for row in planned(plain).report["ledger"] if row["step"] == "hold_up")
    assert row["cold_l"] == pytest.approx(1.20, abs=0.001)


def test_a_bag_is_not_recirculated():
    phases = timeline(TWO.replace("kind: basket", "kind: bag"))
    assert by_name(phases, "mash")["lineup"]["pump"] == "off"


def test_the_plan_keeps_to_its_schema():
    schema = json.loads(
        (ROOT / "docs" / "reference" / "plan-1.schema.json").read_text(encoding="utf-8")
    )
    for name in NAMES:
        report = planned(with_pipes(name)).report
        jsonschema.Draft202012Validator(schema).validate(json.loads(json.dumps(report)))


def test_the_printed_day_says_the_handles():
    done = CliRunner().invoke(
        main,
        ["plan", str(EXAMPLES / "rainday-pale.yaml"), "--rig",
         str(EXAMPLES / "shed-two-valves.yaml"), "--day", str(EXAMPLES / "cool-march.yaml")],
    )  # fmt: skip
    assert done.exit_code == 0
    flat = " ".join(done.stdout.split())
    assert "Handles: K open, V1 arm, V2 kettle, end of H4 at fermenter, pump on" in flat
    # fill, mash, lift, whirlpool, rest, chill, transfer, pitch: not where nothing has changed
    assert flat.count("Handles:") == 8
    sanitise = flat.index("Sanitise the chiller with hot wort:")
    assert 0 < sanitise - flat.index("burns at a touch") < 150
    assert "Turn V2 from kettle to fermenter." in flat
    assert all(len(line) <= 80 for line in done.stdout.splitlines())


def test_a_day_that_never_boils_has_no_line_ups():
    weak = TWO.replace("power: 3.0 kW", "power: 1 W")
    assert not any("lineup" in phase for phase in timeline(weak))
    assert isinstance(planned(TWO).plan.stands[0].setting, Setting)


PASSING = {"K": "open", "V1": "chiller", "V2": "fermenter"}
CIRCLING = {**PASSING, "V2": "kettle"}


def report_of(how):
    recipe = RECIPE.decode()
    chill = next(line for line in recipe.splitlines() if line.startswith("chill:"))
    changed = recipe.replace(chill, f"chill: {{to: 18 C, with: chiller, how: {how}}}")
    return planned(TWO, changed.encode()).report


@pytest.mark.parametrize(
    ("how", "first", "last"),
    [
        ("circulate", CIRCLING, CIRCLING),
        ("one-pass", PASSING, PASSING),
        ("two-stage", CIRCLING, PASSING),
    ],
)
def test_where_the_wort_goes_while_it_chills(how, first, last):
    """Practice: back into the kettle while circulating, on into the fermenter in one pass."""
    report = report_of(how)
    chill = by_name(report["timeline"], "chill")
    now = chill["lineup"]
    assert now["handles"] == first and (now["pump"], now["water"]) == ("on", "on")
    later = [turn for turn in chill["turns"] if turn["at_min"] > chill["start_min"]]
    for turn in later:
        apply(turn, now)
    assert now["handles"] == last and now["pump"] == "on"
    if how == "two-stage":
        assert [turn["part"] for turn in later] == ["V2"]
        way = next(way for way in report["chill"]["ways"] if way["how"] == how)
        assert later[0]["at_min"] - chill["start_min"] == pytest.approx(way["circulate_min"])
    unmarked = [note for note in report["notes"] if note["code"] == "pipes-unmarked"]
    assert len(unmarked) == 1, "said once"


def test_a_chiller_of_the_plumbing_alone_is_typical_of_its_kind():
    ways = report_of("one-pass")["chill"]["ways"]
    assert {way["chiller"] for way in ways} == {"chiller"}
