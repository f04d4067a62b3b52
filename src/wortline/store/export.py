"""Everything that is kept as a folder of plain files, and back again.

`revisions.jsonl` and `shelf.jsonl` have a line of JSON for each revision and each act; the texts
lie in `documents` as they were typed, byte for byte. `export.json` says how many lines there
must be. Further rooms add files of their own: `write` takes any parts, `lines_of` reads any lines.
"""

import json
import os
import re
import shutil
from collections.abc import Iterable, Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from wortline.app.ports import DocumentStore, Revision, ShelfAct
from wortline.documents.kinds import MOST_BYTES, DocumentKind
from wortline.errors import DocumentRefused, Problem, StoreTrouble
from wortline.store import chain

SCHEMA = "export/1"
REVISIONS, SHELF, CONTENTS = "revisions.jsonl", "shelf.jsonl", "export.json"
README = """This folder was written by `wortline export`. It holds everything that was kept.

documents/       every document as it was at each save, as you typed it (YAML)
revisions.jsonl  one line for each of them: number, kind, name, why, when, what it follows
shelf.jsonl      one line for each time a document was discarded or restored
lots.jsonl       one line for each lot: its name, when it began, the revisions of its plan
lots/            of each lot the day it goes by, and one line for every entry (lot/1)
export.json      what must be here

`wortline import FOLDER` takes it all back, as often as you like. To change a document, do not edit
it here: copy it out, edit the copy and use `wortline keep`.
"""
STAMP = r"^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{6}Z$"
MOST_LINE_BYTES = 64 * 1024

Part = tuple[str, bytes]


class Strict(BaseModel):
    """A line that has just the fields it was written with."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)


class _RevisionLine(Strict):
    number: int = Field(ge=1)
    document: int = Field(ge=1)
    kind: DocumentKind
    name: str
    why: str
    parent: int | None
    saved_at: str = Field(pattern=STAMP)
    key: str = Field(pattern=r"^[0-9a-f]{64}$")
    file: str = Field(pattern=r"^documents/[a-z0-9-]{1,80}\.yaml$")


class _ShelfLine(Strict):
    number: int = Field(ge=1)
    document: int = Field(ge=1)
    act: str = Field(pattern="^(discard|restore)$")
    at: str = Field(pattern=STAMP)


Line = TypeVar("Line", bound=BaseModel)


def document_parts(documents: DocumentStore) -> Iterator[Part]:
    """The files that hold all documents."""
    lines = []
    for each in documents.revisions():
        file = f"documents/{each.number:06}-{each.kind}{_plain(each.name)}.yaml"
        yield file, each.text.encode("utf-8")
        lines.append(
            {
                "number": each.number,
                "document": each.document,
                "kind": each.kind,
                "name": each.name,
                "why": each.why,
                "parent": each.parent,
                "saved_at": chain.stamp(each.saved_at),
                "key": each.key,
                "file": file,
            }
        )
    yield REVISIONS, as_lines(lines)
    # one kept and discarded since the first line was read comes with the next export
    seen = {line["document"] for line in lines}
    acts = [each for each in documents.shelf_acts() if each.document in seen]
    yield SHELF, as_lines({**vars(each), "at": chain.stamp(each.at)} for each in acts)


def _plain(name: str) -> str:
    """Enough of a name to know a file by, in letters that every system takes."""
    words = re.findall(r"[a-z0-9]+", name.lower())
    return f"-{'-'.join(words)[:40].rstrip('-')}" if words else ""


def as_lines(rows: Iterable[dict[str, Any]]) -> bytes:
    """Lines of JSON, readable by a person."""
    return b"".join(
        json.dumps(row, ensure_ascii=False, allow_nan=False).encode("utf-8") + b"\n" for row in rows
    )


def write(folder: Path, parts: Iterable[Part]) -> None:
    """Write parts into a new folder, whole or not at all.

    Raises
    ------
    StoreTrouble
        If there is something in the folder already, or it cannot be written.
    """
    try:
        if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
            raise StoreTrouble(f"{folder} is not empty and is left as it is; name a new folder.")
        unfinished = folder.with_name(f"{folder.name}.unfinished")
        unfinished.mkdir(parents=True)
        with ExitStack() as undo:
            undo.callback(shutil.rmtree, unfinished, ignore_errors=True)
            _fill(unfinished, parts)
            if folder.exists():
                folder.rmdir()
            unfinished.rename(folder)
            undo.pop_all()
    except FileExistsError:
        raise StoreTrouble(
            f"{folder}.unfinished is left over from another export; take it away first."
        ) from None
    except OSError as error:
        raise StoreTrouble(f"The export {folder} cannot be written: {why(error)}.") from None


def _fill(folder: Path, parts: Iterable[Part]) -> None:
    counts = {}
    for name, content in parts:
        _write(folder / name, content)
        if name.endswith(".jsonl"):
            counts[name] = content.count(b"\n")
    _write(folder / "README.txt", README.encode("utf-8"))
    told = {"schema": SCHEMA, "lines": counts}
    _write(folder / CONTENTS, json.dumps(told, indent=1).encode("utf-8") + b"\n")


def _write(path: Path, content: bytes) -> None:
    path.parent.mkdir(exist_ok=True)
    with path.open("wb") as stream:
        stream.write(content)
        stream.flush()
        os.fsync(stream.fileno())


def why(error: OSError) -> str:
    """What a system says to a file."""
    return (error.strerror or "the system does not say why").lower()


def read(folder: Path) -> tuple[list[Revision], list[ShelfAct]]:
    """All documents of an export.

    Raises
    ------
    DocumentRefused
        With every place where the folder is not what was written.
    """
    problems: list[Problem] = []
    counts = contents(folder)
    revisions = [
        revision
        for number, line in lines_of(folder, REVISIONS, _RevisionLine, counts, problems)
        if (revision := _revision(folder, number, line, problems))
    ]
    acts = [
        ShelfAct(
            line.number,
            line.document,
            "discard" if line.act == "discard" else "restore",
            chain.moment(line.at),
        )
        for _, line in lines_of(folder, SHELF, _ShelfLine, counts, problems)
    ]
    if problems:
        raise DocumentRefused(problems)
    return revisions, acts


def contents(folder: Path) -> dict[str, Any]:
    """How many lines each file of an export has."""
    path = folder / CONTENTS
    try:
        found = json.loads(path.read_bytes())
        schema, lines = found["schema"], dict(found["lines"])
    except OSError as error:
        text = f"cannot be read: {why(error)}; name a folder that `wortline export` wrote"
        raise DocumentRefused([problem(path, 0, text)]) from None
    except (ValueError, TypeError, KeyError):
        raise DocumentRefused([problem(path, 1, "this is damaged and cannot be read")]) from None
    if schema != SCHEMA:
        text = f"`{schema}` is newer than this Wortline knows, or no export; it reads {SCHEMA}"
        raise DocumentRefused([problem(path, 1, text)])
    return lines


def lines_of(
    folder: Path,
    name: str,
    model: type[Line],
    counts: dict[str, Any],
    problems: list[Problem],
) -> Iterator[tuple[int, Line]]:
    """The lines of a file with their numbers; what is wrong with one is added to `problems`."""
    path = folder / name
    try:
        content = path.read_bytes()
    except OSError as error:
        problems.append(problem(path, 0, f"cannot be read: {why(error)}"))
        return
    lines = content.split(b"\n")
    if lines.pop():
        problems.append(problem(path, len(lines) + 1, "this line is cut off in the middle"))
    elif counts.get(name) != len(lines):
        text = f"{len(lines)} lines are here; {CONTENTS} says {counts.get(name)}"
        problems.append(problem(path, 0, text))
    for number, raw in enumerate(lines, 1):
        if len(raw) > MOST_LINE_BYTES:
            problems.append(problem(path, number, "this line is too long to be one of ours"))
            continue
        try:
            yield number, model.model_validate_json(raw)
        except ValidationError as error:
            fault = error.errors(include_url=False, include_context=False)[0]
            field = ".".join(str(part) for part in fault["loc"])
            text = f"this is not what was exported: {fault['msg'].lower()}"
            problems.append(problem(path, number, text, field))


def _revision(
    folder: Path, number: int, line: _RevisionLine, problems: list[Problem]
) -> Revision | None:
    path = folder / line.file
    try:
        with path.open("rb") as stream:
            raw = stream.read(MOST_BYTES + 1)
        text = raw.decode("utf-8")
        saved_at = chain.moment(line.saved_at)
    except OSError as error:
        problems.append(problem(path, 0, f"cannot be read: {why(error)}"))
    except UnicodeDecodeError:
        problems.append(problem(path, 0, "this is not UTF-8 text, as it was exported"))
    except ValueError:
        text = f"`{line.saved_at}` is no moment"
        problems.append(problem(folder / REVISIONS, number, text, "saved_at"))
    else:
        return Revision(
            line.number,
            line.document,
            line.kind,
            line.name,
            line.why,
            line.parent,
            saved_at,
            text,
            line.key,
        )
    return None


def problem(path: Path, line: int, text: str, field: str = "") -> Problem:
    """What is wrong with a place of an export."""
    return Problem(str(path), line, field, "", "", "", text)
