"""The whirlpool against general solvers, from its equations written a second time.

Constants are typed here again as the documentation of the model has them; chosen ones are common
practice, no source.
"""

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from wortline.science.swirl_constants import SwirlConstants
from wortline.science.swirl_drive import (
    Drive,
    slowing_min,
    spin_up_min,
    terminal_rad_s,
    turning_over,
)
from wortline.science.swirl_kettle import SwirlKettle, body_of, drive_of
from wortline.science.swirl_solids import CLASSES
from wortline.science.turning import Body
from wortline.science.whirlpool import run

RADIUS, DEPTH, RHO, NU = 0.18, 0.2947, 1010.0, 4.467e-7
BODY = Body(RADIUS, DEPTH, RHO, NU)
DRIVE = Drive(10.0, 0.010, 0.004, 0.012)
USUAL = SwirlConstants()


def rate(turning, flow_l_min=10.0, obstacle_m2=0.004, currents=0.012):
    """d Om / dt: jet less outflow less the larger of laminar and turbulent drag less obstacle."""
    q = flow_l_min / 60000.0
    jet = RHO * q * (4.0 * q / (np.pi * 0.010**2)) * 0.75 * 0.85 * RADIUS
    outflow = RHO * q * turning * (0.95 * RADIUS) ** 2
    re = turning * RADIUS**2 / NU
    floor = 0.057 * RHO * turning**2 * RADIUS**5 * re**-0.2
    mixed = turning * np.sqrt(turning**2 + (currents / RADIUS) ** 2)
    side = 0.157 * RHO * mixed * RADIUS**4 * DEPTH * re**-0.2
    inertia = np.pi / 2 * RHO * RADIUS**4 * DEPTH
    slope = 0.75 + 1.8 * DEPTH / RADIUS
    laminar = inertia * slope * np.sqrt(NU) * turning**1.5 / DEPTH
    bar = 0.5 * RHO * 1.0 * obstacle_m2 * (turning * 0.7 * RADIUS) ** 2 * 0.7 * RADIUS
    return (jet - outflow - max(floor + side, laminar) - bar) / inertia


def test_terminal_rate():
    """Oracle: scipy's root of the torque balance."""
    want = brentq(rate, 0.01, 20.0, xtol=1e-12)
    assert terminal_rad_s(BODY, DRIVE, USUAL) == pytest.approx(want, rel=1e-9)
    assert terminal_rad_s(BODY, Drive(0.0, 0.010), USUAL) == 0.0


def test_spin_up_and_slowing_times():
    """Oracle: scipy's integration until 95 % and until half."""
    top = brentq(rate, 0.01, 20.0)

    def there(_, y):
        return y[0] - 0.95 * top

    def halved(_, y):
        return y[0] - 0.5 * top

    there.terminal = halved.terminal = True
    kind = {"rtol": 1e-10, "atol": 1e-12, "method": "LSODA"}
    up = solve_ivp(lambda t, y: [rate(max(y[0], 1e-9))], (0, 900), [0.0], events=there, **kind)
    found = spin_up_min(BODY, DRIVE, USUAL)
    assert found == pytest.approx(up.t_events[0][0] / 60.0, rel=1e-3)
    down = solve_ivp(lambda t, y: [rate(y[0], 0.0)], (0, 900), [top], events=halved, **kind)
    found = slowing_min(top, BODY, DRIVE, USUAL)
    assert found == pytest.approx(down.t_events[0][0] / 60.0, rel=2e-4)


@pytest.mark.parametrize(("start", "flow"), [(0.0, 10.0), (2.3, 0.0)])
def test_turning_in_steps(start, flow):
    """Oracle: the same course by scipy; 30 even steps for the pump, growing ones for the rest."""
    lengths = np.full(30, 0.1) if flow else 0.02 * 1.08 ** np.arange(60)
    found = turning_over(lengths, start, BODY, DRIVE._replace(flow_l_min=flow), USUAL)
    ends = 60.0 * np.concatenate([[0.0], np.cumsum(lengths)])
    want = solve_ivp(
        lambda t, y: [rate(max(y[0], 1e-9), flow)], (0.0, ends[-1]), [start], t_eval=ends,
        rtol=1e-9, atol=1e-12, method="LSODA",
    ).y[0]  # fmt: skip
    assert found == pytest.approx(want, rel=0.01, abs=0.01)
    assert found[-1] == pytest.approx(want[-1], rel=0.005)


KETTLE = SwirlKettle(0.36, 30.0, 10.0, 0.010, hops_free_kg=0.036, loss_w=700.0, draw_l_min=3.0)
RINGS = 12


def carried(state, size_m, settling, starts, turning_of, stirred, seconds):
    """Return suspended, loose and set shares by scipy; a second writing of the exchange."""
    body = body_of(KETTLE)
    middle = (np.arange(RINGS) + 0.5) / RINGS
    r = middle * body.radius_m
    share = 2.0 * middle / RINGS
    nu, rho = body.viscosity_m2_s, body.density_kg_m3

    def slopes(t, y):
        suspended, loose, firm = y[0], y[1 : RINGS + 1], y[RINGS + 1 :]
        om = max(turning_of(t), 1e-6)
        swirl = np.maximum(
            np.hypot(0.9420, 0.7729) * om**1.5 * np.sqrt(nu) * r,
            0.042 * (om * r) ** 2 * (om * r**2 / nu) ** -0.2,
        )
        re = om * body.radius_m**2 / nu
        even = 0.055 * om * body.radius_m * re**-0.2 * np.maximum(1 - (middle / 0.826) ** 6.8, 0)
        rise = np.maximum(1.3494 * np.sqrt(nu * om), even)
        squared = swirl + stirred**2
        speed = np.sqrt(squared)
        q = np.where(speed > starts, (squared - starts**2 + rise**2) / settling**2, 0.0)
        q = np.maximum(q, 0.0)
        landing = settling * np.clip(1.0 - q, 0.0, 1.0) * share / body.depth_m * suspended
        lifting = 0.05 * np.maximum(q - 1.0, 0.0) * loose
        erosion = 0.02 / 60.0 * np.maximum(squared * rho / 0.06 - 1.0, 0.0) * firm
        setting = np.where(squared * rho < 0.06, loose / 300.0, 0.0)
        creep = 0.49 * speed * np.minimum(speed * size_m / (2.0 * nu), 8.0)
        creep = creep * np.maximum(1.0 - starts / speed, 0.0)
        leaving = creep * loose * RINGS / body.radius_m
        leaving[0] = 0.0
        coming = np.append(leaving[1:], 0.0)
        return np.concatenate(
            [
                [np.sum(lifting) + np.sum(erosion) - np.sum(landing)],
                landing - lifting - setting - leaving + coming,
                setting - erosion,
            ]
        )

    done = solve_ivp(slopes, (0.0, seconds), state, method="BDF", rtol=1e-5, atol=1e-8)
    return done.y[:, -1]


# (g beta q H / (rho cp))^(1/3) at 700 W; beta of water at 95 C is 7.24e-4 /K by IAPWS-97, cp of
# wort of 12 degP 4.0 kJ/(kg K), density 1008.4 kg/m3.
FLUX_W_M2 = 700.0 / (np.pi * 0.18**2)
CONVECTION_M_S = (9.80665 * 7.24e-4 * FLUX_W_M2 * 0.29473 / (1008.4 * 4000.0)) ** (1 / 3)


@pytest.mark.parametrize(
    ("name", "size_um", "excess"),
    [
        ("break 80 um", 80.0, 100.0 * 4.0**-0.8),
        ("break 500 um", 500.0, 100.0 * 25.0**-0.8),
        ("hops 250 um", 250.0, 45.0),
        ("hops 800 um", 800.0, 45.0),
    ],
)
def test_one_class_of_solids(name, size_um, excess):
    """Oracle: a stiff solver on one class; the steps of the model are within 0.006 of it."""
    body = body_of(KETTLE)
    drive = drive_of(KETTLE, body)
    assert drive.convection_m_s == pytest.approx(CONVECTION_M_S, rel=1e-3)
    d, mu = 1e-6 * size_um, body.viscosity_m2_s * body.density_kg_m3
    stokes = 9.80665 * excess * d**2 / (18.0 * mu)
    settling = brentq(
        lambda w: w * (1.0 + 0.15 * (w * d * body.density_kg_m3 / mu) ** 0.687) - stokes,
        1e-9, 1.0, xtol=1e-14,
    )  # fmt: skip
    grain = d * (9.80665 * excess / (body.density_kg_m3 * body.viscosity_m2_s**2)) ** (1 / 3)
    shields = 0.3 / (1.0 + 1.2 * grain) + 0.055 * (1.0 - np.exp(-0.02 * grain))
    starts = np.sqrt(shields * 9.80665 * excess / body.density_kg_m3 * d)
    q = 10.0 / 60000.0
    power = q * (4.0 * q / (np.pi * 0.01**2)) ** 2 / (2.0 * 0.030)
    eddies = (power * 0.1 * 0.18) ** (1 / 3)
    still = 0.05 * drive.convection_m_s
    done = run(KETTLE, 3.0, 12.0, seen_min=20.0)
    stop = 3.0 * 60.0
    times = np.concatenate([done.pumping.after_min, 3.0 + done.resting.after_min[1:]]) * 60.0
    turns = np.concatenate([done.pumping.turns_per_min, done.resting.turns_per_min[1:]])

    def turning_of(t):
        return np.interp(t, times, turns * np.pi / 30.0)

    start = np.zeros(2 * RINGS + 1)
    start[0] = 1.0
    stirred = np.hypot(still, 0.08 * eddies)
    pumped = carried(start, d, settling, starts, turning_of, stirred, stop)
    which = CLASSES.index(name)
    assert done.pumping.suspended_by_class[-1, which] == pytest.approx(pumped[0], abs=0.006)
    rested = carried(
        pumped, d, settling, starts, lambda t: turning_of(t + stop), still, 12.0 * 60.0
    )
    inner = slice(RINGS // 2)
    cone = np.sum(rested[1 : RINGS + 1][inner]) + np.sum(rested[RINGS + 1 :][inner])
    assert done.suspended_by_class[which] == pytest.approx(rested[0], abs=0.006)
    assert done.cone_by_class[which] == pytest.approx(cone, abs=0.006)
