"""From what an instrument showed to what is in the kettle, and doubts before any cure.

A reading is questioned before anything is done about it: a hot sample, a hot mark, a refractometer
in fermented beer, more extract than the malt holds.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import isfinite
from typing import TypeAlias

from wortline.lot.events import Measured
from wortline.lot.limits import cannot_be
from wortline.science.extract import (
    extract_kg,
    plato_from_extract,
    plato_from_sg,
    sg_from_plato,
)
from wortline.science.instruments import (
    HOTTEST_SAMPLE_C,
    final_sg_spread,
    hydrometer_sg,
    wort_plato,
)
from wortline.science.mending import read_in_steel_l
from wortline.science.standards import COLD_C
from wortline.science.water import expansion
from wortline.units import say

WARM_SAMPLE_C = 25.0
"""From here on a hydrometer reads more than half a point low (by `hydrometer_sg`)."""
DROP_C = 30.0
"""Most that a refractometer's own compensation covers (common practice, no source)."""
COOLED_C = 30.0
"""A sample cooled below this can be corrected well (common practice, no source)."""
HOT_MARK_C = 40.0
"""Litres read above this shrink by more than half a per cent as they cool."""
FERMENTED = frozenset({"final", "fermenting"})
Say: TypeAlias = Callable[[float, str], str]


@dataclass(frozen=True)
class Doubt:
    """A question about a reading: what is odd, what to ask, and what the number would mean."""

    code: str
    text: str
    ask: str
    corrected: float | None = None
    low: float | None = None
    high: float | None = None


def usual_c(of: str, boiling_c: float, to_c: float, tap_c: float) -> float | None:
    """How hot something is by the plan when it is read [C]; None where the plan does not say."""
    return {
        "water": tap_c,
        "preboil": boiling_c,
        "postboil": boiling_c,
        "original": to_c,
        "fermenter": to_c,
    }.get(of)


def cold_l(reading: Measured, wort_c: float) -> float:
    """Litres at 20 C behind a reading of volume; `wort_c` where nobody wrote how hot it was [L]."""
    at_c = reading.sample_c if reading.sample_c is not None else wort_c
    hot_l = float(read_in_steel_l(reading.value, at_c)) if reading.instrument == "mark" else (
        reading.value
    )  # fmt: skip
    return hot_l / float(expansion(at_c)) * float(expansion(COLD_C))


def strength_plato(reading: Measured) -> float | None:
    """Strength of unfermented wort behind a reading of gravity [degP]; None if it cannot be."""
    if reading.instrument == "refractometer":
        return float(wort_plato(plato_from_sg(reading.value)))
    at_c = reading.sample_c if reading.sample_c is not None else COLD_C
    plato = float(plato_from_sg(hydrometer_sg(reading.value, at_c)))
    return plato if isfinite(plato) else None


def doubts(
    reading: Measured,
    wort_c: float | None = None,
    original_plato: float | None = None,
    cold_beside_l: float | None = None,
    malt_holds_kg: float | None = None,
    brim_l: float | None = None,
    spoken: Say = say,
) -> list[Doubt]:
    """What to question about a reading before acting on it.

    `wort_c` is how hot the wort is by the plan; `original_plato` the strength before fermentation;
    `cold_beside_l` the litres that go with a gravity; `malt_holds_kg` all extract of the grist;
    `spoken` says a core value in the units of the lot.
    """
    if reading.quantity == "gravity":
        found = [*_gravity(reading, wort_c, original_plato, spoken)]
        return [*found, *_too_much(reading, cold_beside_l, malt_holds_kg, spoken)]
    if reading.quantity == "volume":
        return [*_volume(reading, wort_c, brim_l, spoken)]
    return []


FAR = {"temperature": 15.0, "volume": 0.4, "gravity": 0.025}
"""So far from the plan a reading is asked about: kelvin, share, SG (common practice, no source)."""
COOLS = frozenset({"chilled", "pitch", "rest"})
"""Temperatures that a short chill or a long wait leave anywhere: only far below is odd."""
HOLDS_UP = frozenset(
    {"sample-too-hot", "more-than-the-malt", "above-the-brim", "far-off", "cannot-be"}
)
"""Doubts that keep a reading out of the advice until somebody says that it is right."""


def far_off(reading: Measured, planned: float | None, spoken: Say = say) -> list[Doubt]:
    """Whether a reading is so far from the plan that a slip of unit or hand is likelier."""
    limit = FAR.get(reading.quantity)
    if wrong := cannot_be(reading.quantity, reading.value, spoken, reading.typed):
        return [Doubt("cannot-be", f"{wrong}.", "What was it?")]
    if planned is None or limit is None or planned <= 0.0:
        return []
    apart = reading.value - planned
    if reading.quantity == "volume":
        apart /= planned
    if abs(apart) <= limit or (reading.of in COOLS and apart > 0.0):
        return []
    read = reading.typed or spoken(reading.value, reading.quantity)
    if reading.quantity == "temperature":
        read = f"{read}, which is {heat(reading.value, spoken)}," if reading.typed else read
    return [
        Doubt(
            "far-off",
            f"{read} is far from the planned {spoken(planned, reading.quantity)}.",
            "Is the number right, and its unit?",
        )
    ]


def heat(temp_c: float, spoken: Say) -> str:
    """A temperature to the degree: what is asked about is not known better."""
    number, _, unit = spoken(temp_c, "temperature").partition(" ")
    return f"{float(number):.0f} {unit}"


def _gravity(
    reading: Measured, wort_c: float | None, original_plato: float | None, spoken: Say
) -> Iterator[Doubt]:
    if reading.instrument == "refractometer":
        yield from _refracted(reading, original_plato, spoken)
        return
    at_c = reading.sample_c
    if at_c is None:
        if wort_c is not None and wort_c > WARM_SAMPLE_C:
            yield Doubt(
                "sample-temperature",
                f"The wort is at about {heat(wort_c, spoken)}; a hot sample reads low.",
                "How warm was the sample?",
            )
        return
    if at_c > HOTTEST_SAMPLE_C or at_c < 0.0:
        yield Doubt(
            "sample-too-hot",
            f"At {heat(at_c, spoken)} a hydrometer cannot be corrected: the sample steams and the"
            " stem warms unevenly.",
            f"Cool the sample below {heat(COOLED_C, spoken)} and read again.",
        )
    elif at_c > WARM_SAMPLE_C:
        right_sg = float(hydrometer_sg(reading.value, at_c))
        yield Doubt(
            "sample-hot",
            f"{reading.value:.3f} at {heat(at_c, spoken)} is {right_sg:.3f} at"
            f" {heat(COLD_C, spoken)}.",
            "Is that how warm the sample was when you read it?",
            right_sg,
        )


def _refracted(reading: Measured, original_plato: float | None, spoken: Say) -> Iterator[Doubt]:
    if reading.of in FERMENTED:
        text = "Alcohol bends light too: in beer a refractometer reads far too high."
        if original_plato is None:
            yield Doubt("refractometer-in-beer", text, "What was the original gravity?")
            return
        brix = float(plato_from_sg(reading.value))
        low, mid, high = (float(each) for each in final_sg_spread(original_plato, brix))
        yield Doubt(
            "refractometer-in-beer",
            f"{text} This one means {mid:.3f} ({low:.3f} to {high:.3f}).",
            "Read a hydrometer before you call the beer stuck or done.",
            mid,
            low,
            high,
        )
    elif reading.sample_c is not None and reading.sample_c > DROP_C:
        yield Doubt(
            "drop-hot",
            f"A drop at {heat(reading.sample_c, spoken)} dries and reads high, and no compensation"
            " covers it.",
            "Let the drop cool to the room under its lid and read again.",
        )


def _too_much(
    reading: Measured, cold_beside_l: float | None, malt_holds_kg: float | None, spoken: Say
) -> Iterator[Doubt]:
    plato = strength_plato(reading)
    if plato is None or cold_beside_l is None or malt_holds_kg is None:
        return
    there_kg = float(extract_kg(cold_beside_l, plato))
    if there_kg > malt_holds_kg:
        most_sg = _most_sg(cold_beside_l, malt_holds_kg)
        yield Doubt(
            "more-than-the-malt",
            f"{spoken(cold_beside_l, 'volume')} cold at {float(sg_from_plato(plato)):.3f} hold"
            f" {spoken(there_kg, 'mass')} of extract; all the malt holds"
            f" {spoken(malt_holds_kg, 'mass')}.",
            f"Read both again: in these litres it cannot be above {most_sg:.3f}.",
            high=most_sg,
        )


def _most_sg(cold: float, malt_holds_kg: float) -> float:
    return float(sg_from_plato(plato_from_extract(malt_holds_kg, cold)))


def _volume(
    reading: Measured, wort_c: float | None, brim_l: float | None, spoken: Say
) -> Iterator[Doubt]:
    read = spoken(reading.value, "volume")
    if brim_l is not None and reading.value > brim_l:
        yield Doubt(
            "above-the-brim",
            f"{read} are more than the kettle's {spoken(brim_l, 'volume')} to the brim.",
            "Read the mark again.",
        )
    at_c = reading.sample_c
    if at_c is None and wort_c is not None and wort_c > HOT_MARK_C:
        right_l = cold_l(reading, wort_c)
        yield Doubt(
            "mark-temperature",
            f"The wort is at about {heat(wort_c, spoken)}: {read} hot are"
            f" {spoken(right_l, 'volume')} cold.",
            "Was it hot when you read it?",
            right_l,
        )
    elif at_c is not None and at_c > HOT_MARK_C:
        right_l = cold_l(reading, at_c)
        yield Doubt(
            "mark-hot",
            f"{read} at {heat(at_c, spoken)} are {spoken(right_l, 'volume')} cold.",
            "Is that how hot it was when you read it?",
            right_l,
        )
