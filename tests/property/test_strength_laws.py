"""Laws: balances, inverses and directions of water, extract, instruments and alcohol."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wortline.science import alcohol, ethanol, extract, gravity_rivals, instruments, water
from wortline.science.numerics import derivative, polynomial, quotient

few = settings(max_examples=40, derandomize=True, deadline=None)


def between(low, high):
    return st.floats(low, high, allow_nan=False)


# --- inverse of inverse ---------------------------------------------------------------------


@few
@given(between(-20.0, 84.9))
def test_gravity_and_strength_are_inverse(strength_plato):
    gravity_sg = extract.sg_from_plato(strength_plato)
    assert extract.plato_from_sg(gravity_sg) == pytest.approx(strength_plato, abs=1e-10)


@few
@given(between(0.95, 1.44))
def test_strength_and_gravity_are_inverse(gravity_sg):
    strength_plato = extract.plato_from_sg(gravity_sg)
    assert extract.sg_from_plato(strength_plato) == pytest.approx(gravity_sg, abs=1e-12)


@few
@given(between(-10.0, 84.0), between(0.0, 100.0))
def test_density_and_strength_are_inverse(strength_plato, temp_c):
    kg_m3 = extract.wort_density_kg_m3(strength_plato, temp_c)
    assert extract.plato_from_density(kg_m3, temp_c) == pytest.approx(strength_plato, abs=1e-9)


@few
@given(between(0.98, 1.3))
def test_density_and_gravity_are_inverse(gravity_sg):
    kg_m3 = extract.density_from_sg_kg_m3(gravity_sg)
    assert extract.sg_from_density(kg_m3) == pytest.approx(gravity_sg, abs=1e-13)


@few
@given(between(0.5, 60.0), between(0.0, 84.0))
def test_mass_and_strength_are_inverse(cold_l, strength_plato):
    mass_kg = extract.extract_kg(cold_l, strength_plato)
    found = extract.plato_from_extract(mass_kg, cold_l)
    assert found == pytest.approx(strength_plato, abs=1e-10)


@few
@given(between(0.1, 370.0))
def test_boiling_point_and_vapour_pressure_are_inverse(temp_c):
    pressure_kpa = water.vapour_pressure_kpa(temp_c)
    assert water.boiling_point_c(pressure_kpa) == pytest.approx(temp_c, abs=1e-8)


@few
@given(between(1e-6, 0.999999), between(-20.0, 40.0))
def test_ethanol_and_density_are_inverse(share, temp_c):
    kg_m3 = ethanol.ethanol_density_kg_m3(share, temp_c)
    found = ethanol.ethanol_fraction_from_density(kg_m3, temp_c)
    assert found == pytest.approx(share, abs=1e-10)


@few
@given(between(1.0, 30.0), between(0.0, 1.1))
def test_attenuation_and_final_strength_are_inverse(original_plato, attenuation):
    apparent_plato = alcohol.final_plato(original_plato, attenuation)
    found = alcohol.apparent_attenuation(original_plato, apparent_plato)
    assert found == pytest.approx(attenuation, abs=1e-12)


@few
@given(between(0.0, 30.0), between(0.0, 60.0), between(10.0, 25.0))
def test_hydrometer_gives_back_the_wort_it_floats_in(strength_plato, sample_c, calibration_c):
    """Law: the reading of a known wort, from floating and the growth of glass, is undone."""
    sample_kg_m3 = extract.wort_density_kg_m3(strength_plato, sample_c)
    unwarmed_kg_m3 = sample_kg_m3 / (1.0 - 25e-6 * (sample_c - calibration_c))
    water_kg_m3 = extract.wort_density_kg_m3(0.0, calibration_c)
    reading_sg = (unwarmed_kg_m3 - 1.2) / (water_kg_m3 - 1.2)
    cold_kg_m3 = extract.wort_density_kg_m3(strength_plato, 20.0)
    expected_sg = (cold_kg_m3 - 1.2) / (extract.wort_density_kg_m3(0.0, 20.0) - 1.2)
    found_sg = instruments.hydrometer_sg(reading_sg, sample_c, calibration_c)
    assert found_sg == pytest.approx(expected_sg, abs=1e-10)


# --- directions -----------------------------------------------------------------------------

PLATO = np.linspace(-20.0, 84.9, 2101)


def test_gravity_rises_with_strength_everywhere_and_is_finite():
    gravity_sg = extract.sg_from_plato(PLATO)
    assert np.all(np.isfinite(gravity_sg))
    assert np.all(np.diff(gravity_sg) > 0.0)


def test_strength_rises_with_gravity_and_joins_without_a_step():
    gravity_sg = np.linspace(1.1199, 1.1201, 201)
    steps_plato = np.diff(extract.plato_from_sg(gravity_sg))
    assert np.all(steps_plato > 0.0)
    assert steps_plato.max() < 1.02 * steps_plato.min()


def test_the_joint_shifts_the_sucrose_scale_by_less_than_a_thousandth():
    # Law: two independent published scales, the ASBC table and ICUMSA weighed in air, meet there.
    gravity_sg = np.array([1.13, 1.2, 1.3])
    kg_m3 = extract.density_from_sg_kg_m3(gravity_sg)
    apart = extract.plato_from_sg(gravity_sg) - extract.plato_from_density(kg_m3, 20.0)
    np.testing.assert_allclose(apart, 0.0, atol=0.001)


def test_asbc_and_sucrose_density_in_air_tell_one_scale():
    # Published against published: 0.02 degP is the known gap; in vacuum it would reach 0.03.
    gravity_sg = np.linspace(0.99, 1.12, 27)
    by_density = extract.plato_from_density(extract.density_from_sg_kg_m3(gravity_sg), 20.0)
    np.testing.assert_allclose(extract.plato_from_sg(gravity_sg), by_density, atol=0.012)


def test_rivals_agree_within_their_published_error():
    """Published, seen: Buhl 2023, mean error against ASBC under 0.00053; Lincoln 0.02."""
    gravity_sg = np.linspace(1.0, 1.083, 84)
    asbc = gravity_rivals.RIVALS["asbc"](gravity_sg)
    for name, bound in {"buhl": 0.002, "nbs": 0.004, "lincoln": 0.021, "aoac": 0.012}.items():
        apart = np.abs(gravity_rivals.RIVALS[name](gravity_sg) - asbc)
        assert apart.max() < bound, name


def test_wort_is_denser_when_stronger_and_lighter_when_hotter():
    strength_plato = np.linspace(-5.0, 85.0, 91)[:, None]
    temp_c = np.linspace(5.0, 100.0, 96)[None, :]
    kg_m3 = extract.wort_density_kg_m3(strength_plato, temp_c)
    assert np.all(np.diff(kg_m3, axis=0) > 0.0)
    assert np.all(np.diff(kg_m3[5:], axis=1) < 0.0)


def test_water_has_its_greatest_density_near_4_c():
    temp_c = np.linspace(0.0, 10.0, 1001)
    for density in (water.density_kg_m3, water.density_tanaka_2001_kg_m3):
        assert temp_c[np.argmax(density(temp_c))] == pytest.approx(3.98, abs=0.02)
    assert water.expansion(20.0) == 1.0


def test_higher_places_boil_cooler_and_warm_water_runs_easier():
    elevation_m, temp_c = np.linspace(-400.0, 5000.0, 55), np.linspace(0.0, 100.0, 101)
    boil_c = water.boiling_point_c(water.standard_pressure_kpa(elevation_m))
    assert np.all(np.diff(boil_c) < 0.0)
    assert np.all(np.diff(water.viscosity_mpa_s(temp_c)) < 0.0)
    assert np.all(np.diff(water.latent_heat_kj_kg(temp_c)) < 0.0)


def test_hydrometer_reads_true_at_its_own_temperature():
    reading_sg = np.linspace(0.99, 1.12, 27)
    np.testing.assert_allclose(instruments.hydrometer_sg(reading_sg, 20.0), reading_sg, atol=1e-12)


def test_warm_samples_read_low():
    temp_c = np.linspace(5.0, 60.0, 56)
    assert np.all(np.diff(instruments.hydrometer_sg(1.050, temp_c)) > 0.0)


def test_every_final_gravity_rises_with_the_reading_and_falls_with_the_wort():
    original_plato, final_plato = np.linspace(10.0, 18.0, 9), np.linspace(4.0, 9.0, 26)
    for name, fit in instruments.FINAL_SG.items():
        assert np.all(np.diff(fit(12.0, final_plato)) > 0.0), name
        assert np.all(np.diff(fit(original_plato, 6.0)) < 0.0), name


# --- balances -------------------------------------------------------------------------------


@few
@given(between(10.0, 40.0), between(1.0, 15.0), between(0.5, 0.95))
def test_evaporation_keeps_the_extract(cold_l, strength_plato, kept):
    mass_kg = extract.extract_kg(cold_l, strength_plato)
    boiled_plato = extract.plato_from_extract(mass_kg, cold_l * kept)
    assert extract.extract_kg(cold_l * kept, boiled_plato) == pytest.approx(mass_kg, rel=1e-12)
    # Strength times gravity times volume is kept as well; air in the gravity costs 1e-4.
    product = strength_plato * extract.sg_from_plato(strength_plato) * cold_l
    boiled = boiled_plato * extract.sg_from_plato(boiled_plato) * cold_l * kept
    assert boiled == pytest.approx(product, rel=1e-4)


def test_a_boil_from_28_to_23_litres():
    """Law: 28 L of 10.0 degP boiled to 23 L; 12.074 when P SG V is kept with gravities in air."""
    boiled_plato = extract.plato_from_extract(extract.extract_kg(28.0, 10.0), 23.0)
    assert boiled_plato == pytest.approx(12.074, abs=0.001)


@few
@given(between(4.0, 25.0), between(0.0, 1.0))
def test_balling_identity(original_plato, attenuation):
    """Law: the wort reckoned back from alcohol and real extract is the wort that was there."""
    apparent_plato = alcohol.final_plato(original_plato, attenuation)
    back_plato = alcohol.balling_original_plato(
        alcohol.alcohol_abw(original_plato, apparent_plato),
        alcohol.real_extract_plato(original_plato, apparent_plato),
    )
    assert back_plato == pytest.approx(original_plato, abs=1e-9)


def test_balling_makes_as_much_as_it_uses():
    """Published, seen: 2.0665 g of extract make 1 g alcohol, 0.9565 g gas, 0.11 g yeast."""
    assert pytest.approx(2.0665, abs=1e-12) == alcohol.EXTRACT_PER_ALCOHOL
    assert alcohol.CO2_PER_ALCOHOL == 0.9565
    assert alcohol.YEAST_PER_ALCOHOL == 0.11
    # Stoichiometry: 44.01 g of gas to 46.07 g of alcohol.
    assert pytest.approx(44.0095 / 46.0684, rel=0.002) == alcohol.CO2_PER_ALCOHOL


@few
@given(between(4.0, 25.0), between(0.0, 1.0))
def test_real_degree_of_fermentation_is_the_share_used_up(original_plato, attenuation):
    """Law: extract used for the alcohol, over that plus what is left, is the ASBC quotient."""
    apparent_plato = alcohol.final_plato(original_plato, attenuation)
    real_plato = alcohol.real_extract_plato(original_plato, apparent_plato)
    used = 206.65 * alcohol.alcohol_abw(original_plato, apparent_plato)
    found = alcohol.rdf(original_plato, real_plato)
    # 0.005161 is 1.0665 / 206.65 rounded to four digits.
    assert found == pytest.approx(used / (used + real_plato), abs=2e-6)


@few
@given(between(1.030, 1.100), between(0.72, 0.82))
def test_ways_to_alcohol_by_volume_agree(original_sg, attenuation):
    original_plato = extract.plato_from_sg(original_sg)
    final_sg = extract.sg_from_plato(alcohol.final_plato(original_plato, attenuation))
    balling = alcohol.ABV["balling"](original_sg, final_sg)
    for name, bound in {"hall": 0.07, "simple": 0.05, "uk": 0.035}.items():
        assert alcohol.ABV[name](original_sg, final_sg) == pytest.approx(balling, rel=bound), name


def test_uk_factor_of_38_points_is_within_3_per_cent_of_balling():
    uk, balling = (alcohol.ABV[name](1.048, 1.010) for name in ("uk", "balling"))
    assert uk == pytest.approx(balling, rel=0.03)


def test_rudolphs_example_by_volume():
    """Published, seen: H. Rudolph, Alkohol: 12.2/3.8, density 1.013, 4.5 per cent by volume.

    His divisor is 0.794, usual in German home literature. By the density of ethanol, 0.7892 kg/L,
    it is 4.56: both stand here.
    """
    by_weight = alcohol.alcohol_abw(12.2, 3.8)
    beer_kg_l = extract.sg_from_plato(3.8) * 0.998203
    assert beer_kg_l == pytest.approx(1.013, abs=0.0005)
    assert by_weight * beer_kg_l / 0.794 == pytest.approx(0.045, abs=0.0005)
    ours = alcohol.alcohol_abv(extract.sg_from_plato(12.2), extract.sg_from_plato(3.8))
    assert ours == pytest.approx(by_weight * beer_kg_l / 0.789239, rel=1e-9)


def test_mebaks_example_by_volume():
    """Published, seen: MEBAK bookkeeping of 12.0/2.4: about 5.1 per cent; Balling says 5.18."""
    ours = alcohol.alcohol_abv(extract.sg_from_plato(12.0), extract.sg_from_plato(2.4))
    assert ours == pytest.approx(0.0518, abs=0.00005)
    assert ours == pytest.approx(0.051, abs=0.001)


@pytest.mark.parametrize(
    ("original_plato", "attenuation", "expected_sg"),
    [(12.0, 0.80, 1.00937), (12.0, 0.75, 1.01173), (15.0, 0.78, 1.01292)],
)
def test_final_gravity_of_an_attenuation(original_plato, attenuation, expected_sg):
    """DERIVED: root of the ASBC cubic at the apparent extract, by another program."""
    found = extract.sg_from_plato(alcohol.final_plato(original_plato, attenuation))
    assert found == pytest.approx(expected_sg, abs=0.000006)


@few
@given(between(0.0, 0.15))
def test_alcohol_by_volume_uses_the_density_of_the_mixture(share):
    mixture_kg_m3 = ethanol.ethanol_density_kg_m3(share, 20.0)
    expected = share * mixture_kg_m3 / 789.239
    assert ethanol.ethanol_volume_fraction(share) == pytest.approx(expected, rel=1e-6, abs=1e-15)


@few
@given(between(8.0, 20.0), between(0.3, 1.0), between(1.0, 1.06))
def test_refractometer_balance_undoes_the_reading_of_a_known_beer(
    original_plato, attenuation, wort_correction
):
    """Law: real extract and alcohol refract; from their sum the gravity comes back."""
    apparent_plato = alcohol.final_plato(original_plato, attenuation)
    real_plato = alcohol.real_extract_plato(original_plato, apparent_plato)
    by_weight = alcohol.alcohol_abw(original_plato, apparent_plato)
    reading_plato = wort_correction * real_plato + 43.0 * by_weight
    spread = instruments.final_sg_spread(original_plato, reading_plato, wort_correction)
    assert spread.mid_sg == pytest.approx(extract.sg_from_plato(apparent_plato), abs=1e-10)
    assert spread.low_sg <= spread.mid_sg <= spread.high_sg


def test_spread_holds_every_fit():
    original_plato, reading_plato = np.array([10.0, 12.0, 15.0]), np.array([5.2, 6.5, 7.6])
    spread = instruments.final_sg_spread(original_plato, reading_plato)
    fits = np.stack(
        [f(original_plato, reading_plato / 1.04) for f in instruments.FINAL_SG.values()]
    )
    assert len(fits) == 6
    np.testing.assert_allclose(spread.low_sg, fits.min(axis=0), rtol=1e-12)
    np.testing.assert_allclose(spread.high_sg, fits.max(axis=0), rtol=1e-12)
    # Terrill 2011 and his forebears differ by two points or so either way, not by twenty.
    assert np.all(
        (spread.high_sg - spread.low_sg > 0.001) & (spread.high_sg - spread.low_sg < 0.006)
    )


# --- edges ----------------------------------------------------------------------------------


def test_no_answer_outside_what_is_known():
    assert np.isnan(extract.plato_from_extract(30.0, 10.0))
    assert np.isnan(extract.plato_from_extract(1.0, 0.0))
    assert np.isnan(extract.plato_from_sg(1.6))
    assert np.isnan(extract.sg_from_plato(85.1))
    assert np.isnan(extract.sg_from_plato(-20.1))
    assert np.isnan(extract.plato_from_density(700.0, 20.0))
    assert np.isnan(gravity_rivals.plato_aoac(1.6))
    assert np.isnan(ethanol.ethanol_fraction_from_density(1100.0, 20.0))
    assert np.isnan(ethanol.ethanol_fraction_from_density(789.0, 20.0))
    assert np.isnan(alcohol.apparent_attenuation(0.0, 0.0))
    assert np.isnan(alcohol.rdf(0.0, 0.0))
    for unknown in (extract.plato_from_sg, extract.sg_from_plato):
        assert np.isnan(unknown(np.nan))


@pytest.mark.parametrize("end_plato", [extract.WEAKEST_PLATO, extract.STRONGEST_PLATO])
def test_extract_is_known_up_to_both_ends(end_plato):
    end_kg = end_plato / 100 * extract.wort_density_kg_m3(end_plato, 20.0) / 1000
    assert extract.plato_from_extract(0.999 * end_kg, 1.0) == pytest.approx(end_plato, rel=2e-3)
    assert np.isnan(extract.plato_from_extract(1.001 * end_kg, 1.0))


def test_strength_of_no_extract_is_that_of_water():
    assert extract.plato_from_extract(0.0, 20.0) == pytest.approx(0.0, abs=1e-12)
    assert extract.plato_from_extract(-1e-16, 20.0) == pytest.approx(0.0, abs=1e-12)


def test_hydrometer_refuses_hot_and_frozen_samples():
    found = instruments.hydrometer_sg(1.04, np.array([-0.1, 0.0, 60.0, 60.1]))
    np.testing.assert_array_equal(np.isnan(found), [True, False, False, True])
    assert instruments.HOTTEST_SAMPLE_C == 60.0


def test_small_tools():
    assert polynomial((1.0, 2.0, 3.0), 2.0) == 17.0
    assert derivative((1.0, 2.0, 3.0)) == [2.0, 6.0]
    assert quotient(6.0, 3.0) == 2.0
    assert np.isnan(quotient(6.0, 0.0))
