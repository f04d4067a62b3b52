"""The commands keep, kept, export and import."""

import re

import pytest

from wortline.errors import StoreTrouble
from wortline.wiring import SETTINGS, own_folder, setting


@pytest.fixture(autouse=True)
def own(tmp_path, monkeypatch):
    """A data folder of this test's own, by the environment."""
    monkeypatch.setenv("WORTLINE_DATA", str(tmp_path / "own"))
    return tmp_path / "own"


def test_keep_and_list(desk, own):
    ran = desk.run("keep", desk.path("rig"))
    assert (ran.code, ran.err) == (0, "")
    assert ran.out == f"Kept as revision 1 of document 1, in {own / 'wortline.sqlite'}.\n"
    desk.run("keep", desk.path("recipe"), "--why", "as printed")
    desk.change({"recipe": {"alpha: 13 %": "alpha: 12 %"}})
    ran = desk.run("keep", desk.path("recipe"), "--why", "fresh hops")
    assert ran.out.startswith("Kept as revision 3 of document 2, in ")
    listed = desk.run("kept").out.splitlines()
    assert listed[0].split() == ["revision", "document", "kind", "name", "kept", "(UTC)"]
    assert listed[1].split()[:5] == ["3", "2", "recipe", "Rainday", "Pale"]
    assert listed[2].strip() == "fresh hops"
    assert listed[3].split()[:5] == ["1", "1", "rig", "Shed", "45"]
    assert all(len(line) <= 80 for line in listed)
    history = desk.run("kept", "--history", "2").out.splitlines()
    assert [line.split()[0] for line in history[1::2]] == ["3", "2"]
    printed = desk.run("kept", 2)
    assert "alpha: 13 %" in printed.out
    assert printed.out == desk.path("recipe").read_text().replace("alpha: 12 %", "alpha: 13 %")


def test_discard_and_restore(desk):
    desk.run("keep", desk.path("rig"))
    ran = desk.run("discard", 1)
    assert ran.out == "Document 1 is out of sight; `wortline restore 1` brings it back.\n"
    assert desk.run("kept").out == "Nothing is kept yet.\n"
    assert desk.run("kept", "--discarded").out.splitlines()[1].split()[:2] == ["1", "1"]
    assert desk.run("restore", 1).code == 0
    assert desk.run("kept").out.splitlines()[1].split()[:2] == ["1", "1"]
    unknown = desk.run("discard", 5)
    assert (unknown.code, unknown.err) == (1, "there is no document 5 here.\n")


def test_a_bad_document_is_not_kept(desk):
    desk.change({"rig": {"boil_off": "boil_of"}})
    ran = desk.run("keep", desk.path("rig"))
    assert (ran.code, ran.out) == (1, "")
    assert ran.err == f"{desk.path('rig')}:5: boil_of: `boil_of` is not known here; did you mean " \
        "`boil_off`?\n"  # fmt: skip
    assert desk.run("kept").out == "Nothing is kept yet.\n"
    assert desk.run("kept", "--discarded").out == "Nothing is discarded.\n"
    assert desk.run("keep", desk.folder / "gone.yaml").err.endswith("no such file or directory\n")


def test_out_and_in_again_twice(desk, own):
    for name in ("rig", "recipe", "day"):
        desk.run("keep", desk.path(name))
    out = desk.folder / "out"
    assert desk.run("export", out).code == 0
    other = desk.folder / "other"
    ran = desk.run("import", out, "--data", other)
    assert (ran.code, ran.out) == (0, "New here: 3 revisions. Known already: 0.\n")
    again = desk.run("import", out, "--data", other)
    assert again.out == "New here: 0 revisions. Known already: 3.\n"
    assert desk.run("kept", "--data", other).out == desk.run("kept").out
    refused = desk.run("export", out)
    assert (refused.code, refused.out) == (1, "")
    assert refused.err == f"{out} is not empty and is left as it is; name a new folder.\n"
    (out / "revisions.jsonl").write_text("{}\n")
    damaged = desk.run("import", out, "--data", desk.folder / "third")
    assert damaged.code == 1
    assert len(damaged.err.splitlines()) > 1
    assert "Traceback" not in damaged.err


def test_an_unknown_number_and_a_bad_place_are_sentences(desk):
    assert desk.run("kept", 12).err == "there is no revision 12 here.\n"
    ran = desk.run("kept", "--data", "mysql://host/x")
    assert (ran.code, ran.out) == (1, "")
    assert ran.err.startswith("`mysql://` is no place for data")


def test_the_list_goes_on(desk, monkeypatch):
    monkeypatch.setattr("wortline.cli.keeping.ON_A_PAGE", 1)
    for name in ("rig", "recipe"):
        desk.run("keep", desk.path(name))
    first = desk.run("kept").out
    (more,) = re.findall(r"wortline kept --before (\d+)", first)
    assert desk.run("kept", "--before", more).out.splitlines()[1].split()[:2] == ["1", "1"]


def test_a_name_cannot_move_the_cursor(desk, own):
    from wortline.wiring import opened_store

    with opened_store() as store:
        store.documents.save("rig", "\x1b[2Jx" + "雨" * 60, "t", "\x1b]0;y\x07")
    out = desk.run("kept").out
    assert "\x1b" not in out and "\x07" not in out
    assert "�[2Jx雨" in out


def test_a_setting_is_typed_or_in_the_environment_or_its_default(tmp_path):
    assert setting("data", "typed", {"WORTLINE_DATA": "env"}) == "typed"
    assert setting("data", None, {"WORTLINE_DATA": "env"}) == "env"
    assert setting("data", None, {}) == SETTINGS["data"].default == ""
    assert own_folder().name.lower() == "wortline"


def test_help_names_the_setting_and_its_variable(desk):
    for command in ("keep", "kept", "export", "import"):
        told = " ".join(desk.run(command, "--help").out.split())
        assert SETTINGS["data"].help in told
        assert "WORTLINE_DATA" in told


def test_a_store_that_cannot_be_opened_lets_go_of_its_file(tmp_path):
    from wortline.wiring import open_store

    (tmp_path / "wortline.sqlite").write_bytes(b"no database" * 100)
    with pytest.raises(StoreTrouble):
        open_store(str(tmp_path))
