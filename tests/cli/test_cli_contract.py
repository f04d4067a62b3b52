"""Exit codes, what goes to which stream, and that nothing on disk is lost."""

import errno
import os
import re
import subprocess
import sys
from pathlib import Path

import click
import pytest

WORTLINE = Path(sys.executable).with_name("wortline")
EARLY = {"recipe": {"when: 60 min": "when: 75 min"}}
JARGON = re.compile(r"Traceback|Error:|pydantic|NoneType|\bdict\b|\.py\b")


def test_a_plan_that_fits_exits_0(desk):
    ran = desk.plan()
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.startswith("Rainday Pale on Shed 45\n")
    assert desk.plan("--json").json["fits"] is True


def test_refused_input_exits_1_and_says_where_on_stderr(desk):
    desk.change({"recipe": {"23 L": "23", "60 min}]": "60 mn}]"}, "day": {"16 C": "600 C"}})
    ran = desk.plan()
    assert (ran.code, ran.out) == (1, "")
    assert [line.partition(": ")[0] for line in ran.err.splitlines()] == [
        f"{desk.path('recipe')}:3",
        f"{desk.path('recipe')}:7",
        f"{desk.path('day')}:2",
    ]
    assert not JARGON.search(ran.err)


def test_no_plan_that_fits_exits_3_and_is_printed_all_the_same(desk):
    desk.change(EARLY)
    ran = desk.plan()
    assert (ran.code, ran.err) == (3, "")
    assert "THIS PLAN DOES NOT FIT" in ran.out
    assert ran.out.index("DOES NOT FIT") < ran.out.index("WEIGH OUT")
    plan = desk.plan("--json")
    assert plan.code == 3
    assert plan.json["fits"] is False
    (cant,) = plan.json["cant"]
    assert (cant["code"], cant["wanted"], cant["limit"]) == ("dose-before-boil", 75.0, 60.0)
    assert cant["nearest"]["changes"] == [
        {"document": "recipe", "field": "hops.0.when", "value": "60 min"}
    ]


def test_1_wins_over_3(desk):
    desk.change({**EARLY, "rig": {"power: 3.0 kW": "power: 3000"}})
    ran = desk.plan("--json")
    assert ran.code == 1
    assert [problem["field"] for problem in ran.json["problems"]] == ["element.power"]


@pytest.mark.parametrize(
    "words",
    [
        ["plan"],
        ["plan", "r.yaml"],
        ["plan", "r.yaml", "--rig", "k.yaml", "--units", "imperial"],
        ["plan", "r.yaml", "--rig", "k.yaml", "--method", "guess"],
        ["check"],
        ["new", "kettle", "x.yaml"],
        ["brew"],
        ["why", "abv_fraction"],
    ],
    ids=" ".join,
)
def test_a_command_typed_wrongly_exits_2(desk, words):
    ran = desk.run(*words)
    assert (ran.code, ran.out) == (2, "")
    assert "Usage:" in ran.err


def test_problems_as_json_are_on_stdout_and_nothing_on_stderr(desk):
    desk.change({"rig": {"boil_off": "boil_of"}})
    ran = desk.plan("--json")
    assert (ran.code, ran.err) == (1, "")
    (problem,) = ran.json["problems"]
    assert problem == {
        "file": str(desk.path("rig")),
        "line": 5,
        "field": "boil_of",
        "value": "2.9 L/h",
        "allowed": problem["allowed"],
        "nearest": "boil_off",
        "text": "`boil_of` is not known here; did you mean `boil_off`?",
    }


def unreadable(desk):
    """Files of every kind that is no document, and what is said of each."""
    folder = desk.folder / "folder"
    folder.mkdir()
    big = b"schema: rig/1\nnotes: |\n" + b"  very long\n" * 30_000
    return {
        desk.folder / "gone.yaml": "cannot be read: no such file or directory",
        folder: "cannot be read: is a directory",
        desk.write("nul", b"schema: rig/1\0"): "the file has a NUL byte",
        desk.write("latin", "name: Gebräu".encode("latin-1")): "the file is not UTF-8 text",
        desk.write("big", big): "the file is larger than 256 kB",
        desk.write("empty", b""): "",
    }


def test_files_that_are_no_documents_are_plain_problems_all_at_once(desk):
    said = unreadable(desk)
    ran = desk.run("check", *said, "--json")
    assert ran.code == 1
    problems = {Path(problem["file"]): problem["text"] for problem in ran.json["problems"]}
    assert set(problems) == set(said)
    for path, text in said.items():
        assert problems[path].startswith(text)
    plain = desk.run("check", *said)
    assert (plain.code, plain.out) == (1, "")
    assert len(plain.err.splitlines()) == len(said)
    assert not JARGON.search(plain.err)


@pytest.mark.parametrize("role", ["recipe", "rig", "day"])
def test_a_missing_file_does_not_hide_the_problems_of_the_others(desk, role):
    desk.change({"recipe": {"23 L": "23"}, "rig": {"45 L": "45"}, "day": {"14 C": "14"}})
    desk.path(role).unlink()
    for words in ((), ("--svg", desk.folder / "x.svg")):
        ran = desk.plan("--json", *words)
        assert ran.code == 1
        files = [Path(problem["file"]) for problem in ran.json["problems"]]
        assert files == [desk.path(name) for name in ("recipe", "rig", "day")]
    assert not (desk.folder / "x.svg").exists()


def test_a_file_without_permission(desk, monkeypatch):
    opens = Path.open

    def locked(path, *how, **more):
        if path == desk.path("rig"):
            raise PermissionError(errno.EACCES, "Permission denied", str(path))
        return opens(path, *how, **more)

    monkeypatch.setattr(Path, "open", locked)
    ran = desk.plan()
    assert (ran.code, ran.err) == (1, f"{desk.path('rig')}: cannot be read: permission denied\n")


def test_check_names_every_problem_of_every_file(desk):
    desk.change({"recipe": {"hop: Magnum": "hop: Nowhere", ", alpha: 13 %": ""}})
    desk.write("second", "schema: day/1\nair: 16\ntapp: 14 C\ngrain: 12 C\n")
    ran = desk.run("check", desk.path("recipe"), desk.path("second"), desk.path("rig"))
    assert (ran.code, ran.out) == (1, "")
    said = ran.err.splitlines()
    assert len(said) == 4
    assert f"{desk.path('recipe')}:10: hops.0.hop: `Nowhere` is no hop known here" in said[0]
    assert all(line.startswith(f"{desk.path('second')}:") for line in said[1:])
    assert "question" not in ran.err and "did you mean `tap`?" in ran.err


CHILLERS = """
chillers:
  - {name: plate, kind: plate}
  - {name: coil, kind: immersion}
"""


@pytest.mark.parametrize(
    ("chill", "field", "words"),
    [
        ("with: plait, how: one-pass", "chill.with", "did you mean `plate`?"),
        ("with: coil, how: one-pass", "chill.how", "`coil` is a coil; leave `how` out"),
        ("with: plate", "chill.with", "does not say how `plate` is run"),
    ],
)
def test_check_holds_a_recipe_against_the_rig_beside_it(desk, chill, field, words):
    desk.write("rig", desk.path("rig").read_text(encoding="utf-8") + CHILLERS)
    recipe = desk.path("recipe").read_text(encoding="utf-8")
    desk.write("recipe", re.sub(r"(?m)^chill: .*$", f"chill: {{to: 18 C, {chill}}}", recipe))
    files = [desk.path("recipe"), desk.path("rig")]
    for order in (files, files[::-1]):
        ran = desk.run("check", *order)
        assert ran.code == 1 and f": {field}: " in ran.err and words in ran.err, ran.err
        assert len(ran.err.splitlines()) == 1 and ran.err.startswith(f"{files[0]}:")
    # Alone it names no rig, and of two rigs nobody knows which is meant.
    assert desk.run("check", files[0]).code == 0
    desk.write("other", desk.path("rig").read_text(encoding="utf-8"))
    assert desk.run("check", *files, desk.path("other")).code == 0


def test_check_of_sound_files(desk):
    ran = desk.run("check", desk.path("recipe"), desk.path("rig"), desk.path("day"))
    assert ran.code == 0
    assert ran.out.count(": fine\n") == 3
    empty = desk.run("check", desk.path("rig"), "--json")
    assert (empty.code, empty.json) == (0, {"schema": "problems/1", "problems": []})


def test_new_documents_check_fine_and_plan_together(tmp_path, desk):
    for kind in ("recipe", "rig", "day"):
        desk.path(kind).unlink()
        assert desk.run("new", kind, desk.path(kind)).code == 0
    assert desk.run("check", *(desk.path(kind) for kind in ("recipe", "rig", "day"))).code == 0
    ran = desk.plan("--json")
    assert ran.code == 0
    assert [note for note in ran.json["notes"] if note["code"] == "assumed"] == []


def test_new_never_overwrites(desk):
    before = desk.path("rig").read_bytes()
    ran = desk.run("new", "rig", desk.path("rig"))
    assert (ran.code, ran.out) == (1, "")
    assert ran.err == f"Error: {desk.path('rig')} is there already and is left as it is.\n"
    assert desk.path("rig").read_bytes() == before
    nowhere = desk.run("new", "rig", desk.folder / "no" / "rig.yaml")
    assert nowhere.code == 1
    assert nowhere.err.endswith("cannot be written: no such file or directory.\n")


def test_without_a_day_the_guesses_are_named(desk):
    ran = desk.run("plan", desk.path("recipe"), "--rig", desk.path("rig"), "--json")
    assert ran.code == 0
    assumed = [note["text"] for note in ran.json["notes"] if note["code"] == "assumed"]
    assert [text.split()[3] for text in assumed] == ["air", "tap", "grain", "elevation"]
    assert all("a guess" in text for text in assumed)


def test_pictures_are_written(desk):
    svg, png = desk.folder / "day.svg", desk.folder / "day.png"
    ran = desk.plan("--svg", svg, "--png", png)
    assert ran.code == 0
    assert svg.read_text(encoding="utf-8").startswith("<svg")
    assert png.read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize("option", ["--svg", "--png"])
def test_a_picture_that_cannot_be_written_is_a_plain_sentence(desk, option):
    for target, why in (("no/day", "no such file or directory"), ("", "is a directory")):
        ran = desk.plan(option, desk.folder / target)
        assert ran.code == 1
        assert ran.err == f"Error: {desk.folder / target} cannot be written: {why}.\n"


@pytest.mark.parametrize(
    ("command", "option", "name", "says"),
    [
        ("plan", "--svg", "x.png", "PNG, and SVG"),
        ("plan", "--png", "x.SVG", "SVG, and PNG"),
        ("plan", "--sheet", "x.html", "HTML, and PDF"),
        ("plan", "--show", "x.pdf", "PDF, and HTML"),
        ("rest", "--svg", "x.png", "PNG, and SVG"),
        ("rest", "--kettle", "x.png", "PNG, and SVG"),
        ("rest", "--kettle-png", "x.svg", "SVG, and PNG"),
        ("pipes", "--png", "x.svg", "SVG, and PNG"),
    ],
)
def test_a_name_of_another_form_is_refused_before_anything_is_written(
    desk, command, option, name, says
):
    target = desk.folder / name
    papers = (desk.path("rig"),) if command == "pipes" else (
        desk.path("recipe"), "--rig", desk.path("rig"))  # fmt: skip
    ran = desk.run(command, *papers, option, target)
    assert (ran.code, ran.out) == (2, "")
    assert f"is named as {says} is written here" in " ".join(ran.err.split())
    assert not target.exists()


KEYS = ["gravity.original_sg", "bitterness.ibu", "bitterness.doses.d2", "bitterness.doses.malt",
        "ledger.preboil", "ledger.mash.mark_cm", "water_l", "heat.to_boil_min", "energy_kwh",
        "bitterness.doses.d1.shift_min", "bitterness.ibu.mid"]  # fmt: skip


@pytest.mark.parametrize("key", KEYS)
def test_why_explains_the_number_of_the_plan(desk, key):
    day = ("--rig", desk.path("rig"), "--day", desk.path("day"))
    ran = desk.run("why", key, desk.path("recipe"), *day, "--json")
    assert ran.code == 0
    plan = desk.plan("--json").json
    value = plan
    for part in key.split("."):
        if isinstance(value, list):
            value = next(each for each in value if part in (each.get("step"), each.get("id")))
        else:
            value = value[part]
    if isinstance(value, dict):
        value = next(value[name] for name in ("mid", "cold_l", "total_ibu") if name in value)
    assert ran.json["value"] == value
    assert ran.json["formula"] and ran.json["sources"]
    plain = desk.run("why", key, desk.path("recipe"), *day)
    assert plain.code == 0
    assert all(len(line) <= 80 for line in plain.out.splitlines())


def test_every_range_can_be_explained(desk):
    for key in desk.plan("--json").json["ranges"]:
        ran = desk.run("why", key, desk.path("recipe"), "--rig", desk.path("rig"))
        assert (ran.code, ran.err) == (0, "")


def test_why_of_an_unknown_key_names_a_near_one(desk):
    ran = desk.run("why", "gravity.orignal_sg", desk.path("recipe"), "--rig", desk.path("rig"))
    assert (ran.code, ran.out) == (2, "")
    assert "Did you mean gravity.original_sg?" in ran.err
    far = desk.run("why", "zzz", desk.path("recipe"), "--rig", desk.path("rig"))
    assert far.code == 2
    assert "under whirlpool, aroma" in far.err and "bitterness.doses.malt" not in far.err


def test_sources_version_and_help(desk):
    assert desk.run("sources").out.startswith("# Where the numbers come from\n")
    assert re.fullmatch(r"wortline \d+\.\d+\.\d+\n", desk.run("--version").out)
    for command in ("plan", "check", "new", "why", "sources"):
        assert desk.run(command, "-h").out == desk.run(command, "--help").out


def process(*words, env=None, **kept):
    return subprocess.run(
        [WORTLINE, *map(str, words)],
        env={**os.environ, **(env or {})},
        capture_output="stdout" not in kept,
        check=False,
        **kept,
    )


def test_a_narrow_encoding_prints_the_plan_all_the_same(desk):
    desk.change({"recipe": {"Rainday Pale": "Brühe 雨"}})
    env = {"PYTHONIOENCODING": "ascii", "LC_ALL": "C", "PYTHONUTF8": "0"}
    documents = [desk.path("recipe"), "--rig", desk.path("rig")]
    plain = process("plan", *documents, env=env)
    assert (plain.returncode, plain.stderr) == (0, b"")
    told = process("plan", *documents, "--json", env=env)
    assert told.returncode == 0
    # every letter of the name survives, whatever the pipe can carry
    assert b'"name": "Br\\u00fche \\u96e8"' in told.stdout


def test_a_reader_that_goes_away_is_no_accident(desk):
    reading, writing = os.pipe()
    os.close(reading)
    ran = process("sources", stdout=writing, stderr=subprocess.PIPE)
    os.close(writing)
    assert b"Traceback" not in ran.stderr


def test_a_full_disk_is_a_plain_sentence(desk, monkeypatch):
    def full(*words, **how):
        if not how.get("err"):
            raise OSError(errno.ENOSPC, "No space left on device")
        echo(*words, **how)

    echo = click.echo
    monkeypatch.setattr(click, "echo", full)
    ran = desk.run("check", desk.path("rig"))
    assert ran.code == 1
    assert ran.err == "Error: the output cannot be written: no space left on device.\n"
