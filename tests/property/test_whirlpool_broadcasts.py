"""Law: the whirlpool gives an array, member for member, what it gives the scalar."""

import dataclasses
from dataclasses import replace

import numpy as np
import pytest

from wortline.science import bottom_layer, cone, settling, turning
from wortline.science.swirl_choices import returned_after_rest, swirl_choices
from wortline.science.swirl_constants import KNOWN, SwirlConstants, swirl_constants_at
from wortline.science.swirl_drive import Drive, slowing_min, spin_up_min
from wortline.science.swirl_kettle import SwirlKettle, hot_wort_viscosity_mpa_s, jet_turbulence_m_s
from wortline.science.swirl_readings import fitted_to_readings
from wortline.science.turning import Body
from wortline.science.whirlpool import run

PAIR = SwirlKettle(
    diameter_m=np.array([0.36, 0.30]),
    wort_hot_l=np.array([30.0, 20.0]),
    flow_l_min=np.array([10.0, 0.0]),
    nozzle_m=np.array([0.010, 0.008]),
    hops_free_kg=np.array([0.036, 0.0]),
    temp_c=np.array([95.0, 80.0]),
    extract_plato=np.array([12.0, 16.0]),
    loss_w=np.array([600.0, 300.0]),
    hop_bed_l_kg=np.array([9.0, 7.0]),
    obstacle_m2=np.array([0.0, 0.01]),
    floor_open=np.array([1.0, 0.0]),
    outlet_m=np.array([0.02, 0.01]),
    draw_l_min=np.array([4.0, 2.0]),
)


def member(what, which):
    return dataclasses.replace(
        what, **{name: float(np.broadcast_to(each, 2)[which]) for name, each in vars(what).items()}
    )


def flat(result):
    """Every number of a result, records and tuples opened up; members on the last axis."""
    if dataclasses.is_dataclass(result):
        return flat(tuple(vars(result).values()))
    if isinstance(result, tuple):
        return [each for part in result for each in flat(part)]
    return [] if isinstance(result, str) else [result]


def test_members_of_a_run_stay_apart():
    drawn = swirl_constants_at({name: np.array([0.3, 0.8]) for name in KNOWN})
    both = run(PAIR, np.array([3.0, 0.0]), np.array([15.0, 22.0]), drawn)
    for which in (0, 1):
        one = run(member(PAIR, which), (3.0, 0.0)[which], (15.0, 22.0)[which], member(drawn, which))
        for array, scalar in zip(flat(both), flat(one), strict=True):
            found = np.asarray(array)[..., which] if np.ndim(array) > np.ndim(scalar) else array
            np.testing.assert_allclose(found, scalar, rtol=1e-7, atol=1e-9)


@pytest.mark.parametrize("name", sorted(vars(PAIR)))
def test_any_one_number_may_be_an_array(name):
    """One number drawn alone gives the axis of members to every result that it moves."""
    base = SwirlKettle(0.36, 30.0, 10.0, 0.010, 0.036)
    values = vars(PAIR)[name]
    both = run(replace(base, **{name: values}))
    for which in (0, 1):
        one = run(replace(base, **{name: float(values[which])}))
        assert both.resting.clear_fraction.shape == (len(one.resting.clear_fraction), 2)
        assert np.broadcast_to(both.clear_fraction, 2)[which] == pytest.approx(one.clear_fraction)
        assert np.broadcast_to(both.cone_cold_l, 2)[which] == pytest.approx(one.cone_cold_l)


@pytest.mark.parametrize(("share", "end"), [(0.0, "low"), (0.5, "value"), (1.0, "high")])
def test_draws_run_from_end_to_end_of_the_range(share, end):
    """Law: nought is the low end, a half the usual value, one the high end; even in the log."""
    drawn = swirl_constants_at(dict.fromkeys(KNOWN, share))
    for name, known in KNOWN.items():
        assert getattr(drawn, name) == pytest.approx(getattr(known, end), rel=1e-12)
    between = swirl_constants_at({"floc_size": 0.25, "set_min": 0.75})
    assert between.floc_size == pytest.approx(np.sqrt(0.5 * 1.0))
    assert between.set_min == pytest.approx(np.sqrt(5.0 * 15.0))
    assert between.creep == KNOWN["creep"].value


@pytest.mark.parametrize("name", sorted(KNOWN))
def test_any_one_constant_may_be_an_array(name):
    base = SwirlKettle(0.36, 30.0, 10.0, 0.010, 0.036, obstacle_m2=0.01)
    known = KNOWN[name]
    both = run(base, constants=SwirlConstants(**{name: np.array([known.low, known.high])}))
    for which, value in enumerate((known.low, known.high)):
        one = run(base, constants=SwirlConstants(**{name: value}))
        assert both.clear_fraction[which] == pytest.approx(one.clear_fraction)
        assert both.draw_off.left_hot_l.shape in {(2,), ()}


def test_choices_and_return_and_readings_stay_apart():
    flows = np.array([10.0, 6.0])
    kettle = SwirlKettle(0.36, 30.0, flows, 0.010, 0.036)
    choices, back = swirl_choices(kettle, 3.0, 15.0), returned_after_rest(kettle, 3.0, 15.0, 4.0, 9)
    turns = [np.array([20.0, 12.0]), np.array([6.0, 5.0]), np.array([2.0, 2.5])]
    fit = fitted_to_readings(kettle, turns, np.array([16.0, 30.0]), 3.0)
    for which in (0, 1):
        alone = replace(kettle, flow_l_min=float(flows[which]))
        one = (
            swirl_choices(alone, 3.0, 15.0),
            returned_after_rest(alone, 3.0, 15.0, 4.0, 9.0),
            fitted_to_readings(
                alone, [float(each[which]) for each in turns], (16.0, 30.0)[which], 3.0
            ),
        )
        for array, scalar in zip(flat((choices, back, fit)), flat(one), strict=True):
            np.testing.assert_allclose(np.broadcast_to(array, 2)[which], scalar, rtol=1e-6)


def test_times_of_one_rate_over_drawn_constants():
    """The rate may be one number while a constant is drawn."""
    body, drive = Body(0.18, 0.3, 1000.0, 4e-7), Drive(10.0, 0.01)
    both = slowing_min(2.0, body, drive, SwirlConstants(wall_drag=np.array([1.0, 1.5])))
    assert both[1] == pytest.approx(slowing_min(2.0, body, drive, SwirlConstants(wall_drag=1.5)))
    share = SwirlConstants(jet_share=np.array([0.6, 0.9]))
    up = spin_up_min(body, drive, share)
    assert up[0] == pytest.approx(spin_up_min(body, drive, SwirlConstants(jet_share=0.6)))


BODY = Body(
    np.array([0.18, 0.15]), np.array([0.3, 0.2]), np.array([1e3, 980.0]), np.array([4e-7, 1e-6])
)
ASKED = [
    (turning.turns_per_min, (2.0, 1.0)),
    (turning.jet_speed_m_s, (10.0, 5.0), (0.01, 0.008)),
    (turning.bulk_inertia_kg_m2, BODY),
    (turning.reynolds_of_turning, (2.0, 0.1), BODY),
    (turning.floor_torque_n_m, (2.0, 0.1), BODY),
    (turning.side_torque_n_m, (2.0, 0.1), BODY),
    (turning.laminar_torque_n_m, (2.0, 0.1), BODY),
    (turning.obstacle_torque_n_m, (2.0, 0.1), BODY, (0.01, 0.0), (0.1, 0.08), (1.0, 1.2)),
    (turning.linear_spin_down_min, (2.0, 0.1), BODY),
    (turning.laminar_turning_left, (1.0, 5.0), (2.0, 0.1), BODY),
    (bottom_layer.layer_m, (2.0, 0.1), (4e-7, 1e-6)),
    (bottom_layer.laminar_inflow_l_min, (2.0, 0.1), (4e-7, 1e-6), (0.1, 0.05)),
    (bottom_layer.turbulent_inflow_l_min, (2.0, 0.1), BODY),
    (bottom_layer.upwelling_m_s, (9.0, 0.1), BODY, (0.5, 0.9)),
    (bottom_layer.floor_friction_speed_m_s, (9.0, 0.1), (4e-7, 1e-6), (0.1, 0.05)),
    (settling.stokes_m_s, (80.0, 400.0), (30.0, 45.0), (0.4, 1.0)),
    (settling.settling_m_s, (80.0, 400.0), (30.0, 45.0), (1e3, 980.0), (0.4, 1.0)),
    (settling.floc_excess_kg_m3, (80.0, 400.0), (100.0, 50.0), (2.2, 1.9)),
    (settling.moving_friction_speed_m_s, (80.0, 400.0), (30.0, 45.0), (1e3, 980.0), (4e-7, 1e-6)),
    (settling.convection_m_s, (600.0, 100.0), BODY, (7e-4, 2e-4), (4.0, 4.2)),
    (settling.mixed_share_left, (5.0, 9.0), (1e-3, 2e-4), (0.3, 0.2)),
    (hot_wort_viscosity_mpa_s, (95.0, 20.0), (12.0, 0.0)),
    (jet_turbulence_m_s, (10.0, 4.0), (0.01, 0.008), (30.0, 20.0), (0.18, 0.15)),
    (cone.cone_size_m, (0.9, 9.0), (15.0, 20.0), (0.18, 0.15)),
    (cone.scour_film_m, (4.0, 2.0), (0.08, 0.05), (0.06, 0.1), (1e3, 980.0), (0.01, 0.02)),
]  # fmt: skip


@pytest.mark.parametrize("asked", ASKED, ids=lambda asked: asked[0].__name__)
def test_members_stay_apart(asked):
    function, *given = asked

    def of(which):
        def value(each):
            if isinstance(each, Body):
                return Body(*(value(part) for part in each))
            return np.array(each) if which is None else each[which]

        return [value(each) for each in given]

    both = flat(function(*of(None)))
    for which in (0, 1):
        for array, scalar in zip(both, flat(function(*of(which))), strict=True):
            assert np.ndim(scalar) == 0
            np.testing.assert_allclose(array[which], scalar, rtol=1e-9)
