"""The trade of the rest as a page shows it: every length in words, and what else to say of it."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from wortline.app.resting import Resting
from wortline.units import glued, say

NONE = "no data"
HEADS = {
    "worth": "The rest is worth it",
    "not worth": "For you, not worth it",
    "no data": "No data on how your kettle clears",
}
ROWS = (
    ("rest_end_c", "The rest ends at", ""),
    ("ibu", "Bitterness", "bitterness.ibu"),
    ("aroma_index", "Aroma, without a rest 100", "aroma.index_g_l"),
    ("dms_ug_l", "DMS in the beer", "dms_ug_l.beer"),
    ("clear_fraction", "Solids gone at the outlet", "whirlpool.clear_fraction"),
    ("clog_level", "Clog caution, 1 to 5", "clog.level"),
    ("chilled_min", "Chilled after heat-off", ""),
)
"""Key in the report, name, and the number of the plan that says why."""
RANGES = {"aroma_index": ("aroma_low_index", "aroma_high_index")}


@dataclass(frozen=True)
class Row:
    """One line of the trade: its name, the plan's number behind it, and a text for every way."""

    key: str
    name: str
    why: str
    cells: tuple[tuple[str, ...], ...]


def rows(report: dict[str, Any], system: str) -> list[Row]:
    """Return the lines of the trade; a cell holds the texts of every rest length."""
    return [
        Row(
            key, name, why,
            tuple(_cells(key, way, system) for way in report["ways"]),
        )
        for key, name, why in ROWS
    ]  # fmt: skip


def _cells(key: str, way: dict[str, Any], system: str) -> tuple[str, ...]:
    told = tuple(_cell(key, each, system) for each in way[key])
    ends = RANGES.get(key)
    if ends is None:
        return told
    pairs = zip(told, *(way[end] for end in ends), strict=True)
    return tuple(
        text if None in (low, high)
        else f"{text} ({_cell(key, low, system)} to {_cell(key, high, system)})"
        for text, low, high in pairs
    )  # fmt: skip


def _cell(key: str, value: float | None, system: str) -> str:
    if value is None:
        return NONE
    if key == "rest_end_c":
        return glued(say(value, "temperature", system, 0))
    if key == "ibu":
        return f"{value:.1f}\u00a0IBU"
    if key == "dms_ug_l":
        return f"{value:.0f}\u00a0µg/L"
    if key == "clear_fraction":
        return f"{100.0 * value:.0f}\u00a0%"
    if key == "chilled_min":
        return f"{value:.0f}\u00a0min"
    return f"{value:.0f}"


def at_first(report: dict[str, Any]) -> int:
    """Return the place of the rest to show first: the knee, else what is planned."""
    shown = report["knee_min"] if report["knee_min"] is not None else report["planned_min"]
    return place_of(report, shown)


def place_of(report: dict[str, Any], rest_min: float) -> int:
    """Return the place of the rest length that is nearest."""
    lengths = report["rest_min"]
    return min(range(len(lengths)), key=lambda at: abs(lengths[at] - rest_min))


def marks(report: dict[str, Any]) -> list[str]:
    """Say for every rest length whether it is the knee or what is planned."""
    said = []
    for each in report["rest_min"]:
        words = [
            word
            for word, key in (("the knee", "knee_min"), ("as planned", "planned_min"))
            if report[key] is not None and abs(report[key] - each) < 1e-6
        ]
        said.append(" and ".join(words))
    return said


def facts(plan: dict[str, Any], system: str) -> list[tuple[str, str, str]]:
    """Return what the whirlpool does here, each as name, value and number of the plan."""
    swirl = plan["whirlpool"]
    if swirl is None:
        return []
    found = (
        ("Turns a minute as the pump stops", f"{swirl['turns_per_min']:.0f}", "turns_per_min"),
        ("More pumping adds nothing after", _minutes(swirl["pump_min"]), "pump_min"),
        ("Rest to clear", _minutes(swirl["rest_min"]), "rest_min"),
        ("Cone", f"{_said(swirl['cone_cold_l'], 'volume', system)} cold", "cone_cold_l"),
        ("Draw-off line", _mark(swirl["draw_off_mark_cm"], system), "draw_off_mark_cm"),
        ("Stays in the kettle", f"{_said(swirl['left_cold_l'], 'volume', system)} cold",
         "left_cold_l"),
    )  # fmt: skip
    driven = () if plan["has_pump"] else ("turns_per_min", "pump_min")
    return [
        (name, value, f"whirlpool.{key}")
        for name, value, key in found
        if swirl[key] is not None and key not in driven
    ]


def _minutes(value: float | None) -> str:
    return NONE if value is None else f"{value:.0f}\u00a0min"


def _said(value: float | None, kind: str, system: str) -> str:
    return NONE if value is None else glued(say(value, kind, system))


def _mark(mark_cm: float | None, system: str) -> str:
    if mark_cm is None:
        return NONE
    return glued(say(mark_cm / 100.0, "length", system)) + " over the floor"


@dataclass(frozen=True)
class Held:
    """One way to hold a dose, in words."""

    name: str
    planned: bool
    ibu: str
    aroma: str
    lost: str
    clog: str


@dataclass(frozen=True)
class Advice:
    """A dose and the three ways to hold it, with one sentence that sums them up."""

    dose: str
    ways: tuple[Held, ...]
    text: str


HOLDS = {"free": "free in the wort", "bag": "in a bag", "mesh": "in a mesh"}


def containment(resting: Resting, system: str) -> list[Advice]:
    """Return the three ways to hold every dose that meets hot wort."""
    plan = resting.planned.report
    listed = {dose["id"]: dose for dose in plan["bitterness"]["doses"]}
    found = []
    for dose in plan["aroma"]["doses"]:
        if not dose["ways"]:
            continue
        name = f"{dose['id']} {listed[dose['id']]['name']}"
        ways = tuple(_held(each, system) for each in dose["ways"])
        found.append(Advice(name, ways, _summed(dose["ways"])))
    return found


def _held(way: dict[str, Any], system: str) -> Held:
    ratio = way["aroma_ratio"]
    aroma = NONE
    if ratio["mid"] is not None:
        aroma = f"× {ratio['mid']:.2f}"
        if not way["planned"]:
            aroma += f" ({ratio['low']:.2f} to {ratio['high']:.2f})"
    return Held(
        HOLDS[way["held"]],
        way["planned"],
        NONE if way["ibu"] is None else f"{way['ibu']:.1f}\u00a0IBU",
        aroma,
        f"{_said(way['held_back_cold_l'], 'volume', system)} cold",
        NONE if way["clog_level"] is None else f"{way['clog_level']} of 5",
    )


def _summed(ways: list[dict[str, Any]]) -> str:
    """Say in a sentence whether another way is worth a thought; aroma's range may hold both."""
    now = next(each for each in ways if each["planned"])
    lower = [
        each for each in ways
        if None not in (each["clog_level"], now["clog_level"])
        and each["clog_level"] < now["clog_level"]
    ]  # fmt: skip
    if lower:
        best = min(lower, key=lambda each: (each["clog_level"], -(each["ibu"] or 0.0)))
        return (
            f"Held {HOLDS[best['held']]} it brings the clog caution from {now['clog_level']} to"
            f" {best['clog_level']} by itself."
        )
    return "For this dose alone, holding it otherwise does not change the clog caution."


def clog_words(plan: dict[str, Any]) -> Iterator[str]:
    """Say the clog caution and how sure it is."""
    clog = plan["clog"]
    if clog["level"] is None:
        yield "Clog caution: no data."
        return
    yield f"Clog caution {clog['level']} of 5."
    if clog["low"] != clog["high"]:
        yield f"Between {clog['low']} and {clog['high']}: your rig does not tell its pipes."
