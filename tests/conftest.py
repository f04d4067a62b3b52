"""Applies to every test: under WORTLINE_STRICT=1 a skipped test is a failed one.

Elsewhere a run ends with what it could not run, and why.
`services` brings PostgreSQL and a browser.

`papers` gives the tests of the plan their documents: plain mappings with changes by dotted field.
"""

import copy
import json
import os
from collections import Counter
from collections.abc import Generator, Iterable
from dataclasses import dataclass
from functools import cache
from typing import Any

import pytest
from hypothesis import settings
from ruamel.yaml import YAML

pytest_plugins = ("services",)
# A deadline reads the real clock: a busy machine would fail a test that is right.
settings.register_profile("no real clock", deadline=None)
# What decides on a change draws the same examples every time; elsewhere each run looks anew.
settings.register_profile("same again", settings.get_profile("no real clock"), derandomize=True)

STRICT = os.environ.get("WORTLINE_STRICT") == "1"
settings.load_profile("same again" if STRICT else "no real clock")


def _reason(report: Any) -> str:
    told = report.longrepr[2] if isinstance(report.longrepr, tuple) else report.longrepr
    return str(told).removeprefix("Skipped: ")


def _refuse_skip(report: Any) -> Any:
    """Turn a skip into a failure that keeps its reason; an expected failure stays what it is."""
    if STRICT and report.skipped and not hasattr(report, "wasxfail"):
        report.outcome = "failed"
        report.longrepr = f"skipped, which WORTLINE_STRICT forbids: {_reason(report)}"
    return report


def pytest_terminal_summary(terminalreporter: Any) -> None:
    """Say what could not run here, and why."""
    skipped = Counter(_reason(report) for report in terminalreporter.stats.get("skipped", ()))
    for reason, count in skipped.items():
        terminalreporter.line(f"Could not run here: {count} test{'s'[: count > 1]}: {reason}.")


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport() -> Generator[None, Any, Any]:
    return _refuse_skip((yield))


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report() -> Generator[None, Any, Any]:
    return _refuse_skip((yield))


RIG = {
    "schema": "rig/1",
    "name": "Test shed",
    "kettle": {"diameter": "38 cm", "brim": "45 L", "left_behind": "1.2 L"},
    "element": {"power": "3.0 kW", "efficiency": "95 %"},
    "boil_off": "2.9 L/h",
    "mash": {"kind": "basket", "grain_holds": "0.90 L/kg", "efficiency": "76 %"},
    "hold_up": "0.7 L",
    "hops_hold": {"free": "9 L/kg", "contained": "5 L/kg"},
    "containment": {"bag": "5 %", "mesh": "10 %"},
}
RECIPE = {
    "schema": "recipe/1",
    "name": "Test pale",
    "batch": "23 L",
    "grist": [
        {"malt": "pale", "mass": "4.80 kg", "extract": "79 %"},
        {"malt": "munich", "mass": "0.50 kg", "extract": "77 %"},
    ],
    "mash": {"rests": [{"at": "66 C", "for": "60 min"}], "water": "all"},
    "boil": {"for": "60 min", "lid": "off"},
    "hops": [
        {"hop": "Magnum", "mass": "22 g", "alpha": "13 %", "form": "pellets", "when": "60 min"},
        {"hop": "Saaz", "mass": "40 g", "alpha": "3.8 %", "form": "pellets", "when": "heat-off"},
        {"hop": "Saaz", "mass": "35 g", "alpha": "3.8 %", "form": "pellets",
         "when": "10 min into rest"},
    ],
    "whirlpool": {"pump": "4 min", "rest": "18 min", "lid": "off"},
    "chill": {"to": "18 C", "at": "2.5 K/min"},
    "yeast": {"kind": "clean American ale"},
}  # fmt: skip
DAY = {"schema": "day/1", "air": "16 C", "tap": "14 C", "grain": "12 C", "elevation": "220 m"}
FEW = 16


@dataclass(frozen=True)
class Papers:
    """Recipe, rig and day as plain mappings; every change makes new ones."""

    recipe: dict[str, Any]
    rig: dict[str, Any]
    day: dict[str, Any] | None

    def but(self, changes: dict[str, Any]) -> "Papers":
        """The same with fields changed, as `recipe.hops.0.when`; None takes a field out."""
        found = copy.deepcopy(self)
        for dotted, value in changes.items():
            document, *path, last = dotted.split(".")
            place = getattr(found, document)
            for part in path:
                place = place[int(part) if part.isdigit() else part]
            key = int(last) if last.isdigit() else last
            if value is None:
                place.pop(key, None) if isinstance(place, dict) else place.pop(key)
            else:
                place[key] = value
        return found

    def changed(self, changes: Iterable[dict[str, str]]) -> "Papers":
        """The same with the changes that a can't-because proposes, their values typed as text."""
        found = self
        for change in changes:
            text = change["value"]
            value = YAML(typ="safe").load(text) if text.startswith("{") else text
            found = found.but({f"{change['document']}.{change['field']}": value})
        return found

    def texts(self) -> tuple[str, str, str | None]:
        """The three documents as text; JSON is YAML."""
        recipe, rig = json.dumps(self.recipe), json.dumps(self.rig)
        return recipe, rig, None if self.day is None else json.dumps(self.day)

    def planned(self, method: str = "kinetic", system: str = "metric") -> Any:
        """The plan by the front door, with its whole ensemble."""
        return _planned(*self.texts(), method, system)

    def quick(self, method: str = "kinetic") -> dict[str, Any]:
        """The report of the same plan with a handful of members, where ranges do not matter."""
        report: dict[str, Any] = self.plain(method)[1]
        return report

    def plain(self, method: str = "kinetic") -> Any:
        """Plan and report with a handful of members."""
        return _plain(*self.texts(), method)


def _files(texts: tuple[str, str, str | None]) -> list[Any]:
    from wortline.app.planning import File

    names = ("recipe.yaml", "rig.yaml", "day.yaml")
    return [
        None if text is None else File(name, text.encode())
        for name, text in zip(names, texts, strict=True)
    ]


@cache
def _planned(recipe: str, rig: str, day: str | None, method: str, system: str) -> Any:
    from wortline.app.planning import plan_brew

    return plan_brew(*_files((recipe, rig, day)), method, system)


@cache
def _plain(recipe: str, rig: str, day: str | None, method: str) -> Any:
    from wortline.app.resolve import resolve
    from wortline.app.tables import normal_draws, toml
    from wortline.documents.loading import load
    from wortline.plan.plan import plan
    from wortline.plan.report import report

    texts = (recipe, rig, day)
    documents = [file and load(file.name, file.content) for file in _files(texts)]
    resolved = resolve(*documents)
    worked = plan(
        resolved.case, resolved.aim, normal_draws()[:FEW], toml("trust.toml"), method, "metric"
    )
    return worked, report(worked, {})


@pytest.fixture(scope="session")
def papers() -> Papers:
    """A recipe, a rig and a day that fit together, without an aim."""
    return Papers(copy.deepcopy(RECIPE), copy.deepcopy(RIG), copy.deepcopy(DAY))
