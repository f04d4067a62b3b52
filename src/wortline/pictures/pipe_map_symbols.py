"""The symbols of a pipe map, in the spirit of ISO 10628 and ISA 5.1, and where pipes meet them."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from wortline.pictures.pipe_map_graph import Mouth
from wortline.pictures.svg import BAND, GREY, GROUND, INK, element, line, polygon, polyline, rect

Point = tuple[float, float]
# kind: width, height, and how far apart two pipes on one side are
SIZES: Mapping[str, tuple[float, float, float]] = {
    "kettle": (108.0, 76.0, 30.0),
    "hose": (18.0, 34.0, 18.0),
    "pump": (38.0, 38.0, 56.0),
    "valve2": (34.0, 40.0, 58.0),
    "valve3": (62.0, 62.0, 31.0),
    "chiller": (70.0, 58.0, 18.0),
    "arm": (30.0, 34.0, 24.0),
    "rim": (30.0, 26.0, 24.0),
    "check": (24.0, 34.0, 52.0),
    "tee": (36.0, 18.0, 18.0),
    "fermenter": (54.0, 70.0, 18.0),
    "drain": (34.0, 30.0, 18.0),
    "jug": (40.0, 36.0, 18.0),
    "water": (30.0, 30.0, 18.0),
    "floor": (44.0, 22.0, 18.0),
    "cap": (16.0, 14.0, 16.0),
}
ARM = 22.0
EDGE = 1.2  # half an outline, so that a pipe ends at it


@dataclass(frozen=True)
class Symbol:
    """A kind of part with the mouths on its upper and lower side, from the left."""

    kind: str
    tops: tuple[Mouth, ...]
    bottoms: tuple[Mouth, ...]

    @property
    def width(self) -> float:
        """Width with all its pipes."""
        most = max(len(self.tops), len(self.bottoms))
        wide, _, apart = SIZES[self.kind]
        if self.kind == "valve3":
            return 80.0
        return max(wide, apart * (most - 1) + (48.0 if self.kind == "kettle" else 18.0))

    @property
    def height(self) -> float:
        """Height of the symbol alone."""
        return SIZES[self.kind][1]

    def offset(self, mouth: Mouth) -> float:
        """How far right of the middle a pipe comes to the symbol."""
        side = self.tops if mouth in self.tops else self.bottoms
        apart = SIZES[self.kind][2] * (2 if self.kind == "valve3" and len(side) == 2 else 1)
        return (side.index(mouth) - (len(side) - 1) / 2) * apart

    @property
    def level(self) -> bool:
        """Whether a part with two mouths lies, since both pipes come from one side."""
        return len(self.tops) != 1

    def tip(self, mouth: Mouth) -> Point:
        """Where a pipe meets the symbol, from its middle; the last bit to it may be level."""
        upper = mouth in self.tops
        side, other = (self.tops, self.bottoms) if upper else (self.bottoms, self.tops)
        sign = -1.0 if upper else 1.0
        x, half = self.offset(mouth), self.height / 2
        if self.kind == "kettle":
            return (x, -half + 14.0) if upper else (x, half + EDGE)
        if self.kind == "valve3":
            return _tip_of_three(side.index(mouth), len(side), sign, ARM)
        if self.kind in {"tee", "hose"}:
            return (0.0, 0.0)
        if self.kind in {"arm", "rim"}:
            return (0.0, -half + 4.0)
        if self.kind in {"pump", "valve2", "check"}:
            if other:
                return 0.0, sign * half
            return math.copysign(half, x), 0.0
        return x, sign * (half + EDGE)


def _tip_of_three(place: int, count: int, sign: float, arm: float) -> Point:
    if count == 1 or (count == 3 and place == 1):
        return 0.0, sign * arm
    return (-arm if place == 0 else arm), 0.0


def _triangle(end: Point, half: float, filled: bool) -> str:
    """A triangle with its apex in the middle and its base across the end."""
    long = math.hypot(*end)
    across = (-end[1] / long * half, end[0] / long * half)
    corners = [
        (0.0, 0.0), (end[0] + across[0], end[1] + across[1]),
        (end[0] - across[0], end[1] - across[1]),
    ]
    return element(
        "polygon", points=" ".join(f"{x:.1f},{y:.1f}" for x, y in corners),
        fill=INK if filled else GROUND, stroke=INK, stroke_width=1.5, stroke_linejoin="round",
    )


def lever(towards: Point, long: float) -> str:
    """A handle: a hub, and a bar that points where the handle points."""
    angle = math.degrees(math.atan2(towards[1], towards[0]))
    bar = element(
        "path", d=f"M0,-3.2 L{long:.1f},-2 L{long:.1f},2 L0,3.2 z", fill=GROUND, stroke=INK,
        stroke_width=1.4, stroke_linejoin="round",
    )
    knob = element("circle", cx=long, cy=0.0, r=4.2, fill=INK)
    hub = element("circle", cx=0.0, cy=0.0, r=4.6, fill=GROUND, stroke=INK, stroke_width=1.5)
    return element("g", bar, knob, hub, transform=f"rotate({angle:.0f})", class_="handle")


@dataclass(frozen=True)
class Stance:
    """How a part stands: which mouths are joined inside, where its handle points, what flows."""

    open: frozenset[Mouth] = frozenset()
    towards: Mouth | None = None
    position: str = ""
    live: frozenset[Mouth] = frozenset()
    out: Mouth | None = None


def drawn(symbol: Symbol, stance: Stance) -> str:
    """Return the symbol about its middle."""
    maker = _MAKERS.get(symbol.kind)
    return maker(symbol, stance) if maker else ""


def _bar(points: Sequence[Point]) -> str:
    return polyline(points, INK, 5.0)


def _valve3(symbol: Symbol, stance: Stance) -> str:
    mouths = [*symbol.tops, *symbol.bottoms]
    tips = {mouth: symbol.tip(mouth) for mouth in mouths}
    body = [_triangle(tips[mouth], 10.0, mouth not in stance.open) for mouth in mouths]
    body += [_bar([tips[mouth], (0.0, 0.0)]) for mouth in mouths if mouth in stance.live]
    x, y = (sum(tip[axis] for tip in tips.values()) for axis in (0, 1))
    blind = (-x / ARM, -y / ARM)
    if stance.towards is not None and stance.position == "way":
        where = tips[stance.towards]
    elif stance.position == "between" and stance.towards is not None:
        where = (tips[stance.towards][0] + ARM * blind[0], tips[stance.towards][1] + ARM * blind[1])
    elif stance.position == "all" and stance.towards is not None:
        where = tips[stance.towards]
    else:
        where = blind
    return "".join(body) + lever(where, ARM - 1.0)


def _valve2(symbol: Symbol, stance: Stance) -> str:
    half = symbol.height / 2
    ends = [(-half, 0.0), (half, 0.0)] if symbol.level else [(0.0, -half), (0.0, half)]
    body = [_triangle(end, 10.0, stance.position == "shut") for end in ends]
    if stance.live:
        body.append(_bar(ends))
    along, across = ((1.0, 0.0), (0.0, -1.0)) if symbol.level else ((0.0, -1.0), (1.0, 0.0))
    where = {"open": along, "shut": across}.get(
        stance.position, (along[0] + across[0], along[1] + across[1])
    )
    return "".join(body) + lever(where, 15.0)


def _facing(symbol: Symbol, stance: Stance) -> Point:
    """Return the direction in which a pump or a check valve lets the wort pass."""
    tip = symbol.tip(stance.out) if stance.out is not None else (0.0, 1.0)
    long = math.hypot(*tip) or 1.0
    return tip[0] / long, tip[1] / long


def _pump(symbol: Symbol, stance: Stance) -> str:
    r = symbol.height / 2
    x, y = _facing(symbol, stance)
    corners = [(x * r, y * r), (-y * r * 0.87 - x * r / 2, x * r * 0.87 - y * r / 2),
               (y * r * 0.87 - x * r / 2, -x * r * 0.87 - y * r / 2)]
    on = stance.position == "on"
    return element("circle", cx=0.0, cy=0.0, r=r, fill=GROUND, stroke=INK, stroke_width=1.8) + (
        element("polygon", points=" ".join(f"{a:.1f},{b:.1f}" for a, b in corners),
                fill=INK if on else GROUND, stroke=INK, stroke_width=1.5)
    )


def _check(symbol: Symbol, stance: Stance) -> str:
    half = symbol.height / 2
    x, y = _facing(symbol, stance)
    start, end = (-x * half, -y * half), (x * half, y * half)
    side = (-y * 9.0, x * 9.0)
    body = [
        polygon([(start[0] + side[0], start[1] + side[1]), (start[0] - side[0], start[1] - side[1]),
                 end], GROUND, INK),
        line(end[0] + side[0], end[1] + side[1], end[0] - side[0], end[1] - side[1], INK, 2.2),
    ]
    if stance.live:
        body.append(_bar([start, end]))
    return "".join(body)


def _kettle(symbol: Symbol, stance: Stance) -> str:
    half, high = symbol.width / 2 - 4, symbol.height / 2
    level = -high + 26.0
    return "".join([
        rect(-half, level, 2 * half, high - level, BAND),
        line(-half, level, half, level, GREY, 1.0, "6 3"),
        polyline([(-half, -high), (-half, high), (half, high), (half, -high)], INK, 2.4),
        line(-half - 4, -high, -half, -high, INK, 2.4),
        line(half, -high, half + 4, -high, INK, 2.4),
    ])


def _fermenter(symbol: Symbol, stance: Stance) -> str:
    x, y = 25.0, symbol.height / 2
    return element(
        "path", d=f"M{-x},{-y} H{x} V{y - 24} L6,{y} H-6 L{-x},{y - 24} z", fill=GROUND, stroke=INK,
        stroke_width=2.0, stroke_linejoin="round",
    )


def _chiller(symbol: Symbol, stance: Stance) -> str:
    half, high = symbol.width / 2, symbol.height / 2
    body = [rect(-half, -high, 2 * half, 2 * high, GROUND, INK)]
    if "hangs" in (*symbol.tops, *symbol.bottoms):
        loops = "".join(
            element("ellipse", cx=0.0, cy=y, rx=half - 10, ry=6.5, fill="none", stroke=INK,
                    stroke_width=1.5)
            for y in (-15.0, -5.0, 5.0, 15.0)
        )
        return body[0] + loops
    third, wide = high * 0.5, half - 8
    zigzag = [(-half, third), (-wide * 0.5, third), (-wide * 0.17, -third), (wide * 0.17, third),
              (wide * 0.5, -third), (half, -third)]
    body.append(polyline(zigzag, INK, 1.4))
    return "".join(body)


def _drain(symbol: Symbol, stance: Stance) -> str:
    y = symbol.height / 2
    return polygon([(-15, -y), (15, -y), (4, y - 8), (4, y), (-4, y), (-4, y - 8)], GROUND, INK)


def _jug(symbol: Symbol, stance: Stance) -> str:
    y = symbol.height / 2
    grip = f"M12,{-y + 8} h8 v14 h-8"
    handle = element("path", d=grip, fill="none", stroke=INK, stroke_width=2.0)
    return handle + polygon([(-14, -y), (12, -y), (12, y), (-12, y)], GROUND, INK)


def _water(symbol: Symbol, stance: Stance) -> str:
    drop = "M0,-14 C4,-6 11,0 11,5 A11,10 0 0 1 -11,5 C-11,0 -4,-6 0,-14 z"
    return element("path", d=drop, fill=GROUND, stroke=INK, stroke_width=1.8)


def _floor(symbol: Symbol, stance: Stance) -> str:
    strokes = [line(x, 0, x - 7, 8, INK, 1.2) for x in range(-12, 21, 8)]
    return line(-20, 0, 20, 0, INK, 2.4) + "".join(strokes)


def _cap(symbol: Symbol, stance: Stance) -> str:
    return rect(-8, -4, 16, 8, INK)


def _tee(symbol: Symbol, stance: Stance) -> str:
    return element("circle", cx=0.0, cy=0.0, r=5.0, fill=INK)


def _nothing(symbol: Symbol, stance: Stance) -> str:
    return ""


_MAKERS = {
    "kettle": _kettle, "fermenter": _fermenter, "chiller": _chiller, "pump": _pump,
    "valve2": _valve2, "valve3": _valve3, "check": _check, "drain": _drain, "jug": _jug,
    "water": _water, "floor": _floor, "cap": _cap, "tee": _tee, "hose": _nothing,
    "arm": _nothing, "rim": _nothing,
}
