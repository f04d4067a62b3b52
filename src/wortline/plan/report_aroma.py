"""Aroma and clog caution as plain values of `plan/1`."""

from dataclasses import asdict
from typing import Any

import numpy as np

from wortline.plan.aroma_ranges import AromaMembers
from wortline.plan.brew_day import BrewDay
from wortline.plan.clog import Clog
from wortline.plan.containment import HeldWay
from wortline.plan.plain import number
from wortline.science.aroma import index_range_g_l


def aroma(
    day: BrewDay, ways: list[tuple[HeldWay, ...]], members: AromaMembers | None = None
) -> dict[str, Any]:
    """The aroma index of the day and of every dose, and where each class of its oil goes.

    Without members an index is half to twice of itself, and what is kept has no range.
    """
    index = day.aroma.index_g_l
    total = float(index[np.isfinite(index)].sum())

    def ranged(place: int) -> dict[str, float | None]:
        mid_g_l = float(index[place])
        return spread(mid_g_l, members.index_range_g_l(place, mid_g_l) if members else None)

    doses = [
        {
            "id": dose.dose.id,
            "in_hot_wort": bool(np.isfinite(dose.in_min)),
            "index_g_l": ranged(place),
            "oils": oils(day, place, members),
            "ways": [held_way(each) for each in ways[place]],
        }
        for place, dose in enumerate(day.lines)
    ]
    # What an index rests on is known to a factor of two: it is never more than a guess.
    return {
        "index_g_l": spread(total, members.total_range_g_l(total) if members else None),
        "trust": "guess",
        "doses": doses,
    }


def spread(
    index_g_l: float, ends_g_l: tuple[float, float] | None = None
) -> dict[str, float | None]:
    """An index with its wide range."""
    low, high = ends_g_l or index_range_g_l(index_g_l)
    return {"low": number(low), "mid": number(index_g_l), "high": number(high)}


def oils(day: BrewDay, place: int, members: AromaMembers | None) -> list[dict[str, Any]]:
    """Where each class of a dose's oil is, as shares of what the dose brought."""
    shares = day.aroma.shares
    extracted, stripped, kept = (
        np.asarray(each)[place] for each in (shares.extracted, shares.stripped, shares.kept)
    )

    def ranged(oil: int) -> dict[str, float | None]:
        mid = float(kept[oil])
        low, high = members.kept_range(place, oil, mid) if members else (mid, mid)
        return {"low": number(low), "mid": number(mid), "high": number(high)}

    return [
        {
            "name": oil.name,
            "extracted_fraction": number(extracted[i]),
            "stripped_fraction": number(stripped[i]),
            "kept_fraction": ranged(i),
            "beer_fraction": number(
                None if oil.after_kettle is None else oil.after_kettle * kept[i]
            ),
        }
        for i, oil in enumerate(day.brew.oils)
    ]


def held_way(each: HeldWay) -> dict[str, Any]:
    """One way to hold a dose."""
    low, mid, high = (number(ratio) for ratio in each.aroma_ratio)
    return {
        "held": each.held,
        "planned": each.planned,
        "ibu": number(each.ibu),
        "aroma_ratio": {"low": low, "mid": mid, "high": high},
        "held_back_cold_l": number(each.held_back_l),
        "clog_level": each.clog_level,
    }


def clog(found: Clog) -> dict[str, Any]:
    """The clog caution with its reasons and the ways down, the cheapest first."""
    return {
        "level": found.level,
        "low": found.low,
        "high": found.high,
        "reasons": [{**asdict(each), "value": number(each.value)} for each in found.reasons],
        "ways_down": [
            {**asdict(each), "add_min": number(each.add_min), "doses": list(each.doses)}
            for each in found.ways_down
        ],
        "answers": found.answers,
        "dropped": found.dropped,
    }
