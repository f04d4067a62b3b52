"""Change science on purpose and list the changes that no published, law or oracle test noticed.

Each change lives only in a forked child: a module finder hands out the changed source, and pytest
runs the tests that reach the changed function. Nothing on disk is touched.

A change that nobody noticed needs a line in docs/doubt.md that says why it may stay unnoticed:

    - `module.function`: `the line as it is` -> `the line as changed`: reason
"""

import argparse
import ast
import builtins
import contextlib
import importlib
import importlib.util
import json
import os
import re
import signal
import sys
import tempfile
import time
import traceback
import warnings
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.abc import Loader
from importlib.machinery import ModuleSpec
from itertools import islice
from pathlib import Path
from types import CodeType, ModuleType

# One thread per child: the children fill the cores, and forks of a threaded parent are avoided.
os.environ["OPENBLAS_NUM_THREADS"] = "1"

import hypothesis
import pytest
from changes import (
    Change,
    changes_of,
    importers,
    modules,
    path_of,
    science_in,
    source_of,
)

ROOT = Path(__file__).resolve().parent.parent
REASONS = ROOT / "docs" / "doubt.md"
TESTS = ("tests/published", "tests/property", "tests/oracle")


class Watcher:
    """A pytest plugin that notes which science functions each test calls, and how long it takes.

    A call is noted by the called function itself: the finder below hands out every science module
    with one statement more in front of each function. A profiler would slow all other code too.
    """

    def __init__(self) -> None:
        self.seen: set[str] = set()
        self.reached: dict[str, list[str]] = {}
        self.seconds: dict[str, float] = {}

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        self.seen.clear()
        started = time.perf_counter()
        try:
            return (yield)
        finally:
            self.seconds[item.nodeid] = time.perf_counter() - started
            self.reached[item.nodeid] = sorted(self.seen)

    def noting(self, module: str) -> CodeType:
        """Return the code of a science module whose functions say that they were called."""
        tree = ast.parse(source_of(module))
        for node in tree.body:
            inside = [node] if isinstance(node, ast.FunctionDef) else []
            if isinstance(node, ast.ClassDef):
                inside = [part for part in node.body if isinstance(part, ast.FunctionDef)]
            for function in inside:
                name = f"{module}.{getattr(node, 'name', '')}"
                function.body.insert(0, ast.parse(f"__reached__({name!r})").body[0])
        builtins.__reached__ = self.seen.add  # type: ignore[attr-defined]
        code: CodeType = compile(ast.fix_missing_locations(tree), path_of(module), "exec")
        return code


class Chosen:
    """A pytest plugin that keeps the chosen tests only, in the order given."""

    def __init__(self, tests: Sequence[str]) -> None:
        self.rank = {test: place for place, test in enumerate(tests)}

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        items[:] = [item for item in items if item.nodeid in self.rank]
        items.sort(key=lambda item: self.rank[item.nodeid])


class Handed(Loader):
    """A finder and loader that hands out science modules with other code than their files have."""

    def __init__(self, code_of: Callable[[str], CodeType], only: str | None = None) -> None:
        self.code_of = code_of
        self.only = only

    def find_spec(self, name: str, path: object, target: object = None) -> ModuleSpec | None:
        room, _, module = name.rpartition(".")
        if room != "wortline.science" or (self.only or module) != module:
            return None
        return importlib.util.spec_from_file_location(name, path_of(module), loader=self)

    def exec_module(self, module: ModuleType) -> None:
        exec(self.code_of(module.__name__.rpartition(".")[2]), module.__dict__)


def child(work: Callable[[], int], limit_s: float, silent: bool = True) -> int:
    """Start work in a forked child that is ended after its time of work; return the child's id."""
    sys.stdout.flush()
    pid = os.fork()
    if pid:
        return pid
    code = 70
    try:
        # time of the processor: a busy machine must not make a slow test look like a hanging one
        signal.setitimer(signal.ITIMER_PROF, limit_s)
        if silent:
            nothing = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nothing, 1)
            os.dup2(nothing, 2)
        code = work()
    except BaseException:  # noqa: BLE001 - shown here, and kept out of the parent's frames
        traceback.print_exc()
    finally:
        os._exit(code)


# The parent has loaded hypothesis already, so that its forks need not.
LOADED = "ignore:Module already imported:pytest.PytestAssertRewriteWarning"
PYTEST = ("-q", "-p", "no:cacheprovider", "--no-header", "--rootdir", str(ROOT), "-W", LOADED)


def survey(report: Path, files: Sequence[str]) -> int:
    """Run the tests once, unchanged, and write down what each reaches."""
    watcher = Watcher()
    sys.meta_path.insert(0, Handed(watcher.noting))
    code = int(pytest.main([*PYTEST, "--tb=short", *files], plugins=[watcher]))
    names = [name for name, module in sorted(sys.modules.items()) if library(module)]
    found = {"reached": watcher.reached, "seconds": watcher.seconds, "libraries": names}
    report.write_text(json.dumps(found), encoding="utf-8")
    return code


def library(module: ModuleType) -> bool:
    file = getattr(module, "__file__", None) or ""
    return "site-packages" in file and "." not in module.__name__ and "wortline" not in file


def judge(change: Change | None, tests: Sequence[str]) -> int:
    """Run the tests with the change in place; return 0 if none of them noticed."""
    if change:
        changed = compile(change.source(), path_of(change.module), "exec")
        sys.meta_path.insert(0, Handed(lambda _: changed, only=change.module))
    # collecting takes longest: the files that speak of the module come first, one by one
    files = list(dict.fromkeys(test.split("::")[0] for test in tests))
    near = [file for file in files if change and change.module in spoken_of(file)]
    rest = [file for file in files if file not in near]
    plugins = [Chosen(tests)] if files != list(tests) else []
    for some in [*([file] for file in near), rest]:
        options = ["-x", "--tb=no", *PYTEST, *some]
        if some and (code := int(pytest.main(options, plugins=plugins))):
            return code
    return 0


@cache
def spoken_of(file: str) -> set[str]:
    return science_in((ROOT / file).read_text(encoding="utf-8"))


@dataclass
class Survey:
    """Which tests reach which function, the quickest first."""

    reached: dict[str, list[str]]
    seconds: dict[str, float]

    def tests_for(self, change: Change) -> list[str]:
        name = f"{change.module}.{change.function}"
        chosen = [test for test, names in self.reached.items() if name in names]
        if not chosen:
            # tables, defaults of fields and what is called on import: any test of the module, and
            # those that may read a table without a call
            reach = importers(change.module)
            speaking = set(test_files({change.module}))
            chosen = [
                test
                for test, names in self.reached.items()
                if test.split("::")[0] in speaking
                or any(name.split(".")[0] in reach for name in names)
            ]
        return sorted(chosen, key=lambda test: (self.seconds[test], test))


class Nearby:
    """Without a survey: the files that speak of a changed module, whole and in their order."""

    def __init__(self) -> None:
        self.seconds: dict[str, float] = defaultdict(lambda: 10.0)

    def tests_for(self, change: Change) -> list[str]:
        return test_files({change.module})


def test_files(named: set[str] | None = None) -> list[str]:
    """Return the test files; with module names, only those that import one of these."""
    paths = [path for folder in TESTS for path in sorted((ROOT / folder).glob("test_*.py"))]
    files = [path.relative_to(ROOT).as_posix() for path in paths]
    return [file for file in files if named is None or named & spoken_of(file)]


def take_survey(files: Sequence[str]) -> Survey:
    """Run the tests unchanged in a child, then load their libraries once for all the children."""
    with tempfile.TemporaryDirectory() as folder:
        report = Path(folder) / "survey.json"
        _, status = os.waitpid(child(lambda: survey(report, files), 1800, silent=False), 0)
        if status:
            sys.exit("The tests do not pass as they are: mend that first.")
        found = json.loads(report.read_text(encoding="utf-8"))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        for name in found["libraries"]:
            with contextlib.suppress(ImportError):
                importlib.import_module(name)
    return Survey(found["reached"], found["seconds"])


def unnoticed(chosen: Sequence[Change], known: Survey | Nearby) -> list[Change]:
    """Try each change, as many at a time as there are cores; return those that survived."""
    survived: list[Change] = []
    running: dict[int, Change] = {}
    queue = list(chosen)
    started = time.monotonic()
    while queue or running:
        while queue and len(running) < (os.cpu_count() or 1):
            change = queue.pop(0)
            tests = known.tests_for(change)
            if not tests:
                survived.append(change)
                continue
            limit_s = 10 + 10 * sum(known.seconds[test] for test in tests)
            running[child(lambda c=change, t=tests: judge(c, t), limit_s)] = change  # type: ignore[misc]
        if running:
            pid, status = os.wait()
            change = running.pop(pid)
            # a broken import, a failed test and a child that hangs are all noticed
            if status == 0:
                survived.append(change)
                print(f"unnoticed so far: {change.key()}", flush=True)
        done = len(chosen) - len(queue) - len(running)
        if done and done % 100 == 0:
            print(f"{done} of {len(chosen)} changes, {time.monotonic() - started:.0f} s")
    return sorted(survived, key=lambda c: (c.module, c.line, c.operator, c.occurrence))


def drawn(known: Sequence[Change], size: int, seed: int, excused: dict[str, str]) -> list[Change]:
    """Draw a sample of those that have no reason; an edit elsewhere in science draws no other."""
    by_lot = sorted(known, key=lambda change: change.lot(seed))
    return list(islice((change for change in by_lot if change.key() not in excused), size))


def reasons() -> dict[str, str]:
    """Return the reasons of docs/doubt.md by the change that they excuse."""
    line = re.compile(r"^- (`[^`]+`: `[^`]*` -> `[^`]*`): (.*\S)\s*$", re.MULTILINE)
    text = REASONS.read_text(encoding="utf-8") if REASONS.exists() else ""
    return dict(line.findall(text))


def main(words: Sequence[str] | None = None) -> int:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    parser.add_argument("modules", nargs="*", help="science modules; all of them if none is named")
    parser.add_argument("--sample", type=int, metavar="N", help="try only N changes, drawn by seed")
    parser.add_argument("--seed", type=int, default=45, help="seed of the sample")
    asked = parser.parse_args(words)
    if not hasattr(os, "fork"):
        print("doubt needs an operating system that forks: Linux or macOS.", file=sys.stderr)
        return 1
    os.chdir(ROOT)
    # the same examples every time, and no time spent on making a failing one small
    phases = (hypothesis.Phase.explicit, hypothesis.Phase.generate)
    hypothesis.settings.register_profile("doubt", derandomize=True, database=None, phases=phases)
    hypothesis.settings.load_profile("doubt")
    unknown = set(asked.modules) - set(modules())
    if unknown:
        parser.error(f"no science module is called {', '.join(sorted(unknown))}")
    excused = reasons()
    chosen = [change for name in asked.modules or modules() for change in changes_of(name)]
    whole = len(chosen)
    if asked.sample is not None:
        chosen = drawn(chosen, asked.sample, asked.seed, excused)
    if not chosen:
        print("There is nothing to change here.")
        return 0
    survived = chosen
    if asked.sample is not None:
        # these notice most, and the suite shows by itself that they pass: only the rest is surveyed
        survived = unnoticed(chosen, Nearby())
    known = take_survey(test_files()) if survived else Survey({}, {})
    survived = unnoticed(survived, known)
    return tell(survived, known, len(chosen), whole, asked.sample is None and not asked.modules)


def tell(survived: list[Change], known: Survey, tried: int, whole: int, complete: bool) -> int:
    """Print what nobody noticed and has no reason; return 1 if there is any."""
    excused = reasons()
    keys = [change.key() for change in survived]
    open_: dict[str, list[str]] = defaultdict(list)
    for change, key in zip(survived, keys, strict=True):
        if key not in excused:
            why = "no test reaches it" if not known.tests_for(change) else "unnoticed"
            open_[change.module].append(f"- {key}: {why}")
    for lines in open_.values():
        print("\n".join(dict.fromkeys(lines)))
    if complete and (stale := excused.keys() - set(keys)):
        print("These lines of docs/doubt.md excuse nothing any more and can go:")
        print("\n".join(f"- {key}" for key in sorted(stale)))
    count = sum(map(len, open_.values()))
    print(
        f"{tried} of {whole} changes tried: {tried - len(survived)} noticed, "
        f"{len(survived) - count} unnoticed with a reason, {count} unnoticed without."
    )
    return 1 if count else 0


if __name__ == "__main__":
    sys.exit(main())
