"""Where a difference sits: volume and gravity together tell water from sugar from wort.

Water that is missing leaves the extract as it was; sugar that is missing leaves the litres; wort
that is missing leaves the strength. Each explains a line in the plane of relative litres and
relative strength. The one closest to what was read, counted in how well each can be read, is named;
where two are about as close, both are.
"""

from dataclasses import dataclass
from math import hypot, log

from wortline.science.extract import extract_kg
from wortline.science.mending import wort_kg
from wortline.science.standards import COLD_C
from wortline.science.water import density_kg_m3, expansion

VOLUME_SPREAD = 0.02
"""How well litres are read off a kettle: about 2 % (common practice, no source)."""
STRENGTH_SPREAD = 0.015
"""How well a strength is read: about 0.2 degP in 12 (common practice, no source)."""
FAR = 2.0
"""Beyond so many spreads an explanation does not hold."""
MEANS = {
    "as planned": "Both are as planned, within what can be read.",
    "water missing": "Water is missing: the extract is there, in fewer litres.",
    "water too much": "There is too much water: the extract is there, in more litres.",
    "sugar missing": "Sugar is missing: the litres are there, but weaker.",
    "sugar too much": "There is more sugar than planned: the litres are there, and stronger.",
    "wort missing": "Wort is missing: the strength is right, in fewer litres.",
    "wort too much": "There is more wort than planned, at the right strength.",
    "both": "Litres and extract are both off, and neither by itself explains it.",
    "reading wrong": "One of the readings must be wrong: there cannot be that much extract.",
    "mark read hot": "Hot litres were perhaps taken for cold ones: the strength is right, and the"
    " litres are as much too many as wort swells.",
}


@dataclass(frozen=True)
class Miss:
    """What volume and gravity together say."""

    codes: tuple[str, ...]
    text: str
    planned_l: float
    planned_plato: float
    read_l: float
    read_plato: float
    water_l: float
    extract_kg: float
    wort_l: float
    distances: dict[str, float]


def told_apart(
    planned_l: float,
    planned_plato: float,
    read_l: float,
    read_plato: float,
    malt_holds_kg: float | None = None,
    hot_c: float | None = None,
) -> Miss:
    """Say where the difference between plan and reading sits; litres are cold.

    `malt_holds_kg` is all the extract the grist has; `hot_c` how hot the wort was, where litres
    were said to be cold ones. `water_l` and `extract_kg` of the answer are what would have to come
    in to be at the plan in both, negative where it would have to go.
    """
    litres, strength = log(read_l / planned_l), log(read_plato / planned_plato)
    off_l, off_p = litres / VOLUME_SPREAD, strength / STRENGTH_SPREAD
    # Water gone: strength rises as litres fall. In spreads, the line runs along this direction.
    along_l, along_p = 1.0 / VOLUME_SPREAD, -1.0 / STRENGTH_SPREAD
    across = abs(off_l * along_p - off_p * along_l) / hypot(along_l, along_p)
    distances = {
        "as planned": hypot(off_l, off_p),
        "water": across,
        "sugar": abs(off_l),
        "wort": abs(off_p),
    }
    here_kg, wanted_kg = _extract_kg(read_l, read_plato), _extract_kg(planned_l, planned_plato)
    water_kg = (wort_kg(planned_l, planned_plato) - wanted_kg) - (
        wort_kg(read_l, read_plato) - here_kg
    )
    codes = _codes(distances, litres, strength)
    if malt_holds_kg is not None and here_kg > malt_holds_kg:
        codes = ("reading wrong",)
    elif hot_c is not None and "wort too much" in codes and _swollen(litres, hot_c):
        codes = ("mark read hot", *codes)
    return Miss(
        codes=codes,
        text=" Or: ".join(MEANS[code] for code in codes),
        planned_l=planned_l,
        planned_plato=planned_plato,
        read_l=read_l,
        read_plato=read_plato,
        water_l=float(water_kg) / float(density_kg_m3(COLD_C)) * 1000.0,
        extract_kg=wanted_kg - here_kg,
        wort_l=planned_l - read_l,
        distances=distances,
    )


def _extract_kg(litres: float, plato: float) -> float:
    return float(extract_kg(litres, plato))


def _codes(distances: dict[str, float], litres: float, strength: float) -> tuple[str, ...]:
    if distances["as planned"] <= FAR:
        return ("as planned",)
    likely = sorted((each, name) for name, each in distances.items() if name != "as planned")
    near = [name for each, name in likely if each <= FAR and each <= likely[0][0] + 1.0]
    less = {"water": litres < 0.0, "sugar": strength < 0.0, "wort": litres < 0.0}
    named = tuple(f"{name} {'missing' if less[name] else 'too much'}" for name in near)
    return named or ("both",)


def _swollen(litres: float, hot_c: float) -> bool:
    return abs(litres - log(float(expansion(hot_c)))) <= VOLUME_SPREAD
