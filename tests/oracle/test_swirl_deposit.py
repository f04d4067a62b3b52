"""Exchange between wort and floor against the exact solution of its rates, by scipy's expm."""

import numpy as np
import pytest
from scipy.linalg import expm

from wortline.science.deposit import RINGS, Floor, Trub, floor_action, moved_trub
from wortline.science.settling import mixed_share_left
from wortline.science.swirl_constants import SwirlConstants
from wortline.science.swirl_solids import solids_in_wort
from wortline.science.turning import Body

KETTLE = Body(0.18, 0.2947, 1007.0, 4.5e-7)


def floor_of(chance):
    """Rates of one class, drawn at random, the size of those in a kettle."""
    names = {"caught": 3e-3, "lifted": 0.02, "eroded": 2e-3, "setting": 4e-3, "inward": 0.01}
    return Floor(*(chance.random((1, RINGS, 1)) * most for most in names.values()))


def rates_of(floor):
    """The same as one matrix over wort, loose rings and set rings."""
    caught, lifted, eroded, setting, inward = (each[0, :, 0] for each in floor)
    matrix = np.zeros((1 + 2 * RINGS, 1 + 2 * RINGS))
    for ring in range(RINGS):
        loose, firm = 1 + ring, 1 + RINGS + ring
        to = {(0, loose): caught, (loose, 0): lifted, (firm, 0): eroded, (loose, firm): setting}
        for (giver, taker), rate in to.items():
            matrix[giver, giver] -= rate[ring]
            matrix[taker, giver] += rate[ring]
        if ring:
            matrix[loose, loose] -= inward[ring]
            matrix[loose - 1, loose] += inward[ring]
    return matrix


def after(floor, whole_s, steps):
    trub = Trub(np.ones((1, 1)), np.zeros((1, RINGS, 1)), np.zeros((1, RINGS, 1)))
    for _ in range(steps):
        trub = moved_trub(trub, floor, whole_s / steps)
    return np.concatenate([each.ravel() for each in trub])


@pytest.mark.parametrize("seed", range(4))
def test_steps_come_to_the_exact_exchange(seed):
    floor = floor_of(np.random.default_rng(seed))
    start = np.zeros(1 + 2 * RINGS)
    start[0] = 1.0
    exact = expm(rates_of(floor) * 600.0) @ start
    missed = [np.max(np.abs(after(floor, 600.0, steps) - exact)) for steps in (100, 400)]
    assert missed[0] < 0.02
    # first order in the step
    assert missed[1] < 0.35 * missed[0]


@pytest.mark.parametrize("steps", [1, 7, 300])
def test_no_solids_are_lost_or_made(steps):
    floor = floor_of(np.random.default_rng(9))
    assert np.sum(after(floor, 900.0, steps)) == pytest.approx(1.0, abs=1e-12)


def test_still_wort_clears_by_the_exponential_in_steps_of_any_length():
    """No swirl, no currents: each class by Martin and Nokes (1989), from memory, to the letter."""
    constants = SwirlConstants()
    solids = solids_in_wort(KETTLE, 30.0, 0.1, constants)
    floor = floor_action(0.0, KETTLE, solids, 0.0, 1.0, constants)
    classes = len(solids.settling_m_s)
    trub = Trub(np.ones((classes,)), np.zeros((classes, RINGS)), np.zeros((classes, RINGS)))
    for seconds in (5.0, 100.0, 300.0):
        trub = moved_trub(trub, floor, seconds)
    law = mixed_share_left(405.0 / 60.0, solids.settling_m_s, KETTLE.depth_m)
    np.testing.assert_allclose(trub.suspended, law, rtol=1e-6, atol=1e-9)
    # even over the floor: a quarter within half of the radius
    landed = trub.loose + trub.firm
    inner = np.sum(landed[:, : RINGS // 2], axis=1) / np.sum(landed, axis=1)
    np.testing.assert_allclose(inner, 0.25, rtol=1e-6)
