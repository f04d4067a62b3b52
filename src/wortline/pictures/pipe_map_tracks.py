"""The level runs of pipes between two rows of a pipe map: each on a height of its own."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import rustworkx as rx

TRACK = 14.0
NEAR = 11.0
LEAST = 26.0


@dataclass(frozen=True)
class Run:
    """A level run from where a pipe comes down to where it goes on."""

    pipe: int
    start: float
    end: float

    @property
    def span(self) -> tuple[float, float]:
        """Return the run from left to right."""
        return min(self.start, self.end), max(self.start, self.end)


@dataclass(frozen=True)
class Gap:
    """The height of a gap between rows, and the bends of every pipe in it, from its top."""

    height: float
    bends: Mapping[int, tuple[tuple[float, float], ...]]


def gap_of(ends: Mapping[int, tuple[float, float]]) -> Gap:
    """Return the runs of a gap, given where each pipe leaves the upper and enters the lower row.

    A pipe that comes down where another one goes on has to turn off above that one; where two
    change places so that neither can be first, one of them turns twice.
    """
    runs = [Run(pipe, a, b) for pipe, (a, b) in ends.items() if abs(a - b) > 0.05]
    fixed = [x for pair in ends.values() for x in pair]
    while True:
        graph = _before(runs)
        knots = [sorted(part) for part in rx.strongly_connected_components(graph) if len(part) > 1]
        if not knots:
            break
        for knot in knots:
            run = runs[knot[0]]
            between = _free(fixed, (run.start + run.end) / 2)
            fixed.append(between)
            runs[knot[0] : knot[0] + 1] = [
                Run(run.pipe, run.start, between), Run(run.pipe, between, run.end),
            ]
            break
    order = rx.lexicographical_topological_sort(graph, key=lambda at: _turn(runs[int(at)]))
    track: dict[int, int] = {}
    for at in map(int, order):
        low, high = runs[at].span
        earlier = [track[up] for up in graph.predecessor_indices(at)]
        over = [
            its for other, its in track.items()
            if runs[other].span[0] < high + NEAR and low < runs[other].span[1] + NEAR
        ]
        track[at] = max([*earlier, *over], default=-1) + 1
    count = max(track.values(), default=-1) + 1
    height = LEAST + TRACK * max(count - 1, 0)
    bends: dict[int, tuple[tuple[float, float], ...]] = {}
    for at in sorted(track, key=track.__getitem__):
        y = LEAST / 2 + TRACK * track[at]
        run = runs[at]
        bends[run.pipe] = (*bends.get(run.pipe, ()), (run.start, y), (run.end, y))
    return Gap(height, bends)


def _before(runs: Sequence[Run]) -> rx.PyDiGraph[str, None]:
    """Return which run has to be above which."""
    graph: rx.PyDiGraph[str, None] = rx.PyDiGraph()
    graph.add_nodes_from([str(at) for at in range(len(runs))])
    for upper, one in enumerate(runs):
        for lower, other in enumerate(runs):
            if upper != lower and (
                (one.pipe != other.pipe and abs(one.start - other.end) < NEAR)
                or (one.pipe == other.pipe and one.end == other.start)
            ):
                graph.add_edge(upper, lower, None)
    return graph


def _turn(run: Run) -> str:
    """Return a key: runs to the right from the right one on, then runs to the left."""
    right = run.end > run.start
    return f"{int(not right)}{int(50_000 + (-run.start if right else run.start)):06d}"


def _free(fixed: Sequence[float], wanted: float) -> float:
    """Return the place nearest to the wanted one that is free of pipes coming down."""
    step = 0
    while True:
        for x in (wanted - 4.0 * step, wanted + 4.0 * step):
            if x >= 0.0 and all(abs(x - other) >= NEAR for other in fixed):
                return x
        step += 1
