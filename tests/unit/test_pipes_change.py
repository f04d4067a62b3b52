"""Routes, change-overs, the day in acts, clean marks, and the command that shows them."""

import json
import re
from dataclasses import replace
from itertools import pairwise, product
from pathlib import Path

import pytest
from click.testing import CliRunner

from wortline.app.files import File
from wortline.app.piping import pipes_of
from wortline.app.starting import starting_document
from wortline.cli import main
from wortline.documents.plumbing import Plumbing
from wortline.pipes.change_search import Search
from wortline.pipes.changeover import change_over
from wortline.pipes.day import needless, phases
from wortline.pipes.marks import Contact, Loop, Mark, Opened, Stood, lacking, marks, words
from wortline.pipes.network import network
from wortline.pipes.routes import line_ups
from wortline.pipes.state import Conditions, Setting

NAMES = ("one-pump", "one-valve", "two-valves", "coil")
PIPES = {name: pipes_of(File("r.yaml", starting_document("rig", name).encode())) for name in NAMES}
TWO = PIPES["two-valves"]
LIMITS = TWO.limits
KNOWN = Conditions(98.0, 14.0, 0.26, 101.3, 19.0, clean={"all": "heat"})


def best(route, pipes=TWO):
    return line_ups(pipes.network, route)[0]


@pytest.mark.parametrize(
    ("route", "positions", "water"),
    [
        ("mash-recirculate", ("open", "arm", "kettle"), False),
        ("whirlpool", ("open", "arm", "kettle"), False),
        ("sanitise-loop", ("open", "chiller", "kettle"), False),
        ("chill-circulate", ("open", "chiller", "kettle"), True),
        ("chill-and-transfer", ("open", "chiller", "fermenter"), True),
        ("transfer", ("open", "chiller", "fermenter"), False),
    ],
)
def test_two_valves_need_no_hose_moved(route, positions, water):
    found = best(route)
    assert (found.setting.positions, found.setting.water, found.hose_moves) == (positions, water, 0)


def test_the_free_handle_keeps_most_seats_closed():
    found = best("whirlpool")
    assert found.free == ("V2",)
    assert found.barriers == 2


def test_what_the_lesser_rigs_cannot_do_or_need_a_hose_for():
    assert not line_ups(PIPES["one-pump"].network, "whirlpool")
    assert best("chill-and-transfer", PIPES["one-valve"]).hose_moves == 1
    assert {each.part for each in needless(PIPES["one-valve"].network)} == {"H4"}
    assert not [each for each in needless(TWO.network) if "transfer" in each.text]


def test_whirlpool_to_chill_to_transfer_is_one_handle_each():
    """Practice: water first, then V1; then V2."""
    first = change_over(TWO.network, best("whirlpool").setting, best("chill-circulate").setting,
                        KNOWN, LIMITS)  # fmt: skip
    assert [move.text for move in first.moves] == [
        "Turn the water on.", "Turn V1 from arm to chiller."
    ]  # fmt: skip
    then = change_over(TWO.network, first.end, best("chill-and-transfer").setting, KNOWN, LIMITS)
    assert [move.part for move in then.moves] == ["V2"]
    assert any("40 C or below" in first for first in then.moves[0].first)


def test_a_handle_that_shuts_off_the_pump_waits_for_it_at_the_boil():
    boiling = replace(KNOWN, wort_c=99.9)
    found = change_over(TWO.network, best("whirlpool").setting, best("chill-circulate").setting,
                        boiling, LIMITS)  # fmt: skip
    acts = [(move.act, move.then) for move in found.moves]
    assert acts.index(("pump", "off")) < acts.index(("turn", "chiller"))
    assert acts[-1] == ("pump", "on")


def test_handles_are_turned_while_the_pump_stands():
    found = change_over(TWO.network, best("rest").setting, best("chill-circulate").setting,
                        KNOWN, LIMITS)  # fmt: skip
    assert [move.part for move in found.moves] == ["W", "V1", "P"]


def test_a_hose_is_moved_with_the_pump_off_and_shut_off_from_the_wort():
    pipes = PIPES["one-valve"]
    found = change_over(pipes.network, best("chill-circulate", pipes).setting,
                        best("chill-and-transfer", pipes).setting, KNOWN, LIMITS)  # fmt: skip
    acts = [(move.act, move.then) for move in found.moves]
    moved = acts.index(("hose", "fermenter"))
    assert ("pump", "off") in acts[:moved]
    assert ("turn", "arm") in acts[:moved]
    assert any("cooled to 45 C" in each for each in found.moves[moved].first)
    assert len(found.hose_moves) == 1


def test_what_is_not_clean_has_to_be_so_first():
    bare = replace(KNOWN, clean={"H4": "acid"})
    found = change_over(TWO.network, best("chill-circulate").setting,
                        best("chill-and-transfer").setting, bare, LIMITS)  # fmt: skip
    assert "chiller" in {need.part for need in found.needs if need.code == "B1"}
    assert "H4" not in {need.part for need in found.needs}


@pytest.mark.parametrize("wort_c", [98.0, 99.9], ids=["hot", "at the boil"])
def test_no_shorter_safe_order_exists(wort_c):
    """Law: breadth first over every setting finds no shorter order."""
    net = TWO.network
    known = replace(KNOWN, wort_c=wort_c)
    stops = [valve.stops for valve in net.valves]
    all_settings = [
        Setting(positions, ("fermenter",), pump, water)
        for positions in product(*stops)
        for pump in (False, True)
        for water in (False, True)
    ]
    ends = [best(route).setting for route in ("whirlpool", "rest", "chill-and-transfer")]
    for start in ends:
        for end in ends:
            search = Search(net, known, LIMITS, end)
            search.excused = search.stops(start) | search.stops(end)
            reached, edge, steps = {start}, {start}, 0
            while end not in reached:
                edge = {
                    move.after
                    for here in edge
                    for move in search.acts(here)
                    if move.after not in reached and search.allowed(move, here)
                }
                assert edge <= set(all_settings)
                reached |= edge
                steps += 1
            assert steps == len(change_over(net, start, end, known, LIMITS).moves)


@pytest.mark.parametrize("name", NAMES)
def test_the_hot_side_follows_itself(name):
    found = phases(PIPES[name].network, KNOWN, LIMITS)
    assert found[-1].route == "chill-and-transfer"
    for before, after in pairwise(found):
        assert after.change.found
        assert after.change.start == before.line_up.setting
        assert after.change.end == after.line_up.setting


def test_a_rig_with_six_three_way_valves_is_searched():
    parts = [{"name": "kettle", "kind": "kettle", "outlet": "3 cm"}, {"name": "P", "kind": "pump"}]
    joins, here = [["kettle.outlet", "P.in"]], "P.out"
    for index in range(1, 7):
        parts.append({"name": f"V{index}", "kind": "valve3", "passage": "L"})
        parts.append({"name": f"e{index}", "kind": "arm" if index == 1 else "drain"})
        joins += [[here, f"V{index}.in"], [f"V{index}.a", f"e{index}.in"]]
        here = f"V{index}.b"
    parts.append({"name": "fermenter", "kind": "fermenter", "height": "0 cm", "inlet": "30 cm"})
    joins.append([here, "fermenter.in"])
    net = network(Plumbing.model_validate({"parts": parts, "joins": joins}))
    cold = replace(KNOWN, wort_c=18.0, outlet_c=None)
    end = line_ups(net, "transfer")[0].setting
    found = change_over(net, line_ups(net, "whirlpool")[0].setting, end, cold, LIMITS)
    assert found.found
    assert found.moves[-1].after == end


def test_a_loop_earns_a_mark_by_dose_or_by_five_minutes_at_77():
    """Published: A0 600 (EN ISO 15883), or 77 C for 5 min (California FAC 33519)."""
    loop = best("sanitise-loop").setting
    short = marks(TWO.network, [Loop(loop, 4.0, 80.0)], LIMITS)
    assert short["chiller"].a0 == pytest.approx(240.0)
    assert words(short, LIMITS)["chiller"] == "no"
    assert short["chiller"].missing_min(80.0, LIMITS) == pytest.approx(1.0)
    done = marks(TWO.network, [Loop(loop, 5.0, 77.0)], LIMITS)
    assert words(done, LIMITS)["chiller"] == "heat"
    hot = marks(TWO.network, [Loop(loop, 1.0, 90.0)], LIMITS)
    assert words(hot, LIMITS)["chiller"] == "heat"
    cool = marks(TWO.network, [Loop(loop, 30.0, 76.0)], LIMITS)
    assert cool["chiller"].a0 == pytest.approx(60 * 30 * 10**-0.4)
    assert Mark().missing_min(60.0, LIMITS) == float("inf")


def test_the_loop_does_not_reach_what_it_does_not_run_through():
    found = marks(TWO.network, [Loop(best("sanitise-loop").setting, 10.0, 95.0)], LIMITS)
    transfer = best("chill-and-transfer").setting
    assert lacking(TWO.network, transfer, found, LIMITS) == ("H4",)
    found = marks(TWO.network, [Loop(best("sanitise-loop").setting, 10.0, 95.0),
                                Contact(("H4",), 2.0)], LIMITS)  # fmt: skip
    assert lacking(TWO.network, transfer, found, LIMITS) == ()
    assert words(found, LIMITS)["H4"] == "acid"


@pytest.mark.parametrize(
    "loss", [Opened("chiller"), Stood("chiller", 61.0, 30.0)], ids=["opened", "stood"]
)
def test_what_loses_a_mark(loss):
    earned = Loop(best("sanitise-loop").setting, 10.0, 95.0)
    assert words(marks(TWO.network, [earned, loss], LIMITS), LIMITS)["chiller"] == "no"
    kept = marks(TWO.network, [earned, Stood("chiller", 30.0, 30.0)], LIMITS)
    assert words(kept, LIMITS)["chiller"] == "heat"
    again = marks(TWO.network, [earned, loss, earned], LIMITS)
    assert words(again, LIMITS)["chiller"] == "heat"


def run(*words):
    return CliRunner().invoke(main, ["pipes", *words])


@pytest.fixture
def rig(tmp_path):
    path = tmp_path / "rig.yaml"
    done = CliRunner().invoke(main, ["new", "rig", "--pipes", "two-valves", str(path)])
    assert done.exit_code == 0
    return str(path)


def test_the_command_judges(rig):
    stop = run(rig, "--handles", "K=open, V1=chiller, V2=fermenter", "--pump", "on", "--json")
    assert stop.exit_code == 3
    values = json.loads(stop.stdout)
    assert values["verdict"] == "stop"
    assert set(values) >= {"path", "findings", "flow_l_min", "suction_margin_m", "in_line"}
    fine = run(rig, "--handles", "K=open, V1=arm, V2=kettle", "--pump", "on", "--for", "whirlpool")
    assert (fine.exit_code, fine.stdout.splitlines()[0]) == (0, "PASS")
    assert run(rig, "--handles", "K=open").exit_code == 1


def test_the_command_speaks_us_units(rig):
    stood = (rig, "--handles", "K=open, V1=chiller, V2=fermenter", "--pump", "on", "--water", "on")
    values = json.loads(run(*stood, "--json").stdout)
    told = " ".join(run(*stood, "--units", "us").stdout.split())
    # a US gallon is 231 cubic inches, 3.785411784 L; an inch 25.4 mm; 40 C are 104 F
    assert f"flow {values['flow_l_min'] / 3.785411784:.2f} US gal/min" in told
    assert f"suction margin {values['suction_margin_m'] / 0.0254:.1f} in" in told
    assert f"above {values['vortex_l_min'] / 3.785411784:.2f} US gal/min" in told
    assert f"; {values['empties']['hot_l'] / 3.785411784:.2f} US gal hot have run" in told
    assert "104 F is its limit" in told
    assert re.search(r"\d (L|m|cm|C)\b", told) is None
    # as JSON nothing changes with the units
    assert json.loads(run(*stood, "--json", "--units", "us").stdout) == values
    whirl = (rig, "--handles", "K=open, V1=arm, V2=kettle", "--pump", "on")
    jet_m_s = json.loads(run(*whirl, "--json").stdout)["jet_m_s"]
    told = " ".join(run(*whirl, "--units", "us").stdout.split())
    # an international foot is 0.3048 m
    assert f"jet {jet_m_s / 0.3048:.0f} ft/s" in told
    turned = run(rig, "--from", "whirlpool", "--to", "chill-and-transfer", "--units", "us")
    assert "at 104 F or below" in " ".join(turned.stdout.split())
    assert run(rig, "--units", "imperial").exit_code == 2
@pytest.mark.parametrize("pipes", PIPES.values(), ids=PIPES)
def test_every_act_says_what_scalds_while_the_wort_does(pipes):
    # 45 C, from the limits: below what plumbing-code tables of burns call scalding in minutes
    for wort_c, scalds in ((98.0, True), (45.1, True), (45.0, False), (20.0, False)):
        known = replace(KNOWN, wort_c=wort_c)
        acts = [
            move
            for phase in phases(pipes.network, known, pipes.limits)
            if phase.change
            for move in phase.change.moves
        ]
        assert acts
        for move in acts:
            assert (f"ort of {wort_c:g} C" in move.caution) == scalds, move
            assert bool(move.caution) == scalds


def test_the_command_leads_from_one_to_another(rig):
    done = run(rig, "--from", "whirlpool", "--to", "chill-and-transfer")
    assert done.exit_code == 0
    lines = [line.strip() for line in done.stdout.splitlines()]
    act = lines.index("Then: Turn the water on.")
    assert lines[act - 2].startswith("1.  Caution: With wort of 98 C the chiller")
    cold = run(rig, "--from", "whirlpool", "--to", "chill-and-transfer", "--wort", "45 C")
    assert "1.  Turn the water on." in cold.stdout
    assert "Caution" not in cold.stdout
    assert run(rig, "--from", "moonlight", "--to", "whirlpool").exit_code == 2
    assert run(rig, "--from", "whirlpool").exit_code == 2


def test_the_command_lists_what_the_rig_can_do(rig):
    done = run(rig)
    assert done.exit_code == 0
    assert "chill-and-transfer: K=open, V1=chiller, V2=fermenter" in done.stdout
    assert all(len(line) <= 80 for line in done.stdout.splitlines())
    assert set(json.loads(run(rig, "--json").stdout)) == {
        "rig", "complaints", "routes", "hose_moves", "day"
    }  # fmt: skip


def test_the_example_line_up_is_judged():
    folder = Path(__file__).parents[2] / "examples"
    rig = str(folder / "shed-two-valves.yaml")
    stood = (rig, "--state", str(folder / "two-valves-transfer.yaml"), "--json")
    done = run(*stood)
    values = json.loads(done.stdout)
    assert (done.exit_code, values["verdict"], values["path"][-1]) == (0, "warn", "fermenter")
    assert [finding["code"] for finding in values["findings"]] == ["L1"]
    assert run(*stood, "--clean", "H4=no").exit_code == 3
