"""SVG text: escaping, elements, and the few inks every picture is drawn with."""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import cache, lru_cache

INK = "#1c2026"
GREY = "#565c66"
RULE = "#c6c9ce"
GROUND = "#ffffff"
BAND = "#efefec"
WARM = "#fdeee2"
ACCENT = "#b23a0e"
FONT = "Libertinus Serif, Georgia, Cambria, serif"


def clean(text: str) -> str:
    """Text without the characters that XML 1.0 forbids, on one line."""
    return text if text.isprintable() else "".join(_allowed(char) for char in text)


def _allowed(char: str) -> str:
    code = ord(char)
    if char in "\t\n\r\x85\u2028\u2029":
        return " "
    if code < 0x20 or 0x7F <= code < 0xA0 or 0xD800 <= code < 0xE000 or code in (0xFFFE, 0xFFFF):
        return "\ufffd"
    return char


# Inks, names and anchors come again with nearly every element.
@lru_cache(maxsize=512)
def escape(text: str) -> str:
    """Text safe between tags and inside quoted attributes."""
    safe = clean(text).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return safe.replace('"', "&quot;").replace("'", "&#39;")


def number(value: float) -> str:
    """A coordinate with one decimal at most, never in exponent form."""
    if not math.isfinite(value):
        raise ValueError("a coordinate must be a finite number")
    shown = f"{value:.1f}"
    if shown.endswith(".0"):
        return "0" if shown == "-0.0" else shown[:-2]
    return shown


def element(tag: str, *inside: str, **attributes: str | float) -> str:
    """One element; `inside` is markup already, attribute names get `-` for `_`."""
    parts = [tag]
    for name, value in attributes.items():
        shown = escape(value) if isinstance(value, str) else number(value)
        parts.append(f'{_attribute(name)}="{shown}"')
    head = " ".join(parts)
    return f"<{head}>{''.join(inside)}</{tag}>" if inside else f"<{head}/>"


@cache
def _attribute(name: str) -> str:
    return name.rstrip("_").replace("_", "-")


def text(
    x: float, y: float, words: str, size: float, *, anchor: str = "start", bold: bool = False,
    fill: str = INK, kind: str = "",
) -> str:
    """One line of text with its baseline at `y`; `kind` becomes the class."""
    more: dict[str, str | float] = {}
    if kind:
        more["class_"] = kind
    if anchor != "start":
        more["text_anchor"] = anchor
    if bold:
        more["font_weight"] = "bold"
    return element("text", escape(words), x=x, y=y, font_size=size, fill=fill, **more)


def line(
    x1: float, y1: float, x2: float, y2: float, stroke: str = INK, width: float = 1.0,
    dash: str = "",
) -> str:
    """A straight line."""
    more: dict[str, str | float] = {"stroke_dasharray": dash} if dash else {}
    return element("line", x1=x1, y1=y1, x2=x2, y2=y2, stroke=stroke, stroke_width=width, **more)


def rect(
    x: float, y: float, width: float, height: float, fill: str, stroke: str = "none"
) -> str:
    """A filled rectangle."""
    more: dict[str, str | float] = {} if stroke == "none" else {"stroke": stroke}
    return element("rect", x=x, y=y, width=width, height=height, fill=fill, **more)


def points(pairs: Iterable[tuple[float, float]]) -> str:
    """Coordinates as the `points` attribute wants them."""
    return " ".join(f"{number(x)},{number(y)}" for x, y in pairs)


def polyline(
    pairs: Iterable[tuple[float, float]], stroke: str = INK, width: float = 1.5, dash: str = ""
) -> str:
    """An open line through the points."""
    more: dict[str, str | float] = {"stroke_dasharray": dash} if dash else {}
    return element(
        "polyline", points=points(pairs), fill="none", stroke=stroke, stroke_width=width,
        stroke_linejoin="round", **more,
    )


def polygon(pairs: Iterable[tuple[float, float]], fill: str, stroke: str = "none") -> str:
    """A closed shape through the points."""
    return element("polygon", points=points(pairs), fill=fill, stroke=stroke, stroke_width=1.0)


# Ground, strokes and their width: neighbours differ in tone and in texture.
TILES = (
    (GROUND, "M0,8 L8,0 M-2,2 L2,-2 M6,10 L10,6", 1.1),
    ("#d4d6da", "", 0.0),
    (GROUND, "M1,2 h2 M5,6 h2", 2.0),
    ("#8b9099", "", 0.0),
    (GROUND, "M0,2 H8 M0,6 H8", 0.9),
    ("#e4e2dd", "M0,0 L8,8 M-2,6 L2,10 M6,-2 L10,2", 0.9),
    (GROUND, "M2,0 V8 M6,0 V8", 0.9),
    ("#c3c6cb", "M0,4 H8 M4,0 V8", 0.9),
)


def hatches(prefix: str) -> str:
    """The patterns that tell layers apart without colour, as `<defs>`."""
    return element(
        "defs",
        *(
            element(
                "pattern", rect(0, 0, 8, 8, ground),
                element("path", d=path, stroke=INK, stroke_width=width), id=f"{prefix}{place}",
                width=8.0, height=8.0, patternUnits="userSpaceOnUse",
            )
            for place, (ground, path, width) in enumerate(TILES)
            if path
        ),
    )


def hatch(prefix: str, place: int) -> str:
    """The fill of a layer; plain tones are no patterns, whose seams would show."""
    place %= len(TILES)
    ground, path, _ = TILES[place]
    return f"url(#{prefix}{place})" if path else ground


def picture(
    *inside: str, width: float, height: float, title: str, told: str, prefix: str
) -> str:
    """The whole `<svg>`: its ground, its name and what it says to someone who does not see it.

    `prefix` begins its ids, for pages with more than one picture.
    """
    return element(
        "svg",
        element("title", escape(title), id=f"{prefix}title"),
        element("desc", escape(told), id=f"{prefix}desc"),
        rect(0, 0, width, height, GROUND),
        *inside,
        xmlns="http://www.w3.org/2000/svg", width=width, height=float(height),
        viewBox=f"0 0 {width:.0f} {height:.0f}", role="img",
        aria_labelledby=f"{prefix}title {prefix}desc", font_family=FONT,
    ) + "\n"


NARROWEST_PX, WIDEST_PX = 320, 4000


def refuse_width(what: str, width_px: int) -> None:
    """Refuse a picture that is too narrow to read or too wide to be meant.

    Raises
    ------
    ValueError
        If the width is not from 320 to 4000 pixels.
    """
    if not NARROWEST_PX <= width_px <= WIDEST_PX:
        raise ValueError(
            f"the {what} can be {NARROWEST_PX} to {WIDEST_PX} pixels wide, not {width_px}"
        )
