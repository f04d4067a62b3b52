"""The chill call with tap water alone: every way this rig has to cool this wort, and its cost."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from wortline.plan.brew import RigChiller
from wortline.plan.plain import number
from wortline.science.chill_ways import Way, circulated, one_pass, two_stage
from wortline.science.chiller import Batch
from wortline.science.real import Real

# Without stirring a coil passes a fifth: back-calculated from home reports, 75 to 100 against 350
# to 500 W/K (guess, no source that measured it).
STIRRING_TIMES = 5.0
TWO_STAGE_C = 60.0
# Nearer to the tap than this circulating takes for ever.
SWITCH_ABOVE_TAP_DK = 2.0
PUMPED = ("circulate", "one-pass", "two-stage")
COILED = ("coil-stirred", "coil-still")
WHOLE = ("circulate", *COILED)
# Tenth and ninetieth part of a normal spread.
DECILE = 1.28
LEAST_SHARE = 0.2

# What a minute at the kettle weighs against the rest (a choice): these make up one minute.
LITRES_PER_MIN, ALONE_PER_MIN, ICE_MIN_PER_KG = 10.0, 10.0, 1.0


@dataclass(frozen=True)
class Wish:
    """What is to be cooled, from where to where, with what."""

    batch: Batch
    start_c: float
    to_c: float
    tap_c: float
    gain_w: float
    wall_m2: float
    ice_kg: float | None = None
    switch_c: float = TWO_STAGE_C


@dataclass(frozen=True)
class Told:
    """One way and what it takes; None where it never gets there."""

    chiller: str
    how: str
    time_min: float | None
    low_min: float | None
    high_min: float | None
    water_cold_l: float | None
    reached_c: float | None
    lowest_c: float | None
    ok: bool
    wort_l_min: float | None
    water_l_min: float | None
    circulate_min: float | None
    switch_c: float | None
    handover_c: float | None
    ice_kg: float | None
    ice_needed_kg: float | None
    ice_left_kg: float | None
    fridge_from_c: float | None
    alone_min: float | None
    cost_min: float | None


def hows(unit: RigChiller) -> tuple[str, ...]:
    """The ways a chiller can be run."""
    return COILED if unit.kind == "immersion" else PUMPED


def tap_way(
    unit: RigChiller,
    how: str,
    batch: Batch,
    start_c: Real,
    to_c: Real,
    tap_c: Real,
    gain_w: Real = 0.0,
    switch_c: Real = TWO_STAGE_C,
    times: Real = 1.0,
) -> Way:
    """What one way takes with tap water; `times` moves the conductance."""
    if how in COILED:
        stirs = (how == "coil-stirred") - unit.stirred
        times = times * STIRRING_TIMES ** float(stirs)
    chiller = unit.chiller._replace(ua_w_k=unit.chiller.ua_w_k * times)
    if how == "one-pass":
        return one_pass(chiller, batch, start_c, to_c, tap_c)
    if how == "two-stage":
        turn_c = np.minimum(np.maximum(switch_c, tap_c + SWITCH_ABOVE_TAP_DK), start_c)
        return two_stage(chiller, batch, start_c, turn_c, to_c, tap_c, gain_w)
    coil = how in COILED
    return circulated(chiller, batch, start_c, to_c, tap_c, 0.0 if coil else gain_w, coil)


def tapped(unit: RigChiller, wish: Wish) -> Iterator[Told]:
    """The ways that need nothing but the tap."""
    for how in hows(unit):
        if how == "two-stage" and not wish.to_c < wish.switch_c < wish.start_c:
            continue
        mid, worse, better = (asked(unit, how, wish, share) for share in _shares(unit))
        two = how == "two-stage"
        yield told_way(
            unit.name,
            how,
            mid,
            low_min=number(better.time_min),
            high_min=number(worse.time_min),
            wort_l_min=None if how in COILED else number(mid.wort_l_min),
            water_l_min=number(mid.water_l_min),
            circulate_min=number(mid.circulated_min) if two else None,
            switch_c=wish.switch_c if two else None,
            ok=bool(np.isfinite(mid.time_min)),
        )


def _shares(unit: RigChiller) -> tuple[float, float, float]:
    off = DECILE * unit.spread
    return 1.0, max(1.0 - off, LEAST_SHARE), 1.0 + off


def asked(
    unit: RigChiller, how: str, wish: Wish, times: float = 1.0, to_c: Real | None = None
) -> Way:
    """What one way takes to what is wished, or to another temperature."""
    wanted_c = wish.to_c if to_c is None else to_c
    return tap_way(
        unit, how, wish.batch, wish.start_c, wanted_c, wish.tap_c, wish.gain_w, wish.switch_c, times
    )


def told_way(
    name: str,
    how: str,
    way: Way,
    *,
    ok: bool,
    low_min: float | None = None,
    high_min: float | None = None,
    wort_l_min: float | None = None,
    water_l_min: float | None = None,
    circulate_min: float | None = None,
    switch_c: float | None = None,
    handover_c: float | None = None,
    ice_kg: float | None = None,
    ice_needed_kg: float | None = None,
    ice_left_kg: float | None = None,
    fridge_from_c: float | None = None,
    alone_min: float | None = None,
) -> Told:
    """One way as plain values, with its cost in minutes."""
    minutes, water_l = number(way.time_min), number(way.water_l)
    cost = None
    if minutes is not None and water_l is not None:
        cost = float(cost_min(minutes, water_l, ice_kg or 0.0, alone_min or 0.0))
    return Told(
        name,
        how,
        minutes,
        low_min,
        high_min,
        water_l,
        number(way.reached_c),
        number(way.lowest_c),
        bool(ok),
        wort_l_min,
        water_l_min,
        circulate_min,
        switch_c,
        handover_c,
        ice_kg,
        ice_needed_kg,
        ice_left_kg,
        fridge_from_c,
        alone_min,
        cost,
    )


def cost_min(minutes: Real, water_l: Real, ice_kg: Real, alone_min: Real) -> Real:
    """What a way costs, counted in minutes at the kettle [min]."""
    return minutes + water_l / LITRES_PER_MIN + ice_kg * ICE_MIN_PER_KG + alone_min / ALONE_PER_MIN
