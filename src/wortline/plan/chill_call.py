"""The chill call: every way this rig has to cool this wort with this tap, and the least bad."""

from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np

from wortline.plan.brew import RigChiller
from wortline.science.chill_ways import Way, circulated, one_pass, two_stage
from wortline.science.chiller import Batch
from wortline.science.chilling import circulating_min
from wortline.science.ice import fridge_min, ice_needed_kg, iced_around_c, iced_flowing_c
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

# Where the tap hands over to ice, and to a fridge (common practice, no source).
ICE_ABOVE_TAP_DK, FRIDGE_ABOVE_TAP_DK = 6.0, 3.0
ICE_WATER_C, MELT_LEAVES_C = 1.0, 10.0
"""Ice water stirred in a bucket, and the melt as it is done with (common practice)."""
FRIDGE_W, FRIDGE_C = 100.0, 4.0
"""What a household fridge takes out of a fermenter, and how cold it gets (common practice)."""
WALL_W_M2_K = 250.0
"""Still wort, steel, ice water: about half of copper between still waters (guess)."""

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


def all_ways(units: Sequence[RigChiller], wish: Wish) -> dict[str, Any]:
    """All ways as plain values, the lowest that tap water reaches, and the least bad way."""
    if not units or wish.start_c <= wish.to_c:
        return {"ways": [], "lowest_c": None, "best": None}
    tapped = [told for unit in units for told in _tapped(unit, wish)]
    found = [*tapped, *_finished(units, wish, any(told.ok for told in tapped))]
    fair = [told for told in found if told.ok and told.cost_min is not None]
    best = min(fair, key=lambda told: told.cost_min or 0.0, default=None)
    return {
        "ways": [asdict(told) for told in found],
        "lowest_c": min(told.lowest_c for told in tapped if told.lowest_c is not None),
        "best": None if best is None else {"chiller": best.chiller, "how": best.how},
    }


def _tapped(unit: RigChiller, wish: Wish) -> Iterator[Told]:
    """The ways that need nothing but the tap."""
    for how in hows(unit):
        if how == "two-stage" and not wish.to_c < wish.switch_c < wish.start_c:
            continue
        mid, worse, better = (_asked(unit, how, wish, share) for share in _shares(unit))
        two = how == "two-stage"
        yield _told(
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


def _asked(
    unit: RigChiller, how: str, wish: Wish, times: float = 1.0, to_c: float | None = None
) -> Way:
    wanted_c = wish.to_c if to_c is None else to_c
    return tap_way(
        unit, how, wish.batch, wish.start_c, wanted_c, wish.tap_c, wish.gain_w, wish.switch_c, times
    )


def _told(
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
    alone_min: float | None = None,
) -> Told:
    minutes, water_l = number(way.time_min), number(way.water_l)
    cost = None
    if minutes is not None and water_l is not None:
        cost = minutes + water_l / LITRES_PER_MIN + (ice_kg or 0.0) * ICE_MIN_PER_KG
        cost += (alone_min or 0.0) / ALONE_PER_MIN
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
        alone_min,
        cost,
    )


def number(value: Real | None) -> float | None:
    """A finite float, or None."""
    return None if value is None or not np.isfinite(value) else float(value)


def _finished(units: Sequence[RigChiller], wish: Wish, is_easy: bool) -> Iterator[Told]:
    """Tap first, then ice or fridge: where the tap alone does not do, or ice is there."""
    if is_easy and wish.ice_kg is None:
        return
    yield from _iced(units, wish)
    over_c = wish.tap_c + FRIDGE_ABOVE_TAP_DK
    if not is_easy and wish.to_c < over_c < wish.start_c:
        first = _quickest(units, wish, over_c, (*PUMPED, *COILED))
        if first is not None:
            unit, how, way = first
            heat_kj_k = wish.batch.wort_kg * wish.batch.wort_kj_kg_k
            alone = float(fridge_min(over_c, wish.to_c, heat_kj_k, FRIDGE_W))
            cold = wish.to_c >= FRIDGE_C
            way = way._replace(
                reached_c=wish.to_c if cold else FRIDGE_C,
                lowest_c=FRIDGE_C,
                **({} if cold else {"time_min": np.nan, "water_l": np.nan}),
            )
            yield _told(
                unit.name,
                f"{how}, fridge",
                way,
                ok=cold,
                handover_c=over_c,
                alone_min=alone if cold else None,
                switch_c=wish.switch_c if how == "two-stage" else None,
                **_flows(how, way),
            )


def _flows(how: str, way: Way) -> dict[str, float | None]:
    return {
        "wort_l_min": None if how in COILED else number(way.wort_l_min),
        "water_l_min": number(way.water_l_min),
    }


def _quickest(
    units: Sequence[RigChiller], wish: Wish, to_c: float, among: Sequence[str]
) -> tuple[RigChiller, str, Way] | None:
    """The way that gets soonest to where ice or fridge take over."""
    found = [
        (unit, how, _asked(unit, how, wish, to_c=to_c))
        for unit in units
        for how in hows(unit)
        if how in among and (how != "two-stage" or to_c < wish.switch_c < wish.start_c)
    ]
    there = [each for each in found if np.isfinite(each[2].time_min)]
    return min(there, key=lambda each: float(each[2].time_min), default=None)


def _iced(units: Sequence[RigChiller], wish: Wish) -> Iterator[Told]:
    """Tap water to a few degrees above the tap, then ice: as much as there is, or as is needed."""
    over_c = min(max(wish.tap_c + ICE_ABOVE_TAP_DK, wish.to_c), wish.start_c)
    first = _quickest(units, wish, over_c, WHOLE)
    if first is None:
        return
    unit, how, tap = first
    heat_kj_k = float(wish.batch.heat_kj_k)
    for name, leaves_c in (("ice water", MELT_LEAVES_C), ("ice around", max(wish.to_c, 0.0))):
        flowing = name == "ice water"
        needed_kg = float(ice_needed_kg(over_c, wish.to_c, heat_kj_k, leaves_c))
        ice_kg = needed_kg if wish.ice_kg is None else wish.ice_kg
        if flowing:
            colder = tap_way(unit, how, wish.batch, over_c, wish.to_c, ICE_WATER_C, wish.gain_w)
            minutes, floor_c = float(colder.time_min), float(colder.lowest_c)
            lowest_c = max(float(iced_flowing_c(over_c, heat_kj_k, ice_kg, leaves_c)), floor_c)
        else:
            minutes = float(
                circulating_min(over_c, wish.to_c, 0.0, heat_kj_k, WALL_W_M2_K * wish.wall_m2)
            )
            lowest_c = float(iced_around_c(over_c, heat_kj_k, ice_kg))
        enough = ice_kg >= needed_kg * (1.0 - 1e-9) and np.isfinite(minutes)
        total = tap.time_min + minutes if enough else np.nan
        way = tap._replace(
            time_min=total,
            water_l=tap.water_l if enough else np.nan,
            reached_c=wish.to_c if enough else lowest_c,
            lowest_c=lowest_c,
        )
        yield _told(
            unit.name,
            f"{how}, {name}",
            way,
            ok=bool(enough),
            handover_c=over_c,
            ice_kg=ice_kg,
            **_flows(how, way),
        )
