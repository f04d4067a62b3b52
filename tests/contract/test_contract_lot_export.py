"""Lots out as plain files and in again: the same, and twice the same."""

import json
from dataclasses import replace

import pytest

from wortline.app.ports_lots import LotDraft
from wortline.errors import Conflict, DocumentRefused, Unkeepable
from wortline.lot.events import Entry, Noted, Steady
from wortline.store.export import write
from wortline.store.export_lots import lot_parts, read_lots, whole_lots
from wortline.store.lots import mapped

AT = Steady("boot", 7.5)
SAME = {1: 1, 2: 2}


def entry(number: int, text: str = "x") -> Entry:
    return Entry(f"e{number}", "phone", number, 9, 0, Steady("s", 1.0), Noted(text))


def filled(stores):
    lots, documents = stores.lots()
    documents.save("recipe", "Pale", "text")
    documents.save("rig", "Shed", "text")
    for id, name in (("lot-a", "<b>Päle</b>"), ("lot-b", "Dark")):
        lots.start(LotDraft(id, name, 1, 2, None, "kinetic", "metric", '{"day": "ä"}'))
    lots.append(1, [entry(1, "a\u2028b\x0bc\n"), entry(2), entry(3)], 111, AT)
    return lots


def empty(stores):
    lots, documents = stores.lots()
    documents.save("recipe", "Pale", "text")
    documents.save("rig", "Shed", "text")
    return lots


@pytest.fixture
def exported(stores, tmp_path):
    lots = filled(stores)
    write(tmp_path / "out", lot_parts(lots))
    return lots, tmp_path / "out"


def test_lots_come_back_whole_and_twice_the_same(stores, exported):
    lots, folder = exported
    found = read_lots(folder)
    assert found == list(whole_lots(lots))
    other = empty(stores)
    assert other.take(found, SAME) == 3
    assert list(whole_lots(other)) == found
    assert other.take(found, SAME) == 0
    assert lots.take(found, SAME) == 0
    assert list(whole_lots(other)) == found


def test_a_lot_that_went_on_elsewhere_gets_what_it_lacks(stores, exported):
    lots, folder = exported
    other = empty(stores)
    other.take(read_lots(folder), SAME)
    lots.append(1, [entry(4)], 222, AT)
    assert other.take(list(whole_lots(lots)), SAME) == 1
    assert other.lines(1) == lots.lines(1)


def test_a_lot_that_parted_is_a_conflict_and_nothing_is_taken(stores, exported):
    lots, folder = exported
    other = empty(stores)
    other.take(read_lots(folder), SAME)
    lots.append(1, [entry(4, "here")], 222, AT)
    lots.append(2, [entry(1)], 222, AT)
    other.append(1, [entry(4, "there")], 333, AT)
    with pytest.raises(Conflict, match="went on here and there: its entry 4 differs"):
        other.take(list(reversed(list(whole_lots(lots)))), SAME)
    assert other.lines(2) == ()


def test_a_plan_that_did_not_come_with_its_lot_is_said(stores, exported):
    _, folder = exported
    with pytest.raises(Unkeepable, match="lot 1 goes by revision 2, which is missing"):
        empty(stores).take(read_lots(folder), {1: 1})
    lot = replace(read_lots(folder)[0].lot, day=1)
    assert mapped(lot, {1: 5, 2: 6}).day == 5


@pytest.mark.parametrize(
    ("file", "change", "said"),
    [
        ("lots/000001-entries.jsonl", lambda raw: raw[:-20], "2 whole lines are here"),
        ("lots/000001-entries.jsonl", lambda raw: raw.replace(b'"e2"', b'"e\0"'), "NUL byte"),
        ("lots/000001-entries.jsonl", lambda raw: raw.replace(b"lot/1", b"lot/2"), "newer"),
        ("lots/000001-entries.jsonl", lambda raw: b"\xff" + raw, "not UTF-8"),
        ("lots/000001-day.json", lambda raw: raw[:5], "no JSON"),
        ("lots.jsonl", lambda raw: raw.replace(b"Dark", b"Da\nrk"), "lines are here"),
    ],
)
def test_a_damaged_export_is_refused_and_named(exported, file, change, said):
    _, folder = exported
    path = folder / file
    path.write_bytes(change(path.read_bytes()))
    with pytest.raises(DocumentRefused) as refused:
        read_lots(folder)
    assert said in str(refused.value)
    assert path.name in str(refused.value)


def test_an_export_from_before_there_were_lots_has_none(tmp_path):
    (tmp_path / "export.json").write_text(json.dumps({"schema": "export/1", "lines": {}}))
    assert read_lots(tmp_path) == []


def test_the_whole_store_goes_out_and_in(databases, tmp_path):
    store = databases.at(next(databases.places))
    store.documents.save("recipe", "Pale", "text")
    store.documents.save("rig", "Shed", "text")
    store.lots.start(LotDraft("lot-a", "Päle", 1, 2, None, "kinetic", "metric", "{}"))
    store.lots.append(1, [entry(1)], 111, AT)
    store.export(tmp_path / "all")
    other = databases.at(next(databases.places))
    taken = other.take(tmp_path / "all")
    assert (taken.new, taken.entries) == (2, 1)
    assert list(whole_lots(other.lots)) == list(whole_lots(store.lots))
    assert other.take(tmp_path / "all").entries == 0


def test_lots_stopped_half_way_are_not_taken_at_all(stores, exported):
    """Whatever stops it: a stop by hand is no error of the store's own."""
    _, folder = exported
    first, second = read_lots(folder)

    def stopped():
        yield first
        raise KeyboardInterrupt

    other = empty(stores)
    with pytest.raises(KeyboardInterrupt):
        other.take(stopped(), SAME)
    assert list(whole_lots(other)) == []
    assert other.take([first, second], SAME) == 3
