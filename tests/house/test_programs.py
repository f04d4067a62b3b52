"""The programs beside Python: found, installed only where that was asked for, or named."""

import subprocess
import sys
from pathlib import Path

import programs
import pytest

ROOT = Path(__file__).parents[2]


@pytest.fixture
def machine(monkeypatch: pytest.MonkeyPatch) -> list[list[str]]:
    """A machine with nothing on it; returns what would be run there."""
    ran: list[list[str]] = []
    monkeypatch.setattr(programs, "_run", lambda words: ran.append(list(words)))
    for name, (_, package, sentence) in programs.PROGRAMS.items():
        monkeypatch.setitem(programs.PROGRAMS, name, (lambda: None, package, sentence))
    monkeypatch.setattr(programs, "tsc", lambda: None)
    monkeypatch.setattr(programs, "npm", lambda: Path("npm"))
    monkeypatch.setattr(programs.shutil, "which", lambda name: f"bin/{name}")
    monkeypatch.setattr(programs.os, "geteuid", lambda: 0)
    return ran


def test_root_on_debian_gets_everything_in_one_go(machine, capsys):
    assert programs.install() == 1
    update, install, typescript = machine
    assert update == ["apt-get", "-q", "update"]
    assert install[-5:] == ["chromium", "postgresql", "poppler-utils", "nodejs", "npm"]
    assert typescript[-2:] == [str(ROOT / ".venv" / "node"), programs.TYPESCRIPT]
    said = capsys.readouterr().err.splitlines()
    assert len(said) == 6
    assert said[0].endswith("(Debian: chromium), and could not be installed here.")


def test_another_user_installs_nothing_into_the_system(machine, monkeypatch):
    monkeypatch.setattr(programs.os, "geteuid", lambda: 1000)
    programs.install()
    assert [words[0] for words in machine] == ["npm"]


def test_what_is_there_is_left_alone(monkeypatch, capsys):
    monkeypatch.setattr(programs, "_run", lambda words: pytest.fail(f"ran {words}"))
    for name, (_, package, sentence) in programs.PROGRAMS.items():
        monkeypatch.setitem(programs.PROGRAMS, name, (lambda: Path("there"), package, sentence))
    monkeypatch.setattr(programs, "tsc", lambda: Path("there"))
    assert programs.install() == 0
    assert capsys.readouterr() == ("", "")


@pytest.mark.parametrize("strict", ["0", "1"])
def test_a_skip_is_named_at_the_end_and_fails_under_strict(strict, tmp_path):
    (tmp_path / "test_it.py").write_text("import pytest\ndef test_it(): pytest.skip('no kettle')\n")
    words = ["-q", "-p", "conftest", "-c", str(ROOT / "pyproject.toml"), "--rootdir", str(tmp_path)]
    done = subprocess.run(
        [sys.executable, "-m", "pytest", *words, str(tmp_path)],
        cwd=ROOT / "tests",
        env={"WORTLINE_STRICT": strict, "PATH": "", "PYTHONPATH": str(ROOT / "src")},
        capture_output=True,
        text=True,
        check=False,
    )
    if strict == "1":
        assert done.returncode == 1
        assert "skipped, which WORTLINE_STRICT forbids: no kettle" in done.stdout
    else:
        assert done.returncode == 0
        assert "Could not run here: 1 test: no kettle." in done.stdout


def test_postgresql_answers_on_no_port(postgres_url):
    import psycopg

    with psycopg.connect(postgres_url) as connection:
        assert connection.execute("show listen_addresses").fetchone() == ("",)
        assert connection.execute("show server_encoding").fetchone() == ("UTF8",)


def test_the_browser_draws_a_page(chromium):
    page = "data:text/html,<title>here</title><script>document.title='run'</script>"
    done = subprocess.run(
        [chromium.path, *chromium.flags, "--dump-dom", page],
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )
    assert "<title>run</title>" in done.stdout


def test_typescript_is_the_pinned_one(tsc):
    told = subprocess.run([*tsc, "--version"], capture_output=True, text=True, check=True).stdout
    assert told.split()[-1] == programs.TYPESCRIPT.partition("@")[2]
