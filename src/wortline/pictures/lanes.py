"""Thin lanes under the strip: cold litres and DMS, and the time axis that carries it all."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from wortline.pictures.bands import phase_rules
from wortline.pictures.frame import Frame, slimmed, thinned
from wortline.pictures.labels import Box, shortened, text_box, text_width
from wortline.pictures.reading import Day, Lines
from wortline.pictures.scale import Piece, ValueScale, clock, ticks, time_step
from wortline.pictures.svg import ACCENT, GREY, INK, element, line, polyline

Curve = Sequence[float]


def lanes(frame: Frame, day: Day, top: float) -> float:
    """Draw a lane for each curve the plan has; return the foot."""
    was = frame.former.lines if frame.former else Lines()
    rows: list[tuple[str, Curve, Curve, Callable[[float], str], str]] = [
        ("wort, cold", day.lines.cold_l, was.cold_l, frame.volume, ""),
        ("DMS in the wort", day.lines.dms_ug_l, was.dms_ug_l, lambda value: f"{value:.0f} µg/L",
         "5 3"),
    ]
    for name, values, former, spoken, dash in rows:
        if values and max(values) > 0.0:
            top = _lane(frame, day, name, values, former, spoken, dash, top) + 6
    return top


def _lane(
    frame: Frame, day: Day, name: str, values: Curve, former: Curve,
    spoken: Callable[[float], str], dash: str, top: float,
) -> float:
    high, size = 40.0, frame.small
    foot = top + high
    times = day.lines.time_min
    scale = ValueScale(0.0, max([*values, *former]), foot, top + size + 8)
    phase_rules(frame, day, top + size + 5, foot)
    kept = thinned(times, values, frame.scale)
    places = frame.scale.places(times)
    heights = scale.heights(values[i] for i in kept)
    curve = list(zip((places[i] for i in kept), heights, strict=True))
    frame.add(line(frame.left, foot, frame.right, foot, INK, 0.8))
    if former and frame.former is not None:
        was = frame.former.lines.time_min
        places = frame.scale.places(was)
        kept = thinned(was, former, frame.scale)
        heights = scale.heights(former[i] for i in kept)
        frame.faint(zip((places[i] for i in kept), heights, strict=True))
    if len(curve) > 1:
        frame.add(polyline(slimmed(curve), INK, 1.5, dash))
    last = spoken(values[-1])
    words = f"{name}: most {spoken(max(values))}"
    words += f", end {last}" if frame.narrow else ""
    frame.say(frame.left + 4, top + size, shortened(words, size, frame.right - frame.left - 8),
              size, fill=GREY, kind="panel")
    if not frame.narrow:
        y = min(max(scale.y(values[-1]) + 4, top + size), foot)
        room = frame.width - frame.edge - frame.right - 9
        frame.say(frame.right + 9, y, shortened(f"{last} at the end", size, room), size,
                  fill=GREY, kind="lane-end")
    return foot


def time_axis(frame: Frame, top: float) -> float:
    """Draw ticks, changes of pace and their plain explanation; return the foot."""
    size = frame.small
    taken: list[Box] = []
    y = top + 8 + size
    for piece in frame.scale.pieces:
        step = time_step(piece.pace, text_width("00:00", size) + 12)
        for at_min in ticks(piece.start_min, piece.end_min, step):
            x = frame.scale.x(at_min)
            frame.add(line(x, top, x, top + 5, INK, 1.0))
            box = text_box(x, y, clock(at_min), size, "middle")
            if not any(box.touches(other, 5.0) for other in taken):
                taken.append(frame.say(x, y, clock(at_min), size, anchor="middle", kind="tick"))
    frame.add(line(frame.left, top, frame.right, top, INK, 1.0))
    for piece in frame.scale.pieces[1:]:
        frame.add(_break_mark(piece.left, top))
    foot = y + 6
    if len(frame.scale.pieces) > 1:
        foot = _paces(frame, y + 12)
    return foot


def break_lines(frame: Frame, top: float, foot: float) -> None:
    """Dotted lines through the panels where the pace of the axis changes."""
    for piece in frame.scale.pieces[1:]:
        frame.add(line(piece.left, top, piece.left, foot, ACCENT, 1.2, "1 4"))


def _break_mark(x: float, top: float) -> str:
    return element(
        "path", d=f"M{x - 6:.2f},{top + 5:.2f} l4,-10 M{x + 2:.2f},{top + 5:.2f} l4,-10",
        stroke=ACCENT, stroke_width=1.4, fill="none", class_="break",
    )


def _paces(frame: Frame, top: float) -> float:
    """One bracket for each pace of the axis, with how much wider it draws a minute."""
    size = frame.small
    slowest = min(piece.pace for piece in frame.scale.pieces)
    y = top + size + 6
    for piece in frame.scale.pieces:
        left, right = piece.left + 2, piece.right - 2
        if right - left < 6:
            continue
        frame.add(
            element("polyline", points=f"{left:.2f},{top:.2f} {left:.2f},{top + 4:.2f} "
                    f"{right:.2f},{top + 4:.2f} {right:.2f},{top:.2f}",
                    fill="none", stroke=ACCENT, stroke_width=1.2)
        )
        for words in _pace_words(piece, slowest):
            if text_width(words, size) <= right - left:
                frame.say((left + right) / 2, y, words, size, anchor="middle", fill=ACCENT,
                          kind="pace")
                break
    return y + 6


def _pace_words(piece: Piece, slowest: float) -> tuple[str, ...]:
    times = piece.pace / slowest
    if times < 1.05:
        return ("minutes at × 1", "× 1")
    return (
        f"minutes drawn {times:.1f} times as wide as at × 1",
        f"minutes × {times:.1f}", f"× {times:.1f}",
    )
