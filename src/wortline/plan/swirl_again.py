"""What the chill does to rested wort: one that circulates or is stirred clouds it again."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from wortline.plan.brew_day import BrewDay
from wortline.plan.cautions import Say
from wortline.plan.notes import Note
from wortline.plan.swirl_line import SwirlLine
from wortline.science.swirl_choices import returned_after_rest
from wortline.units import say

CIRCULATES = ("circulate", "two-stage")
STIRRED = "coil-stirred"
# Chosen: what is worth a warning.
CLOUDED = 0.05


@dataclass(frozen=True)
class CloudedAgain:
    """The chill stirs the rested kettle; the share cleared after it is None where nobody knows."""

    how: str
    flow_l_min: float | None
    minutes_min: float
    clear_before: float
    clear_after: float | None


def clouded_again(day: BrewDay, line: SwirlLine) -> CloudedAgain | None:
    """What the planned chill lifts again; None where it leaves the kettle alone."""
    way, chill = day.brew.chill.way, day.hot.stretches["chill"]
    if way is None or way.how not in (*CIRCULATES, STIRRED):
        return None
    # While it circulates all of the wort is in the kettle.
    minutes_min = float((chill.step_min * (chill.hot_share >= 1.0)).sum(axis=0))
    clear = line.headlines["whirlpool.clear_fraction"]
    if not 0.0 < minutes_min < np.inf:
        return None
    if way.how == STIRRED:
        return CloudedAgain(way.how, None, minutes_min, clear, None)
    flow_l_min = float(way.unit.chiller.most_wort_l_min)
    found = returned_after_rest(
        line.kettle, line.pump_min, line.rest_min, flow_l_min, minutes_min, line.constants
    )
    # More than the rest has cleared no flow can leave clear.
    after = min(float(found.clear_after), clear)
    return CloudedAgain(way.how, flow_l_min, minutes_min, clear, after)


def clouded_notes(found: CloudedAgain | None, spoken: Say = say) -> Iterator[Note]:
    """The warning, and what to do instead."""
    if found is None:
        return
    before = f"{100.0 * found.clear_before:.0f} %"
    mend = (
        " Chill first and rest after it, draw in one pass, or let it stand once more before you"
        " draw."
    )
    if found.clear_after is None:
        yield Note(
            "chill-clouds",
            "warn",
            "A stirred chill after the rest lifts again what has settled: do not count on the"
            f" {before} of the solids that are gone before it. How much it lifts: no data.{mend}",
        )
        return
    after = f"{100.0 * found.clear_after:.0f} %"
    flow = spoken(found.flow_l_min or 0.0, "flow")
    severe = found.clear_before - found.clear_after > CLOUDED
    yield Note(
        "chill-clouds",
        "warn" if severe else "note",
        f"The chill circulates the rested wort for {found.minutes_min:.0f} min at"
        f" {flow}: about {after} of the solids are gone at the outlet after it, against {before}"
        " before it (a guess; it returns through the same nozzle)."
        + (f" It clouds again.{mend}" if severe else " It hardly clouds again."),
    )
