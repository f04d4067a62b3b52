"""Documents in the browser: nothing typed is lost, nothing kept is changed."""

from typing import Any

import pytest
from served import Clock, Visitor

GOOD = "schema: day/1\nair: 16 C\ntap: 14 C\ngrain: 12 C\nelevation: 220 m\n"
BAD = GOOD.replace("14 C", "140 C").replace("air: 16 C", "aire: 16 C")


def keep(visitor: Visitor, **fields: Any) -> Any:
    return visitor.post("/documents", data={"kind": "day", "text": GOOD, "name": "May", **fields})


def latest(visitor: Visitor, answer: Any) -> Any:
    page = answer.headers["location"].partition("?")[0]
    return visitor.see(f"/api{page}").json()


def test_a_first_start_has_three_examples_that_can_be_thrown_away(visitor: Visitor) -> None:
    page = visitor.see("/").text
    for name in ("Shed rig with two valves", "Rainday Pale", "A cool day in March"):
        assert name in page
    assert page.count('class="tag">example') == 3
    for number in (1, 2, 3):
        assert visitor.post(f"/documents/{number}/discard").status_code == 303
    assert "Rainday Pale" not in visitor.see("/").text
    assert "Rainday Pale" in visitor.see("/documents?discarded=yes").text
    assert visitor.post("/documents/2/take-back").status_code == 303
    assert "Rainday Pale" in visitor.see("/").text


def test_every_kind_begins_with_a_document_that_can_be_read(visitor: Visitor) -> None:
    for kind in ("rig", "recipe", "day"):
        page = visitor.see(f"/new?kind={kind}").text
        assert f"schema: {kind}/1" in page
        assert "None. Everything in this" in page


def test_a_text_is_kept_to_the_letter(visitor: Visitor) -> None:
    odd = GOOD + "# žluťoučký kůň   \n\n\n"
    kept = latest(visitor, keep(visitor, text=odd.replace("\n", "\r\n"), why="  two\n words "))
    assert (kept["text"], kept["why"], kept["name"]) == (odd, "two words", "May")


@pytest.mark.parametrize("mark", ["", "\ufeff"], ids=["", "mark"])
def test_a_text_from_another_system_keeps_its_line_ends(visitor: Visitor, mark: str) -> None:
    store = visitor.services.documents
    theirs = mark + store.latest(2).text.replace("\n", "\r\n")
    body = {"kind": "recipe", "text": theirs, "name": "Theirs"}
    kept = visitor.post("/api/documents", json=body).json()
    assert kept["text"] == theirs
    moves = {"recipe": kept["number"], "rig": 1, "day": 3,
             "moves": {"recipe.whirlpool.rest": "25 min", "recipe.hops.0.held": "bag"}}  # fmt: skip
    assert visitor.post("/api/plan/accepted", json=moves).status_code == 200
    moved = store.latest(kept["document"])
    assert moved.text == mark + changed_text(store.latest(2).text).replace("\n", "\r\n")
    # a form knows one kind of line end only: what was there before decides
    form = {"kind": "recipe", "name": "Theirs", "parent": str(moved.number)}
    typed = moved.text.removeprefix(mark).replace("rest: 25 min", "rest: 26 min")
    assert visitor.post("/documents", data={**form, "text": typed}).status_code == 303
    assert store.latest(kept["document"]).text == moved.text.replace("25 min", "26 min")


def changed_text(recipe: str) -> str:
    """The example with a longer rest and its first hops in a bag, by hand."""
    held = "form: pellets, when: 60 min}"
    return recipe.replace("rest: 18 min", "rest: 25 min").replace(
        held, held.replace("}", ", held: bag}")
    )


def test_a_text_with_faults_comes_back_whole_with_every_reason(visitor: Visitor) -> None:
    answer = keep(visitor, text=BAD, why="warmer tap")
    assert answer.status_code == 422
    assert "aire: 16 C" in answer.text
    assert "Line 2" in answer.text
    assert "Line 3" in answer.text
    assert "did you mean <code>air</code>?" in answer.text
    assert "140 C" in answer.text
    assert 'value="warmer tap"' in answer.text
    kept = latest(visitor, keep(visitor, text=BAD, even_so="true"))
    assert kept["text"] == BAD


def test_a_name_is_asked_for_and_the_text_stays(visitor: Visitor) -> None:
    answer = keep(visitor, name="  ")
    assert answer.status_code == 422
    assert "Give the document a name" in answer.text
    assert "elevation: 220 m" in answer.text
    named = latest(visitor, keep(visitor, name="", text=GOOD + "name: Late May\n"))
    assert named["name"] == "Late May"
    assert keep(visitor, name="x" * 121).status_code == 422
    assert keep(visitor, name="two\u2028lines").status_code == 422


def test_a_change_made_elsewhere_is_not_overwritten(visitor: Visitor) -> None:
    first = latest(visitor, keep(visitor))
    second = keep(visitor, text=GOOD + "humidity: 50 %\n", parent=first["number"])
    answer = keep(visitor, text=GOOD + "humidity: 90 %\n", parent=first["number"])
    assert answer.status_code == 409
    assert "humidity: 90 %" in answer.text
    assert "changed elsewhere" in answer.text
    newest = latest(visitor, second)
    assert newest["text"].endswith("humidity: 50 %\n")
    # the page that came back is ready to put one's own on top
    assert f'name="parent" value="{newest["number"]}"' in answer.text


def test_keeping_what_is_kept_already_makes_no_revision(visitor: Visitor) -> None:
    first = latest(visitor, keep(visitor))
    again = latest(visitor, keep(visitor, parent=first["number"]))
    assert again["number"] == first["number"]


def test_history_compares_and_goes_back(visitor: Visitor, clock: Clock) -> None:
    first = latest(visitor, keep(visitor, why="first"))
    clock.move(hours=1)
    changed = GOOD.replace("tap: 14 C", "tap: 9 C")
    second = latest(visitor, keep(visitor, text=changed, parent=first["number"], why="colder"))
    page = f"/documents/{second['document']}"
    history = visitor.see(f"{page}/history").text
    assert history.index("colder") < history.index("first")
    compared = visitor.see(f"{page}/compare").text
    assert "− gone" in compared
    assert "+ new" in compared
    assert compared.index("tap: 14 C") < compared.index("tap: 9 C")
    assert visitor.post(f"{page}/restore", data={"number": first["number"]}).status_code == 303
    newest = visitor.see(f"/api{page}").json()
    assert newest["text"] == GOOD
    assert newest["why"] == f"Back to revision {first['number']}."
    assert newest["parent"] == second["number"]


def test_a_revision_of_another_document_is_not_mixed_in(visitor: Visitor) -> None:
    kept = latest(visitor, keep(visitor))
    page = f"/documents/{kept['document']}"
    assert visitor.see(f"{page}/compare?before=1").status_code == 404
    assert visitor.post(f"{page}/restore", data={"number": 1}).status_code == 404


def test_what_is_not_there_is_said(visitor: Visitor) -> None:
    for path in ("/documents/99", "/documents/99/history", "/rig/99"):
        answer = visitor.see(path)
        assert answer.status_code == 404
        assert "There is no document 99 here" in answer.text
    assert visitor.see("/documents/0").status_code == 422
    assert visitor.see("/documents/2147483648").status_code == 422


def test_a_long_list_goes_on_over_pages(visitor: Visitor) -> None:
    for number in range(105):
        visitor.services.documents.save("day", f"Day {number:03d}", GOOD)
    page = visitor.see("/documents?kind=day").text
    assert "Day 104" in page
    assert "Day 004" not in page
    older = page[page.index("before=") :].partition('"')[0]
    assert "Day 004" in visitor.see(f"/documents?kind=day&{older}").text
