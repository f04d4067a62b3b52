"""Oracle: hops, DMS and the weighted utilisation along changing temperatures, against scipy."""

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp

from wortline.science import dms, first_order, isomerisation, utilisation


def day_c(minute):
    """A day: warming to the boil, boiling, resting, chilling."""
    return np.interp(minute, [0, 15, 75, 95, 115], [70.0, 99.3, 99.3, 90.0, 20.0])


def solved(slope, start, begin, end):
    return solve_ivp(
        slope, (begin, end), start, rtol=1e-10, atol=1e-12, max_step=1.0, method="DOP853"
    ).y[:, -1]


@pytest.mark.parametrize(("in_min", "at_min"), [(0, 115), (15, 75), (15, 95), (65, 115), (75, 100)])
def test_alpha_and_iso_along_a_day(in_min, at_min):
    def slope(minute, amounts):
        k1 = isomerisation.isomerisation_per_min(day_c(minute))
        k2 = isomerisation.degradation_per_min(day_c(minute))
        alpha, iso = amounts
        return [-k1 * alpha, k1 * alpha - k2 * iso]

    alpha, iso = solved(slope, [1.0, 0.0], in_min, at_min)
    middles = np.arange(0.25, 115.0, 0.5)
    hot = isomerisation.hot_time(day_c(middles), np.full(len(middles), 0.5))
    assert isomerisation.alpha_share(hot, in_min, at_min) == pytest.approx(alpha, rel=1e-4)
    assert isomerisation.iso_share(hot, in_min, at_min) == pytest.approx(iso, rel=1e-4)


def test_constant_steps_are_exact():
    temp_c, step_min = np.array([98.0, 91.0, 83.0]), np.array([17.0, 9.0, 40.0])
    ends = np.cumsum(step_min)

    def slope(minute, amounts):
        temp = temp_c[min(np.searchsorted(ends, minute, side="right"), 2)]
        k1 = isomerisation.isomerisation_per_min(temp)
        k2 = isomerisation.degradation_per_min(temp)
        return [-k1 * amounts[0], k1 * amounts[0] - k2 * amounts[1]]

    amounts = np.array([1.0, 0.0])
    for begin, end in ((5.0, 17.0), (17.0, 26.0), (26.0, 50.0)):
        amounts = solved(slope, amounts, begin, end - 1e-12)
    hot = isomerisation.hot_time(temp_c, step_min)
    assert isomerisation.alpha_share(hot, 5.0, 50.0) == pytest.approx(amounts[0], rel=1e-8)
    assert isomerisation.iso_share(hot, 5.0, 50.0) == pytest.approx(amounts[1], rel=1e-8)


def test_a_dose_after_a_very_long_boil():
    """A day and a night at 100 C still leave a late dose its digits."""
    hot = isomerisation.hot_time(np.full(3, 100.0), np.array([1500.0, 60.0, 40.0]))
    fresh = isomerisation.isothermal_step(1.0, 0.0, 100.0, 60.0)[1]
    assert hot.k1_sum[1] > 18
    assert isomerisation.iso_share(hot, 1500.0, 1560.0) == pytest.approx(fresh, abs=1e-9)


@pytest.mark.parametrize("wort_ph", [5.2, 5.5])
def test_dms_along_a_day(wort_ph):
    def strip(minute):
        evaporated = np.interp(minute, [14.9, 15, 75, 75.1], [0.0, 0.08, 0.08, 0.01]) / 60
        return dms.dms_stripping_per_min(evaporated)

    def slope(minute, amounts):
        split = dms.precursor_split_per_min(day_c(minute), wort_ph)
        precursor, free = amounts
        return [-split * precursor, split * precursor - strip(minute) * free]

    precursor, free = solved(slope, [600.0, 15.0], 0.0, 115.0)
    middles = np.arange(0.05, 115.0, 0.1)
    split = dms.precursor_split_per_min(day_c(middles), wort_ph)
    curves = dms.dms_curve(split, strip(middles), np.full(len(middles), 0.1), 600.0, 15.0)
    assert curves[0][0] == 600.0
    assert curves[1][0] == 15.0
    assert curves[0][-1] == pytest.approx(precursor, rel=1e-4)
    assert curves[1][-1] == pytest.approx(free, rel=1e-3)


@pytest.mark.parametrize(
    ("in_min", "at_min"), [(15, 115), (15, 60), (72, 100), (75, 78), (80, 115), (92, 110)]
)
def test_weighted_utilisation_along_a_day(in_min, at_min):
    def rate(since):
        minute = in_min + since
        held = since < 5 or 15 <= minute < 75
        relative = 1.0 if held else min(2.39e11 * np.exp(-9773 / (273.15 + day_c(minute))), 1.0)
        return relative * 1.65 * 0.000125**0.052 / 4.15 * 0.04 * np.exp(-0.04 * since)

    breaks = sorted(x for x in {5.0, 75.0 - in_min, 95.0 - in_min} if 0 < x < at_min - in_min)
    expected = quad(rate, 0, at_min - in_min, points=breaks or None, epsabs=1e-12, limit=200)[0]
    middles = np.arange(0.05, 115.0, 0.1)
    boiling = (middles > 15) & (middles < 75)
    hot = utilisation.tinseth_hot_time(day_c(middles), np.full(len(middles), 0.1), boiling)
    found = utilisation.utilisation_tinseth_hosom_2015(hot, 1.052, in_min, at_min)
    assert found == pytest.approx(expected, rel=1e-5)


def test_mean_decay_against_its_integral():
    for decay in (-3.0, -1e-9, 0.0, 1e-12, 0.3, 4.0, 40.0):
        expected = quad(lambda part, decay=decay: np.exp(-decay * part), 0, 1, epsabs=1e-13)[0]
        assert first_order.mean_decay(decay) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(
    ("turned", "lost"), [(0.01, 0.003), (0.01, 0.2), (0.02, 0.02), (0.02, 0.0)]
)
def test_chain_step_against_the_same_equations(turned, lost):
    def slope(_, amounts):
        return [-turned * amounts[0], turned * amounts[0] - lost * amounts[1]]

    expected = solved(slope, [300.0, 20.0], 0.0, 45.0)
    np.testing.assert_allclose(
        first_order.chain_step(300.0, 20.0, turned, lost, 45.0), expected, rtol=1e-8
    )
