"""One step of the trub against the same equations written out and solved by dense algebra."""

import numpy as np
import pytest

from wortline.science.deposit import RINGS, Floor, Trub, floor_action, moved_trub, rings_share
from wortline.science.swirl_constants import SwirlConstants
from wortline.science.swirl_solids import Solids
from wortline.science.turning import Body

RADIUS, DEPTH, RHO, NU = 0.18, 0.30, 1000.0, 4.4e-7
BODY = Body(RADIUS, DEPTH, RHO, NU)
# Constants that are no round numbers, so that each stands out.
DRAWN = SwirlConstants(
    suspension=1.3,
    entrained_per_min=2.7,
    set_strength_pa=0.07,
    set_min=4.3,
    eroded_per_min=0.023,
    creep=0.41,
)
SOLIDS = Solids(
    size_m=np.array([80e-6, 250e-6, 800e-6]),
    settling_m_s=np.array([2.5e-4, 2.8e-3, 1.45e-2]),
    moving_m_s=np.array([1.6e-3, 2.7e-3, 3.2e-3]),
    load_mg_l=np.array([1.0, 1.0, 1.0]),
)
MIDDLE = (np.arange(RINGS) + 0.5) / 12.0


@pytest.mark.parametrize("turning", [0.02, 0.3, 1.0, 2.3])
@pytest.mark.parametrize("stir", [0.0, 0.0048])
@pytest.mark.parametrize("floor_open", [1.0, 0.6, 0.0])
def test_rates_over_the_floor(turning, stir, floor_open):
    """Oracle: the equations of capture, lifting, erosion, setting and creep, class by class."""
    found = floor_action(turning, BODY, SOLIDS, stir, floor_open, DRAWN)
    r = MIDDLE * RADIUS
    laminar = np.sqrt(0.9420**2 + 0.7729**2) * turning**1.5 * np.sqrt(NU) * r
    turbulent = 0.042 * (turning * r) ** 2 * (turning * r**2 / NU) ** -0.2
    squared = floor_open**2 * (np.maximum(laminar, turbulent) + stir**2)
    speed = np.sqrt(squared)
    re = turning * RADIUS**2 / NU
    inner = 0.055 * turning * RADIUS * re**-0.2 * np.maximum(1 - (MIDDLE / 0.826) ** 6.8, 0)
    rise = floor_open * np.maximum(1.3494 * np.sqrt(NU * turning), inner)
    part = ((MIDDLE + 0.5 / 12) ** 2) - (MIDDLE - 0.5 / 12) ** 2
    for which in range(3):
        size, w, start = (each[which] for each in SOLIDS[:3])
        q = np.where(speed > start, (squared - start**2 + rise**2) / (1.3 * w) ** 2, 0.0)
        caught = w / DEPTH * part * np.clip(1.0 - q, 0.0, 1.0)
        assert found.caught_per_s[which] == pytest.approx(caught, rel=1e-9, abs=1e-15)
        lifted = 2.7 / 60.0 * np.clip(q - 1.0, 0.0, None)
        assert found.lifted_per_s[which] == pytest.approx(lifted, rel=1e-9, abs=1e-15)
        near = np.minimum(speed * size / (2.0 * NU), 8.0)
        creep = 0.41 * speed * near * np.where(speed > start, 1.0 - start / (speed + 1e-30), 0.0)
        inward = creep / (RADIUS / 12.0)
        assert found.inward_per_s[which] == pytest.approx(inward, rel=1e-9, abs=1e-15)
    stress = RHO * squared
    eroded = 0.023 / 60.0 * np.clip(stress / 0.07 - 1.0, 0.0, None)
    setting = np.where(stress < 0.07, 1.0 / (4.3 * 60.0), 0.0)
    assert np.broadcast_to(found.eroded_per_s, (3, 12))[0] == pytest.approx(eroded, abs=1e-15)
    assert np.broadcast_to(found.setting_per_s, (3, 12))[0] == pytest.approx(setting, rel=1e-9)


def test_middles_of_the_rings():
    """Law: rings of equal width; they stand before the members."""
    assert RINGS == 12
    assert rings_share(2).shape == (12, 1, 1)
    assert rings_share(0) == pytest.approx(MIDDLE)


@pytest.mark.parametrize("seconds", [0.3, 20.0, 400.0])
def test_one_step_is_the_implicit_step(seconds):
    """Oracle: numpy's dense solver on the exchange, then on the creep, for one class."""
    seed = np.random.default_rng(5)
    caught, lifted, eroded, setting, inward = seed.random((5, RINGS)) * np.array(
        [[4e-4], [0.02], [2e-3], [4e-3], [0.3]]
    )
    # trub sets where it is not eroded
    setting[::2], eroded[1::2] = 0.0, 0.0
    before = Trub(seed.random(1), seed.random((1, RINGS)), seed.random((1, RINGS)))
    found = moved_trub(
        before, Floor(*(each[None] for each in (caught, lifted, eroded, setting, inward))), seconds
    )
    # landing is scaled so that undisturbed settling falls by exp(-sum t)
    total = np.sum(caught)
    land = caught * (np.exp(total * seconds) - 1.0) / total
    size = 2 * RINGS + 1
    matrix = np.eye(size)
    loose, firm = slice(1, RINGS + 1), slice(RINGS + 1, size)
    matrix[0, 0] += np.sum(land)
    matrix[0, loose] -= seconds * lifted
    matrix[0, firm] -= seconds * eroded
    matrix[loose, 0] -= land
    for ring in range(RINGS):
        at, under = 1 + ring, 1 + RINGS + ring
        matrix[at, at] += seconds * (lifted[ring] + setting[ring])
        matrix[under, under] += seconds * eroded[ring]
        matrix[under, at] -= seconds * setting[ring]
    state = np.concatenate([before.suspended, before.loose[0], before.firm[0]])
    state = np.linalg.solve(matrix, state)
    creep = np.eye(RINGS)
    for ring in range(1, RINGS):
        creep[ring, ring] += seconds * inward[ring]
        creep[ring - 1, ring] -= seconds * inward[ring]
    assert found.loose[0] == pytest.approx(np.linalg.solve(creep, state[loose]), rel=1e-9)
    assert found.suspended[0] == pytest.approx(state[0], rel=1e-9)
    assert found.firm[0] == pytest.approx(state[firm], rel=1e-9)
