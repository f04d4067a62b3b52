"""Applies to every test: under WORTLINE_STRICT=1 a skipped test is a failed one."""

import os
from collections.abc import Generator
from typing import Any

import pytest

STRICT = os.environ.get("WORTLINE_STRICT") == "1"


def _refuse_skip(report: Any) -> Any:
    """Turn a skip into a failure that keeps its reason; an expected failure stays what it is."""
    if STRICT and report.skipped and not hasattr(report, "wasxfail"):
        reason = report.longrepr[2] if isinstance(report.longrepr, tuple) else report.longrepr
        report.outcome = "failed"
        report.longrepr = f"skipped, which WORTLINE_STRICT forbids: {reason}"
    return report


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport() -> Generator[None, Any, Any]:
    return _refuse_skip((yield))


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report() -> Generator[None, Any, Any]:
    return _refuse_skip((yield))
