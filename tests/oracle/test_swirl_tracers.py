"""Grains in the solved flow: where they land while the swirl dies."""

import numpy as np
import pytest
from axisymmetric_swirl import kettle
from scipy.stats import qmc

RE, DEPTH = 2000.0, 1.0
SINKING = (3.0, 1.0, 0.3, 0.1)
"""Speed of sinking over the upwelling out of the bottom layer at the start."""
EACH = 2000


class Grains:
    """Grains that follow the flow and sink; each side of a cell lets pass what it does in the flow.

    Within a cell the flow through it changes in a straight line from side to side, so that the
    field gains and loses no liquid either (Pollock, D. W. (1988). Ground Water 26, 743-750).
    """

    def __init__(self, sinking):
        even = qmc.Halton(2, seed=4).random(EACH)
        self.r = np.tile(np.sqrt(even[:, 0]), len(sinking))
        self.z = np.tile(DEPTH * even[:, 1], len(sinking))
        self.sinking = np.repeat(sinking, EACH)
        self.landed_at = np.full(self.r.shape, np.nan)

    def speeds(self, swirl, r, z):
        i = np.clip(np.searchsorted(swirl.r, r) - 1, 0, len(swirl.rc) - 1)
        j = np.clip(np.searchsorted(swirl.z, z) - 1, 0, len(swirl.zc) - 1)
        psi = swirl.psi
        inner = -(psi[i, j + 1] - psi[i, j]) / swirl.dz[j]
        outer = -(psi[i + 1, j + 1] - psi[i + 1, j]) / swirl.dz[j]
        share = (r**2 - swirl.r[i] ** 2) / (swirl.r[i + 1] ** 2 - swirl.r[i] ** 2)
        area = swirl.rc[i] * swirl.dr[i]
        below = (psi[i + 1, j] - psi[i, j]) / area
        above = (psi[i + 1, j + 1] - psi[i, j + 1]) / area
        up = below + (above - below) * (z - swirl.z[j]) / swirl.dz[j]
        return (inner + (outer - inner) * share) / r, up - self.sinking

    def step(self, swirl, dt):
        out, up = self.speeds(swirl, self.r, self.z)
        middle = np.clip(self.r + 0.5 * dt * out, 1e-4, 1.0)
        out, up = self.speeds(swirl, middle, np.clip(self.z + 0.5 * dt * up, 0.0, DEPTH))
        floats = np.isnan(self.landed_at)
        self.r = np.where(floats, np.clip(self.r + dt * out, 1e-4, 1.0), self.r)
        self.z = np.where(floats, np.minimum(self.z + dt * up, DEPTH), self.z)
        lands = floats & (self.z <= 0.0)
        self.landed_at[lands] = self.r[lands]

    def per_class(self, what):
        return what.reshape(-1, EACH).mean(axis=1)


@pytest.fixture(scope="module")
def grains():
    swirl = kettle(RE, DEPTH, (28, 40))
    upwelling = 1.3494 / np.sqrt(RE)
    grains = Grains(np.array([*SINKING, 0.0]) * upwelling)
    swirl.run(DEPTH * np.sqrt(RE), courant=0.4, each=grains.step)
    return grains


def test_what_lands_is_what_sinks(grains):
    """The flow neither gathers nor thins grains: they land as if the wort stood still.

    Law: the grains' speed field has no divergence, so their number per litre stays as it was until
    the clear liquid from above, stirred down by the flow, gets to the floor. Landed after one
    spin-down time: the fall over the depth, less a little where much has landed.
    """
    landed = grains.per_class(~np.isnan(grains.landed_at))
    plug = np.minimum(1.3494 * np.array(SINKING), 1.0)
    assert landed[0] == pytest.approx(1.0, abs=0.005)
    assert 0.8 < landed[1] < 1.0
    np.testing.assert_allclose(landed[2:4], plug[2:], atol=0.03)
    assert landed[4] == 0.0


def test_grains_do_not_land_in_a_heap(grains):
    """Where they land is even over the floor: a quarter within half of the radius.

    The bottom layer alone makes no cone; what piles up the solids is stress and creep on the floor.
    """
    landed = ~np.isnan(grains.landed_at)
    inside = grains.per_class(landed & (grains.landed_at < 0.5))[:4] / grains.per_class(landed)[:4]
    np.testing.assert_allclose(inside[2:], 0.25, atol=0.05)
    # where the clear liquid has reached the floor, at the side first, a little more in the middle
    assert np.all((inside[:2] > 0.25) & (inside[:2] < 0.37))


def test_grains_that_do_not_sink_stay_even(grains):
    here = slice(4 * EACH, 5 * EACH)
    assert np.mean(grains.r[here] < np.sqrt(0.5)) == pytest.approx(0.5, abs=0.03)
    assert np.mean(grains.z[here] < 0.5 * DEPTH) == pytest.approx(0.5, abs=0.03)
