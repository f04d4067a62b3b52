"""Reads the published values: one TOML file per subject, one `[[case]]` per printed figure.

A case has `function`, `inputs` (keyword arguments; a list is given as an array), `expected`,
`tolerance` (absolute, argued from the printed digits), `source` and `mark`:
    seen      read in the source named
    memory    known and cited, not read again
    derived   worked out by hand or by another program from the equations of the source
    practice  common practice, no source

A test module names its file in `CASES` and asks for the argument `case`:

    CASES = "extract.toml"

    def test_published(case, agrees):
        agrees(case, extract)
"""

import tomllib
from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
import pytest

HERE = Path(__file__).parent
FIELDS = {"function", "inputs", "expected", "tolerance", "source", "mark"}
MARKS = {"seen", "memory", "derived", "practice"}

Case = dict[str, Any]


def cases(file: str) -> list[Case]:
    """Return the cases of one file; a case that lacks a field or has an unknown mark is refused."""
    found: list[Case] = tomllib.loads((HERE / file).read_text(encoding="utf-8"))["case"]
    for case in found:
        assert case.keys() >= FIELDS, f"{file}: {case} lacks {FIELDS - case.keys()}"
        assert case["mark"] in MARKS, f"{file}: unknown mark {case['mark']!r}"
        assert case["source"].strip(), f"{file}: {case} names no source"
    return found


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Give every case of the module's file to each test that asks for `case`."""
    if "case" in metafunc.fixturenames:
        found = cases(metafunc.module.CASES)
        metafunc.parametrize("case", found, ids=[_name(case) for case in found])


def _name(case: Case) -> str:
    return f"{case['function']}({', '.join(f'{k}={v}' for k, v in case['inputs'].items())})"


@pytest.fixture
def agrees() -> Callable[..., None]:
    """Return a check that the function named in a case gives the printed value."""

    def check(case: Case, *modules: ModuleType) -> None:
        function = next(
            getattr(module, case["function"])
            for module in modules
            if hasattr(module, case["function"])
        )
        inputs = {
            name: np.array(value) if isinstance(value, list) else value
            for name, value in case["inputs"].items()
        }
        found = function(**inputs)
        np.testing.assert_allclose(
            np.asarray(found),
            case["expected"],
            rtol=0,
            atol=case["tolerance"],
            err_msg=f"{_name(case)} against {case['source']}",
        )

    return check
