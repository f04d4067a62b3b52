"""The tables of ways out that a deck carries: whole, in order, and by the laws they come from."""

from itertools import pairwise

import pytest

from wortline.lot.replan import Known, base_of, replan
from wortline.lot.way_tables import way_tables
from wortline.units import say


@pytest.fixture(scope="module")
def base(papers):
    return base_of(papers.plain()[0])


@pytest.fixture(scope="module")
def made(base):
    return way_tables(base, say)


def rising(values):
    return all(left < right for left, right in pairwise(values))


def way_of(ways, code):
    return next(each for each in ways if each["code"] == code)


def test_every_temperature_has_three_ways_and_do_nothing_first(made):
    for kind, temps in (("mash", "mash_c"), ("warm", "wort_c")):
        assert rising(made[kind][temps])
        assert len(made[kind]["rows"]) == len(made[kind][temps])
        for ways in made[kind]["rows"]:
            assert ways[0]["code"] == "nothing"
            assert len(ways) >= 3
    assert made["clogged"][0]["code"] == "nothing"
    assert len(made["clogged"]) >= 3


def test_a_mash_is_heated_when_cold_and_cooled_when_warm(base, made):
    goal_c = float(base.day.brew.rests[0].at_c)
    for mash_c, ways in zip(made["mash"]["mash_c"], made["mash"]["rows"], strict=True):
        codes = {each["code"] for each in ways}
        assert ("element" in codes, "hot-water" in codes) == (mash_c < goal_c, mash_c < goal_c)
        assert ("wait" in codes, "cold-water" in codes) == (mash_c > goal_c, mash_c > goal_c)


def test_heat_to_take_out_of_warm_wort_is_in_proportion(base, made):
    """Q = m c dT: the fridge takes twice as long for twice the difference."""
    to_c = float(base.day.brew.chill.to_c)
    rows = zip(made["warm"]["wort_c"], made["warm"]["rows"], strict=True)
    paces = [way_of(ways, "fridge")["minutes_min"] / (wort_c - to_c) for wort_c, ways in rows]
    assert paces == pytest.approx([paces[0]] * len(paces), rel=1e-9)
    # by hand: a litre of wort holds about 4.1 kJ/K; a fridge of 100 W
    litres = float(base.day.volumes.wort_l)
    assert paces[0] == pytest.approx(litres * 4.1 * 1000.0 / 100.0 / 60.0, rel=0.03)


def test_a_dose_gives_less_the_later_it_goes_in(base, made):
    assert set(made["late"]) == {dose.id for dose in base.day.brew.doses}
    for late in made["late"].values():
        left, into = late["before_heat_off_min"], late["into_rest_min"]
        assert rising([-each for each in left])
        assert rising(into)
        ibus = [way_of(ways, "now")["ibu"] for ways in [*late["in_boil"], *late["in_rest"]]]
        assert len(ibus) == len(left) + len(into)
        in_order = ibus[: len(left)], ibus[len(left) :]
        assert all(rising([-each for each in part]) for part in in_order)
        nothing = [way_of(ways, "nothing")["ibu"] for ways in late["in_rest"]]
        assert all(least < ibu for least, ibu in zip(nothing, ibus[len(left) :], strict=True))


def test_longer_hot_minutes_bitter_and_thicken_and_begin_at_the_plan(base, made):
    planned = replan(base, Known()).after
    assert set(made["longer"]) == {"whirlpool", "rest"}
    brew = base.day.brew
    for phase, minutes_min in (("whirlpool", brew.pump_min), ("rest", brew.rest_min)):
        longer = made["longer"][phase]
        assert longer["minutes"][0] == pytest.approx(float(minutes_min))
        assert longer["ibu"][0] == pytest.approx(planned.ibu, rel=1e-9)
        assert longer["fermenter_l"][0] == pytest.approx(planned.fermenter_l, rel=1e-9)
        assert rising(longer["minutes"])
        assert rising(longer["ibu"])
        assert rising(longer["original_sg"])
        # steam leaves, extract stays
        assert rising([-each for each in longer["fermenter_l"]])
