"""Laws of a lot: its text file gives back every entry; tables agree with their formulas."""

import bisect
import math

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from wortline.lot.bench import Bench
from wortline.lot.day import Day, Phase
from wortline.lot.events import Corrected, Entry, Measured, Noted, Started, Steady, Undone
from wortline.lot.fold import fold
from wortline.lot.interruption import Cut, what_became
from wortline.lot.replan import Known, base_of, replan
from wortline.lot.tables import tables
from wortline.lot.text import as_text, read_text
from wortline.science.extract import extract_kg, plato_from_sg
from wortline.science.instruments import hydrometer_sg
from wortline.units import say

DAY = Day((Phase("fill", "fill", "Fill", "brew", 4.0),), ())
TEXT = st.text(st.characters(exclude_characters="\0", exclude_categories=("Cs",)), max_size=60)
IDS = st.sampled_from([f"e{number}" for number in range(1, 9)])
EVENT = st.one_of(
    st.builds(Noted, TEXT),
    st.builds(Started, TEXT),
    st.builds(Undone, IDS, TEXT),
    st.builds(Corrected, IDS, st.builds(Noted, TEXT), TEXT),
    st.builds(Measured, TEXT, st.just("gravity"), st.floats(0.99, 1.2), st.just("hydrometer")),
)


@given(st.lists(EVENT, max_size=8), TEXT, st.integers(0, 2**41))
def test_a_text_file_gives_back_what_was_written_whatever_was_typed(events, title, wall_ms):
    entries = [
        Entry(f"e{n}", "phone", n, wall_ms, 60, Steady("s", float(n)), event, number=n)
        for n, event in enumerate(events, 1)
    ]
    text = as_text(title, fold(DAY, entries), entries, say)
    back = read_text(text)
    assert back.entries == tuple(entries)
    assert back.problems == ()
    # As it comes from an editor of another system, too.
    assert read_text(text.replace("\n", "\r\n")).entries == tuple(entries)


@given(st.lists(EVENT, max_size=8), st.data())
def test_what_counts_does_not_depend_on_the_order_it_is_read_in(events, data):
    entries = [
        Entry(f"e{n}", "phone", n, 0, 0, Steady("s", float(n)), event, number=n)
        for n, event in enumerate(events, 1)
    ]
    shuffled = data.draw(st.permutations(entries))
    one, other = fold(DAY, entries), fold(DAY, [*shuffled, *shuffled[:3]])
    assert one.notes == other.notes
    assert [fact.entry.id for fact in one.facts] == [fact.entry.id for fact in other.facts]


@pytest.fixture(scope="module")
def base(papers):
    return base_of(papers.plain()[0])


@pytest.fixture(scope="module")
def made(base):
    return tables(base, say)


def straight(xs, ys, x):
    """The value between two points of a table, as a device works it out."""
    high = min(max(bisect.bisect_left(xs, x), 1), len(xs) - 1)
    share = (x - xs[high - 1]) / (xs[high] - xs[high - 1])
    return ys[high - 1] + share * (ys[high] - ys[high - 1])


@given(st.floats(1.0, 1.115), st.floats(0.0, 60.0))
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_the_hydrometer_table_is_good_to_a_tenth_of_a_point(made, reading_sg, sample_c):
    table = made["hydrometer"]
    along = [straight(table["sample_c"], row, sample_c) for row in table["sg"]]
    found_sg = straight(table["reading_sg"], along, reading_sg)
    assert found_sg == pytest.approx(float(hydrometer_sg(reading_sg, sample_c)), abs=1e-4)


@given(st.floats(0.0, 100.0))
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_the_table_of_hot_litres_is_that_of_water(made, wort_c):
    # Kell (1975) by hand at three points: V(20)/V(t) at 60, 80, 100 C.
    table = made["cold_share"]
    for at_c, share in ((60.0, 983.196 / 998.207), (80.0, 971.790 / 998.207)):
        assert straight(table["wort_c"], table["jug"], at_c) == pytest.approx(share, abs=2e-5)
    jug, mark = (straight(table["wort_c"], table[kind], wort_c) for kind in ("jug", "mark"))
    assert mark / jug == pytest.approx(1.0 + 3 * 17e-6 * (wort_c - 20.0), abs=2e-6)


@pytest.mark.parametrize("off_min", [7.0, 25.0, 75.0, 300.0])
@pytest.mark.parametrize("lid_on", [False, True])
def test_the_interruption_table_agrees_with_the_server(base, made, off_min, lid_on):
    table = made["interruption"]
    cut = Cut(table["cut_after_boiled_min"], off_min, lid_on)
    became = what_became(Bench(replan(base, Known()), say), cut)
    rows = table["lid_on" if lid_on else "lid_off"]
    found_c = straight(table["off_min"], rows["wort_c"], off_min)
    back_min = straight(table["off_min"], rows["to_boil_min"], off_min)
    assert found_c == pytest.approx(became.wort_c, abs=1.5)
    assert back_min == pytest.approx(became.to_boil_min, abs=1.5)


def test_the_preboil_table_has_the_plan_in_its_middle(base, made):
    table = made["preboil"]
    row = table["preboil_l"].index(float(base.day.volumes.preboil_l))
    column = table["preboil_sg"].index(float(base.day.strength.preboil_sg))

    def middle(name):
        return table[name][row][column]

    assert middle("fermenter_l") == pytest.approx(float(base.day.volumes.fermenter_l), abs=1e-6)
    assert middle("original_sg") == pytest.approx(float(base.day.strength.original_sg), abs=1e-6)
    for name in ("water_l", "malt_kg", "missing_l"):
        assert middle(name) == pytest.approx(0.0, abs=1e-4)
    # weaker wort lacks malt, stronger lacks water
    assert table["malt_kg"][row][0] > 0.5 > 0.0 > table["water_l"][row][0]
    assert table["water_l"][row][-1] > 1.0 > 0.0 > table["malt_kg"][row][-1]


def test_every_number_of_the_tables_is_one(made):
    def floats(value):
        if isinstance(value, dict):
            value = list(value.values())
        if isinstance(value, list | tuple):
            return [found for each in value for found in floats(each)]
        return [value] if isinstance(value, float) else []

    found = floats(made)
    assert len(found) > 300 and all(map(math.isfinite, found))


@given(st.floats(24.0, 33.0), st.floats(1.025, 1.075))
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=25)
def test_replanning_keeps_the_extract_that_was_read(base, preboil_l, preboil_sg):
    plato = float(plato_from_sg(preboil_sg))
    now = replan(base, Known(preboil_l=preboil_l, preboil_plato=plato))
    # Extract before and after the boil is the same: litres x density x strength.
    read_kg = float(extract_kg(preboil_l, plato))
    after_kg = float(extract_kg(now.day.volumes.wort_l, now.day.strength.original_plato))
    assert after_kg == pytest.approx(read_kg, rel=1e-4)
    assert float(now.day.volumes.preboil_l) == pytest.approx(preboil_l)
    assert float(now.day.strength.preboil_sg) == pytest.approx(preboil_sg, abs=1e-6)
