"""The few numbers of a plan in words, and what of them moved between two plans."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

from wortline.app.levers import Lever
from wortline.app.step_scene import clock
from wortline.plan.swirl_line import SEEN_MIN
from wortline.units import say

Report = Mapping[str, Any]
Shown = Callable[[float], str]


@dataclass(frozen=True)
class Figure:
    """One number with its range and how far to trust it, in words."""

    key: str
    title: str
    text: str
    low: str = ""
    high: str = ""
    trust: str = ""

    @property
    def range(self) -> str:
        """From low to high; nothing where both read the same as the number."""
        return "" if self.low == self.high.partition(" ")[0] else f"{self.low} to {self.high}"


def _rows(report: Report, system: str) -> tuple[tuple[str, str, Shown], ...]:
    def spoken(kind: str) -> Shown:
        return lambda value: say(value, kind, system)

    return (
        ("fermenter_l", "In the fermenter, cold", spoken("volume")),
        ("gravity.original_sg", "Original gravity", lambda value: f"{value:.3f}"),
        ("abv_fraction", "Alcohol by volume", lambda value: f"{100 * value:.1f} %"),
        ("bitterness.ibu", "Bitterness, young beer", lambda value: f"{value:.0f} IBU"),
        ("gravity.final_sg", "Final gravity", lambda value: f"{value:.3f}"),
        ("colour_ebc", "Colour", spoken("colour")),
        ("dms_ug_l.beer", "DMS in the beer", lambda value: f"{value:.0f} µg/L"),
        ("water_l", "Water at the tap, cold", spoken("volume")),
        ("strike_c", "Strike water", spoken("temperature")),
        ("whirlpool.rest_min", "Rest until clear", lambda value: clear_after(report, value)),
        ("whirlpool.cone_cold_l", "Trub cone, cold", spoken("volume")),
        ("energy_kwh", "Electricity", lambda value: f"{value:.1f} kWh"),
    )


def clear_after(report: Report, value_min: float) -> str:
    """Return minutes of rest; what had not cleared when nobody looked any more is over it."""
    seen_min = max(SEEN_MIN, report["whirlpool"]["planned_rest_min"])
    if value_min >= 0.995 * seen_min:
        return f"over {seen_min:.0f} min"
    return f"{value_min:.0f} min"


def of_whirlpool(key: str) -> bool:
    """Say whether a number is the whirlpool's, which takes longer to work out."""
    return key.startswith("whirlpool.")


def figures(report: Report, system: str = "metric") -> list[Figure]:
    """Return the few numbers of a plan; one that this plan does not have is unknown."""
    found = []
    for key, title, shown in _rows(report, system):
        spread = report["ranges"].get(key)
        if spread is None:
            if not of_whirlpool(key):
                found.append(Figure(key, title, "unknown"))
            continue
        low, mid, high = (shown(spread[part]) for part in ("low", "mid", "high"))
        unit = low.partition(" ")[2]
        # One unit is said once: 22.4 to 23.6 L.
        if unit and unit == high.partition(" ")[2]:
            low = low.partition(" ")[0]
        found.append(Figure(key, title, mid, low, high, spread["trust"]))
    return found


def day_length(report: Report) -> str:
    """Return how long the day is, hours and minutes."""
    ends = [phase["end_min"] for phase in report["timeline"]]
    return "unknown" if not ends or None in ends else clock(ends[-1])


def former_texts(before: Report, after: Report, system: str) -> dict[str, str]:
    """Return what each figure that moved read before."""
    old = {each.key: each.text for each in figures(before, system)}
    return {
        each.key: old[each.key]
        for each in figures(after, system)
        if each.key in old and old[each.key] != each.text
    }


def moves_in_words(levers: Sequence[Lever], moved: Mapping[str, str]) -> list[str]:
    """Return what was moved, from what it was to what it is."""
    return [
        f"{each.name}: {_choice(each, _now(each))} → {_choice(each, moved[each.key])}"
        for each in levers
        if each.key in moved
    ]


def _now(lever: Lever) -> str:
    # A choice is told by its own words.
    return (lever.text or lever.stands_for) if lever.choices else lever.shown


def _choice(lever: Lever, text: str) -> str:
    return dict(lever.choices).get(text, text) or "nothing"


def changes_in_words(
    before: Report, after: Report, system: str = "metric", whole: bool = True
) -> list[str]:
    """Return what followed: figures, the length of the day, doses, notes that came or went."""
    told, now = (
        [each for each in figures(report, system) if whole or not of_whirlpool(each.key)]
        for report in (before, after)
    )
    old = {each.key: each for each in told}
    said = []
    for each in now:
        was = old.pop(each.key, None)
        if was is None:
            said.append(f"{each.title}: {each.text}, new")
        elif was.text != each.text:
            said.append(f"{each.title}: {was.text} → {each.text}")
        elif was.trust != each.trust:
            said.append(f"{each.title}: still {each.text}, now {each.trust} (was {was.trust})")
    said += [f"{each.title}: {each.text} falls away" for each in old.values()]
    if day_length(before) != day_length(after):
        said.append(f"Length of the day: {day_length(before)} → {day_length(after)} h")
    said += _masses(before, after, partial(say, system=system))
    if whole:
        said += _told(before, after)
    if before["fits"] and not after["fits"]:
        said.append("The plan no longer fits: see can't, because")
    if after["fits"] and not before["fits"]:
        said.append("The plan fits now")
    return said


def _masses(before: Report, after: Report, spoken: Callable[..., str]) -> list[str]:
    """Return the masses that the plan itself scales to its aim."""

    def weighed(report: Report) -> dict[str, str]:
        rows = [(each["name"], each["mass_kg"]) for each in report["grist"]]
        rows += [
            (f"{each['id']} {each['name']}", each["mass_kg"])
            for each in report["bitterness"]["doses"]
            if each["id"] != "malt"
        ]
        return {
            name: "unknown" if mass is None else spoken(mass, "mass") for name, mass in rows
        }

    old = weighed(before)
    return [
        f"{name}: {old[name]} → {mass}"
        for name, mass in weighed(after).items()
        if name in old and old[name] != mass
    ]


def _told(before: Report, after: Report) -> list[str]:
    old, new = ({each["code"] for each in report["notes"]} for report in (before, after))
    said = [
        f"New note: {each['text']}"
        for each in after["notes"]
        if each["code"] not in old and each["severity"] == "warn"
    ]
    said += [
        f"No longer: {each['text']}"
        for each in before["notes"]
        if each["code"] not in new and each["severity"] == "warn"
    ]
    return said
