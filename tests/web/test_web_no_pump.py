"""A rig without a pump: nothing of the day speaks of pumping, but for one note that says so."""

import json
import re
from html import unescape
from typing import Any

import pytest

ANSWERS = {
    "name": "Pot", "kind": "bag", "power": "2500 W", "diameter": "36", "depth": "40",
    "poured": "8", "drained": "7",
}  # fmt: skip
ONE_REST = "[{at: 66 C, for: 60 min}]"
TWO_RESTS = "[{at: 64 C, for: 40 min}, {at: 72 C, for: 20 min}]"


def made(visitor: Any, **more: str) -> int:
    """A rig from the answers of its page."""
    answer = visitor.post("/rig", data={**ANSWERS, **more})
    assert answer.status_code == 303
    return int(answer.headers["location"].rpartition("/")[2])


def text_of(visitor: Any, document: int) -> str:
    return str(visitor.services.documents.latest(document).text)


def read(visitor: Any, path: str) -> str:
    """What a person reads on a page."""
    answer = visitor.see(path)
    assert answer.status_code == 200
    inside = re.sub(r"(?s)<script.*?</script>|<nav.*?</nav>", " ", answer.text)
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", inside)).split())


@pytest.mark.parametrize(
    ("answers", "says"),
    [
        ({}, "no"),
        ({"through": "6.5"}, "yes"),
        ({"pump": "yes"}, "yes"),
        ({"pump": "no", "through": "6.5"}, "no"),
    ],
)
def test_the_rig_page_writes_down_whether_there_is_a_pump(
    visitor: Any, answers: dict[str, str], says: str
) -> None:
    number = made(visitor, **answers)
    assert f"\npump: {says} " in text_of(visitor, number)
    shown = re.search(r"Pump</t[dh]>\s*<td[^>]*>(\w+)", visitor.see(f"/rig/{number}").text)
    assert shown
    assert shown[1] == {"no": "none", "yes": "yes"}[says]


def test_an_answer_about_the_pump_that_is_none_is_refused(visitor: Any) -> None:
    answer = visitor.post("/rig", data={**ANSWERS, "pump": "perhaps"})
    assert answer.status_code == 422
    assert "Say whether there is a pump." in answer.text


@pytest.mark.parametrize("kind", ["bag", "basket", "tun"])
def test_nothing_without_a_pump_speaks_of_pumping(visitor: Any, kind: str) -> None:
    rig = made(visitor, kind=kind)
    recipe = text_of(visitor, 2)
    assert ONE_REST in recipe
    stepped = recipe.replace(ONE_REST, TWO_RESTS)
    visitor.services.documents.save("recipe", "Rainday Pale", stepped, "", 2)
    query = f"rig={rig}&day=3"
    plan = read(visitor, f"/plan/2?{query}")
    (note,) = re.findall(r"No pump in this rig: [^;]*; or leave it out\.", plan)
    assert "the 4 min of whirlpool" in note
    assert "long spoon and gloves" in note
    assert "pump" not in plan.replace(note, "").lower()
    assert "The rest adds" in plan
    assert "Whirlpool and rest" not in plan
    assert "stirring all the time" in read(visitor, f"/plan/2/print?{query}")
    assert 'data-key="recipe.whirlpool.pump"' not in visitor.see(f"/plan/2?{query}").text
    for path in ("print", "strip.svg"):
        assert "pump" not in read(visitor, f"/plan/2/{path}?{query}").lower(), path
    shown = read(visitor, f"/plan/2/show.html?{query}")
    assert "pump" not in shown.replace(note, "").lower()
    rest = read(visitor, f"/rest/2?{query}")
    assert "pump" not in rest.lower()


def test_the_deck_of_such_a_rig_has_no_pump_in_any_step(visitor: Any) -> None:
    documents = visitor.services.documents
    rig = documents.latest(made(visitor)).number
    started = visitor.post("/lots", data={"recipe": "2", "rig": str(rig), "day": "3"})
    number = int(started.headers["location"].rpartition("/")[2])
    deck = visitor.see(f"/api/lots/{number}/deck").json()
    assert deck["has_pump"] is False
    said = json.dumps([deck["phases"], deck["steps"]]).lower()
    assert "pump" not in said
    assert "return arm" not in said
    assert "Element off at its switch" in json.dumps(deck["steps"])


def test_the_same_day_with_a_pump_still_pumps(visitor: Any) -> None:
    rig = made(visitor, pump="yes")
    sheet = read(visitor, f"/plan/2/print?rig={rig}&day=3")
    assert "Pump on for 4 min" in sheet
    assert "The return arm throws boiling wort" in sheet


def test_a_pump_that_the_plumbing_has_not_or_has_is_refused(visitor: Any) -> None:
    piped = text_of(visitor, 1)
    refused = visitor.post("/api/check", json={"kind": "rig", "text": piped + "\npump: no\n"})
    (problem,) = refused.json()["problems"]
    assert (problem["field"], problem["typed"], problem["allowed"]) == ("pump", "no", "yes")
    fine = visitor.post("/api/check", json={"kind": "rig", "text": piped + "\npump: yes\n"})
    assert fine.json()["problems"] == []


@pytest.mark.parametrize("has_pump", [True, False])
def test_no_way_out_speaks_of_a_pump_that_is_not_there_or_asks_for_a_touch(
    visitor: Any, has_pump: bool
) -> None:
    documents = visitor.services.documents
    rig = documents.latest(made(visitor, pump="yes" if has_pump else "no")).number
    started = visitor.post("/lots", data={"recipe": "2", "rig": str(rig), "day": "3"})
    at = f"/api/lots/{started.headers['location'].rpartition('/')[2]}"
    answers = [
        visitor.see(f"{at}/{question}")
        for question in (
            "ways?trouble=mash-off&mash_c=60", "ways?trouble=mash-off&mash_c=75",
            "ways?trouble=clogged", "ways?trouble=wort-warm&wort_c=30", "interruption?off_min=20",
        )
    ]  # fmt: skip
    assert {each.status_code for each in answers} == {200}
    said = " ".join(each.text for each in answers).lower()
    assert ("pump" in said) == has_pump
    assert re.search(r"\bfeel|touch", said) is None
    assert "a thermometer at it reads below 45.0 c, gloves on" in said
