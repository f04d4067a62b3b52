"""Flow of whole line-ups of the rigs to start from against the EPANET engine, through wntr.

The pipes are laid here by hand, piece by piece, from the rigs' documents: bores, lengths, loss
coefficients as tables print them, heights.
"""

from typing import NamedTuple

import pytest

from wortline.app.files import File
from wortline.app.piping import line_up_of, pipes_of, verdict
from wortline.app.starting import starting_document
from wortline.pipes.line import viscosity_m2_s as wort_m2_s

CURVE = ((0.0, 3.8), (12.0, 2.9), (24.0, 0.6))
HALF_INCH, WIDE = 0.0127, 0.0159


class Piece(NamedTuple):
    bore_m: float
    length_m: float
    k: float
    roughness_m: float = 1.5e-6


def fitting(k, bore_m=HALF_INCH):
    # EPANET has no pipe without length: a hair's breadth
    return Piece(bore_m, 1e-4, k)


def hose(length_m, bore_m=HALF_INCH):
    return [Piece(bore_m, length_m, 0.0), fitting(1.0, 0.8 * bore_m)]


SUCTION = [fitting(0.5), fitting(0.08), *hose(0.6, WIDE)]
TURN, PLATES = fitting(1.0), Piece(HALF_INCH, 0.4, 5.0)
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


def judged(rig, handles, temp_c, **more):
    pipes = pipes_of(File("rig.yaml", starting_document("rig", rig).encode()))
    state = {"handles": handles, "pump": "on", "level": "26 cm", "wort": f"{temp_c:g} C", **more}
    return verdict(pipes, *line_up_of(pipes, None, state))


@pytest.mark.parametrize("temp_c", [95.0, 20.0])
@pytest.mark.parametrize("name", LINES)
def test_the_flow_of_a_line_up(epanet, name, temp_c):
    rig, handles, pieces, lift_m = LINES[name]
    found = judged(rig, handles, temp_c)
    viscosity_m2_s = wort_m2_s(temp_c, 12.0)
    assert found["regime"] == "turbulent"
    assert found["flow_range_l_min"] == [found["flow_l_min"]] * 2
    # hairs' breadths of pipe rub too: less than 2e-5 of the flow
    assert found["flow_l_min"] == pytest.approx(
        epanet(pieces, lift_m, viscosity_m2_s, CURVE).l_min, rel=1e-3
    )


def test_wort_that_runs_down_by_itself(epanet):
    """A pump that stands still is an open pipe: K 2 here, common practice."""
    rig, handles, pieces, lift_m = LINES["two-valves transfer"]
    found = judged(rig, handles, 20.0, pump="off")
    still = [*pieces, fitting(2.0)]
    wanted = epanet(still, lift_m, wort_m2_s(20.0, 12.0)).l_min
    assert found["flow_l_min"] == pytest.approx(wanted, rel=1e-3)
