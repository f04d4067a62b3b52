"""Friction factors and fittings against the library fluids."""

import numpy as np
import pytest
from fluids.filters import round_edge_screen, square_edge_screen
from fluids.fittings import bend_rounded, contraction_sharp, diffuser_sharp, entrance_sharp
from fluids.friction import Churchill_1977, Colebrook, Swamee_Jain_1976, friction_laminar

from wortline.science import friction
from wortline.science.fittings import FITTINGS, barb_k, sudden_contraction_k, sudden_expansion_k
from wortline.science.screen import mesh_k_idelchik_1966

RE = np.geomspace(50.0, 1e6, 80)
ROUGHNESS = [0.0, 1.2e-4, 5e-3]


@pytest.mark.parametrize("roughness", ROUGHNESS)
def test_churchill(roughness):
    expected = [Churchill_1977(number, roughness) for number in RE]
    np.testing.assert_allclose(
        friction.friction_churchill_1977(RE, roughness), expected, rtol=1e-12
    )


@pytest.mark.parametrize("roughness", ROUGHNESS)
def test_swamee_jain(roughness):
    """The library writes it with the natural logarithm and rounds its factor."""
    turbulent = RE[RE > 4000]
    expected = [Swamee_Jain_1976(number, roughness) for number in turbulent]
    found = friction.friction_swamee_jain_1976(turbulent, roughness)
    np.testing.assert_allclose(found, expected, rtol=1e-5)


def test_laminar():
    laminar = RE[RE < 2000]
    expected = [friction_laminar(number) for number in laminar]
    np.testing.assert_allclose(friction.friction_laminar(laminar), expected, rtol=1e-12)
    # 0.05 % of the smooth passage reaches below 1900
    named = friction.friction_churchill_1977(laminar[laminar < 1900], 1e-3)
    np.testing.assert_allclose(named, 64.0 / laminar[laminar < 1900], rtol=5e-4)


def test_churchill_stays_near_colebrook():
    """Published: an explicit fit of Colebrook; 3 % for the pipes and flows of a rig."""
    for roughness in (1e-6, 1.2e-4, 1e-3):
        turbulent = np.geomspace(4000.0, 1e5, 20)
        expected = [Colebrook(number, roughness) for number in turbulent]
        found = friction.friction_churchill_1977(turbulent, roughness)
        np.testing.assert_allclose(found, expected, rtol=0.03)


def test_sudden_changes_of_bore():
    """The library's contraction is Rennels's, a fifth to a third above Crane's."""
    assert sudden_expansion_k(0.010, 0.0127) == pytest.approx(diffuser_sharp(0.010, 0.0127))
    rennels = contraction_sharp(0.0127, 0.010)
    assert 0.7 * rennels < sudden_contraction_k(0.0127, 0.010) < rennels
    barb = FITTINGS["barb or coupler"]
    assert barb.least <= barb_k(0.0127, 0.010) <= barb.most


def test_fittings_of_the_table():
    bend = FITTINGS["smooth bend"]
    assert bend.least <= bend_rounded(Di=0.0127, angle=90, bend_diameters=1.5, Re=2e4) <= bend.most
    entrance = FITTINGS["flush entrance"]
    assert entrance.k == pytest.approx(entrance_sharp(), abs=0.1)


@pytest.mark.parametrize("free_share", [0.5, 0.45, 0.3, 0.2, 0.1])
def test_mesh_between_round_wire_and_sharp_edges(free_share):
    """Blevins's printed table for square edges is up to 15 % below Idelchik's formula."""
    found = mesh_k_idelchik_1966(free_share)
    assert found == pytest.approx(square_edge_screen(free_share), rel=0.16)
    assert found > 2.0 * round_edge_screen(free_share, 1000.0)
