"""The pages over a database that lasts: SQLite in a folder, and a real PostgreSQL."""

import json
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from decks import begin_lot, scripted_entry
from served import Clock, Visitor

from wortline.app.starting import lay_out_examples
from wortline.web.services import services
from wortline.wiring import Store, open_store

SORTS = ("sqlite", "postgresql")
MOVES = {"recipe": 2, "rig": 1, "day": 3}
DAY = "schema: day/1\nair: 16 C\ntap: 14 C\ngrain: 12 C\nelevation: 220 m\n"


class House:
    """A store at a place, opened again as after a restart, and a visitor of its pages."""

    def __init__(self, place: str, clock: Clock) -> None:
        self.place, self.clock = place, clock
        self.opened: list[Store] = []

    def visitor(self) -> Visitor:
        """Somebody at the pages of a server that has just started."""
        store = open_store(self.place, self.clock)
        self.opened.append(store)
        lay_out_examples(store.documents)
        given = services(store.documents, self.clock, lots=store.lots, shelf=store.shelf)
        return Visitor(given)


@pytest.fixture(params=SORTS)
def house(
    request: Any, tmp_path: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> Iterator[House]:
    monkeypatch.setattr("wortline.wiring.own_folder", lambda: tmp_path / "own")
    if request.param == "sqlite":
        place = str(tmp_path / "data")
    else:
        place = request.getfixturevalue("postgres").new_place()
    made = House(place, clock)
    yield made
    for store in made.opened:
        store.close()


def keep(visitor: Visitor, **fields: Any) -> Any:
    return visitor.post("/documents", data={"kind": "day", "text": DAY, "name": "May", **fields})


def test_documents_are_kept_listed_changed_thrown_away_and_outlive_a_restart(house: House) -> None:
    visitor = house.visitor()
    for name in ("Shed rig with two valves", "Rainday Pale", "A cool day in March"):
        assert name in visitor.see("/").text
    odd = "Žluťoučký 🍺 <b>' %s \\ day"
    assert keep(visitor, name=odd).headers["location"] == "/documents/4?kept=4"
    warmer = DAY.replace("tap: 14 C", "tap: 20 C")
    assert keep(visitor, text=warmer, parent="4", why="a hot week").status_code == 303
    # whoever began from the older one is told, and nothing is overwritten
    refused = keep(visitor, text=DAY, parent="4")
    assert refused.status_code == 409
    assert visitor.post("/documents/1/discard").status_code == 303
    again = house.visitor()
    told = again.see("/api/documents?kind=day").json()["documents"]
    assert [(each["document"], each["number"], each["name"]) for each in told] == [
        (4, 5, "May"), (3, 3, "A cool day in March"),
    ]  # fmt: skip
    assert again.see("/api/documents/4").json()["text"] == warmer
    history = again.see("/api/documents/4/history").json()["revisions"]
    assert [(each["number"], each["why"], each["name"]) for each in history] == [
        (5, "a hot week", "May"), (4, "", odd),
    ]  # fmt: skip
    assert "a hot week" in again.see("/documents/4/history").text
    assert "tap: 20 C" in again.see("/documents/4/compare?before=4&after=5").text
    assert "Shed rig" not in again.see("/documents").text
    assert again.post("/documents/1/take-back").status_code == 303
    assert "Shed rig" in again.see("/documents").text


def test_a_plan_is_shown_moved_and_accepted_all_or_nothing(house: House) -> None:
    visitor = house.visitor()
    assert "Bitterness, young beer" in visitor.see("/plan/2?rig=1&day=3").text
    body = {**MOVES, "moves": {"recipe.whirlpool.rest": "25 min", "day.tap": "16 C"}}
    told = visitor.post("/api/plan/moved", json=body).json()
    assert "Rest: 18 min → 25 min" in told["parts"]["changed"]
    answer = visitor.post("/api/plan/accepted", json={**body, "why": "warm"})
    assert answer.json()["revisions"] == {"recipe": 4, "rig": 1, "day": 5}
    assert visitor.post("/api/plan/accepted", json=body).status_code == 409
    again = house.visitor()
    assert "rest: 25 min" in again.see("/api/documents/2").json()["text"]
    assert len(again.see("/api/documents/2/history").json()["revisions"]) == 2
    assert 'data-text="25 min"' in again.see("/plan/2?rig=1&day=3").text


def test_a_lot_takes_entries_once_and_has_them_after_a_restart(house: House) -> None:
    visitor = house.visitor()
    given = visitor.services
    lot = begin_lot(given.lots, given.documents, given.watch)
    where = f"/api/lots/{lot.lot.number}/entries"
    first, second = scripted_entry("phone-a", 1), scripted_entry("phone-a", 2)
    bad = {**scripted_entry("phone-a", 3), "event": {"kind": "dance"}}
    told = visitor.post(where, json={"entries": [first, second, bad], "after": 1}).json()
    assert [each["what"] for each in told["answers"]] == ["kept", "kept", "refused"]
    again = house.visitor()
    once_more = again.post(where, json={"entries": [second, first]}).json()
    assert [(each["what"], each["number"]) for each in once_more["answers"]] == [
        ("known", 3), ("known", 2),
    ]  # fmt: skip
    kept = again.see(where).json()["entries"]
    assert [each["number"] for each in kept] == [1, 2, 3]
    page = again.see(f"/lots/{lot.lot.number}")
    assert page.status_code == 200
    assert again.see("/lots").text.count("Open the deck") == 1
    assert again.see(f"/lots/{lot.lot.number}/text").status_code == 200


def test_many_at_once_from_one_revision_and_one_is_kept(house: House) -> None:
    visitor = house.visitor()
    keep(visitor)

    def save(number: int) -> int:
        text = DAY.replace("tap: 14 C", f"tap: {15 + number} C")
        body = {"kind": "day", "text": text, "name": "May", "parent": 4}
        return int(Visitor(visitor.services).post("/api/documents", json=body).status_code)

    with ThreadPoolExecutor(6) as hands:
        assert Counter(hands.map(save, range(6))) == {201: 1, 409: 5}
    assert len(visitor.see("/api/documents/4/history").json()["revisions"]) == 2


@pytest.mark.parametrize("odd", ["a\x00b", "a\ud800b", "\ufffe"], ids=["nul", "half", "none"])
def test_letters_that_no_database_keeps_never_break_the_server(house: House, odd: str) -> None:
    visitor = house.visitor()
    body = {"kind": "day", "text": DAY, "name": "May"}

    def sent(path: str, told: dict[str, Any]) -> Any:
        headers = {"Content-Type": "application/json"}
        return visitor.post(path, content=json.dumps(told), headers=headers)

    shown = odd.replace("\ud800", "\ufffd")
    start = {"recipe": "2", "rig": "1", "id": "long-enough-1", "name": shown}
    told = {
        "name": sent("/api/documents", {**body, "name": odd}),
        "why": sent("/api/documents", {**body, "why": odd}),
        "text": sent("/api/documents", {**body, "text": f"{DAY}# {odd}", "even_so": True}),
        "asked": visitor.see("/api/documents", params={"name": shown}),
        "accepted": sent("/api/plan/accepted", {**MOVES, "why": odd, "moves": {"day.tap": "16 C"}}),
        "lot": visitor.post("/lots", data=start),
    }
    assert {name: each.status_code for name, each in told.items() if each.status_code >= 500} == {}
    # what was refused is refused with a sentence, and the store still answers
    assert visitor.see("/documents").status_code == 200
