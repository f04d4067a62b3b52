"""The trade of the rest: what each length of rest costs and brings, small panels on one axis."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from wortline.pictures.frame import REFLOW_PX, Frame, slimmed
from wortline.pictures.labels import Box, free_spot, shortened, text_box, text_width, wrapped
from wortline.pictures.scale import Piece, TimeScale, ValueScale, round_step, ticks, time_step
from wortline.pictures.svg import (
    ACCENT,
    BAND,
    GREY,
    GROUND,
    INK,
    RULE,
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

PREFIX = "trade-hatch-"
DASHES = ("", "7 3", "2 3", "9 3 2 3", "1 5")
MOST_LAYERS = 6
HEADROOM = 1.4  # room above the lines of the first row, for the names of the moments
RANGE = "#d4d6da"
Curve = tuple[float | None, ...]


@dataclass(frozen=True)
class DoseCurve:
    """Bitterness of one dose over rest length."""

    name: str
    ibu: tuple[float, ...]


@dataclass(frozen=True)
class Way:
    """One way to rest (lid, pump-on temperature) with its lines; None where there is no data."""

    label: str
    ibu: Curve
    aroma_index: Curve
    dms_ug_l: Curve
    clear_fraction: Curve
    clog_level: Curve
    clock_min: Curve


@dataclass(frozen=True)
class TradePicture:
    """All that the picture shows; the first way is the planned one, its doses are drawn."""

    title: str
    subtitle: str
    rest_min: tuple[float, ...]
    doses: tuple[DoseCurve, ...]
    ways: tuple[Way, ...]
    clear_low: Curve = ()
    clear_high: Curve = ()
    aroma_low: Curve = ()
    aroma_high: Curve = ()
    planned_min: float | None = None
    knee_min: float | None = None
    verdict: str = ""
    range_words: str = "likely range of the first line"


@dataclass(frozen=True)
class _Panel:
    """One small panel: what it is called, which line of a way it draws, and its scale."""

    name: str
    field: str
    digits: int = 0
    low: float = 0.0
    high: float | None = None
    times: float = 1.0
    stepped: bool = False


PANELS = (
    _Panel("bitterness of each dose, IBU", "ibu", 1),
    _Panel("aroma, index (no rest: 100)", "aroma_index"),
    _Panel("DMS in the beer, µg/L", "dms_ug_l"),
    _Panel("solids gone at the outlet, %", "clear_fraction", high=100.0, times=100.0),
    _Panel("clog caution, 1 to 5", "clog_level", high=5.0, stepped=True),
    _Panel("end of the chill, minutes after heat-off", "clock_min"),
)


def rest_trade_picture(trade: TradePicture, width_px: int = 1200) -> str:
    """SVG picture of the trade of the rest: six panels over one axis of rest length.

    Parameters
    ----------
    trade : TradePicture
        The lines to draw; every curve has one entry for each rest length.
    width_px : int
        Width of the picture in pixels; below 700 the panels stand under each other.

    Returns
    -------
    str
        One `<svg>` element that needs nothing from outside.

    Raises
    ------
    ValueError
        If the width is not from 320 to 4000 pixels.
    """
    refuse_width("trade", width_px)
    narrow = width_px < REFLOW_PX
    columns = 1 if narrow else 2
    frame = Frame(float(width_px), narrow, False, _scale(trade, 0.0, 1.0), PREFIX)
    y = _title(frame, trade)
    room = (frame.width - 2 * frame.edge) / columns
    high = 96.0 if narrow else 150.0
    for start in range(0, len(PANELS), columns):
        feet = []
        last = start + columns >= len(PANELS)
        for column, panel in enumerate(PANELS[start : start + columns]):
            left = frame.edge + column * room + 34.0
            right = frame.edge + (column + 1) * room - (10.0 if narrow else 34.0)
            here = replace(frame, scale=_scale(trade, left, right))
            feet.append(_draw(here, trade, panel, y, high, named=start == 0))
            if last:
                feet[-1] = _axis(here, trade, feet[-1])
        y = max(feet) + (8.0 if narrow else 14.0)
    return _document(frame, trade, math.ceil(_key(frame, trade, y)))


def _scale(trade: TradePicture, left: float, right: float) -> TimeScale:
    end = max(trade.rest_min[-1], trade.rest_min[0] + 1.0)
    return TimeScale((Piece(trade.rest_min[0], end, left, right),))


def _title(frame: Frame, trade: TradePicture) -> float:
    y = frame.headed(trade.title, trade.subtitle)
    room = frame.width - 2 * frame.edge
    lines = wrapped(trade.verdict, frame.body, room - 12, 6 if frame.narrow else 3)
    top = y + 7
    y += 5.0 * bool(lines)
    for words in lines:
        y += frame.body * 1.5
        frame.say(frame.edge + 12, y, words, frame.body, fill=ACCENT, kind="verdict")
    if lines:
        frame.add(rect(frame.edge, top, 4, y - top + 4, ACCENT))
    return y + 12


def _curve(way: Way, panel: _Panel) -> list[float | None]:
    values: Curve = getattr(way, panel.field)
    return [None if value is None else value * panel.times for value in values]


def _draw(
    frame: Frame, trade: TradePicture, panel: _Panel, top: float, high: float, named: bool
) -> float:
    """One panel; return its foot."""
    top += frame.small + 6
    foot = top + high
    curves = [_curve(way, panel) for way in trade.ways]
    ends = _ends(trade, panel)
    known = [value for curve in curves for value in curve if value is not None]
    known += [value for curve in ends for value in curve]
    frame.add(rect(frame.left, top, frame.right - frame.left, high, BAND))
    words = panel.name if known else f"{panel.name}: no data"
    room = frame.right - frame.left + 34.0
    frame.say(frame.left - 30, top - 5, shortened(words, frame.small, room), frame.small,
              kind="panel")
    if not known:
        return foot
    scale = _values(panel, known, foot, top, HEADROOM if named else 1.12)
    _grid(frame, scale, panel)
    if panel.field == "ibu" and trade.doses:
        _layers(frame, trade, scale)
    if ends:
        _band(frame, trade, ends, scale)
    for number, curve in enumerate(curves):
        _line(frame, trade, curve, scale, number, panel.stepped)
    _moments(frame, trade, top, foot, named)
    _value(frame, trade, panel, curves[0], top)
    return foot


def _values(
    panel: _Panel, known: Sequence[float], foot: float, top: float, times: float
) -> ValueScale:
    if panel.high is not None:
        return ValueScale(panel.low, panel.high * 1.04, foot, top)
    peak = max(*known, 1e-6)
    return ValueScale(panel.low, peak * times, foot, top)


def _grid(frame: Frame, scale: ValueScale, panel: _Panel) -> None:
    step = 1.0 if panel.stepped else round_step(scale.high - scale.low, 4)
    for value in ticks(scale.low + 0.5 * panel.stepped, scale.high, step):
        y = scale.y(value)
        frame.add(line(frame.left, y, frame.right, y, RULE, 0.6))
        frame.say(frame.left - 4, y + (4 if value else 0), f"{value:g}", frame.small - 1,
                  anchor="end", fill=GREY, kind="tick")


def _layers(frame: Frame, trade: TradePicture, scale: ValueScale) -> None:
    """The doses one on another, first dose lowest."""
    xs = [frame.scale.x(each) for each in trade.rest_min]
    under = [0.0] * len(xs)
    for number, dose in enumerate(drawn_doses(trade)):
        upper = [low + max(ibu, 0.0) for low, ibu in zip(under, dose.ibu, strict=True)]
        shape = slimmed(zip(xs, map(scale.y, upper), strict=True))
        back = slimmed(zip(xs, map(scale.y, under), strict=True))[::-1]
        frame.add(polygon([*shape, *back], hatch(frame.prefix, number)), polyline(shape, INK, 0.9))
        under = upper


def drawn_doses(trade: TradePicture) -> list[DoseCurve]:
    """The doses as they are drawn: the small ones together where there are many."""
    if len(trade.doses) <= MOST_LAYERS:
        return list(trade.doses)
    great = sorted(trade.doses, key=lambda dose: -max(dose.ibu))[: MOST_LAYERS - 1]
    small = [dose for dose in trade.doses if dose not in great]
    sums = tuple(sum(column) for column in zip(*(dose.ibu for dose in small), strict=True))
    return [dose for dose in trade.doses if dose in great] + [
        DoseCurve(f"{len(small)} other doses", sums)
    ]


def _ends(trade: TradePicture, panel: _Panel) -> list[list[float]]:
    """Lowest and highest of the likely range of the first way in a panel, if it has one."""
    pairs: dict[str, tuple[Curve, Curve]] = {
        "clear_fraction": (trade.clear_low, trade.clear_high),
        "aroma_index": (trade.aroma_low, trade.aroma_high),
    }
    curves: tuple[Curve, ...] = pairs.get(panel.field, ())
    found = [[panel.times * each for each in curve if each is not None] for curve in curves]
    return found if all(len(each) == len(trade.rest_min) for each in found) else []


def _band(
    frame: Frame, trade: TradePicture, ends: list[list[float]], scale: ValueScale
) -> None:
    """The likely range of the first way."""
    xs = [frame.scale.x(each) for each in trade.rest_min]
    low, high = (slimmed(zip(xs, map(scale.y, each), strict=True)) for each in ends)
    frame.add(polygon([*high, *low[::-1]], RANGE))


def _line(
    frame: Frame, trade: TradePicture, curve: list[float | None], scale: ValueScale, number: int,
    stepped: bool,
) -> None:
    pairs: list[tuple[float, float]] = []
    for rest_min, value in zip(trade.rest_min, curve, strict=True):
        if value is None:
            continue
        x, y = frame.scale.x(rest_min), scale.y(value)
        if stepped and pairs:
            pairs.append((x, pairs[-1][1]))
        pairs.append((x, y))
    if pairs:
        frame.add(
            polyline(slimmed(pairs), INK, 2.0 if number == 0 else 1.5,
                     DASHES[number % len(DASHES)])
        )


def _moments(frame: Frame, trade: TradePicture, top: float, foot: float, named: bool) -> None:
    """The knee and the planned rest as upright lines; named in the first row."""
    places = []
    if trade.planned_min is not None and trade.planned_min <= trade.rest_min[-1]:
        places.append((trade.planned_min, "planned", INK, "3 3"))
    if trade.knee_min is not None:
        places.append((trade.knee_min, "knee", ACCENT, ""))
    for at_min, _, ink, dash in places:
        x = frame.scale.x(at_min)
        frame.add(line(x, top, x, foot, ink, 1.6, dash))
    if named:
        _name_moments(frame, [each[:3] for each in places], top)


def _name_moments(frame: Frame, places: list[tuple[float, str, str]], top: float) -> None:
    """Name the upright lines beside them, where there is room."""
    if len(places) == 2 and abs(places[0][0] - places[1][0]) < 1e-9:
        places = [(places[0][0], "knee, planned", ACCENT)]
    size, taken = frame.small, list[Box]()
    room = Box(frame.left, top, frame.right, top + 4 * size)
    poles = [frame.scale.x(at_min) for at_min, *_ in places]
    for at_min, words, ink in sorted(places):
        x = frame.scale.x(at_min)
        last = at_min == max(each[0] for each in places) and len(places) > 1
        anchors = ("start", "end") if last else ("end", "start")
        wanted = [
            text_box(x + (5 if anchor == "start" else -5), top + size * row + 2, words, size,
                     anchor)
            for row in (1.0, 2.3)
            for anchor in anchors
        ]
        crossed = [Box(pole, top, pole, top + 4 * size) for pole in poles if pole != x]
        box = free_spot(wanted, taken + crossed, room) or free_spot(wanted, taken, room)
        if box is None:
            continue
        taken.append(box)
        frame.add(rect(box.left - 2, box.top - 1, box.right - box.left + 4, size + 4, GROUND))
        frame.say(box.left, box.bottom - 0.24 * size, words, size, fill=ink, kind="moment")


def _value(
    frame: Frame, trade: TradePicture, panel: _Panel, curve: list[float | None], top: float
) -> None:
    """What the first way comes to at the planned rest, at the panel's upper right."""
    at_min = trade.planned_min if trade.planned_min is not None else trade.knee_min
    if at_min is None:
        return
    nearest = min(range(len(curve)), key=lambda i: abs(trade.rest_min[i] - at_min))
    value = curve[nearest]
    if value is None:
        return
    number = f"{value:.{panel.digits}f}"
    free = frame.right - frame.left + 22.0 - text_width(panel.name, frame.small)
    words = f"{number} at {at_min:.0f} min"
    if text_width(words, frame.small, bold=True) > free:
        words = number
    frame.say(frame.right, top - 5, words, frame.small, anchor="end", bold=True, kind="value")


def _axis(frame: Frame, trade: TradePicture, foot: float) -> float:
    first, last = trade.rest_min[0], trade.rest_min[-1]
    step = time_step(frame.scale.pieces[0].pace, 32.0)
    y = foot + frame.small + 4
    for value in ticks(first, last, step):
        x = frame.scale.x(value)
        frame.add(line(x, foot, x, foot + 4, INK, 1.0))
        frame.say(x, y, f"{value:g}", frame.small, anchor="middle", fill=GREY, kind="axis-tick")
    y += frame.small + 4
    frame.say(frame.left, y, "minutes of rest", frame.small, fill=GREY, kind="axis")
    return y


def _key(frame: Frame, trade: TradePicture, y: float) -> float:
    size = frame.small
    rows = [
        (line(0, 0, 26, 0, INK, 2.0 if number == 0 else 1.5, DASHES[number % len(DASHES)]),
         way.label)
        for number, way in enumerate(trade.ways)
    ]
    rows += [
        (rect(0, -6, 26, 10, hatch(frame.prefix, number), INK), dose.name)
        for number, dose in enumerate(drawn_doses(trade))
    ]
    if any(_ends(trade, panel) for panel in PANELS):
        rows.append((rect(0, -6, 26, 10, RANGE), trade.range_words))
    for mark, words in rows:
        y += 0.3 * size
        for number, one in enumerate(wrapped(words, size, frame.width - 2 * frame.edge - 36, 2)):
            y += 1.3 * size
            if number == 0:
                place = f"translate({frame.edge:.0f} {y - 4:.1f})"
                frame.add(element("g", mark, transform=place))
            frame.say(frame.edge + 34, y, one, size, fill=GREY, kind="key")
    return y + 12


def _document(frame: Frame, trade: TradePicture, height: int) -> str:
    return picture(
        hatches(frame.prefix),
        *frame.parts,
        width=frame.width, height=height, title=trade.title,
        told=f"{trade.subtitle} {trade.verdict}", prefix="trade-",
    )
