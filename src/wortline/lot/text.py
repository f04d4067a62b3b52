"""One lot as a plain-text file that any editor opens, and back.

The upper part is for reading. The lines below "The record" are exact, one entry each, and only
they are read back: a line that was damaged is named, and all the others are kept.
"""

import re
import zlib
from collections.abc import Sequence
from dataclasses import dataclass

from wortline.errors import RecordRefused
from wortline.lot.clock import clock_text
from wortline.lot.events import Corrected, Entry, Undone
from wortline.lot.fold import Fact, State, ordered
from wortline.lot.record import SCHEMA, as_line, from_line, known_schema
from wortline.lot.words import Named, Say, event_words, moment_words, names_of, phase_words

RECORD = "The record"
_HEAD = re.compile(rf"^{RECORD} \((\S+), (\d+) entr(?:y|ies)\)$")
_END = re.compile(r"^End of the record: (\d+) entr(?:y|ies), sum ([0-9a-f]{8})\.$")
WIDTH = 78


@dataclass(frozen=True)
class ReadBack:
    """The entries of a file, and what is wrong with it, a sentence each."""

    entries: tuple[Entry, ...]
    problems: tuple[str, ...]


def as_text(title: str, state: State, entries: Sequence[Entry], say: Say) -> str:
    """The whole file."""
    in_order = ordered(entries)
    facts = {fact.entry.id: fact for fact in state.facts}
    named = names_of(in_order)
    heading = f"Wortline. {_flat(title)}"
    lines = [
        heading,
        "=" * min(len(heading), WIDTH),
        'Plain text. The lines under "The record" are exact, one entry each, and are what is',
        "read back; everything above them is for reading.",
        "",
        *_phases(state),
        "What happened",
        "-" * WIDTH,
        *(_happened(entry, facts, state, say, named) for entry in in_order),
        "",
    ]
    lines += [f"Odd: {_flat(each)}" for each in state.doubts]
    return "\n".join(lines) + "\n" + record_text(in_order)


def record_text(entries: Sequence[Entry]) -> str:
    """The exact part."""
    lines = [as_line(entry) for entry in entries]
    count = f"{len(lines)} {'entry' if len(lines) == 1 else 'entries'}"
    head = f"{RECORD} ({SCHEMA}, {count})"
    end = f"End of the record: {count}, sum {_sum(lines)}."
    return "\n".join([head, "-" * WIDTH, *lines, end, ""])


def _sum(lines: Sequence[str]) -> str:
    return f"{zlib.crc32(chr(10).join(lines).encode('utf-8')):08x}"


def _flat(text: str) -> str:
    """Text on one line: nothing typed can look like another line of the file."""
    return " ".join(text.split())


def _phases(state: State) -> list[str]:
    rows = []
    for phase in state.day.phases:
        span = state.span(phase.id)
        if span is None or span.begun.min is None:
            continue
        took = span.lasted_min
        fact = "under way" if took is None else f"{took:.0f} min"
        planned = f", planned {phase.planned_min:.0f} min" if phase.planned_min else ""
        rows.append(f"{phase_words(state.day, phase.id):24} {fact}{planned}")
    return ["Phases", "-" * WIDTH, *rows, ""] if rows else []


def _happened(entry: Entry, facts: dict[str, Fact], state: State, say: Say, named: Named) -> str:
    fact = facts.get(entry.id)
    said = _flat(event_words(entry.event, state.day, say, named))
    moment = moment_words(fact) if fact else ""
    mark = ""
    if fact is None and not isinstance(entry.event, Corrected | Undone):
        mark = " [undone]"
    elif fact is not None and fact.corrected:
        mark = f" [now: {_flat(event_words(fact.event, state.day, say))}]"
    wall_ms = entry.written_ms if entry.paper else entry.wall_ms
    wall = clock_text(wall_ms, entry.zone_min) if wall_ms is not None else "no time"
    number = str(entry.number) if entry.number else "new"
    return f"{number:>5}  {wall:16}  {moment:>6}  {said}{mark}"


def read_text(text: str) -> ReadBack:
    """The entries in a file, as far as they can be read.

    Raises
    ------
    RecordRefused
        Where the file holds no record, or one of a newer version.
    """
    # Not splitlines: a text may hold a form feed or a line separator of its own.
    lines = [line.rstrip("\r") for line in text.split("\n")]
    start = next((i for i, line in enumerate(lines) if _HEAD.match(line)), None)
    if start is None:
        raise RecordRefused(f'there is no line "{RECORD} ({SCHEMA}, ...)" in it')
    found = _HEAD.match(lines[start])
    assert found is not None
    known_schema(found[1])
    entries: list[Entry] = []
    refused: dict[str, list[int]] = {}
    kept: list[str] = []
    end: re.Match[str] | None = None
    for number, line in enumerate(lines[start + 1 :], start + 2):
        end = _END.match(line)
        if end:
            break
        if not line.strip() or set(line) == {"-"}:
            continue
        kept.append(line)
        try:
            entries.append(from_line(line))
        except RecordRefused as refusal:
            refused.setdefault(str(refusal), []).append(number)
    problems = [_refused(why, numbers) for why, numbers in refused.items()]
    problems += _whole(int(found[2]), entries, kept, end)
    return ReadBack(tuple(entries), tuple(problems))


def _refused(why: str, numbers: Sequence[int]) -> str:
    """Why lines could not be read, once for all that have the same reason."""
    if len(numbers) == 1:
        return f"line {numbers[0]}: {why}."
    return f"{len(numbers)} lines, from line {numbers[0]} to line {numbers[-1]}: {why}."


def _whole(
    told: int, entries: Sequence[Entry], kept: Sequence[str], end: re.Match[str] | None
) -> list[str]:
    """Say what is missing or changed as a whole."""
    if end is None:
        return [
            f"The file ends in the middle: {len(entries)} of {told} entries are here and are kept."
        ]
    if len(kept) != told:
        return [f"{told} entries were written; {len(kept)} lines are here."]
    if _sum(kept) != end[2]:
        return ["The sum at the end does not match: the record was changed by hand."]
    return []
