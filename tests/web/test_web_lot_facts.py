"""The page of a lot that has run: what was read and dosed stands beside the plan, in words."""

import copy
from typing import Any

import pytest
from decks import begin_lot
from served import Clock, Visitor

from wortline.store.memory import MemoryDocuments
from wortline.web.services import Services, services

BEGUN_MS = 1_835_427_600_000


@pytest.fixture(scope="module")
def begun() -> Services:
    clock = Clock()
    given = services(MemoryDocuments(clock), clock)
    begin_lot(given.lots, given.documents, given.watch)
    return given


def read(of: str, quantity: str, value: float, **how: Any) -> dict[str, Any]:
    return {"kind": "measured", "of": of, "quantity": quantity, "value": value, **how}


def on(kind: str, name: str) -> dict[str, Any]:
    return {"kind": kind, ("phase" if kind.startswith("phase") else "step"): name}


DAY = [
    (5.0, on("phase begun", "setup")),
    (9.0, read("clean flow", "flow", 8.0)),
    (10.0, on("phase begun", "fill")),
    (13.0, read("water", "volume", 33.0, sample_c=20.0)),
    (14.0, on("phase begun", "heat")),
    (60.0, read("strike", "temperature", 64.0)),
    (62.0, on("phase begun", "mash")),
    (70.0, read("mash", "temperature", 61.0)),
    (125.0, on("phase begun", "lift")),
    (138.0, on("phase begun", "to_boil")),
    (150.0, read("preboil", "gravity", 1.048, sample_c=20.0, instrument="hydrometer")),
    (168.0, read("preboil", "volume", 27.0, sample_c=20.0)),
    (170.0, on("phase begun", "boil")),
    (177.0, on("step done", "boil/d1")),
    (230.5, on("step done", "boil/d2")),
    (232.0, on("phase begun", "whirlpool")),
    (239.0, on("phase begun", "rest")),
    (249.0, on("step done", "rest/d3")),
    (257.0, read("clear after", "time", 15.0)),
    (258.0, read("rest", "temperature", 83.0)),
    (259.0, on("phase begun", "chill")),
    (285.0, read("chilled", "temperature", 30.0)),
    (286.0, on("phase begun", "transfer")),
    (293.0, on("phase begun", "pitch")),
    (294.0, read("fermenter", "volume", 21.0, sample_c=20.0)),
    (295.0, read("original", "gravity", 1.052, sample_c=20.0)),
    (296.0, read("pitch", "temperature", 24.0)),
]


def run(given: Services) -> Services:
    """The day of a lot as it went."""
    held = services(given.documents, Clock(), lots=copy.deepcopy(given.lots))
    entries = [
        {"schema": "lot/1", "id": f"entry-{place}", "device": "phone", "sequence": place,
         "wall_ms": BEGUN_MS + round(minute * 60_000), "zone_min": 0,
         "steady": {"session": "s", "min": minute}, "event": event}
        for place, (minute, event) in enumerate(DAY, 1)
    ]  # fmt: skip
    answer = Visitor(held).post("/api/lots/1/entries", json={"entries": entries, "after": 0})
    assert {each["what"] for each in answer.json()["answers"]} == {"kept"}
    return held


@pytest.fixture(scope="module")
def page(begun: Services) -> str:
    return Visitor(run(begun)).see("/lots/1").text


@pytest.mark.parametrize(
    "words",
    [
        "Strike water: 64.0 C, plan 69.5 C",
        "Mash: 61.0 C, plan 66.0 C",
        "Water: 33.0 L cold, plan 35.1 L cold",
        "Before the boil: 27.0 L cold, plan",
        "Before the boil: 1.048, plan 1.044",
        "Chilled wort: 30.0 C, plan 18.0 C",
        "d1 in, 7 min late",
        "d2 in, on time",
    ],
)
def test_what_was_read_stands_on_the_strip_with_the_plan(page: str, words: str) -> None:
    strip = page[page.index("lot-strip") :]
    assert words in strip


def test_a_thermometer_is_a_point_beside_the_curve(page: str) -> None:
    assert page.count('class="read-point"') == 5


def test_headline_numbers_are_what_was_read_and_say_which_are_only_planned(page: str) -> None:
    strip = page[page.index("lot-strip") :]
    assert ">1.052<" in strip
    assert "plan 1.050" in strip
    assert ">21.0 L<" in strip
    assert "alcohol by volume, plan" in strip


def test_labels_are_words(page: str) -> None:
    assert "clean flow flow" not in page
    assert "clear after time" not in page
    assert "Before the boil, gravity" in page
    assert "Clear after" in page


def test_each_dose_has_its_real_time_beside_when_it_was_due(page: str) -> None:
    rows = page[page.index("Hops as they went in") : page.index("lot-strip")]
    flat = " ".join(rows.split())
    assert "d1: 25 g Magnum" in flat
    assert "7 min late" in flat
    assert "on time" in flat
