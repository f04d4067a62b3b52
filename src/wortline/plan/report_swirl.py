"""The whirlpool as plain values of `plan/1`."""

from dataclasses import asdict
from math import pi
from typing import Any

from wortline.plan.plain import number
from wortline.plan.swirl_again import CloudedAgain
from wortline.plan.swirl_line import COUNTED_MIN, FREE, MORE_L, RUNNING, SwirlLine

MOMENTS = ("pump running", "pump stopped", "end of rest")


def whirlpool(
    line: SwirlLine | None, brim_l: float, clouded: CloudedAgain | None = None
) -> dict[str, Any] | None:
    """Turns, minutes, clarity, cone and draw-off line; None where no whirlpool is worked out."""
    if line is None:
        return None
    found = line.found
    heads = {key.removeprefix("whirlpool."): number(value) for key, value in line.headlines.items()}
    moments = [
        {"name": name, **{key: number(value) for key, value in asdict(moment).items()}}
        for name, moment in zip(MOMENTS, line.moments, strict=True)
    ]
    free_turns = line.at(found.turns_per_min_stop, FREE) if line.is_obstructed else None
    return {
        **heads,
        "planned_pump_min": number(line.pump_min),
        "planned_rest_min": number(line.rest_min),
        "turns": [
            {"after_min": after_min, "turns_per_min": number(turns)}
            for after_min, turns in zip(COUNTED_MIN, line.turns_per_min, strict=True)
        ],
        "running_clear_fraction": number(line.at(found.clear_fraction, RUNNING)),
        "clear_fraction_after_chill": _after_chill(line, clouded),
        "unobstructed_turns_per_min": number(free_turns),
        "more_cold_l": number(MORE_L),
        "more_trub_fraction": number(line.at(found.draw_off.more_trub_share)),
        "from_readings": line.fit is not None,
        "diameter_cm": number(100.0 * float(line.kettle.diameter_m)),
        "wall_cm": number(mark_cm(line, brim_l)),
        "wort_mark_cm": number(mark_cm(line, float(line.kettle.wort_hot_l))),
        "outlet_cm": number(100.0 * float(line.kettle.outlet_m)),
        "moments": moments,
    }


def _after_chill(line: SwirlLine, clouded: CloudedAgain | None) -> float | None:
    """What is clear as the wort leaves the chill; None where a stirred one leaves it unknown."""
    if clouded is None:
        return number(line.headlines["whirlpool.clear_fraction"])
    return number(clouded.clear_after)


def mark_cm(line: SwirlLine, hot_l: float) -> float:
    """How high so many litres stand [cm]."""
    floor_m2 = 0.25 * pi * float(line.kettle.diameter_m) ** 2
    return 100.0 * hot_l / 1000.0 / floor_m2
