"""Law: flow and chilling give an array, member for member, what they give the scalar."""

import dataclasses
import inspect

import numpy as np
import pytest

from wortline.science import (
    chill_ways,
    chiller,
    chilling,
    exchanger,
    fittings,
    friction,
    ice,
    mains_water,
    pipe_flow,
    pump,
    screen,
    transfer,
)
from wortline.science.chiller import Batch, Chiller
from wortline.science.pipe_flow import Segment
from wortline.science.pump import PumpCurve

MODULES = (
    chill_ways, chiller, chilling, exchanger, fittings, friction, ice, mains_water, pipe_flow, pump,
    screen, transfer,
)  # fmt: skip
# Gives a function, which line_loss_m asks.
WITHOUT_NUMBERS = {"loss_of_line"}

# Two members for every float parameter of a public function, by the parameter's name.
MEMBERS: dict[str, tuple[float, float]] = {
    "barb_m": (0.010, 0.008),
    "bath_c": (0.5, 2.0),
    "blinded": (0.2, 0.9),
    "body_kj_k": (0.1, 0.2),
    "bore_m": (0.0127, 0.0095),
    "capacity_ratio": (0.6, 1.0),
    "chill_w_k": (290.0, 310.0),
    "closed_share": (0.2, 0.7),
    "cold_c": (12.0, 25.0),
    "cold_ratio": (0.8, 1.2),
    "cold_share": (0.4, 0.3),
    "cold_w_k": (700.0, 0.0),
    "cooling_w": (100.0, 60.0),
    "day": (20.0, 200.0),
    "density_kg_m3": (998.0, 1040.0),
    "drop_m": (0.6, -0.2),
    "duty_l_min": (12.0, 9.0),
    "duty_m": (2.4, 2.0),
    "effectiveness": (0.7, 0.4),
    "exponent": (0.8, 0.65),
    "far_l_min": (24.0, 20.0),
    "far_m": (0.6, 0.9),
    "flow_l_min": (8.0, 2.0),
    "free_share": (0.45, 0.3),
    "gain_w": (0.0, 40.0),
    "heat_capacity_kj_k": (85.0, 110.0),
    "held_kg": (0.12, 0.15),
    "held_l": (0.5, 0.9),
    "hose_m": (0.0127, 0.0159),
    "ice_kg": (3.0, 5.0),
    "hot_c": (97.0, 66.0),
    "hot_ratio": (1.0, 1.4),
    "hot_share": (0.5, 0.4),
    "hot_w_k": (410.0, 520.0),
    "leaves_c": (10.0, 5.0),
    "length_m": (1.2, 7.5),
    "lift_m": (0.5, -0.6),
    "liquid_kj_kg_k": (4.19, 4.0),
    "mesh_m2": (0.004, 0.002),
    "mean_c": (10.0, 20.0),
    "month": (2.0, 8.0),
    "moved_l": (5.0, 18.0),
    "narrow_m": (0.010, 0.008),
    "near_l_min": (12.0, 10.0),
    "near_m": (2.9, 2.7),
    "ntu": (1.5, 0.5),
    "opening_m": (5e-4, 8e-4),
    "range_dk": (22.0, 15.0),
    "relative_roughness": (1e-4, 0.0),
    "reynolds": (3000.0, 40000.0),
    "shaft_w": (15.0, 40.0),
    "shut_off_m": (3.8, 3.5),
    "since_min": (3.0, 9.0),
    "sink_m2": (0.08, np.inf),
    "source_m2": (0.1, 0.12),
    "speed_ratio": (0.7, 1.1),
    "start_c": (98.0, 80.0),
    "switch_c": (60.0, 50.0),
    "ua_w_k": (600.0, 450.0),
    "viscosity_m2_s": (4e-7, 6e-6),
    "viscosity_mpa_s": (0.4, 1.3),
    "wanted_c": (66.0, 20.0),
    "water_c": (12.0, 15.0),
    "water_in_c": (14.0, 12.0),
    "water_l_min": (9.0, 7.0),
    "wide_m": (0.0127, 0.0159),
    "wort_c": (98.0, 70.0),
    "wort_in_c": (96.0, 90.0),
    "wort_l_min": (5.0, 4.0),
    "wort_out_c": (31.0, 40.0),
    "wire_m": (3e-4, 4e-4),
}
LINE = (((0.0127, 0.010), (2.5, 4.0), (3.0, 1.0)), ((0.010, 0.008), (0.0, 0.2), (5.0, 2.0)))


def public_functions():
    for module in MODULES:
        for name, function in inspect.getmembers(module, inspect.isfunction):
            own = function.__module__ == module.__name__ and not name.startswith("_")
            if own and name not in WITHOUT_NUMBERS:
                yield function


def member(function, which):
    """Arguments of one member, or of both as arrays where `which` is None."""

    def value(pair):
        return np.array(pair) if which is None else pair[which]

    made = {
        "batch": lambda: Batch(value((20.8, 30.0)), value((4.0, 3.9)), value((5.0, 0.0))),
        "chiller": lambda: Chiller(
            value((700.0, 400.0)),
            value((6.0, 5.0)),
            value((10.0, 8.0)),
            value((6.0, 7.0)),
            value((10.0, 9.0)),
            value((0.65, 0.8)),
            value((0.5, 0.0)),
            value((0.4, 0.2)),
        ),
        "curve": lambda: PumpCurve(value((3.8, 3.5)), value((26.0, 22.0)), value((1.8, 2.0))),
        "segments": lambda: [Segment(*(value(field) for field in each)) for each in LINE],
        "flow_after_l_min": lambda: lambda moved_l: value((8.0, 6.0)) - moved_l / 10.0,
    }
    return {
        name: made[name]() if name in made else value(MEMBERS[name])
        for name in inspect.signature(function).parameters
        if name not in {"arrangement", "coil", "friction", "south"}
    }


def flat(result):
    """Every number of a result, tuples and segments opened up."""
    if dataclasses.is_dataclass(result):
        result = dataclasses.astuple(result)
    if isinstance(result, tuple):
        return [each for part in result for each in flat(part)]
    return [result]


@pytest.mark.parametrize("function", [*public_functions()], ids=lambda each: each.__name__)
def test_members_stay_apart(function):
    both = flat(function(**member(function, None)))
    for which in (0, 1):
        one = flat(function(**member(function, which)))
        assert len(one) == len(both)
        for array, scalar in zip(both, one, strict=True):
            assert np.ndim(scalar) == 0
            found = np.broadcast_to(array, 2)[which]
            if isinstance(scalar, str):
                assert found == scalar
            else:
                np.testing.assert_allclose(found, scalar, rtol=1e-9)
