"""The rest of a recipe otherwise than written: with another lid, or pumped for longer."""

from collections.abc import Mapping
from functools import lru_cache

from wortline.app.changing import Edit, Unchangeable, changed
from wortline.app.files import File
from wortline.app.resting import PUMP_ON_C, Resting, resting
from wortline.documents.quantity import Measure
from wortline.errors import DocumentRefused, Problem

PUMP_ON = Measure("temperature", 40.0, 100.0, example="90 C")
PUMP = Measure("time", 0.0, 240.0, example="4 min")
LIDS = ("on", "off")


def rest_so(
    recipe_file: File,
    rig_file: File,
    day_file: File | None = None,
    choices: Mapping[str, str] | None = None,
    system: str = "metric",
    method: str = "kinetic",
) -> Resting:
    """Weigh the rest of a recipe with choices in place of what it says.

    Parameters
    ----------
    recipe_file, rig_file, day_file
        The documents.
    choices
        `lid` (``on`` or ``off``), `pump` (a time) and `pump_on` (a temperature), each as typed;
        what is left out is as the recipe says.
    system
        ``metric`` or ``us``, for the sentences.
    method
        How bitterness is worked out.

    Raises
    ------
    DocumentRefused
        With every problem of the choices, or of the documents.
    """
    said = {key: text.strip() for key, text in (choices or {}).items() if text.strip()}
    pump_on_c = _checked(said)
    return _rested(
        otherwise(recipe_file, said.get("lid"), said.get("pump")), rig_file, day_file, pump_on_c,
        system, method,
    )  # fmt: skip


@lru_cache(maxsize=24)
def _rested(
    recipe_file: File, rig_file: File, day_file: File | None, pump_on_c: float, system: str,
    method: str,
) -> Resting:  # fmt: skip
    return resting(recipe_file, rig_file, day_file, method, system, pump_on_c)


def otherwise(recipe_file: File, lid: str | None, pump: str | None) -> File:
    """Return a recipe whose whirlpool has another lid or pump time; the file as it is if neither.

    Raises
    ------
    DocumentRefused
        If the recipe cannot be read or changed so.
    """
    changes = {key: value for key, value in (("lid", lid), ("pump", pump)) if value is not None}
    if not changes or recipe_file.trouble:
        return recipe_file
    try:
        text = changed(recipe_file.content.decode("utf-8"), [Edit(("whirlpool",), changes)])
    except Unchangeable as error:
        raise DocumentRefused([Problem(recipe_file.name, 0, "", "", "", "", str(error))]) from None
    return File(recipe_file.name, text.encode("utf-8"))


def _checked(said: Mapping[str, str]) -> float:
    """Return the temperature at which the pump goes on."""
    from pydantic_core import PydanticCustomError

    problems: list[Problem] = []
    pump_on_c = PUMP_ON_C
    for key, measure in (("pump", PUMP), ("pump_on", PUMP_ON)):
        if key not in said:
            continue
        try:
            value = measure.read(said[key]).value
        except PydanticCustomError as error:
            problems += [
                Problem("", 0, key, each.value or said[key], each.allowed, "", each.text)
                for each in (error.context or {})["faults"]
            ]
            continue
        if key == "pump_on":
            pump_on_c = value
    lid = said.get("lid", "off")
    if lid not in LIDS:
        text = f"`{lid}` is no lid; it is on or off"
        problems.append(Problem("", 0, "lid", lid, "on or off", "", text))
    if problems:
        raise DocumentRefused(problems)
    return pump_on_c
