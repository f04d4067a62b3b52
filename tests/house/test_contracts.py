"""Which room may import which, and that dev.py turns an old Python away in a sentence."""

import ast
import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]


def test_rooms_keep_to_their_contracts() -> None:
    lint = Path(sys.executable).parent / "lint-imports"
    done = subprocess.run([lint], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout


def test_an_old_python_can_read_dev_py() -> None:
    ast.parse((ROOT / "dev.py").read_text(encoding="utf-8"), feature_version=(3, 7))


def test_an_old_python_is_turned_away_in_one_sentence() -> None:
    pretend = "import sys; sys.version_info = (3, 9, 6, 'final', 0); sys.path.insert(0, '.'); "
    pretend += "import dev; sys.exit(dev.main(['demo']))"
    env = dict(os.environ, WORTLINE_DEV_AGAIN="1")
    done = subprocess.run(
        [sys.executable, "-c", pretend],
        cwd=ROOT,
        env=env,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 1
    assert done.stderr.startswith("Wortline needs Python 3.11 or newer; this is 3.9.")
    assert "Traceback" not in done.stderr
