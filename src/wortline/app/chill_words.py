"""Ways to chill in words: the same on the printed day and on the command line."""

from collections.abc import Callable, Mapping
from typing import Any

from wortline.units import glued

Report = Mapping[str, Any]
Say = Callable[..., str]
NAMES = {
    "circulate": "circulate through {chiller} back into the kettle",
    "one-pass": "one pass through {chiller}",
    "two-stage": "circulate through {chiller} to {switch}, then one pass",
    "coil-stirred": "{chiller} in the wort, stirred",
    "coil-still": "{chiller} in the wort, not stirred",
}
FINISHES = {
    "ice water": ", to {over}, then {ice} of ice in the water that runs through it",
    "ice around": ", to {over}, then {ice} of ice around the kettle",
    "fridge": ", to {over}, then {alone} in the fridge",
    "ice water, fridge": ", to {over}, then {ice} of ice in the water that runs through it, to"
    " {end}, then {alone} in the fridge",
    "ice around, fridge": ", to {over}, then {ice} of ice around the kettle, to {end}, then {alone}"
    " in the fridge",
}
LEAST_SAID_MIN = 1.0
CAUTION = (
    "Water runs before hot wort moves. Hoses and chiller burn at a touch, and a hose under pressure"
    " can slip off: clamps tight, gloves on. The water's way out is hot too."
)
TAP_CAUTION = "A chiller on the house's water needs back-flow prevention: that is for local code."


def way_name(way: Report, spoken: Say) -> str:
    """What is done, in a few words."""
    how, _, finish = way["how"].partition(", ")
    name = NAMES[how] + FINISHES.get(finish, "")
    said = {
        "chiller": way["chiller"],
        "switch": _said(way["switch_c"], "temperature", spoken),
        "over": _said(way["handover_c"], "temperature", spoken),
        "end": _said(way["fridge_from_c"], "temperature", spoken),
        "ice": _said(way["ice_kg"], "mass", spoken),
        "alone": _said(way["alone_min"], "time", spoken),
    }
    return name.format(**said)


def _said(value: float | None, kind: str, spoken: Say) -> str:
    return "" if value is None else glued(spoken(value, kind))


def way_words(way: Report, spoken: Say) -> str:
    """One way as a sentence: what is done, how long, how much water, or what it reaches."""
    name = way_name(way, spoken)
    name = name[0].upper() + name[1:]
    if not way["ok"] or way["time_min"] is None:
        lowest = _said(way["reached_c"], "temperature", spoken)
        text = f"{name}: does not get there; the lowest is {lowest}."
        if way["ice_needed_kg"] is not None:
            text += f" You need {_said(way['ice_needed_kg'], 'mass', spoken)} of ice."
        return text
    minutes = _minutes(way, spoken)
    water = glued(f"{spoken(way['water_cold_l'], 'volume')} of water")
    text = f"{name}: {minutes}, {water}{flow_words(way, spoken)}."
    if way["ice_left_kg"]:
        text += f" {_said(way['ice_left_kg'], 'mass', spoken)} of ice is left over."
    return text


def _minutes(way: Report, spoken: Say) -> str:
    text = _time(way["time_min"], spoken)
    if way["low_min"] is None:
        return f"about {text}"
    # Where a weak chiller of this kind would not do at all, there is no longest time.
    high = "never" if way["high_min"] is None else _time(way["high_min"], spoken)
    low = _time(way["low_min"], spoken)
    return text if low == text == high else f"{text} ({low} to {high})"


def _time(minutes: float, spoken: Say) -> str:
    """Minutes as they are read off a watch: none is no chill."""
    return glued(spoken(minutes, "time") if minutes >= LEAST_SAID_MIN else "under 1 min")


def flow_words(way: Report, spoken: Say) -> str:
    """The flows to set, where there are any."""
    water = glued(f"{spoken(way['water_l_min'], 'flow')} water")
    if way["wort_l_min"] is None:
        return f", at {water}"
    return f", at {glued(spoken(way['wort_l_min'], 'flow'))} wort and {water}"
