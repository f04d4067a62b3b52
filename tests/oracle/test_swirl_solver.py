"""The solver of swirling flow held against exact solutions, theory, experiments and itself."""

import numpy as np
import pytest
from axisymmetric_swirl import (
    Swirl,
    Vessel,
    crowded,
    crowded_at_both_ends,
    kettle,
    spun_down,
)
from scipy.special import jn_zeros, jv


def radial(cells, pull):
    sides = 1.0 - crowded(cells, 1.0, pull)[::-1]
    sides[0] = 0.0
    return sides


def diffused(nu, t, rc, zc, depth):
    """Angular momentum of rigid rotation whose floor and side stopped, by friction alone.

    The exact series: Bessel functions over the radius, sines over the depth (Carslaw, H. S.,
    Jaeger, J. C. (1959). Conduction of Heat in Solids, 2nd edition, Oxford; from memory).
    """
    zeros = jn_zeros(1, 60)
    over_radius = -2 / (zeros * jv(0, zeros)) * np.exp(-(zeros**2) * nu * t)
    waves = (np.arange(60) + 0.5) * np.pi / depth
    over_depth = 2 / (waves * depth) * np.exp(-(waves**2) * nu * t)
    speed = over_radius @ jv(1, np.outer(zeros, rc))
    return (speed * rc)[:, None] * (over_depth @ np.sin(np.outer(waves, zc)))


def test_friction_alone_is_the_exact_series():
    missed = []
    for cells, longest in ((24, 2.0**-5), (32, 2.0**-7)):
        swirl = Swirl(100.0, radial(cells, 1.2), crowded(cells, 1.0, 1.2), Vessel(), flows=False)
        swirl.run(5.0, longest=longest)
        exact = diffused(0.01, swirl.t, swirl.rc, swirl.zc, 1.0)
        missed.append(float(np.max(np.abs(swirl.gamma - exact)) / np.max(exact)))
    assert missed[0] < 0.006
    # first order in the step
    assert missed[1] < 0.4 * missed[0]


def test_friction_alone_ends_in_the_slowest_mode():
    """A long column: J1 between stopped side walls, decaying by 3.8317 squared = 14.68."""
    vessel = Vessel(1.0, floor=None, side=0.0, top=None)
    swirl = Swirl(1.0, radial(40, 1.0), crowded(4, 1.0, 0.5), vessel, flows=False)
    record = swirl.run(0.4, longest=2.0**-11)
    rate = np.log(record.at("momentum", 0.2) / record.at("momentum", 0.4)) / 0.2
    assert rate == pytest.approx(14.682, rel=0.01)


def test_a_small_change_of_rate_dies_in_the_time_of_greenspan_and_howard():
    """The interior follows exp(-t/T), T = H / sqrt(nu Om), within a share sqrt(E) of it.

    Greenspan, H. P., Howard, L. N. (1963). Journal of Fluid Mechanics 17, 385-404: linear theory,
    exact as the Ekman number E = nu / (Om H^2) goes to nought.
    """
    rates = {}
    for ekman, depth, cells, pull in (
        (1e-3, 1.0, (24, 40), 2.0),
        (1e-4, 1.0, (28, 56), 2.4),
        (1e-4, 0.5, (28, 56), 2.4),
    ):
        unit = 1 / np.sqrt(ekman)
        swirl = kettle(1 / (ekman * depth**2), depth, cells, pull=pull, turning=0.99)
        record = swirl.run(1.5 * unit)
        t = np.linspace(0.2, 1.5, 60)
        left = (record.at("core", t * unit) - 0.99) / 0.01
        rates[ekman, depth] = -np.polyfit(t, np.log(left), 1)[0]
        assert rates[ekman, depth] == pytest.approx(1.0, abs=4 * np.sqrt(ekman))
    # it comes closer to theory as the layer gets thinner
    assert abs(rates[1e-4, 1.0] - 1) < 0.5 * abs(rates[1e-3, 1.0] - 1)


@pytest.mark.parametrize(("re", "bubbles"), [(900.0, 0), (1290.0, 1)])
def test_bubbles_on_the_axis_under_a_turning_lid(re, bubbles):
    """A closed can 1.5 radii deep, one end turning: no bubble at 900, one at 1290.

    Escudier, M. P. (1984). Observations of the flow produced in a cylindrical container by a
    rotating endwall. Experiments in Fluids 2, 189-196; Lopez, J. M. (1990). Journal of Fluid
    Mechanics 221, 533-552 (both from memory).
    """
    vessel = Vessel(1.5, floor=1.0, side=0.0, top=0.0)
    vertical = crowded_at_both_ends(36, 1.5, 1.0)
    swirl = Swirl(re, radial(24, 0.8), vertical, vessel)
    swirl.gamma[:] = 0.0
    swirl.run(200.0)
    turns_back = np.count_nonzero(np.diff(np.sign(swirl.w[0])))
    assert turns_back == 2 * bubbles


def test_nothing_moves_if_all_walls_turn_along():
    swirl = kettle(1000.0, 1.0, (16, 24), turning=1.0)
    swirl.run(20.0)
    np.testing.assert_allclose(swirl.gamma, np.broadcast_to(swirl.rc[:, None] ** 2, (16, 24)))
    assert np.max(np.abs(swirl.psi)) < 1e-12


def test_no_cell_gains_or_loses_liquid():
    swirl = kettle(2000.0, 1.0, (24, 32))
    swirl.run(10.0)
    r_u = np.zeros((25, 32))
    r_u[1:-1] = swirl.u * swirl.r[1:-1, None]
    w = np.zeros((24, 33))
    w[:, 1:-1] = swirl.w
    gained = np.diff(r_u, axis=0) * swirl.dz + np.diff(w, axis=1) * (swirl.rc * swirl.dr)[:, None]
    assert np.max(np.abs(gained)) < 1e-13
    assert np.max(np.abs(swirl.u)) > 0.1


@pytest.fixture(scope="module")
def grids():
    return [spun_down(1000.0, 1.0, cells, until=2.0) for cells in ((24, 32), (32, 48))]


def test_finer_cells_change_little(grids):
    coarse, fine = grids
    np.testing.assert_allclose(coarse["momentum"], fine["momentum"], rtol=0.004)
    np.testing.assert_allclose(coarse["core"], fine["core"], rtol=0.02)


def test_torque_is_the_angular_momentum_that_is_lost(grids):
    """Newton's second law, torque from the slopes at the walls alone; first order in the step."""
    missed = [abs(run["torque_over_loss"] - 1) for run in grids]
    finer_steps = spun_down(1000.0, 1.0, (24, 32), until=2.0, courant=0.4)
    assert max(missed) < 0.005
    assert abs(finer_steps["torque_over_loss"] - 1) < 0.6 * missed[0]
