"""How the pipes stand over the day: one row under the phases, a mark where hands change it."""

from __future__ import annotations

from wortline.pictures.bands import hint
from wortline.pictures.frame import Frame
from wortline.pictures.labels import Box, text_box, text_width, wrapped
from wortline.pictures.reading import Day, LineUp
from wortline.pictures.scale import clock
from wortline.pictures.svg import BAND, GREY, INK, element, line, polygon

STILL = "standing still"
NAMES = {
    "mash-recirculate": "recirculate",
    "sanitise-loop": "hot loop",
    "chill-circulate": "circulating chill",
    "chill-and-transfer": "into the fermenter",
}
MARK_PX = 3.0


def named(line_up: LineUp) -> str:
    """Name of a line-up as a person says it."""
    return NAMES.get(line_up.name, line_up.name.replace("-", " "))


def numbered(day: Day) -> dict[str, int]:
    """Line-ups in which something flows, by name, counted in the order of the day."""
    names = dict.fromkeys(each.name for each in day.line_ups if each.name != STILL)
    return {name: place for place, name in enumerate(names, 1)}


def line_ups_in_words(day: Day) -> str:
    """What the numbers in the row mean."""
    first = {each.name: each for each in reversed(day.line_ups)}
    said = ", ".join(f"{number} {named(first[name])}" for name, number in numbered(day).items())
    return f"{said}; hands change them at the marks"


def line_up_row(frame: Frame, day: Day, top: float) -> float:
    """Draw the row of line-ups; return its foot, `top` for a rig that tells no pipes."""
    if not numbered(day):
        return top
    size, high = frame.small, 14.0 if frame.narrow else 18.0
    band = top + 2.0 * MARK_PX + 3.0
    foot = band + high
    if day.line_ups_late:
        _late(frame, band, foot)
    else:
        _stretches(frame, day, band, foot)
    # The same room whether or not a number stands below, so that nothing jumps.
    foot += size + 1
    if not frame.narrow:
        words = f"Line-ups: {line_ups_in_words(day)}."
        for one in wrapped(words, size, frame.width - frame.edge - frame.left, 2):
            foot += 1.25 * size
            frame.say(frame.left, foot, one, size, fill=GREY, kind="line-ups")
    return foot


def _late(frame: Frame, band: float, foot: float) -> None:
    """The room of the row while it is being worked out."""
    frame.add(
        element(
            "rect", x=frame.left, y=band, width=frame.right - frame.left, height=foot - band,
            fill="none", stroke=GREY, stroke_width=0.8, stroke_dasharray="3 3",
        )
    )  # fmt: skip
    words = "line-ups: being worked out"
    frame.say(frame.left + 4, foot - 4, words, frame.small, fill=GREY, kind="line-up-late")


def _stretches(frame: Frame, day: Day, band: float, foot: float) -> None:
    numbers = numbered(day)
    taken: list[Box] = []
    for each in day.line_ups:
        x1, x2 = frame.scale.x(each.start_min), frame.scale.x(each.end_min)
        if each.name == STILL:
            middle = (band + foot) / 2
            frame.add(line(x1, middle, x2, middle, GREY, 0.8))
        else:
            _stretch(frame, each, numbers[each.name], band, foot, taken)
    # Over the stretches: one change-over, its acts in order.
    for each in day.line_ups:
        if each.acts:
            _mark(frame, each, band)


def _stretch(
    frame: Frame, each: LineUp, number: int, band: float, foot: float, taken: list[Box]
) -> None:
    x1, x2 = frame.scale.x(each.start_min), frame.scale.x(each.end_min)
    told = f"{named(each)}, {clock(each.start_min)} to {clock(each.end_min)}"
    frame.add(
        element(
            "rect", hint(f"Line-up {number}: {told}"), x=x1, y=band, width=max(x2 - x1, 0.5),
            height=foot - band, fill=BAND, stroke=INK, stroke_width=0.8, class_="line-up",
        )
    )  # fmt: skip
    size, middle = frame.small, (x1 + x2) / 2
    for words in (f"{number} {named(each)}", str(number)):
        if text_width(words, size) + 4 <= x2 - x1:
            frame.say(middle, foot - 0.28 * size, words, size, anchor="middle", kind="line-up-name")
            return
    below = text_box(middle, foot + size, str(number), size, "middle")
    if not any(below.touches(other, 2.0) for other in taken):
        taken.append(below)
        frame.say(middle, foot + size, str(number), size, anchor="middle", kind="line-up-name")


def _mark(frame: Frame, each: LineUp, band: float) -> None:
    """A mark that points to the moment at which hands change the line-up."""
    x = frame.scale.x(each.start_min)
    told = f"{clock(each.start_min)} {' '.join(each.acts)}"
    tip = polygon([(x - MARK_PX, band - 2 * MARK_PX), (x + MARK_PX, band - 2 * MARK_PX), (x, band)],
                  INK)  # fmt: skip
    frame.add(element("g", hint(told), tip, class_="change-over"))


def in_words(day: Day) -> str:
    """The line-ups with their moments, for those who do not see the row."""
    said = [
        f"{clock(each.start_min)} {named(each)}" for each in day.line_ups if each.name != STILL
    ]
    return f" Line-ups: {', '.join(said)}." if said and not day.line_ups_late else ""
