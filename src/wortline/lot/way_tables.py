"""Ways out worked out beforehand, for a deck without its server: by the same functions as with it.

They start from the plan as it was when the lot began; what was measured since is in the server's
answer alone, and the deck says so.
"""

from collections.abc import Callable, Sequence
from dataclasses import asdict
from typing import Any

from wortline.documents.words import BeforeHeatOff, DryHop, FirstWort, IntoRest
from wortline.lot.bench import Bench
from wortline.lot.replan import Base, Known, replan
from wortline.lot.ways_day import Facts
from wortline.lot.ways_out import ways_out
from wortline.plan.brew import Dose

MASH_OFF_DK = tuple(0.5 * each for each in range(-16, 13) if abs(each) > 1)
"""A mash within half a kelvin is as planned."""
STRIKE_OFF_DK = (-12.0, -9.0, -7.0, -5.0, -4.0, -3.0, -2.0, -1.0, 1.0, 2.0, 3.0, 5.0, 7.0)
WARM_DK = (1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0)
LEFT_FRACTION = (0.75, 0.5, 0.25, 0.1, 0.0)
INTO_REST_MIN = (0.0, 10.0, 20.0, 40.0)
LONGER = ("whirlpool", "rest")
"""A chill that lasted otherwise is replanned as one straight fall, which a table cannot set beside
the plan's own curve: there the server is needed."""
LONGER_MIN = (0.0, 5.0, 10.0, 15.0, 20.0, 30.0, 45.0, 60.0, 90.0, 120.0)
Say = Callable[[float, str], str]


def way_tables(base: Base, say: Say) -> dict[str, Any]:
    """The ways out of the mash, of late doses, of warm wort and of clogging; longer phases."""
    bench = Bench(replan(base, Known()), say)
    brew = bench.brew
    mash_c = [float(brew.rests[0].at_c) + each for each in MASH_OFF_DK]
    wort_c = [float(brew.chill.to_c) + each for each in WARM_DK]
    strike_c = [float(bench.day.strike_c) + each for each in STRIKE_OFF_DK]
    return {
        "strike": {
            "strike_c": strike_c,
            "rows": [_ways(bench, "strike-off", Facts(strike_c=each)) for each in strike_c],
        },
        "mash": {
            "mash_c": mash_c,
            "rows": [_ways(bench, "mash-off", Facts(mash_c=each)) for each in mash_c],
        },
        "warm": {
            "wort_c": wort_c,
            "rows": [_ways(bench, "wort-warm", Facts(wort_c=each)) for each in wort_c],
        },
        "clogged": _ways(bench, "clogged", Facts()),
        "late": {
            dose.id: _late(base, say, dose)
            for dose in brew.doses
            if not isinstance(dose.when, DryHop)
        },
        "longer": {
            phase: _longer(base, phase, float(stretch.minutes_min))
            for phase, stretch in bench.day.hot.stretches.items()
            if phase in LONGER and float(stretch.minutes_min) > 0.0
        },
    }


def _ways(bench: Bench, trouble: str, facts: Facts) -> list[dict[str, Any]]:
    return [asdict(way) for way in ways_out(bench, trouble, facts)]


def _late(base: Base, say: Say, dose: Dose) -> dict[str, Any]:
    """The ways for one dose at every moment of the tables that comes after its own."""
    now = replan(base, Known())
    boil_min = float(now.day.brew.boil_min)
    from_min, rest_from_min = 0.0, -1.0
    if isinstance(dose.when, BeforeHeatOff):
        from_min = float(dose.when.before_min)
    elif isinstance(dose.when, FirstWort):
        from_min = boil_min
    elif isinstance(dose.when, IntoRest):
        rest_from_min = float(dose.when.into_min)
    before_min = [boil_min * each for each in LEFT_FRACTION if boil_min * each < from_min]
    into_min = [each for each in INTO_REST_MIN if each > rest_from_min]
    return {
        "before_heat_off_min": before_min,
        "in_boil": [
            _ways(
                Bench(now, say, boil_min - each),
                "dose-late",
                Facts(dose=dose.id, before_heat_off_min=each),
            )
            for each in before_min
        ],
        "into_rest_min": into_min,
        "in_rest": [
            _ways(Bench(now, say, boil_min), "dose-late", Facts(dose=dose.id, into_rest_min=each))
            for each in into_min
        ],
    }


def _longer(base: Base, phase: str, planned_min: float) -> dict[str, Sequence[float]]:
    """What the day comes to if a hot phase takes longer than planned."""
    minutes = [planned_min + each for each in LONGER_MIN]
    found = [replan(base, Known(lasted={phase: each})).after for each in minutes]
    return {
        "minutes": minutes,
        "ibu": [each.ibu for each in found],
        "original_sg": [each.original_sg for each in found],
        "fermenter_l": [each.fermenter_l for each in found],
    }
