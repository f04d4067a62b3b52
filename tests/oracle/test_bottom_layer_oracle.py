"""The bottom layer of turning wort against solutions of its equations by general solvers."""

import numpy as np
import pytest
from scipy.integrate import solve_bvp, solve_ivp
from scipy.optimize import brentq

from wortline.science import bottom_layer
from wortline.science.turning import Body, floor_torque_n_m

# A kettle of 36 cm at 22.3 turns a minute, in plain numbers.
BODY = Body(0.18, 0.2947, 1010.0, 4.467e-7)
TURNING = 2.333
REYNOLDS = TURNING * 0.18**2 / 4.467e-7


@pytest.fixture(scope="module")
def still_floor():
    """Boedewadt's layer: u = Om r F, v = Om r G, w = sqrt(nu Om) H, over a floor at rest."""

    def slopes(_, y):
        f, df, g, dg, h = y
        return np.array([df, f**2 - g**2 + 1.0 + h * df, dg, 2.0 * f * g + h * dg, -2.0 * f])

    def ends(floor, far):
        return np.array([floor[0], floor[2], floor[4], far[0], far[2] - 1.0])

    # The layer swings as it dies out: the way there is in small steps of the outer edge.
    z = np.linspace(0.0, 6.0, 200)
    dies = np.exp(-z)
    guess = np.array([-0.5 * z * dies, -0.5 * (1 - z) * dies, 1 - dies, dies, 1.3 * z / 6])
    found = solve_bvp(slopes, ends, z, guess, tol=1e-6, max_nodes=20000)
    for edge in (9.0, 13.0, 18.0, 24.0):
        z = np.linspace(0.0, edge, 600)
        start = np.where(z <= found.x[-1], found.sol(np.minimum(z, found.x[-1])), found.y[:, -1:])
        found = solve_bvp(slopes, ends, z, start, tol=1e-8, max_nodes=60000)
        assert found.success
    return found


def test_laminar_slopes_and_upwelling(still_floor):
    """Oracle: scipy's boundary-value solver on the layer of Boedewadt (1940)."""
    floor, far = still_floor.sol(0.0), still_floor.sol(24.0)
    assert pytest.approx(-floor[1], abs=1.5e-4) == bottom_layer.INWARD_SLOPE
    assert pytest.approx(floor[3], abs=1.5e-4) == bottom_layer.SWIRL_SLOPE
    assert pytest.approx(far[4], abs=1.5e-3) == bottom_layer.UPWELLING


def test_the_inflow_is_strongest_where_the_docstring_says(still_floor):
    """The strongest inflow stands at 1.13 thicknesses (1.127 in one printed copy)."""
    z = np.linspace(0.5, 2.0, 30001)
    f, _, g, *_ = still_floor.sol(z)
    assert z[np.argmin(f)] == pytest.approx(1.130, abs=2e-3)
    assert np.min(f) == pytest.approx(-0.4838, abs=2e-4)
    assert np.max(still_floor.sol(np.linspace(1, 4, 3001))[2]) == pytest.approx(1.280, abs=2e-3)
    assert g.shape == z.shape


@pytest.fixture(scope="module")
def turbulent():
    """The momentum integral of von Karman over a still floor, marched inward from the wall.

    Profiles (z/d)^(1/7) for the swirl and e (z/d)^(1/7) (1 - z/d) for the inflow; Blasius' friction
    0.0225 w^2 (nu / (w d))^(1/4). Scaled: radius 1, Om 1, d in units of Re^(-1/5).
    """
    cross, square, deficit, flux = 49 / 144, 7 / 9 - 7 / 8 + 7 / 23, 2 / 9, 49 / 120

    def friction(r, e, d):
        whole = r * np.sqrt(1.0 + e**2)
        return 0.0225 * whole**2 * (1.0 / (whole * d)) ** 0.25 / np.sqrt(1.0 + e**2)

    def slopes(s, y):
        # q = r^2 e d, m = r^3 e^2 d
        r, (q, m) = 1.0 - s, y
        e = m / (r * q)
        d = q / (r**2 * e)
        drag = friction(r, e, d)
        # swirl: cross d/dr(r^4 e d) - flux r^2 d/dr(r^2 e d) = r^2 drag
        dq = (drag - 2.0 * q * cross / r) / (cross - flux)
        # radial: d/dr(r^3 e^2 d) square + r^2 d deficit = r drag e
        dm = (r * drag * e - r**2 * d * deficit) / square
        return np.array([-dq, -dm])

    # Near the wall e and d follow powers of the distance; start with them from a short march.
    s = 1e-6
    start = _near_the_wall(s, cross, flux, square, deficit)
    found = solve_ivp(slopes, (s, 0.6), start, rtol=1e-10, atol=1e-14, dense_output=True)
    assert found.success

    def at(r):
        q, m = found.sol(1.0 - r)
        e = m / (r * q)
        return q, e, friction(r, e, q / (r**2 * e))

    return at, flux


def _near_the_wall(s, cross, flux, square, deficit):
    """Leading powers at the wall, r = 1: q = A s^a, m = B s^b, with e small there.

    Then dq/ds = drag / (flux - cross), dm/ds = (d deficit - e drag) / square and drag ~ d^(-1/4)
    give a = 1 - (2 a - b) / 4 and b = 1 + 2 a - b: a = 0.9, b = 1.4.
    """
    a, b = 0.9, 1.4

    def miss(log_e):
        e = np.exp(log_e) * s ** (b - a)
        # d from the swirl equation, then the radial one has to hold
        d = (0.0225 * s / (a * e * (flux - cross))) ** 0.8
        drag = 0.0225 * d**-0.25
        return b * e**2 * d / s - (d * deficit - e * drag) / square

    e = np.exp(brentq(miss, -20.0, 20.0)) * s ** (b - a)
    d = (0.0225 * s / (a * e * (flux - cross))) ** 0.8
    return np.array([e * d, e**2 * d])


def test_turbulent_inflow_and_where_nothing_rises(turbulent):
    """Oracle: the most inflow, and upwelling of nought at the same radius by continuity."""
    at, flux = turbulent
    r = np.linspace(0.5, 0.99, 4901)
    inflow = 2.0 * np.pi * flux * np.array([at(each)[0] for each in r])
    most = r[np.argmax(inflow)]
    assert most == pytest.approx(0.826, abs=0.004)
    found = bottom_layer.turbulent_inflow_l_min(TURNING, BODY)
    scale = 60000.0 * TURNING * 0.18**3 * REYNOLDS**-0.2
    assert found / scale == pytest.approx(np.max(inflow), rel=0.01)


def test_turbulent_upwelling(turbulent):
    """Oracle: what rises is what the inflow gains on its way, w = dQ/dr / (2 pi r)."""
    at, flux = turbulent
    fast = BODY._replace(viscosity_m2_s=1e-12)
    scale = TURNING * 0.18 * (TURNING * 0.18**2 / 1e-12) ** -0.2
    for share in (0.42, 0.5, 0.6, 0.7, 0.75, 0.78, 0.8):
        rising = flux * (at(share + 1e-4)[0] - at(share - 1e-4)[0]) / 2e-4 / share
        found = bottom_layer.upwelling_m_s(TURNING, fast, share) / scale
        assert found == pytest.approx(rising, abs=0.02 * 0.055)
    # close to where it ends the curve is steep: the place itself is found to 0.004 of the radius
    laminar = 1.3494 * np.sqrt(1e-12 * TURNING)
    at_the_end = bottom_layer.upwelling_m_s(TURNING, fast, np.array([0.815, 0.83, 1.0]))
    assert at_the_end[0] > 5.0 * laminar
    assert at_the_end[1:] == pytest.approx(laminar, rel=1e-9)


def test_the_larger_layer_counts():
    """Law: slow wort has the laminar layer, fast wort the turbulent one."""
    slow = bottom_layer.upwelling_m_s(0.05, BODY, 0.3)
    assert slow == pytest.approx(1.3494 * np.sqrt(0.05 * 4.467e-7), rel=1e-4)
    assert bottom_layer.upwelling_m_s(50.0, BODY, 0.3) > 1.35 * np.sqrt(50.0 * 4.467e-7)


def test_friction_on_the_floor(turbulent):
    """Oracle: laminar from the slopes of Boedewadt; turbulent from the march, at 0.83 R."""
    at, _ = turbulent
    r = 0.83
    _, e, drag = at(r)
    whole = drag * np.sqrt(1.0 + e**2)
    thin = 1e-12
    found = bottom_layer.floor_friction_speed_m_s(TURNING, thin, r * 0.18) ** 2
    scale = (TURNING * 0.18) ** 2 * (TURNING * 0.18**2 / thin) ** -0.2
    assert found / scale == pytest.approx(whole, rel=0.025)
    laminar = bottom_layer.floor_friction_speed_m_s(0.2, 4.467e-7, 0.09) ** 2
    wall = 0.2 * 0.09 * np.sqrt(4.467e-7 * 0.2)
    assert laminar == pytest.approx(np.hypot(0.9420, 0.7729) * wall, rel=1e-4)


def test_turbulent_drag_of_the_floor(turbulent):
    """Oracle: torque is the integral of 2 pi r^2 times the drag along the swirl."""
    at, _ = turbulent
    nodes, weights = np.polynomial.legendre.leggauss(60)
    r = 0.7 + 0.3 * nodes
    outer = 0.3 * np.sum(weights * 2.0 * np.pi * r**2 * np.array([at(each)[2] for each in r]))
    # inside 0.4 of the radius the friction factor at 0.4 carries on; it holds 1 % of the torque
    inner = 2.0 * np.pi * at(0.401)[2] * 0.4**3 / (3 + 1.6)
    found = floor_torque_n_m(TURNING, BODY)
    scale = 1010.0 * TURNING**2 * 0.18**5 * REYNOLDS**-0.2
    assert found / scale == pytest.approx(outer + inner, rel=0.02)
