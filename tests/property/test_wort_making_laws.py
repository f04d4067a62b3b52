"""Laws of mash, kettle and colour: balances close, directions hold, inverses invert."""

import csv
from importlib.resources import files

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wortline.science import (
    appearance,
    colour,
    kettle,
    kettle_heating,
    mash,
    mash_rescue,
    potential,
)
from wortline.science.kettle import kettle_loss, lid_open_share, lidded_surface, open_surface
from wortline.science.kettle_heating import boil_off_l_h, heating_min, resting_kettle
from wortline.units import parse

SEA_KPA = 101.325

with files("wortline.data").joinpath("cie_1931_2deg_d65.csv").open(encoding="utf-8") as file:
    ROWS = np.array([[float(text) for text in row[:5]] for row in list(csv.reader(file))[1:]])
SCREEN = appearance.Viewing(ROWS[:, 0], ROWS[:, 1:4].T, ROWS[:, 4])

# Mash -------------------------------------------------------------------------------------------

extract = st.floats(1.0, 12.0)
water = st.floats(8.0, 60.0)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(extract, st.lists(water, min_size=1, max_size=4), st.floats(0.0, 0.8), st.floats(0.0, 40.0))
def test_extract_is_in_the_kettle_or_in_the_grain(extract_kg, waters_kg, moisture_kg, held_kg):
    run = mash.batch_sparge(extract_kg, waters_kg, moisture_kg, held_kg)
    assert run.kettle_extract_kg + run.held_extract_kg == pytest.approx(extract_kg, rel=1e-9)
    assert run.efficiency == pytest.approx(run.kettle_extract_kg / extract_kg, rel=1e-9)
    assert all(a >= b for a, b in zip(run.plato, run.plato[1:], strict=False))
    assert run.kettle_extract_kg >= 0


def test_grain_that_would_hold_all_gives_nothing():
    assert mash.no_sparge(4.0, 10.0, 0.2, 14.3).kettle_extract_kg == 0.0
    assert mash.no_sparge(4.0, 10.0, 0.2, 14.1).kettle_extract_kg > 0.0


@settings(max_examples=30, deadline=None, derandomize=True)
@given(st.floats(2.0, 6.0), st.floats(24.0, 40.0), st.floats(2.0, 6.0), st.floats(0.5, 6.0))
def test_equal_runnings_bring_most(extract_kg, water_kg, held_kg, off_kg):
    """Law: of two runnings with one total, equal ones bring the most extract."""
    moisture_kg = 0.2
    first_kg = 0.5 * (water_kg - extract_kg - moisture_kg + held_kg)

    def brought(more_kg):
        waters = (first_kg + more_kg, water_kg - first_kg - more_kg)
        return mash.batch_sparge(extract_kg, waters, moisture_kg, held_kg).kettle_extract_kg

    assert brought(0.0) >= brought(off_kg) and brought(0.0) >= brought(-off_kg)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(
    st.floats(45.0, 78.0), st.floats(-5.0, 35.0), water, st.floats(1.0, 20.0), st.floats(0.0, 3.0)
)
def test_strike_is_the_inverse_of_mixing(mash_c, grain_c, water_kg, grain_kg, slaking_dk):
    water_c = mash.strike_c(mash_c, grain_c, water_kg, grain_kg, slaking_dk, 0.41)
    mixed = mash.mash_mixed_c(water_c, grain_c, water_kg, grain_kg, slaking_dk, 0.41)
    assert mixed == pytest.approx(mash_c, abs=1e-9)


@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.floats(45.0, 65.0), st.floats(1.0, 10.0), water, st.floats(1.0, 12.0))
def test_rescues_keep_the_heat(from_c, rise_dk, water_kg, grain_kg):
    """Law: what the added water gives up is what the mash takes; the element likewise."""
    to_c = from_c + rise_dk
    capacity_kj_k = mash.mash_heat_capacity_kj_k(water_kg, grain_kg)
    added_kg = mash_rescue.infusion_kg(water_kg, grain_kg, from_c, to_c, 99.0)
    gained_kj = capacity_kj_k * rise_dk
    assert 4.184 * added_kg * (99.0 - to_c) == pytest.approx(gained_kj, rel=1e-9)
    minutes = mash_rescue.mash_ramp_min(from_c, to_c, 2500.0, capacity_kj_k, 200.0)
    assert 2.3 * 60 * minutes == pytest.approx(gained_kj, rel=1e-9)
    share = mash_rescue.decoction_share(from_c, to_c, 97.0)
    assert share * 97.0 + (1 - share) * from_c == pytest.approx(to_c, rel=1e-9)


@settings(max_examples=40, deadline=None, derandomize=True)
@given(extract, water, st.floats(0.0, 0.8), st.floats(0.5, 1.0))
def test_conversion_is_the_inverse_of_first_wort(extract_kg, water_kg, moisture_kg, share):
    plato = potential.first_wort_plato(extract_kg, water_kg, moisture_kg, share)
    found = potential.conversion(plato, extract_kg, water_kg, moisture_kg)
    assert found == pytest.approx(share, rel=1e-9)


def test_first_wort_is_what_a_mash_runs_off():
    run = mash.no_sparge(0.95 * 3.84, 29.0, 0.2, 4.5)
    assert run.plato[0] == pytest.approx(potential.first_wort_plato(3.84, 29.0, 0.2, 0.95))


def test_attenuation_is_highest_between_60_and_64_c():
    """Published: Hamilton and Lewis (1974), MBAA TQ 11:31, optimum near 62.5 C (abstract read)."""
    mash_c = np.arange(55.0, 75.0, 0.25)
    assert 60.0 <= mash_c[np.argmax(mash.attenuation_limit([mash_c], [60.0]))] <= 64.0


def test_longer_mash_ferments_further_and_stays_below_its_reach():
    mash_c = np.linspace(50.0, 80.0, 31)[:, None]
    limit = mash.attenuation_limit([mash_c], [np.linspace(1.0, 240.0, 30)])
    assert np.all(np.diff(limit, axis=1) >= 0)
    assert np.all((limit > 0) & (limit < 0.6787 / 0.8192))


def test_as_many_lengths_as_rests():
    with pytest.raises(ValueError, match="shorter"):
        mash.attenuation_limit([66.0, 72.0], [60.0])


# Kettle -----------------------------------------------------------------------------------------

bulk = st.floats(1.0, 101.0)
air = st.floats(-10.0, 40.0)


def loss_w(bulk_c, air_c=20.0, diameter_m=0.36, **more):
    return kettle_loss(bulk_c, air_c, SEA_KPA, diameter_m, 0.25, **more).loss_w


@settings(max_examples=80, deadline=None, derandomize=True)
@given(bulk, air, st.floats(70.0, 105.0), st.floats(0.0, 1.0))
def test_surface_loss_is_finite_and_its_skin_lies_between(bulk_c, air_c, pressure_kpa, humidity):
    surface = open_surface(bulk_c, air_c, pressure_kpa, humidity)
    assert np.all(np.isfinite(surface))
    assert surface.evaporation_kg_m2_min >= 0
    assert surface.skin_c <= bulk_c
    if bulk_c > air_c + 5:
        assert surface.skin_c > air_c
        assert surface.total_w_m2 > 0


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.floats(30.0, 99.0), st.floats(-5.0, 25.0))
def test_directions_of_the_loss(bulk_c, air_c):
    here = loss_w(bulk_c, air_c)
    assert loss_w(bulk_c, air_c - 3.0) > here
    assert loss_w(bulk_c + 0.5, air_c) > here
    assert loss_w(bulk_c, air_c, diameter_m=0.40) > here
    assert loss_w(bulk_c, air_c, open_share=0.5) < here
    assert loss_w(bulk_c, air_c, open_share=0.0) < loss_w(bulk_c, air_c, open_share=0.5)
    assert loss_w(bulk_c, air_c, jacket_m=0.01) < here
    assert loss_w(bulk_c, air_c, humidity=1.0) < here
    assert loss_w(bulk_c, air_c, surface_factor=1.5) > here


def test_loss_rises_without_a_jump():
    """Law: hotter wort loses more; a grid from ice to a little above boiling."""
    bulk_c = np.linspace(1.0, 101.0, 401)
    for air_c in (-10.0, 5.0, 20.0, 35.0):
        step_w_m2 = np.diff(open_surface(bulk_c, air_c, SEA_KPA).total_w_m2)
        assert np.all(step_w_m2 > -0.1)
        assert np.max(step_w_m2) < 200


def test_cold_surface_only_exchanges_radiation():
    """Law: air denser at the surface lies still; black body exchange with emissivity 0.95."""
    surface = open_surface(5.0, 35.0, SEA_KPA, 0.5)
    radiated = 0.95 * 5.670374e-8 * (278.15**4 - 308.15**4)
    assert surface.total_w_m2 == pytest.approx(radiated)
    assert surface.evaporation_kg_m2_min == 0
    assert surface.skin_c == 5.0


def test_nothing_is_lost_at_the_temperature_of_damp_air():
    surface = open_surface(20.0, 20.0, SEA_KPA, 1.0)
    assert surface.total_w_m2 == pytest.approx(0.0, abs=1e-9)
    assert kettle.wall_w_m2(20.0, 20.0, 0.01) == 0.0


@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.floats(40.0, 99.0), st.floats(0.03, 1.0))
def test_lid_shares_between_open_and_closed(bulk_c, open_share):
    free, found = (
        open_surface(bulk_c, 20.0, SEA_KPA),
        lidded_surface(bulk_c, 20.0, SEA_KPA, open_share),
    )
    assert found.evaporation_kg_m2_min == pytest.approx(open_share * free.evaporation_kg_m2_min)
    through = 6.0 * (bulk_c - 20.0)
    expected = open_share * free.total_w_m2 + (1 - open_share) * through
    assert found.total_w_m2 == pytest.approx(expected)
    assert lidded_surface(bulk_c, 20.0, SEA_KPA, 0.01) == lidded_surface(bulk_c, 20.0, SEA_KPA, 0.0)


def test_gap_never_below_the_leak_nor_above_the_open_kettle():
    shares = lid_open_share(np.array([0.0, 1e-5, 0.025, 0.1, 0.2]), 0.1)
    np.testing.assert_allclose(shares, [0.03, 0.03, 0.5, 1.0, 1.0])


def test_kettle_is_surface_side_and_bottom():
    """Law: areas of a cylinder by hand: 0.1256637 m2 of surface and of bottom, side 0.3141593."""
    surface = open_surface(80.0, 15.0, 95.0, 0.4)
    wall_w_m2 = kettle.wall_w_m2(80.0, 15.0, 0.005)
    found = kettle_loss(80.0, 15.0, 95.0, 0.4, 0.25, 1.0, 0.005, 1.4, 0.4)
    expected_w = 0.1256637 * 1.4 * surface.total_w_m2 + (0.1256637 + 0.3141593) * wall_w_m2
    assert found.loss_w == pytest.approx(expected_w, rel=1e-6)
    expected_kg_min = 0.1256637 * 1.4 * surface.evaporation_kg_m2_min
    assert found.evaporation_kg_min == pytest.approx(expected_kg_min, rel=1e-6)


def test_a_lid_cannot_be_more_than_open():
    assert lidded_surface(80.0, 15.0, 95.0, 1.5) == lidded_surface(80.0, 15.0, 95.0, 1.0)
    assert lidded_surface(80.0, 15.0, 95.0, 1.0) == open_surface(80.0, 15.0, 95.0)


def test_what_is_not_named_changes_nothing():
    """Law: no lid, no jacket, no draught, no vessel; the room is half humid by common practice."""
    shape = (95.0, 0.4, 0.25)
    bare = kettle_loss(80.0, 15.0, *shape, 1.0, 0.0, 1.0, 0.5)
    assert kettle_loss(80.0, 15.0, *shape) == bare
    heated = heating_min(20.0, 80.0, 3000.0, 105.0, 15.0, *shape, 1.0, 0.0, 1.0)
    assert heating_min(20.0, 80.0, 3000.0, 105.0, 15.0, *shape) == heated
    rested = resting_kettle(90.0, 20.0, 20.0, 12.0, 15.0, 95.0, 0.4, 1.0, 0.0, 1.0, 0.0)
    assert resting_kettle(90.0, 20.0, 20.0, 12.0, 15.0, 95.0, 0.4) == rested
    damp = kettle.dry_surface_w_m2(60.0, 35.0, 95.0, 0.5)
    assert kettle.dry_surface_w_m2(60.0, 35.0, 95.0) == damp
    assert mash.attenuation_limit([55.0, 72.0], [10.0, 40.0]) == mash.attenuation_limit(
        [55.0, 72.0], [10.0, 40.0], 1.0
    )


def test_an_element_without_loss_puts_all_its_heat_into_the_mash():
    """Law: 2.5 kW for a minute are 150 kJ."""
    assert mash_rescue.mash_ramp_k_min(2500.0, 75.0) == 2.0
    assert mash_rescue.mash_ramp_min(60.0, 66.0, 2500.0, 75.0) == 3.0


def test_directions_of_a_rest():
    def rest(start_c=98.0, air_c=20.0, diameter_m=0.36, open_share=1.0, rest_min=20.0):
        return resting_kettle(
            start_c, rest_min, 20.0, 12.0, air_c, SEA_KPA, diameter_m, open_share
        )  # fmt: skip

    here = rest()
    assert rest(open_share=0.0).bulk_c > rest(open_share=0.3).bulk_c > here.bulk_c
    assert rest(air_c=5.0).bulk_c < here.bulk_c
    assert rest(diameter_m=0.45).bulk_c < here.bulk_c
    assert rest(rest_min=30.0).bulk_c < here.bulk_c
    assert rest(rest_min=0.0) == (98.0, 0.0)
    assert rest(start_c=20.0, air_c=20.0).bulk_c == pytest.approx(20.0, abs=0.5)


def test_heating_times_add_up():
    def heat(from_c, to_c, power_w=3000.0, open_share=1.0):
        return heating_min(
            from_c, to_c, power_w, 105.0, 20.0, SEA_KPA, 0.36, 0.25, open_share
        )  # fmt: skip

    whole, parts = heat(20.0, 98.0), heat(20.0, 60.0) + heat(60.0, 98.0)
    assert whole == pytest.approx(parts, rel=1e-7)
    assert heat(60.0, 60.0) == 0.0
    assert heat(20.0, 98.0, open_share=0.0) < whole < heat(20.0, 98.0, power_w=2500.0)
    assert heat(66.0, 99.0, power_w=1500.0) == np.inf
    assert whole > 105.0 * 78.0 / 3.0 / 60  # never faster than without losses


def test_power_that_does_not_hold_the_boil_boils_nothing_off():
    assert boil_off_l_h(300.0, 0.9, 320.0, SEA_KPA) == 0.0
    with_loss = boil_off_l_h(3000.0, 0.9, 300.0, SEA_KPA)
    assert with_loss == pytest.approx(kettle_heating.loss_free_boil_off_l_h(2400.0, SEA_KPA))


def test_boil_off_barely_changes_with_elevation():
    """Law: latent heat rises 0.4 % for each kilometre."""
    sea, high = (kettle_heating.loss_free_boil_off_l_h(1000.0, kpa) for kpa in (101.325, 89.87))
    assert high / sea == pytest.approx(0.996, abs=0.0005)


# Colour -----------------------------------------------------------------------------------------


@given(st.floats(0.01, 20.0))
def test_one_absorbance_is_one_colour_on_both_scales(absorbance):
    """Law: SRM is 12.7 and EBC 25 times the absorbance (ASBC Beer-10, EBC 9.6), typed or worked."""
    srm, ebc = colour.srm_from_absorbance(absorbance), colour.ebc_from_absorbance(absorbance)
    assert colour.ebc_from_srm(srm) == pytest.approx(ebc, rel=1e-12)
    assert colour.srm_from_ebc(ebc) == pytest.approx(srm, rel=1e-12)
    assert parse(f"{srm:.17f} SRM", "colour") == pytest.approx(colour.ebc_from_srm(srm), rel=1e-12)



@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.floats(1.0, 60.0), st.floats(0.002, 0.08), st.floats(1.5, 6.0))
def test_way_and_strength_count_alike(srm, path_m, factor):
    """Law: Beer's; five times the way looks like five times the colour."""
    longer = appearance.beer_xyz(srm, factor * path_m, SCREEN)
    np.testing.assert_allclose(longer, appearance.beer_xyz(factor * srm, path_m, SCREEN), rtol=1e-9)


def test_no_beer_is_white():
    white = appearance.beer_xyz(0.0, 0.05, SCREEN)
    np.testing.assert_allclose(white, [0.9504, 1.0, 1.0888], atol=1e-4)
    np.testing.assert_allclose(appearance.cielab(white, white), [100, 0, 0], atol=1e-9)
    np.testing.assert_allclose(appearance.srgb(white), 255, atol=0.1)


def test_grey_stays_grey_and_the_screen_ends_at_its_limits():
    """Published, from memory: IEC 61966-2-1: D65 is 0.9505, 1, 1.0890; half of it is 187.52."""
    white = np.array([0.9505, 1.0, 1.0890])
    np.testing.assert_allclose(appearance.srgb(0.5 * white), 187.516, atol=0.02)
    np.testing.assert_allclose(appearance.srgb(0.002 * white), 255 * 12.92 * 0.002, rtol=2e-4)
    np.testing.assert_allclose(appearance.srgb(3.0 * white), 255.0, rtol=1e-12)


def test_darker_malt_darker_beer():
    units = np.linspace(1.0, 80.0, 100)
    for formula in colour.COLOUR.values():
        assert np.all(np.diff(formula(units)) > 0)
    brightness = appearance.beer_xyz(np.linspace(1.0, 60.0, 60), 0.05, SCREEN)[:, 1]
    assert np.all(np.diff(brightness) < 0)


def test_scales_are_inverses():
    values = np.array([2.0, 30.0, 400.0])
    np.testing.assert_allclose(colour.srm_from_ebc(colour.ebc_from_srm(values)), values)
    np.testing.assert_allclose(colour.lovibond_from_ebc(colour.ebc_from_lovibond(values)), values)


def test_unknown_spectrum_and_missing_colour():
    with pytest.raises(KeyError):
        appearance.transmission(4.0, 0.05, 500.0, "mean")
    with pytest.raises(ValueError, match="shorter"):
        colour.mcu([5.0, 0.3], [3.0], 20.0)
