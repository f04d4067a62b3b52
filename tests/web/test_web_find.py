"""Among very many documents one is found by its name, and the counts are right."""

import re
from html import unescape

import pytest
from served import Visitor

GOOD = "schema: recipe/1\n"
MANY = 130


@pytest.fixture
def crowded(visitor: Visitor) -> Visitor:
    """The three examples, and recipes kept after them."""
    for number in range(MANY):
        visitor.services.documents.save("recipe", f"Beer {number} 100% <b>", GOOD)
    return visitor


def options(page: str, field: str) -> list[str]:
    part = page.partition(f'id="{field}"')[2].partition("</select>")[0]
    return [unescape(each) for each in re.findall(r"<option[^>]*>([^<]*)</option>", part)]


def test_documents_are_found_by_a_part_of_their_name(crowded: Visitor) -> None:
    page = crowded.see("/documents").text
    assert f"100 of {MANY + 3}, the last kept first" in page
    assert "Rainday Pale" not in page
    page = crowded.see("/documents?find=rainDAY").text
    assert "1 with “rainDAY” in the name" in page
    assert '<a href="/documents/2">Rainday Pale</a>' in page
    assert 'value="rainDAY"' in page
    assert "find=rainDAY" in page.partition("Show:")[2]
    page = crowded.see("/documents?find=100%25&kind=recipe").text
    assert f"100 of {MANY} with “100%” in the name" in page
    older = re.search(r'href="([^"]+)">Older ones', page)
    assert older
    assert "find=100%25" in unescape(older[1])
    assert "30 of 130" in crowded.see(unescape(older[1])).text
    page = crowded.see("/documents?find=%3Cscript%3E").text
    assert "None has “&lt;script&gt;” in its name." in page


def test_a_plan_is_made_of_any_recipe(crowded: Visitor) -> None:
    page = crowded.see("/plan").text
    assert len(options(page, "recipe")) == 100
    assert f"The last 100 of {MANY + 1} are offered." in page
    page = crowded.see("/plan?find=pale&rig=1").text
    assert options(page, "recipe") == ["Rainday Pale"]
    assert "1 is offered, with “pale” in the name." in page
    assert '<option value="1" selected>' in page
    page = crowded.see("/plan?find=nowhere").text
    assert "None has “nowhere” in its name." in page
    assert "There is no recipe yet" not in page
    # what is chosen already is offered, however long ago it was kept
    page = crowded.see("/plan?recipe=2").text
    assert '<option value="2" selected>Rainday Pale</option>' in page
    assert crowded.see("/plan?recipe=2&rig=1&day=3").headers["location"] == "/plan/2?rig=1&day=3"
    assert crowded.see("/plan?recipe=1").status_code == 404


def test_few_recipes_need_no_search(visitor: Visitor) -> None:
    assert "Find a recipe" not in visitor.see("/plan").text


def test_the_start_page_counts_examples_that_are_not_among_the_last(crowded: Visitor) -> None:
    page = crowded.see("/").text
    assert "<b>3 examples</b>" in page
    assert 'Not among the last kept below: <a href="/documents/2">Rainday Pale</a>.' in page
    assert f">All {MANY + 1} recipes</a>" in page
    crowded.post("/documents/2/discard")
    page = crowded.see("/").text
    assert "<b>2 examples</b>" in page
    assert "Not among" not in page
    assert f">All {MANY} recipes</a>" in page


def test_the_api_finds_too(crowded: Visitor) -> None:
    told = crowded.see("/api/documents?contains=RAINDAY").json()
    assert [each["name"] for each in told["documents"]] == ["Rainday Pale"]
