"""The DMS line: precursor splitting and DMS leaving with the steam, from lift to end of chill."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from wortline.plan.brew import Brew
from wortline.plan.hot_side import HotSide
from wortline.science.dms import (
    dms_curve,
    dms_in_beer_ug_l,
    dms_stripping_per_min,
    dosed_precursor_ug_l,
    precursor_split_per_min,
)
from wortline.science.first_order import from_zero
from wortline.science.real import Real

Array = npt.NDArray[np.float64]

# Surface evaporation strips less than boiling does for the same steam: 30 to 60, common practice.
STILL_VOLATILITY = 45.0
BOIL_PIECES = 12


@dataclass(frozen=True)
class DmsLine:
    """Free DMS and precursor, per litre of the cold wort; shape (points, ...members)."""

    time_min: Array
    dms_ug_l: Array
    precursor_ug_l: Array
    beer_ug_l: Real


def dms_line(brew: Brew, day: HotSide, wort_l: Real, wort_kg: Real, boil_share: float) -> DmsLine:
    """Follow DMS along the hot side.

    `boil_share` is the share of the boil's steam that gets away past the lid: what condenses on it
    drips back with its DMS.
    """
    boils = day.boiling
    # Lengths that never end belong to plans that are refused; they must not spoil the rest.
    step_min = np.where(np.isfinite(day.step_min), day.step_min, 0.0)
    steam_per_min = day.steam_kg / np.where(step_min > 0.0, step_min, 1.0) / wort_kg
    strip = np.asarray(dms_stripping_per_min(steam_per_min, STILL_VOLATILITY))
    strip[boils] = dms_stripping_per_min(steam_per_min[boils]) * boil_share
    strip = strip * brew.models.dms_stripping
    split = precursor_split_per_min(day.mid_c, brew.losses.wort_ph)
    if day.hot_share is not None:
        # Per litre of all the wort: what is drawn and cold already neither splits nor strips.
        split, strip = split * day.hot_share, strip * day.hot_share
    # The boil is one step to the other lines; here it is cut so that its curve can be drawn.
    counts = np.where(boils, BOIL_PIECES, 1)
    pieces = [np.repeat(curve, counts, axis=0) for curve in (split, strip, step_min)]
    pieces[2] = pieces[2] / np.repeat(counts, counts).reshape(-1, *([1] * (pieces[2].ndim - 1)))
    start: Real = 0.0
    for malt in brew.malts:
        fraction = malt.dms_precursor_mg_kg / 1e6
        start = start + dosed_precursor_ug_l(fraction, malt.mass_kg, wort_l)
    precursor, dms = dms_curve(pieces[0], pieces[1], pieces[2], start, 0.0)
    return DmsLine(from_zero(pieces[2]), dms, precursor, dms_in_beer_ug_l(dms[-1]))
