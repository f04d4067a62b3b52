"""A pipe map laid out: where symbols, words and pipes are, with nothing over anything else."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from wortline.pictures.labels import Box, text_width
from wortline.pictures.pipe_map_graph import Mouth, Picture, picture
from wortline.pictures.pipe_map_place import Stand, mouth_order, stand
from wortline.pictures.pipe_map_rows import Rows, rows
from wortline.pictures.pipe_map_symbols import Point, Symbol
from wortline.pictures.pipe_map_tracks import gap_of
from wortline.pictures.pipe_map_words import ItemWords, item_words, marks, numbers
from wortline.pipes.audit import Verdict
from wortline.pipes.view import View

PAD, BESIDE, NEAR = 7.0, 8.0, 2.0
BADGE = 20.0


@dataclass(frozen=True)
class Line:
    """One line of words: `name`, `mark` or `state`."""

    text: str
    role: str


@dataclass(frozen=True)
class Placed:
    """An item with its symbol's middle, its number on the way of the wort, and its words."""

    item: int
    symbol: Symbol
    middle: Point
    number: int | None
    lines: tuple[Line, ...]
    words: Box

    @property
    def box(self) -> Box:
        """Return the box of the symbol."""
        (x, y), wide, high = self.middle, self.symbol.width / 2, self.symbol.height / 2
        return Box(x - wide, y - high, x + wide, y + high)


@dataclass(frozen=True)
class Course:
    """A pipe with its corners, from its upper to its lower end."""

    pipe: int
    points: tuple[Point, ...]


@dataclass(frozen=True)
class Sizes:
    """Sizes of print, how wide the words beside a symbol may be, and how far from it they begin."""

    name: float
    state: float
    words: float
    beside: float = BESIDE

    @property
    def step(self) -> float:
        """Return the distance of two lines."""
        return self.state * 1.28


@dataclass(frozen=True)
class Layout:
    """Everything on a map with its place."""

    picture: Picture
    placed: tuple[Placed, ...]
    courses: tuple[Course, ...]
    width: float
    height: float


def layout(
    view: View, verdict: Verdict, sizes: Sizes, room: float, words_of: ItemWords = item_words
) -> Layout:
    """Return the map of a setting, not wider than the room unless too many pipes run abreast."""
    shown = picture(view)
    number = numbers(verdict, view)
    said = [words_of(view, verdict, item) for item in shown.items]
    words = [_lines(verdict, each, sizes, number) for each in said]
    spans = [_span(lines, sizes, shown.items[at].part in number) for at, lines in enumerate(words)]
    loose = [
        Symbol(item.kind, tuple(pipe.lower_mouth for pipe in shown.above(at)),
               tuple(pipe.upper_mouth for pipe in shown.below(at)))
        for at, item in enumerate(shown.items)
    ]
    widths = [
        2 * PAD + each.width + sizes.beside + span
        for each, span in zip(loose, spans, strict=True)
    ]
    found = rows(shown, widths, room)
    sides = mouth_order(shown, found)
    symbols = [Symbol(each.kind, *map(tuple, sides[at])) for at, each in enumerate(loose)]
    offsets = {
        (at, mouth): PAD + each.width / 2 + each.offset(mouth)
        for at, each in enumerate(symbols)
        for mouth in (*each.tops, *each.bottoms)
    }
    stood = stand(shown, found, widths, offsets, room)
    tops, heights, bends, foot, right = _heights(found, stood, symbols, words, sizes)
    placed: list[Placed] = []
    for at, symbol in enumerate(symbols):
        row = found.row_of[at]
        x = stood.left[at] + PAD + symbol.width / 2
        y = tops[row] + heights[row] / 2
        high = len(words[at]) * sizes.step
        # A hose's words stand close to its own line, lest they seem to belong to the next one.
        near = NEAR if shown.items[at].kind == "hose" else sizes.beside
        start = x + symbol.width / 2 + near
        box = Box(start, y - high / 2, start + spans[at], y + high / 2)
        kind = shown.items[at].kind
        its = number.get(shown.items[at].part) if kind not in {"rim", "cap"} else None
        placed.append(Placed(at, symbol, (x, y), its, words[at], box))
    courses = [
        Course(number, _course(shown, found, stood, placed, number, tops, heights, bends))
        for number in range(len(shown.pipes))
    ]
    return Layout(shown, tuple(placed), tuple(courses), max(stood.width, right), foot)


def _lines(
    verdict: Verdict, said: tuple[str, tuple[str, ...]], sizes: Sizes, number: Mapping[str, int]
) -> tuple[Line, ...]:
    name, phrases = said
    lines: list[Line] = []
    if name:
        room = sizes.words - (BADGE if name in number else 0.0)
        lines += [Line(part, "name") for part in broken(name, sizes.name, room, True)]
        for mark in marks(verdict, name):
            lines += [Line(part, "mark") for part in broken(mark, sizes.state, sizes.words, True)]
    for phrase in phrases:
        lines += [Line(part, "state") for part in broken(phrase, sizes.state, sizes.words)]
    return tuple(lines)


def _span(lines: Sequence[Line], sizes: Sizes, badge: bool) -> float:
    return max(
        (
            text_width(each.text, sizes.name, True) + (BADGE if badge else 0.0)
            if each.role == "name"
            else text_width(each.text, sizes.state, each.role == "mark")
            for each in lines
        ),
        default=0.0,
    )


def broken(text: str, size: float, room: float, bold: bool = False) -> list[str]:
    """Return the whole text in lines within the room; a word that is too long is broken."""
    lines: list[str] = []
    line = ""
    for word in text.split(" "):
        rest = word
        if line and text_width(f"{line} {rest}", size, bold) <= room:
            line = f"{line} {rest}"
            continue
        if line:
            lines.append(line)
        while text_width(rest, size, bold) > room and len(rest) > 1:
            cut = max(n for n in range(1, len(rest)) if n == 1
                      or text_width(rest[:n], size, bold) <= room)
            # A name of many words is broken between two of them.
            cut = max((n for n in range(cut // 2, cut + 1) if rest[n - 1] in "-_"), default=cut)
            lines.append(rest[:cut])
            rest = rest[cut:]
        line = rest
    return [*lines, line] if line else lines


Bends = list[Mapping[int, tuple[Point, ...]]]


def _heights(
    found: Rows, stood: Stand, symbols: Sequence[Symbol], words: Sequence[Sequence[Line]],
    sizes: Sizes,
) -> tuple[list[float], list[float], Bends, float, float]:
    """Return each row's top and height, the bends under it, the foot, and how far bends reach."""
    tops: list[float] = []
    heights: list[float] = []
    bends: Bends = []
    y, right = 0.0, 0.0
    for row, cells in enumerate(found.cells):
        items = [cell for cell in cells if cell >= 0]
        high = max(
            [8.0, *(symbols[at].height for at in items),
             *(len(words[at]) * sizes.step + 4.0 for at in items)]
        )
        tops.append(y)
        heights.append(high)
        y += high
        pipes = [pipe for *_, pipe in stood.gaps[row]]
        gap = gap_of({pipe: (stood.leave[row, pipe], stood.enter[row, pipe]) for pipe in pipes})
        bends.append({
            pipe: tuple((x, y + down) for x, down in corners)
            for pipe, corners in gap.bends.items()
        })
        right = max([right, *(x + 8.0 for corners in gap.bends.values() for x, _ in corners)])
        y += gap.height if row < len(found.cells) - 1 else 0.0
    return tops, heights, bends, y, right


def _course(
    shown: Picture, found: Rows, stood: Stand, placed: Sequence[Placed], number: int,
    tops: Sequence[float], heights: Sequence[float], bends: Bends,
) -> tuple[Point, ...]:
    pipe = shown.pipes[number]
    first, last = found.row_of[pipe.upper], found.row_of[pipe.lower]
    points = _leg(placed[pipe.upper], pipe.upper_mouth, tops[first] + heights[first])
    for row in range(first, last):
        points += bends[row].get(number, ())
        if row < last - 1:
            points.append((stood.enter[row, number], tops[row + 1]))
    points += reversed(_leg(placed[pipe.lower], pipe.lower_mouth, tops[last]))
    return tuple(_straight(points))


def _leg(its: Placed, mouth: Mouth, edge: float) -> list[Point]:
    """Return the way from where a pipe meets its symbol to the edge of the row."""
    (x, y), (right, down) = its.middle, its.symbol.tip(mouth)
    over = x + its.symbol.offset(mouth)
    return [(x + right, y + down), (over, y + down), (over, edge)]


def _straight(points: Sequence[Point]) -> list[Point]:
    """Return the points without those that lie on a straight way between their neighbours."""
    kept: list[Point] = []
    for point in points:
        if kept and _same(kept[-1], point):
            continue
        if len(kept) > 1 and (
            abs(kept[-2][0] - kept[-1][0]) + abs(kept[-1][0] - point[0]) < 0.1
            or abs(kept[-2][1] - kept[-1][1]) + abs(kept[-1][1] - point[1]) < 0.1
        ):
            kept.pop()
        kept.append(point)
    return kept


def _same(one: Point, other: Point) -> bool:
    return abs(one[0] - other[0]) < 0.05 and abs(one[1] - other[1]) < 0.05


def arrows(points: Sequence[Point], down: int) -> list[tuple[Point, float]]:
    """Return where direction marks stand along a pipe, and the angle each points at."""
    long = [
        (abs(a[0] - b[0]) + abs(a[1] - b[1]), a, b) for a, b in pairwise(points)
    ]
    most = max((each[0] for each in long), default=0.0)
    found: list[tuple[Point, float]] = []
    for length, a, b in long:
        if length < 20.0 or (length < 90.0 and length < most):
            continue
        count = max(1, int(length / 150.0))
        start, end = (a, b) if down > 0 else (b, a)
        angle = {(1, 0): 0.0, (-1, 0): 180.0, (0, 1): 90.0}.get(
            (_sign(end[0] - start[0]), _sign(end[1] - start[1])), -90.0
        )
        for place in range(1, count + 1):
            share = place / (count + 1)
            found.append(
                ((a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])), angle)
            )
    return found


def _sign(value: float) -> int:
    return 0 if abs(value) < 0.05 else (1 if value > 0 else -1)
