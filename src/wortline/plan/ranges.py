"""Ranges: low, mid and high of every headline number from one pass over an ensemble of days.

What the brewer does is fixed by the central plan (water, grist, doses); what is uncertain about the
rig, the ingredients, the day and the models is drawn. The range of `water_l` alone is that of the
water the batch would need.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal, TypeAlias

import numpy as np
import numpy.typing as npt

from wortline.plan.brew import Input
from wortline.plan.brew_day import BrewDay, first_water_l
from wortline.plan.cold_side import (
    cold_side,
    energy_kwh,
    likely_boil_off_l_h,
    most_boil_off_l_h,
)
from wortline.plan.ledger import water_for_l
from wortline.plan.loss_curve import LidCurves
from wortline.science.real import Real

Array = npt.NDArray[np.float64]
Word: TypeAlias = Literal["sure", "fair", "guess"]
Thresholds: TypeAlias = Mapping[str, Mapping[str, float]]
"""For each scale (`relative`, `temperature_dk`, `gravity_sg`) the half widths of sure and fair."""

LOW, HIGH = 10.0, 90.0
BECAUSE = 2
WORDS: tuple[Word, ...] = ("sure", "fair", "guess")


@dataclass(frozen=True)
class Range:
    """How far a number can be trusted."""

    low: float
    mid: float
    high: float
    trust: Word
    because: tuple[str, ...]
    shares: tuple[float, ...]


def headlines(day: BrewDay, curves: LidCurves) -> dict[str, Real]:
    """Every headline number of a day by its dotted key."""
    brew = day.brew
    cold = cold_side(brew, curves, first_water_l(brew, day.volumes.water_l), day.strike_c)
    preboil_l = day.volumes.preboil_l
    return {
        "water_l": water_for_l(brew, day.hot.rest_loss_l),
        "strike_c": day.strike_c,
        "fermenter_l": day.volumes.fermenter_l,
        "gravity.preboil_sg": day.strength.preboil_sg,
        "gravity.original_sg": day.strength.original_sg,
        "gravity.final_sg": day.beer.final_sg,
        "abv_fraction": day.beer.abv,
        "colour_ebc": day.beer.colour_ebc,
        "bitterness.ibu": day.ibu,
        "bitterness.wort_ibu": day.wort_ibu,
        "bitterness.tinseth_ibu": day.tinseth_ibu,
        "dms_ug_l.wort": day.dms.dms_ug_l[-1],
        "dms_ug_l.beer": day.dms.beer_ug_l,
        "dms_ug_l.precursor_left": day.dms.precursor_ug_l[-1],
        "heat.to_strike_min": cold.strike.minutes_min,
        "heat.to_boil_min": day.hot.stretches["to_boil"].minutes_min,
        "heat.max_boil_off_l_h": most_boil_off_l_h(brew),
        "heat.likely_boil_off_l_h": likely_boil_off_l_h(brew, preboil_l),
        "energy_kwh": energy_kwh(brew, cold, day.hot, preboil_l),
    }


def ranges(
    central: Mapping[str, Real],
    members: Mapping[str, Real],
    moved: Mapping[str, Array],
    inputs: Mapping[str, Input],
    thresholds: Thresholds,
) -> dict[str, Range]:
    """Range, trust and the two leading inputs of every headline number."""
    names = list(moved)
    causes = standard(np.array([moved[name] for name in names])) if names else np.zeros((0, 1))
    count = causes.shape[-1]
    mids = {key: float(value) for key, value in central.items()}
    told = {
        key: np.broadcast_to(np.asarray(members[key], dtype=np.float64), (count,))
        for key, mid in mids.items()
        if np.isfinite(mid) and np.isfinite(members[key]).all()
    }
    if not told:
        return {}
    drawn = np.array(list(told.values()))
    ends = np.percentile(drawn, [LOW, HIGH], axis=1).T
    result = {}
    for key, (least, most), values in zip(told, ends.tolist(), standard(drawn), strict=True):
        mid = mids[key]
        low, high = min(least, mid), max(most, mid)
        shares = (causes @ values / count) ** 2
        leading = np.argsort(-shares, kind="stable")[:BECAUSE]
        because = tuple(names[i] for i in leading)
        word = trust(key, mid, 0.5 * (high - low), thresholds)
        word = capped(word, [inputs[name].trust for name in because])
        result[key] = Range(low, mid, high, word, because, tuple(float(shares[i]) for i in leading))
    return result


def standard(rows: Array) -> Array:
    """Rows less their mean, over their standard deviation; zeros where one does not vary."""
    centred = rows - rows.mean(axis=-1, keepdims=True)
    size = np.sqrt(np.mean(centred**2, axis=-1, keepdims=True))
    varies = size > 0.0
    result: Array = np.where(varies, centred / np.where(varies, size, 1.0), 0.0)
    return result


def scale_of(key: str) -> str:
    """Which scale a number's half width is judged on."""
    if key.endswith("_sg"):
        return "gravity_sg"
    return "temperature_dk" if key.endswith("_c") else "relative"


def trust(key: str, mid: float, half: float, thresholds: Thresholds) -> Word:
    """The word for a half width: sure, fair or guess."""
    scale = scale_of(key)
    size = half / abs(mid) if scale == "relative" and mid else half
    limits = thresholds[scale]
    # Widths are compared as printed: a hair of rounding must not change a word.
    if size <= limits["sure"] + 1e-12:
        return "sure"
    return "fair" if size <= limits["fair"] + 1e-12 else "guess"


def capped(word: Word, leading: list[Any]) -> Word:
    """No surer than what it rests on: fair on a typical value, guess on a guessed one."""
    floor = 2 if "guess" in leading else 1 if "typical" in leading else 0
    return WORDS[max(WORDS.index(word), floor)]
