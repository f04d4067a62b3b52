"""What follows from the flow: margins, ranges, times, the line's contents, usual values."""

import pytest

from wortline.app.files import File
from wortline.app.piping import line_up_of, pipes_of, verdict
from wortline.app.starting import starting_document
from wortline.pipes.line import curve_of
from wortline.pipes.view import Hydraulics, View
from wortline.science.pipe_flow import Segment, line_loss_m
from wortline.science.pump import pump_head_m
from wortline.science.suction import submergence_m

TWO = starting_document("rig", "two-valves")
WITHOUT_CURVE = TWO[: TWO.index("      curve:")] + TWO[TWO.index("    - {name: V1") :]
WHIRL = {"handles": "K=open, V1=arm, V2=kettle", "pump": "on", "wort": "95 C", "level": "26 cm"}
SEND = {
    "handles": "K=open, V1=chiller, V2=fermenter", "pump": "on", "water": "on", "wort": "95 C",
    "outlet": "19 C", "level": "26 cm", "clean": "all=heat",
}  # fmt: skip


def pipes_from(rig):
    return pipes_of(File("rig.yaml", rig.encode()))


def judged(options, rig=TWO):
    pipes = pipes_from(rig)
    return verdict(pipes, *line_up_of(pipes, None, options))


def seen(options, rig=TWO):
    pipes = pipes_from(rig)
    return View(pipes.network, *line_up_of(pipes, None, options), pipes.limits)


def flow_of(options, rig=TWO):
    return judged(options, rig)["flow_l_min"]


def test_the_pump_gives_what_the_line_takes():
    """Law, energy: at the flow found the pump's head is lift and losses together."""
    for options in (WHIRL, SEND, {**SEND, "throttle": "70 %"}, {**WHIRL, "blinded": "97 %"}):
        view = seen(options)
        line, flow_l_min = view.line, view.hydraulics.flow_l_min
        loss_m = line_loss_m(flow_l_min, line.segments, line.viscosity_m2_s)
        assert pump_head_m(flow_l_min, line.curve) == pytest.approx(line.lift_m + loss_m, abs=1e-6)


def test_the_lift_is_from_surface_to_surface_or_free_end():
    """Derived from the document: bottom 90 cm and level 26 cm; end 45 + 40 cm; drowned at 50."""
    assert seen(SEND).line.lift_m == pytest.approx(0.85 - 1.16)
    assert seen({**SEND, "fermenter_level": "50 cm"}).line.lift_m == pytest.approx(0.95 - 1.16)
    assert seen(WHIRL).line.lift_m == 0.0


def test_the_suction_margin_is_what_is_left_of_the_height():
    """Law: available less lost less required; 12 C colder wort boils later by its vapour."""
    view = seen(WHIRL)
    flows = view.hydraulics
    eye_m = 0.90 + 0.26 - 0.20
    # IAPWS: 84.6 kPa at 95 C; 101.3 kPa less 1.2 kPa for 100 m; 961.9 kg/m3
    boiling_m = (view.known.pressure_kpa - 84.609) / (0.9619 * 9.80665)
    required_m = view.suction_margin_m - (eye_m + boiling_m - flows.suction_loss_m)
    assert -required_m == pytest.approx(0.51, abs=0.03)
    assert view.suction_margin_m < seen({**WHIRL, "wort": "90 C"}).suction_margin_m
    assert seen({**WHIRL, "throttle": "80 %"}).suction_margin_m > view.suction_margin_m


def test_a_blinded_screen_shows_late():
    """Derived, ideal even blinding: hardly anything at 80 %, more than half gone at 99.5 %."""
    clean = flow_of(WHIRL)
    some, most = (flow_of({**WHIRL, "blinded": each}) for each in ("80 %", "99.5 %"))
    assert clean > some > 0.98 * clean
    assert most < 0.5 * clean


def test_every_obstacle_slows_the_flow():
    """Law: flow falls with added loss, with narrower barbs, with a higher end."""
    assert flow_of({**WHIRL, "throttle": "60 %"}) < flow_of(WHIRL)
    narrow = TWO.replace("length: 1.2 m,", "length: 1.2 m, barb: 7 mm,")
    assert flow_of(WHIRL, narrow) < flow_of(WHIRL)
    half = {**WHIRL, "handles": "K=between, V1=arm, V2=kettle"}
    assert flow_of(half) < flow_of(WHIRL)
    high = TWO.replace("inlet: 40 cm", "inlet: 160 cm")
    assert flow_of(SEND, high) < flow_of(SEND)


def test_a_pump_that_does_not_lift_so_high_is_dead_headed():
    high = TWO.replace("kind: fermenter, height: 45 cm", "kind: fermenter, height: 5 m")
    found = judged(SEND, high)
    assert found["flow_l_min"] == 0.0
    assert [each["part"] for each in found["findings"] if each["code"] == "D1"] == ["P"]
    assert "3.8 m at most" in found["findings"][0]["text"]
    assert found["empties"] is None


def test_between_laminar_and_turbulent_there_is_a_range():
    """Law: the range holds the flow of either law; it is called uncertain in between only."""
    slow = TWO.replace("flow: 12 L/min, head: 2.9 m", "flow: 1.6 L/min, head: 2.9 m").replace(
        "flow: 24 L/min, head: 0.6 m", "flow: 3.2 L/min, head: 0.6 m"
    )
    found = judged({**WHIRL, "wort": "20 C"}, slow)
    least, most = found["flow_range_l_min"]
    assert found["regime"] == "uncertain"
    assert least < most
    assert least <= found["flow_l_min"] <= most
    assert judged(WHIRL)["regime"] == "turbulent"
    crawling = judged({**WHIRL, "wort": "20 C", "throttle": "95 %"}, slow)
    assert crawling["regime"] == "laminar"
    assert crawling["flow_range_l_min"] == [crawling["flow_l_min"]] * 2


def test_the_vortex_flow_belongs_to_the_depth():
    """Law: at that flow the depth over the outlet is what a still surface needs."""
    found = judged(WHIRL)
    assert submergence_m(found["vortex_l_min"], 0.0127) == pytest.approx(0.26 - 0.03)


def test_minutes_to_empty_and_to_turn_over():
    """Derived: a turnover is volume over flow; a kettle that falls takes a little longer."""
    found = judged(WHIRL)
    hot_l = 1000 * 3.14159265 / 4 * 0.40**2 * 0.23
    assert found["empties"]["hot_l"] == pytest.approx(hot_l)
    assert found["empties"]["min"] == pytest.approx(hot_l / found["flow_l_min"])
    sent = judged(SEND)
    assert 1.0 < sent["empties"]["min"] / (hot_l / sent["flow_l_min"]) < 1.05


def test_the_jet_is_the_flow_through_the_arm():
    """Law, continuity: 9.5 mm is 70.9 mm2."""
    found = judged(WHIRL)
    assert found["jet_m_s"] == pytest.approx(found["flow_l_min"] / 60 / 0.0709, rel=1e-3)
    assert judged(SEND)["jet_m_s"] is None


def test_what_stands_in_the_line_goes_first():
    """Derived by hand: chiller 0.32, V2 0.02 and H4 0.19 L; water is a note, a jug is right."""
    found = judged({**SEND, "holds": "chiller=sanitiser, H4=sanitiser", "clean": "all=acid"})
    (finding,) = [each for each in found["findings"] if each["code"] == "L1"]
    assert finding["text"] == "The first 0.5 L into the fermenter is acid sanitiser."
    assert finding["do"] == f"Run it to a jug, {60 * 0.53 / found['flow_l_min']:.0f} s."
    water = judged({**SEND, "holds": "H4=water"})
    assert [each["severity"] for each in water["findings"] if each["code"] == "L1"] == ["note"]
    jug = judged({**SEND, "holds": "H4=sanitiser", "hose_ends": "H4=jug"})
    assert not [each for each in jug["findings"] if each["code"] == "L1"]


def test_usual_values_stand_in_and_say_so():
    found = judged(WHIRL, WITHOUT_CURVE)
    assert found["flow_l_min"] == 8.0
    assert "flow of 8 L/min, for the rig gives no curve of P" in found["assumed"]
    assert not any("flow" in each for each in judged(WHIRL)["assumed"])
    both = {**SEND, "handles": "K=open, V1=chiller, V2=all"}
    found = judged(both, TWO.replace("passage: L", "passage: T"))
    assert "flow of 8 L/min, for the wort goes more than one way" in found["assumed"]


@pytest.mark.parametrize(
    ("points", "wanted"),
    [
        ([(12, 2.9)], (4 / 3 * 2.9, 24.0)),
        ([(0, 3.8), (12, 2.9)], (3.8, 12 * (3.8 / 0.9) ** 0.5)),
        ([(6, 3.5), (12, 2.6)], (3.8, 12 * (3.8 / 1.2) ** 0.5)),
    ],
)
def test_a_curve_of_fewer_points(points, wanted):
    """Published: EPANET's single-point curve; parabolas by hand (3.8 - Q2/120 through both)."""
    said = "".join(f"        - {{flow: {q} L/min, head: {h} m}}\n" for q, h in points)
    start, end = TWO.index("        - {flow: 0 L/min"), TWO.index("    - {name: V1")
    curve = curve_of(pipes_from(TWO[:start] + said + TWO[end:]).network, "P")
    assert (curve.shut_off_m, curve.runout_l_min) == pytest.approx(wanted)


def test_a_flow_handed_in_is_taken():
    pipes = pipes_from(TWO)
    settled, known = line_up_of(pipes, None, SEND)
    view = View(pipes.network, settled, known, pipes.limits, given=Hydraulics(5.0, 0.1))
    assert view.hydraulics.flow_l_min == 5.0


def test_cold_wort_behind_the_chiller_is_thicker():
    """Derived: kinematic viscosity at 19 C over that at 95 C is more than three."""
    thicker = {each.thicker for each in seen(SEND).line.segments if each.length_m > 0.0}
    assert min(thicker) == 1.0
    assert 3.0 < max(thicker) < 4.0
    assert isinstance(seen(SEND).line.segments[0], Segment)
