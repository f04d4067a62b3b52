"""When something fails under a lot: a sentence, the good entries kept, the original as it was."""

import os
import sqlite3
from contextlib import closing
from pathlib import Path

import lot_kills
import pytest
from sqlalchemy import event

from wortline.app.lots import keep, lot_of, record, take_text, text_of, write_text
from wortline.errors import RecordRefused, StoreTrouble
from wortline.lot import events as ev
from wortline.lot.text import read_text
from wortline.store.shelf import FolderShelf
from wortline.store.watch import SystemWatch
from wortline.wiring import open_store

WATCH = SystemWatch()


@pytest.fixture
def folder(tmp_path) -> Path:
    """A folder with a store, and one lot with some entries in it."""
    store = lot_kills.with_a_lot(tmp_path / "data")
    for number in range(20):
        record(store.lots, WATCH, 1, ev.Noted(f"note {number} ä"))
    store.close()
    return tmp_path / "data"


@pytest.fixture
def text(folder) -> str:
    store = open_store(str(folder))
    made = text_of(lot_of(store.lots, 1))
    store.close()
    return made


def test_a_full_disk_refuses_in_a_sentence_and_keeps_what_was_kept(folder):
    store = open_store(str(folder))

    def full(connection, _):
        pages = connection.execute("pragma page_count").fetchone()[0]
        connection.execute(f"pragma max_page_count = {pages}")

    event.listen(store.database.engine, "connect", full)
    store.database.engine.dispose()
    kept = 0
    with pytest.raises(StoreTrouble, match=r"^The disk is full: nothing was kept in "):
        for _ in range(200):
            record(store.lots, WATCH, 1, ev.Noted("long " * 700))
            kept += 1
    entries = lot_of(store.lots, 1).entries
    assert len(entries) == 21 + kept
    store.close()
    again = open_store(str(folder))
    assert lot_of(again.lots, 1).entries == entries
    assert record(again.lots, WATCH, 1, ev.Noted("room again")).number == 22 + kept
    again.close()


def test_a_file_that_may_only_be_read_is_said_and_left(folder):
    with closing(sqlite3.connect(folder / "wortline.sqlite")) as connection:
        connection.execute("pragma wal_checkpoint(truncate)")
    store = open_store(str(folder))
    with store.database.engine.connect() as connection:
        connection.exec_driver_sql("pragma query_only = on")
        store.database.engine.dispose()

    def read_only(connection, _):
        connection.execute("pragma query_only = on")

    event.listen(store.database.engine, "connect", read_only)
    store.database.engine.dispose()
    with pytest.raises(StoreTrouble, match="cannot be written: you may only read it"):
        record(store.lots, WATCH, 1, ev.Noted("x"))
    assert len(lot_of(store.lots, 1).entries) == 21
    store.close()


def test_a_text_file_cut_in_half_gives_its_good_entries(text):
    read = read_text(text[: len(text) * 3 // 4])
    assert 0 < len(read.entries) < 21
    assert any("cut off" in problem for problem in read.problems)
    assert any(
        f"ends in the middle: {len(read.entries)} of 21 entries are here" in problem
        for problem in read.problems
    )


def test_a_nul_byte_damages_one_line_alone(text):
    lines = text.split("\n")
    place = next(i for i, line in enumerate(lines) if "note 7" in line and line.startswith("{"))
    lines[place] = lines[place][:30] + "\0" + lines[place][31:]
    read = read_text("\n".join(lines))
    assert len(read.entries) == 20
    assert read.problems[0].startswith(f"line {place + 1}: there is a NUL byte")
    assert "changed by hand" in read.problems[-1]


def test_a_line_changed_by_hand_is_noticed(text):
    read = read_text(text.replace("note 7 ä", "note 8 ä"))
    assert len(read.entries) == 21
    assert read.problems == ("The sum at the end does not match: the record was changed by hand.",)


def test_an_unknown_newer_version_is_refused_whole(text):
    with pytest.raises(RecordRefused, match=r"`lot/2`, by a newer Wortline; this one knows lot/1"):
        read_text(text.replace("The record (lot/1,", "The record (lot/2,"))
    with pytest.raises(RecordRefused, match="there is no line"):
        read_text("schema: rig/1\n")


def test_a_damaged_file_read_back_keeps_the_good_and_says_the_rest(folder, text):
    store = open_store(str(folder))
    kept, problems = take_text(store.lots, WATCH, 1, text[: len(text) * 3 // 4])
    assert {each.what for each in kept} == {"known"}
    assert len(problems) == 2
    assert len(lot_of(store.lots, 1).entries) == 21
    store.close()


def test_the_text_file_goes_on_from_its_own_and_never_over_another(folder, tmp_path):
    store = open_store(str(folder))
    shelf = FolderShelf(tmp_path / "lots")
    first = Path(write_text(store.lots, 1, shelf))
    record(store.lots, WATCH, 1, ev.Noted("more"))
    assert Path(write_text(store.lots, 1, shelf)) == first
    assert len(read_text(first.read_text("utf-8")).entries) == 22
    # Somebody wrote into it: it stays, and the lot goes beside it.
    first.write_text("my own notes\n", encoding="utf-8")
    second = Path(write_text(store.lots, 1, shelf))
    assert second.name == f"{first.stem}-2.txt"
    assert first.read_text("utf-8") == "my own notes\n"
    first.write_bytes(b"\xff\xfe\0")
    assert Path(write_text(store.lots, 1, shelf)) == second
    assert first.read_bytes() == b"\xff\xfe\0"
    assert not list((tmp_path / "lots").glob("*.part"))
    store.close()


def test_a_shelf_that_cannot_be_written_is_said_and_the_record_is_kept(folder, tmp_path):
    store = open_store(str(folder))
    (tmp_path / "lots").write_text("in the way", encoding="utf-8")
    shelf = FolderShelf(tmp_path / "lots")
    with pytest.raises(StoreTrouble, match=r"cannot be written: .*The record itself is kept"):
        write_text(store.lots, 1, shelf)
    answer = record(store.lots, WATCH, 1, ev.PhaseBegun("fill"), shelf=shelf)
    assert answer.what == "kept"
    assert (tmp_path / "lots").read_text("utf-8") == "in the way"
    store.close()


def test_at_a_change_of_phase_the_text_file_is_written(folder):
    store = open_store(str(folder))
    shelf = FolderShelf(folder.parent / "lots")
    record(store.lots, WATCH, 1, ev.Noted("not yet"), shelf=shelf)
    assert not (folder.parent / "lots").exists()
    record(store.lots, WATCH, 1, ev.PhaseBegun("fill"), shelf=shelf)
    (written,) = (folder.parent / "lots").iterdir()
    assert "Begins: Fill" in written.read_text("utf-8")
    store.close()


def test_an_entry_that_cannot_be_read_is_named_and_the_others_count(folder):
    with closing(sqlite3.connect(folder / "wortline.sqlite")) as connection:
        line = '{"schema":"lot/1","id":"half","dev'
        connection.execute("insert into lot_entries values (1, 22, 'half', ?)", (line,))
        newer = '{"schema":"lot/2","id":"new"}'
        connection.execute("insert into lot_entries values (1, 23, 'new', ?)", (newer,))
        connection.commit()
    store = open_store(str(folder))
    opened = lot_of(store.lots, 1)
    assert len(opened.entries) == 21
    assert opened.problems[0].startswith("Entry 22 cannot be read: it is no JSON")
    assert "by a newer Wortline" in opened.problems[1]
    assert record(store.lots, WATCH, 1, ev.Noted("goes on")).number == 24
    store.close()


def test_two_programs_at_once_both_keep(folder):
    one, other = open_store(str(folder)), open_store(str(folder))
    for number in range(5):
        record(one.lots, WATCH, 1, ev.Noted(f"one {number}"), device="one")
        record(other.lots, WATCH, 1, ev.Noted(f"other {number}"), device="other")
    entries = lot_of(one.lots, 1).entries
    assert [each.number for each in entries] == list(range(1, 32))
    assert {each.device for each in entries[21:]} == {"one", "other"}
    assert keep(one.lots, WATCH, 1, []) == []
    one.close()
    other.close()
    assert os.path.getsize(folder / "wortline.sqlite") > 0
