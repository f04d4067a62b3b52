"""Chillers of a rig, the chill of a recipe and the climate of a day: what is read, what refused."""

import json

import pytest

from wortline.documents.loading import load
from wortline.errors import DocumentRefused

READING = {"wort_in": "96 C", "wort_out": "31 C", "wort": "5 L/min", "water": "9 L/min",
           "water_in": "14 C"}  # fmt: skip
PLATE = {"name": "plate", "kind": "plate", "reading": READING}
COIL = {"name": "coil", "kind": "immersion", "ua": "400 W/K", "stirred": "yes"}
CLIMATE = {"mean": "9 C", "range": "18 K", "month": "8"}


def refused(kind, document):
    with pytest.raises(DocumentRefused) as caught:
        load(f"{kind}.yaml", json.dumps(document), kind)
    return {problem.field: problem.text for problem in caught.value.problems}


def rig(papers, *chillers, **more):
    return {**papers.rig, **more, "chillers": list(chillers)}


def test_chillers_are_read(papers):
    found = load("rig.yaml", json.dumps(rig(papers, PLATE, COIL, {"name": "c", "kind": "coil"})))
    plate, coil, bare = found.chillers
    assert (plate.kind, coil.kind, bare.kind) == ("plate", "immersion", "immersion")
    assert coil.ua.value == 400.0 and coil.stirred == "yes"
    # Derived by hand from Kays and London's counterflow formula, ch. 2: C 334.1 and 628.0 W/K,
    # effectiveness 65/82 = 0.7927, ratio 0.532, NTU ln((1 - .4217)/(1 - .7927))/.468 = 2.192.
    assert plate.reading.ua_w_k == pytest.approx(732.3, abs=0.5)


@pytest.mark.parametrize(
    ("chillers", "field", "words"),
    [
        ([{**PLATE, "ua": "600 W/K"}], "chillers.0.ua", "keep the reading"),
        ([{**PLATE, "kind": "immersion"}], "chillers.0.reading", "no way out for wort"),
        ([{**COIL, "wort": "5 L/min"}], "chillers.0.wort", "no wort is pumped"),
        ([{**PLATE, "stirred": "yes"}], "chillers.0.stirred", "said of an immersion coil"),
        ([{"name": "c", "kind": "coil", "ua": "9 W/K"}], "chillers.0.stirred", "with stirring"),
        ([PLATE, PLATE], "chillers.1.name", "second chiller is called `plate`"),
        ([{**PLATE, "kind": "plat"}], "chillers.0.kind", "did you mean `plate`"),
        ([{**PLATE, "reading": {**READING, "wort_out": "97 C"}}],
         "chillers.0.reading.wort_out", "no colder than the `96 C`"),
        ([{**PLATE, "reading": {**READING, "wort_out": "14 C"}}],
         "chillers.0.reading.wort_out", "no chiller does that"),
        ([{**PLATE, "reading": {**READING, "water": "3 L/min"}}],
         "chillers.0.reading.water", "bucket and clock"),
        ([{**COIL, "ua": "400"}], "chillers.0.ua", "has no unit"),
    ],
)  # fmt: skip
def test_impossible_chillers_are_refused(papers, chillers, field, words):
    found = refused("rig", rig(papers, *chillers))
    assert words in found[field], found


def test_a_chiller_of_the_plumbing_is_the_same_there(papers):
    pipes = {
        "parts": [
            {"name": "K", "kind": "kettle"},
            {"name": "plate", "kind": "chiller", "form": "counterflow"},
            {"name": "F", "kind": "fermenter"},
        ],
        "joins": [["K.outlet", "plate.in"], ["plate.out", "F.in"]],
    }
    found = refused("rig", rig(papers, PLATE, plumbing=pipes))
    assert "is a counterflow chiller in the plumbing" in found["chillers.0.kind"]
    pipes["parts"][1]["form"] = "plate"
    assert load("rig.yaml", json.dumps(rig(papers, PLATE, plumbing=pipes))).chillers


@pytest.mark.parametrize(
    ("chill", "field", "words"),
    [
        ({}, "chill", "does not say how"),
        ({"with": "plate", "in": "20 min"}, "chill", "has both `in` and `with`"),
        ({"with": "plate", "in": "20 min", "at": "instant"}, "chill",
         "has `at`, `in` and `with`"),
        ({"at": "2.5 K/min", "how": "circulate"}, "chill.how", "belongs to a chiller"),
        ({"at": "2.5 K/min", "switch_at": "60 C"}, "chill.switch_at", "belongs to a chiller"),
        ({"with": "plate", "how": "fast"}, "chill.how", "one-pass, circulate or two-stage"),
        ({"with": "plate", "how": "one-pass", "switch_at": "60 C"}, "chill.switch_at",
         "circulates first"),
        ({"with": "plate", "how": "two-stage", "switch_at": "18 C"}, "chill.switch_at",
         "not above the `18 C`"),
        ({"with": "a plate", "how": "circulate"}, "chill.with", "cannot be a name"),
    ],
)  # fmt: skip
def test_a_chill_is_told_in_exactly_one_way(papers, chill, field, words):
    found = refused("recipe", {**papers.recipe, "chill": {"to": "18 C", **chill}})
    assert words in found[field], found


def test_a_chill_with_a_chiller_is_read(papers):
    chill = {"with": "plate", "how": "two-stage", "switch_at": "60 C", "to": "18 C"}
    found = load("recipe.yaml", json.dumps({**papers.recipe, "chill": chill}), "recipe").chill
    assert (found.chiller, found.how, found.switch_at.value) == ("plate", "two-stage", 60.0)


def day(papers, **changes):
    return {key: value for key, value in {**papers.day, **changes}.items() if value is not None}


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"tap": None}, "tap", "`tap` is missing"),
        ({"climate": CLIMATE}, "tap", "keep the measured tap alone"),
        ({"tap": None, "climate": {**CLIMATE, "month": "13"}}, "climate.month", "not a month"),
        ({"tap": None, "climate": {**CLIMATE, "month": "ju"}}, "climate.month", "not a month"),
        ({"tap": None, "climate": {"mean": "9 C"}}, "climate.range", "missing"),
    ],
)
def test_a_tap_is_measured_or_told_by_its_climate(papers, changes, field, words):
    found = refused("day", day(papers, **changes))
    assert words in found[field], found


def test_a_missing_tap_does_not_hide_other_problems(papers):
    assert set(refused("day", day(papers, tap=None, grain="-300 C"))) == {"tap", "grain"}
    # A climate that cannot be read has one complaint, not two.
    found = refused("day", day(papers, tap=None, climate={**CLIMATE, "mean": "hot"}))
    assert set(found) == {"climate.mean"}


@pytest.mark.parametrize("month", ["8", "08", "August", "aug"])
def test_a_climate_is_read(papers, month):
    found = load("day.yaml", json.dumps(day(papers, tap=None, climate={**CLIMATE, "month": month})))
    assert (found.climate.month, found.climate.south) == (8, "no")
