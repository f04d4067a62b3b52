"""Ranges of the aroma: the oil of every dose followed through a part of the ensemble.

What is drawn is all that is uncertain about the day and, of the oil, the pace at which it leaves
the hops, the way to the bubbles and the volatility of every class.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from wortline.plan.aroma_line import LEADING, Steam, by_dose, followed, steam_of
from wortline.plan.brew import Input
from wortline.plan.brew_day import BrewDay
from wortline.plan.ranges import HIGH, LOW, Range, Thresholds, ranges
from wortline.science.aroma import aroma_index_g_l, index_range_g_l
from wortline.science.mending import wort_kg
from wortline.science.real import Real

Array = npt.NDArray[np.float64]

INDEX = "aroma.index_g_l"
OIL_MODEL = "model.oil."
MEMBERS = 64
"""Of the ensemble's draws: enough for a range that is wide anyway, and a plan stays quick."""


@dataclass(frozen=True)
class AromaMembers:
    """The oil of a part of the ensemble: what the wort keeps and the index, member by member.

    `kept` has shape (doses, oils, members), `index_g_l` (doses, members).
    """

    kept: Array
    index_g_l: Array
    moved: Mapping[str, Array]

    def kept_range(self, dose: int, oil: int, mid: float) -> tuple[float, float]:
        """What the wort keeps of a class of a dose's oil, in 8 of 10 days [-]."""
        return _low_and_high(self.kept[dose, oil], mid)

    def index_range_g_l(self, dose: int, mid_g_l: float) -> tuple[float, float]:
        """The index of a dose, no narrower than an index that stands alone [g/L]."""
        return _no_narrower(_low_and_high(self.index_g_l[dose], mid_g_l), mid_g_l)

    @property
    def total_g_l(self) -> Array:
        """The index of all doses; one that never goes in adds nothing [g/L]."""
        return np.asarray(np.where(np.isfinite(self.index_g_l), self.index_g_l, 0.0).sum(axis=0))

    def total_range_g_l(self, mid_g_l: float) -> tuple[float, float]:
        """The index of all doses, no narrower than an index that stands alone [g/L]."""
        return _no_narrower(_low_and_high(self.total_g_l, mid_g_l), mid_g_l)


def _low_and_high(drawn: Array, mid: float) -> tuple[float, float]:
    finite = drawn[np.isfinite(drawn)]
    if not len(finite) or not np.isfinite(mid):
        return mid, mid
    low, high = (float(each) for each in np.percentile(finite, [LOW, HIGH]))
    return min(low, mid), max(high, mid)


def _no_narrower(found: tuple[float, float], mid_g_l: float) -> tuple[float, float]:
    low, high = (float(each) for each in index_range_g_l(mid_g_l))
    return min(found[0], low), max(found[1], high)


def aroma_members(day: BrewDay, moved: Mapping[str, Array], count: int) -> AromaMembers:
    """Follow the oil of a part of the members of a day that has `count` of them."""
    step = max(count // MEMBERS, 1)
    part = slice(0, MEMBERS * step, step)

    def taken(values: Real) -> Array:
        wide = np.asarray(values, dtype=np.float64)
        return np.asarray(np.broadcast_to(wide, (*wide.shape[:-1], count))[..., part])

    mass_kg = wort_kg(day.volumes.wort_l, day.strength.original_plato)
    whole = steam_of(day.hot, mass_kg, day.past_lid)
    steam = Steam(*(taken(each) for each in vars(whole).values()))
    in_min = taken(by_dose([line.in_min for line in day.lines], 2))
    masses = taken(by_dose([dose.mass_kg for dose in day.brew.doses], 2))
    kept = np.asarray(followed(day.brew, steam, in_min, day.brew.oils, part=part).kept)
    place = [oil.name for oil in day.brew.oils].index(LEADING)
    index = aroma_index_g_l(masses, taken(day.volumes.wort_l), kept[:, place])
    return AromaMembers(
        kept, np.asarray(index), {name: taken(each) for name, each in moved.items()}
    )


def aroma_range(
    day: BrewDay,
    members: AromaMembers,
    inputs: Mapping[str, Input],
    thresholds: Thresholds,
) -> dict[str, Range]:
    """Range of the index of all doses with its leading inputs; none where no dose adds any."""
    index = day.aroma.index_g_l
    mid_g_l = float(np.where(np.isfinite(index), index, 0.0).sum())
    if not mid_g_l > 0.0:
        return {}
    found = ranges({INDEX: mid_g_l}, {INDEX: members.total_g_l}, members.moved, inputs, thresholds)
    low, high = members.total_range_g_l(mid_g_l)
    # What an index rests on is known to a factor of two: it is never more than a guess.
    return {key: replace(each, low=low, high=high, trust="guess") for key, each in found.items()}
