"""What is kept is its owner's alone, whatever the system gives new files by itself."""

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from wortline.store import private
from wortline.store.engine import FILE, connected
from wortline.store.upgrading import bring_up
from wortline.wiring import open_store

OLD = Path(__file__).parent / "old"
pytestmark = pytest.mark.skipif(os.name != "posix", reason="rights of files are POSIX here")


@pytest.fixture(autouse=True)
def generous() -> Iterator[None]:
    """A system that lets everybody read and write what is made."""
    before = os.umask(0)
    yield
    os.umask(before)


def open_to_others(folder: Path) -> list[str]:
    return [
        f"{path.relative_to(folder)} {path.stat().st_mode & 0o777:o}"
        for path in folder.rglob("*")
        if path.stat().st_mode & 0o077
    ]


def test_everything_kept_is_read_by_its_owner_only(tmp_path, clock, monkeypatch):
    folder = tmp_path / "shared"
    folder.mkdir(mode=0o777)
    first = []
    connect = sqlite3.connect

    def seen(file, **how):
        first.append((Path(file).stat().st_size, Path(file).stat().st_mode & 0o777))
        return connect(file, **how)

    monkeypatch.setattr(sqlite3, "connect", seen)
    store = open_store(str(folder), clock)
    store.documents.save("rig", "shed", "schema: rig/1")
    store.shelf.write("lot.txt", "text")
    # there and closed to others before the first byte was in it
    assert first[0] == (0, 0o600)
    assert {f"{FILE}-wal", f"{FILE}-shm"} <= {each.name for each in folder.iterdir()}
    store.export(tmp_path / "out")
    assert (tmp_path / "out" / "documents").is_dir()
    assert open_to_others(folder) == []
    assert open_to_others(tmp_path / "out") == []
    assert (tmp_path / "out").stat().st_mode & 0o777 == 0o700
    store.close()


def test_a_file_that_others_could_read_is_closed_to_them(tmp_path, clock):
    store = open_store(str(tmp_path), clock)
    store.documents.save("rig", "shed", "schema: rig/1")
    for file in tmp_path.iterdir():
        file.chmod(0o666)
    again = open_store(str(tmp_path), clock)
    assert [each.name for each in again.documents.listed().headings] == ["shed"]
    assert open_to_others(tmp_path) == []
    again.close()
    store.close()


@pytest.mark.parametrize("sort", ["sqlite", "postgresql"])
def test_a_copy_before_a_step_is_read_by_its_owner_only(sort, tmp_path, clock, request):
    script = (OLD / f"0001-{sort}.sql").read_text("utf-8")
    if sort == "postgresql":
        import psycopg

        place = request.getfixturevalue("postgres").new_database()
        with psycopg.connect(place) as connection:
            connection.execute(script)
    else:
        place = str(tmp_path)
        with closing(sqlite3.connect(tmp_path / FILE)) as connection:
            connection.executescript(script)
    database = connected(place, tmp_path / "backups")
    bring_up(database, clock)
    (copy,) = database.backups.iterdir()
    assert copy.stat().st_size > 500
    assert (copy.stat().st_mode & 0o777, database.backups.stat().st_mode & 0o777) == (0o600, 0o700)
    database.close()


def test_a_file_left_over_is_taken_away_first(tmp_path):
    left = tmp_path / "left.part"
    left.write_text("old and open")
    left.chmod(0o666)
    with private.private_file(left) as stream:
        stream.write(b"new")
    assert (left.read_bytes(), left.stat().st_mode & 0o777) == (b"new", 0o600)
