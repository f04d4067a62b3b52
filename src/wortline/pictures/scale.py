"""Axes: a time axis that may change pace between pieces, a plain value axis, and their ticks."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

WIDE = 1.25  # below this stretch a change of pace is not worth its explanation
SHORTEST_MIN = 0.01  # a shorter stretch of the day has no width of its own
TIME_STEPS_MIN = (1, 2, 5, 10, 15, 30, 60, 120, 240, 480, 720, 1440)


@dataclass(frozen=True)
class Piece:
    """A stretch of the axis on which a minute has one width."""

    start_min: float
    end_min: float
    left: float
    right: float

    @cached_property
    def pace(self) -> float:
        """Width of one minute on the picture."""
        return (self.right - self.left) / (self.end_min - self.start_min)


@dataclass(frozen=True)
class TimeScale:
    """Minutes of the day to places across the picture; times outside are held at the ends."""

    pieces: tuple[Piece, ...]

    @cached_property
    def _starts(self) -> list[float]:
        return [piece.start_min for piece in self.pieces]

    def x(self, at_min: float) -> float:
        """Place of a minute."""
        piece = self.pieces[max(0, bisect_right(self._starts, at_min) - 1)]
        held = min(max(at_min, piece.start_min), piece.end_min)
        return piece.left + (held - piece.start_min) * piece.pace

    @cached_property
    def _placed(self) -> dict[Sequence[float], list[float]]:
        return {}

    def places(self, times_min: Sequence[float]) -> list[float]:
        """Places of minutes; of the same ones, which several curves share, worked out once."""
        if not isinstance(times_min, tuple):
            return [self.x(minute) for minute in times_min]
        if times_min not in self._placed:
            self._placed[times_min] = [self.x(minute) for minute in times_min]
        return self._placed[times_min]

    @cached_property
    def _together(self) -> dict[Sequence[float], list[range]]:
        return {}

    def pixels(self, times_min: Sequence[float]) -> list[range]:
        """Which minutes fall into one pixel, as places in the list; worked out once as well."""
        found = self._together.get(times_min) if isinstance(times_min, tuple) else None
        if found is None:
            places = self.places(times_min)
            firsts = [0] if places else []
            for place, x in enumerate(places):
                if x - places[firsts[-1]] >= 1.0:
                    firsts.append(place)
            found = [range(*each) for each in pairwise([*firsts, len(places)])]
            if isinstance(times_min, tuple):
                self._together[times_min] = found
        return found

    @property
    def left(self) -> float:
        """Left end of the axis."""
        return self.pieces[0].left

    @property
    def right(self) -> float:
        """Right end of the axis."""
        return self.pieces[-1].right


def time_scale(
    start_min: float, end_min: float, hot: tuple[float, float, float] | None, left: float,
    right: float,
) -> TimeScale:
    """Time axis that gives the hot time room.

    Parameters
    ----------
    start_min, end_min : float
        First and last minute shown [min].
    hot : tuple of float or None
        Start of the boil, heat-off and end of the chill [min]; None draws one plain pace.
    left, right : float
        Ends of the axis on the picture [-].

    Returns
    -------
    TimeScale
        One piece where the hot time is wide enough by itself, otherwise up to four. The time
        after heat-off gets its own pace only where a long boil would crush it.
    """
    if end_min - start_min < SHORTEST_MIN:
        end_min = start_min + 1.0
    plain = TimeScale((Piece(start_min, end_min, left, right),))
    if hot is None:
        return plain
    boil, off, chilled = (min(max(t, start_min), end_min) for t in hot)
    boil, chilled = min(boil, off), max(off, chilled)
    hot_min, cool_min = chilled - boil, chilled - off
    if hot_min < SHORTEST_MIN:
        return plain
    cuts = [start_min, boil, chilled, end_min]
    shares = [0.29, 0.60, 0.11]
    if cool_min > 0.0 and 0.60 * cool_min / hot_min < 0.12:
        cuts, shares = [start_min, boil, off, chilled, end_min], [0.23, 0.36, 0.31, 0.10]
    # What follows the chill is never drawn wider than the chill itself.
    if (end_min - chilled) * shares[-2] < shares[-1] * (cuts[-2] - cuts[-3]):
        cuts, shares = [*cuts[:-2], end_min], [*shares[:-2], shares[-2] + shares[-1]]
    spans = [
        (start, end, share)
        for start, end, share in zip(cuts[:-1], cuts[1:], shares, strict=True)
        if end - start >= SHORTEST_MIN
    ]
    total = sum(share for *_, share in spans)
    widths = [share / total * (right - left) for *_, share in spans]
    paces = [width / (b - a) for width, (a, b, _) in zip(widths, spans, strict=True)]
    room_enough = hot_min / (end_min - start_min) > 0.58 and off not in cuts
    if room_enough or max(paces) / min(paces) < WIDE:
        return plain
    return _joined(spans, widths, left)


def _joined(
    spans: list[tuple[float, float, float]], widths: list[float], left: float
) -> TimeScale:
    pieces = []
    for (start, end, _), width in zip(spans, widths, strict=True):
        pieces.append(Piece(start, end, left, left + width))
        left += width
    return TimeScale(tuple(pieces))


def time_step(pace: float, room: float) -> float:
    """Minutes between ticks so that they stand at least `room` apart [min]."""
    for step in TIME_STEPS_MIN:
        if step * pace >= room:
            return float(step)
    return TIME_STEPS_MIN[-1] * math.ceil(room / (TIME_STEPS_MIN[-1] * pace))


def ticks(low: float, high: float, step: float) -> list[float]:
    """Multiples of `step` from `low` to `high`."""
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    return [count * step for count in range(first, last + 1)]


def round_step(span: float, most: int) -> float:
    """A step of 1, 2 or 5 times a power of ten that gives `most` ticks or fewer."""
    raw = max(span, 1e-9) / max(most, 1)
    power = 10.0 ** math.floor(math.log10(raw))
    for factor in (1.0, 2.0, 5.0):
        if factor * power >= raw * (1 - 1e-9):
            return factor * power
    return 10.0 * power


def clock(at_min: float) -> str:
    """Minutes as hours and minutes, `2:05`."""
    whole = round(at_min)
    sign = "-" if whole < 0 else ""
    return f"{sign}{abs(whole) // 60}:{abs(whole) % 60:02d}"


@dataclass(frozen=True)
class ValueScale:
    """Values to heights on the picture."""

    low: float
    high: float
    bottom: float
    top: float

    def y(self, value: float) -> float:
        """Height of a value, held inside the panel."""
        return self.heights((value,))[0]

    def heights(self, values: Iterable[float]) -> list[float]:
        """Heights of the values of a curve."""
        low, bottom, high = self.low, self.bottom, self.bottom - self.top
        span = self.high - low
        if not span > 0.0:
            return [bottom for _ in values]
        shares = [(value - low) / span for value in values]
        held = [0.0 if one < 0.0 else 1.0 if one > 1.0 else one for one in shares]
        return [bottom - one * high for one in held]
