"""The chillers of a rig in numbers: from their reading, as typed, or typical of their kind."""

from typing import Any, NamedTuple

from wortline.app.files import File
from wortline.app.tables import toml
from wortline.documents.chiller import Chiller as ChillerDocument
from wortline.documents.chiller import Reading
from wortline.documents.quantity import nearest
from wortline.documents.reading import read
from wortline.documents.recipe import Recipe
from wortline.documents.rig import Rig
from wortline.errors import Problem
from wortline.plan.brew import RigChiller
from wortline.science.chiller import (
    PLATES_EXPONENT,
    TUBES_EXPONENT,
    Chiller,
    ua_of_reading_w_k,
)

READING_SPREAD = 0.10
"""Of a conductance read off once, energies of both sides closing within 10 % (practice)."""
THERMOMETER_DK = 0.5
"""What a kitchen thermometer may be off (common practice, no source)."""
TELLS_LITTLE = 0.25
TYPED_SPREAD = 0.15
# Round a coil the wort resists most; the water inside takes about a third (guess).
COIL_WATER_SHARE = 0.3


class Known(NamedTuple):
    """A conductance, its spread as a share, and where it is from."""

    ua_w_k: float
    spread: float
    source: str


def rig_chillers(rig: Rig) -> tuple[RigChiller, ...]:
    """Return what can be said of each chiller; those of the plumbing where none are listed."""
    listed = rig.chillers or tuple(
        ChillerDocument.model_validate({"name": part.name, "kind": part.form or "plate"})
        for part in (rig.plumbing.parts if rig.plumbing else ())
        if part.kind == "chiller"
    )
    return tuple(_numbers(each) for each in listed)


def typical_chiller() -> RigChiller:
    """Return a plate chiller of which nothing is known."""
    return _numbers(ChillerDocument.model_validate({"name": "plate", "kind": "plate"}))


def _numbers(each: ChillerDocument) -> RigChiller:
    reading, coil = each.reading, each.kind == "immersion"
    wort = each.wort or (reading and reading.wort)
    water = each.water or (reading and reading.water)
    wort_l_min = wort.value if wort else _typical("chiller.wort")["value"]
    water_l_min = water.value if water else _typical("chiller.water")["value"]
    known = _known(each)
    return RigChiller(
        name=each.name,
        kind=each.kind,
        chiller=Chiller(
            known.ua_w_k,
            reading.wort.value if reading else wort_l_min,
            reading.water.value if reading else water_l_min,
            wort_l_min,
            water_l_min,
            PLATES_EXPONENT if each.kind == "plate" else TUBES_EXPONENT,
            0.0 if coil else 0.5,
            COIL_WATER_SHARE if coil else 0.5,
        ),
        spread=known.spread,
        source=known.source,
        stirred=each.stirred != "no",
    )


def _known(each: ChillerDocument) -> Known:
    if each.reading:
        return _read(each.reading)
    if each.ua:
        spread = each.ua.spread
        share = TYPED_SPREAD if spread is None else spread / each.ua.value
        return Known(each.ua.value, share, "as typed")
    still = each.kind == "immersion" and each.stirred == "no"
    row = _typical(f"chiller.{'immersion_still' if still else each.kind}")
    return Known(row["value"], row["spread"] / row["value"], "typical of its kind, a guess")


def _read(reading: Reading) -> Known:
    """What a reading tells; little where the wort leaves about as cold as the water comes."""
    ua_w_k = reading.ua_w_k
    warmer_w_k = ua_of_reading_w_k(
        reading.wort_in.value,
        min(reading.wort_out.value + THERMOMETER_DK, reading.wort_in.value),
        reading.wort.value,
        reading.water.value,
        reading.water_in.value,
    )
    spread = max(READING_SPREAD, 1.0 - float(warmer_w_k) / ua_w_k)
    source = "from its reading"
    if spread > TELLS_LITTLE:
        source += ", which tells little: the wort left about as cold as the water came"
    return Known(ua_w_k, spread, source)


def _typical(name: str) -> Any:
    return toml("typical.toml")[name]


def chill_problems(recipe: Recipe, rig: Rig, recipe_file: File) -> list[Problem]:
    """Return what is wrong between a recipe's chill and the rig's chillers."""
    wish = recipe.chill
    if wish.chiller is None:
        return []
    known = {unit.name: unit for unit in rig_chillers(rig)}

    def problem(key: str, value: str, allowed: str, text: str, near: str = "") -> list[Problem]:
        line = read(recipe_file.name, recipe_file.content).line(("chill", key))
        field = f"chill.{key}"
        return [Problem(recipe_file.name, line, field, value, allowed, near, text)]

    if wish.chiller not in known:
        names = ", ".join(known)
        near = nearest(wish.chiller, tuple(known))
        text = f"`{wish.chiller}` is no chiller of this rig; " + (
            f"did you mean `{near}`?" if near else f"it has {names}" if names
            else "write it under `chillers` there, such as `- {name: plate, kind: plate}`"
        )  # fmt: skip
        return problem("with", wish.chiller, names, text, near)
    coil = known[wish.chiller].kind == "immersion"
    ways = "one-pass, circulate or two-stage"
    if coil and wish.how:
        text = f"`{wish.how}` needs wort pumped through the chiller, and `{wish.chiller}` is a coil"
        return problem("how", wish.how, "nothing", f"{text}; leave `how` out")
    if not coil and wish.how is None:
        text = f"does not say how `{wish.chiller}` is run; write `how: ` {ways}"
        return problem("with", wish.chiller, ways, text)
    return []
