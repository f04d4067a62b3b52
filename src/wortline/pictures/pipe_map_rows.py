"""In which row of a pipe map every item stands, and in which order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import rustworkx as rx

from wortline.pictures.pipe_map_graph import Picture

LANE = 16.0
SWEEPS = 12
MOST_ROWS = 100_000


@dataclass(frozen=True)
class Rows:
    """The cells of every row from the left: items by number, pipes that only pass below 0."""

    cells: tuple[tuple[int, ...], ...]
    row_of: Mapping[int, int]


def passing(pipe: int, row: int) -> int:
    """Return the cell in which a pipe passes a row without meeting an item."""
    return -1 - row - MOST_ROWS * pipe


def rows(picture: Picture, widths: Sequence[float], room: float) -> Rows:
    """Return the rows: every pipe leads downwards, no row is wider than the room if that can be."""
    if not picture.items:
        return Rows((), {})
    chosen = _split(picture, _levels(picture, widths), widths, room)
    row_of = {item: number for number, row in enumerate(chosen) for item in row}
    cells: list[list[int]] = [list(row) for row in chosen]
    for number, pipe in enumerate(picture.pipes):
        for row in range(row_of[pipe.upper] + 1, row_of[pipe.lower]):
            cells[row].append(passing(number, row))
    return Rows(tuple(map(tuple, _untangled(picture, cells, row_of))), row_of)


def _levels(picture: Picture, widths: Sequence[float]) -> list[int]:
    """Return how many items stand above each item at least; what may stand lower does so."""
    graph: rx.PyDiGraph[None, None] = rx.PyDiGraph()
    graph.add_nodes_from([None] * len(picture.items))
    graph.add_edges_from_no_data([(pipe.upper, pipe.lower) for pipe in picture.pipes])
    order = list(rx.topological_sort(graph))
    level = [0] * len(picture.items)
    for at in order:
        level[at] = max((level[up] + 1 for up in graph.predecessor_indices(at)), default=0)
    last = max(level)
    for at in reversed(order):
        under, over = graph.successor_indices(at), graph.predecessor_indices(at)
        if not under and not over:
            level[at] = last
        elif len(set(under)) > len(set(over)):
            level[at] = max(level[at], min(level[down] for down in under) - 1)
    used = [0.0] * (last + 1)
    for at, number in enumerate(level):
        used[number] += widths[at]
    for at in reversed(order):
        under, over = graph.successor_indices(at), graph.predecessor_indices(at)
        if picture.items[at].kind != "hose" or not under or not over:
            continue
        low, high = max(level[up] for up in over) + 1, min(level[down] for down in under) - 1
        used[level[at]] -= widths[at]
        best = min(range(low, high + 1), key=lambda number: (used[number], -number))
        used[best] += widths[at]
        level[at] = best
    return level


def _split(
    picture: Picture, level: Sequence[int], widths: Sequence[float], room: float
) -> list[list[int]]:
    """Return the items of each row; a level that is too wide becomes several rows."""
    found: list[list[int]] = []
    placed: set[int] = set()
    for number in range(max(level) + 1):
        waiting = [at for at, its in enumerate(level) if its == number]
        while waiting:
            row: list[int] = []
            for at in waiting:
                tried = [*row, at]
                abreast = sum(
                    pipe.upper in placed and pipe.lower not in placed and pipe.lower not in tried
                    for pipe in picture.pipes
                )
                if row and sum(widths[each] for each in tried) + LANE * abreast > room:
                    continue
                row = tried
            found.append(row)
            placed |= set(row)
            waiting = [at for at in waiting if at not in row]
    return found


Edge = tuple[int, int, int]


def edges(picture: Picture, row_of: Mapping[int, int]) -> list[list[Edge]]:
    """Return for every gap under a row its edges: upper cell, lower cell, pipe."""
    found: list[list[Edge]] = [[] for _ in range(max(row_of.values(), default=0) + 1)]
    for number, pipe in enumerate(picture.pipes):
        first, last = row_of[pipe.upper], row_of[pipe.lower]
        for row in range(first, last):
            above = pipe.upper if row == first else passing(number, row)
            below = pipe.lower if row == last - 1 else passing(number, row + 1)
            found[row].append((above, below, number))
    return found


def _untangled(
    picture: Picture, cells: list[list[int]], row_of: Mapping[int, int]
) -> list[list[int]]:
    """Return the rows in an order with few crossings: sweeps by the mean place of neighbours."""
    gaps = edges(picture, row_of)
    best, least = [list(row) for row in cells], _crossings(cells, gaps)
    for sweep in range(SWEEPS):
        down = sweep % 2 == 0
        for row in range(len(cells)) if down else reversed(range(len(cells))):
            gap = gaps[row - 1] if down and row else gaps[row] if not down else []
            other = cells[row - 1] if down else cells[(row + 1) % len(cells)]
            place = {cell: number for number, cell in enumerate(other)}
            near: dict[int, list[int]] = {cell: [] for cell in cells[row]}
            for above, below, _ in gap:
                near[below if down else above].append(place[above if down else below])
            scale = len(other) / max(len(cells[row]), 1)
            mean = {
                cell: sum(found) / len(found) if found else number * scale
                for number, (cell, found) in enumerate(near.items())
            }
            cells[row].sort(key=mean.__getitem__)
        count = _crossings(cells, gaps)
        if count < least:
            best, least = [list(row) for row in cells], count
        if not least:
            break
    return best


def _crossings(cells: Sequence[Sequence[int]], gaps: Sequence[Sequence[Edge]]) -> int:
    count = 0
    for row, gap in enumerate(gaps[:-1]):
        upper = {cell: place for place, cell in enumerate(cells[row])}
        lower = {cell: place for place, cell in enumerate(cells[row + 1])}
        ends = [(upper[above], lower[below]) for above, below, _ in gap]
        count += sum(
            (a - c) * (b - d) < 0
            for place, (a, b) in enumerate(ends)
            for c, d in ends[place + 1 :]
        )
    return count
