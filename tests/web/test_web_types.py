"""The scripts of the pages keep to their types; TypeScript reads them from their comments."""

import subprocess
from pathlib import Path

STATIC = Path(__file__).parents[2] / "src" / "wortline" / "web" / "static"
STRICT = ("--noEmit", "--allowJs", "--checkJs", "--strict", "--noImplicitReturns",
          "--noUncheckedIndexedAccess", "--target", "es2022", "--module", "es2022",
          "--moduleResolution", "bundler", "--lib", "es2022,dom,dom.iterable",
          "--moduleDetection", "force", "--types", "")  # fmt: skip


def test_the_scripts_keep_to_their_types(tsc: tuple[str, ...]) -> None:
    scripts = sorted(str(path) for path in STATIC.glob("*.js"))
    assert scripts
    done = subprocess.run([*tsc, *STRICT, *scripts], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def test_the_scripts_take_nothing_from_elsewhere() -> None:
    for path in STATIC.glob("*.js"):
        text = path.read_text(encoding="utf-8")
        assert "://" not in text, path.name
        assert "eval(" not in text, path.name
