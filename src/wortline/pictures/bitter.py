"""Bitter panel: what each dose has earned so far, one layer on another, named at the end."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from wortline.pictures.bands import phase_rules
from wortline.pictures.frame import Frame, slimmed, thinned
from wortline.pictures.labels import shortened, spread, text_width
from wortline.pictures.reading import Day, Dose
from wortline.pictures.scale import ValueScale, round_step, ticks
from wortline.pictures.svg import (
    ACCENT,
    GREY,
    INK,
    RULE,
    element,
    hatch,
    line,
    polygon,
    polyline,
)


@dataclass(frozen=True)
class Layer:
    """One dose in the stack, or several small ones together."""

    title: str
    parts_ibu: tuple[float, float, float]
    total_ibu: float
    line_ibu: tuple[float, ...]


def layers_of(day: Day, most: int) -> list[Layer]:
    """Doses in the order they go in; all but the greatest together where there are many."""
    count = len(day.lines.time_min)
    bitter = [d for d in day.doses if len(d.line_ibu) == count and count and max(d.line_ibu) > 0]
    bitter.sort(key=lambda d: d.in_min if d.in_min is not None else -1.0)
    if len(bitter) <= most:
        return [_layer(dose) for dose in bitter]
    great = sorted(bitter, key=lambda d: -d.total_ibu)[: most - 1]
    small = [d for d in bitter if d not in great]
    together = Layer(
        f"{len(small)} other doses",
        (sum(d.boil_ibu for d in small), sum(d.rest_ibu for d in small),
         sum(d.chill_ibu for d in small)),
        sum(d.total_ibu for d in small),
        tuple(sum(column) for column in zip(*(d.line_ibu for d in small), strict=True)),
    )
    return [_layer(d) for d in bitter if d in great] + [together]


def _layer(dose: Dose) -> Layer:
    title = dose.name if dose.name.lower() == dose.id.lower() else f"{dose.id} {dose.name}".strip()
    return Layer(
        title, (dose.boil_ibu, dose.rest_ibu, dose.chill_ibu), dose.total_ibu,
        tuple(0.0 if one < 0.0 else one for one in dose.line_ibu),
    )


def bitter_panel(frame: Frame, day: Day, top: float, high: float) -> float:
    """Draw the bitter line of each dose growing; return the foot, list of doses included."""
    layers = layers_of(day, 6 if frame.narrow else 8)
    high = high if layers else 46.0
    foot = top + high
    phase_rules(frame, day, top, foot)
    frame.add(
        element("rect", x=frame.left, y=top, width=frame.right - frame.left, height=high,
                fill="none", stroke=INK, stroke_width=0.8)
    )
    if not layers:
        words = "bitter line: no dose brings bitterness on this axis"
        shown = shortened(words, frame.small, frame.right - frame.left - 12)
        frame.say(frame.left + 6, top + 27, shown, frame.small, fill=GREY, kind="panel")
        return foot
    sums = _sums(layers)
    was = _sums(layers_of(frame.former, 8)) if frame.former else []
    peaks = [max(edges[-1]) for edges in (sums, was) if edges]
    peak = max([*peaks, *(one for one in day.ibu if one is not None)])
    scale = ValueScale(0.0, peak * 1.1, foot, top)
    _grid(frame, scale)
    _stack(frame, day, sums, scale)
    if was and frame.former is not None:
        times = frame.former.lines.time_min
        kept = thinned(times, was[-1], frame.scale)
        places = frame.scale.places(times)
        heights = scale.heights(was[-1][i] for i in kept)
        frame.faint(zip((places[i] for i in kept), heights, strict=True))
    frame.name_panel(top, "bitter line, IBU")
    _range(frame, day, scale)
    if frame.narrow:
        return foot
    _end_labels(frame, layers, sums, scale)
    return foot


def _sums(layers: list[Layer]) -> list[list[float]]:
    """Upper edge of each layer."""
    edges: list[list[float]] = []
    below = [0.0] * len(layers[0].line_ibu) if layers else []
    for layer in layers:
        below = [a + b for a, b in zip(below, layer.line_ibu, strict=True)]
        edges.append(below)
    return edges


def _grid(frame: Frame, scale: ValueScale) -> None:
    for value in ticks(0.0, scale.high * 0.97, round_step(scale.high, 5)):
        y = scale.y(value)
        frame.add(line(frame.left, y, frame.right, y, RULE, 0.6))
        frame.say(frame.left - 5, y + (4 if value else 0), f"{value:g}", frame.small,
                  anchor="end", fill=GREY)


def _stack(frame: Frame, day: Day, sums: list[list[float]], scale: ValueScale) -> None:
    times = day.lines.time_min
    kept = thinned(times, sums[-1], frame.scale)
    places = frame.scale.places(times)
    xs = [places[i] for i in kept]
    under = [scale.bottom] * len(kept)
    floor = slimmed(zip(xs, under, strict=True))
    for place, edge in enumerate(sums):
        upper = scale.heights(edge[i] for i in kept)
        roof = slimmed(zip(xs, upper, strict=True))
        frame.add(polygon(roof + floor[::-1], hatch(frame.prefix, place)))
        grown = next((i for i, (a, b) in enumerate(zip(upper, under, strict=True)) if a < b), 0)
        begin = max(grown - 1, 0)
        frame.add(polyline(slimmed(zip(xs[begin:], upper[begin:], strict=True)), INK, 1.1))
        under, floor = upper, roof


def _range(frame: Frame, day: Day, scale: ValueScale) -> None:
    low, mid, high = day.ibu
    if low is None or mid is None or high is None:
        return
    x = frame.right + (5 if frame.narrow else 9)
    reach = 3.0 if frame.narrow else 4.5
    frame.add(
        line(x, scale.y(low), x, scale.y(high), ACCENT, 2.0),
        line(x - reach, scale.y(low), x + reach, scale.y(low), ACCENT, 2.0),
        line(x - reach, scale.y(high), x + reach, scale.y(high), ACCENT, 2.0),
        element("circle", element("title", "range of the bitterness"), cx=x, cy=scale.y(mid),
                r=3.5, fill=ACCENT),
    )


def swatch(frame: Frame, place: int, x: float, y: float) -> str:
    """A piece of a layer's hatch."""
    return element("rect", x=x, y=y, width=16.0, height=11.0, stroke=INK, stroke_width=0.8,
                   fill=hatch(frame.prefix, place))


def parts_in_words(layer: Layer) -> str:
    """Where a dose earned its bitterness."""
    boil, rest, chill = layer.parts_ibu
    return f"boil {boil:.1f} · rest {rest:.1f} · chill {chill:.1f}"


def _end_labels(
    frame: Frame, layers: list[Layer], sums: list[list[float]], scale: ValueScale
) -> None:
    count, size = len(layers), frame.small
    both = (scale.bottom - scale.top) / count >= 2.5 * size
    high = 2.5 * size if both else 1.35 * size
    ends = [0.0, *(edge[-1] for edge in sums)]
    # Heights fall as bitterness grows: the list runs from the top layer down.
    wanted = [(scale.y(a) + scale.y(b)) / 2 for a, b in pairwise(ends)][::-1]
    middles = spread(wanted, high, scale.top - 4, scale.bottom + 4)
    x = frame.right + 36
    taken = _number_room(layers, size)
    for want, middle, place in zip(wanted, middles, range(count - 1, -1, -1), strict=True):
        layer = layers[place]
        frame.add(polyline([(frame.right + 17, want), (x - 5, middle), (x, middle)], GREY, 0.8))
        frame.add(line(frame.right, want, frame.right + 17, want, GREY, 0.8))
        frame.add(swatch(frame, place, x, middle - 5.5))
        number = f"{layer.total_ibu:.1f}"
        room = frame.width - 8.0 - x - 22
        y = middle - 0.15 * size if both else middle + 0.35 * size
        frame.say(x + 22 + taken - 7, y, number, size, anchor="end", bold=True, kind="dose-total")
        frame.say(x + 22 + taken, y, shortened(layer.title, size, room - taken), size,
                  kind="dose-end")
        if both:
            words = shortened(parts_in_words(layer), size, room)
            frame.say(x + 22, y + 1.1 * size, words, size, fill=GREY, kind="dose-parts")


def _number_room(layers: list[Layer], size: float) -> float:
    return max(text_width(f"{one.total_ibu:.1f}", size, bold=True) for one in layers) + 7


def dose_list(frame: Frame, day: Day, top: float) -> float:
    """The list of layers for a narrow picture, top layer first; return its foot."""
    layers, size = layers_of(day, 6), frame.small
    y = top
    for place in range(len(layers) - 1, -1, -1):
        layer, y = layers[place], y + 1.5 * size
        frame.add(swatch(frame, place, frame.left, y - 9))
        x = frame.left + 22 + _number_room(layers, size)
        room = frame.width - frame.edge - x
        frame.say(x - 7, y, f"{layer.total_ibu:.1f}", size, anchor="end", bold=True,
                  kind="dose-total")
        frame.say(x, y, shortened(layer.title, size, room), size, kind="dose-end")
        y += 1.25 * size
        frame.say(x, y, shortened(parts_in_words(layer), size, room), size, fill=GREY,
                  kind="dose-parts")
    return y + 6 if layers else top
