"""Every command that README and quickstart show is run, in order, in an empty folder."""

import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from wortline.cli import main

ROOT = Path(__file__).parents[2]
PAGES = ("README.md", "docs/quickstart.md")


def commands(page: str) -> list[str]:
    """What stands after a prompt in the console blocks of a page."""
    blocks = re.findall(r"```console\n(.*?)```", (ROOT / page).read_text("utf-8"), re.DOTALL)
    return [line[2:] for block in blocks for line in block.splitlines() if line.startswith("$ ")]


@pytest.mark.parametrize("page", PAGES)
def test_shown_commands_work(page: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    shutil.copytree(ROOT / "examples", tmp_path / "examples")
    monkeypatch.setenv("WORTLINE_DATA", str(tmp_path / "data"))
    shown = [line for line in commands(page) if not line.startswith("python3 dev.py")]
    assert shown
    for line in shown:
        program, *words = shlex.split(line)
        assert program == ".venv/bin/wortline"
        # It serves until it is stopped; tests/cli/test_cli_serve.py runs it.
        words += ["--help"] if words[0] == "serve" else []
        result = CliRunner().invoke(main, words)
        assert result.exit_code == 0, f"{line}: {result.output}"


def test_shown_development_commands_exist() -> None:
    told = subprocess.run(
        [sys.executable, str(ROOT / "dev.py"), "--help"],
        capture_output=True,
        text=True,
        check=False,
    ).stdout
    shown = {line for page in PAGES for line in commands(page) if line.startswith("python3 dev.py")}
    assert shown
    for line in shown:
        assert line in told


@pytest.mark.parametrize("page", [*PAGES, "docs/architecture.md", "CONTRIBUTING.md"])
def test_links_lead_somewhere(page: str) -> None:
    place = (ROOT / page).parent
    links = re.findall(r"\]\(([^)#]+)\)", (ROOT / page).read_text("utf-8"))
    missing = [link for link in links if "://" not in link and not (place / link).exists()]
    assert not missing
