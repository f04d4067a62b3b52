"""A few changes to science, drawn by a fixed seed: each is noticed, or excused in docs/doubt.md."""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]


def test_a_sample_of_changes_is_noticed() -> None:
    done = subprocess.run(
        [sys.executable, "tools/doubt.py", "--sample", "12"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert "12 of " in done.stdout
