"""The rig page: from a tape measure, a bucket and a watch to a first plan."""

from math import pi
from typing import Any

import pytest
from served import Visitor

from wortline.app.measuring import boil_off_l_h, measured_rig, most_boil_off_l_h
from wortline.documents.loading import load
from wortline.errors import DocumentRefused

ANSWERS = {
    "diameter": "38",
    "depth": "40",
    "poured": "8",
    "drained": "6.8",
    "through": "6.1",
    "filled": "60",
    "ran_in": "8",
    "emptied": "95",
    "power": "3000",
}
FORM = {**ANSWERS, "name": "Cellar rig", "kind": "basket", "units": "metric"}


def made(**answers: str) -> Any:
    return load("rig", measured_rig("Cellar rig", "basket", {**ANSWERS, **answers}), "rig")


def test_what_was_measured_stands_in_the_rig_with_its_spread() -> None:
    rig = made()
    # a cylinder of 38 cm by 40 cm holds pi/4 * 3.8^2 * 4 dm3
    assert float(rig.kettle.brim) == pytest.approx(pi / 4 * 3.8**2 * 4.0, abs=0.001)
    assert float(rig.kettle.left_behind) == pytest.approx(1.2)
    assert float(rig.hold_up) == pytest.approx(0.7)
    assert float(rig.fill) == pytest.approx(8.0)
    assert float(rig.transfer) == pytest.approx(6.1 / 95 * 60, abs=0.001)
    for quantity in (rig.kettle.brim, rig.kettle.left_behind, rig.hold_up, rig.transfer):
        assert quantity.trust == "measured"
        assert 0 < quantity.spread < 0.2 * float(quantity)
    assert rig.boil_off.trust == "guess"
    assert rig.boil_off.spread == pytest.approx(0.25 * float(rig.boil_off), rel=1e-3)


def test_the_flow_of_the_tap_does_not_hang_on_how_far_the_bucket_is_filled() -> None:
    # 12 L in 75 s and 6 L in 37.5 s are both 9.6 L/min, whatever was poured into the kettle
    for answers in (
        {"poured": "6", "ran_in": "12", "filled": "75"},
        {"poured": "12", "ran_in": "6", "filled": "37.5"},
        {"poured": "8", "ran_in": "12", "filled": "1 min 15 s"},
    ):
        rig = made(drained="5.5", through="5.1", **answers)
        assert float(rig.fill) == pytest.approx(9.6)
        assert rig.fill.spread == pytest.approx(0.96)


def test_boil_off_by_tape_counts_cold_litres() -> None:
    # IAPWS-95 as tabulated: water has 998.2 kg/m3 at 20 C and 958.4 kg/m3 at 100 C
    hot_l_h = pi / 4 * 3.8**2 * 0.26
    assert boil_off_l_h(0.026, 0.38, 60.0) == pytest.approx(hot_l_h * 958.4 / 998.2, rel=2e-4)
    rig = made(boiled="60", fell="2.6")
    assert rig.boil_off.trust == "measured"
    assert float(rig.boil_off) == pytest.approx(2.83, abs=0.01)


def test_no_element_boils_away_more_than_its_heat() -> None:
    # 2257 kJ/kg at 100 C (steam tables): 2850 W make 4.55 kg of steam in an hour
    assert most_boil_off_l_h(3000.0) == pytest.approx(0.95 * 3.0 * 3600 / 2257 / 0.9982, rel=1e-3)
    assert float(made().boil_off) < most_boil_off_l_h(3000.0)


def test_us_answers_give_the_same_rig() -> None:
    metric = made()
    typed = {
        "diameter": "14.961",
        "depth": "15.748",
        "poured": "8.4535",
        "drained": "7.1855",
        "through": "6.4458",
        "filled": "60",
        "ran_in": "8.4535",
        "emptied": "95",
        "power": "3 kW",
    }
    us = load("rig", measured_rig("Cellar rig", "basket", typed, "us"), "rig")
    assert float(us.kettle.brim) == pytest.approx(float(metric.kettle.brim), rel=1e-3)
    assert float(us.kettle.left_behind) == pytest.approx(1.2, abs=0.002)
    assert float(us.transfer) == pytest.approx(float(metric.transfer), rel=1e-3)


@pytest.mark.parametrize(
    ("answers", "field"),
    [
        ({"diameter": ""}, "diameter"),
        ({"diameter": "38 kg"}, "diameter"),
        ({"depth": "-4"}, "depth"),
        ({"depth": "0"}, "depth"),
        ({"drained": "9"}, "drained"),
        ({"through": "7"}, "through"),
        ({"boiled": "60"}, "fell"),
        ({"fell": "3"}, "boiled"),
        ({"ran_in": ""}, "ran_in"),
        ({"filled": ""}, "filled"),
        ({"ran_in": "0"}, "ran_in"),
        ({"boiled": "60", "fell": "60"}, "fell"),
        ({"boiled": "5", "fell": "1"}, "boiled"),
        ({"through": ""}, "through"),
        ({"power": "lots"}, "power"),
    ],
)
def test_answers_that_cannot_be_are_asked_again(answers: dict[str, str], field: str) -> None:
    with pytest.raises(DocumentRefused) as refused:
        made(**answers)
    assert field in {each.field for each in refused.value.problems}


def test_a_bare_number_below_nothing_is_not_asked_for_its_unit() -> None:
    with pytest.raises(DocumentRefused) as refused:
        made(depth="-4", diameter="+38")
    told = [(each.field, each.text) for each in refused.value.problems]
    assert [field for field, _ in told] == ["depth"]
    assert "`-4` is outside what is possible" in told[0][1]


def test_without_pump_and_watch_there_is_still_a_rig() -> None:
    rig = made(through="", filled="", ran_in="", emptied="")
    assert float(rig.hold_up) == 0.0
    assert rig.hold_up.trust == "guess"
    assert rig.fill is None
    assert rig.transfer is None


def test_the_page_asks_tape_bucket_watch_in_this_order_and_says_why(visitor: Visitor) -> None:
    page = visitor.see("/rig").text
    places = [page.index(f"{n}. {tool}") for n, tool in
              enumerate(("Tape measure", "Bucket", "Watch"), 1)]  # fmt: skip
    assert places == sorted(places)
    assert page.index("Caution:") < page.index("Pour water into the kettle")
    for field in ANSWERS:
        assert f'id="{field}-why"' in page


def test_wrong_answers_come_back_as_typed(visitor: Visitor) -> None:
    answer = visitor.post("/rig", data={**FORM, "depth": "forty <b>", "name": ""})
    assert answer.status_code == 422
    assert 'value="forty &lt;b&gt;"' in answer.text
    assert 'value="38"' in answer.text
    assert answer.text.count('aria-invalid="true"') == 2


def test_a_measured_rig_plans_at_once(visitor: Visitor) -> None:
    answer = visitor.post("/rig", data=FORM)
    assert answer.status_code == 303
    page = visitor.see(answer.headers["location"]).text
    assert "45.4\u00a0L" in page
    assert "guess" in page
    document = int(answer.headers["location"].rpartition("/")[2])
    asked = {"recipe": {"document": 2}, "rig": {"document": document}, "day": {"document": 3}}
    plan = visitor.post("/api/plan", json=asked).json()
    assert plan["schema"] == "plan/1"
    assert plan["fits"] is True
    assert plan["rig"] == "Cellar rig"
    start = visitor.see("/").text
    assert "Still a guess: element&#39;s efficiency, boil-off, mash efficiency" in start
    assert "Measure my rig" not in start
