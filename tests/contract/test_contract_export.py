"""Everything out as plain files and in again: the same, and twice the same."""

import json
import shutil

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from wortline.app.ports import Draft
from wortline.errors import Conflict, DocumentRefused, StoreTrouble, Unkeepable, WortlineError
from wortline.store.export import document_parts, read, write

LETTERS = st.characters(exclude_characters="\0", exclude_categories=("Cs",))


def fill(documents):
    documents.save("rig", "Shed", "schema: rig/1\r\nname: Shed\n", "first")
    documents.save("recipe", "../<b>Päle</b>\n", "\ufeffname: x\u2028y\n\n")
    documents.save("rig", "Shed 2", "schema: rig/1", "wider\nkettle", parent=1)
    documents.save("day", "", "")
    documents.discard(2)
    documents.discard(4)
    documents.restore(2)


def everything(documents):
    return list(documents.revisions()), list(documents.shelf_acts())


def files(folder):
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


@pytest.fixture
def exported(stores, tmp_path):
    """A store of every sort and its export."""
    documents = stores.documents()
    fill(documents)
    write(tmp_path / "out", document_parts(documents))
    return documents, tmp_path / "out"


def test_the_export_is_plain_files(exported):
    documents, folder = exported
    names = {
        "README.txt",
        "export.json",
        "revisions.jsonl",
        "shelf.jsonl",
        "documents/000001-rig-shed.yaml",
        "documents/000002-recipe-b-p-le-b.yaml",
        "documents/000003-rig-shed-2.yaml",
        "documents/000004-day.yaml",
    }
    assert set(files(folder)) == names
    for each in documents.revisions():
        (path,) = (folder / "documents").glob(f"{each.number:06}-*")
        assert path.read_bytes() == each.text.encode("utf-8")
    assert not folder.with_name("out.unfinished").exists()


def test_import_gives_the_same_again_twice(exported, stores, tmp_path):
    documents, folder = exported
    other = stores.documents()
    taken = other.take(*read(folder))
    assert taken.new == 4
    assert taken.numbers == {1: 1, 2: 2, 3: 3, 4: 4}
    assert everything(other) == everything(documents)
    assert other.listed() == documents.listed()
    assert other.listed(discarded=True) == documents.listed(discarded=True)
    again = other.take(*read(folder))
    assert again.new == 0
    assert everything(other) == everything(documents)
    write(tmp_path / "second", document_parts(other))
    assert files(tmp_path / "second") == files(folder)
    # and into the store that it came from
    assert documents.take(*read(folder)).new == 0


def test_import_goes_beside_what_is_there(exported, stores):
    documents, folder = exported
    other = stores.documents()
    own = other.save("rig", "Own", "own")
    taken = other.take(*read(folder))
    assert taken.numbers == {1: 2, 2: 3, 3: 4, 4: 5}
    assert other.revision(1) == own
    assert (other.revision(4).document, other.revision(4).parent) == (2, 2)
    assert [each.number for each in other.listed(discarded=True).headings] == [5]
    keys = [each.key for each in documents.revisions()]
    assert [each.key for each in other.revisions()][1:] == keys
    other.save("rig", "Shed 3", "went on", parent=4)
    assert other.take(*read(folder)).new == 0


def test_one_kept_and_discarded_while_the_export_is_written_comes_with_the_next(documents):
    documents.save("rig", "Shed", "one")
    parts = dict(_parts_with(documents))
    assert parts["shelf.jsonl"] == b""
    assert parts["revisions.jsonl"].count(b"\n") == 1


def _parts_with(documents):
    parts = document_parts(documents)
    for name, content in parts:
        if name == "revisions.jsonl":
            documents.save("rig", "Late", "late")
            documents.discard(2)
        yield name, content


def test_the_same_moment_again_and_again_is_kept_apart(stores, clock, tmp_path):
    documents = stores.documents()
    clock.step *= 0
    documents.save("rig", "a", "a")
    for act in (documents.discard, documents.restore, documents.discard):
        act(1)
    write(tmp_path / "out", document_parts(documents))
    other = stores.documents()
    for _ in range(2):
        other.take(*read(tmp_path / "out"))
        assert everything(other) == everything(documents)


def test_a_document_that_went_two_ways_is_said_and_nothing_taken(exported, stores):
    documents, folder = exported
    other = stores.documents()
    other.take(*read(folder))
    other.save("rig", "here", "here", parent=3)
    documents.save("recipe", "new", "new")
    documents.save("rig", "there", "there", parent=3)
    before = everything(other)
    with pytest.raises(Conflict, match="`there` was changed here and there") as refused:
        other.take(*everything(documents))
    assert refused.value.latest == 5
    assert everything(other) == before


@pytest.mark.parametrize(
    ("file", "change", "said"),
    [
        ("documents/000001-rig-shed.yaml", lambda raw: raw + b"#", "revision 1, the rig `Shed`"),
        ("revisions.jsonl", lambda raw: raw.replace(b"first", b"third"), "is not what was exp"),
        ("revisions.jsonl", lambda raw: raw.replace(b"23:59:58", b"22:59:58"), "is not what was"),
        ("revisions.jsonl", lambda raw: raw[:-30], "revisions.jsonl:4: this line is cut off"),
        ("revisions.jsonl", lambda raw: raw[: raw.index(b"\n") + 1], "1 lines are here; .* 4"),
        ("revisions.jsonl", lambda raw: b"{}\n" + raw[raw.index(b"\n") + 1 :], "jsonl:1: number:"),
        ("revisions.jsonl", lambda raw: raw.replace(b"documents/", b"../../x/"), "1: file: this"),
        ("revisions.jsonl", lambda raw: b"x" * 70_000 + b"\n" + raw, "jsonl:1: this line is too"),
        ("revisions.jsonl", lambda raw: raw.replace(b"-02-28", b"-02-31"), "`2026-02-31T.* is no"),
        ("shelf.jsonl", lambda raw: raw.replace(b"discard", b"delete"), "shelf.jsonl:1: act: this"),
        ("shelf.jsonl", lambda raw: raw.replace(b'"document": 4', b'"document": 9'), "document 9"),
        ("export.json", lambda raw: raw.replace(b"export/1", b"export/2"), "`export/2` is newer"),
        ("export.json", lambda raw: raw[:20], "export.json:1: this is damaged"),
        ("documents/000004-day.yaml", None, "cannot be read: no such file"),
        ("documents/000004-day.yaml", lambda raw: b"\xff", "this is not UTF-8 text"),
        ("shelf.jsonl", None, "shelf.jsonl: cannot be read: no such file"),
        ("export.json", None, "name a folder that `wortline export` wrote"),
    ],
)
def test_a_damaged_export_is_said_and_nothing_is_taken(exported, stores, file, change, said):
    _, folder = exported
    path = folder / file
    if change:
        changed = change(path.read_bytes())
        assert changed != path.read_bytes()
        path.write_bytes(changed)
    else:
        path.unlink()
    other = stores.documents()
    with pytest.raises((DocumentRefused, Unkeepable), match=said):
        other.take(*read(folder))
    assert everything(other) == ([], [])


def test_all_damage_is_named_at_once(exported):
    _, folder = exported
    shutil.rmtree(folder / "documents")
    with pytest.raises(DocumentRefused) as refused:
        read(folder)
    assert len(refused.value.problems) == 4


def test_an_export_overwrites_nothing(exported, tmp_path):
    documents, folder = exported
    before = files(folder)
    with pytest.raises(StoreTrouble, match="is not empty and is left as it is"):
        write(folder, document_parts(documents))
    assert files(folder) == before
    (tmp_path / "file").write_text("mine")
    with pytest.raises(StoreTrouble, match="is not empty"):
        write(tmp_path / "file", document_parts(documents))
    (tmp_path / "empty").mkdir()
    write(tmp_path / "empty", document_parts(documents))
    assert files(tmp_path / "empty") == before


def test_an_export_that_cannot_be_finished_leaves_no_half(documents, tmp_path):
    def parts():
        yield "documents/a.yaml", b""
        raise OSError(28, "No space left on device")

    with pytest.raises(StoreTrouble, match="cannot be written: no space left on device"):
        write(tmp_path / "out", parts())
    assert list(tmp_path.glob("out*")) == []


@settings(max_examples=25, deadline=None,
          suppress_health_check=[HealthCheck.function_scoped_fixture])  # fmt: skip
@given(texts=st.lists(st.tuples(*[st.text(LETTERS, max_size=40)] * 3), min_size=1, max_size=6))
def test_any_texts_survive_the_round_trip(stores, tmp_path_factory, texts):
    if stores.sort == "postgresql":
        texts = texts[:1]
    documents = stores.documents() if stores.sort == "memory" else _shared(stores)
    documents.save_together([Draft("lineup", *each) for each in texts])
    folder = tmp_path_factory.mktemp("e") / "out"
    write(folder, document_parts(documents))
    assert read(folder) == everything(documents)
    shutil.rmtree(folder)


def _shared(stores):
    """One database for all examples: an export of all that came before is a harder test."""
    return stores.opened[0].documents if stores.opened else stores.documents()


@given(raw=st.binary(max_size=200))
def test_noise_is_never_more_than_a_refusal(tmp_path_factory, raw):
    folder = tmp_path_factory.mktemp("noise")
    (folder / "export.json").write_text(
        json.dumps({"schema": "export/1", "lines": {"revisions.jsonl": 1, "shelf.jsonl": 0}})
    )
    (folder / "shelf.jsonl").write_bytes(b"")
    (folder / "revisions.jsonl").write_bytes(raw + b"\n")
    with pytest.raises(WortlineError):
        read(folder)
    (folder / "export.json").write_bytes(raw)
    with pytest.raises(WortlineError):
        read(folder)
