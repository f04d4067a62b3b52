"""What a device works out from its table is what the server says, within the bound it states."""

import time

import numpy as np
import pytest
from sheds import new_shed

from wortline.app import ways
from wortline.lot.bench import Bench
from wortline.lot.replan import Known, replan
from wortline.lot.tables import WITHIN, preboil_table
from wortline.lot.ways_out import ways_out
from wortline.science.extract import plato_from_sg
from wortline.units import say


@pytest.fixture(scope="module")
def base():
    return ways.standing_of(new_shed().documents, new_shed().lot()).base


@pytest.fixture(scope="module")
def table(base):
    return preboil_table(base, say)


def across(table, name, litres, gravity):
    """Straight between the points: along the gravity, then along the litres, as the device does."""
    rows = [np.interp(gravity, table["preboil_sg"], row) for row in table[name]]
    return float(np.interp(litres, table["preboil_l"], rows))


def test_at_random_points_the_table_is_within_its_bound(base, table):
    dice = np.random.default_rng(6)
    ends_l, ends_sg = table["preboil_l"], table["preboil_sg"]
    worst = dict.fromkeys(WITHIN, 0.0)
    for _ in range(120):
        litres = dice.uniform(ends_l[0], ends_l[-1])
        gravity = dice.uniform(ends_sg[0], ends_sg[-1])
        known = Known(preboil_l=litres, preboil_plato=float(plato_from_sg(gravity)))
        bench = Bench(replan(base, known), say)
        after = bench.now.after
        for name in ("fermenter_l", "original_sg", "ibu"):
            apart = abs(across(table, name, litres, gravity) - getattr(after, name))
            worst[name] = max(worst[name], apart)
        for code, trouble, name in (
            ("add-boiled-water", "gravity-high", "water_l"),
            ("add-malt-extract", "gravity-low", "malt_kg"),
        ):
            way = next((w for w in ways_out(bench, trouble) if w.code == code), None)
            if way is None:
                continue
            told = across(table, name, litres, gravity)
            server = (
                way.change.added_l / bench.late_share
                if name == "water_l"
                else way.change.extract_kg / 0.96
            )
            worst[name] = max(worst[name], abs(told - server))
    assert {name: value for name, value in worst.items() if value > WITHIN[name]} == {}, worst


def test_the_case_by_hand(table):
    # 27 L at 1.051: less 2.9 boiled, 0.7 + 0.9 + 1.2 + 1.2 lost on the way: 20.1 L
    assert across(table, "fermenter_l", 27.0, 1.051) == pytest.approx(20.1, abs=0.1)
    # the extract stays: 27 * 51 / 23.4 = 58.8 points
    assert across(table, "original_sg", 27.0, 1.051) == pytest.approx(1.0588, abs=5e-4)


def test_the_table_is_made_in_less_time_than_a_lot_takes_to_start(base):
    began = time.process_time()
    preboil_table(base, say)
    assert time.process_time() - began < 2.0
