"""The last touch to a pipe map's places: straight runs moved as one, so that bends vanish."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

ROUNDS = 30
BEND = 300.0

# upper cell, lower cell, how far the lower cell's left edge is left of the upper's, weight
Joint = tuple[int, int, float, float]


def straighten(
    left: dict[int, float],
    cells: Sequence[Sequence[int]],
    widths: Mapping[int, float],
    joints: Sequence[Joint],
    room: float,
) -> None:
    """Move runs of cells that stand in one line to where fewer and shorter bends are left.

    Cells one by one cannot get there: each of a run stands best where its neighbours are.
    """
    sides: dict[int, tuple[int | None, int | None]] = {}
    for row in cells:
        for place, cell in enumerate(row):
            sides[cell] = (
                row[place - 1] if place else None,
                row[place + 1] if place + 1 < len(row) else None,
            )
    at: dict[int, list[Joint]] = {cell: [] for cell in left}
    for joint in joints:
        at[joint[0]].append(joint)
        at[joint[1]].append(joint)
    for _ in range(ROUNDS):
        moved = [_moved(left, joint, at, sides, widths, room) for joint in joints]
        if not any(moved):
            return


def _off(left: Mapping[int, float], joint: Joint) -> float:
    """Return how far a pipe has to go to the left between two rows."""
    above, below, shift, _ = joint
    return left[below] + shift - left[above]


def _cost(off: float, weight: float) -> float:
    return weight * abs(off) + (BEND if abs(off) > 0.05 else 0.0)


def _moved(
    left: dict[int, float], joint: Joint, at: Mapping[int, Sequence[Joint]],
    sides: Mapping[int, tuple[int | None, int | None]], widths: Mapping[int, float], room: float,
) -> bool:
    """Move the run on one side of a bent pipe so that it is straight, if all gains by it."""
    off = _off(left, joint)
    if abs(off) <= 0.05:
        return False
    for start, by in ((joint[0], off), (joint[1], -off)):
        run = _pushed(_run(start, left, at), by, left, at, sides, widths, room)
        if not run or (joint[0] in run) == (joint[1] in run):
            continue
        gain = 0.0
        for cell in run:
            for each in at[cell]:
                if (each[0] in run) != (each[1] in run):
                    moved = _off(left, each) + (by if each[1] in run else -by)
                    gain += _cost(_off(left, each), each[3]) - _cost(moved, each[3])
        if gain > 0.5:
            for cell in run:
                left[cell] += by
            return True
    return False


def _run(start: int, left: Mapping[int, float], at: Mapping[int, Sequence[Joint]]) -> set[int]:
    """Return the cells that hang together with one by straight pipes."""
    found, front = {start}, [start]
    while front:
        cell = front.pop()
        for joint in at[cell]:
            if abs(_off(left, joint)) <= 0.05:
                for other in joint[:2]:
                    if other not in found:
                        found.add(other)
                        front.append(other)
    return found


def _pushed(
    run: set[int], by: float, left: Mapping[int, float], at: Mapping[int, Sequence[Joint]],
    sides: Mapping[int, tuple[int | None, int | None]], widths: Mapping[int, float], room: float,
) -> set[int]:
    """Return a run with all runs it pushes aside when it moves; none if the room ends."""
    found, front = set(run), list(run)
    while front:
        cell = front.pop()
        start, end = left[cell] + by, left[cell] + by + widths[cell]
        if start < -1e-9 or end > room + 1e-9:
            return set()
        before, after = sides[cell]
        for other, hit in (
            (before, before is not None and start < left[before] + widths[before] - 1e-9),
            (after, after is not None and end > left[after] + 1e-9),
        ):
            if hit and other is not None and other not in found:
                more = _run(other, left, at) - found
                found |= more
                front += more
    return found
