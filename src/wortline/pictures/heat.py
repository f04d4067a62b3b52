"""Temperature panel: the day's curve, where doses land, and the few temperatures worth words."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from itertools import pairwise

from wortline.pictures.bands import Drop, draw_flags, drop_mark, phase_rules
from wortline.pictures.frame import Frame, slimmed, thinned
from wortline.pictures.labels import Box, Flag, free_spot, text_width
from wortline.pictures.read_marks import temperature_marks
from wortline.pictures.reading import Day
from wortline.pictures.scale import ValueScale, round_step, ticks
from wortline.pictures.svg import GREY, INK, RULE, element, line, polyline

TOLD = ("mash", "boil", "rest", "chill")


def temperature_panel(
    frame: Frame, day: Day, placed: list[tuple[Drop, str, Flag]], top: float, high: float
) -> float:
    """Draw the temperature over the day with the doses landing on it; return its foot."""
    foot = top + high
    times, temps = day_curve(day)
    scale = _scale(frame, day, temps, top, foot)
    phase_rules(frame, day, top, foot)
    _grid(frame, scale)
    if frame.former is not None:
        frame.faint(_pairs(frame, *day_curve(frame.former), scale))
    curve = _pairs(frame, times, temps, scale)
    landings = [
        (frame.scale.x(at), scale.y(frame.degrees(interpolated(times, temps, at))), drop)
        for drop, *_ in placed
        for at in drop.moments
    ] if times else []
    taken = _taken(curve, landings, top)
    taken.append(_named(frame, taken, Box(frame.left, top, frame.right, foot)))
    if len(curve) > 1:
        frame.add(polyline(curve, INK, 2.2))
    temperature_marks(frame, [
        (read, scale.y(frame.degrees(read.temp_c))) for read in day.reads if read.temp_c is not None
    ])
    draw_flags(frame, placed, top, {x: y for x, y, _ in landings})
    frame.add(*(drop_mark(drop, x, y) for x, y, drop in landings))
    _temperatures(frame, day, scale, taken, Box(frame.left, top, frame.right, foot))
    return foot


def _named(frame: Frame, taken: list[Box], within: Box) -> Box:
    """Write the panel's name where no pole and no curve runs, upper left if that is free."""
    words, size = f"temperature, °{'F' if frame.us else 'C'}", frame.small
    wide = text_width(words, size)
    first = Box(within.left + 5, within.top + 2, within.left + 5 + wide, within.top + size + 4)
    below = within.bottom - size - 8
    wanted = [first] + [
        Box(within.left + 5 + step, below, within.left + 5 + step + wide, below + size + 4)
        for step in range(0, int(within.right - within.left), 12)
    ]
    spot = free_spot(wanted, taken, within) or first
    return frame.name_panel(spot.top - 1, words, spot.left)


def day_curve(day: Day) -> tuple[Sequence[float], Sequence[float]]:
    """Minutes and temperatures of the day; straight from phase to phase without a curve."""
    if day.lines.temp_c:
        return day.lines.time_min, day.lines.temp_c
    known = [
        (t, c)
        for p in day.phases
        for t, c in ((p.start_min, p.start_c), (p.end_min, p.end_c))
        if c is not None
    ]
    return [t for t, _ in known], [c for _, c in known]


def interpolated(times: Sequence[float], values: Sequence[float], at_min: float) -> float:
    """Value of a curve at a minute, held at its ends; the one before a jump."""
    after = bisect_left(times, at_min)
    if after == 0:
        return values[0]
    if after == len(times):
        return values[-1]
    share = (at_min - times[after - 1]) / (times[after] - times[after - 1])
    return values[after - 1] + share * (values[after] - values[after - 1])


def _scale(frame: Frame, day: Day, temps: Sequence[float], top: float, foot: float) -> ValueScale:
    read = (each.temp_c for each in day.reads)
    shown = [frame.degrees(t) for t in (*temps, *(t for t in read if t is not None))]
    low = min([frame.degrees(0.0), *shown])
    high = max([frame.degrees(100.0), *shown])
    # The air above the boil keeps flags and words off the curve.
    return ValueScale(low, high + 0.18 * (high - low), foot, top)


def _grid(frame: Frame, scale: ValueScale) -> None:
    step = round_step(scale.high - scale.low, 6)
    for value in ticks(scale.low, scale.high - 0.1 * (scale.high - scale.low), step):
        y = scale.y(value)
        frame.add(line(frame.left, y, frame.right, y, RULE, 0.6))
        frame.say(frame.left - 5, y + 4, f"{value:.0f}", frame.small, anchor="end", fill=GREY)
    frame.add(
        element("rect", x=frame.left, y=scale.top, width=frame.right - frame.left,
                height=scale.bottom - scale.top, fill="none", stroke=INK, stroke_width=0.8)
    )


def _pairs(
    frame: Frame, times: Sequence[float], temps: Sequence[float], scale: ValueScale
) -> list[tuple[float, float]]:
    kept = thinned(times, temps, frame.scale)
    places = frame.scale.places(times)
    heights = scale.heights(frame.degrees(temps[i]) for i in kept)
    return slimmed(zip((places[i] for i in kept), heights, strict=True))


def _taken(
    curve: list[tuple[float, float]], landings: list[tuple[float, float, Drop]], top: float
) -> list[Box]:
    taken = [
        Box(min(x1, x2) - 2, min(y1, y2) - 2, max(x1, x2) + 2, max(y1, y2) + 2)
        for (x1, y1), (x2, y2) in _short(curve)
    ]
    taken += [Box(x - 6, top, x + 6, y + 6) for x, y, _ in landings]
    return taken


def _short(
    curve: list[tuple[float, float]],
) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """The curve in steps short enough that a box around one says where it runs."""
    steps = []
    for (x1, y1), (x2, y2) in pairwise(curve):
        parts = max(1, int(max(abs(x2 - x1), abs(y2 - y1)) / 6))
        for part in range(parts):
            a, b = part / parts, (part + 1) / parts
            steps.append(
                ((x1 + a * (x2 - x1), y1 + a * (y2 - y1)), (x1 + b * (x2 - x1), y1 + b * (y2 - y1)))
            )
    return steps


def _temperatures(
    frame: Frame, day: Day, scale: ValueScale, taken: list[Box], within: Box
) -> None:
    breaks = [piece.left for piece in frame.scale.pieces[1:]]
    taken = taken + [Box(x - 2, within.top, x + 2, within.bottom) for x in breaks]
    times, temps = day_curve(day)
    if not times:
        return
    for phase in day.phases:
        if phase.name not in TOLD:
            continue
        middle = phase.name in ("mash", "boil")
        at_min = (phase.start_min + phase.end_min) / 2 if middle else phase.end_min
        temp_c = interpolated(times, temps, at_min)
        if not middle and phase.end_c is not None:
            temp_c = phase.end_c
        words = frame.temperature(temp_c)
        wide, size = text_width(words, frame.small, bold=True), frame.small
        x, y = frame.scale.x(at_min), scale.y(frame.degrees(temp_c))
        # Beside a turn of the curve, or under a level stretch of it.
        steps = [(0.0, 18.0), (0.0, 26.0)] if middle else [(wide * 0.6, -7.0), (wide * 0.6, 4.0)]
        steps += [(dx, dy) for dy in (18.0, -8.0, 28.0) for dx in (wide * 0.6, 0.0, -wide * 0.6)]
        wanted = [
            Box(x + dx - wide / 2, y + dy - size, x + dx + wide / 2, y + dy + 0.2 * size)
            for dx, dy in steps
        ]
        spot = free_spot(wanted, taken, within)
        if spot is not None:
            frame.say((spot.left + spot.right) / 2, spot.bottom - 0.24 * size, words, size,
                      anchor="middle", bold=True, kind="temperature")
            taken.append(spot)
