"""Hot litres and boiling points of the ledger against CoolProp.

Kind: oracle, CoolProp (IAPWS-95), and ISO 2533 (1975) for air pressure over elevation.
"""

import pytest
from CoolProp.CoolProp import PropsSI


def oracle_kg_m3(temp_c):
    """Water at one atmosphere, or as a saturated liquid where it would boil."""
    if temp_c < 99.0:
        return PropsSI("D", "T", temp_c + 273.15, "P", 101325.0, "Water")
    return PropsSI("D", "T", temp_c + 273.15, "Q", 0, "Water")


@pytest.mark.parametrize("elevation_m", [0, 220, 1500, 3000])
def test_hot_litres_swell_as_water_does(papers, elevation_m):
    changed = papers.but(
        {
            "day.elevation": f"{elevation_m} m",
            "recipe.mash.water": {"first": "20 L", "sparge": "remainder"},
        }
    )
    report = changed.quick()
    seen = 0
    for row in report["ledger"]:
        if row["hot_l"] is None:
            continue
        cold_l, solid_l = row["cold_l"], 0.0
        if row["step"] == "mash":
            solid_l = 0.67 * 5.30
        hot_l = (cold_l - solid_l) * oracle_kg_m3(20.0) / oracle_kg_m3(row["temp_c"]) + solid_l
        # Kell's density is within 0.03 kg/m3 of IAPWS-95 up to the boil.
        assert row["hot_l"] == pytest.approx(hot_l, rel=5e-5), row["step"]
        seen += 1
    assert seen >= 6


@pytest.mark.parametrize("elevation_m", [0, 220, 1500, 3000])
def test_wort_boils_where_water_does_at_that_air_pressure(papers, elevation_m):
    report = papers.but({"day.elevation": f"{elevation_m} m"}).quick()
    pressure_pa = 101325.0 * (1.0 - 0.0065 * elevation_m / 288.15) ** 5.25588
    boils_c = PropsSI("T", "P", pressure_pa, "Q", 0, "Water") - 273.15
    row = next(row for row in report["ledger"] if row["step"] == "preboil")
    assert row["temp_c"] == pytest.approx(boils_c, abs=0.01)


def test_the_element_bound_is_rated_power_over_latent_heat(papers):
    report = papers.but({"day.pressure": "101.325 kPa"}).quick()
    latent_j_kg = PropsSI("H", "P", 101325.0, "Q", 1, "Water") - PropsSI(
        "H", "P", 101325.0, "Q", 0, "Water"
    )
    cold_l_h = 3000.0 * 3600.0 / latent_j_kg / oracle_kg_m3(20.0) * 1000.0
    assert report["heat"]["max_boil_off_l_h"] == pytest.approx(cold_l_h, rel=2e-4)
