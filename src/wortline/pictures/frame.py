"""The ground all panels of a strip share: its sizes, its time axis, and how it speaks units."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from wortline.pictures.labels import Box, text_box, wrapped
from wortline.pictures.reading import Day
from wortline.pictures.scale import TimeScale
from wortline.pictures.svg import GREY, GROUND, INK, polyline, rect, text
from wortline.units import shown_in

REFLOW_PX = 700
"""Narrower than this a picture is laid out for a phone."""
ROOMY_PX = 900.0
"""From this width on, small print can be read from the other side of a table."""


@dataclass
class Frame:
    """What every panel is drawn with; panels add markup to `parts` from top to bottom."""

    width: float
    narrow: bool
    us: bool
    scale: TimeScale
    prefix: str
    former: Day | None = None
    keeps_room: bool = False
    parts: list[str] = field(default_factory=list)

    @property
    def small(self) -> float:
        """Size of small print."""
        return 12.0 if self.narrow or self.width < ROOMY_PX else 14.0

    @property
    def body(self) -> float:
        """Size of ordinary print."""
        return 13.0 if self.narrow else 13.5 if self.width < ROOMY_PX else 15.0

    @property
    def edge(self) -> float:
        """Space kept free at the sides."""
        return 10.0 if self.narrow else 24.0

    @property
    def left(self) -> float:
        """Left end of the panels."""
        return self.scale.left

    @property
    def right(self) -> float:
        """Right end of the panels."""
        return self.scale.right

    def add(self, *markup: str) -> None:
        """Draw, over what is there."""
        self.parts.extend(markup)

    def say(
        self, x: float, y: float, words: str, size: float, *, anchor: str = "start",
        bold: bool = False, fill: str = INK, kind: str = "",
    ) -> Box:
        """Write one line and return the box it takes."""
        self.add(text(x, y, words, size, anchor=anchor, bold=bold, fill=fill, kind=kind))
        return text_box(x, y, words, size, anchor, bold)

    def headed(self, title: str, subtitle: str) -> float:
        """Write title and subtitle over as many lines as they take; return where they end."""
        size, room = (16.0 if self.narrow else 22.0), self.width - 2 * self.edge
        y = 12.0
        # Bold letters are wider than those that lines are broken by.
        for words in wrapped(title, size, 0.92 * room, 2):
            y += 1.15 * size
            self.say(self.edge, y, words, size, bold=True, kind="title")
        for words in wrapped(subtitle, self.body, room, 3):
            y += self.body * 1.45
            self.say(self.edge, y, words, self.body, fill=GREY, kind="subtitle")
        return y

    def faint(self, pairs: Iterable[tuple[float, float]]) -> None:
        """Draw a curve as it was before, behind the one that is."""
        self.add(polyline(slimmed(pairs), GREY, 1.4, "2 3"))

    def name_panel(self, top: float, words: str, x: float | None = None) -> Box:
        """Write a panel's name over no rule, into its upper left corner unless told."""
        x, y = self.left + 5 if x is None else x, top + self.small + 2
        box = text_box(x, y, words, self.small)
        self.add(rect(box.left - 2, box.top, box.right - box.left + 4, self.small + 2, GROUND))
        return self.say(x, y, words, self.small, fill=GREY, kind="panel")

    def degrees(self, temp_c: float) -> float:
        """A temperature as the reader counts it."""
        return temp_c * 9 / 5 + 32 if self.us else temp_c

    def temperature(self, temp_c: float) -> str:
        """A temperature in words."""
        return f"{self.degrees(temp_c):.0f} °{'F' if self.us else 'C'}"

    def volume(self, cold_l: float) -> str:
        """A volume in words."""
        if self.us:
            return f"{shown_in(cold_l, 'volume', 'US gal'):.1f} US gal"
        return f"{cold_l:.1f} L"

    def colour(self, colour_ebc: float) -> tuple[str, str]:
        """A colour and its scale."""
        unit = "SRM" if self.us else "EBC"
        return f"{shown_in(colour_ebc, 'colour', unit):.0f}", unit


def thinned(
    times_min: Sequence[float], values: Sequence[float], scale: TimeScale
) -> list[int]:
    """Places in the lists that draw the same curve with a few points for each pixel."""
    kept: list[int] = []
    for run in scale.pixels(times_min):
        if len(run) == 1:
            kept.append(run[0])
        else:
            kept += sorted({run[0], run[-1], min(run, key=values.__getitem__),
                            max(run, key=values.__getitem__)})
    return kept


def slimmed(pairs: Iterable[tuple[float, float]], off: float = 0.15) -> list[tuple[float, float]]:
    """The points without those that lie within `off` of the line through their neighbours."""
    curve = list(pairs)
    if len(curve) < 3:
        return curve
    kept = {0, len(curve) - 1}
    spans = [(0, len(curve) - 1)]
    while spans:
        first, last = spans.pop()
        furthest, away = _furthest(curve, first, last)
        if away > off:
            kept.add(furthest)
            spans += [(first, furthest), (furthest, last)]
    return [curve[place] for place in sorted(kept)]


def _furthest(curve: list[tuple[float, float]], first: int, last: int) -> tuple[int, float]:
    """The point between two furthest from the line through them, and how far it is."""
    if last - first < 2:
        return first, 0.0
    (x1, y1), (x2, y2) = curve[first], curve[last]
    wide, high = x2 - x1, y2 - y1
    long = math.hypot(wide, high)
    inside = curve[first + 1 : last]
    if not long:
        far = [math.hypot(x - x1, y - y1) for x, y in inside]
        return first + 1 + far.index(max(far)), max(far)
    # Every curve of a picture runs through here: the sides of the line are told by the sign, and
    # the length is divided by once.
    at_line = wide * y1 - high * x1
    sides = [wide * y - high * x for x, y in inside]
    most, least = max(sides), min(sides)
    if most - at_line >= at_line - least:
        return first + 1 + sides.index(most), (most - at_line) / long
    return first + 1 + sides.index(least), (at_line - least) / long
