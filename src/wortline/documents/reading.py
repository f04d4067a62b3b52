"""YAML 1.2 to a tree of plain dict, list and str, with the line of every entry.

Every scalar stays the text that was typed; what a person could not have meant, or what could be
read in two ways, is refused here.
"""

import io
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from wortline.documents.kinds import MOST_BYTES
from wortline.errors import DocumentRefused, Problem
from wortline.units import short

MOST_DEPTH = 20
MOST_ITEMS: Mapping[str, tuple[int, str]] = MappingProxyType(
    {"hops": (200, "doses of hops"), "grist": (100, "malts")}
)
MOST_ENTRIES = 10_000
FREE_TEXT = frozenset({"name", "origin"})

_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff\u2028\u2029]")

Path = tuple[str | int, ...]
Tree = dict[str, Any]


@dataclass
class Source:
    """A document as read: its tree, the line of each path, and what was already refused."""

    file: str
    tree: Tree
    lines: dict[Path, int]
    problems: list[Problem] = field(default_factory=list)

    def line(self, path: Path) -> int:
        """Return the line of a path, or of the nearest part above it."""
        while path and path not in self.lines:
            path = path[:-1]
        return self.lines.get(path, 1)


def dotted(path: Path) -> str:
    """Return a path as people write it: ``grist.0.mass``."""
    return ".".join(short(str(part)) for part in path)


def read(file: str, content: bytes | str) -> Source:
    """Return the tree of a YAML document.

    Raises
    ------
    DocumentRefused
        If the text cannot be read on; smaller faults are kept in the result's `problems`.
    """
    text = _text(file, content)
    return _Builder(file, text).build()


def _stop(file: str, line: int, text: str, path: Path = (), value: str = "") -> DocumentRefused:
    return DocumentRefused([Problem(file, line, dotted(path), value, "", "", text)])


def _text(file: str, content: bytes | str) -> str:
    raw = content.encode("utf-8", "surrogatepass") if isinstance(content, str) else content
    if len(raw) > MOST_BYTES:
        raise _stop(file, 1, f"the file is larger than {MOST_BYTES // 1024} kB; it is not read")
    if b"\0" in raw:
        line = raw[: raw.index(b"\0")].count(b"\n") + 1
        raise _stop(file, line, "the file has a NUL byte, so it is not a text file")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise _stop(file, line, "the file is not UTF-8 text; save it as UTF-8") from None
    return text.replace("\r\n", "\n").replace("\r", "\n")


class _Builder:
    """Walks the event stream of the parser and builds the tree."""

    def __init__(self, file: str, text: str) -> None:
        self.file = file
        self.source_lines = text.split("\n")
        self.source = Source(file, {}, {(): 1})
        self.events = self._events(text)
        self.documents = 0
        self.entries = 0

    def _events(self, text: str) -> Iterator[Any]:
        from ruamel.yaml import YAML
        from ruamel.yaml.error import YAMLError
        from ruamel.yaml.reader import ReaderError

        try:
            yield from YAML(typ="safe", pure=True).parse(io.StringIO(text))
        except ReaderError as error:
            line = text[: max(error.position, 0)].count("\n") + 1
            raise _stop(
                self.file, line, f"a control character (code {error.character}) stands here"
            ) from None
        except YAMLError as error:
            marks = [getattr(error, name, None) for name in ("problem_mark", "context_mark")]
            unclosed = "end of stream" in str(getattr(error, "problem", ""))
            mark = next((mark for mark in (marks[::-1] if unclosed else marks) if mark), None)
            line = mark.line + 1 if mark else 1
            raise _stop(self.file, line, self._damage(error, line)) from None
        except (ValueError, OverflowError, RecursionError):
            raise _stop(self.file, 1, "this is damaged YAML and cannot be read") from None

    def _damage(self, error: Exception, line: int) -> str:
        said = str(getattr(error, "problem", "") or "")
        shown = self.source_lines[line - 1] if line <= len(self.source_lines) else ""
        if "'\\t'" in said or shown.startswith("\t"):
            return "a tab stands where spaces are needed; indent with spaces"
        if "found undefined alias" in said:
            return "an alias (*) is not used here; write the value out"
        reasons = (
            ("mapping values are not allowed", "a `:` too many, or the indentation is off"),
            ("expected <block end>", "the indentation does not match the lines above"),
            ("could not find expected ':'", "a `:` is missing after a field's name"),
            ("expected ',' or", "a `,` or the closing bracket is missing"),
            ("while scanning a quoted", "a closing quote is missing"),
            ("cannot start any token", "a value cannot begin with this sign; put it in quotes"),
            ("unknown escape", "a `\\` stands in double quotes; use single quotes"),
            ("<stream end>", "something opened (a quote or bracket) is not closed"),
            ("unexpected end of stream", "something opened (a quote or bracket) is not closed"),
            ("end of stream", "something opened (a quote or bracket) is not closed"),
        )
        reason = next(
            (plain for key, plain in reasons if key in said), "a sign stands out of place"
        )
        return f"this is damaged YAML and cannot be read on from here: {reason}"

    def build(self) -> Source:
        for event in self.events:
            name = type(event).__name__
            if name == "DocumentStartEvent":
                self._start(event)
            elif name == "MappingStartEvent":
                self._plain(event, ())
                self.source.tree = self._mapping(event, (), 1)
            elif name in {"ScalarEvent", "SequenceStartEvent", "AliasEvent"}:
                raise self._shape(event)
        if not self.documents:
            raise _stop(self.file, 1, "the file is empty; `wortline new` writes one to start from")
        return self.source

    def _start(self, event: Any) -> None:
        self.documents += 1
        line = event.start_mark.line + 1
        if self.documents > 1:
            raise _stop(self.file, line, "a second document begins here; one file holds one")
        if event.tags:
            raise _stop(self.file, line, "tags are not used here; take the %TAG line out")
        if event.version and tuple(event.version) != (1, 2):
            raise _stop(self.file, line, "the %YAML line asks for another YAML than 1.2")

    def _shape(self, event: Any) -> DocumentRefused:
        self._plain(event, ())
        if type(event).__name__ == "ScalarEvent" and not event.value:
            return _stop(self.file, 1, "the file is empty; `wortline new` writes one to start from")
        return _stop(
            self.file,
            event.start_mark.line + 1,
            "a document is a list of `field: value` lines, beginning with `schema:`",
        )

    def _plain(self, event: Any, path: Path) -> None:
        line = event.start_mark.line + 1
        if type(event).__name__ == "AliasEvent":
            raise _stop(self.file, line, "an alias (*) is not used here; write the value out", path)
        if getattr(event, "anchor", None) is not None:
            raise _stop(self.file, line, "an anchor (&) is not used here; take it out", path)
        if event.tag is not None:
            raise _stop(self.file, line, "a tag (!) is not used here; take it out", path)
        self.entries += 1
        if self.entries > MOST_ENTRIES:
            raise _stop(self.file, line, f"more than {MOST_ENTRIES} entries; it is not read on")
        if _CONTROL.search(getattr(event, "value", "")):
            raise _stop(self.file, line, "a control character is written here", path)

    def _value(self, event: Any, path: Path, depth: int) -> Any:
        self._plain(event, path)
        name = type(event).__name__
        if name == "ScalarEvent":
            return event.value
        if depth >= MOST_DEPTH:
            raise _stop(
                self.file,
                event.start_mark.line + 1,
                f"more than {MOST_DEPTH} levels inside each other; it is not read on",
            )
        if name == "SequenceStartEvent":
            return self._sequence(path, depth + 1)
        return self._mapping(event, path, depth + 1)

    def _sequence(self, path: Path, depth: int) -> list[Any]:
        items: list[Any] = []
        most, noun = MOST_ITEMS.get(dotted(path), (0, ""))
        for event in self.events:
            if type(event).__name__ == "SequenceEndEvent":
                break
            line = event.start_mark.line + 1
            if most and len(items) == most:
                raise _stop(self.file, line, f"more than {most} {noun}; it is not read on", path)
            here = (*path, len(items))
            self.source.lines[here] = line
            items.append(self._value(event, here, depth))
        return items

    def _mapping(self, start: Any, path: Path, depth: int) -> Tree:
        found: Tree = {}
        last: tuple[str, Any] | None = None
        for event in self.events:
            if type(event).__name__ == "MappingEndEvent":
                break
            self._plain(event, path)
            line = event.start_mark.line + 1
            if type(event).__name__ != "ScalarEvent":
                raise _stop(self.file, line, "a field's name is a plain word", path)
            key = event.value
            value_event = next(self.events)
            if start.flow_style and last and self._splits_number(event, value_event, last):
                last = self._mend(found, last, event, path)
                continue
            here = (*path, key)
            if key in found:
                self._add(here, line, typed=key, text=f"`{short(key)}` is given twice; keep one")
                here = (*path, f"{key} (again)")
            self.source.lines[here] = line
            value = self._value(value_event, here, depth)
            self._question(here, value_event)
            if here[-1] == key:
                found[key] = value
            last = (key, value_event)
        return found

    def _add(self, path: Path, line: int, typed: str, text: str, allowed: str = "") -> None:
        self.source.problems.append(
            Problem(self.file, line, dotted(path), short(typed), allowed, "", text)
        )

    @staticmethod
    def _splits_number(event: Any, value: Any, last: tuple[str, Any]) -> bool:
        before = last[1]
        return (
            type(value).__name__ == type(before).__name__ == "ScalarEvent"
            and value.value == ""
            and value.style in {None, ""}
            and re.match("[0-9]", event.value) is not None
            and re.match(r"[+-]?[0-9]", before.value) is not None
        )

    def _mend(self, found: Tree, last: tuple[str, Any], event: Any, path: Path) -> tuple[str, Any]:
        """Complain of a comma that splits a number or a sum; go on with what was meant."""
        key, before = last
        number = before.value[-1].isdigit()
        typed = f"{before.value}{',' if number else ', '}{event.value}"
        meant = f"{before.value}{'.' if number else ' + '}{event.value}"
        advice = f"write {short(meant)}"
        if number and re.match("[0-9]{3}(?![0-9])", event.value):
            advice += f" or {short(before.value + event.value)}"
        elif number:
            advice = f"put {short(typed)} in quotes or {advice}"
        here = (*path, key)
        self._add(
            here,
            event.start_mark.line + 1,
            typed,
            f"a comma inside braces begins the next field; {advice}",
            meant,
        )
        found[key] = meant
        before.value = meant
        return key, before

    def _question(self, path: Path, event: Any) -> None:
        """Ask about a value that is empty, or that a comment may have cut short."""
        if type(event).__name__ != "ScalarEvent":
            return
        mark = event.end_mark
        plain = event.style in {None, ""}
        if not event.value.strip():
            self._add(
                path, self.source.lines[path], "", "has no value; write one or take the line out"
            )
        elif plain and path[-1] in FREE_TEXT:
            line = event.start_mark.line
            rest = self.source_lines[line].partition(event.value)[2]
            if mark.line == line and re.match(r"\s+#", rest):
                cut = short(event.value + rest.rstrip())
                self._add(
                    path,
                    line + 1,
                    cut,
                    f"`{cut}` has two readings: ` #` begins a comment, or belongs to the text; "
                    "put the text in quotes, or the comment on its own line",
                    f'"{cut}" or {event.value}',
                )
