"""The chill call as a page shows it."""

from dataclasses import dataclass
from functools import partial
from typing import Any

from wortline.app.chill_words import way_name
from wortline.units import glued, say


@dataclass(frozen=True)
class Way:
    """One way to chill, in words."""

    name: str
    best: bool
    ok: bool
    time: str
    range: str
    water: str
    reached: str
    wort_flow: str
    water_flow: str


def view(told: dict[str, Any], system: str) -> dict[str, Any]:
    """Return the answer with every number in words, the least bad way first."""
    ways = [_way(told, each, system) for each in told["ways"]]
    order = sorted(range(len(ways)), key=lambda at: (not ways[at].best, not ways[at].ok, at))
    lowest = told["lowest_c"]
    return {
        "rig": told["rig"],
        "asked": f"{_said(told['volume_cold_l'], 'volume', system)} cold,"
        f" {_said(told['from_c'], 'temperature', system)} to"
        f" {_said(told['to_c'], 'temperature', system)}, tap water of"
        f" {_said(told['tap_c'], 'temperature', system)}",
        "ways": [ways[at] for at in order],
        "best": next((each for each in ways if each.best), None),
        "any": any(each.ok for each in ways),
        "lowest": None if lowest is None else _said(lowest, "temperature", system),
        "target": _said(told["to_c"], "temperature", system),
        "chillers": [
            f"{each['name']}, {each['kind']}: {_said(each['ua_w_k'], 'conductance', system)}"
            f" ± {each['spread_w_k']:.0f}, {each['from']}"
            for each in told["chillers"]
        ],
        "notes": told["notes"],
        "cautions": told["cautions"],
    }


def _way(told: dict[str, Any], way: dict[str, Any], system: str) -> Way:
    done = way["ok"] and way["time_min"] is not None
    spread = ""
    if done and way["low_min"] is not None:
        high = way["high_min"]
        longest = "never" if high is None else _said(high, "time", system)
        spread = f"{_said(way['low_min'], 'time', system)} to {longest}"
    name = way_name(way, partial(say, system=system))
    alone = f" + {_said(way['alone_min'], 'time', system)} alone" if way["alone_min"] else ""
    return Way(
        name=name[:1].upper() + name[1:],
        best=told["best"] == {"chiller": way["chiller"], "how": way["how"]},
        ok=bool(done),
        time=_said(way["time_min"], "time", system) + alone if done else "",
        range=spread,
        water=_said(way["water_cold_l"], "volume", system) if done else "",
        reached=_said(way["reached_c"], "temperature", system),
        wort_flow=_said(way["wort_l_min"], "flow", system),
        water_flow=_said(way["water_l_min"], "flow", system),
    )


def _said(value: float | None, kind: str, system: str) -> str:
    return "" if value is None else glued(say(value, kind, system))
