"""Programs that the tests run beside Python: where they are, and how a bare machine gets them.

Run by `python3 dev.py test` under WORTLINE_STRICT=1: installs what is missing, and says at once
what cannot be installed. Without that, nothing is fetched; the tests that need a program are
skipped and named at the end, with the reason.
"""

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

ROOT = Path(__file__).parents[1]
NODE_FOLDER = ROOT / ".venv" / "node"
TYPESCRIPT = "typescript@7.0.2"


def chromium() -> Path | None:
    """The browser that the tests drive."""
    return _on_path("chromium", "chromium-browser")


def postgres_folder() -> Path | None:
    """The folder of PostgreSQL's own programs; Debian keeps the server's off the path."""
    found = _on_path("initdb")
    # the path may hold a link to it alone, without the others of its folder
    if found and (found.resolve().parent / "pg_ctl").exists():
        return found.resolve().parent
    kept = Path("/usr/lib/postgresql")
    versions = [each for each in kept.glob("[0-9]*/bin") if (each / "initdb").exists()]
    return max(versions, key=lambda each: float(each.parent.name), default=None)


def pdftotext() -> Path | None:
    """What reads the words of a printed sheet back."""
    return _on_path("pdftotext")


def node() -> Path | None:
    """What runs JavaScript outside a browser."""
    return _on_path("node", "nodejs")


def npm() -> Path | None:
    """What fetches TypeScript."""
    return _on_path("npm")


def tsc() -> Path | None:
    """The checker of the types in our JavaScript, of the pinned version and no other."""
    found = NODE_FOLDER / "node_modules" / "typescript" / "bin" / "tsc"
    return found if found.exists() else None


def _on_path(*names: str) -> Path | None:
    return next((Path(found) for name in names if (found := shutil.which(name))), None)


# Each program: how it is found, the Debian package, and what a person is told.
PROGRAMS: dict[str, tuple[Callable[[], Path | None], str, str]] = {
    "chromium": (chromium, "chromium", "Chromium is not installed (Debian: chromium)"),
    "postgresql": (
        postgres_folder,
        "postgresql",
        "PostgreSQL's server is not installed (Debian: postgresql)",
    ),
    "pdftotext": (
        pdftotext,
        "poppler-utils",
        "pdftotext is not installed (Debian: poppler-utils)",
    ),
    "node": (node, "nodejs", "Node is not installed (Debian: nodejs)"),
    "npm": (npm, "npm", "npm is not installed (Debian: npm)"),
    "tsc": (
        tsc,
        "",
        f"TypeScript is not installed (npm install --prefix .venv/node {TYPESCRIPT})",
    ),
}


def why_not(name: str) -> str:
    """The sentence about a program that is missing, or nothing if it is there."""
    find, _, sentence = PROGRAMS[name]
    return "" if find() else sentence


def install() -> int:
    """Install what is missing, as far as this machine lets us; return 1 if something stays away."""
    wanted = [package for find, package, _ in PROGRAMS.values() if package and not find()]
    if wanted and os.name == "posix" and os.geteuid() == 0 and shutil.which("apt-get"):
        print(f"Installing for the tests: {', '.join(wanted)}.", flush=True)
        _run(["apt-get", "-q", "update"])
        _run(["apt-get", "-q", "-y", "install", "--no-install-recommends", *wanted])
    if not tsc() and (fetch := npm()):
        print(f"Installing for the tests: {TYPESCRIPT}.", flush=True)
        quiet = ["--no-audit", "--no-fund", "--no-package-lock", "--loglevel", "error"]
        _run([str(fetch), "install", *quiet, "--prefix", str(NODE_FOLDER), TYPESCRIPT])
    missing = [sentence for name in PROGRAMS if (sentence := why_not(name))]
    for sentence in missing:
        print(f"{sentence}, and could not be installed here.", file=sys.stderr)
    return 1 if missing else 0


def _run(words: Sequence[str]) -> None:
    env = dict(os.environ, DEBIAN_FRONTEND="noninteractive")
    subprocess.run(words, env=env, check=False, stdout=sys.stderr)


if __name__ == "__main__":
    sys.exit(install())
