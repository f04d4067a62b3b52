"""Where the numbers come from: the references in the docstrings of science, and of the tables."""

import inspect
import pkgutil
import re
from collections import Counter
from collections.abc import Callable, Iterator
from importlib import import_module
from typing import Any

import wortline.science
from wortline.app.tables import rows, toml

_SECTION = re.compile(r"^References\n-+\n(.*?)(?=\n\n\S[^\n]*\n-+\n|\Z)", re.DOTALL | re.MULTILINE)
TABLES = ("malts.csv", "hops.csv", "yeasts.csv", "oils.csv")


def references(function: Callable[..., Any]) -> str:
    """The sources a function names."""
    section = _SECTION.search(inspect.getdoc(function) or "")
    return "" if section is None else " ".join(section[1].split())


def subjects() -> Iterator[tuple[str, list[tuple[str, Callable[..., Any]]]]]:
    """Every science module by name, with its public functions."""
    for found in pkgutil.iter_modules(wortline.science.__path__):
        module = import_module(f"wortline.science.{found.name}")
        functions: list[tuple[str, Callable[..., Any]]] = [
            (name, member)
            for name, member in inspect.getmembers(module, inspect.isfunction)
            if member.__module__ == module.__name__ and not name.startswith("_")
        ]
        if functions:
            yield found.name, functions


def sources_text() -> str:
    """All sources in plain text (Markdown), by subject and function, then by table."""
    lines = ["# Where the numbers come from", "", "## Formulas"]
    for subject, functions in subjects():
        lines += ["", f"### {subject.replace('_', ' ')}", ""]
        for name, function in functions:
            lines.append(f"- `{name}`: {references(function)}")
    lines += ["", "## Typical values", ""]
    for table in TABLES:
        named = {row["name"]: f"{row['source']} ({row['mark']})" for row in rows(table).values()}
        lines += [
            f"- {table}, {count} rows: {source}"
            for source, count in sorted(Counter(named.values()).items())
        ]
    lines += [
        f"- `{name}` = {row['value']:g}, {row['trust']}: {row['source']}"
        for name, row in toml("typical.toml").items()
    ]
    return "\n".join(lines)
