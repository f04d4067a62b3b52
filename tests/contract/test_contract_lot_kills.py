"""Nothing that was answered is lost: kills, power cuts, and 500 lots that open at once."""

import itertools
import random

import lot_kills
import many_lots
import server_kills
import soak

from wortline.app.lots import lot_of

SEED = 7
MOST_MS = 200.0


def test_twenty_kills_lose_nothing(tmp_path):
    found = lot_kills.killed(tmp_path / "data", 20, SEED)
    assert found.kills == 20
    assert found.answered > 300
    assert found.clean, found


def test_the_real_server_killed_while_two_devices_post_loses_nothing(tmp_path):
    found, cut_off = server_kills.killed(tmp_path / "data", 2, SEED)
    assert found.kills == 2
    assert found.answered > 5
    assert cut_off >= 1
    assert found.clean, found


def test_a_part_of_the_soak_leaves_the_others_as_they_stand():
    page = soak.PAGE.read_text(encoding="utf-8")
    parts = soak.sections(page)
    assert set(parts) <= set(soak.PARTS)
    whole = [soak.TITLE, *(parts[name] for name in soak.PARTS if name in parts)]
    assert "\n\n".join(whole) + "\n" == page


def test_files_copied_at_a_power_cut_open_clean(tmp_path):
    clean, lost = lot_kills.power_cuts(tmp_path / "data", 8, SEED)
    assert (clean, lost) == (8, 0)


def test_five_hundred_lots_open_at_once_by_an_index(tmp_path):
    store = lot_kills.with_a_lot(tmp_path / "data")
    day = lot_of(store.lots, 1).day
    script = itertools.islice(lot_kills.scripted(day, "phone", random.Random(SEED)), 300)
    many_lots.fill(store, 500, 300, script)
    times = many_lots.opened(store, 500)
    assert times.start_page_ms < MOST_MS
    assert times.lot_ms < MOST_MS
    assert lot_of(store.lots, 500).lot.entries == 300
    plans = many_lots.plans_of(store)
    assert len(plans) >= 5
    assert not [plan for plan in plans if plan.startswith("SCAN lot_entries")]
    assert sum("PRIMARY KEY" in plan or "USING INDEX" in plan or "COVERING INDEX" in plan
               for plan in plans) >= 4  # fmt: skip
    store.close()
