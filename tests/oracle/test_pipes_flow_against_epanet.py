"""Flow of whole line-ups of the rigs to start from against the EPANET engine, through wntr.

The pipes are laid here by hand, piece by piece, from the rigs' documents: bores, lengths, loss
coefficients as tables print them, heights. EPANET counts gravity as 32.2 ft/s2, which alone makes
it 0.04 % faster than standard gravity.
"""

import importlib
import warnings

import pytest

from wortline.app.files import File
from wortline.app.piping import line_up_of, pipes_of, verdict
from wortline.app.starting import starting_document
from wortline.pipes.line import viscosity_m2_s as wort_m2_s

with warnings.catch_warnings():
    # of the libraries that it loads, not ours
    warnings.simplefilter("ignore", DeprecationWarning)
    warnings.simplefilter("ignore", FutureWarning)
    wntr = importlib.import_module("wntr")

pytestmark = [
    pytest.mark.filterwarnings("ignore:Changing the headloss formula:UserWarning"),
    pytest.mark.filterwarnings("ignore::DeprecationWarning:wntr"),
    pytest.mark.filterwarnings("ignore::FutureWarning:wntr"),
]

EPANET_M2_S = 1.1e-5 * 0.3048**2
"""The viscosity that EPANET counts as 1."""
CURVE = ((0.0, 3.8), (12.0, 2.9), (24.0, 0.6))
HALF_INCH, WIDE = 0.0127, 0.0159


def fitting(k, bore_m=HALF_INCH):
    # EPANET has no pipe without length: a hair's breadth
    return bore_m, 1e-4, k


def hose(length_m, bore_m=HALF_INCH):
    return [(bore_m, length_m, 0.0), fitting(1.0, 0.8 * bore_m)]


SUCTION = [fitting(0.5), fitting(0.08), *hose(0.6, WIDE)]
TURN, PLATES = fitting(1.0), (HALF_INCH, 0.4, 5.0)
ARM = fitting(1.25, 0.0095)
END = fitting(1.0)
CHILL = [*SUCTION, TURN, *hose(0.5), PLATES, TURN]
# rig, handles, pieces, where the end is above the wort at a level of 26 cm
LINES = {
    "two-valves whirlpool": (
        "two-valves", "K=open, V1=arm, V2=kettle", [*SUCTION, TURN, *hose(1.2), ARM], 0.0,
    ),
    "two-valves chill-circulate": (
        "two-valves", "K=open, V1=chiller, V2=kettle", [*CHILL, *hose(1.2), END], 0.0,
    ),
    "two-valves transfer": (
        "two-valves", "K=open, V1=chiller, V2=fermenter", [*CHILL, *hose(1.5), END], -0.31,
    ),
    "one-valve whirlpool": (
        "one-valve", "K=open, V1=arm", [*SUCTION, TURN, *hose(1.2), ARM], 0.0,
    ),
    "one-valve chill-circulate": (
        "one-valve", "K=open, V1=chiller",
        [*SUCTION, TURN, *hose(0.5), PLATES, *hose(1.5), END], 0.0,
    ),
    "one-pump sanitise-loop": (
        "one-pump", "K=open, V=open",
        [*SUCTION, *hose(0.5), PLATES, fitting(0.08), *hose(1.5), END], 0.0,
    ),
    "coil mash-recirculate": (
        "coil", "K=open, V=open", [*SUCTION, fitting(0.08), *hose(1.5), END], 0.0,
    ),
}  # fmt: skip


def epanet_l_min(tmp_path, pieces, lift_m, viscosity_m2_s, points=CURVE):
    net = wntr.network.WaterNetworkModel()
    net.options.hydraulic.headloss = "D-W"
    net.options.hydraulic.viscosity = viscosity_m2_s / EPANET_M2_S
    net.options.hydraulic.accuracy = 1e-7
    net.options.hydraulic.trials = 500
    net.options.hydraulic.inpfile_units = "LPM"
    net.options.time.duration = 0
    net.add_reservoir("from", base_head=100.0)
    before = "from"
    if points:
        net.add_junction("pumped", elevation=0.0)
        net.add_curve("curve", "HEAD", [(flow / 60000.0, head_m) for flow, head_m in points])
        net.add_pump("pump", "from", "pumped", "HEAD", "curve")
        before = "pumped"
    net.add_reservoir("to", base_head=100.0 + lift_m)
    for place, (bore_m, length_m, k) in enumerate(pieces):
        after = "to" if place == len(pieces) - 1 else f"n{place}"
        if after != "to":
            net.add_junction(after, elevation=0.0)
        net.add_pipe(f"p{place}", before, after, length_m, bore_m, 1.5e-6, k)
        before = after
    results = wntr.sim.EpanetSimulator(net).run_sim(file_prefix=str(tmp_path / "line"))
    return float(results.link["flowrate"].iloc[0]["p0"]) * 60000.0


def judged(rig, handles, temp_c, **more):
    pipes = pipes_of(File("rig.yaml", starting_document("rig", rig).encode()))
    state = {"handles": handles, "pump": "on", "level": "26 cm", "wort": f"{temp_c:g} C", **more}
    return verdict(pipes, *line_up_of(pipes, None, state))


@pytest.mark.parametrize("temp_c", [95.0, 20.0])
@pytest.mark.parametrize("name", LINES)
def test_the_flow_of_a_line_up(tmp_path, name, temp_c):
    rig, handles, pieces, lift_m = LINES[name]
    found = judged(rig, handles, temp_c)
    viscosity_m2_s = wort_m2_s(temp_c, 12.0)
    assert found["regime"] == "turbulent"
    assert found["flow_range_l_min"] == [found["flow_l_min"]] * 2
    # hairs' breadths of pipe rub too: less than 2e-5 of the flow
    assert found["flow_l_min"] == pytest.approx(
        epanet_l_min(tmp_path, pieces, lift_m, viscosity_m2_s), rel=1e-3
    )


def test_wort_that_runs_down_by_itself(tmp_path):
    """A pump that stands still is an open pipe: K 2 here, common practice."""
    rig, handles, pieces, lift_m = LINES["two-valves transfer"]
    found = judged(rig, handles, 20.0, pump="off")
    still = [*pieces, fitting(2.0)]
    wanted = epanet_l_min(tmp_path, still, lift_m, wort_m2_s(20.0, 12.0), points=None)
    assert found["flow_l_min"] == pytest.approx(wanted, rel=1e-3)
