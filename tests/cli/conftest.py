"""A command line that runs in this process, on documents written to a folder of their own."""

import json
import shutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from wortline.app import planning
from wortline.cli import main

ROOT = Path(__file__).parents[2]
EXAMPLES = ROOT / "examples"
DOCUMENTS = {
    "recipe": (EXAMPLES / "rainday-pale.yaml").read_text(encoding="utf-8"),
    "rig": (EXAMPLES / "shed-45.yaml").read_text(encoding="utf-8"),
    "day": (EXAMPLES / "cool-march.yaml").read_text(encoding="utf-8"),
}


@dataclass(frozen=True)
class Ran:
    """What a command said, and how it ended."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        """Its output as strict JSON: NaN and infinities are none."""

        def refuse(word: str) -> None:
            raise AssertionError(f"{word} is no JSON")

        return json.loads(self.out, parse_constant=refuse)


@dataclass(frozen=True)
class Desk:
    """A folder with documents, and the command line."""

    folder: Path

    def run(self, *words: object) -> Ran:
        """Run `wortline` with these words; an exception is not caught."""
        told = CliRunner().invoke(main, [str(word) for word in words], catch_exceptions=False)
        return Ran(told.exit_code, told.stdout, told.stderr)

    def path(self, name: str) -> Path:
        """A file of this folder."""
        return self.folder / f"{name}.yaml"

    def write(self, name: str, content: str | bytes) -> Path:
        """Put a document there."""
        raw = content.encode("utf-8", "surrogatepass") if isinstance(content, str) else content
        self.path(name).write_bytes(raw)
        return self.path(name)

    def change(self, changes: Mapping[str, Mapping[str, str]]) -> None:
        """Write the example with some texts replaced, by document."""
        for name, example in DOCUMENTS.items():
            text = example
            for before, after in changes.get(name, {}).items():
                assert before in text, before
                text = text.replace(before, after, 1)
            self.write(name, text)

    def plan(self, *more: object) -> Ran:
        """Plan the three documents of this folder."""
        rig, day = self.path("rig"), self.path("day")
        return self.run("plan", self.path("recipe"), "--rig", rig, "--day", day, *more)


@pytest.fixture(scope="module", autouse=True)
def few_members() -> Any:
    """Ranges from fewer members: the same code on every line, in a fraction of the time.

    Taken back after each module of this folder: other tests ask for all members.
    """
    with pytest.MonkeyPatch.context() as patch:
        table = planning.normal_draws()[:48]
        patch.setattr(planning, "normal_draws", lambda: table)
        yield


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A folder with the example's three documents in it."""
    made = Desk(tmp_path)
    made.change({})
    return made


@pytest.fixture(scope="session")
def session_desk(tmp_path_factory: pytest.TempPathFactory) -> Desk:
    """A folder that all members of a hypothesis test may share."""
    made = Desk(tmp_path_factory.mktemp("desk"))
    made.change({})
    return made


@pytest.fixture
def examples_desk(desk: Desk) -> Callable[[str], Desk]:
    """A desk with one of the shipped recipes on it."""

    def at(recipe: str) -> Desk:
        shutil.copy(EXAMPLES / f"{recipe}.yaml", desk.path("recipe"))
        return desk

    return at


class Lot:
    """A desk with a lot on it, and its store in a folder of its own."""

    def __init__(self, desk):
        self.desk, self.data, self.number = desk, desk.folder / "data", 1

    def run(self, *words, typed=None):
        words = ["lot", *(str(word) for word in words), "--data", str(self.data)]
        told = CliRunner().invoke(main, words, input=typed, catch_exceptions=False)
        return told.exit_code, told.stdout, told.stderr

    def say(self, *words):
        code, out, err = self.run("say", self.number, *words)
        assert code == 0, err
        return out

    def shown(self):
        code, out, err = self.run("show", self.number, "--json")
        assert code == 0, err
        return json.loads(out)


@pytest.fixture
def lot(desk):
    made = Lot(desk)
    day = ("--rig", desk.path("rig"), "--day", desk.path("day"))
    code, out, err = made.run("start", desk.path("recipe"), *day)
    assert code == 0, err
    assert out.startswith("Lot 1: Rainday Pale has started")
    return made
