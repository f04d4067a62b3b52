"""The EPANET engine, through wntr, for every test that holds a flow against it.

EPANET counts gravity as 32.2 ft/s2, which alone makes it 0.04 % faster than standard gravity.
"""

import importlib
import warnings
from types import SimpleNamespace

import pytest

EPANET_M2_S = 1.1e-5 * 0.3048**2
"""The viscosity that EPANET counts as 1."""


@pytest.fixture
def epanet(tmp_path):
    """Return a function that lets EPANET find the flow between two reservoirs.

    It takes pieces of pipe (anything with `bore_m`, `length_m`, `k` and `roughness_m`), how far the
    second reservoir lies above the first, the viscosity, and the points and speed of a pump; it
    gives the flow in L/min, and the input as it was written.
    """

    def run(pieces, lift_m, viscosity_m2_s, points=None, speed=1.0):
        # the warnings are of the libraries that wntr loads, and of its choice of friction law
        # before there is a pipe
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            wntr = importlib.import_module("wntr")
            network = _laid(wntr, pieces, lift_m, viscosity_m2_s, points, speed)
            results = wntr.sim.EpanetSimulator(network).run_sim(file_prefix=str(tmp_path / "line"))
        return SimpleNamespace(
            l_min=float(results.link["flowrate"].iloc[0]["p0"]) * 60000.0,
            written=(tmp_path / "line.inp").read_text(),
        )

    return run


def _laid(wntr, pieces, lift_m, viscosity_m2_s, points, speed):
    network = wntr.network.WaterNetworkModel()
    network.options.hydraulic.headloss = "D-W"
    network.options.hydraulic.viscosity = viscosity_m2_s / EPANET_M2_S
    network.options.hydraulic.accuracy = 1e-7
    network.options.hydraulic.trials = 500
    network.options.hydraulic.inpfile_units = "LPM"
    network.options.time.duration = 0
    network.add_reservoir("from", base_head=100.0)
    before = "from"
    if points is not None:
        network.add_junction("pumped", elevation=0.0)
        curve = [(flow / 60000.0, head_m) for flow, head_m in points]
        network.add_curve("curve", "HEAD", curve)
        network.add_pump("pump", "from", "pumped", "HEAD", "curve", speed=speed)
        before = "pumped"
    network.add_reservoir("to", base_head=100.0 + lift_m)
    for place, each in enumerate(pieces):
        after = "to" if place == len(pieces) - 1 else f"n{place}"
        if after != "to":
            network.add_junction(after, elevation=0.0)
        network.add_pipe(
            f"p{place}", before, after, each.length_m, each.bore_m, each.roughness_m, each.k
        )
        before = after
    return network
