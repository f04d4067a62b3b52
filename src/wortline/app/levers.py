"""What a brewer moves on a plan: each lever, what it says now, how far it goes, what it changes."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from wortline.app.changing import Edit, Path
from wortline.documents.day import Day
from wortline.documents.kinds import DocumentKind
from wortline.documents.quantity import Quantity
from wortline.documents.recipe import Chill, Hop, Recipe
from wortline.documents.words import BeforeHeatOff, Below, IntoRest, Lid
from wortline.plan.brew import RigChiller
from wortline.units import say, shown_in, told_in

WAYS = ("one-pass", "circulate", "two-stage")
WAY_FIELDS = ("at", "in", "with", "how", "switch_at")


@dataclass(frozen=True)
class Slider:
    """How far a lever slides, in the unit that stands in its pattern."""

    low: float
    high: float
    step: float
    value: float
    pattern: str


@dataclass(frozen=True)
class Lever:
    """One thing to move.

    `text` is what the document says now, empty where it says nothing; `said` is the same in the
    units of the person who looks.
    """

    key: str
    label: str
    text: str
    kind: DocumentKind
    at: Path
    slider: Slider | None = None
    choices: tuple[tuple[str, str], ...] = ()
    stands_for: str = ""
    group: str = ""
    said: str = ""

    @property
    def shown(self) -> str:
        """What stands in its field."""
        return self.said or self.text or self.stands_for

    @property
    def name(self) -> str:
        """What it is called in a sentence."""
        return f"{self.group}, {self.label.lower()}" if self.group else self.label


def levers(
    recipe: Recipe,
    day: Day | None,
    chillers: tuple[RigChiller, ...],
    report: Mapping[str, Any],
    system: str = "metric",
) -> tuple[Lever, ...]:
    """Return every lever of a plan, those for the whole day first, then dose by dose."""
    us = system == "us"
    has_pump = bool(report["has_pump"])
    found = [*_whirlpool(recipe, system, has_pump), _chill_way(recipe.chill, chillers, system)]
    found += [
        _amount("recipe.chill.to", "Chill to", recipe.chill.to, "F" if us else "C",
                (32.0, 100.0, 1.0) if us else (0.0, 40.0, 0.5), system),
        _batch(recipe.batch, us),
        _amount("recipe.boil.for", "Boil", recipe.boil.lasts, "min",
                (0.0, max(120.0, recipe.boil.lasts.value), 1.0), system),
    ]  # fmt: skip
    if day is not None:
        found.append(_tap(day, report, us))
    doses = {dose["id"]: dose for dose in report["bitterness"]["doses"]}
    for place, hop in enumerate(recipe.hops):
        found += _dose(place, hop, doses[f"d{place + 1}"], us, recipe.boil.lasts.value)
    return tuple(found)


def _place(key: str) -> tuple[DocumentKind, Path]:
    first, *rest = key.split(".")
    kind: DocumentKind = "day" if first == "day" else "recipe"
    return kind, tuple(int(each) if each.isdigit() else each for each in rest)


def _lever(key: str, label: str, text: str, **more: Any) -> Lever:
    kind, at = _place(key)
    return Lever(key, label, text, kind, at, **more)


def _amount(
    key: str, label: str, now: Quantity | None, unit: str, span: tuple[float, float, float],
    system: str, group: str = "",
) -> Lever:  # fmt: skip
    """A lever that slides in one unit; what is not written yet stands at its low end."""
    low, high, step = span
    value = low if now is None else shown_in(now.value, now.kind, unit)
    slider = _slider(low, high, step, value, f"{{}} {unit}")
    stands_for = f"{low:g} {unit}" if now is None else ""
    said = told_in(now.text, now.value, now.kind, system, unit) if now else ""
    return _lever(key, label, now.text if now else "", slider=slider, stands_for=stands_for,
                  group=group, said=said)  # fmt: skip


def _slider(low: float, high: float, step: float, value: float, pattern: str) -> Slider:
    """A slider that reaches to its value; wherever it begins, it steps on round numbers."""
    if value < low:
        low = step * math.floor(value / step)
    if value > high:
        high = step * math.ceil(value / step)
    return Slider(low, high, step, value, pattern)


def _whirlpool(recipe: Recipe, system: str, has_pump: bool) -> Iterator[Lever]:
    whirl = recipe.whirlpool
    rest, pump = (whirl.rest, whirl.pump) if whirl else (None, None)
    yield _amount("recipe.whirlpool.rest", "Rest", rest, "min", (0.0, 60.0, 1.0), system)
    if has_pump:
        yield _amount("recipe.whirlpool.pump", "Pump on", pump, "min", (0.0, 20.0, 1.0), system)
    lid = whirl.lid if whirl else None
    yield _lever("recipe.whirlpool.lid", "Lid after heat-off", _lid_text(lid),
                 choices=_lid_choices(lid, system), stands_for="off")  # fmt: skip


def _lid_text(lid: Lid | None) -> str:
    if lid is None:
        return ""
    return lid.kind if lid.kind != "gap" else f"gap {lid.gap_m2 * 1e4:g} cm2"


def _lid_choices(lid: Lid | None, system: str) -> tuple[tuple[str, str], ...]:
    typed: tuple[tuple[str, str], ...] = ()
    if lid and lid.kind == "gap":
        text = _lid_text(lid)
        gap = told_in(text.removeprefix("gap "), lid.gap_m2, "area", system)
        typed = ((text, f"on, gap {gap}"),)
    return (*typed, ("off", "off"), ("on", "on"))


def _batch(batch: Quantity, us: bool) -> Lever:
    unit, step = ("US gal", 0.1) if us else ("L", 0.5)
    whole = shown_in(batch.value, "volume", unit)
    high = step * round(1.6 * whole / step)
    system = "us" if us else "metric"
    return _amount("recipe.batch", "Batch, cold", batch, unit, (step, high, step), system)


def _tap(day: Day, report: Mapping[str, Any], us: bool) -> Lever:
    span = (33.0, 95.0, 1.0) if us else (1.0, 35.0, 0.5)
    unit = "F" if us else "C"
    system = "us" if us else "metric"
    made = _amount("day.tap", "Tap water", day.tap, unit, span, system)
    if day.tap is not None or made.slider is None:
        return made
    # Worked out from the climate: the first water of the ledger has it.
    tap_c = report["ledger"][0]["temp_c"]
    said = say(tap_c, "temperature", system)
    value = shown_in(tap_c, "temperature", unit)
    return replace(made, stands_for=said, slider=replace(made.slider, value=value))


def _chill_way(chill: Chill, chillers: tuple[RigChiller, ...], system: str) -> Lever:
    now = _way_text(chill)
    told = now
    if isinstance(chill.at, Quantity):
        told = f"at {told_in(chill.at.text, chill.at.value, chill.at.kind, system)}"
    choices = {now: f"{told}, as written" if not now.startswith("with ") else now[5:]}
    for unit in chillers:
        ways = WAYS if unit.kind != "immersion" else ("",)
        for way in ways:
            text = f"with {unit.name} {way}".strip()
            choices.setdefault(text, text[5:])
    choices.setdefault("in 20 min", "in 20 min")
    choices.setdefault("at instant", "at once, to compare with")
    return _lever("recipe.chill.way", "Chill way", now, choices=tuple(choices.items()))


def _way_text(chill: Chill) -> str:
    if chill.chiller is not None:
        return " ".join(each for each in ("with", chill.chiller, chill.how) if each)
    if chill.within is not None:
        return f"in {chill.within.text}"
    return f"at {chill.at.text if isinstance(chill.at, Quantity) else 'instant'}"


def _dose(
    place: int, hop: Hop, told: Mapping[str, Any], us: bool, boil_min: float
) -> Iterator[Lever]:
    key, group = f"recipe.hops.{place}", f"d{place + 1} {hop.hop}"
    unit, step = ("oz", 0.05) if us else ("g", 1.0)
    mass = shown_in(hop.mass.value, "mass", unit)
    high = step * max(round(2.5 * mass / step), round((3.0 if us else 80.0) / step))
    yield _lever(f"{key}.when", "When", hop.when.said, slider=_moment(hop, us, boil_min),
                 group=group, said=_moment_said(hop, us))  # fmt: skip
    system = "us" if us else "metric"
    yield _amount(f"{key}.mass", "Mass", hop.mass, unit, (step, high, step), system, group)
    alpha = told["alpha_fraction"]
    percent = 100.0 * (hop.alpha.value if hop.alpha else alpha or 0.0)
    yield _lever(f"{key}.alpha", "Alpha acids", hop.alpha.text if hop.alpha else "",
                 stands_for=f"{percent:.1f} %", group=group,
                 slider=Slider(0.5, max(22.0, percent), 0.1, percent, "{} %"))  # fmt: skip
    ways = (("free", "free"), ("bag", "in a bag"), ("mesh", "in a mesh basket"))
    yield _lever(f"{key}.held", "Held", hop.held, choices=ways, group=group)


def _moment(hop: Hop, us: bool, boil_min: float) -> Slider | None:
    """How the moment of a dose slides; moments that are words do not."""
    when = hop.when
    if isinstance(when, BeforeHeatOff):
        before_min = when.before_min
        return Slider(0.0, max(boil_min, before_min), 1.0, before_min, "{} min")
    if isinstance(when, IntoRest):
        return Slider(0.0, max(60.0, when.into_min), 1.0, when.into_min, "{} min into rest")
    if isinstance(when, Below):
        low, high, unit = (70.0, 210.0, "F") if us else (20.0, 99.0, "C")
        below = shown_in(when.below_c, "temperature", unit)
        return _slider(low, high, 1.0, below, f"below {{}} {unit}")
    return None


def _moment_said(hop: Hop, us: bool) -> str:
    when = hop.when
    if not isinstance(when, Below):
        return when.said
    unit = "F" if us else "C"
    below = f"{shown_in(when.below_c, 'temperature', unit):.1f}".removesuffix(".0")
    return f"below {below} {unit}"


def edits_of(lever: Lever, typed: str) -> list[Edit]:
    """Return what to change in the document so that a lever says what was typed."""
    typed = " ".join(typed.split())
    if typed == lever.text or typed == lever.said:
        return []
    if lever.key == "recipe.chill.way":
        return [Edit(("chill",), _way_values(typed))]
    *at, field = lever.at
    values: dict[str, str | None] = {str(field): typed or None}
    if lever.key == "day.tap" and not lever.text:
        # A measured tap takes the place of the climate it was worked out from.
        values = {"climate": None, **values}
    return [Edit(tuple(at), values)]


def _way_values(typed: str) -> dict[str, str | None]:
    values: dict[str, str | None] = dict.fromkeys(WAY_FIELDS)
    word, _, rest = typed.partition(" ")
    if word == "with":
        name, _, how = rest.rpartition(" ")
        if how in WAYS:
            values |= {"with": name, "how": how}
        else:
            values["with"] = rest
    elif word == "in":
        values["in"] = rest
    else:
        values["at"] = rest if word == "at" else typed
    return values
