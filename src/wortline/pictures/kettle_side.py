"""The kettle from the side: cone, cloud, outlet and draw-off line at a few moments of the rest."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from wortline.pictures.frame import REFLOW_PX, Frame
from wortline.pictures.labels import shortened, wrapped
from wortline.pictures.scale import Piece, TimeScale
from wortline.pictures.svg import (
    ACCENT,
    BAND,
    GREY,
    GROUND,
    INK,
    element,
    hatch,
    hatches,
    line,
    picture,
    polygon,
    polyline,
    rect,
    refuse_width,
)

PREFIX = "kettle-hatch-"
MOST_SPECKS = 170
TALLEST_PX = 300.0
# Steps of a point set that covers a rectangle evenly (M. Roberts' R2 sequence).
STEP_X, STEP_Y = 0.7548776662466927, 0.5698402909980532


@dataclass(frozen=True)
class KettleMoment:
    """What the kettle looks like at one moment; a share that is not known is None."""

    name: str
    when: str
    turns_per_min: float
    dip_m: float
    clear_fraction: float | None
    suspended_fraction: float
    cone_radius_m: float
    cone_height_m: float
    dusted_fraction: float


@dataclass(frozen=True)
class KettleSide:
    """The kettle, how high the hot wort stands in it, and the moments to draw."""

    title: str
    subtitle: str
    diameter_m: float
    wall_m: float
    wort_m: float
    outlet_m: float
    draw_off_m: float | None
    draw_off_words: str
    moments: tuple[KettleMoment, ...]


@dataclass(frozen=True)
class _Place:
    """Where a kettle stands on the picture, and how large a metre is there."""

    left: float
    floor: float
    px_m: float

    def x(self, from_left_m: float) -> float:
        return self.left + from_left_m * self.px_m

    def y(self, above_floor_m: float) -> float:
        return self.floor - above_floor_m * self.px_m


def kettle_side(
    side: KettleSide, width_px: int = 1200, system: Literal["metric", "us"] = "metric"
) -> str:
    """SVG picture of the kettle from the side at a few moments, all to one scale.

    Parameters
    ----------
    side : KettleSide
        The kettle and its moments.
    width_px : int
        Width of the picture in pixels; below 700 the moments stand under each other.
    system : str
        `metric` or `us`: how heights are written.

    Returns
    -------
    str
        One `<svg>` element that needs nothing from outside.

    Raises
    ------
    ValueError
        If the width is not from 320 to 4000 pixels.
    """
    refuse_width("kettle", width_px)
    narrow = width_px < REFLOW_PX
    frame = Frame(
        float(width_px), narrow, system == "us",
        TimeScale((Piece(0.0, 1.0, 0.0, float(width_px)),)), PREFIX,
    )
    y = frame.headed(side.title, side.subtitle) + 14
    across = 1 if narrow else max(len(side.moments), 1)
    room = (frame.width - 2 * frame.edge) / across
    foot = y
    for start in range(0, len(side.moments), across):
        row = side.moments[start : start + across]
        foot = max(
            _moment(frame, side, moment, frame.edge + number * room, y, room)
            for number, moment in enumerate(row)
        )
        y = foot + 10
    return _document(frame, side, math.ceil(_key(frame, side, foot + 8)))


def _height(frame: Frame, height_m: float) -> str:
    return f"{height_m / 0.0254:.1f} in" if frame.us else f"{100.0 * height_m:.1f} cm"


def _moment(
    frame: Frame, side: KettleSide, moment: KettleMoment, left: float, top: float, room: float
) -> float:
    """One kettle with its words; return the foot."""
    size = frame.body
    frame.say(left + 4, top + size, shortened(moment.name, size, room - 8, bold=True), size,
              bold=True, kind="moment")
    frame.say(left + 4, top + 2.35 * size, shortened(moment.when, frame.small, room - 8),
              frame.small, fill=GREY, kind="when")
    marks, pipe = 54.0, 58.0
    px_m = min((room - marks - pipe) / side.diameter_m, TALLEST_PX / side.wall_m)
    wide = side.diameter_m * px_m
    at = _Place(
        left + marks + max(room - marks - pipe - wide, 0.0) / 2,
        top + 3.3 * size + side.wall_m * px_m,
        px_m,
    )
    frame.add("<g class=\"kettle\">")
    _wort(frame, side, moment, at)
    _cone(frame, side, moment, at)
    _cloud(frame, side, moment, at)
    _vessel(frame, side, at)
    _marks(frame, side, moment, at)
    if moment.turns_per_min >= 0.5:
        _swirl(frame, side, at)
    frame.add("</g>")
    y = at.floor + 6
    for words in _words(moment):
        for one in wrapped(words, frame.small, room - 12, 2):
            y += 1.4 * frame.small
            frame.say(left + 4, y, one, frame.small, kind="words")
    return y + 6


def _words(moment: KettleMoment) -> list[str]:
    turns = (
        f"{moment.turns_per_min:.0f} turns a minute"
        if moment.turns_per_min >= 1.5
        else "a turn a minute" if moment.turns_per_min >= 0.75
        else "hardly turning" if moment.turns_per_min >= 0.1 else "standing still"
    )
    clear = moment.clear_fraction
    seen = "clarity at the outlet: no data" if clear is None else (
        f"at the outlet {100.0 * clear:.0f} % of the solids are gone"
    )
    return [f"{turns}; {100.0 * moment.suspended_fraction:.0f} % still afloat", seen]


def _surface(side: KettleSide, moment: KettleMoment, at: _Place) -> list[tuple[float, float]]:
    """The surface from wall to wall: a parabola that dips where the wort turns."""
    pairs = []
    for number in range(25):
        share = number / 12.0 - 1.0
        # A paraboloid keeps its volume: half the dip stands above the resting level at the wall.
        height = side.wort_m + moment.dip_m * (share * share - 0.5)
        pairs.append((at.x(side.diameter_m * (share + 1.0) / 2.0), at.y(height)))
    return pairs


def _wort(frame: Frame, side: KettleSide, moment: KettleMoment, at: _Place) -> None:
    surface = _surface(side, moment, at)
    corners = [(at.x(side.diameter_m), at.floor), (at.left, at.floor)]
    frame.add(polygon([*surface, *corners], BAND), polyline(surface, INK, 1.2))


def _cone(frame: Frame, side: KettleSide, moment: KettleMoment, at: _Place) -> None:
    middle, radius = side.diameter_m / 2.0, min(moment.cone_radius_m, side.diameter_m / 2.0)
    if moment.dusted_fraction > 0.005:
        thick = 1.5 + 5.0 * moment.dusted_fraction
        frame.add(
            element("rect", x=at.left, y=at.floor - thick, width=side.diameter_m * at.px_m,
                    height=thick, fill=GREY, class_="dusting")
        )
    if radius <= 0.0 or moment.cone_height_m <= 0.0:
        return
    shape = [
        (at.x(middle + radius * share), at.y(moment.cone_height_m * (1.0 - abs(share)) ** 1.15))
        for share in (number / 10.0 - 1.0 for number in range(21))
    ]
    frame.add(polygon(shape, hatch(frame.prefix, 5), INK))


def _cloud(frame: Frame, side: KettleSide, moment: KettleMoment, at: _Place) -> None:
    """Specks for what is afloat: as many as their share, spread evenly."""
    specks = []
    for number in range(round(MOST_SPECKS * min(max(moment.suspended_fraction, 0.0), 1.0))):
        x_m = side.diameter_m * (0.03 + 0.94 * ((0.5 + STEP_X * number) % 1.0))
        low_m = moment.cone_height_m * max(
            0.0, 1.0 - abs(x_m - side.diameter_m / 2.0) / max(moment.cone_radius_m, 1e-9)
        ) + 0.012
        high_m = side.wort_m - 0.5 * moment.dip_m - 0.01
        y_m = low_m + (high_m - low_m) * ((0.5 + STEP_Y * number) % 1.0)
        specks.append(f"M{at.x(x_m):.1f},{at.y(y_m):.1f}h0")
    if specks:
        frame.add(
            element("path", d="".join(specks), stroke=INK, stroke_width=2.6,
                    stroke_linecap="round", class_="cloud", fill="none")
        )


def _vessel(frame: Frame, side: KettleSide, at: _Place) -> None:
    right, brim = at.x(side.diameter_m), at.y(side.wall_m)
    walls = [(at.left, brim), (at.left, at.floor), (right, at.floor), (right, brim)]
    frame.add(polyline(walls, INK, 2.6))
    out, half = at.y(side.outlet_m), max(0.008 * at.px_m, 3.0)
    frame.add(
        rect(right - 2, out - half, 20, 2 * half, GROUND),
        line(right, out - half, right + 18, out - half, INK, 1.6),
        line(right, out + half, right + 18, out + half, INK, 1.6),
        polygon([(right + 20, out - 5), (right + 20, out + 5), (right + 27, out)], INK),
    )
    frame.say(right + 6, out - half - 5, "outlet", frame.small, kind="outlet")


def _marks(frame: Frame, side: KettleSide, moment: KettleMoment, at: _Place) -> None:
    """Heights at the left wall: the wort and the draw-off line."""
    y = at.y(side.wort_m + 0.5 * moment.dip_m)
    frame.say(at.left - 6, y + 4, _height(frame, side.wort_m), frame.small, anchor="end",
              fill=GREY, kind="level")
    if side.draw_off_m is None:
        return
    y = at.y(side.draw_off_m)
    frame.add(line(at.left - 4, y, at.x(side.diameter_m), y, ACCENT, 2.0, "7 3"))
    frame.say(at.left - 6, y + 4, _height(frame, side.draw_off_m), frame.small, anchor="end",
              fill=ACCENT, kind="draw-off")


def _swirl(frame: Frame, side: KettleSide, at: _Place) -> None:
    """An arrow round the axis, in the upper third of the wort."""
    wide, high = 0.33 * side.diameter_m * at.px_m, 0.06 * side.diameter_m * at.px_m
    x, y = at.x(side.diameter_m / 2.0), at.y(0.74 * side.wort_m)
    x1, x2, y1 = x - 0.8 * wide, x + 0.8 * wide, y - 0.6 * high
    bent = f"M{x1:.1f},{y1:.1f} A{wide:.1f},{high:.1f} 0 1 0 {x2:.1f},{y1:.1f}"
    frame.add(
        element("path", d=bent, fill="none", stroke=GROUND, stroke_width=6.0),
        element("path", d=bent, fill="none", stroke=INK, stroke_width=2.2, class_="swirl"),
        polygon([(x2 - 11, y1 + 1), (x2 + 2, y1 + 7), (x2 - 1, y1 - 7)], INK),
    )


def _key(frame: Frame, side: KettleSide, y: float) -> float:
    size, room = frame.small, frame.width - 2 * frame.edge
    rows = [("cone", "cone: what has settled and holds together"),
            ("dust", "dusting over the floor: the first draw lifts it"),
            ("cloud", "specks: what is still afloat")]
    if side.draw_off_m is not None:
        rows.insert(0, ("line", side.draw_off_words))
    for mark, words in rows:
        y += 0.45 * size
        for number, one in enumerate(wrapped(words, size, room - 28, 3)):
            y += 1.25 * size
            if number == 0:
                frame.add(_mark(frame, mark, frame.edge, y))
            frame.say(frame.edge + 28, y, one, size, fill=GREY, kind="key")
    return y + 12


def _mark(frame: Frame, mark: str, x: float, y: float) -> str:
    if mark == "line":
        return line(x, y - 4, x + 20, y - 4, ACCENT, 2.0, "7 3")
    if mark == "cone":
        return polygon([(x, y + 1), (x + 10, y - 8), (x + 20, y + 1)], hatch(frame.prefix, 5), INK)
    if mark == "dust":
        return rect(x, y - 5, 20, 3.5, GREY)
    dots = f"M{x + 3:.1f},{y - 6:.1f}h0M{x + 11:.1f},{y - 2:.1f}h0M{x + 17:.1f},{y - 7:.1f}h0"
    return element("path", d=dots, stroke=INK, stroke_width=2.6, stroke_linecap="round")


def _document(frame: Frame, side: KettleSide, height: int) -> str:
    told = "; ".join(
        f"{moment.name}, {moment.when}: {', '.join(_words(moment))}" for moment in side.moments
    )
    return picture(
        hatches(frame.prefix),
        *frame.parts,
        width=frame.width, height=height, title=side.title,
        told=f"{told}. {side.draw_off_words}", prefix="kettle-",
    )
