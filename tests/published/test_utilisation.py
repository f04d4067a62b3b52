"""Traditional utilisation formulas against published values."""

import tomllib
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

from wortline.science import utilisation

CASES = "utilisation.toml"
TABLE = tomllib.loads((Path(__file__).parent / "tinseth_table.toml").read_text(encoding="utf-8"))


def tinseth_slope_per_min(gravity_sg, boil_min):
    around = utilisation.utilisation_tinseth_1997(gravity_sg, boil_min + np.array([-0.01, 0.01]))
    return np.diff(around)[0] / 0.02


def tinseth_ibu(alpha_mg_l, gravity_sg, boil_min):
    return alpha_mg_l * utilisation.utilisation_tinseth_1997(gravity_sg, boil_min)


def boil_and_rest(gravity_sg, boil_min, temp_c, rest_min):
    hot = utilisation.tinseth_hot_time(
        np.array([100.0, temp_c]), np.array([boil_min, rest_min]), np.array([True, False])
    )
    return utilisation.utilisation_tinseth_hosom_2015(hot, gravity_sg, 0.0, boil_min + rest_min)


def rested_only(gravity_sg, temp_c, rest_min):
    return boil_and_rest(gravity_sg, 0.0, temp_c, rest_min)


def added_by_rest(gravity_sg, boil_min, temp_c, rest_min):
    plain = utilisation.utilisation_tinseth_1997(gravity_sg, boil_min)
    return boil_and_rest(gravity_sg, boil_min, temp_c, rest_min) - plain


HERE = SimpleNamespace(
    tinseth_slope_per_min=tinseth_slope_per_min,
    tinseth_ibu=tinseth_ibu,
    rested_only=rested_only,
    added_by_rest=added_by_rest,
)


def test_published(case, agrees):
    agrees(case, utilisation, HERE)


@pytest.mark.parametrize("minutes", TABLE["utilisation"])
def test_tinseth_table(minutes):
    found = utilisation.utilisation_tinseth_1997(np.array(TABLE["gravity_sg"]), float(minutes))
    printed = TABLE["utilisation"][minutes]
    np.testing.assert_allclose(found, printed, rtol=0, atol=TABLE["tolerance"])


def test_tinseth_table_is_whole():
    assert sum(len(row) for row in TABLE["utilisation"].values()) == 121


def test_the_rate_is_cut_at_one_while_resting():
    """Published, seen: Hosom 2015: the fit gives 1.009 at 100 C and is cut there."""
    rested = rested_only(1.05, 100.0, 20.0)
    assert rested == pytest.approx(utilisation.utilisation_tinseth_1997(1.05, 20.0))


def test_boiling_at_altitude_counts_as_boiling():
    """Published, seen: Hosom 2015 weights only what comes after heat-off."""
    hot = utilisation.tinseth_hot_time(np.array([94.0]), np.array([60.0]), np.array([True]))
    found = utilisation.utilisation_tinseth_hosom_2015(hot, 1.05, 0.0, 60.0)
    assert found == pytest.approx(utilisation.utilisation_tinseth_1997(1.05, 60.0))


def test_garetz_agrees_with_its_own_rounds():
    """Law: the bitterness and its hopping rate factor agree, as the book's rounds would have it."""
    first = 150.0 * utilisation.utilisation_garetz_1994(1.06, 60.0)
    first /= utilisation.altitude_factor_garetz_1994(600.0)
    found = 0.0
    for _ in range(60):
        found = first / utilisation.hopping_rate_factor_garetz_1994(found)
    assert utilisation.ibu_garetz_1994(150.0, 1.06, 60.0, 600.0) == pytest.approx(found, rel=1e-9)
    at_the_sea = utilisation.ibu_garetz_1994(150.0, 1.06, 60.0)
    assert at_the_sea == pytest.approx(utilisation.ibu_garetz_1994(150.0, 1.06, 60.0, 0.0))


RIVALS_AT_60_MIN = {
    "tinseth": (0.231, 0.0005),  # Tinseth 1997, his table at 1.050, as printed
    "rager": (0.3082, 0.00005),  # tanh form of Rager 1990, worked out from its printed constants
    "garetz": (0.211, 0.0005),  # smooth form of Garetz 1994, constants from memory
    "tutzauer": (0.300, 0.0005),  # Tutzauer 1992, worked out from its printed constants
}


def test_rivals_stand_in_one_table():
    """A name leads to its own formula: no two of them print the same here."""
    assert utilisation.UTILISATION.keys() == RIVALS_AT_60_MIN.keys()
    for name, (printed, half_a_digit) in RIVALS_AT_60_MIN.items():
        found = utilisation.UTILISATION[name](1.050, 60.0)
        assert found == pytest.approx(printed, abs=half_a_digit), name
