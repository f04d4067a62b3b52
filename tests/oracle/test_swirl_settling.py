"""Sinking grains: the equation of motion by scipy, other drag laws by fluids, mixed tanks."""

import numpy as np
import pytest
from fluids.drag import v_terminal
from scipy.integrate import solve_ivp
from scipy.linalg import expm
from scipy.stats import qmc

from wortline.science.settling import (
    floc_excess_kg_m3,
    mixed_share_left,
    settling_m_s,
    stokes_m_s,
)

GRAVITY_M_S2 = 9.80665  # 3rd CGPM, 1901
WORT_KG_M3, WORT_MPA_S = 1007.0, 0.45
GRAINS = [(20, 100.0), (80, 33.0), (200, 16.0), (500, 7.6), (250, 45.0), (400, 45.0), (800, 45.0)]
"""Size in um and excess density in kg/m3: break, then hop bits."""


def fallen_m_s(size_um, excess, density, viscosity_mpa_s, wake=0.15):
    """A sphere let go in liquid at rest, with added mass, until its speed no longer changes."""
    size, viscosity = 1e-6 * size_um, 1e-3 * viscosity_mpa_s
    volume = np.pi / 6 * size**3
    mass = (density + excess + 0.5 * density) * volume

    def slope(_, y):
        reynolds = density * abs(y[0]) * size / viscosity
        drag = 3 * np.pi * viscosity * size * y[0] * (1 + wake * reynolds**0.687)
        return [(excess * GRAVITY_M_S2 * volume - drag) / mass]

    long = 60 * mass / (3 * np.pi * viscosity * size)
    return solve_ivp(slope, (0, long), [0.0], method="LSODA", rtol=1e-10, atol=1e-16).y[0, -1]


@pytest.mark.parametrize(("size", "excess"), GRAINS)
def test_speed_at_which_a_falling_grain_ends(size, excess):
    found = settling_m_s(size, excess, WORT_KG_M3, WORT_MPA_S)
    assert found == pytest.approx(fallen_m_s(size, excess, WORT_KG_M3, WORT_MPA_S), rel=1e-6)
    creeping = fallen_m_s(size, excess, WORT_KG_M3, WORT_MPA_S, wake=0.0)
    assert stokes_m_s(size, excess, WORT_MPA_S) == pytest.approx(creeping, rel=1e-6)


@pytest.mark.parametrize(("size", "excess"), GRAINS)
@pytest.mark.parametrize("law", ["Clift", "Cheng", "Mikhailov_Freire", "Morsi_Alexander"])
def test_other_drag_laws(size, excess, law):
    """Fits by others to the same experiments on spheres: they differ by some per cent."""
    other = v_terminal(1e-6 * size, WORT_KG_M3 + excess, WORT_KG_M3, 1e-3 * WORT_MPA_S, Method=law)
    assert settling_m_s(size, excess, WORT_KG_M3, WORT_MPA_S) == pytest.approx(other, rel=0.06)


def test_stokes_by_the_library():
    other = v_terminal(20e-6, WORT_KG_M3 + 100, WORT_KG_M3, 1e-3 * WORT_MPA_S, Method="Stokes")
    assert stokes_m_s(20, 100.0, WORT_MPA_S) == pytest.approx(other, rel=1e-9)


def test_flocs_hold_more_liquid_as_they_grow():
    """A floc of n grains measures n^(1/D) grains across, so its excess density is n^(1-3/D)."""
    grains = np.array([1.0, 10.0, 1000.0])
    across = 20.0 * grains ** (1 / 2.2)
    expected = 100.0 * grains * (20.0 / across) ** 3
    np.testing.assert_allclose(floc_excess_kg_m3(across, 100.0, 2.2), expected, rtol=1e-12)


def left_by_diffusion(sinks, depth, mixing, times, cells=200):
    """A sinking suspension that is mixed by diffusion; the floor lets nothing up."""
    width = depth / cells
    falls, mixes = sinks / width, mixing / width**2
    rates = np.diag(np.full(cells, -falls)) + np.diag(np.full(cells - 1, falls), 1)
    both = np.full(cells, -2.0 * mixes)
    both[[0, -1]] = -mixes
    beside = np.full(cells - 1, mixes)
    rates += np.diag(both) + np.diag(beside, 1) + np.diag(beside, -1)
    even = np.full(cells, 1.0 / cells)
    return np.array([np.sum(expm(rates * t) @ even) for t in times])


SINKS, DEPTH = 4e-4, 0.3


def test_well_mixed_wort_clears_by_the_exponential():
    """Martin and Nokes' law is the limit of mixing much faster than sinking."""
    times = np.array([300.0, 750.0, 1500.0])
    law = mixed_share_left(times / 60.0, SINKS, DEPTH)
    missed = [
        np.max(np.abs(left_by_diffusion(SINKS, DEPTH, SINKS * DEPTH * mixing, times) - law))
        for mixing in (10.0, 100.0)
    ]
    assert missed[0] < 0.02
    assert missed[1] < 0.15 * missed[0]


def test_quiet_wort_clears_by_the_fall():
    """Without mixing all is down after depth over speed; then the exponential has a third left."""
    times = np.array([375.0, 750.0])
    quiet = left_by_diffusion(SINKS, DEPTH, 0.0, times, cells=400)
    np.testing.assert_allclose(quiet, [0.5, 0.0], atol=0.02)
    assert mixed_share_left(DEPTH / SINKS / 60.0, SINKS, DEPTH) == pytest.approx(np.exp(-1))


def test_grains_in_convection_rolls():
    """Grains carried by rolls that wander, 60 times as fast as they sink.

    The flow goes to nought at the floor, so that each grain lands by its own sinking alone. Rolls
    20 times as fast leave clear liquid on top for a while, so that in the end more has landed.
    """
    times = np.array([0.3, 0.6, 1.0])
    law = mixed_share_left(times * DEPTH / SINKS / 60.0, SINKS, DEPTH)
    np.testing.assert_allclose(left_in_rolls(60.0, times), law, atol=0.02)
    too_few = law - left_in_rolls(20.0, times)
    assert 0.02 < too_few[-1] < 0.06
    assert np.all(np.abs(too_few) < 0.06)


def left_in_rolls(fast, times, count=3000):
    """The share that floats, after times in depth over sinking speed."""
    dt = 0.03 / fast
    x, z = (qmc.Halton(2, seed=11).random(count) * [2.0, 1.0]).T
    floats, left = np.full(count, True), []

    def speeds(x, z, t):
        phase = np.pi * (x - 0.6 * np.sin(1.25 * fast * t) - 0.3 * np.sin(2.05 * fast * t))
        along = fast * np.sin(phase) * np.cos(np.pi * z)
        return along, -fast * np.cos(phase) * np.sin(np.pi * z) - 1.0

    for step in range(round(times[-1] / dt)):
        along, up = speeds(x, z, step * dt)
        along, up = speeds(x + 0.5 * dt * along, z + 0.5 * dt * up, (step + 0.5) * dt)
        x, z = x + dt * along, np.minimum(z + dt * up, 1.0)
        floats &= z > 0
        left.append(np.mean(floats))
    return np.array(left)[np.round(times / dt).astype(int) - 1]
