#!/usr/bin/env python3
"""Work on Wortline from a bare checkout: every command does all its own set-up.

    python3 dev.py demo     plan the example brew and draw its strip picture
    python3 dev.py test     lint, types, contracts and every test; or: test WORDS FOR PYTEST;
                            with WORTLINE_STRICT=1 it installs the programs that the tests drive
    python3 dev.py lint     lint, types and contracts only
    python3 dev.py doubt    change science on purpose; list the changes that no test noticed
    python3 dev.py docs     write the pages that are made from code, schemas and sources
    python3 dev.py bench    time the slow parts against general solvers
    python3 dev.py pictures take a picture of every page, narrow and wide, into docs/pictures
    python3 dev.py soak     kill the record 400 times, and open 10,000 lots
    python3 dev.py lock     write the locks anew after a change of dependencies
    python3 dev.py setup    only make the virtual environment

Standard library only. It has to be readable by an old Python too, which it turns away politely.
"""

from __future__ import annotations

import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
BIN = VENV / ("Scripts" if os.name == "nt" else "bin")
PYTHON = BIN / ("python.exe" if os.name == "nt" else "python")
STAMP = VENV / "wortline-stamp"
LOCK = ROOT / "requirements.lock"
RUN_LOCK = ROOT / "requirements-run.lock"
OLDEST = (3, 11)
STRICT = os.environ.get("WORTLINE_STRICT") == "1"
DEMO = Path("build", "demo")

LINT = (
    ("style", "ruff", "check", "."),
    ("types", "mypy"),
    ("contracts", "lint-imports"),
)


class Refusal(Exception):
    """Something is missing here; its text says what to do about it."""


def say(text: str) -> None:
    print(text, flush=True)


def run(words: list[str], quiet: bool = False) -> int:
    """Run a command in the checkout and return its exit code."""
    out = subprocess.DEVNULL if quiet else None
    env = dict(os.environ, PIP_DISABLE_PIP_VERSION_CHECK="1", PIP_NO_INPUT="1")
    # a foreign tree on the path would shadow the one that is being tested
    env.pop("PYTHONPATH", None)
    return subprocess.call(words, cwd=str(ROOT), stdout=out, stderr=out, env=env)


def tool(name: str, *words: str) -> int:
    """Run a command that the environment holds."""
    return run([str(BIN / name), *words])


def stamp() -> str:
    """Say in one word what the environment was made from."""
    made_from = [LOCK.read_bytes(), (ROOT / "pyproject.toml").read_bytes()]
    made_from += [sys.version.encode(), str(ROOT).encode()]
    return hashlib.sha256(b"\0".join(made_from)).hexdigest()


def same_python() -> bool:
    """Whether the environment at hand runs the Python that runs this file."""
    if not PYTHON.exists():
        return False
    ask = "import sys; print(sys.version)"
    answer = subprocess.run([str(PYTHON), "-c", ask], stdout=subprocess.PIPE, check=False)
    return answer.stdout.decode().strip() == sys.version.strip()


def install_with_uv(uv: str) -> bool:
    if not same_python() and run([uv, "venv", "--quiet", "--clear", "-p", sys.executable, ".venv"]):
        return False
    # The lock is complete, so nothing is looked up beside it. Unlike pip, uv keeps no bytecode
    # unless told; without it every start of a command compiles hundreds of files anew.
    pip = [uv, "pip", "install", "--quiet", "--no-deps", "-p", str(PYTHON)]
    if run([*pip, "--compile-bytecode", "--require-hashes", "-r", str(LOCK)]):
        return False
    return not run([*pip, "--no-build-isolation", "-e", "."])


def can_make_venv() -> bool:
    """Whether this Python holds what makes an environment; Debian's alone does not."""
    return all(importlib.util.find_spec(name) for name in ("venv", "ensurepip"))


def install_with_pip() -> None:
    has_pip = same_python() and not run([str(PYTHON), "-m", "pip", "--version"], quiet=True)
    if not has_pip:
        if not can_make_venv() and STRICT and shutil.which("apt-get"):
            run(["apt-get", "-q", "update"])
            run(["apt-get", "-q", "-y", "install", "python3-venv"])
            importlib.invalidate_caches()
        if not can_make_venv():
            raise Refusal(
                "This Python cannot make a virtual environment: "
                "install python3-venv (Debian, Ubuntu), or uv, and run this again."
            )
        if run([sys.executable, "-m", "venv", "--clear", str(VENV)]):
            raise Refusal(
                "The virtual environment could not be made in .venv: see the lines above; "
                "often python3-venv is missing or the disk is full."
            )
    pip = [str(PYTHON), "-m", "pip", "install", "-qq", "--no-deps"]
    if run([*pip, "--require-hashes", "-r", str(LOCK)]):
        raise Refusal(
            "The locked packages could not be installed: see the lines above. "
            "Without a network the first run cannot succeed; run it again when there is one."
        )
    if run([*pip, "--no-build-isolation", "-e", "."]):
        raise Refusal("Wortline itself could not be installed into .venv: see the lines above.")


def setup() -> None:
    """Make the environment, or return at once when it is already the right one."""
    wanted = stamp()
    if STAMP.exists() and PYTHON.exists() and STAMP.read_text(encoding="utf-8") == wanted:
        return
    say("Setting up .venv from requirements.lock; this happens once.")
    uv = shutil.which("uv")
    if not (uv and install_with_uv(uv)):
        if uv:
            say("uv did not manage; trying Python's own venv and pip.")
        install_with_pip()
    STAMP.write_text(wanted, encoding="utf-8")


def demo() -> int:
    picture = DEMO / "rainday-pale.svg"
    (ROOT / DEMO).mkdir(parents=True, exist_ok=True)
    documents = ["examples/rainday-pale.yaml", "--rig", "examples/shed-45.yaml"]
    documents += ["--day", "examples/cool-march.yaml"]
    code = tool("wortline", "plan", *documents, "--svg", str(picture))
    if code == 0:
        say(f"\nThe strip picture of this day is in {picture.as_posix()}.")
    return code


def lint() -> list[str]:
    """Run the checks that need no test; return the names of those that failed."""
    failed = []
    for name, *words in LINT:
        say("== {}: {}".format(name, " ".join(words)))
        if tool(*words):
            failed.append(name)
    return failed


def test(words: list[str]) -> int:
    if STRICT:
        # what stays away is named at once, and fails the tests that need it
        tool("python", "tools/programs.py")
    failed = [] if words else lint()
    say("== tests")
    if tool("python", "-m", "pytest", *(words or ["-q"])):
        failed.append("tests")
    if failed:
        say("Not passed: {}.".format(", ".join(failed)))
    return 1 if failed else 0


def lock() -> int:
    uv = str(BIN / "uv") if (BIN / "uv").exists() else shutil.which("uv")
    if not uv:
        raise Refusal("Locking needs uv: install it, and run this again.")
    compile_ = [uv, "pip", "compile", "--quiet", "--universal", "--python-version", "3.11"]
    compile_ += ["--generate-hashes", "--no-emit-index-url", "--no-header", "pyproject.toml"]
    # yattag has no wheel and only cosmic-ray's web report needs it: nothing is built from source
    compile_ += ["--no-emit-package", "yattag"]
    whole = run([*compile_, "--all-extras", "-o", LOCK.name], quiet=True)
    # what a user gets is the same pins without the developer's tools
    return whole or run([*compile_, "-c", LOCK.name, "-o", RUN_LOCK.name], quiet=True)


def command(name: str, words: list[str]) -> int:
    setup()
    if name == "demo":
        return demo()
    if name == "test":
        return test(words)
    if name == "lint":
        return 1 if lint() else 0
    if name == "doubt":
        return tool("python", "tools/doubt.py", *words)
    if name == "soak":
        return tool("python", "tools/soak.py", *words)
    if name == "docs":
        return tool("python", "tools/docs.py", *words)
    if name == "bench":
        return tool("python", "bench", *words)
    if name == "pictures":
        return tool("python", "tools/looks.py", *words)
    if name == "lock":
        return lock()
    return 0


def newer_python(words: list[str]) -> int:
    """Let uv find a Python that is new enough, or say what is needed."""
    uv = shutil.which("uv")
    found = uv and "WORTLINE_DEV_AGAIN" not in os.environ
    if not found:
        raise Refusal(
            "Wortline needs Python {}.{} or newer; this is {}.{}. "
            "Run dev.py with a newer one, for example python3.12 dev.py.".format(
                *(OLDEST + tuple(sys.version_info[:2]))
            )
        )
    os.environ["WORTLINE_DEV_AGAIN"] = "1"
    newer = [str(uv), "run", "--quiet", "--no-project", "--python", ">=3.11", "python"]
    return subprocess.call([*newer, str(ROOT / "dev.py"), *words])


def main(words: list[str]) -> int:
    names = ["demo", "test", "lint", "doubt", "docs", "bench"]
    names += ["pictures", "soak", "lock", "setup"]
    if len(words) == 0 or words[0] not in names:
        say((__doc__ or "").strip())
        return 0 if words in ([], ["-h"], ["--help"], ["help"]) else 2
    try:
        if sys.version_info < OLDEST:
            return newer_python(words)
        return command(words[0], words[1:])
    except Refusal as refusal:
        print(refusal, file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        return 130


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
