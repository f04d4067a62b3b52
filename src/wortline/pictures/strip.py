"""The strip: a whole brewing day on one time axis."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, Literal

from wortline.pictures.bands import dose_flags, fact_band, phase_band
from wortline.pictures.bitter import bitter_panel, dose_list
from wortline.pictures.frame import REFLOW_PX, ROOMY_PX, Frame
from wortline.pictures.heat import temperature_panel
from wortline.pictures.key import key
from wortline.pictures.labels import shortened, wrapped
from wortline.pictures.lanes import break_lines, lanes, time_axis
from wortline.pictures.line_up_row import in_words, line_up_row
from wortline.pictures.read_marks import read_rows
from wortline.pictures.reading import Day, day_of
from wortline.pictures.scale import clock, time_scale
from wortline.pictures.svg import ACCENT, GREY, hatches, line, picture, rect, refuse_width

NUMBER_PX = 140  # a headline number with its caption, uncut
PREFIX = "strip-hatch-"


def strip(
    plan: Mapping[str, Any],
    width_px: int = 1200,
    system: Literal["metric", "us"] = "metric",
    *,
    former: Mapping[str, Any] | None = None,
    room_for: Mapping[str, Any] | None = None,
    bare: bool = False,
    prefix: str = PREFIX,
) -> str:
    """SVG picture of a plan: temperature, doses and bitter lines on the day's time axis.

    Parameters
    ----------
    plan : Mapping
        The keys of `plan/1`; a part that is absent is left out of the picture. `facts`, with the
        fields of the timeline, are what the phases were: a second band; `reads` what was read and
        dosed at which minute; `came_to` the headline numbers that were read.
    width_px : int
        Width of the picture in pixels; below 700 it is laid out for a phone.
    system : str
        `metric` or `us`: how temperatures, volumes and colour are shown.
    former : Mapping, optional
        A plan to compare with: its curves stand behind as faint lines.
    room_for : Mapping, optional
        The plan as it is kept, on a page where it is moved: what comes and goes with a move
        keeps its room, so that nothing below jumps. Its line-ups, while those of this plan are
        still worked out; the row of the key that says what the faint lines are.
    bare : bool
        Without title and numbers, where these stand beside the picture.
    prefix : str
        Beginning of every id, for pages with more than one picture.

    Returns
    -------
    str
        One `<svg>` element that needs nothing from outside.

    Raises
    ------
    ValueError
        If the width is not from 320 to 4000 pixels, or the system is not known.
    """
    refuse_width("strip", width_px)
    if system not in ("metric", "us"):
        raise ValueError(f"the strip speaks metric or us, not {system}")
    day = day_of(plan)
    if room_for and not day.line_ups:
        day = replace(day, line_ups=day_of(room_for).line_ups, line_ups_late=True)
    before = day_of(former) if former else None
    frame = _frame(day, before, width_px, system == "us", prefix)
    frame.keeps_room = room_for is not None
    y = 2.0 if bare else _refusal(frame, day, _numbers(frame, day, _title(frame, day)))
    if day.phases or day.lines.time_min:
        y = _panels(frame, day, y + 8)
    foot = _footer(frame, day, y)
    return _document(frame, day, math.ceil(foot))


def _frame(day: Day, before: Day | None, width_px: int, us: bool, prefix: str) -> Frame:
    narrow = width_px < REFLOW_PX
    aside = 250.0 if width_px < ROOMY_PX else 285.0
    left, right = (34.0, width_px - 14.0) if narrow else (60.0, width_px - aside)
    start, end = day.span_min
    if before is not None:
        end = max(end, before.span_min[1])
    scale = time_scale(start, end, day.hot_min, left, right)
    return Frame(float(width_px), narrow, us, scale, prefix, before)


def _title(frame: Frame, day: Day) -> float:
    size = 17.0 if frame.narrow else 25.0
    room = frame.width - 2 * frame.edge
    y = 12 + size
    name = day.name or "The brewing day"
    frame.say(frame.edge, y, shortened(name, size, room, bold=True), size, bold=True, kind="title")
    y += frame.body * 1.5
    where = f"The brewing day on {day.rig}" if day.rig else "The brewing day"
    words = f"{where}, on one time axis" if not frame.narrow else where
    frame.say(frame.edge, y, shortened(words, frame.body, room), frame.body, fill=GREY,
              kind="subtitle")
    return y


def _headline(frame: Frame, day: Day) -> list[tuple[str, str]]:
    """The few numbers, each with its caption, the most wanted first."""
    low, mid, high = day.ibu
    read = dict(day.came_to)
    # beside facts it has to be said which numbers are only the plan's
    plan = ", plan" if day.facts else ""
    rows: list[tuple[str, str]] = []
    if day.original_sg is not None:
        rows.append(_beside(f"{day.original_sg:.3f}", read.get("original_sg"), plan,
                            "original gravity", "{:.3f}".format))
    if mid is not None:
        likely = f", {low:.0f} to {high:.0f}" if low is not None and high is not None else ""
        rows.append((f"{mid:.0f}", f"IBU{likely}{plan}"))
    if day.batch_l is not None:
        rows.append(_beside(frame.volume(day.batch_l), read.get("batch_l"), plan,
                            "cold, in fermenter", frame.volume))
    if day.abv_fraction is not None:
        rows.append((f"{day.abv_fraction * 100:.1f} %", f"alcohol by volume{plan}"))
    if day.final_sg is not None:
        rows.append((f"{day.final_sg:.3f}", f"final gravity{plan}"))
    if day.colour_ebc is not None:
        shown, unit = frame.colour(day.colour_ebc)
        rows.append((shown, f"{unit}, colour{plan}"))
    if day.water_l is not None:
        rows.append(_beside(frame.volume(day.water_l), read.get("water_l"), plan,
                            "cold, water", frame.volume))
    if day.phases:
        start, end = replace(day, facts=(), reads=()).span_min
        rows.append((clock(end - start), f"h:min, start to end{plan}"))
    return rows


def _beside(
    planned: str, read: float | None, plan: str, caption: str, spoken: Callable[[float], str]
) -> tuple[str, str]:
    """What was read with the plan beside it; the plan where nothing was read."""
    if read is None:
        return planned, f"{caption}{plan}"
    return spoken(read), f"{caption}, plan {planned}"


def _numbers(frame: Frame, day: Day, y: float) -> float:
    rows = _headline(frame, day)
    if not rows:
        return y + 6
    across = 3 if frame.narrow else min(8, int((frame.width - 2 * frame.edge) / NUMBER_PX))
    if day.facts:
        # the plan stands in the caption
        across = 2 if frame.narrow else min(across, 5)
    rows = rows[: 6 if frame.narrow else 8]
    room = (frame.width - 2 * frame.edge) / across
    size, small = (15.0, 12.0) if frame.narrow else (21.0, 14.0)
    for place, (shown, caption) in enumerate(rows):
        x = frame.edge + (place % across) * room
        line_y = y + 12 + size + (place // across) * (size + small + 13)
        if place % across:
            frame.add(line(x - 7, line_y - size * 0.8, x - 7, line_y + small + 4, GREY, 0.6))
        frame.say(x, line_y, shortened(shown, size, room - 12, bold=True), size, bold=True,
                  kind="number")
        frame.say(x, line_y + small + 4, shortened(caption, small, room - 9), small, fill=GREY,
                  kind="caption")
    return line_y + small + 10


def _refusal(frame: Frame, day: Day, y: float) -> float:
    """What cannot be, in words, before any curve."""
    if day.fits and not day.cant:
        return y
    size, room = frame.body, frame.width - 2 * frame.edge - 16
    reasons = list(day.cant) or ["this plan does not fit"]
    lines = [one for text in reasons[:3] for one in wrapped(text, size, room,
                                                            4 if frame.narrow else 2)]
    if len(reasons) > 3:
        lines.append(f"and {len(reasons) - 3} more")
    high = len(lines) * size * 1.35 + 10
    frame.add(rect(frame.edge, y + 6, 4, high, ACCENT))
    for place, words in enumerate(lines):
        frame.say(frame.edge + 14, y + 8 + size + place * size * 1.35, words, size, bold=False,
                  fill=ACCENT, kind="cant")
    return y + high + 10


def _panels(frame: Frame, day: Day, y: float) -> float:
    top = y
    if day.phases:
        top = fact_band(frame, day, line_up_row(frame, day, phase_band(frame, day, y)))
        top = read_rows(frame, day, top)
    heat_top, placed = dose_flags(frame, day, top + 4)
    foot = temperature_panel(frame, day, placed, heat_top, 150.0 if frame.narrow else 210.0)
    if not frame.narrow:
        key(frame, day, heat_top)
    foot = bitter_panel(frame, day, foot + 10, 150.0 if frame.narrow else 220.0)
    break_lines(frame, heat_top, foot)
    foot = lanes(frame, day, foot + 8)
    foot = time_axis(frame, foot + 2)
    words = "hours and minutes from the start of filling"
    frame.say(frame.left, foot + frame.small, words, frame.small, fill=GREY, kind="axis")
    foot += frame.small + 6
    return dose_list(frame, day, foot + 4) if frame.narrow else foot


def _footer(frame: Frame, day: Day, y: float) -> float:
    size, room = frame.small, frame.width - 2 * frame.edge
    later = [f"{d.id} {d.name}".strip() + (f" ({d.at})" if d.at else "")
             for d in day.doses if d.in_min is None and d.id != "malt"]
    notes = []
    if later:
        notes.append(f"Not on this axis: {', '.join(later)}.")
    if day.method:
        notes.append(f"Bitterness by the {day.method} method.")
    if frame.narrow:
        y = key(frame, day, y + size) + 0.5 * size
    for note in notes:
        for words in wrapped(note, size, room, 3):
            y += size * 1.45
            frame.say(frame.edge, y, words, size, fill=GREY, kind="note")
    return y + 14


def _document(frame: Frame, day: Day, height: int) -> str:
    name = day.name or "a brewing day"
    told = [f"{shown} {caption}" for shown, caption in _headline(frame, day)]
    told += [*day.cant]
    phases = ", ".join(phase.name.replace("_", " ") for phase in day.phases)
    desc = f"Temperature and bitterness over the day. Phases: {phases or 'none'}. {'; '.join(told)}"
    desc += in_words(day)
    return picture(
        hatches(frame.prefix),
        *frame.parts,
        width=frame.width, height=height, title=f"Strip of {name}", told=desc, prefix=frame.prefix,
    )
