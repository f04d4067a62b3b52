"""Laws: balances, limits and directions of hop oil on the hot side, and its broadcasting."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from wortline.science import aroma
from wortline.science.numerics import in_range

modest = settings(max_examples=40, derandomize=True, deadline=None)
temps = st.floats(0.0, 103.0)
lengths = st.floats(0.0, 60.0)
paces = st.floats(0.0, 0.004)
rates = st.floats(0.0, 1.0)
curves = st.integers(1, 8).flatmap(
    lambda n: st.tuples(*(arrays(float, n, elements=each) for each in (rates, rates, lengths)))
)
parts = st.floats(0.0, 1.0)


@modest
@given(curves, parts, parts, parts)
def test_hops_wort_and_steam_hold_the_dose_together(curve, put_in, looked_at, reachable):
    end = curve[2].sum()
    found = aroma.oil_shares(*curve, put_in * end, looked_at * end, reachable)
    assert found.in_hops + found.kept + found.stripped == pytest.approx(1.0, abs=1e-12)
    assert found.extracted == pytest.approx(found.kept + found.stripped, abs=1e-15)
    for share in (found.in_hops, found.kept, found.stripped):
        assert -1e-12 <= share <= 1.0 + 1e-12
    assert found.in_hops >= 1.0 - reachable - 1e-12
    if looked_at <= put_in:
        assert found.in_hops == 1.0 and found.kept == 0.0


@modest
@given(curves, parts)
def test_the_steam_takes_what_the_pace_says(curve, put_in):
    """Law: what is stripped is the pace times what is kept, summed over time.

    Sums of 4000 parts of at most 80 min miss a jump of the pace by at most 0.02 min.
    """
    extract, strip, step_min = curve[0], curve[1], curve[2] / 6.0
    end = step_min.sum()
    edges = np.cumsum(step_min)
    times = (np.arange(4000) + 0.5) / 4000 * end
    kept = np.array(
        aroma.oil_shares(
            extract[:, np.newaxis], strip[:, np.newaxis], step_min[:, np.newaxis],
            put_in * end, times,
        ).kept
    )  # fmt: skip
    step = np.minimum(np.searchsorted(edges, times), len(edges) - 1)
    taken = (strip[step] * kept).mean() * end
    found = aroma.oil_shares(extract, strip, step_min, put_in * end)
    assert found.stripped == pytest.approx(taken, abs=5e-3)


@modest
@given(curves, parts)
def test_a_dose_inside_a_step_is_a_dose_at_the_start_of_what_is_left_of_it(curve, put_in):
    extract, strip, step_min = curve
    in_min = put_in * step_min.sum()
    edges = np.cumsum(step_min)
    left = np.clip(edges - in_min, 0.0, step_min)
    whole = aroma.oil_shares(*curve, in_min)
    cut = aroma.oil_shares(extract, strip, left)
    assert whole.kept == pytest.approx(cut.kept, abs=1e-12)
    assert whole.in_hops == pytest.approx(cut.in_hops, abs=1e-12)


@modest
@given(curves, rates, rates, lengths)
def test_longer_extracts_and_loses_more(curve, pace, steam, more_min):
    longer = [
        np.append(each, last) for each, last in zip(curve, (pace, steam, more_min), strict=True)
    ]
    before, after = aroma.oil_shares(*curve), aroma.oil_shares(*longer)
    assert after.stripped >= before.stripped - 1e-12
    assert after.extracted >= before.extracted - 1e-12


@modest
@given(rates, rates, lengths, lengths)
def test_at_one_pace_a_longer_rest_keeps_less_of_what_is_out(pace, steam, rest_min, more_min):
    before, after = (
        aroma.oil_shares([pace], [steam], [minutes]) for minutes in (rest_min, rest_min + more_min)
    )
    assert after.kept * before.extracted <= before.kept * after.extracted + 1e-12


@modest
@given(curves, lengths, rates)
def test_once_all_is_out_a_longer_rest_never_keeps_more(curve, more_min, steam):
    extract, strip, step_min = curve
    all_out = [np.append(1e3, extract), np.append(0.0, strip), np.append(1.0, step_min)]
    longer = [
        np.append(each, last) for each, last in zip(all_out, (0.1, steam, more_min), strict=True)
    ]
    assert aroma.oil_shares(*longer).kept <= aroma.oil_shares(*all_out).kept + 1e-12


@modest
@given(curves, parts)
def test_a_lid_keeps_more(curve, leak):
    """Less steam, all else the same: never less kept, the same left in the hops."""
    extract, strip, step_min = curve
    off, on = aroma.oil_shares(*curve), aroma.oil_shares(extract, leak * strip, step_min)
    assert on.kept >= off.kept - 1e-12
    assert on.in_hops == off.in_hops


@modest
@given(curves, st.floats(20.0, 100.0), st.floats(0.0, 20.0))
def test_hotter_extracts_more_and_keeps_a_smaller_share_of_it(curve, temp_c, hotter_dk):
    """Law for a rest at one temperature under any steam: what comes out sooner meets more of it."""
    strip, step_min = curve[1], curve[2]
    cool, warm = (
        aroma.oil_shares(
            np.full(len(strip), aroma.oil_extraction_per_min(each, 0.3)), strip, step_min
        )
        for each in (temp_c, temp_c + hotter_dk)
    )
    assert warm.extracted >= cool.extracted - 1e-12
    assert warm.kept * cool.extracted <= cool.kept * warm.extracted + 1e-12


@modest
@given(curves, parts)
def test_what_cannot_leave_the_hops_scales_the_rest(curve, reachable):
    free, held = aroma.oil_shares(*curve), aroma.oil_shares(*curve, reachable=reachable)
    assert held.kept == pytest.approx(reachable * free.kept, abs=1e-12)
    assert held.stripped == pytest.approx(reachable * free.stripped, abs=1e-12)


@modest
@given(temps, temps, rates)
def test_extraction_only_quickens_with_heat(one_c, other_c, pace):
    cool_c, warm_c = sorted((one_c, other_c))
    cool, warm = (aroma.oil_extraction_per_min(each, pace) for each in (cool_c, warm_c))
    assert 0.0 <= cool <= warm <= pace


@modest
@given(st.floats(1.0, 1e6), st.floats(1.0, 1e6), st.floats(10.0, 200.0))
def test_the_slower_of_two_ways_decides(one, other, film):
    low, high = sorted((one, other))
    below, above = (aroma.effective_volatility(each, film) for each in (low, high))
    # where two of them are equal, rounding decides on which side they come out
    most = 1.0 + 1e-14
    assert 0.5 * min(low, film) <= below * most
    assert below <= above * most
    assert above <= film * most
    assert below <= low * most


@modest
@given(
    arrays(float, 4, elements=temps), arrays(float, 4, elements=paces),
    arrays(float, 4, elements=st.floats(10.0, 3e4)), arrays(float, 4, elements=lengths),
)  # fmt: skip
def test_functions_of_members_are_those_of_each_member(temp_c, steam, volatility, minutes):
    extract = aroma.oil_extraction_per_min(temp_c, 0.35)
    strip = aroma.oil_stripping_per_min(steam, volatility)
    steps = [np.stack([each, 0.5 * each]) for each in (extract, strip, minutes)]
    found = aroma.oil_shares(*steps, in_min=0.3 * minutes, reachable=0.9)
    index = aroma.aroma_index_g_l(0.05, 20.0 + minutes, found.kept)
    for i in range(4):
        alone = aroma.oil_shares(*(each[:, i] for each in steps), 0.3 * minutes[i], reachable=0.9)
        one = aroma.oil_extraction_per_min(temp_c[i], 0.35)
        assert extract[i] == pytest.approx(one, rel=1e-14)
        assert strip[i] == pytest.approx(
            aroma.oil_stripping_per_min(steam[i], volatility[i]), rel=1e-14
        )
        for part in ("in_hops", "kept", "stripped"):
            assert getattr(found, part)[i] == pytest.approx(getattr(alone, part), abs=1e-14)
        assert index[i] == pytest.approx(
            aroma.aroma_index_g_l(0.05, 20.0 + minutes[i], alone.kept), abs=1e-13
        )


def test_doses_classes_and_members_broadcast_behind_the_steps():
    rng = np.random.default_rng(5)
    extract, strip = rng.uniform(0, 0.4, (6, 3, 1, 4)), rng.uniform(0, 0.1, (6, 1, 2, 4))
    step_min, in_min = rng.uniform(1, 9, (6, 1, 1, 4)), rng.uniform(0, 9, (3, 1, 4))
    found = aroma.oil_shares(extract, strip, step_min, in_min)
    assert found.in_hops.shape == found.kept.shape == found.stripped.shape == (3, 2, 4)
    for dose, oil, member in np.ndindex(3, 2, 4):
        alone = aroma.oil_shares(
            extract[:, dose, 0, member], strip[:, 0, oil, member], step_min[:, 0, 0, member],
            in_min[dose, 0, member],
        )  # fmt: skip
        assert found.kept[dose, oil, member] == pytest.approx(alone.kept, abs=1e-14)
    one_curve = aroma.oil_shares(
        extract[:, 0, 0, 0], strip[:, 0, 0, 0], step_min[:, 0, 0, 0], in_min
    )
    assert one_curve.kept.shape == (3, 1, 4)


def test_a_curve_without_steps_is_refused_and_no_moment_is_no_number():
    for bad in ((0.3, [0.1], [1.0]), ([0.3], 0.1, [1.0]), ([0.3], [0.1], 1.0)):
        with pytest.raises(ValueError, match="first axis"):
            aroma.oil_shares(*bad)
    found = aroma.oil_shares([0.3], [0.1], [1.0], np.array([0.0, np.nan]))
    assert np.isnan(found.kept[1]) and np.isnan(found.in_hops[1]) and found.kept[0] > 0


@modest
@given(st.floats(0.01, 10.0), st.floats(0.01, 10.0))
def test_ranges_hold_what_they_are_ranges_of(index, other):
    low, high = aroma.index_range_g_l(index)
    assert low < index < high and low * high == pytest.approx(index**2)
    least, mid, most = aroma.ratio_range(index, other)
    assert least < mid < most and mid == index / other
    assert most / least < high / low, "what is unknown of the hops falls out of a ratio"


def test_a_number_in_its_range():
    """Law: the ends and the usual value, geometric means between them, and no further than them."""
    shares = np.array([-1.0, 0.0, 0.25, 0.5, 0.75, 1.0, 2.0])
    wanted = [4.0, 4.0, 8.0, 16.0, 20.0, 25.0, 25.0]
    assert in_range(shares, 4.0, 16.0, 25.0) == pytest.approx(wanted, rel=1e-12)
    for share, value in zip(shares, wanted, strict=True):
        assert in_range(float(share), 4.0, 16.0, 25.0) == pytest.approx(value, rel=1e-12)
