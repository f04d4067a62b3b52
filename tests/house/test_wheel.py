"""The wheel holds all it needs: installed alone in a clean environment, it plans from elsewhere.

The environment gets the locked run-time packages and nothing else. They are linked from the one
that runs this test, so that no network is needed; the wheel itself is installed by its installer.
"""

import json
import os
import re
import shutil
import subprocess
import sys
import zipfile
from importlib import metadata
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "wortline"
EXAMPLE = ("rainday-pale.yaml", "shed-45.yaml", "cool-march.yaml")


def run(*words: object, cwd: Path) -> subprocess.CompletedProcess[str]:
    env = {k: v for k, v in os.environ.items() if not k.startswith(("PYTHON", "COVERAGE"))}
    env["PYTHONUTF8"] = "1"
    done = subprocess.run(
        [str(word) for word in words], cwd=cwd, env=env, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, f"{words}\n{done.stdout}\n{done.stderr}"
    return done


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    run(sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", folder, cwd=ROOT)
    (built,) = folder.glob("*.whl")
    return built


def link(source: Path, target: Path) -> None:
    target.parent.mkdir(parents=True, exist_ok=True)
    try:
        os.link(source, target)
    except OSError:
        shutil.copy2(source, target)


def locked() -> dict[str, set[str]]:
    pins: dict[str, set[str]] = {}
    text = (ROOT / "requirements-run.lock").read_text(encoding="utf-8")
    for name, version in re.findall(r"^(\S+?)==(\S+)", text, flags=re.MULTILINE):
        pins.setdefault(name, set()).add(version)
    return pins


@pytest.fixture(scope="module")
def clean(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the programs' folder of an environment with Wortline and what it needs to run."""
    env = tmp_path_factory.mktemp("clean") / "env"
    run(sys.executable, "-m", "venv", "--without-pip", env, cwd=ROOT)
    bin_ = env / ("Scripts" if os.name == "nt" else "bin")
    python = bin_ / "python"
    ask = "import sysconfig; print(sysconfig.get_path('purelib'))"
    site = Path(run(python, "-c", ask, cwd=ROOT).stdout.strip())
    for name, versions in locked().items():
        package = metadata.distribution(name)
        assert package.version in versions, f"{name} is not the locked one"
        for file in package.files or []:
            if ".." not in file.parts and file.suffix != ".pyc":
                link(Path(str(file.locate())), site / file)
    install = ("install", "--no-deps", "--no-index", wheel)
    if (uv := shutil.which("uv")) and not shutil.which(
        "pip", path=str(Path(sys.executable).parent)
    ):
        run(uv, "pip", *install, "--python", python, cwd=ROOT)
    else:
        run(sys.executable, "-m", "pip", "--python", python, *install, cwd=ROOT)
        run(sys.executable, "-m", "pip", "--python", python, "check", cwd=ROOT)
    return bin_


def test_the_wheel_holds_the_whole_package_and_nothing_else(wheel: Path) -> None:
    inside = {name for name in zipfile.ZipFile(wheel).namelist() if ".dist-info/" not in name}
    source = {
        path.relative_to(ROOT / "src").as_posix()
        for path in PACKAGE.rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }
    assert inside == source
    licences = [n for n in zipfile.ZipFile(wheel).namelist() if n.endswith("LICENSE")]
    assert licences


def test_the_installed_wheel_plans_the_example_from_another_folder(
    clean: Path, tmp_path: Path
) -> None:
    for name in EXAMPLE:
        shutil.copy(ROOT / "examples" / name, tmp_path)
    recipe, rig, day = EXAMPLE
    where = run(clean / "python", "-c", "import wortline; print(wortline.__file__)", cwd=tmp_path)
    assert Path(where.stdout.strip()).is_relative_to(clean.parent)
    plan = ("plan", recipe, "--rig", rig, "--day", day)
    printed = run(clean / "wortline", *plan, "--svg", "strip.svg", cwd=tmp_path).stdout
    assert "Rainday Pale" in printed
    assert (tmp_path / "strip.svg").read_text(encoding="utf-8").lstrip().startswith("<")
    asked = json.loads(run(clean / "wortline", *plan, "--json", cwd=tmp_path).stdout)
    assert asked["schema"] == "plan/1"
    assert asked["fits"] is True
    store = ("--data", tmp_path / "store")
    kept = run(clean / "wortline", "keep", recipe, *store, cwd=tmp_path).stdout
    assert kept.startswith("Kept as revision 1 of document 1")
    run(clean / "wortline", "export", "out", *store, cwd=tmp_path)
    assert (tmp_path / "out" / "revisions.jsonl").exists()


def test_the_clean_environment_has_no_tool_of_the_tests(clean: Path, tmp_path: Path) -> None:
    ask = "import importlib.util as i; print([n for n in ('pytest', 'scipy') if i.find_spec(n)])"
    assert run(clean / "python", "-c", ask, cwd=tmp_path).stdout.strip() == "[]"
