"""A database of any age is brought up to date, after a copy; a stranger's is left alone."""

import json
import shutil
import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import inspect, text
from sqlalchemy.exc import DBAPIError

from wortline.errors import StoreTrouble
from wortline.store.documents import SqlDocuments
from wortline.store.engine import FILE, Database, connected, is_address
from wortline.store.tables import METADATA
from wortline.store.upgrading import STEPS, bring_up, known_versions

OLD = Path(__file__).parent / "old"
AT = datetime(2026, 4, 1, 9, 30, 5, tzinfo=UTC)


def now() -> datetime:
    return AT


@pytest.fixture(params=["sqlite", "postgresql"])
def place(request, tmp_path) -> str:
    """A folder or an address with nothing in it yet."""
    if request.param == "sqlite":
        (tmp_path / "data").mkdir()
        return str(tmp_path / "data")
    return request.getfixturevalue("postgres").new_database()


def execute(place: str, script: str) -> None:
    """Run SQL as any program might."""
    if is_address(place):
        import psycopg

        with psycopg.connect(place) as connection:
            connection.execute(script)
    else:
        with closing(sqlite3.connect(Path(place) / FILE)) as connection:
            connection.executescript(script)


def older(place: str, version: str) -> None:
    """Put an old database there, from its text."""
    sort = "postgresql" if is_address(place) else "sqlite"
    execute(place, (OLD / f"{version}-{sort}.sql").read_text("utf-8"))


@pytest.fixture
def steps(tmp_path) -> Path:
    """The steps of today and one of tomorrow."""
    folder = tmp_path / "migrations"
    shutil.copytree(STEPS, folder, ignore=shutil.ignore_patterns("__pycache__"))
    (folder / "versions" / "v9000_hue.py").write_text(
        f"""
import sqlalchemy as sa
from alembic import op
revision, down_revision = "9000", "{known_versions()[-1]}"
def upgrade():
    op.create_table("hues", sa.Column("number", sa.Integer, primary_key=True))
    op.execute("insert into hues values (1)")
    with op.batch_alter_table("shelf_acts", recreate="auto") as batch:
        batch.add_column(sa.Column("hue", sa.Text))
"""
    )
    return folder


def opened(place: str, backups: Path, steps: Path = STEPS) -> Database:
    database = connected(place, backups)
    try:
        bring_up(database, now, steps)
    except BaseException:
        database.close()
        raise
    return database


def tables(database: Database) -> set[str]:
    with database.reading() as connection:
        return set(inspect(connection).get_table_names())


@pytest.mark.parametrize("version", sorted({path.name[:4] for path in OLD.glob("*.sql")}))
def test_an_old_file_opens_with_all_that_was_kept(place, version, tmp_path):
    older(place, version)
    database = opened(place, tmp_path / "backups")
    documents = SqlDocuments(database, now)
    assert [(each.number, each.document, each.parent) for each in documents.revisions()] == [
        (1, 1, None),
        (2, 2, None),
        (3, 2, 2),
        (4, 4, None),
    ]
    kept = documents.revision(2)
    assert kept.name == "Täuber's <b>Pale</b>"
    assert kept.text == 'schema: recipe/1\nname: "Täuber\'s <b>Pale</b>"\n'
    assert kept.saved_at == datetime(2026, 3, 1, 12, 2, tzinfo=UTC)
    assert [each.number for each in documents.listed().headings] == [3, 1]
    assert [each.number for each in documents.listed(discarded=True).headings] == [4]
    assert documents.save("recipe", "Third", "t", "", 3).number == 5
    database.close()


def test_the_steps_lead_to_the_tables_as_they_are(place, tmp_path):
    from alembic.autogenerate import compare_metadata
    from alembic.migration import MigrationContext

    database = opened(place, tmp_path / "backups")
    with database.reading() as connection:
        assert compare_metadata(MigrationContext.configure(connection), METADATA) == []
    database.close()


@pytest.mark.parametrize("table", ["revisions", "shelf_acts"])
def test_the_database_itself_refuses_to_change_or_delete(place, table, tmp_path):
    older(place, "0001")
    database = opened(place, tmp_path / "backups")
    orders = [f"update {table} set document = 1", f"delete from {table}"]
    row = "select * from shelf_acts" if table == "shelf_acts" else "select * from revisions"
    orders += [f"truncate {table} cascade" if is_address(place) else f"replace into {table} {row}"]
    for order in orders:
        with (
            pytest.raises(DBAPIError, match="neither changed nor deleted"),
            database.writing() as connection,
        ):
            connection.execute(text(order))
    with database.reading() as connection:
        left = connection.execute(text(f"select count(*) from {table}")).scalar()
    assert left == {"revisions": 4, "shelf_acts": 1}[table]
    database.close()


def test_before_a_step_everything_is_copied(place, steps, tmp_path):
    older(place, "0001")
    database = opened(place, tmp_path / "backups", steps)
    assert "hues" in tables(database)
    (copy,) = database.backups.iterdir()
    assert copy.stem == "wortline-0001-20260401T093005"
    if is_address(place):
        rows = [json.loads(line) for line in copy.read_text("utf-8").splitlines()]
        kept = [each["row"]["name"] for each in rows if each["table"] == "revisions"]
        assert len(rows) == 6
    else:
        with closing(sqlite3.connect(copy)) as connection:
            kept = [row[0] for row in connection.execute("select name from revisions")]
            version = connection.execute("select version_num from alembic_version").fetchone()
        assert version == ("0001",)
    assert kept == ["Brick barn", "Täuber's <b>Pale</b>", "Second pale", "day without a name"]
    database.close()
    # once more: nothing to be done, no second copy
    database = opened(place, tmp_path / "backups", steps)
    assert len(list(database.backups.iterdir())) == 1
    database.close()


def test_a_new_database_needs_no_copy(place, tmp_path):
    database = opened(place, tmp_path / "backups")
    assert {"revisions", "shelf_acts"} <= tables(database)
    assert not database.backups.exists()
    database.close()


def test_a_step_that_fails_leaves_all_as_it_was(place, steps, tmp_path):
    older(place, "0001")
    path = steps / "versions" / "v9000_hue.py"
    path.write_text(path.read_text() + "    raise RuntimeError('power cut')\n")
    with pytest.raises(RuntimeError, match="power cut"):
        opened(place, tmp_path / "backups", steps)
    database = opened(place, tmp_path / "backups")
    assert "hues" not in tables(database)
    assert len(list(SqlDocuments(database, now).revisions())) == 4
    database.close()


def test_without_room_for_the_copy_nothing_is_changed(place, steps, tmp_path):
    older(place, "0001")
    if is_address(place):
        (tmp_path / "backups").write_text("in the way")
    else:
        (Path(place) / "backups").write_text("in the way")
    with pytest.raises(StoreTrouble, match=r"The copy .* cannot be written: .*Nothing was changed"):
        opened(place, tmp_path / "backups", steps)
    database = connected(place, tmp_path / "backups")
    assert "hues" not in tables(database)
    database.close()


def test_a_newer_database_is_refused_and_left_alone(place, tmp_path):
    older(place, "0001")
    execute(place, "update alembic_version set version_num = '9001'")
    with pytest.raises(StoreTrouble, match=r"newer Wortline \(version 9001 .* knows \d{4}\)"):
        opened(place, tmp_path / "backups")
    database = connected(place, tmp_path / "backups")
    with database.reading() as connection:
        version = connection.execute(text("select version_num from alembic_version")).scalar()
    assert version == "9001"
    database.close()


def test_a_database_of_another_program_is_left_alone(place, tmp_path):
    execute(place, "create table songs (title text)")
    with pytest.raises(StoreTrouble, match="holds tables of another program"):
        opened(place, tmp_path / "backups")
    database = connected(place, tmp_path / "backups")
    assert tables(database) == {"songs"}
    database.close()


def test_the_steps_are_numbered_without_a_gap():
    numbers = [int(each) for each in known_versions()]
    assert numbers == list(range(1, len(numbers) + 1))
