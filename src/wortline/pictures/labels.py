"""Words on a picture: how wide they are, and where they stand without touching one another."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

NARROW = frozenset("iljtfrI.,:;'|!()[] -·")
BROAD = frozenset("mwMW@%&—")
GAP = 5.0


def text_width(text: str, size: float, bold: bool = False) -> float:
    """Width that a line needs in the wider ones of common text faces, never less than most."""
    return sum(_em(char) for char in text) * size * (1.08 if bold else 1.0)


def _em(char: str) -> float:
    if char in NARROW:
        return 0.37
    if char in BROAD:
        return 0.95
    if char.isdigit() and char.isascii():
        return 0.60
    if "a" <= char <= "z":
        return 0.57
    if "A" <= char <= "Z":
        return 0.73
    if unicodedata.combining(char):
        return 0.0
    if unicodedata.east_asian_width(char) in "WF":
        return 1.05
    return 0.70 if ord(char) < 0x250 else 0.9


def shortened(text: str, size: float, room: float, bold: bool = False) -> str:
    """The text, cut with an ellipsis where it is wider than `room`."""
    if text_width(text, size, bold) <= room:
        return text
    kept = text
    while kept and text_width(kept + "…", size, bold) > room:
        kept = kept[:-1]
    return kept.rstrip() + "…"


def wrapped(text: str, size: float, room: float, most: int) -> list[str]:
    """The text in at most `most` lines; the last one is cut where more would be needed."""
    lines: list[str] = []
    words = text.split()
    while words and len(lines) < most:
        taken = 1
        while taken < len(words) and text_width(" ".join(words[: taken + 1]), size) <= room:
            taken += 1
        if len(lines) == most - 1:
            taken = len(words)
        lines.append(shortened(" ".join(words[:taken]), size, room))
        words = words[taken:]
    return lines


@dataclass(frozen=True)
class Box:
    """A rectangle on the picture."""

    left: float
    top: float
    right: float
    bottom: float

    def touches(self, other: Box, gap: float = 0.0) -> bool:
        """Whether the two overlap or come nearer than `gap`."""
        return (
            self.left < other.right + gap
            and other.left < self.right + gap
            and self.top < other.bottom + gap
            and other.top < self.bottom + gap
        )


def text_box(
    x: float, baseline: float, text: str, size: float, anchor: str = "start", bold: bool = False
) -> Box:
    """Box around one line of text."""
    width = text_width(text, size, bold)
    left = x - {"start": 0.0, "middle": width / 2, "end": width}[anchor]
    return Box(left, baseline - 0.78 * size, left + width, baseline + 0.24 * size)


def free_spot(wanted: Iterable[Box], taken: Sequence[Box], frame: Box) -> Box | None:
    """The first wanted box that lies in the frame and touches nothing taken."""
    for box in wanted:
        inside = (
            box.left >= frame.left and box.right <= frame.right
            and box.top >= frame.top and box.bottom <= frame.bottom
        )
        if inside and not any(box.touches(other, 1.0) for other in taken):
            return box
    return None


@dataclass(frozen=True)
class Flag:
    """A label on a pole: where the pole stands, the row (0 is the lowest), and its span."""

    pole: float
    row: int
    left: float
    right: float


def flags(
    poles: Sequence[float], widths: Sequence[float], left: float, right: float, rows: int,
    centred: bool = False,
) -> list[Flag] | None:
    """Labels on vertical poles, none over another and none across a pole; None if no room.

    A label starts at its pole, or ends there near the right edge; a centred one stands on top
    of it. A label that lies over
    another one's pole has to stand in a higher row than that one, since poles go down.
    """
    spans = []
    for pole, width in zip(poles, widths, strict=True):
        if centred:
            start = min(max(pole - width / 2, left), right - width)
            spans.append((start, start + width))
            continue
        start = pole - 2.0 if pole - 2.0 + width <= right else pole + 2.0 - width
        if start < left or start + width > right:
            return None
        spans.append((start, start + width))
    placed: dict[int, Flag] = {}
    waiting = sorted(range(len(poles)), key=lambda i: (-poles[i], i))
    while waiting:
        free = [i for i in waiting if not any(_over(i, j, spans, poles) for j in waiting)]
        if not free:
            return None
        chosen = free[0]
        low, high = spans[chosen]
        under = [f.row for i, f in placed.items() if _over(chosen, i, spans, poles)]
        full = {f.row for f in placed.values() if f.left < high + GAP and low < f.right + GAP}
        row = max(under, default=-1) + 1
        while row in full:
            row += 1
        if row >= rows:
            return None
        placed[chosen] = Flag(poles[chosen], row, low, high)
        waiting.remove(chosen)
    return [placed[i] for i in range(len(poles))]


def _over(
    upper: int, lower: int, spans: Sequence[tuple[float, float]], poles: Sequence[float]
) -> bool:
    low, high = spans[upper]
    return upper != lower and low - 1.0 <= poles[lower] <= high + GAP


def spread(wanted: Sequence[float], height: float, top: float, bottom: float) -> list[float]:
    """Middles of labels of one height, in the given order, moved apart as little as is easy."""
    count = len(wanted)
    if not count:
        return []
    height = min(height, (bottom - top) / count)
    middles: list[float] = []
    for place, middle in enumerate(wanted):
        lowest = top + height / 2 + place * height
        middles.append(max(middle, lowest, middles[-1] + height if middles else lowest))
    limit = bottom - height / 2
    for place in range(count - 1, -1, -1):
        middles[place] = min(middles[place], limit)
        limit = middles[place] - height
    return middles
