"""Change science on purpose and list the changes that no published, law or oracle test noticed.

The changes are those of cosmic-ray: a sign, an operation, a comparison or a keyword is replaced.
Constants are changed by a twentieth, as one of its own shape. Each change lives only in a forked
child: a module finder hands out the changed source, and pytest runs the tests that reach the
changed function. Nothing on disk is touched.

A change that nobody noticed needs a line in docs/doubt.md that says why it may stay unnoticed:

    - `module.function`: `the line as it is` -> `the line as changed`: reason
"""

import argparse
import ast
import contextlib
import importlib
import importlib.util
import json
import os
import random
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
from importlib.abc import Loader
from importlib.machinery import ModuleSpec
from pathlib import Path
from types import CodeType, FrameType, ModuleType
from typing import Any

# One thread per child: the children fill the cores, and forks of a threaded parent are avoided.
os.environ["OPENBLAS_NUM_THREADS"] = "1"

import hypothesis
import pytest
from cosmic_ray.ast import ast_nodes, get_ast
from cosmic_ray.mutating import mutate_code
from cosmic_ray.operators import (
    binary_operator_replacement,
    boolean_replacer,
    comparison_operator_replacement,
    unary_operator_replacement,
)

ROOT = Path(__file__).resolve().parent.parent
SCIENCE = ROOT / "src" / "wortline" / "science"
REASONS = ROOT / "docs" / "doubt.md"
TESTS = ("tests/published", "tests/property", "tests/oracle")
MODULE_LEVEL = "<module>"

REPLACED = (
    (
        binary_operator_replacement,
        "ReplaceBinaryOperator",
        ("Add_Sub", "Sub_Add", "Mul_Div", "Div_Mul", "Pow_Mul"),
    ),
    (unary_operator_replacement, "ReplaceUnaryOperator", ("Delete_USub", "Delete_Not")),
    (
        comparison_operator_replacement,
        "ReplaceComparisonOperator",
        ("Lt_Gt", "LtE_Gt", "Gt_Lt", "GtE_Lt", "Eq_NotEq", "NotEq_Eq"),
    ),
    (boolean_replacer, "Replace", ("TrueWithFalse", "FalseWithTrue", "AndWithOr", "OrWithAnd")),
)


class Twentieth:
    """Make every constant a twentieth larger; small whole numbers become the next one.

    Adding one, as both kept tools do, is nothing to 1e11 and absurd for 1e-3.
    """

    def mutation_positions(self, node: Any) -> Iterator[tuple[Any, Any]]:
        if node.type == "number":
            yield node.start_pos, node.end_pos

    def mutate(self, node: Any, index: int) -> Any:
        value = ast.literal_eval(node.value)
        if isinstance(value, int):
            changed: float = max(value + 1, round(value * 1.05))
        else:
            changed = float(f"{value * 1.05:.6g}") if value else 1.0
        return type(node)(repr(changed), node.start_pos, prefix=node.prefix)


def operators() -> list[Any]:
    named: list[Any] = [Twentieth()]
    for module, stem, tails in REPLACED:
        joint = "" if module is boolean_replacer else "_"
        named += [getattr(module, f"{stem}{joint}{tail}")() for tail in tails]
    return named


OPERATORS = operators()


@dataclass(frozen=True)
class Change:
    """One change to one module: which operator, at which of the places where it applies."""

    module: str
    function: str
    line: int
    operator: int
    occurrence: int

    def source(self) -> str:
        text = (SCIENCE / f"{self.module}.py").read_text(encoding="utf-8")
        return str(mutate_code(text, OPERATORS[self.operator], self.occurrence))

    def key(self) -> str:
        before = (SCIENCE / f"{self.module}.py").read_text(encoding="utf-8").splitlines()
        was, becomes = before[self.line - 1].strip(), self.source().splitlines()[self.line - 1]
        return f"`{self.module}.{self.function}`: `{was}` -> `{becomes.strip()}`"


def modules() -> list[str]:
    return sorted(p.stem for p in SCIENCE.glob("*.py") if p.stem != "__init__")


def changes_of(module: str) -> list[Change]:
    """Return every change of one module, in a fixed order."""
    text = (SCIENCE / f"{module}.py").read_text(encoding="utf-8")
    spans = [
        (node.lineno, node.end_lineno or node.lineno, node.name)
        for node in ast.parse(text).body
        if isinstance(node, ast.FunctionDef | ast.ClassDef)
    ]
    nodes = list(ast_nodes(get_ast(text)))
    found = []
    for number, operator in enumerate(OPERATORS):
        places = [place for node in nodes for place in operator.mutation_positions(node)]
        for occurrence, ((line, _), _) in enumerate(places):
            inside = [name for first, last, name in spans if first <= line <= last]
            function = inside[0] if inside else MODULE_LEVEL
            found.append(Change(module, function, line, number, occurrence))
    return found


# -- running tests in children -------------------------------------------------------------------


class Watcher:
    """A pytest plugin that notes which science functions each test calls, and how long it takes."""

    def __init__(self) -> None:
        self.reached: dict[str, list[str]] = {}
        self.seconds: dict[str, float] = {}

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        seen: set[CodeType] = set()

        def note(frame: FrameType, event: str, _: object) -> None:
            if event == "call":
                seen.add(frame.f_code)

        started = time.perf_counter()
        sys.setprofile(note)
        try:
            return (yield)
        finally:
            sys.setprofile(None)
            self.seconds[item.nodeid] = time.perf_counter() - started
            self.reached[item.nodeid] = sorted(
                f"{Path(code.co_filename).stem}.{code.co_qualname.split('.')[0]}"
                for code in seen
                if Path(code.co_filename).parent == SCIENCE
            )


class Chosen:
    """A pytest plugin that keeps the chosen tests only, in the order given."""

    def __init__(self, tests: Sequence[str]) -> None:
        self.rank = {test: place for place, test in enumerate(tests)}

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        items[:] = [item for item in items if item.nodeid in self.rank]
        items.sort(key=lambda item: self.rank[item.nodeid])


class Changed(Loader):
    """A loader and its finder that hand out one science module with its source changed."""

    def __init__(self, module: str, text: str) -> None:
        self.module = module
        self.text = text
        self.file = str(SCIENCE / f"{module.rpartition('.')[2]}.py")

    def find_spec(self, name: str, path: object, target: object = None) -> ModuleSpec | None:
        if name != self.module:
            return None
        return importlib.util.spec_from_file_location(name, self.file, loader=self)

    def exec_module(self, module: ModuleType) -> None:
        exec(compile(self.text, self.file, "exec"), module.__dict__)


def child(work: Callable[[], int], limit_s: float, silent: bool = True) -> int:
    """Start work in a forked child that is ended after its time; return the child's id."""
    sys.stdout.flush()
    pid = os.fork()
    if pid:
        return pid
    code = 70
    try:
        signal.alarm(max(1, round(limit_s)))
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


def survey(report: Path) -> int:
    """Run every test once, unchanged, and write down what each reaches."""
    watcher = Watcher()
    there = [folder for folder in TESTS if (ROOT / folder).is_dir()]
    code = int(pytest.main([*PYTEST, "--tb=short", *there], plugins=[watcher]))
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
        changed = Changed(f"wortline.science.{change.module}", change.source())
        sys.meta_path.insert(0, changed)
    files = sorted({test.split("::")[0] for test in tests})
    return int(pytest.main(["-x", "--tb=no", *PYTEST, *files], plugins=[Chosen(tests)]))


def importers(module: str) -> set[str]:
    """Return the module and all science modules that import it, however indirectly."""
    uses = {
        name: set(
            re.findall(
                r"wortline\.science(?:\.| import )(\w+)",
                (SCIENCE / f"{name}.py").read_text(encoding="utf-8"),
            )
        )
        for name in modules()
    }
    found = {module}
    while more := {name for name, used in uses.items() if used & found} - found:
        found |= more
    return found


@dataclass
class Survey:
    """Which tests reach which function, the quickest first."""

    reached: dict[str, list[str]]
    seconds: dict[str, float]

    def tests_for(self, change: Change) -> list[str]:
        if change.function == MODULE_LEVEL:
            reach = importers(change.module)
            chosen = [
                test
                for test, names in self.reached.items()
                if any(name.split(".")[0] in reach for name in names)
            ]
        else:
            name = f"{change.module}.{change.function}"
            chosen = [test for test, names in self.reached.items() if name in names]
        return sorted(chosen, key=lambda test: (self.seconds[test], test))


def take_survey() -> Survey:
    """Run the tests unchanged in a child, then load their libraries once for all the children."""
    with tempfile.TemporaryDirectory() as folder:
        report = Path(folder) / "survey.json"
        _, status = os.waitpid(child(lambda: survey(report), 1800, silent=False), 0)
        if status:
            sys.exit("The tests do not pass as they are: mend that first.")
        found = json.loads(report.read_text(encoding="utf-8"))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        for name in found["libraries"]:
            with contextlib.suppress(ImportError):
                importlib.import_module(name)
    return Survey(found["reached"], found["seconds"])


def unnoticed(chosen: Sequence[Change], known: Survey) -> list[Change]:
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
        done = len(chosen) - len(queue) - len(running)
        if done and done % 100 == 0:
            print(f"{done} of {len(chosen)} changes, {time.monotonic() - started:.0f} s")
    return sorted(survived, key=lambda c: (c.module, c.line, c.operator, c.occurrence))


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
    chosen = [change for name in asked.modules or modules() for change in changes_of(name)]
    whole = len(chosen)
    if asked.sample is not None:
        chosen = random.Random(asked.seed).sample(chosen, min(asked.sample, whole))
    known = take_survey()
    survived = unnoticed(chosen, known)
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
