"""Law: every public function gives an array, member for member, what it gives the scalar."""

import inspect

import numpy as np
import pytest

from wortline.science import alcohol, ethanol, extract, gravity_rivals, instruments, water

MODULES = (alcohol, ethanol, extract, gravity_rivals, instruments, water)

# A plausible range for each parameter, by its name.
RANGES = {
    "temp_c": (1.0, 40.0),
    "sample_c": (1.0, 59.0),
    "calibration_c": (10.0, 25.0),
    "reference_c": (10.0, 25.0),
    "pressure_kpa": (30.0, 200.0),
    "elevation_m": (0.0, 4000.0),
    "gravity_sg": (0.99, 1.30),
    "reading_sg": (1.0, 1.10),
    "original_sg": (1.03, 1.09),
    "final_sg": (1.0, 1.02),
    "extract_plato": (-2.0, 60.0),
    "original_plato": (8.0, 20.0),
    "apparent_plato": (-1.0, 6.0),
    "real_plato": (2.0, 8.0),
    "reading_plato": (4.0, 9.0),
    "final_plato": (4.0, 9.0),
    "density_kg_m3": (820.0, 990.0),
    "wort_correction": (1.0, 1.06),
    "refractive_index": (1.334, 1.37),
    "extract_kg": (0.5, 6.0),
    "cold_l": (10.0, 30.0),
    "alcohol_abw": (0.01, 0.10),
    "ethanol_fraction": (0.01, 0.99),
    "attenuation": (0.5, 0.9),
}
# Wort is denser than ethanol: the one name that two functions fill differently.
DENSER = {"plato_from_density", "sg_from_density"}


def public_functions():
    """Return every public function that one of the modules defines."""
    return [
        function
        for module in MODULES
        for name, function in inspect.getmembers(module, inspect.isfunction)
        if not name.startswith("_") and function.__module__ == module.__name__
    ]


def arguments(function, count):
    """Return an array per parameter, spread over its range in orders that differ."""
    given = {}
    for place, name in enumerate(inspect.signature(function).parameters):
        low, high = RANGES[name]
        if function.__name__ in DENSER and name == "density_kg_m3":
            low, high = 995.0, 1200.0
        given[name] = np.roll(np.linspace(low, high, count), 2 * place)
    return given


def test_all_are_found():
    assert len(public_functions()) >= 46


@pytest.mark.parametrize("function", public_functions(), ids=lambda f: f.__name__)
def test_array_is_member_for_member_the_scalar(function):
    given = arguments(function, 7)
    together = np.asarray(function(**given))
    assert together.shape[-1:] == (7,)
    assert np.all(np.isfinite(together))
    for place in range(7):
        alone = function(**{name: float(values[place]) for name, values in given.items()})
        np.testing.assert_allclose(np.asarray(alone), together[..., place], rtol=1e-13, atol=1e-13)


@pytest.mark.parametrize("function", public_functions(), ids=lambda f: f.__name__)
def test_scalar_in_scalar_out_and_shapes_broadcast(function):
    given = arguments(function, 3)
    alone = function(**{name: float(values[0]) for name, values in given.items()})
    for value in alone if isinstance(alone, tuple) else (alone,):
        assert isinstance(value, float)
    first, *others = given
    column = {first: given[first][:, None], **{name: given[name] for name in others}}
    block = np.asarray(function(**column))
    assert block.shape[-2:] == ((3, 3) if others else (3, 1))
