"""Every page answers, in both families of units, and keeps a choice."""

import re
from typing import Any

import pytest
from served import Visitor

from wortline.web.rendering import sentence


def test_the_start_page_answers(visitor: Any) -> None:
    answer = visitor.see("/")
    assert answer.status_code == 200
    assert "<h1>" in answer.text


def test_one_touch_changes_the_units_and_comes_back(visitor: Any) -> None:
    answer = visitor.post("/choices", data={"units": "us", "back": "/?a=1"})
    assert (answer.status_code, answer.headers["location"]) == (303, "/?a=1")
    assert "US units are on" in visitor.see("/").text


def test_a_way_back_never_leaves_the_server(visitor: Any) -> None:
    for back in ("//elsewhere.test/", "https://elsewhere.test", "/\\elsewhere.test", "/\r\nX: y"):
        answer = visitor.post("/choices", data={"light": "dark", "back": back})
        assert (answer.status_code, answer.headers["location"]) == (303, "/")


def test_nothing_at_an_unknown_address(visitor: Any) -> None:
    answer = visitor.see("/nowhere")
    assert answer.status_code == 404
    assert "nothing at this address" in answer.text
    told = visitor.see("/api/nowhere").json()["error"]
    assert told == {
        "code": "not-found",
        "text": "There is nothing at this address.",
        "problems": [],
    }


def test_a_message_becomes_a_sentence_with_what_was_typed_set_apart() -> None:
    assert sentence("`<b>` is no unit") == "<code>&lt;b&gt;</code> is no unit."
    assert sentence("did you mean `a`?") == "Did you mean <code>a</code>?"
    assert sentence("one ` alone") == "One ` alone."
    assert sentence("") == "."


@pytest.mark.parametrize("width", [-5, 0, 99, 120, 279, 9_000, 10**12])
def test_a_window_of_any_width_is_drawn_for(visitor: Visitor, width: int) -> None:
    for path in ("/pipes/1/now", "/rest/2/now"):
        answer = visitor.see(f"{path}?room={width}")
        assert answer.status_code == 200
        drawn = float(re.findall(r'<svg [^>]*?width="([\d.]+)"', answer.text)[0])
        assert 280 <= drawn <= 1400
    moved = visitor.post("/api/plan/moved", json={"recipe": 2, "rig": 1, "day": 3, "width": width})
    assert moved.status_code == 200
    drawn = float(re.findall(r'<svg [^>]*?width="([\d.]+)"', moved.json()["parts"]["strip"])[0])
    assert 320 <= drawn <= 1600
