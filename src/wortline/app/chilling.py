"""The chill call by itself: a rig, a volume of wort, a tap; every way and the least bad."""

import re
from dataclasses import replace
from functools import partial
from math import pi
from typing import Any

from pydantic_core import PydanticCustomError

from wortline.app.chill_words import CAUTION, TAP_CAUTION, way_words
from wortline.app.chillers import rig_chillers, typical_chiller
from wortline.app.files import File, opened
from wortline.app.resolve import tap_of_climate_c
from wortline.app.tables import toml
from wortline.documents.day import Day
from wortline.documents.quantity import Measure
from wortline.documents.rig import Rig
from wortline.errors import DocumentRefused, Problem
from wortline.plan.brew import RigChiller
from wortline.plan.cautions import PASS_CAUTION
from wortline.plan.chill_call import (
    ALONE_PER_MIN,
    ICE_MIN_PER_KG,
    LITRES_PER_MIN,
    TWO_STAGE_C,
    Wish,
)
from wortline.plan.chill_finish import all_ways
from wortline.science.chill_ways import LEAST_L_MIN
from wortline.science.chiller import Batch
from wortline.science.kettle import wetted_wall_m2
from wortline.science.kettle_heating import heat_capacity_kj_k
from wortline.science.mending import wort_kg
from wortline.science.water import expansion
from wortline.units import say

SCHEMA = "chill/1"
# Wort of middling strength where nothing is said: 1 degP is half a per cent of its heat.
USUAL_PLATO = 12.0
STATE = re.compile(r"(.*\S)\s+(hot|cold)", re.IGNORECASE | re.DOTALL)
MEASURES = {
    "volume": Measure("volume", 0.0, 5000.0, low_open=True, example="22 L cold"),
    "from": Measure("temperature", 0.0, 110.0, example="98 C"),
    "to": Measure("temperature", 0.0, 100.0, example="18 C"),
    "tap": Measure("temperature", 0.0, 95.0, example="14 C"),
    "wort-flow": Measure("flow", 0.0, 1000.0, low_open=True, example="5 L/min"),
    "water-flow": Measure("flow", 0.0, 1000.0, low_open=True, example="9 L/min"),
    "ice": Measure("mass", 0.0, 1000.0, low_open=True, example="4 kg"),
}


class Typed:
    """What was typed as options: numbers in core units, and every problem with them."""

    def __init__(self) -> None:
        self.problems: list[Problem] = []

    def refuse(self, option: str, value: str, allowed: str, text: str) -> None:
        """Keep a problem with one option."""
        self.problems.append(Problem(f"--{option}", 0, "", value, allowed, "", text))

    def number(self, option: str, text: str | None) -> float | None:
        """Read one option; None where nothing or nothing readable was typed."""
        if text is None:
            return None
        try:
            return MEASURES[option].read(text).value
        except PydanticCustomError as error:
            for fault in (error.context or {})["faults"]:
                self.refuse(option, fault.value or text, fault.allowed, fault.text)
            return None

    def cold_l(self, text: str, hot_c: float | None) -> float | None:
        """Read a volume that says whether it is hot or cold: cold litres [L]."""
        said = STATE.fullmatch(text.strip())
        value = self.number("volume", said[1] if said else text.strip())
        if said is None:
            if value is not None:
                both = f"`{text.strip()} cold` or `{text.strip()} hot`"
                question = f"`{text.strip()}` does not say hot or cold: do you mean {both}?"
                self.refuse("volume", text, both, question)
            return None
        is_hot = said[2].lower() == "hot" and hot_c is not None
        return value / float(expansion(hot_c)) if is_hot and value and hot_c else value


def chill_call(
    rig_file: File,
    volume: str,
    start: str,
    to: str,
    tap: str | None = None,
    wort_flow: str | None = None,
    water_flow: str | None = None,
    ice: str | None = None,
    day_file: File | None = None,
    system: str = "metric",
) -> dict[str, Any]:
    """Answer the chill call for what was typed, as `chill/1`.

    Raises
    ------
    DocumentRefused
        With every problem of the files and of the options at once.
    """
    typed = Typed()
    rig, day = _documents(rig_file, day_file, typed)
    start_c, to_c = typed.number("from", start), typed.number("to", to)
    cold_l = typed.cold_l(volume, start_c)
    tap_c = typed.number("tap", tap)
    flows = {
        "most_wort_l_min": typed.number("wort-flow", wort_flow),
        "most_water_l_min": typed.number("water-flow", water_flow),
    }
    ice_kg = typed.number("ice", ice)
    if tap is None and day is not None:
        tap_c = day.tap.value if day.tap else tap_of_climate_c(day.climate)
    elif tap is None and day_file is None:
        text = "how warm is the tap water? Write `--tap 14 C` as measured, or name a day"
        typed.refuse("tap", "", MEASURES["tap"].allowed, text)
    if start_c is not None and to_c is not None and to_c >= start_c:
        text = f"`{to}` is not below `{start}`: there is nothing to chill"
        typed.refuse("to", to, f"below `{start}`", text)
    needed = (rig, start_c, to_c, cold_l, tap_c)
    if typed.problems or any(each is None for each in needed):
        raise DocumentRefused(typed.problems)
    assert rig and start_c is not None and to_c is not None and cold_l and tap_c is not None
    known = rig_chillers(rig)
    units = known or (typical_chiller(),)
    given = {key: value for key, value in flows.items() if value is not None}
    units = tuple(_with_flows(unit, given) for unit in units)
    wish = _wish(rig, cold_l, start_c, to_c, tap_c, ice_kg)
    found = all_ways(units, wish)
    spoken = partial(say, system=system)
    return {
        "schema": SCHEMA,
        "rig": rig.name,
        "volume_cold_l": cold_l,
        "from_c": start_c,
        "to_c": to_c,
        "tap_c": tap_c,
        "ice_kg": ice_kg,
        "chillers": [_told(unit) for unit in units],
        **found,
        "ways": [{**way, "text": way_words(way, spoken)} for way in found["ways"]],
        "notes": _notes(bool(known), found, wish, spoken),
        "cautions": [CAUTION, PASS_CAUTION, TAP_CAUTION],
    }


def _documents(
    rig_file: File, day_file: File | None, typed: Typed
) -> tuple[Rig | None, Day | None]:
    found: list[Any] = []
    for file, kind in ((rig_file, "rig"), (day_file, "day")):
        try:
            found.append(opened(file, kind) if file else None)  # type: ignore[arg-type]
        except DocumentRefused as refusal:
            typed.problems.extend(refusal.problems)
            found.append(None)
    return found[0], found[1]


def _with_flows(unit: RigChiller, given: dict[str, float]) -> RigChiller:
    return replace(unit, chiller=unit.chiller._replace(**given))


def _wish(
    rig: Rig, cold_l: float, start_c: float, to_c: float, tap_c: float, ice_kg: float | None
) -> Wish:
    typical = toml("typical.toml")
    metal_kj_k = typical["rig.metal_per_brim"]["value"] * rig.kettle.brim.value
    mass_kg = float(wort_kg(cold_l, USUAL_PLATO))
    diameter_m = rig.kettle.diameter.value
    height_m = cold_l / 1000.0 / (pi / 4.0 * diameter_m**2)
    return Wish(
        batch=Batch(mass_kg, heat_capacity_kj_k(1.0, USUAL_PLATO), metal_kj_k),
        start_c=start_c,
        to_c=to_c,
        tap_c=tap_c,
        gain_w=typical["model.pump_heat"]["value"],
        wall_m2=float(wetted_wall_m2(diameter_m, height_m)),
        ice_kg=ice_kg,
        switch_c=TWO_STAGE_C,
    )


def _told(unit: RigChiller) -> dict[str, Any]:
    return {
        "name": unit.name,
        "kind": unit.kind,
        "ua_w_k": float(unit.chiller.ua_w_k),
        "spread_w_k": float(unit.chiller.ua_w_k) * unit.spread,
        "from": unit.source,
    }


def _notes(known: bool, found: dict[str, Any], wish: Wish, spoken: Any) -> list[str]:
    notes = []
    if not known:
        notes.append(
            "The rig says nothing of a chiller: a typical plate chiller is taken, a guess. Write"
            " yours under `chillers` in the rig."
        )
    tap, lowest_c = spoken(wish.tap_c, "temperature"), found["lowest_c"]
    if lowest_c is not None and lowest_c >= wish.to_c:
        notes.append(
            f"Tap water of {tap} alone does not get to {spoken(wish.to_c, 'temperature')}:"
            f" {spoken(lowest_c, 'temperature')} is the lowest."
        )
    notes.append(
        "Circulating and a coil cool the whole kettle. In one pass what waits in the kettle stays"
        " hot, and goes on gaining bitterness and DMS until it is drawn."
    )
    if any("one-pass" in way["how"] for way in found["ways"]):
        slowest = spoken(LEAST_L_MIN, "flow")
        notes.append(
            f"A pass is taken no slower than {slowest}, of wort or of water: below that a valve"
            " cannot be held. With more water than it takes, the water is throttled."
        )
    notes.append(
        "Least bad weighs a minute at the kettle like"
        f" {spoken(LITRES_PER_MIN, 'volume')} of water, {spoken(1.0 / ICE_MIN_PER_KG, 'mass')} of"
        f" ice or {ALONE_PER_MIN:.0f} min in the fridge."
    )
    return notes
