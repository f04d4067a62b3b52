"""Write every page that is made from something else; `--check` only says which are not up to date.

Run by `python3 dev.py docs`.
"""

import json
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import click

from wortline.app.sourcing import sources_text
from wortline.cli import main as wortline
from wortline.documents.described import described

ROOT = Path(__file__).parents[1]
SCHEMAS = ("plan-1", "problems-1", "why-1")


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


PAGES: dict[str, Callable[[], str]] = {
    "docs/sources.md": lambda: sources_text() + "\n",
    "docs/reference/cli.md": commands_page,
    "docs/reference/documents.md": described,
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
