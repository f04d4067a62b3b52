"""What was read and dosed on the day: marks with words under the band of facts."""

from __future__ import annotations

from wortline.pictures.frame import Frame
from wortline.pictures.labels import text_width
from wortline.pictures.reading import Day, Read
from wortline.pictures.svg import GREY, GROUND, INK, element, line, rect

GAP_PX = 8.0
RADIUS_PX = 3.5
BESIDE_PX = RADIUS_PX + 4.0


def read_rows(frame: Frame, day: Day, top: float) -> float:
    """Draw each reading and dose at its minute, with what it was and the plan; return the foot."""
    if not day.reads:
        return top
    size = frame.small
    first, step = top + 2.6 * size, 1.35 * size
    rows: list[float] = []
    placed: list[tuple[Read, float, float, float]] = []
    for read in day.reads:
        x, wide = frame.scale.x(read.at_min), text_width(read.words, size)
        fits = x + BESIDE_PX + wide <= frame.width - 4
        left = x + BESIDE_PX if fits else max(x - BESIDE_PX - wide, 4.0)
        begins, ends = min(left, x - RADIUS_PX), max(left + wide, x + RADIUS_PX)
        row = next((at for at, end in enumerate(rows) if end + GAP_PX <= begins), len(rows))
        rows[row : row + 1] = [ends]
        placed.append((read, x, left, first + row * step))
    for _, x, _, y in placed:
        frame.add(line(x, top, x, y - 0.35 * size, GREY, 0.6))
    label = "as read, and doses as they went in"
    _say(frame, frame.left, top + size + 2, label, GREY, "read-label")
    for read, x, left, y in placed:
        _say(frame, left, y, read.words, INK, "read", left < x)
        frame.add(element("circle", cx=x, cy=y - 0.35 * size, r=RADIUS_PX, fill=INK))
    return first + (len(rows) - 1) * step + 6


def _say(
    frame: Frame, x: float, y: float, words: str, fill: str, kind: str, ends: bool = False
) -> None:
    """Words on a ground of their own: the poles of others run behind them."""
    size = frame.small
    wide = text_width(words, size)
    frame.add(rect(x - 1, y - 0.85 * size, wide + 2, 1.1 * size, GROUND))
    at, anchor = (x + wide, "end") if ends else (x, "start")
    frame.say(at, y, words, size, fill=fill, kind=kind, anchor=anchor)


def temperature_marks(frame: Frame, places: list[tuple[Read, float]]) -> None:
    """Hollow points where a thermometer was read, beside the curve of the plan."""
    for read, y in places:
        x = frame.scale.x(read.at_min)
        mark = element("circle", cx=x, cy=y, r=4.5, fill=GROUND, stroke=INK, stroke_width=1.8)
        frame.add(f'<g class="read-point">{mark}</g>')
