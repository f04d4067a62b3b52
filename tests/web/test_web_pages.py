"""Every page answers, in both families of units, and keeps a choice."""

from typing import Any

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
