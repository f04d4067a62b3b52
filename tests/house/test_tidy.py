"""Sizes, names, and what must not stand in any file."""

import ast
import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
ROOMS = ("src", "tests", "tools", "bench")
MOST_LINES = 400
MOST_STATEMENTS = 40

SOURCES = [*sorted(p for room in ROOMS for p in (ROOT / room).rglob("*.py")), ROOT / "dev.py"]
each_source = pytest.mark.parametrize("path", SOURCES, ids=lambda p: str(p.relative_to(ROOT)))


def functions(path: Path) -> list[ast.FunctionDef | ast.AsyncFunctionDef]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return [n for n in ast.walk(tree) if isinstance(n, ast.FunctionDef | ast.AsyncFunctionDef)]


def statements(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Count the statements inside, without the docstring."""
    inside = sum(isinstance(node, ast.stmt) for node in ast.walk(function)) - 1
    return inside - (ast.get_docstring(function) is not None)


@each_source
def test_a_module_can_be_read_in_one_sitting(path: Path) -> None:
    assert len(path.read_text(encoding="utf-8").splitlines()) <= MOST_LINES
    long = {f.name: statements(f) for f in functions(path) if statements(f) > MOST_STATEMENTS}
    assert not long, f"statements: {long}"


@each_source
def test_names_say_something(path: Path) -> None:
    assert not re.search(r"(^|_)(utils?|helpers?|misc|manager)(_|$)", path.stem)
    vague = [f.name for f in functions(path) if re.match(r"_?(get|calc|do|handle)_", f.name)]
    assert not vague


@pytest.mark.parametrize("room", ["science", "pipes", "plan", "lot"])
def test_science_pipes_plan_and_lot_read_and_write_nothing(room: str) -> None:
    found = [
        f"{path.name}:{node.lineno} {node.func.id}"
        for path in (ROOT / "src" / "wortline" / room).rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Name)
        and node.func.id in {"open", "print", "input", "exec", "eval", "__import__"}
    ]
    assert not found


def test_only_the_faces_catch_whatever_comes() -> None:
    broad = {"Exception", "BaseException"}
    package = ROOT / "src" / "wortline"
    found = [
        f"{path.relative_to(package)}:{node.lineno}"
        for path in package.rglob("*.py")
        if path.relative_to(package).parts[0] not in ("cli", "web")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.ExceptHandler)
        and (
            node.type is None
            or broad & {n.id for n in ast.walk(node.type) if isinstance(n, ast.Name)}
        )
    ]
    assert found == []


def test_only_app_reads_data() -> None:
    package = ROOT / "src" / "wortline"
    named = [
        str(path.relative_to(package))
        for path in package.rglob("*.py")
        if re.search(r"""["']wortline\.data["']""", path.read_text(encoding="utf-8"))
    ]
    assert [name for name in named if not name.startswith("app/")] == []


# Put together from pieces, so that this file does not find itself.
UNFINISHED = "|".join(["TO" + "DO", "FIX" + "ME", "X" + "XX", "HA" + "CK"])
FORBIDDEN = {
    "a package registry": re.compile(r"\b(pypi|pythonhosted|npmjs|debian|crates)\.(org|com|io)\b"),
    "a path of one machine": re.compile(r"(?<![\w.<>/])/(work|root|home|Users|tmp)/"),
    "an unfinished mark": re.compile(rf"\b({UNFINISHED})\b"),
}


def tracked() -> list[Path]:
    listed = subprocess.run(
        ["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, check=True, text=True
    )
    return [ROOT / name for name in listed.stdout.split("\0") if name and (ROOT / name).exists()]


@pytest.mark.parametrize("what", FORBIDDEN)
def test_no_file_names(what: str) -> None:
    found = []
    for path in tracked():
        try:
            text = path.read_text(encoding="utf-8")
        except UnicodeDecodeError:
            continue
        for number, line in enumerate(text.splitlines(), 1):
            if FORBIDDEN[what].search(line):
                found.append(f"{path.relative_to(ROOT)}:{number}: {line.strip()[:80]}")
    assert not found, "\n".join(found)


@pytest.mark.parametrize("lock", ["requirements.lock", "requirements-run.lock"])
def test_the_locks_name_no_address_and_hash_everything(lock: str) -> None:
    text = (ROOT / lock).read_text(encoding="utf-8")
    assert "://" not in text
    pins = re.split(r"^(?=\S+==)", text, flags=re.MULTILINE)[1:]
    assert pins
    assert all("--hash=sha256:" in pin for pin in pins)
