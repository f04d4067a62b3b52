"""Lots on the web: listed, started once, shown, taken along, and written to in safety."""

import copy
import re
import threading
from typing import Any, ClassVar

import pytest
from decks import begin_lot, scripted_entry
from served import Clock, Visitor

from wortline.store.memory import MemoryDocuments
from wortline.web.door import Door
from wortline.web.listening import ringing
from wortline.web.services import Services, services


@pytest.fixture(scope="module")
def begun() -> Services:
    clock = Clock()
    given = services(MemoryDocuments(clock), clock)
    begin_lot(given.lots, given.documents, given.watch)
    return given


@pytest.fixture
def brewer(begun: Services) -> Visitor:
    return Visitor(services(begun.documents, Clock(), lots=copy.deepcopy(begun.lots)))


def post(brewer: Visitor, *entries: Any, after: int = 0, **how: Any) -> Any:
    return brewer.post(
        "/api/lots/1/entries", json={"entries": list(entries), "after": after}, **how
    )


def test_a_lot_is_started_once_however_often_the_form_is_sent(brewer: Visitor) -> None:
    page = brewer.see("/lots").text
    form = {"recipe": "1", "rig": "2", "day": "3", "name": "Second"}
    form["id"] = re.search(r'name="id" value="([^"]+)"', page)[1]  # type: ignore[index]
    for _ in range(2):
        answer = brewer.post("/lots", data=form)
        assert (answer.status_code, answer.headers["location"]) == (303, "/lots/2")
    assert brewer.see("/lots").text.count("Open the deck") == 2
    assert brewer.see("/api/lots").json()["lots"][0]["name"] == "Second"


def test_a_plan_that_cannot_be_starts_no_lot(brewer: Visitor) -> None:
    answer = brewer.post("/lots", data={"recipe": "3", "rig": "2", "id": "long-enough"})
    assert answer.status_code == 422
    assert brewer.post("/lots", data={"recipe": "1", "rig": "2", "day": "x"}).status_code == 422
    assert len(brewer.see("/api/lots").json()["lots"]) == 1


def test_entries_are_kept_once_and_others_are_handed_over(brewer: Visitor) -> None:
    first, second = scripted_entry("phone-a", 1), scripted_entry("phone-a", 2)
    told = post(brewer, first, second, after=1).json()
    assert [each["what"] for each in told["answers"]] == ["kept", "kept"]
    assert [each["number"] for each in told["entries"]] == [2, 3]
    again = post(brewer, second, first, scripted_entry("phone-b", 1), after=3).json()
    assert [each["what"] for each in again["answers"]] == ["known", "known", "kept"]
    assert [each["number"] for each in again["answers"]] == [3, 2, 4]
    assert [each["id"] for each in again["entries"]] == ["phone-b-1"]
    listed = brewer.see("/api/lots/1/entries?after=2").json()["entries"]
    assert [each["number"] for each in listed] == [3, 4]


def test_a_bad_entry_is_refused_with_a_sentence_and_the_good_ones_are_kept(
    brewer: Visitor,
) -> None:
    bad = {**scripted_entry("phone-a", 1), "event": {"kind": "dance"}}
    told = post(brewer, bad, scripted_entry("phone-a", 2)).json()
    assert [each["what"] for each in told["answers"]] == ["refused", "kept"]
    assert "`dance` is no event" in told["answers"][0]["why"]
    changed = {**scripted_entry("phone-a", 2), "wall_ms": 7}
    (answer,) = post(brewer, changed).json()["answers"]
    assert answer["what"] == "refused"
    assert "a correction is an entry of its own" in answer["why"]


def test_what_is_sent_is_bounded_and_comes_from_our_own_pages(brewer: Visitor) -> None:
    many = [scripted_entry("phone-a", number) for number in range(201)]
    assert post(brewer, *many).status_code == 422
    assert post(brewer, {"text": "x" * 1_100_000}).status_code == 413
    elsewhere = post(brewer, scripted_entry("a", 1), headers={"Origin": "https://elsewhere.test"})
    assert elsewhere.status_code == 403
    assert brewer.see("/api/lots/1/entries").json()["entries"][-1]["number"] == 1


def test_an_unknown_lot_is_not_found(brewer: Visitor) -> None:
    for path in ("mark", "deck", "entries", "ways", "replanned", "pump", "interruption?off_min=5"):
        assert brewer.see(f"/api/lots/9/{path}").status_code == 404, path
    assert brewer.post("/api/lots/9/entries", json={"entries": []}).status_code == 404
    for path in ("/lots/9", "/lots/9/text", "/lots/9/alarms.ics"):
        assert brewer.see(path).status_code == 404, path


def test_whoever_has_not_joined_sees_no_lot() -> None:
    hosts = frozenset({"127.0.0.1", "localhost", "192.0.2.7"})
    door = Door(hosts=hosts, code="ABCDEFGH", secure=True)
    given = services(MemoryDocuments(Clock()), Clock(), door)
    stranger = Visitor(given, "https://192.0.2.7", ("192.0.2.31", 50000))
    assert stranger.see("/api/lots").status_code == 401
    assert stranger.see("/deck").status_code == 303
    assert stranger.see("/deck-worker.js").status_code == 303
    assert post(stranger, scripted_entry("a", 1)).status_code == 401


def test_the_page_of_a_lot_shows_plan_against_fact(brewer: Visitor) -> None:
    boil = [
        {**scripted_entry("phone-a", 1), "event": {"kind": "phase begun", "phase": "fill"}},
        {**scripted_entry("phone-a", 2), "event": {"kind": "phase ended", "phase": "fill"},
         "steady": {"session": "s", "min": 9.01}},
        {**scripted_entry("phone-a", 3), "event": {"kind": "note", "text": "<b>wet</b>"}},
    ]  # fmt: skip
    post(brewer, *boil)
    page = brewer.see("/lots/1").text
    assert re.search(r"Fill</th>.*?4 min</td><td[^>]*>9 min</td><td[^>]*>\+5 min", page, re.S)
    assert "&lt;b&gt;wet&lt;/b&gt;" in page
    assert "<svg" in page
    text = brewer.see("/lots/1/text")
    assert text.headers["content-disposition"].startswith('attachment; filename="lot-0001')
    assert "The record (lot/1, 4 entries)" in text.text


def test_the_alarms_come_as_a_calendar(brewer: Visitor) -> None:
    post(brewer, {**scripted_entry("a", 1), "event": {"kind": "phase begun", "phase": "boil"}})
    answer = brewer.see("/lots/1/alarms.ics")
    assert answer.headers["content-type"].startswith("text/calendar")
    assert answer.text.count("BEGIN:VEVENT") == 3
    assert brewer.see("/lots/1/alarms.ics?one=boil/end").text.count("BEGIN:VEVENT") == 1


def test_a_deck_takes_everything_along(brewer: Visitor) -> None:
    deck = brewer.see("/api/lots/1/deck").json()
    assert deck["schema"] == "deck/1"
    assert deck["tables"]["schema"] == "tables/1"
    assert set(deck["pipes"]["shown"]["mash/turn1"]["handles"]) == {"K", "V1", "V2"}
    worker = brewer.see("/deck-worker.js")
    assert worker.headers["content-type"].startswith("text/javascript")
    files = re.search(r"const FILES = \[(.*?)\];", worker.text)
    assert files
    named = [each.strip(' "') for each in files[1].split(",")]
    assert f"/static/{brewer.app.state.version}/deck.js" in named
    for each in named:
        assert brewer.see(each).status_code == 200
    shell = brewer.see("/deck/1").text
    assert "Rainday" not in shell
    manifest = brewer.see(next(each for each in named if each.endswith(".webmanifest"))).json()
    assert manifest["start_url"] == "/deck"


def test_ways_out_and_the_pump_are_asked_of_the_server(brewer: Visitor) -> None:
    ways = brewer.see("/api/lots/1/ways?trouble=mash-off&mash_c=61").json()
    assert len(ways["troubles"][0]["ways"]) >= 3
    assert brewer.see("/api/lots/1/ways?trouble=nothing-like-it").status_code == 422
    told = brewer.see("/api/lots/1/interruption?off_min=20").json()
    assert told["lines"][0].startswith("First: switch element and pump off")
    assert brewer.see("/api/lots/1/pump").json()["schema"] == "pump-check/1"
    assert brewer.see("/api/lots/1/replanned").json()["before"]["fermenter_l"] > 20.0


def test_the_computer_rings_beside_the_devices(begun: Services) -> None:
    given = services(begun.documents, Clock(), lots=copy.deepcopy(begun.lots))
    brewer = Visitor(given)
    post(brewer, {**scripted_entry("a", 1), "event": {"kind": "phase begun", "phase": "boil"}})
    rung, lines = threading.Event(), []

    def tell(line: str) -> None:
        lines.append(line)
        rung.set()

    with ringing(given, tell):
        assert rung.wait(20)
    assert lines[0].startswith("\a")
    assert "Lot 1: d1: 25 g Magnum" in lines[0]


def test_the_sheet_is_typed_in_once_in_its_order(brewer: Visitor) -> None:
    page = brewer.see("/lots/1/paper").text
    form = {"form": re.search(r'name="form" value="([^"]+)"', page)[1]}  # type: ignore[index]
    form |= {"at fill": "9:05", "value fill/water": "35.1 L", "at boil": "11:40"}
    wrong = brewer.post("/lots/1/paper", data={**form, "value heat/end": "69 <b>"})
    assert wrong.status_code == 422
    assert "Nothing is kept yet" in wrong.text and 'value="35.1 L"' in wrong.text
    assert 'value="69 &lt;b&gt;"' in wrong.text
    before = len(brewer.see("/api/lots/1/entries").json()["entries"])
    for _ in range(2):
        answer = brewer.post("/lots/1/paper", data=form)
        assert (answer.status_code, answer.headers["location"]) == (303, "/lots/1")
    entries = brewer.see("/api/lots/1/entries").json()["entries"][before:]
    kinds = [each["event"]["kind"] for each in entries]
    assert kinds == ["phase begun", "measured", "step done", "phase begun"]
    assert all(each["paper"] for each in entries)
    assert "In the record already" in brewer.see("/lots/1/paper").text


def test_what_is_typed_on_the_sheet_page_is_never_cut_or_dropped(brewer: Visitor) -> None:
    page = brewer.see("/lots/1/paper").text
    form = {"form": re.search(r'name="form" value="([^"]+)"', page)[1]}  # type: ignore[index]
    long = "35.1 L" + " " * 70 + "and a bit more"
    answer = brewer.post("/lots/1/paper", data={**form, "value fill/water": long})
    assert answer.status_code == 422
    assert "has 90 letters; write at most 80 here" in answer.text
    assert f'value="{long}"' in answer.text
    mine = {**form, "value fill/water": "35.1 L"}
    assert brewer.post("/lots/1/paper", data=mine).status_code == 303
    before = brewer.see("/api/lots/1/entries").json()["entries"]
    # the way back in the browser: the same form, another value
    other = {**mine, "value fill/water": "34.6 L", "value heat/end": "69.5 C"}
    again = brewer.post("/lots/1/paper", data=other)
    assert again.status_code == 422
    assert "The record has this place already" in again.text
    assert "`wortline lot say 1 correct ENTRY VALUE`" in again.text
    assert 'value="34.6 L"' in again.text and 'value="69.5 C"' in again.text
    assert brewer.see("/api/lots/1/entries").json()["entries"] == before


def test_the_typed_sheet_is_in_the_text_file_of_the_lot(begun: Services) -> None:
    class Shelf:
        texts: ClassVar[list[str]] = []

        def write(self, name: str, text: str) -> str:
            self.texts.append(text)
            return name

    given = services(begun.documents, Clock(), lots=copy.deepcopy(begun.lots), shelf=Shelf())
    data = {"form": "sheet-1", "value fill/water": "35.1 L"}
    assert Visitor(given).post("/lots/1/paper", data=data).status_code == 303
    assert len(Shelf.texts) == 1
    assert "35.1 L" in Shelf.texts[0]


def test_the_start_page_shows_the_lots(brewer: Visitor) -> None:
    assert "/deck/1" in brewer.see("/").text
