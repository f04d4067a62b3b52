"""The key: what the marks of a strip mean, only those that stand in it."""

from __future__ import annotations

from wortline.pictures.bands import AFTER_HEAT, caution_mark, cautions_marked, drop_path
from wortline.pictures.frame import Frame
from wortline.pictures.labels import wrapped
from wortline.pictures.line_up_row import line_ups_in_words, numbered
from wortline.pictures.reading import Day
from wortline.pictures.svg import ACCENT, BAND, GREY, INK, WARM, element, line


def key(frame: Frame, day: Day, top: float) -> float:
    """Draw the key, beside the panels or under them on a narrow picture; return its foot."""
    size = frame.small
    x = frame.left if frame.narrow else frame.right + 36
    y = top + (0 if frame.narrow else 4)
    room = frame.width - frame.edge - x - 22
    for mark, words in _rows(frame, day):
        y += 0.5 * size
        if mark == "former" and frame.former is None:
            y += 1.25 * size * len(wrapped(words, size, room, 3))
            continue
        frame.add(_mark(mark, x, y + size, size))
        for one in wrapped(words, size, room, 5 if mark == "line-up" else 3):
            y += 1.25 * size
            frame.say(x + 22, y, one, size, fill=GREY, kind="key")
    return y


def _rows(frame: Frame, day: Day) -> list[tuple[str, str]]:
    start, end = day.span_min
    rows = []
    if any(d.in_min is not None and start <= d.in_min <= end for d in day.doses):
        rows.append(("drop", "hops go in"))
    if any(phase.name in AFTER_HEAT for phase in day.phases):
        rows.append(("warm", "heat off: hops still earn bitterness while the wort is hot"))
    if frame.narrow and numbered(day):
        rows.append(("line-up", f"line-ups: {line_ups_in_words(day)}"))
    cautious = sum(phase.cautions > 0 for phase in day.phases)
    if cautious and cautions_marked(day):
        rows.append(("caution", "a caution stands on this step: read it on the printed plan first"))
    elif cautious:
        count = "every step has" if cautious == len(day.phases) else f"{cautious} steps have"
        rows.append(("caution", f"{count} a caution: read it on the printed plan first"))
    if None not in day.ibu and any(dose.line_ibu for dose in day.doses):
        rows.append(("range", "likely range of the bitterness"))
    if len(frame.scale.pieces) > 1:
        rows.append(("break", "the time scale changes: see the brackets under the axis"))
    if frame.former is not None or (frame.narrow and frame.keeps_room):
        rows.append(("former", "as it was before you moved something"))
    return rows


def _mark(mark: str, x: float, y: float, size: float) -> str:
    middle = x + 8
    if mark == "drop":
        return element("path", d=drop_path(middle, y - 3), fill=ACCENT)
    if mark == "warm":
        return element("rect", x=x, y=y - 8, width=16.0, height=11.0, fill=WARM, stroke=INK,
                       stroke_width=0.8)
    if mark == "line-up":
        return element("rect", x=x, y=y - 8, width=16.0, height=11.0, fill=BAND, stroke=INK,
                       stroke_width=0.8)
    if mark == "caution":
        return caution_mark(middle - size * 0.4, y + 2, size)
    if mark == "range":
        return (
            line(middle, y - 8, middle, y + 3, ACCENT, 2.0)
            + line(middle - 4, y - 8, middle + 4, y - 8, ACCENT, 2.0)
            + line(middle - 4, y + 3, middle + 4, y + 3, ACCENT, 2.0)
        )
    if mark == "former":
        return line(x, y - 3, x + 16, y - 3, GREY, 1.4, "2 3")
    return line(middle, y - 9, middle, y + 4, ACCENT, 1.2, "1 4")
