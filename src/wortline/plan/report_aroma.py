"""Aroma and clog caution as plain values of `plan/1`."""

from dataclasses import asdict
from typing import Any

import numpy as np

from wortline.plan.brew_day import BrewDay
from wortline.plan.clog import Clog
from wortline.plan.containment import HeldWay
from wortline.science.aroma import index_range_g_l
from wortline.science.real import Real


def number(value: Real | None) -> float | None:
    """A finite float, or None: no number is better than a false one."""
    if value is None:
        return None
    plain = float(value)
    return plain if np.isfinite(plain) else None


def aroma(day: BrewDay, ways: list[tuple[HeldWay, ...]]) -> dict[str, Any]:
    """The aroma index of the day and of every dose, and where each class of its oil goes."""
    line = day.aroma
    index = line.index_g_l
    doses = [
        {
            "id": dose.dose.id,
            "in_hot_wort": bool(np.isfinite(dose.in_min)),
            "index_g_l": spread(float(index[place])),
            "oils": oils(day, place),
            "ways": [held_way(each) for each in ways[place]],
        }
        for place, dose in enumerate(day.lines)
    ]
    total = float(index[np.isfinite(index)].sum())
    # What an index rests on is known to a factor of two: it is never more than a guess.
    return {"index_g_l": spread(total), "trust": "guess", "doses": doses}


def spread(index_g_l: float) -> dict[str, float | None]:
    """An index with its wide range."""
    low, high = index_range_g_l(index_g_l)
    return {"low": number(low), "mid": number(index_g_l), "high": number(high)}


def oils(day: BrewDay, place: int) -> list[dict[str, Any]]:
    """Where each class of a dose's oil is, as shares of what the dose brought."""
    line = day.aroma
    shares = line.shares
    extracted, stripped, kept = (
        np.asarray(each)[place] for each in (shares.extracted, shares.stripped, shares.kept)
    )
    return [
        {
            "name": oil.name,
            "extracted_fraction": number(extracted[i]),
            "stripped_fraction": number(stripped[i]),
            "kept_fraction": {
                "low": number(line.kept_low[place, i]),
                "mid": number(kept[i]),
                "high": number(line.kept_high[place, i]),
            },
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
