"""The chill as a curve: the kettle's temperature, and the share of the wort still in it.

By rate, by time or at once the whole kettle is cooled alike. With a chiller it depends on the way:
circulating and a coil cool all of it, one pass leaves what waits in the kettle as hot as it was.
"""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from wortline.plan.brew import Brew
from wortline.plan.chill_call import COILED, TWO_STAGE_C, tap_way
from wortline.plan.cooling import even_shares, steps_for
from wortline.science.chill_ways import Way
from wortline.science.chiller import Batch, passed_w_k
from wortline.science.chilling import circulated_c
from wortline.science.real import Real

Array = npt.NDArray[np.float64]

LEFT_DK = 0.5
"""A chill out of reach is drawn to this far above the lowest; a can't-because says so."""


class ChillCurve(NamedTuple):
    """Temperatures of the kettle at step ends, lengths of steps, share of the wort hot in each."""

    ends_c: Array
    step_min: Array
    in_kettle: Array | None = None


def chill_curve(brew: Brew, start_c: Real, batch: Batch) -> ChillCurve:
    """The curve of the chill that the recipe asks for."""
    if brew.chill.way is not None:
        return _by_chiller(brew, np.asarray(start_c, dtype=np.float64), batch)
    return _as_typed(brew, start_c)


def _as_typed(brew: Brew, start_c: Real) -> ChillCurve:
    """A rate is a straight line to the target; a time an exponential; at once has no length.

    A target at or below the tap (refused elsewhere) falls in a straight line.
    """
    to_c, tap_c = brew.chill.to_c, brew.air.tap_c
    fall_dk = np.maximum(start_c - to_c, 0.0)
    if brew.chill.rate_k_min is not None:
        minutes_min: Real = fall_dk / brew.chill.rate_k_min
    else:
        wanted_min = 0.0 if brew.chill.in_min is None else brew.chill.in_min
        # Wort that is cool enough already is not chilled.
        minutes_min = np.where(fall_dk > 0.0, wanted_min, 0.0)
    steps = steps_for(minutes_min)
    cut = even_shares(steps)
    line_c: Array = np.asarray(start_c - np.multiply.outer(cut, fall_dk))
    if brew.chill.in_min is not None:
        reachable = (to_c > tap_c) & (start_c > to_c)
        above = np.where(reachable, (to_c - tap_c) / np.where(reachable, start_c - tap_c, 1.0), 1.0)
        bent_c = tap_c + (start_c - tap_c) * np.exp(np.multiply.outer(cut, np.log(above)))
        line_c = np.where(reachable, bent_c, line_c)
    step_min = np.broadcast_to(np.asarray(minutes_min) / steps, (steps, *np.shape(fall_dk)))
    return ChillCurve(line_c, step_min)


def chosen(brew: Brew, batch: Batch, start_c: Real, to_c: Real) -> Way:
    """What the recipe's own way takes to a temperature."""
    way = brew.chill.way
    assert way is not None
    switch_c = TWO_STAGE_C if way.switch_c is None else way.switch_c
    gain_w = 0.0 if way.how in COILED else brew.models.pump_heat_w
    return tap_way(way.unit, way.how, batch, start_c, to_c, brew.air.tap_c, gain_w, switch_c)


def comes_down(brew: Brew, start_c: Real, batch: Batch) -> Real:
    """Whether the chill that the recipe asks for gets to its temperature at all."""
    cool = np.less_equal(start_c, brew.chill.to_c)
    if brew.chill.way is None:
        return np.asarray(cool | np.greater(brew.chill.to_c, brew.air.tap_c))
    return np.asarray(cool | np.isfinite(chosen(brew, batch, start_c, brew.chill.to_c).time_min))


def reachable_c(brew: Brew, batch: Batch, start_c: Real) -> Real:
    """The temperature wanted, or the next that the recipe's own way gets to [C]."""
    lowest_c = chosen(brew, batch, start_c, brew.chill.to_c).lowest_c
    return np.maximum(brew.chill.to_c, lowest_c + LEFT_DK)


def _by_chiller(brew: Brew, start_c: Array, batch: Batch) -> ChillCurve:
    way = chosen(brew, batch, start_c, brew.chill.to_c)
    # Where the way gets there, to what was wanted, to the last digit.
    to_c = np.where(np.isfinite(way.time_min), brew.chill.to_c, way.lowest_c + LEFT_DK)
    warm = start_c > to_c
    way = chosen(brew, batch, start_c, np.minimum(to_c, start_c))
    circulated_min = np.where(warm, way.circulated_min, 0.0)
    passed_min = np.where(warm, way.time_min - way.circulated_min, 0.0)
    pieces = []
    how = brew.chill.way.how if brew.chill.way else ""
    if how != "one-pass":
        pieces.append(_all_at_once(brew, start_c, batch, circulated_min))
        start_c = pieces[-1].ends_c[-1]
    if how in ("one-pass", "two-stage"):
        pieces.append(_drawn(start_c, passed_min, np.where(warm, to_c, start_c)))
    first, last = pieces[0], pieces[-1]
    if first is last:
        return first
    return ChillCurve(
        np.concatenate([first.ends_c, last.ends_c[1:]]),
        np.concatenate([first.step_min, last.step_min]),
        np.concatenate([np.ones_like(first.step_min), np.asarray(last.in_kettle)]),
    )


def _all_at_once(brew: Brew, start_c: Array, batch: Batch, minutes_min: Array) -> ChillCurve:
    """The whole kettle towards the tap."""
    way = brew.chill.way
    assert way is not None
    coil = way.how in COILED
    chiller, tap_c = way.unit.chiller, brew.air.tap_c
    flows = chiller.most_wort_l_min, chiller.most_water_l_min
    passed = passed_w_k(chiller, batch, tap_c, *flows, coil)
    steps = steps_for(minutes_min)
    since_min = np.multiply.outer(even_shares(steps), minutes_min)
    gain_w = 0.0 if coil else brew.models.pump_heat_w
    ends_c = circulated_c(start_c, tap_c, since_min, batch.heat_kj_k, passed, gain_w)
    ends_c = np.asarray(ends_c)
    return ChillCurve(ends_c, np.broadcast_to(minutes_min / steps, (steps, *ends_c.shape[1:])))


def _drawn(start_c: Array, minutes_min: Array, reached_c: Array) -> ChillCurve:
    """The kettle as hot as it was, ever less in it; at the end all of it is cold, in no time."""
    steps = steps_for(minutes_min)
    shape = np.broadcast_shapes(np.shape(start_c), np.shape(minutes_min), np.shape(reached_c))
    ends_c = np.stack([np.broadcast_to(start_c, shape)] * (steps + 1) + [reached_c + 0.0 * start_c])
    step_min = np.stack([np.broadcast_to(minutes_min / steps, shape)] * steps + [np.zeros(shape)])
    left = 1.0 - (np.arange(steps + 1) + 0.5) / steps
    left[-1] = 0.0
    return ChillCurve(ends_c, step_min, left.reshape(-1, *([1] * len(shape))) + 0.0 * step_min)
