"""The plan page without a browser: it answers, moves, explains, keeps, and shows text as text."""

import json
import re
from html import unescape
from typing import Any

import pytest

PLAN = "/plan/2?rig=1&day=3"
MOVES = {"recipe": 2, "rig": 1, "day": 3}


def moved(visitor: Any, **moves: str) -> Any:
    body = {**MOVES, "moves": {key.replace("__", "."): value for key, value in moves.items()}}
    return visitor.post("/api/plan/moved", json=body)


def test_the_page_has_the_picture_the_numbers_and_the_levers(visitor: Any) -> None:
    page = visitor.see(PLAN)
    assert page.status_code == 200
    # on a wide screen, on a phone, on paper
    assert page.text.count("<svg") == 3
    for words in ("Bitterness, young beer", "guess", "Ledger", "Doses", "Notes", "Undo", "Accept"):
        assert words in page.text
    for key in ("whirlpool.rest", "whirlpool.pump", "whirlpool.lid", "chill.way", "batch",
                "hops.0.when", "hops.0.mass", "hops.0.alpha", "hops.0.held"):  # fmt: skip
        assert f'data-key="recipe.{key}"' in page.text
    assert 'data-key="day.tap"' in page.text
    # no style inside the page: the content policy would drop it
    assert " style=" not in page.text


def test_without_a_rig_it_asks(visitor: Any) -> None:
    assert visitor.see("/plan/2").headers["location"] == "/plan?recipe=2"
    assert "On which rig?" in visitor.see("/plan?recipe=2").text
    answer = visitor.see("/plan?recipe=2&rig=1&day=3")
    assert answer.headers["location"] == PLAN
    assert visitor.see("/plan/2?rig=2").status_code == 404
    assert visitor.see("/plan/999?rig=1").status_code == 404


def test_a_move_draws_every_part_anew(visitor: Any) -> None:
    told = moved(visitor, recipe__whirlpool__rest="40 min").json()
    assert told["moved"] == ["recipe.whirlpool.rest"]
    parts = told["parts"]
    assert "Rest: 18 min → 40 min" in parts["changed"]
    assert "Length of the day: 4:36 → 4:5" in parts["changed"]
    assert "was 4:36 h" in parts["others"]
    assert "as it was before you" in parts["strip"]
    # nothing is kept by trying
    assert visitor.services.documents.latest(2).number == 2


def test_a_quick_answer_leaves_out_what_takes_longer(visitor: Any) -> None:
    body = {**MOVES, "moves": {"recipe.whirlpool.rest": "30 min"}}
    quick = visitor.post("/api/plan/moved", json={**body, "whole": False}).json()
    whole = visitor.post("/api/plan/moved", json=body).json()
    assert (quick["whole"], whole["whole"]) == (False, True)
    assert set(whole["parts"]) - set(quick["parts"]) == {"whirl", "notes", "paper"}
    for name in ("numbers", "others", "ledger", "doses", "cant"):
        assert quick["parts"][name] == whole["parts"][name], name
    # the line-ups come later; their room in the picture is kept
    strips = [each["parts"]["strip"] for each in (quick, whole)]
    assert ["being worked out" in each for each in strips] == [True, False]
    heights = [re.search(r'<svg[^>]* height="([0-9.]+)"', each) for each in strips]
    assert len({each and each[1] for each in heights}) == 1


def test_a_move_to_what_is_kept_is_none(visitor: Any) -> None:
    told = moved(visitor, recipe__whirlpool__rest="18 min").json()
    assert told["moved"] == []
    assert "as it was before" not in told["parts"]["strip"]


@pytest.mark.parametrize(
    ("key", "typed", "words"),
    [
        ("recipe.whirlpool.rest", "potato", "is not a time"),
        ("recipe.hops.1.mass", "1 ton", "unit that is not known"),
        ("recipe.chill.way", "with bathtub", "no chiller of this rig"),
        ("recipe.hops.9.mass", "1 g", "nothing of this name to move"),
        ("recipe.batch", "x" * 300, "at most"),
        ("day.tap", "150 C", "outside what is possible"),
    ],
)
def test_a_value_that_cannot_be_is_refused_at_its_lever(
    visitor: Any, key: str, typed: str, words: str
) -> None:
    kept = {**MOVES, "moves": {key: typed, "recipe.boil.for": "70 min"}}
    refused = visitor.post("/api/plan/accepted", json=kept)
    assert refused.status_code == 422
    (problem,) = refused.json()["error"]["problems"]
    assert problem["field"] == key
    assert words in problem["text"]
    answer = visitor.post("/api/plan/moved", json=kept)
    if key == "recipe.hops.9.mass":
        assert (answer.status_code, answer.json()) == (422, refused.json())
        return
    # the other move is followed, and the bad one is named
    assert (answer.status_code, answer.json()["problems"]) == (200, [problem])
    assert answer.json()["moved"] == ["recipe.boil.for"]
    assert "Boil: 60 min → 70 min" in answer.json()["parts"]["changed"]


def test_two_bad_moves_are_both_named(visitor: Any) -> None:
    told = moved(visitor, recipe__batch="abc", day__tap="cold", recipe__boil__for="70 min").json()
    assert {each["field"] for each in told["problems"]} == {"recipe.batch", "day.tap"}
    assert told["moved"] == ["recipe.boil.for"]


def test_accepting_keeps_all_documents_together_with_the_reason(visitor: Any) -> None:
    moves = {"recipe.whirlpool.rest": "25 min", "day.tap": "16.5 C"}
    answer = visitor.post("/api/plan/accepted", json={**MOVES, "moves": moves, "why": "Warm  tap"})
    assert answer.status_code == 200
    numbers = answer.json()["revisions"]
    store = visitor.services.documents
    recipe, day = store.latest(2), store.latest(3)
    assert (numbers["recipe"], numbers["day"], numbers["rig"]) == (recipe.number, day.number, 1)
    assert recipe.why == day.why == "Warm tap"
    assert recipe.text == store.revision(2).text.replace("rest: 18 min", "rest: 25 min")
    assert day.text == store.revision(3).text.replace("tap: 14 C", "tap: 16.5 C")
    assert (recipe.name, day.name) == (store.revision(2).name, store.revision(3).name)
    # the page had the old revisions: the same again is a conflict, and nothing is kept
    again = visitor.post("/api/plan/accepted", json={**MOVES, "moves": moves})
    assert (again.status_code, again.json()["error"]["code"]) == (409, "changed-elsewhere")
    assert store.latest(2).number == recipe.number
    # it says what is newer, where to look, and on what one's own can be put
    told = again.json()
    assert [each["kind"] for each in told["newer"]] == ["recipe", "day"]
    assert told["newer"][0]["why"] == "Warm tap"
    look = visitor.see(told["newer"][0]["compare"])
    assert look.status_code == 200
    assert "rest: 25 min" in look.text
    assert told["newest"] == numbers
    mine = {"recipe.boil.for": "70 min"}
    on_top = visitor.post("/api/plan/accepted", json={**told["newest"], "moves": mine})
    assert on_top.status_code == 200
    assert store.latest(2).text == recipe.text.replace("boil: {for: 60 min", "boil: {for: 70 min")
    assert store.latest(2).parent == recipe.number


def test_every_number_opens_its_why(visitor: Any) -> None:
    page = visitor.see(PLAN).text
    keys = set(re.findall(r'data-why="([^"]+)"', page))
    assert {"bitterness.ibu", "ledger.water.cold_l", "bitterness.doses.d1.total_ibu"} <= keys
    for key in sorted(keys):
        answer = visitor.post("/api/plan/why", json={**MOVES, "key": key})
        assert answer.status_code == 200, key
        assert "<h2" in answer.json()["html"]
    way = re.search(r'href="(/plan/2/why[^"]*bitterness\.ibu)"', page)
    assert way
    shown = visitor.see(way[1].replace("&amp;", "&")).text
    assert "Bitterness of the young beer" in shown
    assert visitor.see("/plan/2/why?rig=1&day=3&key=nonsense").status_code == 404
    nonsense = visitor.post("/api/plan/why", json={**MOVES, "key": "nonsense"})
    assert nonsense.status_code == 404


def test_why_names_each_source_whole_and_once(visitor: Any) -> None:
    page = visitor.see("/plan/2/why?rig=1&day=3&key=bitterness.ibu").text
    (part,) = re.findall(r"<summary>\d+ sources?</summary>\s*<ul>(.*?)</ul>", page, re.DOTALL)
    listed = [unescape(each) for each in re.findall(r"<li>(.*?)</li>", part, re.DOTALL)]
    papers = {kind: {"document": number} for kind, number in MOVES.items()}
    told = visitor.post("/api/why", json={**papers, "key": "bitterness.ibu"}).json()
    whole = [each["references"] for each in told["sources"]]
    assert listed == list(dict.fromkeys(whole))
    assert any("Malowicki" in each for each in listed)
    assert f"<summary>{len(listed)} source" in page


def test_us_units(visitor: Any) -> None:
    visitor.post("/choices", data={"units": "us"})
    page = visitor.see(PLAN).text
    assert "US gal" in page
    assert "paper=letter" in page
    told = moved(visitor, recipe__batch="7 US gal").json()
    assert "7.00 US gal" in told["parts"]["numbers"]


def test_what_can_be_taken_away(visitor: Any) -> None:
    for name, kind, begin in (
        ("strip.svg", "image/svg+xml", b"<svg"),
        ("strip.png", "image/png", b"\x89PNG"),
        ("sheet.pdf", "application/pdf", b"%PDF"),
        ("show.html", "text/html", b"<!doctype html>"),
    ):
        answer = visitor.see(f"/plan/2/{name}?rig=1&day=3")
        assert answer.status_code == 200, name
        assert answer.headers["content-type"].startswith(kind)
        assert answer.content.startswith(begin)
    letter = visitor.see("/plan/2/sheet.pdf?rig=1&day=3&paper=letter")
    assert letter.status_code == 200
    assert visitor.see("/plan/2/sheet.pdf?rig=1&paper=a3").status_code == 422
    shown = visitor.see("/plan/2/show.html?rig=1&day=3")
    assert "<script" not in shown.text
    assert not re.findall(r'(?:src|href)="(?!data:)', shown.text)


def test_the_print_view_has_the_steps_in_order(visitor: Any) -> None:
    page = visitor.see("/plan/2/print?rig=1&day=3").text
    words = ("Fill", "Heat the strike water", "Boil 60", "Heat off", "Rest 18", "Chill from",
             "Aerate and pitch")  # fmt: skip
    places = [page.index(each) for each in words]
    assert places == sorted(places)
    assert page.index("Mains near water") < places[0]
    assert "How the pipes stand" in page
    assert "measured" in page


def test_names_are_shown_as_text_everywhere(visitor: Any) -> None:
    store = visitor.services.documents
    name = "<script>alert(1)</script> #let x = [*a*] $ ../../etc"
    text = store.latest(2).text.replace("name: Rainday Pale", f"name: '{name}'")
    number = store.save("recipe", name, text).document
    for path in (f"/plan/{number}?rig=1&day=3", f"/plan/{number}/print?rig=1&day=3",
                 f"/plan/{number}/show.html?rig=1&day=3", "/plan"):  # fmt: skip
        page = visitor.see(path).text
        assert "<script>alert" not in page, path
        assert "&lt;script&gt;alert(1)&lt;/script&gt;" in page, path
    assert visitor.see(f"/plan/{number}/sheet.pdf?rig=1&day=3").content.startswith(b"%PDF")


def test_a_plan_that_does_not_fit_says_why(visitor: Any) -> None:
    told = moved(visitor, recipe__batch="60 L").json()
    assert told["fits"] is False
    cant = unescape(told["parts"]["cant"])
    assert "Can't fit the kettle, because the mash with its grain is" in cant
    assert cant.count("Can't") == len(re.findall("<p>Can't", cant)) + 1  # its name for a reader
    assert "Nearest that works" in cant


@pytest.mark.parametrize(
    ("key", "typed"),
    [("recipe.batch", "60 L"), ("recipe.chill.to", "10 C"), ("recipe.hops.0.when", "90 min")],
)
def test_the_nearest_that_works_can_be_taken(visitor: Any, key: str, typed: str) -> None:
    told = visitor.post("/api/plan/moved", json={**MOVES, "moves": {key: typed}}).json()
    take = re.search(r'data-take="([^"]*)"', told["parts"]["cant"])
    assert take
    moves = json.loads(unescape(take[1]))
    assert key in moves
    there = visitor.post("/api/plan/moved", json={**MOVES, "moves": {key: typed, **moves}}).json()
    assert there["fits"] is True


def test_what_no_lever_does_has_no_button(visitor: Any) -> None:
    store = visitor.services.documents
    weak = re.sub(r"power: [^,}]*", "power: 300 W", store.latest(1).text, count=1)
    number = store.save("rig", "Weak", weak, "", 1).number
    told = visitor.post("/api/plan/moved", json={**MOVES, "rig": number}).json()
    assert told["fits"] is False
    assert "An element of" in told["parts"]["cant"]
    assert "data-take" not in re.sub(r"(?s)chill.*", "", told["parts"]["cant"])


def test_a_dose_that_the_aim_decides_says_so_at_its_lever(visitor: Any) -> None:
    page = visitor.see(PLAN).text
    assert "fitted to your aim of 32 IBU" in page
    told = moved(visitor, recipe__hops__0__mass="60 g").json()
    words = told["told"]["recipe.hops.0.mass"]
    weighed = re.search(r"The plan takes ([0-9.]+) g, fitted", words)
    assert weighed
    assert f"{float(weighed[1]):g}" != "60"
    assert "changes nothing while that aim stands" in words
    assert words in unescape(told["parts"]["changed"])
    assert "othing that shows in the numbers" not in told["parts"]["line"]
    # without the aim what is typed is what is weighed
    store = visitor.services.documents
    text = store.latest(2).text.replace(", bitterness: 32", "")
    assert text != store.latest(2).text
    number = store.save("recipe", "No aim", text, "", 2).number
    free = visitor.post(
        "/api/plan/moved", json={**MOVES, "recipe": number, "moves": {"recipe.hops.0.mass": "60 g"}}
    ).json()
    assert free["told"] == {}
    assert "Bitterness, young beer" in free["parts"]["line"]


def test_the_first_page_is_light(visitor: Any) -> None:
    answer = visitor.see(PLAN, headers={"Accept-Encoding": "gzip"})
    size = int(answer.headers["content-length"])
    for name in ("style.css", "plan.js", "plan_past.js", "plan_server.js"):
        one = visitor.see(f"/static/x/{name}", headers={"Accept-Encoding": "gzip"})
        size += int(one.headers["content-length"])
    assert size < 100_000


def test_a_plan_without_a_day_or_a_choice_left_open_is_no_mistake(visitor: Any) -> None:
    # a form sends a choice left open as an empty text
    answer = visitor.see("/plan?rig=1&recipe=2&day=")
    assert (answer.status_code, answer.headers["location"]) == (303, "/plan/2?rig=1")
    page = visitor.see("/plan/2?rig=1&day=")
    assert page.status_code == 200
    assert "No day is chosen" in page.text
    for open_one in ("/plan?rig=1&recipe=&day=", "/plan?recipe=&rig=&day="):
        asked = visitor.see(open_one)
        assert asked.status_code == 200
        assert '<option value="">none yet: usual air and tap</option>' in asked.text.replace(
            " selected", ""
        )
    assert visitor.see("/plan/2/print?rig=1&day=").status_code == 200
    assert visitor.see("/plan?rig=1&recipe=2&day=x").status_code == 422


def test_a_rig_without_a_recipe_says_how_to_go_on(visitor: Any) -> None:
    assert "Plan it" in visitor.see("/rig/1").text
    visitor.post("/documents/2/discard")
    page = visitor.see("/rig/1").text
    assert "Plan it" not in page
    assert "there is no recipe yet" in page
    assert 'href="/new?kind=recipe">Write a recipe' in page
    assert "There is no recipe yet" in visitor.see("/plan?rig=1&day=").text
