"""Write every page that is made from something else; `--check` only says which are not up to date.

Run by `python3 dev.py docs`.
"""

import json
import sys
from collections.abc import Callable, Iterator
from dataclasses import MISSING, fields
from pathlib import Path
from types import UnionType
from typing import Any, Literal, Union, get_args, get_origin

import click

from wortline.app.sourcing import sources_text
from wortline.cli import main as wortline
from wortline.documents.described import described
from wortline.lot.events import EVENTS, Change, Entry, Steady
from wortline.lot.record import hints

ROOT = Path(__file__).parents[1]
SCHEMAS = ("chill-1", "plan-1", "problems-1", "rest-1", "why-1")


def commands_page() -> str:
    """What `--help` says of every command."""
    parts = ["# The command line\n", "Made from `wortline --help`; a test compares it.\n"]
    top = click.Context(wortline, info_name="wortline", **wortline.context_settings)
    parts.append(_help("wortline", wortline, None))
    for name in wortline.list_commands(top):
        command = wortline.get_command(top, name)
        assert command is not None
        parts.append(_help(f"wortline {name}", command, top))
        if isinstance(command, click.Group):
            group = click.Context(command, info_name=name, parent=top)
            for inner in command.list_commands(group):
                part = command.get_command(group, inner)
                assert part is not None
                parts.append(_help(f"wortline {name} {inner}", part, group))
    return "\n".join(parts)


def _help(title: str, command: click.Command, parent: click.Context | None) -> str:
    settings = {**command.context_settings, "terminal_width": 80}
    name = title.rpartition(" ")[2]
    context = click.Context(command, info_name=name, parent=parent, **settings)
    return f"## {title}\n\n```text\n{command.get_help(context)}\n```\n"


def schema_page(name: str) -> str:
    """A JSON schema as a table: each key, its type and what it holds."""
    path = ROOT / "docs" / "reference" / f"{name}.schema.json"
    schema = json.loads(path.read_text(encoding="utf-8"))
    lines = [
        f"# {schema['title']}\n",
        f"Made from [{path.name}]({path.name}); a test compares it.\n",
        f"{schema['description']}\n",
        "A list's entries are shown as `[]`, any key as `*`. Units stand in brackets.\n",
        "| key | type | what it holds |",
        "|---|---|---|",
    ]
    rows = (f"| `{key}` | {kind} | {what} |" for key, kind, what in _rows(schema, ""))
    return "\n".join([*lines, *rows]) + "\n"


def _rows(schema: dict[str, Any], path: str) -> Iterator[tuple[str, str, str]]:
    under = {
        f"{path}.{key}".lstrip("."): each for key, each in schema.get("properties", {}).items()
    }
    if isinstance(schema.get("additionalProperties"), dict):
        under[f"{path}.*"] = schema["additionalProperties"]
    if "items" in schema:
        under[f"{path}[]"] = schema["items"]
    for key, each in under.items():
        yield key, _kind(each), each["description"]
        yield from _rows(each, key)


def _kind(schema: dict[str, Any]) -> str:
    words = [schema["const"]] if "const" in schema else schema.get("enum")
    if words:
        return ", ".join(f"`{json.dumps(word)}`" for word in words)
    kind = schema["type"]
    return kind if isinstance(kind, str) else " or ".join(kind)


def lot_page() -> str:
    """The record of a lot: what an entry has, and every kind of event."""
    parts = [
        "# lot/1: the record of a lot\n",
        "Made from the events themselves; a test compares it.\n",
        "Every entry is one line of JSON with `schema: lot/1`. A field that has its usual value may"
        " be left out; a field that is not listed is refused. Times `_ms` are milliseconds since"
        " 1970 in universal time, `_min` minutes.\n",
        "## An entry\n",
        _paragraph(Entry),
        _field_table(Entry),
        "## Readings of a steady clock\n",
        _paragraph(Steady),
        _field_table(Steady),
        "## A change of the day\n",
        _paragraph(Change),
        _field_table(Change),
    ]
    for kind, event in EVENTS.items():
        parts += [f"## `{kind}`\n", _paragraph(event), _field_table(event)]
    return "\n".join(parts)


def _paragraph(kind: type) -> str:
    return " ".join((kind.__doc__ or "").split()) + "\n"


def _field_table(kind: Any) -> str:
    rows = ["| field | type | usually |", "|---|---|---|"]
    for each in fields(kind):
        usual = "" if each.default is MISSING else _usual(each.default)
        rows.append(f"| `{each.name}` | {_type_words(hints(kind)[each.name])} | {usual} |")
    return "\n".join(rows) + "\n"


def _usual(value: Any) -> str:
    return "no change" if isinstance(value, Change) else f"`{json.dumps(value)}`"


def _type_words(hint: Any) -> str:
    if get_origin(hint) is Literal:
        return ", ".join(f"`{word}`" for word in get_args(hint))
    if get_origin(hint) in (Union, UnionType):
        options = get_args(hint)
        if type(None) not in options:
            return "an event"
        return " or ".join(_type_words(each) for each in options)
    words = {str: "text", float: "number", int: "whole number", bool: "true or false",
             type(None): "null", Steady: "a reading of a steady clock",
             Change: "a change of the day"}  # fmt: skip
    return words[hint]


PAGES: dict[str, Callable[[], str]] = {
    "docs/sources.md": lambda: sources_text() + "\n",
    "docs/reference/cli.md": commands_page,
    "docs/reference/documents.md": described,
    "docs/reference/lot-1.md": lot_page,
    **{f"docs/reference/{name}.md": lambda name=name: schema_page(name) for name in SCHEMAS},  # type: ignore[misc]
}


def main(words: list[str]) -> int:
    """Write the pages, or compare them."""
    stale = []
    for name, made in PAGES.items():
        path, text = ROOT / name, made()
        if not path.exists() or path.read_text(encoding="utf-8") != text:
            stale.append(name)
            if "--check" not in words:
                path.write_text(text, encoding="utf-8", newline="\n")
    if "--check" in words and stale:
        print(f"Not up to date: {', '.join(stale)}. Run: python3 dev.py docs")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
