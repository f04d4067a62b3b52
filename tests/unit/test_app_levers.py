"""Levers of a plan: what they say, what they change in the text, what follows in words."""

from collections.abc import Mapping
from copy import deepcopy
from datetime import UTC, datetime

import pytest

from wortline.app.comparing import changes_in_words, figures, moves_in_words
from wortline.app.levers import Lever
from wortline.app.ports import Revision
from wortline.app.starting import lay_out_examples
from wortline.app.trying import Papers, accept, levers_of, plan_as_kept, tried
from wortline.cli.sheet import sheet
from wortline.errors import Conflict, DocumentRefused
from wortline.store.memory import MemoryDocuments


@pytest.fixture
def store() -> MemoryDocuments:
    made = MemoryDocuments(lambda: datetime(2026, 3, 7, tzinfo=UTC))
    lay_out_examples(made)
    return made


@pytest.fixture
def papers(store: MemoryDocuments) -> Papers:
    return Papers(store.latest(2), store.latest(1), store.latest(3))


def by_key(papers: Papers, system: str = "metric") -> Mapping[str, Lever]:
    return {each.key: each for each in levers_of(papers, "kinetic", system)}


def text_of(papers: Papers, kind: str, **moves: str) -> str:
    trial = tried(papers, {k.replace("__", "."): v for k, v in moves.items()}, "kinetic", "metric")
    return trial.texts.get(kind, "")  # type: ignore[call-overload, no-any-return]


def again(papers: Papers, store: MemoryDocuments, old: str, new: str) -> Papers:
    text = papers.recipe.text
    assert old in text
    saved = store.save("recipe", "other", text.replace(old, new))
    return Papers(saved, papers.rig, papers.day)


def test_levers_say_what_the_documents_say(papers: Papers) -> None:
    found = by_key(papers)
    assert found["recipe.whirlpool.rest"].text == "18 min"
    assert found["recipe.hops.2.when"].text == "10 min into rest"
    assert found["recipe.chill.way"].text == "at 2.5 K/min"
    assert found["day.tap"].text == "14 C"
    assert found["recipe.hops.1.when"].slider is None
    rest = found["recipe.whirlpool.rest"].slider
    assert rest is not None
    assert (rest.low, rest.high, rest.step, rest.value) == (0.0, 60.0, 1.0, 18.0)


def test_sliders_speak_the_chosen_units(papers: Papers) -> None:
    tap = by_key(papers, "us")["day.tap"].slider
    assert tap is not None
    # 14 C = 14 x 9 / 5 + 32 F, by definition
    assert (tap.pattern, round(tap.value, 6)) == ("{} F", 57.2)
    mass = by_key(papers, "us")["recipe.hops.0.mass"].slider
    assert mass is not None
    # an ounce is 28.349523125 g, by definition
    assert (mass.pattern, round(mass.value, 6)) == ("{} oz", round(22 / 28.349523125, 6))
    # 23 L are 6.076 US gal of 3.785411784 L: tenths of a gallon, however odd the value is
    batch = by_key(papers, "us")["recipe.batch"].slider
    assert batch is not None
    assert (batch.pattern, batch.low, batch.step) == ("{} US gal", 0.1, 0.1)


def test_levers_are_told_in_the_chosen_units(papers: Papers, store: MemoryDocuments) -> None:
    us = by_key(papers, "us")
    assert (us["recipe.hops.0.mass"].text, us["recipe.hops.0.mass"].said) == ("22 g", "0.78 oz")
    # 2.5 K are 4.5 F; the choice itself stays what is written
    way = us["recipe.chill.way"]
    assert way.text == "at 2.5 K/min"
    assert dict(way.choices)["at 2.5 K/min"] == "at 4.5 F/min, as written"
    imported = again(papers, store, "mass: 22 g", "mass: 3/4 oz")
    assert by_key(imported, "us")["recipe.hops.0.mass"].said == "3/4 oz"
    # 0.75 x 28.349523125 g
    assert by_key(imported)["recipe.hops.0.mass"].said == "21.3 g"
    below = again(papers, store, "when: 10 min into rest", "when: below 175 F")
    found = by_key(below)["recipe.hops.2.when"]
    assert found.said == "below 79.4 C"
    assert by_key(below, "us")["recipe.hops.2.when"].said == "below 175 F"
    gap = again(papers, store, "rest: 18 min, lid: off", "rest: 18 min, lid: {gap: 20 cm2}")
    # 20 cm2 / 6.4516 cm2 of a square inch = 3.1
    choices = dict(by_key(gap, "us")["recipe.whirlpool.lid"].choices)
    assert choices["gap 20 cm2"] == "on, gap 3.1 in2"


def test_what_is_told_in_other_units_is_no_move(papers: Papers) -> None:
    moves = {key: each.shown for key, each in by_key(papers, "us").items() if not each.choices}
    moves = {key: typed for key, typed in moves.items() if by_key(papers)[key].text}
    assert len(moves) > 10
    trial = tried(papers, moves, "kinetic", "us")
    assert (trial.moved, trial.texts) == ({}, {})


def test_a_slider_that_reaches_lower_still_steps_on_round_numbers(
    papers: Papers, store: MemoryDocuments
) -> None:
    # 20 C is the slider's low end in metric; 66.7 F is below 70 F, its low end in US units
    cold = again(papers, store, "when: 10 min into rest", "when: below 19.3 C")
    for system, low in (("metric", 19.0), ("us", 66.0)):
        slider = by_key(cold, system)["recipe.hops.2.when"].slider
        assert slider is not None
        assert (slider.low, slider.step) == (low, 1.0)


def test_what_is_not_written_stands_for_something(papers: Papers, store: MemoryDocuments) -> None:
    bare = again(papers, store, "whirlpool: {pump: 4 min, rest: 18 min, lid: off}", "# none")
    bare = again(bare, store, ", alpha: 13 %", ", alpha: 13 %, held: bag")
    found = by_key(bare)
    assert (found["recipe.whirlpool.rest"].text, found["recipe.whirlpool.rest"].shown) == (
        "", "0 min",
    )  # fmt: skip
    assert "whirlpool: {rest: 12 min}" in text_of(bare, "recipe", recipe__whirlpool__rest="12 min")


def test_only_what_moved_changes(papers: Papers) -> None:
    text = text_of(papers, "recipe", recipe__hops__0__held="mesh", recipe__batch="21 L")
    before, after = papers.recipe.text.split("\n"), text.split("\n")
    apart = [new for old, new in zip(before, after, strict=True) if old != new]
    assert len(apart) == 2
    assert "held: mesh" in text
    assert text_of(papers, "recipe", recipe__batch="23 L") == ""


@pytest.mark.parametrize(
    ("way", "written"),
    [
        ("at instant", "chill: {to: 18 C, at: instant}"),
        ("in 25 min", "chill: {to: 18 C, in: 25 min}"),
        ("with chiller circulate", "chill: {to: 18 C, with: chiller, how: circulate}"),
    ],
)
def test_the_way_of_chilling(papers: Papers, way: str, written: str) -> None:
    assert written in text_of(papers, "recipe", recipe__chill__way=way)


def test_a_measured_tap_takes_the_place_of_a_climate(
    papers: Papers, store: MemoryDocuments
) -> None:
    text = papers.day.text if papers.day else ""
    climate = text.replace("tap: 14 C", "climate: {mean: 9 C, range: 18 K, month: 8}")
    day: Revision = store.save("day", "an August day", climate)
    with_climate = Papers(papers.recipe, papers.rig, day)
    lever = by_key(with_climate)["day.tap"]
    assert lever.text == ""
    assert lever.shown.endswith(" C")
    written = text_of(with_climate, "day", day__tap="22 C")
    assert "tap: 22 C" in written
    assert "climate" not in written


def test_what_followed_is_told_in_words(papers: Papers) -> None:
    before = plan_as_kept(papers, "kinetic", "metric").report
    trial = tried(papers, {"recipe.boil.for": "90 min"}, "kinetic", "metric")
    told = changes_in_words(before, trial.planned.report)
    assert any(each.startswith("Water at the tap, cold: 35.1 L → ") for each in told)
    assert any(each.startswith("Length of the day: 4:36 → 5:1") for each in told)
    levers = levers_of(papers, "kinetic", "metric")
    assert moves_in_words(levers, trial.moved) == ["Boil: 60 min → 90 min"]
    assert changes_in_words(before, before) == []


def test_figures_carry_range_and_trust(papers: Papers) -> None:
    report = plan_as_kept(papers, "kinetic", "metric").report
    bitter = next(each for each in figures(report) if each.key == "bitterness.ibu")
    spread = report["ranges"]["bitterness.ibu"]
    assert bitter.text == f"{spread['mid']:.0f} IBU"
    assert bitter.range == f"{spread['low']:.0f} to {spread['high']:.0f} IBU"
    assert bitter.trust == spread["trust"]


def test_accepting_is_all_or_nothing(papers: Papers, store: MemoryDocuments) -> None:
    moves = {"recipe.batch": "20 L", "day.tap": "12 C"}
    trial = tried(papers, moves, "kinetic", "metric")
    store.save("day", "a cool day", papers.day.text if papers.day else "", "", 3)
    with pytest.raises(Conflict):
        accept(store, trial, "both")
    assert store.latest(2).number == 2


def test_a_refusal_names_the_lever(papers: Papers) -> None:
    moves = {"recipe.hops.0.mass": "heavy", "recipe.whirlpool.lid": "ajar"}
    with pytest.raises(DocumentRefused) as refused:
        tried(papers, moves, "kinetic", "metric")
    assert {each.field for each in refused.value.problems} == set(moves)


def test_what_had_not_cleared_when_nobody_looked_any_more_is_over_it(papers):
    """The ranges stop at the hour that is looked at: no face may tell it as the minute of clear."""
    report = deepcopy(plan_as_kept(papers, "kinetic", "metric").report)
    spread = report["ranges"]["whirlpool.rest_min"]
    for values, text, span, printed in (
        ((12.0, 17.0, 41.0), "17 min", "12 to 41 min", "17 min (12 min to 41 min"),
        ((12.0, 17.0, 60.0), "17 min", "12 min to over 60 min", "17 min (12 min to over 60 min"),
        ((60.0, 60.0, 60.0), "over 60 min", "", "over 60 min (over 60 min to over 60 min"),
    ):
        spread.update(zip(("low", "mid", "high"), values, strict=True))
        figure = next(each for each in figures(report) if each.key == "whirlpool.rest_min")
        assert (figure.text, figure.range) == (text, span)
        assert f"Rest until clear          {printed}" in sheet(report)
