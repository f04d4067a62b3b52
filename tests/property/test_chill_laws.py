"""Laws: what every way to chill must do whatever the numbers."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from wortline.science.chill_ways import circulated, one_pass, two_stage
from wortline.science.chiller import PLATES_EXPONENT, TUBES_EXPONENT, Batch, Chiller, ua_at_w_k
from wortline.science.ice import fridge_min, ice_needed_kg, iced_around_c, iced_flowing_c
from wortline.science.isomerisation import hot_time
from wortline.science.utilisation import tinseth_hot_time

UAS, WORTS, WATERS = st.floats(100, 2000), st.floats(1.5, 12), st.floats(2, 20)
TAPS, STARTS, SWITCHES = st.floats(1, 24), st.floats(70, 100), st.floats(45, 65)
ALL = {"ua": UAS, "wort": WORTS, "water": WATERS, "tap": TAPS, "start": STARTS, "switch": SWITCHES}
BATCH = Batch(22.0, 3.95, 8.0)
HOWS = ("circulate", "one-pass", "two-stage", "coil")


def way(how, chiller, start, switch, tap, to=26.0):
    if how == "one-pass":
        return one_pass(chiller, BATCH, start, to, tap)
    if how == "two-stage":
        return two_stage(chiller, BATCH, start, switch, to, tap, 25.0)
    return circulated(chiller, BATCH, start, to, tap, 25.0, coil=how == "coil")


def longer(before, after):
    """Whether a chill takes longer than it did, or no longer ends."""
    if np.isnan(before):
        return False
    return np.isnan(after) or after > before * (1.0 + 1e-9)


@settings(max_examples=60, derandomize=True)
@given(**ALL, colder=st.floats(0, 1), more=st.floats(1, 3))
def test_colder_or_more_water_never_lengthens_the_chill(
    ua, wort, water, tap, start, switch, colder, more
):
    known = Chiller(ua, 5.0, 9.0, wort, water)
    for how in HOWS:
        plain = way(how, known, start, switch, tap).time_min
        cold = way(how, known, start, switch, tap - colder).time_min
        rich = way(how, known._replace(most_water_l_min=more * water), start, switch, tap).time_min
        assert not longer(plain, cold), how
        assert not longer(plain, rich), how


@settings(max_examples=60, derandomize=True)
@given(**ALL)
def test_a_temperature_out_of_reach_has_no_time(ua, wort, water, tap, start, switch):
    known = Chiller(ua, 5.0, 9.0, wort, water)
    for how in HOWS:
        at_tap = way(how, known, start, switch, tap, to=tap)
        assert np.isnan(at_tap.time_min) and np.isnan(at_tap.water_l), how
        assert at_tap.reached_c == at_tap.lowest_c > tap
        # A hair above the lowest there is a time, and what is reached is what was wanted.
        wanted = float(at_tap.lowest_c) + 0.01
        found = way(how, known, start, max(switch, wanted + 1.0), tap, to=wanted)
        if how != "two-stage":
            assert np.isfinite(found.time_min), how
            assert found.reached_c <= wanted + 1e-6


@settings(max_examples=60, derandomize=True)
@given(**ALL)
def test_energy_closes(ua, wort, water, tap, start, switch):
    """The water takes up no more than it could, leaving as hot as the wort came."""
    known = Chiller(ua, 5.0, 9.0, wort, water)
    for how in HOWS:
        found = way(how, known, start, switch, tap)
        if np.isfinite(found.time_min):
            heat_kj = BATCH.wort_kg * BATCH.wort_kj_kg_k * (start - 26.0)
            least_l = heat_kj / (4.19 * (start - tap))
            assert found.water_l > 0.99 * least_l, how


def test_the_conductance_follows_both_flows():
    """Law (Wilson 1915): q^n on each side where that side is all the resistance."""
    for share in ("wort_share", "water_share"):
        other = "water_share" if share == "wort_share" else "wort_share"
        chiller = Chiller(600.0, 5.0, 9.0, 9.0, 20.0, **{share: 1.0, other: 0.0})
        twice = (10.0, 9.0) if share == "wort_share" else (5.0, 18.0)
        assert np.isclose(ua_at_w_k(chiller, *twice), 600.0 * 2.0**PLATES_EXPONENT)
        swapped = (5.0, 18.0) if share == "wort_share" else (10.0, 9.0)
        assert np.isclose(ua_at_w_k(chiller, *swapped), 600.0)
    assert np.isclose(ua_at_w_k(Chiller(600.0, 5.0, 9.0, 9.0, 20.0), 5.0, 9.0), 600.0)
    # The middle of 0.6 to 0.7 between plates (common practice), 0.8 in tubes (Dittus and Boelter
    # 1930); where nothing is known both sides resist alike.
    assert np.isclose(PLATES_EXPONENT, (0.6 + 0.7) / 2.0) and TUBES_EXPONENT == 0.8
    plain = Chiller(600.0, 5.0, 9.0, 9.0, 20.0)
    assert np.isclose(ua_at_w_k(plain, 10.0, 9.0), 600.0 / (0.5 + 0.5 / 2.0**0.65))
    assert np.isclose(ua_at_w_k(plain, 5.0, 18.0), 600.0 / (0.5 + 0.5 / 2.0**0.65))


SHARES = np.array([1.0, 0.8, 0.4, 0.1, 0.0])
TEMPS, STEPS = np.array([99.0, 92.0, 85.0, 80.0, 40.0]), np.array([4.0, 3.0, 2.0, 2.0, 1.0])


def test_a_share_of_the_wort_that_is_hot_counts_for_its_share_of_the_time():
    """Law: rates sum up by hot litre-minutes; the clock does not."""
    shared, less = hot_time(TEMPS, STEPS, SHARES), hot_time(TEMPS, STEPS * SHARES)
    for field in ("k1_sum", "k2_sum", "grown"):
        np.testing.assert_allclose(getattr(shared, field), getattr(less, field), rtol=1e-12)
    np.testing.assert_allclose(shared.time_min, [0.0, 4.0, 7.0, 9.0, 11.0, 12.0])
    whole, plain = hot_time(TEMPS, STEPS, np.ones(5)), hot_time(TEMPS, STEPS)
    np.testing.assert_array_equal(whole.grown, plain.grown)


def test_tinseth_counts_it_alike():
    """Law: at half the share half the bitterness grows, in every step."""
    boiling = np.zeros(5)
    full = tinseth_hot_time(TEMPS, STEPS, boiling)
    shared = tinseth_hot_time(TEMPS, STEPS, boiling, SHARES)
    np.testing.assert_allclose(shared.rate, full.rate * SHARES, rtol=1e-12)
    np.testing.assert_allclose(np.diff(shared.weighted), np.diff(full.weighted) * SHARES)
    np.testing.assert_array_equal(shared.time_min, full.time_min)


def test_a_batch_without_its_kettle_is_its_wort():
    """Law: mass times specific heat, of which 3.95 kJ/(kg K) is usual (1.048 wort)."""
    assert np.isclose(Batch(2.0).heat_kj_k, 2.0 * 3.95)
    assert np.isclose(Batch(2.0, 4.0, 3.0).heat_kj_k, 11.0)


def test_a_stage_of_no_length_and_a_pump_without_heat():
    """Law: what is at the switch already is passed at once; no heat is taken to be none."""
    known = Chiller(650.0, 5.0, 9.0, 6.0, 11.0)
    at_once = two_stage(known, BATCH, 60.0, 60.0, 20.0, 14.0)
    assert at_once.circulated_min == 0.0 and at_once.pass_c == 60.0
    assert at_once.time_min == one_pass(known, BATCH, 60.0, 20.0, 14.0).time_min
    plain, told = (two_stage(known, BATCH, 98.0, 60.0, 20.0, 14.0, *gain) for gain in ((), (0.0,)))
    assert plain.time_min == told.time_min
    assert circulated(known, BATCH, 98.0, 60.0, 14.0).time_min == plain.circulated_min


@settings(max_examples=60, derandomize=True)
@given(
    start=st.floats(20, 60), fall=st.floats(0, 19), heat=st.floats(20, 400), ice=st.floats(0, 20)
)
def test_ice_and_fridge(start, fall, heat, ice):
    needed = ice_needed_kg(start, start - fall, heat)
    assert np.isclose(iced_flowing_c(start, heat, needed), start - fall)
    assert ice_needed_kg(start, start + 1.0, heat) == 0.0
    assert np.isclose(iced_around_c(start, heat, 0.0), start)
    assert iced_around_c(start, heat, ice + 0.1) <= iced_around_c(start, heat, ice)
    # A kilowatt takes a kJ/K by one K in a second.
    assert np.isclose(fridge_min(start, start - fall, heat, 1000.0), heat * fall / 60.0)
    assert fridge_min(start, start + 1.0, heat, 100.0) == 0.0
