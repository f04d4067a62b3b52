"""What a command loads: help nothing heavy, a plan no solver, web or database."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
EXAMPLES = ROOT / "examples"

PROBE = """
import json, sys
from wortline.cli import main
sys.argv[0] = "wortline"
try:
    main()
except SystemExit as end:
    code = end.code or 0
else:
    code = 0
print()
print(json.dumps([code, sorted({name.partition(".")[0] for name in sys.modules})]))
"""

PLAN = [
    str(EXAMPLES / "rainday-pale.yaml"),
    "--rig",
    str(EXAMPLES / "shed-45.yaml"),
    "--day",
    str(EXAMPLES / "cool-march.yaml"),
]
FAR = {"scipy", "fastapi", "starlette", "uvicorn", "sqlalchemy", "alembic", "psycopg", "sqlite3"}


def loaded(words: list[str]) -> set[str]:
    done = subprocess.run(
        [sys.executable, "-c", PROBE, *words], cwd=ROOT, capture_output=True, text=True, check=True
    )
    code, names = json.loads(done.stdout.splitlines()[-1])
    assert code == 0, done.stdout + done.stderr
    return set(names)


def test_help_loads_neither_numbers_nor_models() -> None:
    assert not loaded(["--help"]) & (FAR | {"numpy", "pydantic", "ruamel", "typst", "rich"})


@pytest.mark.parametrize(
    "words", [["plan", *PLAN], ["check", *PLAN[::2][:2]]], ids=["plan", "check"]
)
def test_planning_loads_no_solver_web_or_database(words: list[str]) -> None:
    assert not loaded(words) & FAR
