"""Change a value inside a document and leave every other letter of it as the person typed it.

The parser says from where to where a value reaches; only that stretch of the text is written anew.
Comments, order, quotes and line ends stay, the mark at the start of a file too.
"""

import io
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from wortline.app.files import File, opened
from wortline.documents.kinds import DocumentKind
from wortline.documents.loading import Document
from wortline.documents.reading import read
from wortline.errors import DocumentRefused, WortlineError

Path = tuple[str | int, ...]
_PLAIN = re.compile(r"(?:[A-Za-z0-9]|[+-]?[0-9.])(?:[A-Za-z0-9.+/% ()²³µ-]*[A-Za-z0-9.%)²³])?")
_ENDS = re.compile(r"\r\n|\n|\r")
MARK = "\ufeff"
"""What some editors write before the first letter of a file."""


class Unchangeable(WortlineError):
    """A place in a document that cannot be changed from outside."""


@dataclass(frozen=True)
class Edit:
    """New values for fields of one mapping; None takes a field out."""

    at: Path
    values: Mapping[str, str | None]


@dataclass(frozen=True)
class Splice:
    """A stretch of a text and what takes its place."""

    start: int
    end: int
    text: str


def changed(text: str, edits: Sequence[Edit]) -> str:
    """Return a document's text with fields of it changed, one edit after the other.

    Raises
    ------
    Unchangeable
        If a place to change is not there.
    DocumentRefused
        If the text cannot be read.
    """
    plain = plain_ends(text)
    if plain != text:
        return _changed_inside(text, plain, edits)
    if len(edits) > 1 and (apart := _apart(text, edits)) is not None:
        return _spliced(text, apart)
    for edit in edits:
        text = _spliced(text, _splices(text, edit))
    return text


def plain_ends(text: str) -> str:
    """Return a text as the parser counts it: no mark before it, one letter at each line's end."""
    return text.removeprefix(MARK).replace("\r\n", "\n").replace("\r", "\n")


def with_ends_of(text: str, before: str) -> str:
    """Return a text as a browser sends it, with the line ends and the mark it had before."""
    mark = MARK if before.startswith(MARK) else ""
    return mark + plain_ends(text).replace("\n", _usual_end(before))


def _usual_end(text: str) -> str:
    ends = _ENDS.findall(text)
    return max(("\n", "\r\n", "\r"), key=ends.count)


def _changed_inside(text: str, plain: str, edits: Sequence[Edit]) -> str:
    """Return a text changed, where every line that stays keeps the end it has."""
    mark = MARK if text.startswith(MARK) else ""
    ends = _ENDS.findall(text)
    usual = _usual_end(text)
    for edit in edits:
        splices = _splices(plain, edit)
        for each in sorted(splices, key=lambda each: each.start, reverse=True):
            # What begins with an end comes after the end of the line it is added to.
            after = each.start == each.end and each.text.startswith("\n")
            first, last = (plain.count("\n", 0, place) + after for place in (each.start, each.end))
            ends[first:last] = [usual] * each.text.count("\n")
        plain = _spliced(plain, splices)
    lines = plain.split("\n")
    return mark + "".join(line + end for line, end in zip(lines, [*ends, ""], strict=True))


def _apart(text: str, edits: Sequence[Edit]) -> list[Splice] | None:
    """Return the splices of all edits in the one text, which is read once; None if any two meet."""
    splices = sorted((s for edit in edits for s in _splices(text, edit)), key=lambda s: s.start)
    if any(after.start <= before.end for before, after in pairwise(splices)):
        return None
    return splices


def opened_again(name: str, text: str, kind: DocumentKind) -> Document:
    """Return the document of a text; the same text is read once.

    Raises
    ------
    DocumentRefused
        With every problem of it.
    """
    return _opened(name, text, kind)


@lru_cache(maxsize=256)
def _opened(name: str, text: str, kind: DocumentKind) -> Document:
    return opened(File(name, text.encode("utf-8")), kind)


@lru_cache(maxsize=64)
def _tree(text: str) -> Node:
    # What is read here has passed the door: no anchors, no tags, one document.
    read("document", text)
    found: Node = YAML(typ="safe", pure=True).compose(io.StringIO(text))
    return found


def _spliced(text: str, splices: Sequence[Splice]) -> str:
    for each in sorted(splices, key=lambda each: each.start, reverse=True):
        text = text[: each.start] + each.text + text[each.end :]
    return text


def _splices(text: str, edit: Edit) -> list[Splice]:
    node, missing = _reached(_tree(text), edit.at)
    if missing:
        kept = {key: value for key, value in edit.values.items() if value is not None}
        if not kept:
            return []
        inside = ", ".join(f"{key}: {scalar(value)}" for key, value in kept.items())
        for key in reversed(missing[1:]):
            inside = f"{key}: {{{inside}}}"
        return [_added(text, node, f"{missing[0]}: {{{inside}}}")]
    return _in_mapping(text, node, edit.values)


def _reached(node: Node, path: Path) -> tuple[MappingNode, list[str]]:
    """Return the mapping at a path, or the deepest one on the way and the keys still missing."""
    for place, key in enumerate(path):
        found = _child(node, key)
        if found is None:
            missing = path[place:]
            if not isinstance(node, MappingNode) or not all(isinstance(k, str) for k in missing):
                raise Unchangeable(f"there is no `{'.'.join(map(str, path))}` in this document")
            return node, [str(each) for each in missing]
        node = found
    if not isinstance(node, MappingNode):
        raise Unchangeable(f"`{'.'.join(map(str, path))}` has no fields in this document")
    return node, []


def _child(node: Node, key: str | int) -> Node | None:
    if isinstance(key, int):
        inside = isinstance(node, SequenceNode) and 0 <= key < len(node.value)
        return node.value[key] if inside else None
    if not isinstance(node, MappingNode):
        return None
    return next((value for name, value in node.value if name.value == key), None)


def _in_mapping(text: str, node: MappingNode, values: Mapping[str, str | None]) -> list[Splice]:
    pairs = {name.value: (name, value) for name, value in node.value}
    gone = [key for key, value in values.items() if value is None and key in pairs]
    new = {k: v for k, v in values.items() if v is not None and k not in pairs}
    splices = [
        _replaced(text, pairs[key][1], value)
        for key, value in values.items()
        if value is not None and key in pairs
    ]
    # What is new stands where the first of what goes stood, so that a comment stays with it.
    if gone and new:
        name, value = pairs[gone.pop(0)]
        parts = [f"{key}: {scalar(typed)}" for key, typed in new.items()]
        between = ", " if node.flow_style else "\n" + " " * name.start_mark.column
        splices.append(Splice(name.start_mark.index, _end(text, value), between.join(parts)))
        new = {}
    splices += [_taken_out(text, node, key) for key in gone]
    if new:
        splices.append(
            _added(text, node, *(f"{key}: {scalar(typed)}" for key, typed in new.items()))
        )
    return splices


def _replaced(text: str, node: Node, value: str) -> Splice:
    """Replace a value; of one with its spread and trust, only the value inside."""
    inner = _child(node, "value")
    if inner is not None:
        node = inner
    end = _end(text, node)
    if isinstance(node, ScalarNode) and node.style in ("'", '"'):
        return Splice(node.start_mark.index, end, quoted(value))
    return Splice(node.start_mark.index, end, scalar(value))


def _end(text: str, node: Node) -> int:
    """Return where a value ends; a block ends where the parser has seen the next thing begin."""
    end, start = int(node.end_mark.index), int(node.start_mark.index)
    # Parts in braces and brackets end where they are closed.
    if isinstance(node, ScalarNode) or getattr(node, "flow_style", False):
        return end
    stretch = text[start:end].split("\n")
    while len(stretch) > 1 and (not stretch[-1].strip() or stretch[-1].lstrip().startswith("#")):
        stretch.pop()
    return start + len("\n".join(stretch))


def _taken_out(text: str, node: MappingNode, key: str) -> Splice:
    place = next(i for i, (name, _) in enumerate(node.value) if name.value == key)
    name, value = node.value[place]
    start, end = name.start_mark.index, _end(text, value)
    if node.flow_style:
        if place + 1 < len(node.value):
            return Splice(start, node.value[place + 1][0].start_mark.index, "")
        if place:
            return Splice(_end(text, node.value[place - 1][1]), end, "")
        return Splice(start, end, "")
    line_start = text.rfind("\n", 0, start) + 1
    line_end = text.find("\n", end)
    line_end = len(text) if line_end < 0 else line_end
    rest = text[end:line_end].strip()
    indent = text[line_start:start]
    if indent.strip():
        raise Unchangeable(f"`{key}` begins an entry; change it in the text")
    # A comment is the person's own; it stays on its line.
    kept = f"{indent}{rest}\n" if rest.startswith("#") else ""
    return Splice(line_start, min(line_end + 1, len(text)), kept)


def _added(text: str, node: MappingNode, *pairs: str) -> Splice:
    """Add fields at the end of a mapping, in the way it is written."""
    if not node.value:
        raise Unchangeable("there is nothing yet to add to; change it in the text")
    last = node.value[-1][1]
    end = _end(text, last)
    if node.flow_style:
        return Splice(end, end, "".join(f", {each}" for each in pairs))
    line_end = text.find("\n", end)
    line_end = len(text) if line_end < 0 else line_end
    indent = " " * node.value[0][0].start_mark.column
    return Splice(line_end, line_end, "".join(f"\n{indent}{each}" for each in pairs))


def scalar(value: str) -> str:
    """Return a value as it can stand in braces or on a line; in quotes where it has to."""
    return value if _PLAIN.fullmatch(value) else quoted(value)


def quoted(value: str) -> str:
    """Return a text in quotes, on one line."""
    return "'" + " ".join(value.split()).replace("'", "''") + "'"


def value_at(text: str, path: Path) -> Any:
    """Return what stands at a path of a text, as typed; None if nothing does."""
    tree: Any = read("document", text).tree
    for key in path:
        try:
            tree = tree[key]
        except (KeyError, IndexError, TypeError):
            return None
    return tree


__all__ = [
    "DocumentRefused",
    "Edit",
    "Unchangeable",
    "changed",
    "opened_again",
    "plain_ends",
    "value_at",
    "with_ends_of",
]
