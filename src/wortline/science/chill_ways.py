"""The ways to chill a kettle: circulating, one pass, first one then the other, a coil in the wort.

Each is asked for a temperature. A temperature that cannot be reached has no time (nan), and
`lowest_c` says what can be had instead.
"""

from typing import NamedTuple

import numpy as np

from wortline.science.chilling import circulating_min
from wortline.science.exchanger import (
    chill_w_k,
    effectiveness_counterflow,
    effectiveness_one_side_uniform,
    ntu_counterflow,
    stream_w_k,
    ua_at_flows_w_k,
)
from wortline.science.numerics import unit_root
from wortline.science.one_pass import WATER_KJ_KG_K, WORT_KG_M3, WORT_KJ_KG_K
from wortline.science.real import Real
from wortline.science.water import density_kg_m3

LEAST_L_MIN = 1.0
"""Slower than this a valve cannot be set and held (common practice, no source) [L/min]."""
PLATES_EXPONENT, TUBES_EXPONENT = 0.65, 0.8


class Chiller(NamedTuple):
    """A chiller: its conductance at the flows it is known at, and the most of both flows.

    Attributes
    ----------
    ua_w_k : Real
        Conductance at the known flows [W/K].
    wort_l_min : Real
        Flow of wort it is known at [L/min].
    water_l_min : Real
        Flow of water it is known at [L/min].
    most_wort_l_min : Real
        Most wort the pump sends through it [L/min].
    most_water_l_min : Real
        Most water the tap gives [L/min].
    exponent : float
        How both sides grow with their flow: 0.65 plates, 0.8 tubes [-].
    wort_share : float
        Share of the resistance on the wort's side that changes with its flow [-].
    water_share : float
        Share of the resistance on the water's side [-].
    """

    ua_w_k: Real
    wort_l_min: Real
    water_l_min: Real
    most_wort_l_min: Real
    most_water_l_min: Real
    exponent: float = PLATES_EXPONENT
    wort_share: float = 0.5
    water_share: float = 0.5


class Batch(NamedTuple):
    """Wort to be chilled, in its kettle.

    Attributes
    ----------
    wort_kg : Real
        Mass of the wort [kg].
    wort_kj_kg_k : Real
        Specific heat of the wort [kJ/(kg K)].
    metal_kj_k : Real
        Heat capacity of the kettle [kJ/K].
    """

    wort_kg: Real
    wort_kj_kg_k: Real = WORT_KJ_KG_K
    metal_kj_k: Real = 0.0

    @property
    def heat_kj_k(self) -> Real:
        """Heat capacity of wort and kettle [kJ/K]."""
        return self.wort_kg * self.wort_kj_kg_k + self.metal_kj_k


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


def ua_of_reading_w_k(
    wort_in_c: Real, wort_out_c: Real, wort_l_min: Real, water_l_min: Real, water_in_c: Real
) -> Real:
    """Return the conductance behind one steady reading of a plate or counterflow chiller.

    Parameters
    ----------
    wort_in_c : Real
        Wort on its way in [C].
    wort_out_c : Real
        Wort on its way out, between water and wort on their way in [C].
    wort_l_min : Real
        Flow of wort [L/min].
    water_l_min : Real
        Flow of water [L/min].
    water_in_c : Real
        Water on its way in [C].

    Returns
    -------
    Real
        Conductance; nan where no chiller of any size does this with these flows [W/K].

    Notes
    -----
    The water would have to leave hotter than the wort comes: then a flow or temperature is wrong.

    References
    ----------
    Kays, W. M., London, A. L. (1984). Compact Heat Exchangers, 3rd ed., McGraw-Hill, chapter 2.
    """
    wort_w_k = stream_w_k(wort_l_min, WORT_KG_M3, WORT_KJ_KG_K)
    water_w_k = stream_w_k(water_l_min, density_kg_m3(water_in_c), WATER_KJ_KG_K)
    smaller, larger = np.minimum(wort_w_k, water_w_k), np.maximum(wort_w_k, water_w_k)
    heat_w = wort_w_k * (wort_in_c - wort_out_c)
    share = heat_w / (smaller * (wort_in_c - water_in_c))
    possible = (share >= 0.0) & (share < 1.0)
    ntu = ntu_counterflow(np.where(possible, share, 0.5)[()], smaller / larger)
    return np.where(possible, ntu * smaller, np.nan)[()]


def ua_at_w_k(chiller: Chiller, wort_l_min: Real, water_l_min: Real) -> Real:
    """Return the conductance of a chiller at some flows.

    Parameters
    ----------
    chiller : Chiller
        The chiller.
    wort_l_min : Real
        Flow of wort [L/min].
    water_l_min : Real
        Flow of water [L/min].

    Returns
    -------
    Real
        Conductance [W/K].

    References
    ----------
    Wilson, E. E. (1915). A basis for rational design of heat transfer apparatus. Transactions of
    the ASME 37, 47-82.
    """
    return ua_at_flows_w_k(
        chiller.ua_w_k,
        wort_l_min / chiller.wort_l_min,
        water_l_min / chiller.water_l_min,
        chiller.wort_share,
        chiller.water_share,
        chiller.exponent,
    )


def passed_w_k(
    chiller: Chiller,
    batch: Batch,
    water_c: Real,
    wort_l_min: Real,
    water_l_min: Real,
    coil: bool = False,
) -> Real:
    """Return the heat that passes per degree between kettle and tap.

    Parameters
    ----------
    chiller : Chiller
        The chiller.
    batch : Batch
        The wort.
    water_c : Real
        Water on its way in [C].
    wort_l_min : Real
        Flow of wort; without effect on a coil [L/min].
    water_l_min : Real
        Flow of water [L/min].
    coil : bool
        Whether it hangs in the kettle.

    Returns
    -------
    Real
        Effectiveness times the smaller capacity rate [W/K].

    References
    ----------
    Kays, W. M., London, A. L. (1984). Compact Heat Exchangers, 3rd ed., McGraw-Hill, chapter 2.
    """
    ua_w_k = ua_at_w_k(chiller, wort_l_min, water_l_min)
    water_w_k = stream_w_k(water_l_min, density_kg_m3(water_c), WATER_KJ_KG_K)
    if coil:
        return chill_w_k(ua_w_k, np.inf, water_w_k, effectiveness_one_side_uniform)
    wort_w_k = stream_w_k(wort_l_min, WORT_KG_M3, batch.wort_kj_kg_k)
    return chill_w_k(ua_w_k, wort_w_k, water_w_k, effectiveness_counterflow)


def outlet_c(
    chiller: Chiller,
    batch: Batch,
    wort_c: Real,
    water_c: Real,
    wort_l_min: Real,
    water_l_min: Real,
) -> Real:
    """Return the temperature at which wort leaves a chiller after one pass.

    Parameters
    ----------
    chiller : Chiller
        The chiller.
    batch : Batch
        The wort.
    wort_c : Real
        Wort on its way in [C].
    water_c : Real
        Water on its way in [C].
    wort_l_min : Real
        Flow of wort [L/min].
    water_l_min : Real
        Flow of water [L/min].

    Returns
    -------
    Real
        Wort on its way out [C].

    References
    ----------
    Kays, W. M., London, A. L. (1984). Compact Heat Exchangers, 3rd ed., McGraw-Hill, chapter 2.
    """
    passed = passed_w_k(chiller, batch, water_c, wort_l_min, water_l_min)
    wort_w_k = stream_w_k(wort_l_min, WORT_KG_M3, batch.wort_kj_kg_k)
    return wort_c - passed / wort_w_k * (wort_c - water_c)


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
