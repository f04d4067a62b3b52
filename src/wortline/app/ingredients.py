"""Malts, hops and yeast of a recipe: typed numbers first, then what is typical of a known name."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from math import inf

from wortline.app.inputs import Inputs
from wortline.app.tables import Row, known, rows
from wortline.documents.quantity import Quantity, nearest
from wortline.documents.recipe import Hop, Recipe
from wortline.documents.recipe import Malt as MaltLine
from wortline.errors import Problem
from wortline.plan.aroma_line import FILM, PACE
from wortline.plan.aroma_ranges import OIL_MODEL
from wortline.plan.brew import Dose, Malt, Oil, Values
from wortline.science.aroma import FILM_LIMIT, FILM_SPREAD, PACE_SPREAD
from wortline.science.hop_ageing import PACKAGING_FACTOR, alpha_left
from wortline.science.real import Real

Path = tuple[str | int, ...]

WHOLLY_FERMENTED = 1.0 / 0.8192
"""Apparent attenuation of extract that ferments wholly: its real extract is nothing (Balling)."""

FERMENTABILITY = {"mash": None, "crystal": 0.525, "roast": 0.475, "sugar": WHOLLY_FERMENTED}
"""Fermentable share of extract that enzymes cannot split: 0.45-0.60 and 0.40-0.55, practice."""

PACKED = {"open": "open", "air": "sealed", "vacuum": "flushed"}
USUAL_LOSS = 0.35
"""Share of alpha acids lost in six months at 20 C where the variety is not known, practice."""


@dataclass(frozen=True)
class Missing:
    """A name that is not known, and the numbers it would have to bring."""

    path: Path
    value: str
    text: str
    allowed: str
    near: str


def unknown_names(
    missing: Iterable[Missing], file: str, line_of: Callable[[Path], int]
) -> list[Problem]:
    """The complaints about names that lack numbers, each on its line."""
    return [
        Problem(
            file,
            line_of(each.path),
            ".".join(str(part) for part in each.path),
            each.value,
            each.allowed,
            each.near,
            each.text,
        )
        for each in missing
    ]


def missing_names(recipe: Recipe) -> list[Missing]:
    """Malts and hops that are neither known nor given with every number they need."""
    found = []
    for index, line in enumerate(recipe.grist):
        if known("malts.csv", line.malt) is None:
            needs = {"extract": line.extract, "colour": line.colour}
            lacking = [word for word, quantity in needs.items() if quantity is None]
            found += _missing(("grist", index, "malt"), "malt", line.malt, lacking)
    for index, hop in enumerate(recipe.hops):
        if known("hops.csv", hop.hop) is None and hop.alpha is None:
            found += _missing(("hops", index, "hop"), "hop", hop.hop, ["alpha"])
    return found


def _missing(path: Path, kind: str, name: str, lacking: list[str]) -> list[Missing]:
    if not lacking:
        return []
    near = nearest(name, tuple(rows(f"{kind}s.csv")))
    hint = f"; did you mean `{near}`?" if near else ""
    wanted = " and ".join(lacking)
    text = f"`{name}` is no {kind} known here: give its {wanted}{hint}"
    return [Missing(path, name, text, f"a known {kind}, or any name with its {wanted}", near)]


def malt(inputs: Inputs, index: int, line: MaltLine) -> Callable[[Values], Malt]:
    """One line of the grist."""
    at = f"recipe.grist.{index}"
    row = known("malts.csv", line.malt)

    def number(field: str, quantity: Quantity | None, column: str, share: float, unit: str) -> str:
        name = f"{at}.{field}"
        if quantity is not None:
            return inputs.typed(name, quantity)
        if row is None:
            return inputs.usual(name, unit)
        high = 1.0 if unit == "-" else inf
        return inputs.from_row(name, row, column, share * float(row[column]), unit, high)

    mass = inputs.typed(f"{at}.mass", line.mass)
    extract = number("extract", line.extract, "extract_fraction", 0.015, "-")
    moisture = number("moisture", line.moisture, "moisture_fraction", 0.1, "-")
    colour = number("colour", line.colour, "colour_ebc", 0.15, "EBC")
    precursor = number("dms_precursor", line.dms_precursor, "dms_precursor_mg_kg", 0.3, "mg/kg")
    fermentability = FERMENTABILITY[row["fermentability"] if row else "mash"]
    return lambda values: Malt(
        line.malt,
        values[mass],
        values[extract],
        values[moisture],
        values[colour],
        values[precursor],
        fermentability,
    )


def dose(inputs: Inputs, index: int, hop: Hop) -> Callable[[Values], Dose]:
    """One addition of hops; alpha is as typed, less what it lost in store."""
    at = f"recipe.hops.{index}"
    row = known("hops.csv", hop.hop)
    mass = inputs.typed(f"{at}.mass", hop.mass)
    if hop.alpha is None and row is not None:
        span = float(row["alpha_high_fraction"]) - float(row["alpha_low_fraction"])
        alpha = inputs.from_row(f"{at}.alpha", row, "alpha_fraction", span / 4.0, "-", 0.35)
    elif hop.alpha is not None:
        alpha = inputs.typed(f"{at}.alpha", hop.alpha)
    left = left_of_harvest(hop, row)
    return lambda values: Dose(
        id=f"d{index + 1}",
        name=hop.hop,
        mass_kg=values[mass],
        alpha=values[alpha] * left,
        form=hop.form or "pellets",
        held=hop.held,
        when=hop.when,
        left_of_harvest=left,
        typed_when=hop.when.said,
    )


def left_of_harvest(hop: Hop, row: Row | None) -> float:
    """Share of its alpha acids that a hop kept in store still has [-]."""
    if hop.stored is None:
        return 1.0
    kept = (row or {}).get("kept_six_months_20_c_fraction", "")
    lost = 1.0 - float(kept) if kept else USUAL_LOSS
    factor = PACKAGING_FACTOR[PACKED[hop.stored.packed]]
    return float(alpha_left(lost, hop.stored.lasts.value, hop.stored.at.value, factor))


def oils() -> tuple[Oil, ...]:
    """Every class of hop oil, of a hop in general."""
    return tuple(
        Oil(
            row["name"],
            float(row["volatility_low"]),
            float(row["volatility"]),
            float(row["volatility_high"]),
            float(row["after_kettle_fraction"]) if row["after_kettle_fraction"] else None,
        )
        for row in _oil_rows()
    )


def _oil_rows() -> list[Row]:
    return list({row["name"]: row for row in rows("oils.csv").values()}.values())


def oil_shares(inputs: Inputs) -> Callable[[Values], dict[str, Real]]:
    """Where in their ranges the pace of extraction, the film and every volatility are taken."""
    told = {
        PACE: (
            f"1, may well be {1.0 / PACE_SPREAD:g} to {PACE_SPREAD:g}: times the usual pace at"
            " which oil leaves hops",
            "chosen: practice names a pace and no range, and twofold is how far levels go",
        ),
        FILM: (
            f"{FILM_LIMIT:g}, may well be {FILM_LIMIT / FILM_SPREAD:.0f} to"
            f" {FILM_LIMIT * FILM_SPREAD:.0f}: most that the way to the bubbles lets go",
            "Desobgo and others, 2015, JASBC 73: DMS left at 0.0143 to 0.0436 per min",
        ),
    }
    for row, oil in zip(_oil_rows(), oils(), strict=True):
        told[oil.name] = (
            f"{oil.volatility:g}, may well be {oil.volatility_low:g} to {oil.volatility_high:g}:"
            f" volatility of {oil.name} over water",
            f"{row['source']} ({row['mark']})",
        )
    names = {name: inputs.in_range(OIL_MODEL + name, *texts) for name, texts in told.items()}
    return lambda values: {name: values[each] for name, each in names.items()}


def attenuation(inputs: Inputs, recipe: Recipe) -> str:
    """What the yeast can reach: typed, typical of its kind, or a guess."""
    name = "recipe.yeast.attenuation"
    if recipe.yeast.attenuation is not None:
        return inputs.typed(name, recipe.yeast.attenuation)
    row = known("yeasts.csv", recipe.yeast.kind)
    if row is None:
        return inputs.usual(name, "-", 0.0, 1.0)
    low, high = float(row["attenuation_low_fraction"]), float(row["attenuation_high_fraction"])
    text = f"{50 * (low + high):g} %, typical of {row['name']}"
    return inputs.given(name, 0.5 * (low + high), (high - low) / 4.0, "typical", text, "-")
