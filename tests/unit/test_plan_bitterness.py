"""Bitterness of a plan: sums, directions and orders.

Kind: law where something must add up or not matter; common practice, no source, where an order or
a direction is meant; the tests say which.
"""

import itertools

import pytest

BIG = {"rig.kettle.brim": "60 L"}


def doses_of(report):
    return {dose["id"]: dose for dose in report["bitterness"]["doses"]}


def total(report, dose="d1"):
    return doses_of(report)[dose]["total_ibu"]


def one_dose(papers, when="60 min", mass="22 g", alpha="13 %", **more):
    hop = {"hop": "Magnum", "mass": mass, "alpha": alpha, "form": "pellets", "when": when}
    return papers.but({"recipe.hops": [hop | more]})


def no_rest(papers):
    return papers.but({"recipe.whirlpool": None})


@pytest.mark.parametrize("method", ["kinetic", "tinseth"])
def test_everything_sums_up(papers, method):
    """Kind: law."""
    bitterness = papers.quick(method)["bitterness"]
    assert bitterness["method"] == method
    for dose in bitterness["doses"]:
        parts = dose["boil_ibu"] + dose["rest_ibu"] + dose["chill_ibu"]
        assert parts == pytest.approx(dose["total_ibu"], abs=1e-9)
        assert min(dose["boil_ibu"], dose["rest_ibu"], dose["chill_ibu"]) >= 0.0
    mid = sum(dose["total_ibu"] for dose in bitterness["doses"])
    assert bitterness["ibu"]["mid"] == pytest.approx(mid, abs=1e-9)
    assert bitterness["ibu"]["low"] <= mid <= bitterness["ibu"]["high"]
    assert [dose["id"] for dose in bitterness["doses"]] == ["d1", "d2", "d3", "malt"]


def test_what_is_earned_when(papers):
    """Kind: law. A dose earns nothing before it is in."""
    doses = doses_of(papers.quick())
    assert doses["d1"]["boil_ibu"] > 10.0
    assert doses["d2"]["boil_ibu"] == 0.0 and doses["d2"]["rest_ibu"] > 0.0
    assert doses["d3"]["boil_ibu"] == 0.0 and doses["d3"]["rest_ibu"] > 0.0
    late = doses_of(papers.but({"recipe.hops.2.when": "below 70 C"}).quick())["d3"]
    assert late["rest_ibu"] == 0.0 and late["chill_ibu"] == late["total_ibu"] > 0.0


def test_malt_is_bitter_by_kinetics_alone(papers):
    """Kind: law. Tinseth's formula knows only hops."""
    assert doses_of(papers.quick("tinseth"))["malt"]["total_ibu"] == 0.0
    assert 0.5 < doses_of(papers.quick())["malt"]["total_ibu"] < 1.5


def test_dry_hops_are_not_bitter(papers):
    """Kind: law of this ledger: no kettle bitterness, and a note that says so."""
    report = one_dose(papers, "dry hop").quick()
    dose = doses_of(report)["d1"]
    assert dose["total_ibu"] == 0.0 and dose["in_min"] is None and dose["shift_min"] is None
    assert "dry-hop" in {note["code"] for note in report["notes"]}


def test_twenty_hot_minutes_little_to_early_much_to_late_doses(papers):
    """Kind: common practice, no source, in direction and order."""
    gains = {}
    for when in ("60 min", "20 min", "5 min", "heat-off"):
        plain = total(no_rest(one_dose(papers, when)).quick())
        rested = total(one_dose(papers, when).but({"recipe.whirlpool.lid": "on"}).quick())
        gains[when] = rested / plain - 1.0
    assert list(gains.values()) == sorted(gains.values())
    assert 0.0 <= gains["60 min"] < 0.10
    assert gains["heat-off"] > 0.5


@pytest.mark.parametrize("method", ["kinetic", "tinseth"])
@pytest.mark.parametrize("when", ["20 min", "heat-off", "10 min into rest"])
def test_a_lid_on_the_rest_makes_a_late_dose_bitterer(papers, method, when):
    """Kind: law (hotter is faster)."""
    dose = one_dose(papers, when)
    lids = ("off", {"gap": "40 cm2"}, "on")
    found = [total(dose.but({"recipe.whirlpool.lid": lid}).quick(method)) for lid in lids]
    assert found == sorted(found) and found[-1] > found[0] * 1.01


def test_thinner_air_makes_less_bitter(papers):
    """Kind: law (it boils cooler)."""
    dose = one_dose(papers)
    found = [total(dose.but({"day.elevation": f"{m} m"}).quick()) for m in (0, 800, 1800, 2800)]
    assert found == sorted(found, reverse=True)
    assert found[-1] < 0.85 * found[0]


def test_a_slower_chill_makes_a_late_dose_bitterer(papers):
    """Kind: law."""
    dose = no_rest(one_dose(papers, "heat-off"))
    chills = ("instant", "5 K/min", "2.5 K/min", "1 K/min")
    found = [total(dose.but({"recipe.chill.at": chill}).quick()) for chill in chills]
    assert found == sorted(found) and found[-1] > 1.2 * found[0]


def test_earlier_doses_are_bitterer_up_to_an_hour(papers):
    """Kind: law, for the kinetics below about two hours of boil."""
    whens = ("first wort", "60 min", "45 min", "30 min", "15 min", "5 min", "heat-off",
             "10 min into rest", "below 80 C", "below 50 C")  # fmt: skip
    found = [total(one_dose(papers, when).quick("tinseth")) for when in whens]
    # First wort counts its boil for Tinseth and nothing before it.
    assert found[0] == pytest.approx(found[1], rel=1e-12)
    assert found[1:] == sorted(found[1:], reverse=True)


@pytest.mark.parametrize("method", ["kinetic", "tinseth"])
@pytest.mark.parametrize(("held", "less"), [("bag", 0.05), ("mesh", 0.10)])
def test_containment_takes_exactly_its_share(papers, method, held, less):
    """Kind: law. The same wort: contained hops are made to hold as much as free ones."""
    same = papers.but({"rig.hops_hold.contained": "9 L/kg"})
    free, kept = one_dose(same).quick(method), one_dose(same, held=held).quick(method)
    assert total(kept) == pytest.approx((1.0 - less) * total(free), rel=1e-12)
    plain = free["bitterness"]["tinseth_ibu"]
    assert kept["bitterness"]["tinseth_ibu"] == pytest.approx((1.0 - less) * plain, rel=1e-12)


def test_a_large_late_dose_doubled_gains_less_than_double(papers):
    """Kind: law of the soft limit, above 200 mg/L of dissolved alpha acids."""
    still = papers.but(BIG | {"rig.hops_hold.free": "0 L/kg"})
    single = total(one_dose(still, "heat-off", "60 g", "14 %").quick())
    double = total(one_dose(still, "heat-off", "120 g", "14 %").quick())
    assert single < double < 1.9 * single


def test_a_small_dose_doubled_doubles(papers):
    """Kind: law: below the limit bitterness is proportional to the dose."""
    still = papers.but({"rig.hops_hold.free": "0 L/kg"})
    single = total(one_dose(still, "30 min", "10 g").quick())
    double = total(one_dose(still, "30 min", "20 g").quick())
    assert double == pytest.approx(2.0 * single, rel=1e-12)


@pytest.mark.parametrize("mass_g", [20, 200])
def test_a_dose_split_at_one_moment_is_the_same_dose(papers, mass_g):
    """Kind: law, below and above the limit."""
    hop = {"hop": "Magnum", "alpha": "14 %", "form": "pellets", "when": "heat-off"}
    whole = papers.but(BIG | {"recipe.hops": [hop | {"mass": f"{mass_g} g"}]}).quick()
    parts = [hop | {"mass": f"{share * mass_g} g"} for share in (0.2, 0.5, 0.3)]
    split = papers.but(BIG | {"recipe.hops": parts}).quick()
    mid = whole["bitterness"]["ibu"]["mid"]
    assert split["bitterness"]["ibu"]["mid"] == pytest.approx(mid, rel=1e-9)


def test_what_has_isomerised_leaves_room_for_a_later_dose(papers):
    """Kind: law. The limit acts on what is dissolved at the moment of each dose."""
    hop = {"hop": "Magnum", "alpha": "14 %", "form": "pellets", "mass": "70 g", "when": "60 min"}
    late = hop | {"when": "heat-off"}
    both = papers.but(BIG | {"rig.hops_hold.free": "0 L/kg"})
    apart = both.but({"recipe.hops": [hop, late]}).quick()
    alone = both.but({"recipe.hops": [late]}).quick()
    together = both.but({"recipe.hops": [late, late]}).quick()
    last = total(apart, "d2")
    assert last < total(alone)
    assert last > 0.5 * (total(together, "d1") + total(together, "d2"))


@pytest.mark.parametrize("held", [("free", "free"), ("bag", "free")])
@pytest.mark.parametrize("mass_g", [20, 90])
def test_the_order_in_the_document_does_not_matter(papers, mass_g, held):
    """Kind: law. Also for doses of one moment above the limit that are held differently."""
    hops = [
        {"hop": "Magnum", "mass": f"{mass_g} g", "alpha": "14 %", "form": "pellets",
         "when": "heat-off", "held": held[0]},
        {"hop": "Columbus", "mass": f"{mass_g} g", "alpha": "12 %", "form": "cones",
         "when": "heat-off", "held": held[1]},
        {"hop": "Perle", "mass": "30 g", "alpha": "7 %", "form": "pellets", "when": "45 min"},
        {"hop": "Saaz", "mass": "30 g", "alpha": "3 %", "form": "pellets", "when": "below 80 C"},
    ]  # fmt: skip
    reports = [
        papers.but(BIG | {"recipe.hops": list(order)}).quick()
        for order in (hops, hops[::-1], [hops[i] for i in (2, 1, 3, 0)])
    ]
    by_name = [
        {dose["name"]: dose["total_ibu"] for dose in report["bitterness"]["doses"]}
        for report in reports
    ]
    for one, other in itertools.pairwise(by_name):
        assert one == pytest.approx(other, rel=1e-9)
    for report in reports[1:]:
        for key in ("water_l", "strike_c", "abv_fraction"):
            assert report[key] == pytest.approx(reports[0][key], rel=1e-12)
        mid = reports[0]["bitterness"]["ibu"]["mid"]
        assert report["bitterness"]["ibu"]["mid"] == pytest.approx(mid, rel=1e-9)


def test_pellets_are_bitterer_than_cones(papers):
    """Kind: common practice in direction; Hosom's pellet factor 2 on oxidised acids."""
    assert total(one_dose(papers).quick()) > total(one_dose(papers, form="cones").quick())


def test_hops_from_a_warm_shelf_are_less_bitter(papers):
    """Kind: common practice in direction."""
    stored = {"for": "12 months", "at": "20 C", "packed": "open"}
    frozen = {"for": "12 months", "at": "-20 C", "packed": "vacuum"}
    fresh = total(one_dose(papers).quick())
    warm = total(one_dose(papers, stored=stored).quick())
    cold = total(one_dose(papers, stored=frozen).quick())
    assert warm < cold < fresh


def test_wort_is_bitterer_than_beer(papers):
    """Kind: law (fermentation only takes)."""
    bitterness = papers.quick()["bitterness"]
    assert bitterness["wort_ibu"] > bitterness["ibu"]["mid"]


def test_methods_are_never_blended(papers):
    """Kind: law: Tinseth's number is the same beside either method."""
    one, other = papers.quick()["bitterness"], papers.quick("tinseth")["bitterness"]
    assert one["tinseth_ibu"] == other["tinseth_ibu"]
    assert other["ibu"]["mid"] > other["tinseth_ibu"]


def test_tinseth_without_rest_is_the_plain_formula(papers):
    """Kind: law: at an instant chill nothing is left to weigh with temperature."""
    report = one_dose(no_rest(papers).but({"recipe.chill.at": "instant"})).quick("tinseth")
    mid = report["bitterness"]["ibu"]["mid"]
    assert mid == pytest.approx(report["bitterness"]["tinseth_ibu"], rel=1e-9)


def test_stronger_wort_takes_less_bitterness(papers):
    """Kind: law of both methods, in direction."""
    strong = one_dose(papers).but({"recipe.grist.0.mass": "8 kg"} | BIG)
    for method in ("kinetic", "tinseth"):
        assert total(strong.quick(method)) < total(one_dose(papers).but(BIG).quick(method))
