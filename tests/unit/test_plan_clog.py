"""Clog caution: its order, what is not told, the ways down, and answers that shift nothing yet.

Kind: laws of an order; the steps themselves are common practice, no source.
"""

from itertools import product
from pathlib import Path

import pytest
from ruamel.yaml import YAML

from wortline.documents.plumbing import PipePart
from wortline.plan.clog import (
    FlowAnswer,
    HopLoad,
    Passage,
    WortWay,
    bounds,
    clog,
    hop_load,
    level,
    loose_share,
    reasons,
    wort_way,
)

SHED = YAML(typ="safe").load(
    (Path(__file__).parents[2] / "examples/shed-two-valves.yaml").read_text(encoding="utf-8")
)
LOADS = (0.0, 0.4, 0.5, 1.0, 2.0, 3.0, 5.0, 12.0)
WIDTHS = (0.001, 0.002, 0.003, 0.005, 0.010, 0.016)
SCREENS = (None, 0.003, 0.0015, 0.0006, 0.0003)
STILL = (0.0, 4.0, 5.0, 10.0, 15.0, 40.0)


def way(width_m=0.002, screen_m=None):
    return WortWay(True, screen_m, Passage("X", "chiller", width_m))


def load(loose_g_l=3.0, cones_g_l=0.0, still_min=0.0):
    return HopLoad(loose_g_l, cones_g_l, still_min)


def parts(*rows):
    return {row["name"]: PipePart.model_validate(row) for row in rows}


def test_more_hops_a_narrower_place_a_coarser_screen_and_less_rest_never_lower_it():
    for loose, width, screen, still in product(LOADS, WIDTHS, SCREENS, STILL):
        assert 1 <= level(load(loose, 0.0, still), way(width, screen)) <= 5
    for width, screen, still in product(WIDTHS, SCREENS, STILL):
        found = [level(load(loose, 0.0, still), way(width, screen)) for loose in LOADS]
        assert found == sorted(found)
    for loose, screen, still in product(LOADS, SCREENS, STILL):
        found = [level(load(loose, 0.0, still), way(width, screen)) for width in WIDTHS]
        assert found == sorted(found, reverse=True)
    for loose, width, still in product(LOADS, WIDTHS, STILL):
        found = [level(load(loose, 0.0, still), way(width, screen)) for screen in SCREENS]
        assert found == sorted(found, reverse=True)
    for loose, width, screen in product(LOADS, WIDTHS, SCREENS):
        found = [level(load(loose, 0.0, still), way(width, screen)) for still in STILL]
        assert found == sorted(found, reverse=True)


def test_cones_without_a_screen_never_lower_it():
    for loose, width, screen in product(LOADS, WIDTHS, SCREENS):
        with_cones = level(load(loose, loose), way(width, screen))
        assert with_cones >= level(load(loose), way(width, screen))
    assert level(load(1.0, 1.0), way(0.012)) == level(load(1.0), way(0.012)) + 1


def test_each_level_is_reached():
    """What the levels mean: hops and pipes of a home brewery, common practice."""
    assert level(load(0.3), way(0.002)) == 1
    assert level(load(1.0, still_min=6.0), way(0.0127)) == 1
    assert level(load(1.0), way(0.0127)) == 2
    assert level(load(3.0), way(0.0127)) == 3
    assert level(load(3.0, still_min=15.0), way(0.002)) == 3
    assert level(load(3.0), way(0.002, 0.0006)) == 4
    assert level(load(3.0), way(0.002)) == 5


def test_reasons_carry_the_points_they_are_worth():
    found = {each.code: each for each in reasons(load(3.0, 1.0, 7.0), way(0.002, None))}
    assert {code: each.points for code, each in found.items()} == {
        "load": 2, "form": 1, "gap": 2, "screen": 1, "rest": -1,
    }  # fmt: skip
    assert found["gap"].value == 0.002 and found["load"].value == 3.0
    assert found["rest"].value == 7.0 and found["screen"].value is None
    assert "X, 2.0 mm" in found["gap"].text
    fine = reasons(load(), way(0.002, 0.0006))[2]
    assert fine.code == "screen" and fine.points == 0 and "0.60 mm" in fine.text


def test_what_is_not_told_is_said_and_widens_the_level():
    nothing = wort_way(None)
    texts = [each.text for each in reasons(load(), nothing) if each.value is None]
    assert len(texts) == 2 and all("no data" in text for text in texts)
    for loose, still in product(LOADS, STILL):
        each = load(loose, 0.0, still)
        low, high = bounds(each, nothing)
        assert low <= level(each, nothing) <= high
        for width, screen in product(WIDTHS[1:], SCREENS):
            assert low <= level(each, way(width, screen)) <= high
    assert bounds(load(), way()) == (5, 5)
    no_widths = WortWay(True, 0.0006, None, ("hose",))
    low, high = bounds(load(), no_widths)
    assert low < level(load(), no_widths) < high
    assert level(load(float("nan")), nothing) is None


def test_the_narrowest_place_is_found_and_what_tells_no_width_is_named():
    kettle = {"name": "kettle", "kind": "kettle", "bore": "12.7 mm", "screen": "0.6 mm"}
    hose = {"name": "H", "kind": "hose", "bore": "12.7 mm", "length": "1 m", "barb": "8 mm"}
    pump = {"name": "P", "kind": "pump"}
    plate = {"name": "C", "kind": "chiller", "form": "plate", "gap": "2 mm"}
    coil = {"name": "coil", "kind": "chiller", "form": "immersion", "bore": "1 mm"}
    found = wort_way(parts(kettle, hose, pump, coil))
    assert found.narrowest == Passage("H", "hose", pytest.approx(0.008))
    assert found.screen_m == pytest.approx(0.0006) and found.lacking == ("P",)
    found = wort_way(parts(kettle, hose, plate, coil))
    assert found.narrowest == Passage("C", "chiller", pytest.approx(0.002))
    bare = wort_way(parts({"name": "C", "kind": "chiller", "form": "plate"}, pump))
    assert bare.narrowest is None and bare.lacking == ("C", "P")
    texts = [each.text for each in reasons(load(), bare)]
    assert any("no part tells its width" in text for text in texts)


def test_pellets_leak_through_a_mesh_and_cones_do_not():
    assert loose_share("pellets", "free") == loose_share("cones", "free") == 1.0
    # A mesh of 300 to 400 um holds 70 to 80 % of pellets: common practice, no source.
    assert loose_share("pellets", "mesh") == loose_share("pellets", "bag") == 0.25
    assert loose_share("cones", "bag") == 0.0


def test_the_load_of_a_day(papers):
    worked = papers.plain()[0]
    found = hop_load(worked.day)
    litres = float(worked.day.volumes.wort_l)
    assert found.loose_g_l == pytest.approx((22.0 + 40.0 + 35.0) / litres)
    assert found.cones_g_l == 0.0
    # 18 min of rest, and the last dose goes in after 10 of them.
    assert found.still_min == pytest.approx(8.0)
    changes = {"recipe.hops.1.form": "cones", "recipe.hops.2.held": "mesh"}
    found = hop_load(papers.but(changes).plain()[0].day)
    assert found.cones_g_l * litres == pytest.approx(40.0, rel=0.02)
    assert found.loose_g_l * litres == pytest.approx(22.0 + 40.0 + 0.25 * 35.0, rel=0.02)


def caution(papers, changes=None, answers=()):
    worked = papers.but(changes or {}).plain()[0]
    return clog(worked.day, way(), answers)


def test_the_ways_down_lower_it_and_minutes_come_before_bags_and_parts(papers):
    found = caution(papers, {"recipe.whirlpool.rest": "12 min"})
    assert found.level == 5 and [each.do for each in found.ways_down] == [
        "rest", "contain", "screen",
    ]  # fmt: skip
    assert all(1 <= each.level < found.level for each in found.ways_down)
    longer, bag, screen = found.ways_down
    # The last dose lies still for 2 min; 5 are needed.
    assert longer.add_min == pytest.approx(3.0)
    then = caution(papers, {"recipe.whirlpool.rest": "15 min"})
    assert then.level == longer.level
    assert bag.doses == ("d2", "d3")
    assert "Saaz (heat-off), Saaz (10 min into rest)" in bag.text
    one = {"recipe.hops.1.held": "bag", "recipe.whirlpool.rest": "12 min"}
    assert caution(papers, one).level == found.level
    assert caution(papers, one | {"recipe.hops.2.held": "bag"}).level == bag.level
    assert "0.66 mm" in screen.text


def test_no_rest_helps_hops_that_go_into_the_chill(papers):
    found = caution(papers, {"recipe.hops.2.when": "below 80 C"})
    assert "rest" not in {each.do for each in found.ways_down}
    assert next(each for each in found.reasons if each.code == "rest").points == 0


def test_answers_are_counted_and_change_nothing_yet(papers):
    answers = (FlowAnswer(3, True), FlowAnswer(3, False), FlowAnswer(5, True))
    plain, told = caution(papers), caution(papers, answers=answers)
    assert (plain.answers, plain.dropped) == (0, 0) and (told.answers, told.dropped) == (3, 2)
    assert told.level == plain.level and told.reasons == plain.reasons


def test_more_rest_or_less_hops_never_raises_it_on_a_day(papers):
    rests = [
        papers.but({"recipe.whirlpool.rest": f"{each} min"}).quick()["clog"]["level"]
        for each in (0, 5, 12, 18, 30, 60)
    ]
    assert rests == sorted(rests, reverse=True) and rests[0] > rests[-1]
    doses = [
        papers.but({"recipe.hops.1.mass": f"{each} g"}).quick()["clog"]["level"]
        for each in (1, 40, 100, 300)
    ]
    assert doses == sorted(doses) and doses[0] < doses[-1]


def test_a_high_caution_is_a_note_with_its_way_down(papers):
    high = papers.but({"rig.plumbing": SHED["plumbing"], "recipe.whirlpool.rest": "12 min"})
    report = high.planned().report
    text = next(note["text"] for note in report["notes"] if note["code"] == "clog")
    assert text.startswith("Clog caution 5 of 5. 3.7 g/L of hops swim loose")
    assert "chiller, 2.0 mm" in text
    assert text.endswith("to 4: rest 3 min longer: more hops lie in the cone.")
    low = papers.but({"recipe.hops.1.mass": "1 g"}).planned().report
    assert low["clog"]["level"] < 4 and "clog" not in {note["code"] for note in low["notes"]}


def test_a_rig_with_plumbing_tells_its_narrowest_place(papers):
    found = papers.planned().report["clog"]
    assert found["low"] < found["level"] < found["high"]
    shed = papers.but({"rig.plumbing": SHED["plumbing"]}).planned().report["clog"]
    assert shed["low"] == shed["level"] == shed["high"] == found["level"] + 1
    gap = next(each for each in shed["reasons"] if each["code"] == "gap")
    assert gap["value"] == pytest.approx(0.002) and "chiller" in gap["text"]


def test_a_late_dose_in_a_mesh_does_not_stir_the_hops_that_lie_still(papers):
    """The hops of the other doses have rested; what leaks counts as load."""
    late = {"recipe.hops.2.when": "below 80 C"}
    free = hop_load(papers.but(late).plain()[0].day)
    held = hop_load(papers.but(late | {"recipe.hops.2.held": "mesh"}).plain()[0].day)
    assert free.still_min == 0.0
    assert held.still_min == pytest.approx(18.0)


def test_hops_that_are_all_held_leak_and_their_rest_counts(papers):
    every = {f"recipe.hops.{number}.held": "mesh" for number in range(3)}
    found = caution(papers, every | {"recipe.whirlpool.rest": "10 min"})
    first, last = found.reasons[0], found.reasons[-1]
    assert "leak from bag and mesh" in first.text and "swim" not in first.text
    assert last.code == "rest" and last.points == -1 and "leaked" in last.text
    assert found.ways_down[0].do == "rest"
