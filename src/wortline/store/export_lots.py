"""Lots as plain files in an export, and back: a line for each, its frozen day, its entries.

An entry's line is written as it is kept, letter by letter.
"""

import json
from collections.abc import Iterator
from pathlib import Path

from pydantic import Field

from wortline.app.ports_lots import Line, Lot, LotStore, WholeLot
from wortline.errors import DocumentRefused, Problem, RecordRefused, system_said
from wortline.lot.record import from_line
from wortline.store import chain
from wortline.store.export import STAMP, Part, Strict, as_lines, contents, lines_of, problem

LOTS = "lots.jsonl"


class _LotLine(Strict):
    number: int = Field(ge=1)
    id: str = Field(min_length=1, max_length=64)
    name: str
    started_at: str = Field(pattern=STAMP)
    recipe: int = Field(ge=1)
    rig: int = Field(ge=1)
    day: int | None
    method: str
    system: str
    frozen: str = Field(pattern=r"^lots/[0-9]{6,}-day\.json$")
    entries: str = Field(pattern=r"^lots/[0-9]{6,}-entries\.jsonl$")
    count: int = Field(ge=0)


def lot_parts(lots: LotStore) -> Iterator[Part]:
    """The files that hold all lots."""
    rows = []
    for lot in whole_lots(lots):
        stem = f"lots/{lot.lot.number:06}"
        yield f"{stem}-day.json", lot.lot.frozen.encode("utf-8")
        yield f"{stem}-entries.jsonl", "".join(f"{each.text}\n" for each in lot.lines).encode()
        rows.append(
            {
                "number": lot.lot.number,
                "id": lot.lot.id,
                "name": lot.lot.name,
                "started_at": chain.stamp(lot.lot.started_at),
                "recipe": lot.lot.recipe,
                "rig": lot.lot.rig,
                "day": lot.lot.day,
                "method": lot.lot.method,
                "system": lot.lot.system,
                "frozen": f"{stem}-day.json",
                "entries": f"{stem}-entries.jsonl",
                "count": len(lot.lines),
            }
        )
    yield LOTS, as_lines(rows)


def whole_lots(lots: LotStore) -> Iterator[WholeLot]:
    """Every lot with its entries, in the order of their numbers."""
    before, numbers = None, []
    while True:
        page = lots.listed(before)
        numbers += [each.number for each in page.headings]
        before = page.before
        if before is None:
            break
    for number in reversed(numbers):
        yield WholeLot(lots.lot(number), lots.lines(number))


def read_lots(folder: Path) -> list[WholeLot]:
    """All lots of an export; none in one that was made before there were lots.

    Raises
    ------
    DocumentRefused
        With every place where the folder is not what was written.
    """
    counts = contents(folder)
    if LOTS not in counts:
        return []
    problems: list[Problem] = []
    found = [
        lot
        for _, line in lines_of(folder, LOTS, _LotLine, counts, problems)
        if (lot := _lot(folder, line, problems))
    ]
    if problems:
        raise DocumentRefused(problems)
    return found


def _lot(folder: Path, line: _LotLine, problems: list[Problem]) -> WholeLot | None:
    frozen = _text(folder / line.frozen, problems)
    text = _text(folder / line.entries, problems)
    if frozen is None or text is None:
        return None
    try:
        json.loads(frozen)
    except ValueError:
        problems.append(problem(folder / line.frozen, 1, "this is no JSON, as it was exported"))
    # Only a line feed ends a line: texts may hold other signs that look like an end.
    texts = text.split("\n")[:-1]
    if len(texts) != line.count:
        said = f"{len(texts)} whole lines are here; {LOTS} says {line.count}"
        problems.append(problem(folder / line.entries, 0, said))
    for number, each in enumerate(texts, 1):
        try:
            if from_line(each).number != number:
                raise RecordRefused(f"this is not entry {number}")
        except RecordRefused as refusal:
            problems.append(problem(folder / line.entries, number, str(refusal)))
    lot = Lot(
        number=line.number,
        id=line.id,
        name=line.name,
        started_at=chain.moment(line.started_at),
        recipe=line.recipe,
        rig=line.rig,
        day=line.day,
        method=line.method,
        system=line.system,
        entries=len(texts),
        frozen=frozen,
    )
    return WholeLot(lot, tuple(Line(number, each) for number, each in enumerate(texts, 1)))


def _text(path: Path, problems: list[Problem]) -> str | None:
    try:
        return path.read_bytes().decode("utf-8")
    except OSError as error:
        problems.append(problem(path, 0, f"cannot be read: {system_said(error)}"))
    except UnicodeDecodeError:
        problems.append(problem(path, 0, "this is not UTF-8 text, as it was exported"))
    return None
