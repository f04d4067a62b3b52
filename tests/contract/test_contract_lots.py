"""What every store of lots keeps to: memory, SQLite and PostgreSQL."""

from dataclasses import replace

import pytest

from wortline.app.ports_lots import LotDraft
from wortline.errors import Conflict, NotKept, Unkeepable
from wortline.lot.events import Entry, Noted, PumpSet, Steady, StepDone
from wortline.lot.record import from_line

AT = Steady("boot", 7.5)


def entry(number: int, device: str = "phone", event=None) -> Entry:
    made = event or StepDone(f"mash/{number}")
    return Entry(f"{device}-{number}", device, number, 1_000 * number, 60, Steady("s", 1.0), made)


@pytest.fixture
def both(stores):
    lots, documents = stores.lots()
    documents.save("recipe", "Pale", "text")
    documents.save("rig", "Shed", "text")
    return lots, documents


@pytest.fixture
def lots(both):
    return both[0]


def draft(id: str = "lot-a", **more) -> LotDraft:
    row = {"name": "Täuber's <b>", "recipe": 1, "rig": 2, "day": None, "method": "kinetic",
           "system": "metric", "frozen": '{"day": "ä"}'}  # fmt: skip
    return LotDraft(id, **{**row, **more})


def test_a_lot_comes_back_as_it_was_started_and_once(lots):
    lot = lots.start(draft())
    assert (lot.number, lot.entries, lot.frozen) == (1, 0, '{"day": "ä"}')
    assert lots.lot(1) == lot
    assert lots.start(draft()) == lot
    assert lots.start(draft("lot-b")).number == 2
    with pytest.raises(Conflict, match="lot 1 was started with the same id from another plan"):
        lots.start(draft(name="Another"))
    with pytest.raises(Unkeepable, match="NUL byte"):
        lots.start(draft("lot-c", name="a\0b"))
    assert [each.number for each in lots.listed().headings] == [2, 1]


def test_pages_go_from_the_newest_on(lots):
    for number in range(5):
        lots.start(draft(f"lot-{number}"))
    page = lots.listed(most=2)
    assert [each.number for each in page.headings] == [5, 4]
    page = lots.listed(before=page.before, most=3)
    assert [each.number for each in page.headings] == [3, 2, 1]
    assert page.before is None


def test_entries_are_numbered_in_the_order_they_arrive(lots):
    lots.start(draft())
    first = lots.append(1, [entry(1), entry(2)], 111, AT)
    second = lots.append(1, [entry(1, "tablet")], 222, AT)
    assert [(each.what, each.number, each.server_ms) for each in first + second] == [
        ("kept", 1, 111),
        ("kept", 2, 111),
        ("kept", 3, 222),
    ]
    lines = lots.lines(1)
    assert [line.number for line in lines] == [1, 2, 3]
    read = from_line(lines[2].text)
    assert read == replace(entry(1, "tablet"), number=3, server_ms=222, server=AT)
    assert lots.lines(1, after=2) == lines[2:]
    assert lots.lot(1).entries == lots.listed().headings[0].entries == 3


def test_sent_twice_is_kept_once_and_told_the_same_number(lots):
    lots.start(draft())
    lots.append(1, [entry(1), entry(2)], 111, AT)
    again = lots.append(1, [entry(2), entry(3), entry(3), entry(1)], 222, AT)
    assert [(each.what, each.number, each.server_ms) for each in again] == [
        ("known", 2, 111),
        ("kept", 3, 222),
        ("known", 3, 222),
        ("known", 1, 111),
    ]
    assert len(lots.lines(1)) == 3


def test_one_id_for_two_things_is_refused_and_the_others_are_kept(lots):
    lots.start(draft())
    lots.append(1, [entry(1)], 111, AT)
    answers = lots.append(1, [entry(1, event=PumpSet(True)), entry(2)], 222, AT)
    assert [each.what for each in answers] == ["refused", "kept"]
    assert "entry 1 has this id and says something else" in answers[0].why
    assert from_line(lots.lines(1)[0].text).event == StepDone("mash/1")


def test_lots_do_not_mix(lots):
    lots.start(draft())
    lots.start(draft("lot-b"))
    lots.append(1, [entry(1)], 1, AT)
    lots.append(2, [entry(1), entry(2)], 2, AT)
    assert (len(lots.lines(1)), len(lots.lines(2))) == (1, 2)


def test_an_unknown_lot_is_said(lots):
    for ask in (lots.lot, lots.lines, lambda number: lots.append(number, [entry(1)], 1, AT)):
        with pytest.raises(NotKept, match="there is no lot 9 here"):
            ask(9)


@pytest.mark.parametrize("number", [0, -1, 2**31, 2**63, 10**30, -(10**30)])
def test_a_number_that_no_store_gives_is_unknown(lots, number):
    lots.start(draft())
    lots.append(1, [entry(1)], 500, AT)
    with pytest.raises(NotKept, match=f"there is no lot {number} here"):
        lots.lot(number)
    with pytest.raises(NotKept, match=f"there is no lot {number} here"):
        lots.lines(number)
    with pytest.raises(NotKept, match=f"there is no lot {number} here"):
        lots.append(number, [entry(2)], 500, AT)
    assert len(lots.listed(before=number).headings) == (number > 1)
    assert len(lots.lines(1, after=number)) == (number < 1)


def test_letters_and_nothing_at_all_are_kept(lots):
    lots.start(draft())
    assert lots.append(1, [], 1, AT) == []
    odd = Noted("漢 \u2028 é \U0001f37a \x0b ' \" \\ </script>")
    lots.append(1, [entry(1, event=odd)], 1, AT)
    assert from_line(lots.lines(1)[0].text).event == odd


def test_many_entries_at_once(lots):
    lots.start(draft())
    many = [entry(number) for number in range(1, 501)]
    assert [each.number for each in lots.append(1, many, 1, AT)] == list(range(1, 501))
    assert {each.what for each in lots.append(1, many, 2, AT)} == {"known"}


def test_what_was_kept_is_there_after_opening_again(databases):
    place = next(databases.places)
    store = databases.at(place)
    store.documents.save("recipe", "Pale", "text")
    store.documents.save("rig", "Shed", "text")
    store.lots.start(draft())
    store.lots.append(1, [entry(1)], 111, AT)
    store.close()
    again = databases.at(place)
    assert again.lots.lot(1).name == "Täuber's <b>"
    assert len(again.lots.lines(1)) == 1
    assert again.lots.append(1, [entry(1), entry(2)], 222, AT)[1].number == 2


def test_the_database_itself_refuses_to_change_or_delete_a_lot(databases):
    from sqlalchemy import text
    from sqlalchemy.exc import DBAPIError

    store = databases.at(next(databases.places))
    store.documents.save("recipe", "Pale", "text")
    store.documents.save("rig", "Shed", "text")
    store.lots.start(draft())
    store.lots.append(1, [entry(1)], 111, AT)
    orders = ["update lot_entries set line = ''", "delete from lot_entries", "delete from lots",
              "update lots set name = 'x'"]  # fmt: skip
    for order in orders:
        with (
            pytest.raises(DBAPIError, match="neither changed nor deleted"),
            store.database.writing() as connection,
        ):
            connection.execute(text(order))
    assert len(store.lots.lines(1)) == 1
    assert store.lots.lot(1).name == "Täuber's <b>"
