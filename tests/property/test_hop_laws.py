"""Laws: balances, limits, directions and superposition of hops and DMS on the hot side."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from wortline.science import (
    bitter_losses,
    bitterness,
    dissolving,
    dms,
    first_order,
    hop_ageing,
    isomerisation,
    natural_cooling,
    utilisation,
)

modest = settings(max_examples=40, derandomize=True, deadline=None)
temps = st.floats(20.0, 103.0)
lengths = st.floats(0.0, 90.0)
curves = st.integers(1, 8).flatmap(
    lambda n: st.tuples(arrays(float, n, elements=temps), arrays(float, n, elements=lengths))
)
amounts = st.floats(0.0, 2000.0)


@modest
@given(amounts, amounts, temps, lengths)
def test_nothing_is_made_from_nothing(alpha, iso, temp_c, minutes):
    after_alpha, after_iso = isomerisation.isothermal_step(alpha, iso, temp_c, minutes)
    assert 0 <= after_alpha <= alpha
    assert after_iso >= 0
    assert after_alpha + after_iso <= (alpha + iso) * (1 + 1e-12)


@modest
@given(temps, lengths)
def test_alpha_iso_and_lost_sum_to_the_dose(temp_c, minutes):
    """What is lost is followed by itself, as the integral of the degradation rate."""
    k2 = isomerisation.degradation_per_min(temp_c)
    parts = 2000
    _, iso = isomerisation.isothermal_step(
        1.0, 0.0, temp_c, minutes * (np.arange(parts) + 0.5) / parts
    )
    lost = k2 * iso.mean() * minutes
    alpha, left = isomerisation.isothermal_step(1.0, 0.0, temp_c, minutes)
    assert alpha + left + lost == pytest.approx(1.0, abs=1e-6)


@modest
@given(curves)
def test_hot_time_equals_chained_steps(curve):
    temp_c, step_min = curve
    hot = isomerisation.hot_time(temp_c, step_min)
    alpha, iso = 1.0, 0.0
    for temp, minutes, end in zip(temp_c, step_min, np.cumsum(step_min), strict=True):
        alpha, iso = isomerisation.isothermal_step(alpha, iso, temp, minutes)
        assert isomerisation.alpha_share(hot, 0.0, end) == pytest.approx(alpha, abs=1e-12)
        assert isomerisation.iso_share(hot, 0.0, end) == pytest.approx(iso, abs=1e-12)


@modest
@given(curves, st.floats(0, 1), st.floats(0, 1))
def test_two_doses_are_the_sum_of_each_alone(curve, early, late):
    """Superposition, with the doses put in anywhere within the steps."""
    temp_c, step_min = curve
    end = step_min.sum()
    into = sorted((early * end, late * end))
    hot = isomerisation.hot_time(temp_c, step_min)
    cuts = np.unique(np.concatenate([[0.0], np.cumsum(step_min), into]))
    alpha, iso = 0.0, 0.0
    for begin, stop in pairwise(cuts):
        alpha += 60.0 * (begin == into[0]) + 80.0 * (begin == into[1])
        step = min(np.searchsorted(np.cumsum(step_min), begin, side="right"), len(temp_c) - 1)
        alpha, iso = isomerisation.isothermal_step(alpha, iso, temp_c[step], stop - begin)
    alpha += 60.0 * (cuts[-1] == into[0]) + 80.0 * (cuts[-1] == into[1])
    apart = [60.0, 80.0] @ isomerisation.iso_share(hot, np.array(into), end)
    assert apart == pytest.approx(iso, abs=1e-9)
    left = [60.0, 80.0] @ isomerisation.alpha_share(hot, np.array(into), end)
    assert left == pytest.approx(alpha, abs=1e-9)


def test_before_and_beyond_the_curve():
    hot = isomerisation.hot_time(np.array([100.0, 90.0]), np.array([10.0, 10.0]))
    assert isomerisation.iso_share(hot, 12.0, 11.0) == 0.0
    assert isomerisation.alpha_share(hot, 12.0, 11.0) == 0.0
    assert isomerisation.alpha_share(hot, 12.0, 12.0) == 1.0
    assert isomerisation.iso_share(hot, 0.0, 99.0) == isomerisation.iso_share(hot, 0.0, 20.0)
    assert isomerisation.iso_share(hot, -5.0, 20.0) == isomerisation.iso_share(hot, 0.0, 20.0)


def test_absurdly_long_times_stay_within_bounds():
    hot = isomerisation.hot_time(np.full(4, 100.0), np.full(4, 1e5))
    share = isomerisation.iso_share(hot, np.array([0.0, 1e5, 2.5e5]), 4e5)
    assert np.all((share >= 0) & (share <= 1))


@pytest.mark.parametrize("step_min", [np.array([0.0, 30.0, 0.0]), np.array([10.0, 0.0, 20.0])])
def test_steps_without_length(step_min):
    hot = isomerisation.hot_time(np.full(3, 100.0), step_min)
    expected = isomerisation.isothermal_step(1.0, 0.0, 100.0, 30.0)[1]
    assert isomerisation.iso_share(hot, 0.0, 30.0) == pytest.approx(expected, rel=1e-12)


def test_a_curve_without_steps_is_refused():
    for refused in (isomerisation.hot_time, lambda t, s: utilisation.tinseth_hot_time(t, s, True)):
        with pytest.raises(ValueError, match="steps on the first axis"):
            refused(100.0, 30.0)


def test_twenty_hot_minutes_add_little_to_early_and_much_to_late_doses():
    """Common practice, no source: direction and order only."""
    hot = isomerisation.hot_time(np.array([100.0, 95.0]), np.array([60.0, 20.0]))
    into = np.array([0.0, 30.0, 50.0, 60.0])
    added = isomerisation.iso_share(hot, into, 80.0) - isomerisation.iso_share(hot, into, 60.0)
    assert np.all(np.diff(added) > 0)
    assert added[0] < 0.15 * isomerisation.iso_share(hot, 0.0, 60.0)
    assert added[2] > 0.8 * isomerisation.iso_share(hot, 50.0, 60.0)


limits = st.sampled_from([(200.0, 580.0), (240.0, 490.0)])


@modest
@given(amounts, limits)
def test_limit_and_its_inverse(dosed, limit):
    dissolved = dissolving.dissolved_mg_l(dosed, *limit)
    assert 0 <= dissolved <= min(dosed, limit[1])
    assert dissolved == dosed if dosed <= limit[0] else dissolved < dosed
    assert dissolving.dosed_for_mg_l(dissolved, *limit) == pytest.approx(dosed, rel=1e-9)


@modest
@given(limits, st.floats(-1e-6, 1e-6))
def test_limit_has_no_jump(limit, off):
    whole = limit[0]
    assert dissolving.dissolved_mg_l(whole + off, *limit) == pytest.approx(whole, abs=2e-6)


def test_inverse_at_and_beyond_the_most():
    found = dissolving.dosed_for_mg_l(np.array([580.0, 900.0]))
    assert np.all(np.isinf(found))
    assert dissolving.dissolved_from_dose_mg_l(580.0, 100.0) == 0.0
    assert dissolving.dissolved_from_dose_mg_l(900.0, 100.0) == 0.0


@modest
@given(st.floats(0, 570), amounts, amounts, limits)
def test_one_dose_as_two_at_the_same_moment(already, first, second, limit):
    already = min(already, limit[1] - 10)
    one = dissolving.dissolved_from_dose_mg_l(already, first + second, *limit)
    begun = dissolving.dissolved_from_dose_mg_l(already, first, *limit)
    rest = dissolving.dissolved_from_dose_mg_l(already + begun, second, *limit)
    assert begun + rest == pytest.approx(one, abs=1e-5)
    alone = dissolving.dissolved_from_dose_mg_l(0.0, first, *limit)
    assert alone == pytest.approx(dissolving.dissolved_mg_l(first, *limit), rel=1e-12)
    reached = dissolving.dissolved_mg_l(first + second, *limit)
    assert alone + dissolving.dissolved_from_dose_mg_l(alone, second, *limit) == pytest.approx(
        reached, abs=1e-5
    )
    assert 0 <= one <= first + second
    assert already + one <= limit[1] * (1 + 1e-12)


@modest
@given(curves, st.floats(1.03, 1.12), st.floats(0, 1))
def test_weighted_utilisation_lies_between_its_floor_and_a_boil(curve, gravity, part):
    temp_c, step_min = curve
    end = step_min.sum()
    hot = utilisation.tinseth_hot_time(temp_c, step_min, np.zeros(len(temp_c), bool))
    found = utilisation.utilisation_tinseth_hosom_2015(hot, gravity, part * end, end)
    since = end - part * end
    floor = utilisation.utilisation_tinseth_1997(gravity, min(since, 5.0))
    assert floor - 1e-12 <= found
    assert found <= utilisation.utilisation_tinseth_1997(gravity, since) + 1e-12
    assert utilisation.utilisation_tinseth_hosom_2015(hot, gravity, end, 0.0) == 0.0


@modest
@given(amounts, amounts, curves, st.floats(0, 0.3))
def test_precursor_and_dms_are_only_lost_with_steam(precursor, free, curve, strip):
    temp_c, step_min = curve
    split = dms.precursor_split_per_min(temp_c)
    lidded = dms.dms_curve(split, np.zeros_like(split), step_min, precursor, free)
    np.testing.assert_allclose(lidded[0] + lidded[1], precursor + free, rtol=1e-12, atol=1e-9)
    stripped = dms.dms_curve(split, np.full_like(split, strip), step_min, precursor, free)
    np.testing.assert_allclose(stripped[0], lidded[0])
    assert np.all(stripped[1] <= lidded[1] * (1 + 1e-12))
    assert np.all(stripped[1] >= 0)


def test_directions():
    def rises(values):
        return np.all(np.diff(values) > 0)

    temp_c = np.linspace(20, 104, 50)
    assert rises(isomerisation.isomerisation_per_min(temp_c))
    assert rises(isomerisation.degradation_per_min(temp_c))
    assert rises(dms.precursor_split_per_min(temp_c))
    assert rises(dms.precursor_split_per_min(100.0, np.linspace(4.8, 6, 20)))
    assert rises(dms.dms_air_water_ratio(temp_c))
    assert rises(-natural_cooling.natural_cooling_hosom_2015_c(temp_c, 20.0, 0.1, 0.1))
    assert rises(hop_ageing.lost_by_index_nickerson_1979(np.linspace(0.25, 1.5, 20)))
    assert rises(-hop_ageing.alpha_left(0.3, np.linspace(0, 1e6, 20), 5.0))
    assert rises(-bitter_losses.gravity_share(np.linspace(1.03, 1.12, 20), 60.0))
    assert rises(-bitter_losses.gravity_share(1.1, np.linspace(30, 40, 20)))
    assert rises(-bitterness.oxidised_alpha_mg_l(0.0, 100.0, 0.11, np.linspace(0.3, 1, 20)))


LOSSES = bitter_losses.Losses()
HOT = isomerisation.hot_time(np.array([100.0, 88.0]), np.array([60.0, 20.0]))
WEIGHTED = utilisation.tinseth_hot_time(
    np.array([100.0, 88.0]), np.array([60.0, 20.0]), np.array([True, False])
)
TEMP = np.array([70.0, 92.0, 100.0])
MINUTES = np.array([0.0, 35.0, 70.0])
GRAVITY = np.array([1.035, 1.055, 1.090])
MG_L = np.array([0.0, 180.0, 700.0])
SHARE = np.array([0.1, 0.4, 0.9])
BROADCASTS = [
    (first_order.mean_decay, [np.array([-1.0, 0.0, 2.0])]),
    (first_order.chain_shares, [SHARE, np.array([0.0, 0.4, 2.0])]),
    (first_order.chain_step, [MG_L, MG_L, SHARE, np.array([0.1, 0.2, 0.3]), MINUTES]),
    (isomerisation.isomerisation_per_min, [TEMP]),
    (isomerisation.degradation_per_min, [TEMP]),
    (isomerisation.isothermal_step, [MG_L, MG_L, TEMP, MINUTES]),
    (lambda when: isomerisation.at(HOT, when), [MINUTES]),
    (lambda into, when: isomerisation.alpha_share(HOT, into, when), [MINUTES, MINUTES[::-1]]),
    (lambda into, when: isomerisation.iso_share(HOT, into, when), [MINUTES, MINUTES[::-1]]),
    (dissolving.dosed_alpha_mg_l, [SHARE, SHARE, MINUTES + 1]),
    (dissolving.dissolved_mg_l, [MG_L, MG_L * 0 + 200, MG_L * 0 + 580]),
    (dissolving.dosed_for_mg_l, [np.array([0.0, 150.0, 480.0]), MG_L * 0 + 200]),
    (dissolving.dissolved_from_dose_mg_l, [np.array([0.0, 150.0, 480.0]), MG_L]),
    (bitter_losses.gravity_share, [GRAVITY, MINUTES]),
    (bitter_losses.iso_ph_share, [SHARE + 5]),
    (bitter_losses.oxidised_ph_share, [SHARE + 4.5]),
    (bitter_losses.age_share, [MINUTES * 1e4]),
    (bitter_losses.filter_share_fix, [SHARE * 5]),
    (lambda g, t: bitter_losses.iso_kept(LOSSES, g, t), [GRAVITY, MINUTES]),
    (lambda g, t: bitter_losses.oxidised_kept(LOSSES, g, t), [GRAVITY, MINUTES]),
    (
        lambda ph, k, g: bitter_losses.oxidised_kept(
            bitter_losses.in_wort(bitter_losses.Losses(wort_ph=ph, clarity=k, age_min=k)), g, 60.0
        ),
        [SHARE + 5, SHARE, GRAVITY],
    ),
    (lambda g, t: bitterness.iso_factor(LOSSES, g, t), [GRAVITY, MINUTES]),
    (bitterness.oxidised_alpha_mg_l, [MG_L, MG_L, SHARE, SHARE]),
    (lambda g, t, x: bitterness.oxidised_alpha_ibu(LOSSES, g, t, x), [GRAVITY, MINUTES, MG_L]),
    (bitterness.oxidised_beta_ibu, [MG_L]),
    (bitterness.polyphenol_ibu, [SHARE, MINUTES + 1, SHARE]),
    (bitterness.malt_ibu, [GRAVITY]),
    (bitterness.ibu_from_acids, [MG_L, MG_L, MG_L, MG_L]),
    (bitterness.ibu_from_absorbance, [SHARE]),
    (utilisation.utilisation_tinseth_1997, [GRAVITY, MINUTES, SHARE + 4]),
    (utilisation.utilisation_rager_1990, [GRAVITY, MINUTES]),
    (utilisation.utilisation_garetz_1994, [GRAVITY, MINUTES]),
    (utilisation.utilisation_tutzauer_1992, [GRAVITY, MINUTES]),
    (utilisation.hopping_rate_factor_garetz_1994, [MG_L, SHARE]),
    (utilisation.altitude_factor_garetz_1994, [MG_L]),
    (utilisation.ibu_garetz_1994, [MG_L, GRAVITY, MINUTES, MG_L]),
    (utilisation.relative_rate_hosom_2015, [TEMP]),
    (
        lambda g, into, when: utilisation.utilisation_tinseth_hosom_2015(WEIGHTED, g, into, when),
        [GRAVITY, MINUTES, MINUTES[::-1]],
    ),
    (natural_cooling.natural_cooling_hosom_2015_c, [MINUTES, TEMP, SHARE, SHARE]),
    (hop_ageing.lost_by_index_nickerson_1979, [SHARE, SHARE + 1]),
    (hop_ageing.alpha_loss_per_min, [SHARE]),
    (hop_ageing.storage_temperature_factor, [TEMP]),
    (hop_ageing.alpha_left, [SHARE, MINUTES * 1e4, TEMP - 80, SHARE]),
    (dms.precursor_split_per_min, [TEMP, SHARE + 5]),
    (dms.dms_stripping_per_min, [SHARE, SHARE]),
    (dms.dosed_precursor_ug_l, [SHARE, SHARE, MINUTES + 1]),
    (dms.dms_step, [MG_L, MG_L, SHARE, SHARE[::-1], MINUTES]),
    (dms.dms_in_beer_ug_l, [MG_L, SHARE]),
    (dms.dms_air_water_ratio, [TEMP]),
]


@pytest.mark.parametrize(("function", "inputs"), BROADCASTS)
def test_arrays_are_their_members(function, inputs):
    whole = np.asarray(function(*inputs))
    for i in range(3):
        one = np.asarray(function(*(float(values[i]) for values in inputs)))
        assert one.shape == whole.shape[:-1]
        np.testing.assert_allclose(whole[..., i], one, rtol=1e-13, atol=0)


def test_members_of_a_curve_are_curves_of_their_own():
    rng = np.random.default_rng(11)
    temp_c, step_min = rng.uniform(60, 100, (7, 5)), rng.uniform(0, 15, (7, 5))
    boiling = temp_c > 90
    into, when = rng.uniform(0, 30, 5), rng.uniform(30, 60, 5)
    hot = isomerisation.hot_time(temp_c, step_min)
    weighted = utilisation.tinseth_hot_time(temp_c, step_min, boiling)
    split, strip = dms.precursor_split_per_min(temp_c), temp_c / 1000
    whole = np.array(
        [
            isomerisation.iso_share(hot, into, when),
            isomerisation.alpha_share(hot, into, when),
            utilisation.utilisation_tinseth_hosom_2015(weighted, 1.05, into, when),
            dms.dms_curve(split, strip, step_min, 500.0, into)[1][-1],
        ]
    )
    for i in range(5):
        hot = isomerisation.hot_time(temp_c[:, i], step_min[:, i])
        weighted = utilisation.tinseth_hot_time(temp_c[:, i], step_min[:, i], boiling[:, i])
        one = [
            isomerisation.iso_share(hot, into[i], when[i]),
            isomerisation.alpha_share(hot, into[i], when[i]),
            utilisation.utilisation_tinseth_hosom_2015(weighted, 1.05, into[i], when[i]),
            dms.dms_curve(split[:, i], strip[:, i], step_min[:, i], 500.0, into[i])[1][-1],
        ]
        np.testing.assert_allclose(whole[:, i], one, rtol=1e-12)


def test_rates_alone_may_have_members():
    split = dms.precursor_split_per_min(np.array([[100.0, 95.0], [90.0, 85.0]]))
    curves = dms.dms_curve(split, 0.5 * split, 20.0 + 0.0 * split, 500.0, 10.0)
    for i in range(2):
        one = dms.dms_curve(split[:, i], 0.5 * split[:, i], np.full(2, 20.0), 500.0, 10.0)
        np.testing.assert_allclose(np.array(curves)[..., i], one, rtol=1e-12)


def test_shared_step_lengths_and_many_moments_at_once():
    temp_c = np.linspace(100, 60, 30).reshape(6, 5)
    shared = np.full(6, 10.0)
    moments = np.linspace(0, 60, 9)[:, np.newaxis]
    hot = isomerisation.hot_time(temp_c, shared)
    same = isomerisation.hot_time(temp_c, np.repeat(shared, 5).reshape(6, 5))
    lines = isomerisation.iso_share(hot, 3.0, moments)
    assert lines.shape == (9, 5)
    np.testing.assert_allclose(lines, isomerisation.iso_share(same, 3.0, moments), rtol=1e-12)
    for row, moment in zip(lines, moments[:, 0], strict=True):
        np.testing.assert_allclose(row, isomerisation.iso_share(hot, 3.0, moment), rtol=1e-12)
    boiling = np.arange(6) < 3
    weighted = utilisation.tinseth_hot_time(temp_c, shared, boiling)
    lines = utilisation.utilisation_tinseth_hosom_2015(weighted, 1.05, 3.0, moments)
    assert lines.shape == (9, 5)
    for row, moment in zip(lines, moments[:, 0], strict=True):
        one = utilisation.utilisation_tinseth_hosom_2015(weighted, 1.05, 3.0, moment)
        np.testing.assert_allclose(row, one, rtol=1e-12)
