"""The chill in a plan: per litre drawn, against the tap, and what cannot be."""

from dataclasses import replace

import numpy as np
import pytest

from wortline.plan.chill_line import chill_curve
from wortline.science.chiller import Batch
from wortline.science.dms import precursor_split_per_min
from wortline.science.isomerisation import at, hot_time, iso_share_between
from wortline.science.kettle import kettle_loss
from wortline.science.utilisation import tinseth_hot_time, utilisation_tinseth_hosom_2015

READING = {"wort_in": "96 C", "wort_out": "31 C", "wort": "5 L/min", "water": "9 L/min",
           "water_in": "14 C"}  # fmt: skip
CHILLERS = [
    {"name": "plate", "kind": "plate", "reading": READING},
    {"name": "coil", "kind": "immersion", "ua": "400 W/K", "stirred": "yes"},
]
WORT = Batch(25.0, 3.93, 2.7)
ONE_PASS = {"to": "18 C", "with": "plate", "how": "one-pass"}
TWO_STAGE = {"to": "18 C", "with": "plate", "how": "two-stage", "switch_at": "60 C"}
CIRCULATE = {"to": "18 C", "with": "plate", "how": "circulate"}
COIL = {"to": "18 C", "with": "coil"}


def day_of(papers, chill, **changes):
    more = {f"{key.replace('__', '.')}": value for key, value in changes.items()}
    return papers.but({"rig.chillers": CHILLERS, "recipe.chill": chill, **more})


def test_bitterness_of_one_pass_is_the_mean_over_its_litres(papers):
    """Law: every litre is hot until it is drawn; 4000 of them, followed one by one."""
    plan = day_of(papers, ONE_PASS).plain()[0]
    hot, lines = plan.day.hot, plan.day.lines
    start_min, end_min = float(hot.start_min("chill")), float(hot.end_min)
    # What stays in the kettle: the same curve without anything drawn.
    kettle = hot_time(hot.mid_c[:-1], hot.step_min[:-1])
    drawn_min = start_min + (np.arange(4000) + 0.5) / 4000 * (end_min - start_min)
    for line in lines:
        litres = iso_share_between(at(kettle, line.in_min), at(kettle, drawn_min))
        found = iso_share_between(at(line.hot, line.in_min), at(line.hot, end_min))
        assert found == pytest.approx(float(np.mean(litres)), rel=3e-3)
        left = iso_share_between(at(kettle, line.in_min), at(kettle, end_min))
        assert found < left, "none of it would be drawn"


def test_by_tinseth_too(papers):
    plan = day_of(papers, ONE_PASS).plain("tinseth")[0]
    hot, line = plan.day.hot, plan.day.lines[1]
    start_min, end_min = float(hot.start_min("chill")), float(hot.end_min)
    kettle = tinseth_hot_time(
        hot.mid_c[:-1], hot.step_min[:-1], hot.boiling[:-1]
    )
    drawn_min = start_min + (np.arange(4000) + 0.5) / 4000 * (end_min - start_min)
    litres = [utilisation_tinseth_hosom_2015(kettle, 1.05, line.in_min, each)
              for each in drawn_min[::40]]  # fmt: skip
    found = utilisation_tinseth_hosom_2015(line.hot, 1.05, line.in_min, end_min)
    assert found == pytest.approx(np.mean(litres), rel=5e-3)


def test_dms_of_one_pass_is_the_mean_over_its_litres(papers):
    """Law: precursor split and DMS stripped stop in each litre as it is drawn."""
    plan = day_of(papers, ONE_PASS).plain()[0]
    dms, hot = plan.day.dms, plan.day.hot
    before = np.interp(float(hot.start_min("chill")), dms.time_min, dms.precursor_ug_l)
    piece = hot.stretches["chill"]
    # Half the litres times all the time: the rate at the kettle's temperature, for half as long.
    rate = float(precursor_split_per_min(piece.mid_c[0], plan.day.brew.losses.wort_ph))
    lasts = float(piece.minutes_min)
    drawn = np.mean(np.exp(-rate * lasts * (np.arange(2000) + 0.5) / 2000))
    assert dms.precursor_ug_l[-1] / before == pytest.approx(drawn, rel=2e-3)


def ibu_and_dms(papers, chill, **changes):
    report = day_of(papers, chill, **changes).quick()
    assert report["fits"]
    return report["bitterness"]["ibu"]["mid"], report["dms_ug_l"]["precursor_left"]


def test_circulating_cools_the_whole_kettle_and_one_pass_leaves_it_hot(papers):
    one_ibu, one_left = ibu_and_dms(papers, ONE_PASS)
    two_ibu, two_left = ibu_and_dms(papers, TWO_STAGE)
    all_ibu, all_left = ibu_and_dms(papers, CIRCULATE)
    assert one_ibu > two_ibu > all_ibu
    assert one_left < two_left < all_left, "what is split has turned into DMS"


@pytest.mark.parametrize("chill", [ONE_PASS, CIRCULATE, COIL])
def test_a_slower_chill_means_more_bitterness(papers, chill):
    slow = {"rig.chillers": [{**CHILLERS[0], "water": "4 L/min"},
                             {**CHILLERS[1], "water": "4 L/min"}]}  # fmt: skip
    fast_plan = day_of(papers, chill).quick()
    slow_plan = day_of(papers, chill).but(slow).quick()
    lasts = [_chill_min(plan) for plan in (fast_plan, slow_plan)]
    ibu = [plan["bitterness"]["ibu"]["mid"] for plan in (fast_plan, slow_plan)]
    assert lasts[0] < lasts[1] and ibu[0] < ibu[1]


def _chill_min(plan):
    phase = next(phase for phase in plan["timeline"] if phase["phase"] == "chill")
    return phase["end_min"] - phase["start_min"]


@pytest.mark.parametrize("chill", [ONE_PASS, TWO_STAGE, CIRCULATE, COIL])
def test_colder_water_never_lengthens_the_chill(papers, chill):
    minutes = [_chill_min(day_of(papers, chill, day__tap=f"{tap} C").quick())
               for tap in (4, 8, 12, 16)]  # fmt: skip
    assert minutes == sorted(minutes)


@pytest.mark.parametrize("chill", [ONE_PASS, TWO_STAGE, CIRCULATE, COIL])
def test_a_chill_out_of_reach_names_the_lowest_and_what_works(papers, chill):
    near = day_of(papers, {**chill, "to": "18.001 C"}, day__tap="18 C")
    plan = near.quick()
    if chill is COIL:
        # A coil without a pump gets there in the end.
        assert plan["fits"] and _chill_min(plan) > 30.0
        return
    cant = next(cant for cant in plan["cant"] if cant["code"] == "chill-below-lowest")
    assert cant["limit"] == pytest.approx(
        next(way["lowest_c"] for way in plan["chill"]["ways"] if way["how"] == chill["how"]),
        abs=0.01,
    )
    assert "gets no lower than" in cant["text"]
    assert not plan["fits"]
    end_c = next(phase["end_c"] for phase in plan["timeline"] if phase["phase"] == "chill")
    assert end_c > cant["limit"], "no time is told for what is out of reach"
    assert near.changed(cant["nearest"]["changes"]).quick()["fits"]


@pytest.mark.parametrize("chill", [ONE_PASS, TWO_STAGE])
def test_a_kettle_drawn_in_one_pass_is_never_as_cold_as_what_left_it(papers, chill):
    waiting = day_of(papers, chill, recipe__hops__2__when="below 40 C")
    cant = next(each for each in waiting.quick()["cant"] if each["code"] == "dose-never-reached")
    assert "one pass leaves the kettle at" in cant["text"]
    assert waiting.changed(cant["nearest"]["changes"]).quick()["fits"]
    assert day_of(papers, CIRCULATE, recipe__hops__2__when="below 40 C").quick()["fits"]


def test_below_the_tap_nothing_gets_whatever_the_way(papers):
    for chill in (ONE_PASS, TWO_STAGE, CIRCULATE, COIL):
        warm = day_of(papers, chill, day__tap="24 C")
        cant = warm.quick()["cant"][0]
        assert cant["code"] == "chill-below-tap"
        assert warm.changed(cant["nearest"]["changes"]).quick()["fits"], chill


def test_the_conductance_widens_the_range(papers):
    """A chiller of which nothing is known says less than one that was read."""
    widths = []
    for chiller in (CHILLERS[0], {"name": "plate", "kind": "plate", "wort": "5 L/min"}):
        report = day_of(papers, ONE_PASS).but({"rig.chillers": [chiller]}).planned().report
        way = next(way for way in report["chill"]["ways"] if way["how"] == "circulate")
        widths.append(way["high_min"] - way["low_min"])
    assert widths[1] > 3.0 * widths[0]


def test_a_tap_from_the_climate_is_a_guess_and_is_said(papers):
    climate = {"mean": "10 C", "range": "22 K", "month": "February"}
    planned = papers.but({"day.tap": None, "day.climate": climate}).planned()
    tap = planned.plan.case.inputs["day.tap"]
    # An independent program of the formula has 8.3 C.
    assert tap.value == pytest.approx(8.3, abs=0.06) and tap.trust == "guess"
    codes = [note["code"] for note in planned.report["notes"]]
    assert "tap-from-climate" in codes and "assumed" not in codes


@pytest.mark.parametrize("chill", [ONE_PASS, TWO_STAGE, CIRCULATE, COIL])
def test_members_of_an_ensemble_chill_as_they_would_alone(papers, chill):
    """Law: f(array)[i] is f(scalar i), also for a member out of reach and one cool already."""
    brew = day_of(papers, chill).plain()[0].day.brew
    taps, starts = np.array([8.0, 14.0, 17.99, 14.0]), np.array([96.0, 83.0, 90.0, 15.0])

    def curve(tap_c, start_c):
        return chill_curve(replace(brew, air=replace(brew.air, tap_c=tap_c)), start_c, WORT)

    together = curve(taps, starts)
    for index, (tap_c, start_c) in enumerate(zip(taps, starts, strict=True)):
        alone = curve(tap_c, start_c)
        lasts = np.sum(together.step_min, axis=0)[index]
        assert lasts == pytest.approx(float(np.sum(alone.step_min)), rel=1e-9)
        assert together.ends_c[0][index] == alone.ends_c[0] == start_c
        assert together.ends_c[-1][index] == pytest.approx(float(alone.ends_c[-1]), abs=1e-9)
        if alone.in_kettle is not None:
            hot_min = np.sum(together.step_min * together.in_kettle, axis=0)[index]
            assert hot_min == pytest.approx(float(np.sum(alone.step_min * alone.in_kettle)))
    # Cool enough already: nothing is done to it, and it takes no time.
    assert np.sum(together.step_min, axis=0)[3] == 0.0 and together.ends_c[-1][3] == 15.0
    # To 18 C from a tap of 17.99 C only the coil gets: the others end above their lowest.
    assert (together.ends_c[-1][2] > 18.0 + 1e-6) == (chill is not COIL)


@pytest.mark.parametrize("cold_l", [10.0, 20.0, 50.0])
@pytest.mark.parametrize("bulk_c", [66.0, 80.0, 98.0])
def test_an_open_kettle_cools_faster(bulk_c, cold_l):
    """Law: a lid only ever keeps heat and steam in."""
    diameter_m, air = 0.36, (20.0, 101.325)
    height_m = cold_l / 1000.0 / (np.pi / 4.0 * diameter_m**2)
    opened, lidded = (
        kettle_loss(bulk_c, *air, diameter_m, height_m, open_share=share) for share in (1.0, 0.0)
    )
    assert opened.loss_w > 2.0 * lidded.loss_w
    assert opened.evaporation_kg_min > lidded.evaporation_kg_min


BARE_COIL, BARE_PLATE = {"name": "coil", "kind": "immersion"}, {"name": "plate", "kind": "plate"}
PLAIN = {"to": "18 C", "in": "20 min"}


@pytest.mark.parametrize(
    ("chillers", "chill", "more", "asks"),
    [
        ([BARE_COIL, BARE_PLATE], COIL, {}, True),
        ([BARE_COIL, BARE_PLATE], ONE_PASS, {}, False),
        ([BARE_COIL], PLAIN, {}, True),
        ([BARE_COIL, BARE_PLATE], PLAIN, {}, False),
        ([BARE_COIL], COIL, {"rig.swirl": {"obstacle": "350 cm2"}}, False),
        # Who types that there is nothing has said so.
        ([BARE_COIL], COIL, {"rig.swirl": {"obstacle": "0 cm2"}}, False),
        ([BARE_COIL], COIL, {"recipe.whirlpool": None, "recipe.hops": []}, False),
    ],
)
def test_a_coil_that_may_stand_in_the_swirl_is_asked_about(papers, chillers, chill, more, asks):
    changes = {"rig.swirl": {"flow": "10 L/min"}, **more}
    planned = papers.but({"rig.chillers": chillers, "recipe.chill": chill, **changes}).planned()
    found = [n["text"] for n in planned.report["notes"] if n["code"] == "coil-in-the-swirl"]
    assert bool(found) == asks
    if found:
        assert "`coil`" in found[0] and "`obstacle: 400 cm2`" in found[0].replace("\u00a0", " ")
