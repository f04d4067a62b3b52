"""Law: mash, kettle and colour give an array, member for member, what they give the scalar."""

import csv
import inspect
from importlib.resources import files

import numpy as np
import pytest

from wortline.science import (
    appearance,
    attenuation_rivals,
    colour,
    kettle,
    kettle_heating,
    mash,
    mash_rescue,
    mending,
    potential,
)

MODULES = (
    appearance, attenuation_rivals, colour, kettle, kettle_heating, mash, mash_rescue,
    mending, potential,
)  # fmt: skip

with files("wortline.data").joinpath("cie_1931_2deg_d65.csv").open(encoding="utf-8") as file:
    ROWS = np.array([[float(text) for text in row[:5]] for row in list(csv.reader(file))[1:]])
SCREEN = appearance.Viewing(ROWS[:, 0], ROWS[:, 1:4].T, ROWS[:, 4])

# Two members for every float parameter of a public function, by the parameter's name.
MEMBERS: dict[str, tuple[float, float]] = {
    "absorbance": (0.3, 1.1),
    "added_c": (100.0, 98.0),
    "air_c": (18.0, 5.0),
    "bulk_c": (97.0, 62.0),
    "colour_ebc": (8.0, 40.0),
    "conversion": (0.95, 0.9),
    "decoction_c": (98.0, 95.0),
    "diameter_m": (0.36, 0.45),
    "dry_loss_w": (320.0, 250.0),
    "efficiency": (0.95, 0.85),
    "extract": (0.77, 0.7),
    "extract_kg": (3.8, 5.2),
    "extract_plato": (12.0, 16.0),
    "fine_coarse_difference": (0.01, 0.02),
    "fine_grind_dry": (0.8, 0.75),
    "from_c": (62.0, 52.0),
    "gap_m2": (0.002, 0.01),
    "grain_c": (15.0, 22.0),
    "grain_kg": (5.0, 6.5),
    "heat_capacity_kj_k": (120.0, 90.0),
    "heat_ratio": (1.0, 1.1),
    "held_kg": (4.5, 5.5),
    "humidity": (0.5, 0.8),
    "jacket_m": (0.0, 0.01),
    "liquid_kg": (25.0, 30.0),
    "loss_w": (100.0, 200.0),
    "malt_colour_units": (9.0, 33.0),
    "malt_ebc": (4.0, 60.0),
    "malt_heat": (0.4, 0.38),
    "malt_lovibond": (3.0, 40.0),
    "mash_c": (66.0, 71.0),
    "mash_plato": (15.0, 11.0),
    "metal_kj_k": (3.0, 2.0),
    "moisture": (0.04, 0.05),
    "moisture_kg": (0.2, 0.3),
    "open_share": (1.0, 0.2),
    "path_m": (0.05, 0.01),
    "points": (36.0, 33.0),
    "power_w": (3000.0, 2200.0),
    "pressure_kpa": (101.0, 85.0),
    "ramp_k_min": (1.0, 0.7),
    "rest_min": (20.0, 45.0),
    "skin_c": (80.0, 50.0),
    "slaking_dk": (0.0, 1.5),
    "srm": (4.0, 20.0),
    "start_c": (98.0, 85.0),
    "surface_factor": (1.0, 1.5),
    "surface_m2": (0.1, 0.16),
    "temp_c": (30.0, 3.0),
    "to_c": (72.0, 68.0),
    "water_c": (70.0, 75.0),
    "water_kg": (25.0, 18.0),
    "wavelength_nm": (450.0, 600.0),
    "wetted_height_m": (0.25, 0.2),
    "wort_kg": (21.0, 26.0),
    "wort_l": (20.0, 24.0),
    "cold_l": (23.0, 28.0),
    "to_plato": (13.0, 9.0),
    "solids": (0.96, 1.0),
    "boil_off_l_h": (3.0, 2.5),
    "mark_l": (30.0, 25.0),
    "wort_c": (99.0, 66.0),
}
# Parameters that are sequences of members.
SEQUENCES: dict[str, list[tuple[float, float]]] = {
    "malt_kg": [(4.5, 5.0), (0.3, 0.5)],
    "malt_lovibond": [(3.0, 2.0), (60.0, 40.0)],
    "rest_c": [(63.0, 66.0), (72.0, 70.0)],
    "rest_min": [(30.0, 40.0), (20.0, 15.0)],
    "waters_kg": [(17.0, 15.0), (12.0, 14.0)],
}
# Shaped (..., 3) or (..., n), tested below by themselves.
SPECTRAL = {"tristimulus", "cielab", "srgb", "beer_xyz", "beer_srgb"}


def public_functions():
    for module in MODULES:
        for name, function in inspect.getmembers(module, inspect.isfunction):
            if function.__module__ == module.__name__ and not name.startswith("_"):
                yield function


def member(function, which):
    """Arguments of one member, or of both as arrays where `which` is None."""

    def value(pair):
        return np.array(pair) if which is None else pair[which]

    arguments = {}
    for name, parameter in inspect.signature(function).parameters.items():
        if "Sequence" in str(parameter.annotation):
            arguments[name] = [value(pair) for pair in SEQUENCES[name]]
        elif name != "spectrum":
            arguments[name] = value(MEMBERS[name])
    return arguments


def flat(result):
    """Every float of a result, tuples and named tuples opened up."""
    if isinstance(result, tuple):
        return [each for part in result for each in flat(part)]
    return [result]


@pytest.mark.parametrize(
    "function",
    [f for f in public_functions() if f.__name__ not in SPECTRAL],
    ids=lambda function: function.__name__,
)
def test_members_stay_apart(function):
    both = flat(function(**member(function, None)))
    for which in (0, 1):
        one = flat(function(**member(function, which)))
        assert len(one) == len(both)
        for array, scalar in zip(both, one, strict=True):
            assert np.ndim(scalar) == 0
            np.testing.assert_allclose(np.broadcast_to(array, 2)[which], scalar, rtol=1e-10)


@pytest.mark.parametrize("name", sorted(SPECTRAL - {"tristimulus", "cielab", "srgb"}))
def test_members_of_a_picture_stay_apart(name):
    function = getattr(appearance, name)
    both = function(np.array([4.0, 20.0]), np.array([0.05, 0.01]), SCREEN)
    assert both.shape == (2, 3)
    np.testing.assert_allclose(both[0], function(4.0, 0.05, SCREEN), rtol=1e-12)
    np.testing.assert_allclose(both[1], function(20.0, 0.01, SCREEN), rtol=1e-12)
    for after in (appearance.srgb, lambda xyz: appearance.cielab(xyz, both[0])):
        np.testing.assert_allclose(after(both)[1], after(both[1]), rtol=1e-12)
