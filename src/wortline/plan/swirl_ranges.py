"""Ranges of the whirlpool: one run over a part of the ensemble, and what readings leave of it.

The constants of the model are mostly chosen, so the ranges are wide and the word is guess. The
brewer's own readings narrow them: the members are moved to where they would have foretold what was
counted (the ensemble smoother; G. Evensen, 2009, Data Assimilation, 2nd edition, Springer).
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from wortline.plan.aim import Fitted
from wortline.plan.brew import Input, SwirlGear
from wortline.plan.brew_day import brew_day
from wortline.plan.loss_curve import LidCurves
from wortline.plan.ranges import BECAUSE, HIGH, LOW, WORDS, Range, Thresholds, standard, trust
from wortline.plan.swirl_line import (
    CONE,
    COUNTED_MIN,
    SEEN_MIN,
    SwirlLine,
    gear_of,
    numbers_of,
    swirl_kettle,
)
from wortline.science.swirl_constants import SwirlConstants, swirl_constants_at
from wortline.science.whirlpool import Whirlpool, run

Array = npt.NDArray[np.float64]

MEMBERS = 64
"""Of the ensemble's draws: enough for a range that is wide anyway, in a tenth of a second."""
SWIRL_ONLY = ("model.swirl.", "rig.swirl.")
MATTERS = (*SWIRL_ONLY, "recipe.hops.", "rig.kettle.diameter", "rig.hops_hold.free")
SHARES = frozenset({"whirlpool.clear_fraction"})
LEAST = 1e-6
LEAST_TURNS, LEAST_NOISE = 0.1, 0.01


@dataclass(frozen=True)
class SwirlMembers:
    """The whirlpool of a part of the ensemble; lines have shape (members,)."""

    found: Whirlpool
    moved: Mapping[str, Array]
    predicted: Array
    counted: Array
    noise: Array

    def conditioned(self, values: Array, share: bool) -> Array:
        """Rows of values as the readings leave them: in logarithms, of shares in logits."""
        held = np.clip(values, LEAST, 1.0 - LEAST) if share else np.maximum(values, LEAST)
        if not len(self.counted):
            return np.asarray(held)
        plain = np.log(held / (1.0 - held)) if share else np.log(held)
        by_member = self.predicted.shape[1]
        off = self.predicted - self.predicted.mean(axis=1, keepdims=True)
        spread = off @ off.T / by_member + np.diag(self.noise**2)
        with_values = (plain - plain.mean(axis=1, keepdims=True)) @ off.T / by_member
        moved = plain + with_values @ np.linalg.solve(spread, self.counted - self.predicted)
        back = 1.0 / (1.0 + np.exp(-moved)) if share else np.exp(moved)
        return np.asarray(back)

    def clear_at(self, rest_min: Array) -> Array:
        """Clear fraction at rest lengths, shape (rests, members)."""
        course = self.found.resting
        lines = zip(course.after_min.T, course.clear_fraction.T, strict=True)
        plain = np.array([np.interp(rest_min, after, clear) for after, clear in lines]).T
        return self.conditioned(plain, share=True)


def part_of(normals: Array) -> Array:
    """Rows from all over a table of draws, as many as a whirlpool takes."""
    return normals[:: max(len(normals) // MEMBERS, 1)][:MEMBERS]


def swirl_members(
    fitted: Fitted, curves: LidCurves, line: SwirlLine, normals: Array
) -> SwirlMembers | None:
    """Run the whirlpool of a part of the draws; None where it would not be finite."""
    brew, moved = fitted.case.drawn(part_of(normals))
    day = brew_day(brew, curves, fitted.day.volumes.water_l, fitted.day.method)
    gear = gear_of(brew)
    kettle = swirl_kettle(day, gear, curves)
    if not all(np.isfinite(each).all() for each in vars(kettle).values()):
        return None
    constants = swirl_constants_at(gear.shares)
    seen_min = max(SEEN_MIN, line.rest_min)
    found = run(kettle, line.pump_min, line.rest_min, constants, 0.0, seen_min)
    count = len(found.resting.after_min.T)
    predicted, counted = _readings(line, gear, found, constants) if line.fit else ([], [])
    noise = [max(float(np.std(each)), LEAST_NOISE) for each in counted]
    shape = (len(counted), count)
    return SwirlMembers(
        found,
        {name: each for name, each in moved.items() if name.startswith(MATTERS)},
        np.reshape(predicted, shape),
        np.reshape([np.broadcast_to(each, count) for each in counted], shape),
        np.array(noise),
    )


def _readings(
    line: SwirlLine, gear: SwirlGear, found: Whirlpool, constants: SwirlConstants
) -> tuple[list[Array], list[Array]]:
    """What each member foretells of the readings, and what was read; in logarithms.

    The central run has its constants fitted to the readings of their own day. What it foretells of
    this day stands for them here, each member with the reading's own error.
    """
    predicted, counted = [], []
    course, central = found.resting, line.gear
    count = course.after_min.shape[1]
    rows = zip(COUNTED_MIN, gear.turns_per_min, central.turns_per_min, strict=False)
    for (after_min, turns, was), foretold in zip(rows, line.turns_per_min, strict=False):
        if foretold > LEAST_TURNS:
            predicted.append(np.log(course.at(np.full(count, after_min), course.turns_per_min)))
            counted.append(np.log(foretold * turns / was))
    if gear.clear_after_min is not None and central.clear_after_min is not None:
        seen_min = float(course.after_min[-1].max())
        dirt, own = (
            each.resting.below_one_min(each.resting.suspended_mg_l / by.clear_mg_l)
            for each, by in ((found, constants), (line.found, line.constants))
        )
        foretold = min(max(line.at(np.where(np.isnan(own), seen_min, own)), 1.0), seen_min)
        clear_min = np.clip(np.where(np.isnan(dirt), seen_min, dirt), 1.0, seen_min)
        predicted.append(np.log(clear_min))
        counted.append(np.log(foretold * gear.clear_after_min / central.clear_after_min))
    return [np.asarray(each) for each in predicted], [np.asarray(each) for each in counted]


def swirl_ranges(
    line: SwirlLine,
    members: SwirlMembers,
    inputs: Mapping[str, Input],
    thresholds: Thresholds,
) -> dict[str, Range]:
    """Range, trust and the two leading inputs of every number of the whirlpool.

    Wort that does not clear within the time looked at counts as clear at its end. Without readings
    every word is guess; with them none is better than fair, for the model itself is unproven.
    """
    count = members.found.resting.after_min.shape[1]
    names = list(members.moved)
    stacked = standard(np.array([members.moved[name] for name in names]))
    result = {}
    for key, mid in line.headlines.items():
        drawn = np.broadcast_to(np.asarray(numbers_of(members.found)[key], dtype=float), (count,))
        if not np.isfinite(mid) or (key == CONE and not line.pump_min > 0.0):
            continue
        whole = np.where(np.isfinite(drawn), drawn, max(SEEN_MIN, line.rest_min))
        values = members.conditioned(whole[np.newaxis], key in SHARES)[0]
        low, high = (float(each) for each in np.percentile(values, [LOW, HIGH]))
        low, high = min(low, mid), max(high, mid)
        shares = (stacked @ standard(values) / count) ** 2
        leading = np.argsort(-shares, kind="stable")[:BECAUSE]
        word = trust("relative", mid, 0.5 * (high - low), thresholds)
        least = 1 if line.fit is not None else 2
        result[key] = Range(
            low,
            mid,
            high,
            WORDS[max(WORDS.index(word), least)],
            tuple(names[i] for i in leading),
            tuple(float(shares[i]) for i in leading),
        )
    return result
