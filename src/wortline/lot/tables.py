"""Tables of corrections worked out beforehand, as `tables/1`, for a deck without its server.

Every table is a grid between whose points a device goes straight. What is not in them needs the
server, and the deck says so.
"""

from collections.abc import Callable
from typing import Any

import numpy as np

from wortline.lot.bench import Bench
from wortline.lot.interruption import Cut, what_became
from wortline.lot.misses import FAR, MEANS, STRENGTH_SPREAD, VOLUME_SPREAD
from wortline.lot.readings import heat
from wortline.lot.replan import Base, Known, outcome, replan
from wortline.lot.way_tables import way_tables
from wortline.lot.ways_strength import SOLIDS, reheat_min
from wortline.science.extract import plato_from_sg, sg_from_plato
from wortline.science.instruments import (
    HOTTEST_SAMPLE_C,
    final_sg_spread,
    hydrometer_sg,
    wort_plato,
)
from wortline.science.mending import extract_to_reach_kg, read_in_steel_l, water_to_reach_kg
from wortline.science.standards import COLD_C
from wortline.science.water import expansion

SCHEMA = "tables/1"
SAMPLE_C = tuple(float(each) for each in range(0, 61, 4))
READING_SG = tuple(round(0.990 + 0.010 * step, 3) for step in range(14))
WORT_C = tuple(float(each) for each in range(0, 101, 5))
BRIX = tuple(float(each) for each in range(0, 31, 2))
OFF_MIN = (0.0, 5.0, 10.0, 15.0, 20.0, 30.0, 45.0, 60.0, 90.0, 120.0, 180.0, 240.0, 360.0, 480.0,
           720.0)  # fmt: skip
LITRES_OFF = (-12.0, -9.0, -6.0, -4.0, -2.0, 0.0, 2.0, 4.0, 6.0, 9.0, 12.0)
POINTS_OFF = (-0.030, -0.020, -0.010, 0.0, 0.010, 0.020, 0.030)
Say = Callable[[float, str], str]


def tables(base: Base, say: Say) -> dict[str, Any]:
    """Every table of a lot."""
    return {
        "schema": SCHEMA,
        "hydrometer": hydrometer_table(say),
        "cold_share": cold_share_table(),
        "refractometer": refractometer_table(base),
        "interruption": interruption_table(base, say),
        "preboil": preboil_table(base, say),
        "ways": way_tables(base, say),
    }


def hydrometer_table(say: Say) -> dict[str, Any]:
    """The gravity at 20 C of what a hydrometer shows, by reading and temperature of the sample."""
    grid = hydrometer_sg(np.array(READING_SG)[:, np.newaxis], np.array(SAMPLE_C)[np.newaxis])
    return {
        "reading_sg": list(READING_SG),
        "sample_c": list(SAMPLE_C),
        "sg": [[float(each) for each in row] for row in np.asarray(grid)],
        "above_c": f"Above {heat(HOTTEST_SAMPLE_C, say)}: cool the sample.",
    }


def cold_share_table() -> dict[str, Any]:
    """Cold litres per litre read, in a jug and off the mark of a steel kettle."""
    hot_c = np.array(WORT_C)
    jug = float(expansion(COLD_C)) / np.asarray(expansion(hot_c))
    mark = np.asarray(read_in_steel_l(1.0, hot_c)) * jug
    return {"wort_c": list(WORT_C), "jug": jug.tolist(), "mark": mark.tolist()}


def refractometer_table(base: Base) -> dict[str, Any]:
    """Gravity of wort behind a reading in Brix, and of beer with the range of the fits."""
    brix = np.array(BRIX)
    original_plato = float(plato_from_sg(float(base.day.strength.original_sg)))
    low, mid, high = final_sg_spread(original_plato, brix)
    return {
        "brix": list(BRIX),
        "wort_sg": np.asarray(sg_from_plato(wort_plato(brix))).tolist(),
        "beer_low_sg": np.asarray(low).tolist(),
        "beer_sg": np.asarray(mid).tolist(),
        "beer_high_sg": np.asarray(high).tolist(),
        "beer_of_plato": original_plato,
    }


def interruption_table(base: Base, say: Say) -> dict[str, Any]:
    """Temperature, bitterness and time back to the boil, by how long the heat was off."""
    bench = Bench(replan(base, Known()), say)
    half_min = 0.5 * float(base.day.brew.boil_min)
    rows: dict[str, Any] = {"off_min": list(OFF_MIN), "cut_after_boiled_min": half_min}
    for lid_on, name in ((False, "lid_off"), (True, "lid_on")):
        found = [what_became(bench, Cut(half_min, off_min, lid_on)) for off_min in OFF_MIN]
        rows[name] = {
            "wort_c": [each.wort_c for each in found],
            "to_boil_min": [each.to_boil_min for each in found],
            "ibu_gained": [each.ibu_now - each.ibu_before for each in found],
            "steam_l": [each.steam_l for each in found],
        }
    return rows


def preboil_table(base: Base, say: Say) -> dict[str, Any]:
    """What pre-boil litres and gravity lead to, and what would put them right.

    A device goes straight between the points, litres first; `within` is how far that is from the
    server's own answer at most. Beyond the grid it says nothing.
    """
    planned_l = float(base.day.volumes.preboil_l)
    planned_sg = float(base.day.strength.preboil_sg)
    litres = [planned_l + each for each in LITRES_OFF if planned_l + each > 0.0]
    gravities = [planned_sg + each for each in POINTS_OFF if planned_sg + each > 1.0]
    cells = [[_cell(base, say, each_l, each_sg) for each_sg in gravities] for each_l in litres]
    return {
        "preboil_l": litres,
        "preboil_sg": gravities,
        **{name: [[cell[name] for cell in row] for row in cells] for name in CELL},
        "planned": {
            "preboil_l": planned_l,
            "preboil_plato": float(plato_from_sg(planned_sg)),
            "wort_l": float(base.day.volumes.wort_l),
            **{name: getattr(outcome(base.day), name) for name in ("fermenter_l", "original_sg")},
        },
        "within": dict(WITHIN),
        "off": {"litres": OFF_L, "points": OFF_SG},
        "spread": {"litres": VOLUME_SPREAD, "strength": STRENGTH_SPREAD, "far": FAR},
        "means": dict(MEANS),
        "solids": SOLIDS,
        "reheat_min_l": reheat_min(Bench(replan(base, Known()), say), KG_L),
    }


CELL = ("fermenter_l", "original_sg", "ibu", "water_l", "malt_kg", "missing_l", "water_ibu",
        "malt_ibu")  # fmt: skip
KG_L = 0.9982
"""Water at 20 C [kg/L]."""
WITHIN = {"fermenter_l": 0.05, "original_sg": 0.0003, "ibu": 0.3, "water_l": 0.1, "malt_kg": 0.02}
"""How far the table is from the server's answer at most, in the unit of each number."""


def _cell(base: Base, say: Say, preboil_l: float, preboil_sg: float) -> dict[str, float]:
    """Where such wort lands; water and malt extract for the planned strength, below 0 too much."""
    plato = float(plato_from_sg(preboil_sg))
    bench = Bench(replan(base, Known(preboil_l=preboil_l, preboil_plato=plato)), say)
    after, (wort_l, wort_plato) = bench.now.after, bench.wort
    goal = bench.planned_plato
    water_kg = float(water_to_reach_kg(wort_l, wort_plato, goal))
    malt_kg = float(extract_to_reach_kg(wort_l, wort_plato, goal, SOLIDS))
    malted, _ = bench.stirred_in(malt_kg * (1.0 - SOLIDS), malt_kg * SOLIDS)
    return {
        "water_ibu": float(bench.stirred_in(water_kg, 0.0)[0].ibu),
        "malt_ibu": float(malted.ibu),
        "fermenter_l": after.fermenter_l,
        "original_sg": after.original_sg,
        "ibu": after.ibu,
        "water_l": bench.litres(water_kg),
        "malt_kg": malt_kg,
        "missing_l": bench.planned_l - wort_l,
    }


OFF_L, OFF_SG = 0.5, 0.001
"""Half a litre and one point: smaller misses are no trouble (common practice, no source)."""


def furthest(bench: Bench) -> str | None:
    """The trouble that the day as it stands is in: strength before litres; None if it is fine."""
    before, after = bench.now.before, bench.now.after
    points_sg, litres_l = (
        after.original_sg - before.original_sg,
        after.fermenter_l - before.fermenter_l,
    )
    if abs(points_sg) > OFF_SG:
        if litres_l < -OFF_L and points_sg < 0.0:
            return "volume-short"
        return "gravity-low" if points_sg < 0.0 else "gravity-high"
    if abs(litres_l) > OFF_L:
        return "volume-short" if litres_l < 0.0 else "volume-over"
    return None
