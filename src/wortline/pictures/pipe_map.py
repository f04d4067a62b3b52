"""The pipe map: a rig's pipes as they stand, with the way of the wort, handles and verdict."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from wortline.pictures.labels import shortened, wrapped
from wortline.pictures.pipe_map_graph import Item
from wortline.pictures.pipe_map_layout import Layout, Placed, Sizes, arrows, broken, layout
from wortline.pictures.pipe_map_symbols import Point, Stance, drawn
from wortline.pictures.pipe_map_words import flow_words, gathered, headline, item_words, sentences
from wortline.pictures.svg import (
    ACCENT,
    GREY,
    GROUND,
    INK,
    RULE,
    element,
    escape,
    line,
    picture,
    polyline,
    rect,
    refuse_width,
    text,
)
from wortline.pipes.audit import Verdict
from wortline.pipes.graph import valve_links
from wortline.pipes.view import View
from wortline.units import retold

LEAST_PX = 46.0
PRESSED = frozenset({"valve2", "valve3", "pump", "water"})


@dataclass(frozen=True)
class Press:
    """What a touch on a part does, in words and as the page that shows the map needs it."""

    do: str
    label: str


NOTHING: Mapping[str, Press] = MappingProxyType({})
REFLOW_PX = 760
ORDER = ("hangs", "dry", "water", "wet", "live")


def pipe_map(
    view: View, verdict: Verdict, name: str = "", width_px: int = 1200, system: str = "metric"
) -> str:
    """SVG picture of a line-up: parts, pipes, handles in their position, what flows, the verdict.

    Parameters
    ----------
    view : View
        The network as it stands, with what is known of the day.
    verdict : Verdict
        The verdict on it.
    name : str
        The rig's name.
    width_px : int
        Width of the picture in pixels; below 760 it is laid out for a phone. A rig with very many
        pipes side by side may need more than that, and gets it.
    system : str
        ``metric`` or ``us``, for what it says.

    Returns
    -------
    str
        One `<svg>` element that needs nothing from outside; its description holds the same
        content as sentences.

    Raises
    ------
    ValueError
        If the width is not from 320 to 4000 pixels.

    Notes
    -----
    Symbols are in the spirit of ISO 10628-2 and ISA 5.1: vessel, pump as circle and triangle,
    valves as triangles that meet (filled: shut), exchanger as box and zigzag.
    """
    refuse_width("pipe map", width_px)
    narrow = width_px < REFLOW_PX
    sizes = Sizes(13.0, 11.0, 112.0) if narrow else Sizes(15.0, 12.5, 165.0)
    edge = 8.0 if narrow else 24.0
    column = 0.0 if narrow else min(420.0, 0.34 * width_px)
    def words_of(view: View, verdict: Verdict, item: Item) -> tuple[str, tuple[str, ...]]:
        named, said = item_words(view, verdict, item)
        return named, tuple(retold(each, system) for each in said)

    room = width_px - 2 * edge - (column + 30.0 if column else 0.0)
    made = layout(view, verdict, sizes, room, words_of)
    width = max(float(width_px), made.width + 2 * edge + (column + 30.0 if column else 0.0))
    parts, top = _title(name, edge, width, narrow)
    if narrow:
        words, top = _words(view, verdict, edge, top, width - 2 * edge, sizes, system)
        legend, foot = _key(edge, top + made.height + 24.0, width - 2 * edge, sizes)
        parts += words + legend
    else:
        x = width - edge - column
        words, end = _words(view, verdict, x, top, column, sizes, system)
        legend, end = _key(x, end + 16.0, column, sizes)
        parts += [*words, *legend, line(x - 16.0, top, x - 16.0, end, GREY, 0.6)]
        foot = max(end, top + made.height)
    spare = max(width - 2 * edge - (column + 30.0 if column else 0.0) - made.width, 0.0)
    parts.append(
        element("g", *map_parts(view, made, sizes),
                transform=f"translate({edge + spare / 2:.1f},{top:.1f})", class_="map")
    )
    return _document(parts, view, verdict, name, width, math.ceil(foot + edge), system=system)


def small_pipe_map(
    view: View, verdict: Verdict, name: str = "", width_px: int = 520, prefix: str = "small-map-"
) -> str:
    """SVG picture of the pipes as they stand and nothing beside it, for a sheet of paper.

    `prefix` begins its ids, for pages with more than one.

    Raises
    ------
    ValueError
        If the width is not from 320 to 4000 pixels.
    """
    refuse_width("pipe map", width_px)
    sizes, edge = Sizes(18.0, 9.0, 125.0), 6.0
    made = layout(view, verdict, sizes, width_px - 2 * edge)
    named = [
        replace(each, lines=tuple(line for line in each.lines if line.role == "name"))
        for each in made.placed
    ]
    made = replace(made, placed=type(made.placed)(named))
    # The topmost name may reach above the layout's own edge.
    above = edge + sizes.name
    moved = element("g", *map_parts(view, made, sizes), transform=f"translate({edge},{above})")
    height = math.ceil(made.height + above + edge)
    return _document([moved], view, verdict, name, made.width + 2 * edge, height, prefix)


def _title(name: str, edge: float, width: float, narrow: bool) -> tuple[list[str], float]:
    size = 17.0 if narrow else 25.0
    y = 12.0 + size
    shown = shortened(name or "The pipes", size, width - 2 * edge, bold=True)
    parts = [text(edge, y, shown, size, bold=True, kind="title")]
    small = 12.0 if narrow else 13.5
    y += small * 1.5
    words = "Pipe map: how the pipes stand, and where the wort goes"
    parts.append(text(edge, y, shortened(words, small, width - 2 * edge), small, fill=GREY,
                      kind="subtitle"))
    return parts, y + 18.0


def _words(
    view: View, verdict: Verdict, x: float, y: float, room: float, sizes: Sizes, system: str
) -> tuple[list[str], float]:
    """Return verdict, flow and findings in words, and where they end."""
    parts: list[str] = []
    size, step = sizes.state, sizes.state * 1.35
    fill = INK if verdict.verdict == "pass" else ACCENT
    y += 1.3 * sizes.name
    parts.append(text(x, y, headline(verdict), 1.4 * sizes.name, bold=True, fill=fill,
                      kind="verdict"))
    y += 0.4 * step
    for words in broken(flow_words(view, verdict, system), size, room):
        y += step
        parts.append(text(x, y, words, size, kind="flow"))
    for severity, head, said, act, code in gathered(verdict):
        y += 0.5 * step
        start = y + 0.3 * step
        for place, words in enumerate([head, said, *([act] if act else [])]):
            for one in broken(retold(words, system), size, room - 12, place == 0):
                y += step
                parts.append(text(x + 12, y, one, size, bold=place == 0, kind="finding",
                                  fill=INK if place or severity == "note" else ACCENT))
        y += step
        parts.append(text(x + 12, y, f"check {code}", 0.85 * size, kind="finding", fill=GREY))
        tone = GREY if severity == "note" else ACCENT
        parts.append(rect(x, start, 4.0 if severity == "stop" else 2.0, y - start + 3, tone))
    if verdict.assumed:
        y += 0.5 * step
        taken = retold(f"Not said, so taken: {', '.join(verdict.assumed)}.", system)
        for words in wrapped(taken, size, room, 4):
            y += step
            parts.append(text(x, y, words, size, fill=GREY, kind="assumed"))
    return parts, y + 14.0


def _key(x: float, y: float, room: float, sizes: Sizes) -> tuple[list[str], float]:
    rows = (
        ("live", "flow, this way"),
        ("wet", "open to the wort, which stands still"),
        ("dry", "shut off from the wort"),
        ("water", "cooling water runs"),
        ("hangs", "hangs in the kettle"),
    )
    parts: list[str] = []
    size = sizes.state
    for look, words in rows:
        parts += _pipe([(x, y), (x + 54, y)], look)
        if look in {"live", "water"}:
            parts.append(_arrow((x + 28, y), 0.0, look))
        parts.append(text(x + 64, y + 0.35 * size, shortened(words, size, room - 64), size,
                          fill=GREY, kind="key"))
        y += 1.6 * size
    words = "A filled triangle is shut; a handle's knob points where the handle points; numbers " \
            "count the parts along the way."
    for one in broken(words, size, room):
        y += 0.1 * size
        parts.append(text(x, y + 0.35 * size, one, size, fill=GREY, kind="key"))
        y += 1.25 * size
    return parts, y


def _pipe(points: list[Point], look: str) -> list[str]:
    """Return a pipe over what lies under it; where it crosses another one, that one is broken."""
    if look == "live":
        course = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
        wort = element("polyline", points=course, fill="none", stroke=INK, stroke_width=5.0,
                       stroke_linejoin="round", stroke_linecap="round")
        return [polyline(points, GROUND, 11.0), wort]
    if look == "wet":
        return [polyline(points, GROUND, 11.0), polyline(points, INK, 5.5),
                polyline(points, GROUND, 2.9)]
    if look == "water":
        return [polyline(points, GROUND, 8.0), polyline(points, INK, 2.2, "8 4")]
    if look == "hangs":
        return [polyline(points, GREY, 1.2, "1.5 4")]
    return [polyline(points, GROUND, 7.0), polyline(points, GREY, 1.5)]


def _arrow(at: Point, angle: float, look: str) -> str:
    """Return a direction mark, of one size whatever the line's width."""
    high = 7.5 if look == "live" else 5.0
    shape = f"M{high},0 L{-0.8 * high:.1f},{-high} L{-0.8 * high:.1f},{high} z"
    return element(
        "path", d=shape, fill=INK, stroke=GROUND, stroke_width=1.0,
        transform=f"translate({at[0]:.1f},{at[1]:.1f}) rotate({angle:.0f})", class_="arrow",
    )


def map_parts(
    view: View, made: Layout, sizes: Sizes, press: Mapping[str, Press] = NOTHING
) -> list[str]:
    """Return the map itself: vessels, pipes over them, then all other symbols with their words."""
    parts: list[str] = []
    order = sorted(made.courses, key=lambda each: ORDER.index(made.picture.pipes[each.pipe].look))
    vessels = {"kettle", "fermenter"}
    for its in made.placed:
        if its.symbol.kind in vessels:
            parts.append(_symbol(view, made, its, press))
    for course in order:
        pipe = made.picture.pipes[course.pipe]
        marks = [
            _arrow(at, angle, pipe.look) for at, angle in arrows(course.points, pipe.down)
        ] if pipe.down and pipe.look in {"live", "water"} else []
        parts.append(element("g", *_pipe(list(course.points), pipe.look), *marks,
                             class_=f"pipe {pipe.look}"))
    for its in made.placed:
        if its.symbol.kind not in vessels:
            parts.append(_symbol(view, made, its, press))
        parts += _label(its, sizes)
    return parts


def _symbol(view: View, made: Layout, its: Placed, press: Mapping[str, Press]) -> str:
    item = made.picture.items[its.item]
    shape = drawn(its.symbol, stance(view, item))
    x, y = its.middle
    act = press.get(item.part) if item.kind in PRESSED else None
    if act is not None:
        return _button(its, item, shape, act)
    title = [element("title", escape(item.part))] if item.part else []
    return element("g", *title, shape, transform=f"translate({x:.1f},{y:.1f})",
                   class_=f"symbol {item.kind}")


def _button(its: Placed, item: Item, shape: str, act: Press) -> str:
    """Return a symbol that is turned or switched by touch or key; its ground is 44 px at least."""
    x, y = its.middle
    wide, high = max(its.symbol.width - 12.0, LEAST_PX), max(its.symbol.height + 8.0, LEAST_PX)
    ground = element("rect", x=-wide / 2, y=-high / 2, width=wide, height=high, rx=6.0, fill="none",
                     stroke=RULE, stroke_width=1.0, pointer_events="all", class_="hit")
    return element(
        "g", element("title", escape(act.label)), ground, shape,
        transform=f"translate({x:.1f},{y:.1f})", class_=f"symbol {item.kind} press", role="button",
        tabindex="0", aria_label=act.label, data_do=act.do, data_key=f"map {item.part}",
    )


def stance(view: View, item: Item) -> Stance:
    """Return how an item stands, as its symbol shows it."""
    network, live = view.network, view.flow.live
    flowing = frozenset(mouth for mouth in item.mouths if mouth in live)
    for valve, position in zip(network.valves, view.setting.positions, strict=True):
        if valve.name == item.part and item.kind in {"valve2", "valve3"}:
            links = valve_links(valve, position)
            inside = frozenset(node for link in links for node in link)
            if not valve.ways:
                return Stance(inside, None, position, flowing)
            pointed = {valve.positions[0]: 1, valve.positions[1]: 2, "between": 1}.get(position, 0)
            word = valve.nodes[pointed] if position != "off" else None
            shown = "between" if position == "between" else (
                position if position in {"off", "all", "through"} else "way")
            return Stance(inside, word, shown, flowing)
    for name, _, out in network.pumps:
        if name == item.part:
            return Stance(out=out, position="on" if view.setting.pump else "off", live=flowing)
    if item.kind == "check":
        return Stance(out=network.node[item.part, "out"], live=flowing)
    return Stance(live=flowing)


def _label(its: Placed, sizes: Sizes) -> list[str]:
    parts: list[str] = []
    x, y = its.words.left, its.words.top
    for place, each in enumerate(its.lines):
        base = y + place * sizes.step + 0.98 * sizes.state
        size = sizes.name if each.role == "name" else sizes.state
        start = x
        if each.role == "name" and its.number is not None:
            start += 20.0
            if place == 0:
                parts.append(_badge(its.number, x + 8.0, base - 0.33 * size))
        parts.append(text(start, base, each.text, size, bold=each.role != "state",
                          fill={"name": INK, "mark": ACCENT}.get(each.role, GREY), kind=each.role))
    return parts


def _badge(number: int, x: float, y: float) -> str:
    return element(
        "g", element("circle", cx=x, cy=y, r=8.0, fill=INK),
        text(x, y + 3.6, str(number), 10.5, anchor="middle", bold=True, fill=GROUND, kind="step"),
    )


def _document(
    parts: list[str], view: View, verdict: Verdict, name: str, width: float, height: int,
    prefix: str = "pipe-map-", system: str = "metric",
) -> str:
    said = " ".join(sentences(view, verdict, system))
    title = f"Pipe map of {name or 'a rig'}"
    return picture(*parts, width=width, height=height, title=title, told=said, prefix=prefix)


__all__ = ["Press", "map_parts", "pipe_map", "sentences", "small_pipe_map", "stance"]
