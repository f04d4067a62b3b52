"""The pipe map for a page: larger words and fewer, and handles to turn by touch or keyboard."""

from __future__ import annotations

import math
from collections.abc import Mapping

from wortline.pictures.pipe_map import Press, map_parts
from wortline.pictures.pipe_map_graph import Item
from wortline.pictures.pipe_map_layout import Sizes, layout
from wortline.pictures.pipe_map_words import item_in_brief
from wortline.pictures.svg import FONT, element
from wortline.pipes.audit import Verdict
from wortline.pipes.view import View
from wortline.units import retold

NARROW_PX = 560.0
EDGE = 6.0


def pressed_map(
    view: View,
    verdict: Verdict,
    press: Mapping[str, Press],
    label: str,
    width_px: float = 760.0,
    system: str = "metric",
) -> str:
    """SVG picture of a line-up whose handles are buttons.

    Parameters
    ----------
    view : View
        The network as it stands, with what is known of the day.
    verdict : Verdict
        The verdict on it.
    press : Mapping
        What a touch does, by the name of the valve, pump or water supply.
    label : str
        What the picture is called to someone who does not see it.
    width_px : float
        Room for the picture in pixels; a rig with many pipes side by side may take more.
    system : str
        ``metric`` or ``us``.

    Returns
    -------
    str
        One `<svg>` element; verdict, words and key stand on the page beside it.
    """

    def words(view: View, verdict: Verdict, item: Item) -> tuple[str, tuple[str, ...]]:
        name, said = item_in_brief(view, verdict, item)
        return name, tuple(retold(each, system) for each in said)

    narrow = width_px < NARROW_PX
    sizes = Sizes(16.0, 14.0, 104.0, 12.0) if narrow else Sizes(18.0, 15.5, 150.0, 14.0)
    made = layout(view, verdict, sizes, width_px - 2 * EDGE, words)
    width = max(width_px, made.width + 2 * EDGE)
    height = float(math.ceil(made.height + 2 * EDGE))
    left = (width - made.width) / 2
    return element(
        "svg",
        element("g", *map_parts(view, made, sizes, press),
                transform=f"translate({left:.1f},{EDGE:.1f})", class_="map"),
        xmlns="http://www.w3.org/2000/svg", width=width, height=height,
        viewBox=f"0 0 {width:.0f} {height:.0f}", role="group", aria_label=label, font_family=FONT,
    )
