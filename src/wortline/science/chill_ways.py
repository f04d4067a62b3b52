"""The ways to chill a kettle: circulating, one pass, first one then the other, a coil in the wort.

Each is asked for a temperature. A temperature that cannot be reached has no time (nan), and
`lowest_c` says what can be had instead.
"""

from typing import NamedTuple

import numpy as np

from wortline.science.chiller import Batch, Chiller, outlet_c, passed_w_k
from wortline.science.chilling import circulating_min
from wortline.science.numerics import unit_root
from wortline.science.one_pass import WORT_KG_M3
from wortline.science.real import Real

LEAST_L_MIN = 1.0
"""Slower than this a valve cannot be set and held (common practice, no source) [L/min]."""


class Way(NamedTuple):
    """What a way to chill takes and gives.

    Attributes
    ----------
    time_min : Real
        Time it takes; nan where it never gets there [min].
    water_l : Real
        Cooling water it takes; nan where it never gets there [L].
    reached_c : Real
        Temperature it gets to: the one wanted, or the lowest it can [C].
    lowest_c : Real
        Lowest temperature that this way can reach at all [C].
    wort_l_min : Real
        Flow of wort in the pass, or while circulating [L/min].
    water_l_min : Real
        Flow of water then [L/min].
    circulated_min : Real
        The part of the time in which the whole kettle is cooled [min].
    pass_c : Real
        Temperature of the kettle while it is drawn in one pass; nan where it is not [C].
    """

    time_min: Real
    water_l: Real
    reached_c: Real
    lowest_c: Real
    wort_l_min: Real
    water_l_min: Real
    circulated_min: Real
    pass_c: Real


def best_flows_l_min(
    chiller: Chiller, batch: Batch, wort_c: Real, wanted_c: Real, water_c: Real
) -> tuple[Real, Real]:
    """Return the flows at which one pass brings wort to a temperature soonest, with least water.

    Parameters
    ----------
    chiller : Chiller
        The chiller.
    batch : Batch
        The wort.
    wort_c : Real
        Wort on its way in [C].
    wanted_c : Real
        Wort wanted on its way out [C].
    water_c : Real
        Water on its way in [C].

    Returns
    -------
    tuple of Real
        Flow of wort and of water; the slowest wort where it still leaves too warm [L/min].

    Notes
    -----
    With all the water, the wort is throttled until it leaves as cold as wanted. Where it does so at
    its fastest, the water is throttled instead.

    References
    ----------
    Kays, W. M., London, A. L. (1984). Compact Heat Exchangers, 3rd ed., McGraw-Hill, chapter 2.
    """
    most_wort, most_water = chiller.most_wort_l_min, chiller.most_water_l_min
    least_wort = np.minimum(LEAST_L_MIN, most_wort)
    least_water = np.minimum(LEAST_L_MIN, most_water)

    def too_warm_dk(wort_l_min: Real, water_l_min: Real) -> Real:
        return outlet_c(chiller, batch, wort_c, water_c, wort_l_min, water_l_min) - wanted_c

    throttled = unit_root(
        lambda x: too_warm_dk(least_wort + x * (most_wort - least_wort), most_water)
    )
    spared = unit_root(
        lambda x: too_warm_dk(most_wort, most_water + x * (least_water - most_water))
    )
    fast = np.less_equal(too_warm_dk(most_wort, most_water), 0.0)
    slow = np.where(np.isnan(throttled), 0.0, throttled)
    # Nothing to throttle for: at the least of water it still leaves colder than wanted.
    spare = np.where(np.isnan(spared), 1.0, spared)
    wort = np.where(fast, most_wort, least_wort + slow * (most_wort - least_wort))
    water = np.where(fast, most_water + spare * (least_water - most_water), most_water)
    return wort[()], water[()]


def circulated(
    chiller: Chiller,
    batch: Batch,
    start_c: Real,
    wanted_c: Real,
    water_c: Real,
    gain_w: Real = 0.0,
    coil: bool = False,
) -> Way:
    """Return what it takes to cool the whole kettle at once, by circulating or by a coil in it.

    Parameters
    ----------
    chiller : Chiller
        The chiller.
    batch : Batch
        The wort and its kettle.
    start_c : Real
        Temperature at the start [C].
    wanted_c : Real
        Temperature wanted [C].
    water_c : Real
        Water on its way in [C].
    gain_w : Real
        Heat added the while, as by the pump [W].
    coil : bool
        Whether the chiller hangs in the kettle.

    Returns
    -------
    Way
        Time, water, temperature.

    Notes
    -----
    Both flows wide open: throttling either only makes it longer.

    References
    ----------
    Kern, D. Q. (1950). Process Heat Transfer, McGraw-Hill, chapter 18 (batch cooling, external
    exchanger and coil in tank).
    """
    wort, water = chiller.most_wort_l_min, chiller.most_water_l_min
    passed = passed_w_k(chiller, batch, water_c, wort, water, coil)
    minutes = circulating_min(start_c, wanted_c, water_c, batch.heat_kj_k, passed, gain_w)
    reached = np.isfinite(minutes)
    minutes = np.where(reached, minutes, np.nan)[()]
    lowest_c = water_c + gain_w / passed
    got_c = np.where(reached, np.minimum(start_c, wanted_c), lowest_c)[()]
    never = np.nan * minutes
    return Way(minutes, water * minutes, got_c, lowest_c, wort, water, minutes, never)


def one_pass(chiller: Chiller, batch: Batch, start_c: Real, wanted_c: Real, water_c: Real) -> Way:
    """Return what it takes to send the kettle once through a chiller.

    Parameters
    ----------
    chiller : Chiller
        The chiller.
    batch : Batch
        The wort.
    start_c : Real
        Temperature of the kettle [C].
    wanted_c : Real
        Temperature wanted at the way out [C].
    water_c : Real
        Water on its way in [C].

    Returns
    -------
    Way
        Time, water, temperature.

    Notes
    -----
    The rest of the kettle is taken to stay as hot as it was; it loses a few degrees, which helps.

    References
    ----------
    Kays, W. M., London, A. L. (1984). Compact Heat Exchangers, 3rd ed., McGraw-Hill, chapter 2.
    """
    wort, water = best_flows_l_min(chiller, batch, start_c, wanted_c, water_c)
    out_c = outlet_c(chiller, batch, start_c, water_c, wort, water)
    slowest = np.minimum(LEAST_L_MIN, chiller.most_wort_l_min)
    lowest_c = outlet_c(chiller, batch, start_c, water_c, slowest, chiller.most_water_l_min)
    reached = np.less_equal(lowest_c, wanted_c)
    minutes = np.where(reached, batch.wort_kg / (wort * WORT_KG_M3 / 1000.0), np.nan)[()]
    none = 0.0 * minutes
    return Way(minutes, water * minutes, out_c, lowest_c, wort, water, none, start_c + none)


def two_stage(
    chiller: Chiller,
    batch: Batch,
    start_c: Real,
    switch_c: Real,
    wanted_c: Real,
    water_c: Real,
    gain_w: Real = 0.0,
) -> Way:
    """Return what it takes to circulate to one temperature and go on in one pass.

    Parameters
    ----------
    chiller : Chiller
        The chiller.
    batch : Batch
        The wort and its kettle.
    start_c : Real
        Temperature at the start [C].
    switch_c : Real
        Temperature of the kettle at which the pass begins [C].
    wanted_c : Real
        Temperature wanted at the way out [C].
    water_c : Real
        Water on its way in [C].
    gain_w : Real
        Heat added while it circulates, as by the pump [W].

    Returns
    -------
    Way
        Time, water, temperature.

    References
    ----------
    Kern, D. Q. (1950). Process Heat Transfer, McGraw-Hill, chapter 18 (batch cooling, external
    exchanger).
    """
    first = circulated(chiller, batch, start_c, switch_c, water_c, gain_w)
    second = one_pass(chiller, batch, first.reached_c, wanted_c, water_c)
    minutes = first.time_min + second.time_min
    return Way(
        minutes,
        first.water_l + second.water_l,
        second.reached_c,
        second.lowest_c,
        second.wort_l_min,
        second.water_l_min,
        first.time_min,
        second.pass_c + 0.0 * first.time_min,
    )
