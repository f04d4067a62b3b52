"""The chill call whole: tap water, then ice or fridge where the tap does not do; the least bad."""

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from wortline.plan.brew import RigChiller
from wortline.plan.chill_call import (
    COILED,
    WHOLE,
    Told,
    Wish,
    asked,
    cost_min,
    hows,
    tap_way,
    tapped,
    told_way,
)
from wortline.plan.plain import number
from wortline.science.chill_ways import Way
from wortline.science.chilling import circulating_min
from wortline.science.ice import fridge_min, ice_needed_kg, iced_around_c, iced_flowing_c
from wortline.science.real import Real

Array = npt.NDArray[np.float64]

# Where the tap hands over: to ice at most so far above itself, to a fridge there (common practice,
# no source).
ICE_ABOVE_TAP_DK, FRIDGE_ABOVE_TAP_DK = 6.0, 3.0
# Nearer to the tap than this, tap water takes for ever.
NEAREST_TAP_DK = 0.5
OVERS, ENDS = 12, 25
"""Hand-overs and ends that are tried. They do not hang on the ice there is: more of it only adds
to what can be chosen, and so never makes the choice worse."""
ICE_WATER_C, MELT_LEAVES_C = 1.0, 10.0
"""Ice water stirred in a bucket, and the melt as it is done with (common practice)."""
FRIDGE_W, FRIDGE_C = 100.0, 4.0
"""What a household fridge takes out of a fermenter, and how cold it gets (common practice)."""
WALL_W_M2_K = 250.0
"""Still wort, steel, ice water: about half of copper between still waters (guess)."""
# Ice weighed to the last digit is enough.
ROUNDING = 1.0 + 1e-9


def all_ways(units: Sequence[RigChiller], wish: Wish) -> dict[str, Any]:
    """All ways as plain values, the lowest that tap water reaches, and the least bad way."""
    if not units or wish.start_c <= wish.to_c:
        return {"ways": [], "lowest_c": None, "best": None}
    plain = [told for unit in units for told in tapped(unit, wish)]
    found = [*plain, *_finished(units, wish, any(told.ok for told in plain))]
    fair = [told for told in found if told.ok and told.cost_min is not None]
    best = min(fair, key=lambda told: told.cost_min or 0.0, default=None)
    return {
        "ways": [asdict(told) for told in found],
        "lowest_c": min(told.lowest_c for told in plain if told.lowest_c is not None),
        "best": None if best is None else {"chiller": best.chiller, "how": best.how},
    }


def _finished(units: Sequence[RigChiller], wish: Wish, is_easy: bool) -> Iterator[Told]:
    """Tap first, then ice or fridge: where the tap alone does not do, or ice is there."""
    if is_easy and wish.ice_kg is None:
        return
    for name in ("ice water", "ice around"):
        yield from _iced(units, wish, name, is_easy)
    over_c = wish.tap_c + FRIDGE_ABOVE_TAP_DK
    if is_easy or not wish.to_c < over_c < wish.start_c:
        return
    first = _quickest(units, wish, over_c)
    if first is not None:
        unit, how, way = first
        cold = wish.to_c >= FRIDGE_C
        way = way._replace(
            reached_c=wish.to_c if cold else FRIDGE_C,
            lowest_c=FRIDGE_C,
            **({} if cold else {"time_min": np.nan, "water_l": np.nan}),
        )
        yield told_way(
            unit.name,
            f"{how}, fridge",
            way,
            ok=cold,
            handover_c=over_c,
            fridge_from_c=over_c,
            alone_min=float(_alone_min(wish, over_c)) if cold else None,
            switch_c=wish.switch_c if how == "two-stage" else None,
            **_flows(how, way),
        )


def _alone_min(wish: Wish, from_c: Real) -> Real:
    """The fermenter alone in the fridge."""
    heat_kj_k = wish.batch.wort_kg * wish.batch.wort_kj_kg_k
    return fridge_min(from_c, wish.to_c, heat_kj_k, FRIDGE_W)


def _flows(how: str, way: Way) -> dict[str, float | None]:
    return {
        "wort_l_min": None if how in COILED else number(way.wort_l_min),
        "water_l_min": number(way.water_l_min),
    }


def _quickest(
    units: Sequence[RigChiller], wish: Wish, to_c: float
) -> tuple[RigChiller, str, Way] | None:
    """The way that gets soonest to where the fridge takes over."""
    found = [
        (unit, how, asked(unit, how, wish, to_c=to_c))
        for unit in units
        for how in hows(unit)
        if how != "two-stage" or to_c < wish.switch_c < wish.start_c
    ]
    there = [each for each in found if np.isfinite(each[2].time_min)]
    return min(there, key=lambda each: float(each[2].time_min), default=None)


class Tries(NamedTuple):
    """One chiller and how, tap then ice: shape (hand-overs, ends) for all that is tried.

    The first end is the temperature wanted; to the others ice goes, and a fridge from there.
    """

    unit: RigChiller
    how: str
    tap: Way
    over_c: Array
    end_c: Array
    needed_kg: Array
    time_min: Array
    alone_min: Array
    cost_min: Array
    lowest_c: Array


def _tries(unit: RigChiller, how: str, wish: Wish, name: str) -> Tries:
    span_dk = np.linspace(NEAREST_TAP_DK, ICE_ABOVE_TAP_DK, OVERS)
    over_c = np.minimum(wish.tap_c + span_dk, wish.start_c)[:, np.newaxis]
    end_c = np.linspace(wish.to_c, wish.tap_c + ICE_ABOVE_TAP_DK, ENDS)
    heat_kj_k = float(wish.batch.heat_kj_k)
    ice_kg = np.inf if wish.ice_kg is None else wish.ice_kg
    tap = asked(unit, how, wish, to_c=over_c)
    if name == "ice water":
        leaves_c: Real = MELT_LEAVES_C
        colder = tap_way(unit, how, wish.batch, over_c, end_c, ICE_WATER_C, wish.gain_w)
        iced_min = np.asarray(colder.time_min)
        lowest_c = np.maximum(
            iced_flowing_c(over_c, heat_kj_k, ice_kg, MELT_LEAVES_C), colder.lowest_c
        )
    else:
        leaves_c = np.maximum(end_c, 0.0)
        conductance = WALL_W_M2_K * wish.wall_m2
        iced_min = np.asarray(circulating_min(over_c, end_c, 0.0, heat_kj_k, conductance))
        lowest_c = (
            np.zeros_like(over_c)
            if wish.ice_kg is None
            else np.asarray(iced_around_c(over_c, heat_kj_k, ice_kg))
        )
    needed_kg = np.asarray(ice_needed_kg(over_c, end_c, heat_kj_k, leaves_c))
    time_min: Array = np.asarray(
        tap.time_min + np.where(end_c < over_c, iced_min, np.nan), dtype=np.float64
    )
    alone_min = np.asarray(_alone_min(wish, end_c)) + 0.0 * needed_kg
    cost = np.asarray(cost_min(time_min, tap.water_l, needed_kg, alone_min))
    lowest_c = np.where(np.isfinite(tap.time_min), lowest_c, np.inf)
    return Tries(unit, how, tap, over_c, end_c, needed_kg, time_min, alone_min, cost, lowest_c)


def _iced(units: Sequence[RigChiller], wish: Wish, name: str, is_easy: bool) -> Iterator[Told]:
    """Tap water to a few degrees above the tap, then as much of the ice as it takes.

    Where there is less ice, the tap goes on for longer. Where that is too little, it is said how
    much would do, and a fridge goes on from where the ice ends.
    """
    if wish.to_c >= wish.tap_c + ICE_ABOVE_TAP_DK:
        return
    tries = [_tries(unit, how, wish, name) for unit in units for how in hows(unit) if how in WHOLE]
    tries = [each for each in tries if np.isfinite(each.lowest_c).any()]
    if not tries:
        return
    whole = _cheapest(tries, wish, slice(0, 1))
    cost = np.inf
    if whole is None:
        yield _too_little(tries, wish, name)
    else:
        told = _told_iced(*whole, wish, name)
        cost = np.inf if told.cost_min is None else told.cost_min
        yield told
    if wish.ice_kg is None or is_easy or wish.to_c < FRIDGE_C:
        return
    shared = _cheapest(tries, wish, slice(1, None))
    if shared is not None:
        told = _told_iced(*shared, wish, f"{name}, fridge")
        if told.cost_min is not None and told.cost_min < cost:
            yield told


def _cheapest(
    tries: Sequence[Tries], wish: Wish, ends: slice
) -> tuple[Tries, tuple[int, int]] | None:
    """The cheapest of all that the ice there is suffices for."""
    ice_kg = np.inf if wish.ice_kg is None else wish.ice_kg
    found = []
    for each in tries:
        enough = (each.needed_kg <= ice_kg * ROUNDING) & np.isfinite(each.cost_min)
        cost = np.where(enough, each.cost_min, np.inf)[:, ends]
        over, end = np.unravel_index(np.argmin(cost), cost.shape)
        if np.isfinite(cost[over, end]):
            place = int(over), int(end) + (ends.start or 0)
            found.append((float(cost[over, end]), each, place))
    best = min(found, key=lambda each: each[0], default=None)
    return None if best is None else best[1:]


def _told_iced(tries: Tries, place: tuple[int, int], wish: Wish, name: str) -> Told:
    over, end = place
    used_kg = float(tries.needed_kg[place])
    alone = float(tries.alone_min[place]) if end else None
    way = tries.tap._replace(
        time_min=tries.time_min[place],
        water_l=np.asarray(tries.tap.water_l)[over, 0],
        reached_c=wish.to_c,
        lowest_c=min(float(np.min(tries.lowest_c)), wish.to_c),
    )
    return told_way(
        tries.unit.name,
        f"{tries.how}, {name}",
        way,
        ok=True,
        handover_c=float(tries.over_c[over, 0]),
        ice_kg=used_kg,
        ice_needed_kg=None if end else used_kg,
        ice_left_kg=None if wish.ice_kg is None else max(wish.ice_kg - used_kg, 0.0),
        fridge_from_c=float(tries.end_c[end]) if end else None,
        alone_min=alone,
        **_flows(tries.how, way),
    )


def _too_little(tries: Sequence[Tries], wish: Wish, name: str) -> Told:
    """How cold all of the ice gets it, and how much would do."""
    coldest = min(tries, key=lambda each: float(np.min(each.lowest_c)))
    over = int(np.argmin(coldest.lowest_c))
    lowest_c = float(np.min(coldest.lowest_c))
    would_do = [
        float(np.min(each.needed_kg[:, 0], where=np.isfinite(each.time_min[:, 0]), initial=np.inf))
        for each in tries
    ]
    way = coldest.tap._replace(
        time_min=np.nan, water_l=np.nan, reached_c=lowest_c, lowest_c=lowest_c
    )
    return told_way(
        coldest.unit.name,
        f"{coldest.how}, {name}",
        way,
        ok=False,
        handover_c=float(coldest.over_c[over, 0]),
        ice_kg=wish.ice_kg,
        ice_needed_kg=number(min(would_do)),
        ice_left_kg=None if wish.ice_kg is None else 0.0,
        **_flows(coldest.how, way),
    )
