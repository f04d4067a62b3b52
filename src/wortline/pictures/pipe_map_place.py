"""Where the cells of a pipe map stand from left to right, so that most pipes run straight."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from wortline.pictures.pipe_map_graph import Mouth, Picture
from wortline.pictures.pipe_map_rows import LANE, Edge, Rows, edges, passing
from wortline.pictures.pipe_map_straight import Joint, straighten

PASSES = 10
# A pipe that only passes two rows should be straight before one between two symbols is.
WEIGHTS = (2.0, 3.0, 8.0)


@dataclass(frozen=True)
class Stand:
    """The left edge of every cell, and where each pipe leaves and enters a row."""

    left: Mapping[int, float]
    gaps: tuple[tuple[Edge, ...], ...]
    leave: Mapping[tuple[int, int], float]
    enter: Mapping[tuple[int, int], float]
    width: float


def mouth_order(picture: Picture, found: Rows) -> dict[int, tuple[list[Mouth], list[Mouth]]]:
    """Return the mouths of every item on its upper and its lower side, from the left."""
    place = {cell: number for row in found.cells for number, cell in enumerate(row)}
    sides: dict[int, tuple[list[tuple[int, int, Mouth]], list[tuple[int, int, Mouth]]]] = {
        at: ([], []) for at in range(len(picture.items))
    }
    for number, pipe in enumerate(picture.pipes):
        first, last = found.row_of[pipe.upper], found.row_of[pipe.lower]
        near = last - first == 1
        below = pipe.lower if near else passing(number, first + 1)
        above = pipe.upper if near else passing(number, last - 1)
        sides[pipe.upper][1].append((place[below], number, pipe.upper_mouth))
        sides[pipe.lower][0].append((place[above], number, pipe.lower_mouth))
    return {
        at: ([m for *_, m in sorted(tops)], [m for *_, m in sorted(bottoms)])
        for at, (tops, bottoms) in sides.items()
    }


def stand(
    picture: Picture,
    found: Rows,
    widths: Sequence[float],
    offsets: Mapping[tuple[int, Mouth], float],
    room: float,
) -> Stand:
    """Return where every cell stands; the width is the room, or more where one row needs it."""
    gaps = edges(picture, found.row_of)

    def wide(cell: int) -> float:
        return widths[cell] if cell >= 0 else LANE

    def at(cell: int, pipe: int, lower: bool) -> float:
        if cell < 0:
            return LANE / 2
        its = picture.pipes[pipe]
        return offsets[cell, its.lower_mouth if lower else its.upper_mouth]

    room = max([room, *(sum(map(wide, row)) for row in found.cells)])
    joints = [
        [
            (above, below, at(below, pipe, True) - at(above, pipe, False),
             WEIGHTS[(above < 0) + (below < 0)])
            for above, below, pipe in gap
        ]
        for gap in gaps
    ]
    cells = {cell: wide(cell) for row in found.cells for cell in row}
    left = _relaxed(found, cells, joints, room)
    spare = room - max(x + cells[cell] for cell, x in left.items())
    left = {cell: x + (spare - min(left.values())) / 2 for cell, x in left.items()}
    straighten(left, found.cells, cells, [joint for gap in joints for joint in gap], room)
    first = min(left.values())
    left = {cell: x - first for cell, x in left.items()}
    leave, enter = {}, {}
    for row, gap in enumerate(gaps):
        for above, below, pipe in gap:
            leave[row, pipe] = left[above] + at(above, pipe, False)
            enter[row, pipe] = left[below] + at(below, pipe, True)
    used = max(x + cells[cell] for cell, x in left.items())
    return Stand(left, tuple(map(tuple, gaps)), leave, enter, used)


def _relaxed(
    found: Rows, widths: Mapping[int, float], joints: Sequence[Sequence[Joint]], room: float
) -> dict[int, float]:
    """Return left edges after sweeps down and up; later ones look at both sides at once."""
    left: dict[int, float] = {}
    for row in found.cells:
        x = 0.0
        for cell in row:
            left[cell], x = x, x + widths[cell]
    for number in range(PASSES):
        both, down = number >= PASSES // 2, number % 2 == 0
        order = list(enumerate(found.cells))
        for place, row in order if down else reversed(order):
            pulls: dict[int, list[tuple[float, float]]] = {
                cell: [(left[cell], 0.1)] for cell in row
            }
            if place and (down or both):
                for above, below, shift, weight in joints[place - 1]:
                    pulls[below].append((left[above] - shift, weight))
            if not down or both:
                for above, below, shift, weight in joints[place]:
                    pulls[above].append((left[below] + shift, weight))
            places = _in_order([pulls[cell] for cell in row], [widths[cell] for cell in row], room)
            left.update(zip(row, places, strict=True))
    return left


def _in_order(
    pulls: Sequence[Sequence[tuple[float, float]]], widths: Sequence[float], room: float
) -> list[float]:
    """Return places as near to the pulls as order and widths allow (least weighted distance).

    Cells that would overlap are drawn together into one block, which stands at the weighted
    median of all that pulls at it.
    """
    ahead = [sum(widths[:place]) for place in range(len(widths))]
    blocks: list[tuple[list[tuple[float, float]], int, float]] = []
    for place, pull in enumerate(pulls):
        pooled = [(x - ahead[place], weight) for x, weight in pull]
        block = (pooled, 1, _median(pooled))
        while blocks and blocks[-1][2] > block[2]:
            before = blocks.pop()
            pooled = [*before[0], *block[0]]
            block = (pooled, before[1] + block[1], _median(pooled))
        blocks.append(block)
    free = room - sum(widths)
    flat = [min(max(value, 0.0), free) for _, count, value in blocks for _ in range(count)]
    return [value + before for value, before in zip(flat, ahead, strict=True)]


def _median(pulls: Sequence[tuple[float, float]]) -> float:
    half = sum(weight for _, weight in pulls) / 2
    for x, weight in sorted(pulls):
        half -= weight
        if half <= 0:
            return x
    return 0.0
