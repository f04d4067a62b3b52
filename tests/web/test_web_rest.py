"""The rest page and the chill call without a browser."""

import json
import re
from typing import Any

import pytest
from served import Visitor


def trade_of(page: str) -> dict[str, Any]:
    found = re.search(r'<script type="application/json" id="trade">(.*?)</script>', page)
    assert found
    told: dict[str, Any] = json.loads(found[1])
    return told


def test_the_rest_page_shows_the_same_trade_as_the_api(visitor: Visitor) -> None:
    page = visitor.see("/rest/2?rig=1&day=3").text
    body = {"recipe": {"document": 2}, "rig": {"document": 1}, "day": {"document": 3}}
    told = visitor.post("/api/rest", json=body).json()
    assert told["schema"] == "rest/1"
    assert "The rest is worth it" in page
    trade = trade_of(page)
    at = trade["rests"].index(told["planned_min"])
    assert trade["rows"][1][0][at] == f"{told['ways'][0]['ibu'][at]:.1f}\u00a0IBU"
    assert trade["marks"][at] == "as planned"
    assert trade["marks"][trade["rests"].index(told["knee_min"])] == "the knee"
    assert f"/plan/2?rig=1&amp;day=3&amp;recipe.whirlpool.rest={told['knee_min']:.0f}%20min" in page


def test_another_lid_and_pump_are_weighed_and_what_was_typed_stays(visitor: Visitor) -> None:
    page = visitor.see("/rest/2?rig=1&day=3&lid=on&pump=9&pump_on=85").text
    body = {
        "recipe": {"document": 2}, "rig": {"document": 1}, "day": {"document": 3}, "lid": "on",
        "pump": "9 min", "pump_on": "85 C",
    }  # fmt: skip
    told = visitor.post("/api/rest", json=body).json()
    assert told["ways"][0]["lid"] == "on"
    assert told["ways"][0]["pump_min"] == 9.0
    assert told["ways"][2]["pump_on_c"] == 85.0
    assert trade_of(page)["rows"][1][0][5] == f"{told['ways'][0]['ibu'][5]:.1f}\u00a0IBU"
    assert 'name="pump" value="9"' in page
    assert "recipe.whirlpool.lid=on&amp;recipe.whirlpool.pump=9+min" in page
    assert visitor.see("/api/documents/2").json()["number"] == 2


def test_not_worth_it_is_said_plainly(visitor: Visitor) -> None:
    recipe = visitor.see("/api/documents/2").json()["text"]
    bagged = re.sub(r", form: pellets", ", form: pellets, held: bag", recipe).replace(
        ", held: free}", "}"
    )
    light = re.sub(r"mass: (40|35) g", "mass: 4 g", bagged)
    made = visitor.post("/api/documents", json={"kind": "recipe", "name": "Light", "text": light})
    page = visitor.see(f"/rest/{made.json()['document']}?rig=1&day=3").text
    assert "<h2>For you, not worth it</h2>" in page


def test_what_cannot_be_read_is_said_and_the_planned_rest_stays(visitor: Visitor) -> None:
    answer = visitor.see("/rest/2?rig=1&day=3&pump=9%20kg&pump_on=20")
    assert answer.status_code == 422
    assert "Pump for: <code>9 kg</code> is a mass" in answer.text
    assert "Or wait, and pump from: <code>20 C</code> is outside" in answer.text
    assert "The rest is worth it" in answer.text
    part = visitor.see("/rest/2/now?rig=1&day=3&pump=9%20kg")
    assert part.headers["Wortline-Refused"] == "yes"


@pytest.mark.parametrize(
    ("page", "field", "label"),
    [
        ("/rest/2?rig=1&day=3", "pump", "Pump for"),
        ("/chill?rig=1", "volume", "Wort"),
        ("/pipes/1?", "wort", "Wort in the kettle"),
    ],
)
def test_what_is_far_too_long_is_refused_and_not_cut(
    visitor: Visitor, page: str, field: str, label: str
) -> None:
    long = "9 min" + "x" * 200
    answer = visitor.see(f"{page}&{field}={long}")
    assert answer.status_code == 422
    assert f"{label}: <code>9 minxxxxxxxxxxxxxxx...</code> has 205 letters" in answer.text
    assert "write at most 200" in answer.text
    assert f'name="{field}" value="{long}"' in answer.text


def test_numbers_lead_to_their_why_as_long_as_they_are_those_of_the_plan(visitor: Visitor) -> None:
    page = visitor.see("/rest/2?rig=1&day=3").text
    keys = set(re.findall(r'href="(/plan/2/why\?rig=1&amp;day=3&amp;key=[a-z_.]+)"', page))
    assert len(keys) >= 9
    for each in sorted(keys)[:4]:
        assert visitor.see(each.replace("&amp;", "&")).status_code == 200
    assert "/why?" not in visitor.see("/rest/2?rig=1&day=3&lid=on").text
    assert "/why?" in visitor.see("/rest/2?rig=1&day=3&lid=off&pump=4&pump_on=80").text


def test_clog_ways_down_and_containment_stand_on_the_page(visitor: Visitor) -> None:
    page = visitor.see("/rest/2?rig=1&day=3").text
    report = visitor.post("/api/plan", json={
        "recipe": {"document": 2}, "rig": {"document": 1}, "day": {"document": 3},
    }).json()  # fmt: skip
    assert f"Clog caution {report['clog']['level']} of 5." in page
    for way in report["clog"]["ways_down"]:
        assert f"To {way['level']}: {way['text']}" in page
    dose = report["aroma"]["doses"][1]
    assert f"{dose['ways'][1]['ibu']:.1f}\u00a0IBU" in page
    assert page.count("in a mesh") == 3


@pytest.mark.parametrize("query", ["rig=2", "rig=x", "rig=99", "day=1", "rig=0"])
def test_wrong_documents_are_refused(visitor: Visitor, query: str) -> None:
    assert visitor.see(f"/rest/2?{query}").status_code in (404, 422)


def test_the_chill_call_is_that_of_the_api(visitor: Visitor) -> None:
    asked = "rig=1&volume=22&state=cold&from=98&to=18&tap=14&day=none"
    page = visitor.see(f"/chill?{asked}").text
    body = {"rig": {"document": 1}, "volume": "22 L cold", "from": "98 C", "to": "18 C",
            "tap": "14 C"}  # fmt: skip
    told = visitor.post("/api/chill", json=body).json()
    best = next(each for each in told["ways"] if each["how"] == told["best"]["how"])
    assert f"{best['time_min']:.0f}\u00a0min, {best['water_cold_l']:.1f}\u00a0L of water" in page
    assert page.count('"Gets there">yes</td>') == sum(each["ok"] for each in told["ways"])
    assert "back-flow prevention" in page


def test_a_way_that_does_not_get_there_has_no_time_and_the_lowest_is_said(visitor: Visitor) -> None:
    asked = "rig=1&volume=22&state=cold&from=98&to=18&tap=27&day=none"
    page = visitor.see(f"/chill?{asked}").text
    assert "Lowest reachable with this tap alone: <b>27.1\u00a0C</b>" in page
    assert page.count("no time: it never gets there") == 3


def test_hot_wort_is_less_cold(visitor: Visitor) -> None:
    asked = "rig=1&volume=22&from=98&to=18&tap=14&day=none&state="
    # water: 998.2 kg/m3 at 20 C, 959.8 kg/m3 at 98 C (IAPWS-95), so 22 L hot are 21.15 L cold
    assert "21.2\u00a0L cold" in visitor.see(f"/chill?{asked}hot").text
    assert "22.0\u00a0L cold" in visitor.see(f"/chill?{asked}cold").text


def test_a_first_look_takes_the_day_kept_last(visitor: Visitor) -> None:
    page = visitor.see("/chill").text
    assert "tap water of 14.0\u00a0C" in page
    visitor.post("/choices", data={"units": "us"})
    assert "tap water of 57.2\u00a0F" in visitor.see("/chill").text


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("volume=22%20kg&from=98&to=18&tap=14", "is a mass"),
        ("volume=22&from=18&to=98&tap=14", "there is nothing to chill"),
        ("volume=22&from=98&to=18&day=none", "How warm is the tap water?"),
        ("volume=&from=98&to=18&tap=14", "Wort: "),
    ],
)
def test_what_the_chill_call_cannot_read_is_said_and_stays(
    visitor: Visitor, query: str, said: str
) -> None:
    answer = visitor.see(f"/chill?rig=1&state=cold&{query}")
    assert answer.status_code == 422
    assert said in answer.text
    assert 'name="from" value="' in answer.text


def test_the_api_refuses_in_the_one_shape(visitor: Visitor) -> None:
    body = {"rig": {"document": 1}, "volume": "22 L", "from": "98 C", "to": "18 C", "tap": "14 C"}
    error = visitor.post("/api/chill", json=body).json()["error"]
    assert "do you mean `22 L cold` or `22 L hot`?" in error["problems"][0]["text"]
    rest = {"recipe": {"document": 2}, "rig": {"document": 1}, "pump": "long"}
    answer = visitor.post("/api/rest", json=rest)
    assert answer.status_code == 422
    assert answer.json()["error"]["problems"][0]["typed"] == "long"
