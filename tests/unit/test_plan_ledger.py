"""The ledger worked out again by hand from the documents, row by row.

Kind: law. Every row is what the meaning of the documents says: the batch in the fermenter and each
loss on the way, all in litres at 20 C. Only the evaporation after heat-off is taken from the plan
here; the heat balance behind it is checked against a general solver elsewhere.
"""

import math

import pytest

CLOSE = 1e-9
SPARGED = {
    "recipe.mash.water": {"first": "17 L", "sparge": "remainder", "at": "75 C"},
    "rig.mash.efficiency": "balance",
}
CASES = {
    "as it is": ({}, (0.022 + 0.040 + 0.035) * 9.0),
    "sparged, by balance": (SPARGED, (0.022 + 0.040 + 0.035) * 9.0),
    "bag and mesh": (
        {"recipe.hops.0.held": "bag", "recipe.hops.1.held": "mesh"},
        (0.022 + 0.040) * 5.0 + 0.035 * 9.0,
    ),
    "dry hop": ({"recipe.hops.1.when": "dry hop"}, (0.022 + 0.035) * 9.0),
    "no hops": ({"recipe.hops": None}, 0.0),
    "cold chill": (
        {"recipe.whirlpool": None, "recipe.chill.at": "instant", "recipe.hops.2.when": "heat-off"},
        (0.022 + 0.040 + 0.035) * 9.0,
    ),
    "high up": ({"day.elevation": "2400 m"}, (0.022 + 0.040 + 0.035) * 9.0),
}


def rows_of(report):
    return {row["step"]: row for row in report["ledger"]}


@pytest.fixture(params=CASES, ids=lambda name: name.replace(" ", "-"))
def case(request, papers):
    changes, held_l = CASES[request.param]
    return papers.but(changes).quick(), held_l


def test_every_cold_litre_is_the_batch_and_its_losses(case):
    report, held_l = case
    cold_l = {step: row["cold_l"] for step, row in rows_of(report).items()}
    wort_l = 23.0 + 0.7 + 1.2 + held_l
    postboil_l = wort_l + cold_l["rest_loss"]
    preboil_l = postboil_l + 2.9 * 60.0 / 60.0
    water_l = preboil_l + 0.90 * (4.80 + 0.50)
    wanted = {
        "fermenter": 23.0, "hold_up": 0.7, "left_behind": 1.2, "hops_hold": held_l, "wort": wort_l,
        "postboil": postboil_l, "boil_off": 2.9, "preboil": preboil_l, "grain_holds": 0.90 * 5.30,
        "water": water_l,
    }  # fmt: skip
    for step, litres in wanted.items():
        assert cold_l[step] == pytest.approx(litres, abs=CLOSE), step
    assert report["water_l"] == pytest.approx(water_l, abs=CLOSE)


def test_losses_close_between_stages(case):
    """What stands between two stages of the printed rows is their difference."""
    report, _ = case
    rows = report["ledger"]
    start = next(i for i, row in enumerate(rows) if row["step"] == "mash")
    running_l = rows_of(report)["water"]["cold_l"]
    for row in rows[start + 1 :]:
        if row["kind"] == "loss":
            running_l -= row["cold_l"]
        else:
            assert row["cold_l"] == pytest.approx(running_l, abs=CLOSE), row["step"]
    assert running_l == pytest.approx(23.0, abs=CLOSE)


def test_marks_are_hot_litres_over_the_floor(case):
    report, _ = case
    floor_cm2 = math.pi * 19.0**2
    marked = [row for row in report["ledger"] if row["mark_cm"] is not None]
    assert {"water", "mash", "preboil", "postboil"} <= {row["step"] for row in marked}
    for row in marked:
        assert row["mark_cm"] == pytest.approx(1000.0 * row["hot_l"] / floor_cm2, rel=1e-12)


def test_temperatures_of_the_rows(case):
    report, _ = case
    rows = rows_of(report)
    assert rows["water"]["temp_c"] == 14.0
    assert rows["mash"]["temp_c"] == 66.0
    assert rows["fermenter"]["temp_c"] == 18.0
    assert rows["preboil"]["temp_c"] == rows["postboil"]["temp_c"]


def test_the_mash_row_is_water_with_what_the_grain_displaces(papers):
    """Displacement 0.67 L/kg (from memory, 0.65 to 0.70), the typical value of the tables."""
    report = papers.quick()
    rows = rows_of(report)
    assert rows["mash"]["cold_l"] == pytest.approx(rows["water"]["cold_l"] + 0.67 * 5.30)
    # 980.5 kg/m3 at 66 C and 998.2 at 20 C: IAPWS-95 rounded, from memory; grain does not expand.
    swollen = 998.2 / 980.0
    hot_l = rows["water"]["cold_l"] * swollen + 0.67 * 5.30
    assert rows["mash"]["hot_l"] == pytest.approx(hot_l, rel=5e-4)


def test_a_sparge_mashes_with_the_first_water_alone(papers):
    rows = rows_of(papers.but(SPARGED).quick())
    assert rows["mash"]["cold_l"] == pytest.approx(17.0 + 0.67 * 5.30)
    assert rows["first_water"]["cold_l"] == 17.0
    assert rows["sparge"]["cold_l"] == pytest.approx(rows["water"]["cold_l"] - 17.0, abs=CLOSE)
    assert rows["sparge"]["temp_c"] == 75.0


def test_nothing_evaporates_after_heat_off_without_rest_and_with_an_instant_chill(papers):
    rows = rows_of(
        papers.but(
            {
                "recipe.whirlpool": None,
                "recipe.chill.at": "instant",
                "recipe.hops.2.when": "heat-off",
            }
        ).quick()
    )
    assert rows["rest_loss"]["cold_l"] == 0.0
    assert rows["wort"]["cold_l"] == rows["postboil"]["cold_l"]


def test_something_evaporates_otherwise(papers):
    plain = {"recipe.whirlpool": None, "recipe.hops.2.when": "heat-off"}
    assert rows_of(papers.but(plain).quick())["rest_loss"]["cold_l"] > 0.0
    instant = rows_of(papers.but({"recipe.chill.at": "instant"}).quick())
    assert instant["rest_loss"]["cold_l"] > 0.05


def test_boil_off_is_as_measured_at_any_elevation(papers):
    low = rows_of(papers.but({"day.elevation": "0 m"}).quick())
    high = rows_of(papers.but({"day.elevation": "2500 m"}).quick())
    assert low["boil_off"]["cold_l"] == high["boil_off"]["cold_l"] == pytest.approx(2.9)
    assert high["preboil"]["temp_c"] < low["preboil"]["temp_c"] - 7.0


def test_boil_off_goes_with_time(papers):
    rows = rows_of(
        papers.but({"recipe.boil.for": "95 min", "recipe.hops.0.when": "60 min"}).quick()
    )
    assert rows["boil_off"]["cold_l"] == pytest.approx(2.9 * 95 / 60, abs=CLOSE)


def test_the_lid_of_the_rest_saves_water(papers):
    open_l = rows_of(papers.quick())["rest_loss"]["cold_l"]
    gap_l = rows_of(papers.but({"recipe.whirlpool.lid": {"gap": "100 cm2"}}).quick())["rest_loss"]
    shut_l = rows_of(papers.but({"recipe.whirlpool.lid": "on"}).quick())["rest_loss"]["cold_l"]
    assert 0.0 < shut_l < gap_l["cold_l"] < open_l


def test_twice_the_grist_takes_up_twice_the_water(papers):
    doubled = papers.but({"recipe.grist.0.mass": "9.60 kg", "recipe.grist.1.mass": "1 kg",
                          "rig.kettle.brim": "60 L"})  # fmt: skip
    single = rows_of(papers.but({"rig.kettle.brim": "60 L"}).quick())
    rows = rows_of(doubled.quick())
    assert rows["grain_holds"]["cold_l"] == pytest.approx(2 * single["grain_holds"]["cold_l"])
