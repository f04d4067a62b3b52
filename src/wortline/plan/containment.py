"""Free, bag or mesh: what each way to hold a dose changes in the beer, the litres and the flow."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from wortline.plan.aroma_line import HELD
from wortline.plan.brew import Held
from wortline.plan.brew_day import BrewDay
from wortline.plan.clog import WortWay, held_so, hop_load, level
from wortline.science.aroma import ratio_range

Array = npt.NDArray[np.float64]

# Of all aroma (a choice): a ratio of less is a ratio of nothing.
LEAST_SHARE = 0.02


@dataclass(frozen=True)
class HeldWay:
    """One way to hold a dose, with everything else of the day as planned.

    `aroma_ratio` is low, middle and high of its aroma index over the planned one.
    """

    held: Held
    planned: bool
    ibu: float
    aroma_ratio: tuple[float, float, float]
    held_back_l: float
    clog_level: int | None


def containment(day: BrewDay, way: WortWay) -> list[tuple[HeldWay, ...]]:
    """The three ways to hold every dose; none for a dose that never meets hot wort."""
    index_g_l = {held: day.aroma.held_g_l(held) for held in HELD}
    found: list[tuple[HeldWay, ...]] = []
    for place, line in enumerate(day.lines):
        if not np.isfinite(line.in_min):
            found.append(())
            continue
        found.append(tuple(_way(day, way, place, held, index_g_l) for held in HELD))
    return found


def _way(
    day: BrewDay, way: WortWay, place: int, held: Held, index_g_l: Mapping[Held, Array]
) -> HeldWay:
    brew, dose = day.brew, day.lines[place].dose
    now = 1.0 - float(brew.containment_less(dose))
    then = 1.0 - float(brew.containment_less(dose, held))
    planned_ibu = float(day.dose_ibu[place])
    planned = float(index_g_l[dose.held][place])
    ratio = (1.0, 1.0, 1.0)
    if held != dose.held:
        other = float(index_g_l[held][place])
        # Where the planned way gives next to nothing there is nothing to compare with.
        told = planned > LEAST_SHARE * float(np.nansum(index_g_l[dose.held]))
        low, mid, high = ratio_range(other, planned) if told else (np.nan,) * 3
        ratio = (float(low), float(mid), float(high))
    return HeldWay(
        held=held,
        planned=held == dose.held,
        ibu=planned_ibu * then / now if now > 0.0 else np.nan,
        aroma_ratio=ratio,
        held_back_l=float(dose.mass_kg * brew.held_back_l_kg(held)),
        clog_level=level(hop_load(day, held_so(day, (dose.id,), held)), way),
    )
