"""Pages and answers speak a brewer's words; what is code stands small behind them."""

import re
from pathlib import Path

import pytest
from served import Visitor

from wortline.app.files import File
from wortline.app.input_words import WORDS, words_of
from wortline.app.inputs import pattern
from wortline.app.planning import plan_brew

EXAMPLES = Path(__file__).parents[2] / "examples"
CODE = re.compile(r"[a-z]+_[a-z]|\b(model|rig|recipe|day)\.")


def example(name: str) -> File:
    return File(name, (EXAMPLES / name).read_bytes())


@pytest.mark.parametrize("recipe", ["rainday-pale", "coalhatch-stout", "fogbank-hazy"])
@pytest.mark.parametrize("rig", ["shed-45", "shed-two-valves", "weir-cottage-40"])
@pytest.mark.parametrize("method", ["kinetic", "tinseth"])
def test_every_number_of_a_plan_has_words(recipe: str, rig: str, method: str) -> None:
    planned = plan_brew(example(f"{recipe}.yaml"), example(f"{rig}.yaml"),
                        example("cool-march.yaml"), method=method)  # fmt: skip
    inputs = planned.plan.case.inputs
    assert [name for name in inputs if pattern(name) not in WORDS] == []
    said = {name: words_of(name, planned.report) for name in inputs}
    assert [each for each in said.values() if CODE.search(each) or "{" in each] == []
    assert len(set(said.values())) == len(said)
    assert [each.text for each in inputs.values() if each.text.endswith(" -")] == []


def test_the_why_page_says_them_and_the_code_after(visitor: Visitor) -> None:
    page = visitor.see("/plan/2/why?rig=1&day=3&key=bitterness.ibu").text
    assert "<b>Bitterness from oxidised alpha acids</b>: 1 " in page
    assert "<code>model.oxidised_acids</code>" in page
    assert "<b>Alpha acids of d1 Magnum</b>" in page
    assert ">model.oxidised_acids<" not in page.replace("<code>model.oxidised_acids</code>", "")


def test_a_finding_has_its_words_first_and_its_code_small(visitor: Visitor) -> None:
    page = visitor.see("/pipes/1?do=handles.V1%3Doff").text
    assert re.search(r"<b>STOP, P</b>", page)
    assert re.search(r'<span class="quiet">check [A-Z]\d</span></li>', page)
    assert not re.search(r">\s*(STOP|WARNING) [A-Z]\d", page)


def test_micrograms_are_spelt_as_such(visitor: Visitor) -> None:
    for path in ("/rest/2?rig=1&day=3", "/plan/2?rig=1&day=3", "/plan/2/show.html?rig=1&day=3"):
        page = visitor.see(path).text
        assert "ug/L" not in page
        assert "µg/L" in page


def test_the_start_page_tells_of_stored_hops_in_a_sentence(visitor: Visitor) -> None:
    page = visitor.see("/").text
    assert "for how long, how cold and how packed they were stored." in page
    assert page.index("Six months in the freezer") < page.index("<code>stored: {for: 6 months")


@pytest.mark.parametrize(
    ("body", "text"),
    [("{bad", "at letter 2: "), ("", "at letter 1: "), ('{"kind": "day",}', "at letter ")],
)
def test_a_body_that_is_no_json_is_said_to_be_none(visitor: Visitor, body: str, text: str) -> None:
    headers = {"Content-Type": "application/json"}
    answer = visitor.post("/api/check", content=body.encode(), headers=headers)
    assert answer.status_code == 422
    error = answer.json()["error"]
    if body:
        assert error["text"] == "The body of this request is no JSON."
        told = error["problems"][0]
        assert (told["field"], told["typed"]) == ("body", body)
        assert told["text"].startswith(text)
        assert "decode" not in answer.text


def test_fields_that_do_not_fit_say_what_is_allowed(visitor: Visitor) -> None:
    body = {"kind": "beer", "texts": "x"}
    problems = visitor.post("/api/check", json=body).json()["error"]["problems"]
    said = {each["field"]: (each["text"], each["allowed"]) for each in problems}
    assert said["kind"][0] == "`beer` is not known here"
    assert "'recipe'" in said["kind"][1]
    assert said["text"][0] == "it is missing"
    assert said["texts"][0] == "there is no such field"
    page = visitor.see("/plan/2?rig=none").text
    assert "<code>none</code> is no whole number" in page
    assert "Input should" not in page
    answer = visitor.see("/api/documents?most=5000").json()["error"]["problems"][0]
    assert (answer["typed"], answer["allowed"]) == ("5000", "1000 or less")
