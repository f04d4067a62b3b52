"""Plan a brew from three files' contents: what both faces call."""

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from wortline.app.chillers import chill_problems
from wortline.app.files import File, opened
from wortline.app.resolve import Resolved, resolve
from wortline.app.tables import normal_draws, toml
from wortline.documents.day import Day
from wortline.documents.recipe import Recipe
from wortline.documents.rig import Rig
from wortline.errors import DocumentRefused, Problem
from wortline.plan.notes import Note
from wortline.plan.plan import Plan, plan
from wortline.plan.report import report
from wortline.units import say

if TYPE_CHECKING:
    from wortline.plan.line_ups import Piping

# What a coil of some 10 m of tube shows from the side (guess, as in the table of typical values).
COIL_M2 = 0.04


@dataclass(frozen=True)
class Planned:
    """A plan, and the same as plain values."""

    plan: Plan
    report: dict[str, Any]


def plan_brew(
    recipe_file: File,
    rig_file: File,
    day_file: File | None,
    method: str = "kinetic",
    system: str = "metric",
) -> Planned:
    """Plan the day that these documents mean.

    Raises
    ------
    DocumentRefused
        With every problem of all files at once.
    """
    problems: list[Problem] = []
    recipe = _loaded(recipe_file, "recipe", problems)
    rig = _loaded(rig_file, "rig", problems)
    day = _loaded(day_file, "day", problems) if day_file else None
    if recipe and rig:
        problems += chill_problems(recipe, rig, recipe_file)
    if problems:
        raise DocumentRefused(problems)
    return plan_documents(recipe, rig, day, method, system)


def plan_documents(
    recipe: Recipe,
    rig: Rig,
    day: Day | None,
    method: str = "kinetic",
    system: str = "metric",
    whole: bool = True,
) -> Planned:
    """Plan the day that documents mean which have passed the door.

    What is not `whole` lacks what takes the longest: the whirlpool, the line-ups, and the other
    ways to hold the hops and to chill.
    """
    resolved = resolve(recipe, rig, day)
    worked = plan(
        resolved.case,
        resolved.aim,
        normal_draws(),
        toml("trust.toml"),
        method,
        system,
        _piping(resolved),
        whole,
    )
    told = (*_hold_up_note(resolved, rig, system), *_coil_note(resolved, recipe, system))
    worked = replace(worked, notes=[*resolved.assumed, *told, *worked.notes])
    names = {
        "name": recipe.name,
        "rig": rig.name,
        "day": day.name if day else None,
        "yeast": recipe.yeast.kind,
    }
    return Planned(worked, report(worked, names))


def _piping(resolved: Resolved) -> "Piping | None":
    if resolved.network is None:
        return None
    # Loads the graph library, for such rigs alone.
    from wortline.app.piping import limits_at
    from wortline.plan.line_ups import Piping

    limits = limits_at(float(resolved.case.central.air.pressure_kpa))
    return Piping(resolved.network, limits)


def _hold_up_note(resolved: Resolved, rig: Rig, system: str) -> tuple[Note, ...]:
    """Say where the hold-up comes from if not from its own line of the rig."""
    each = resolved.case.inputs["rig.hold_up"]
    if each.text == rig.hold_up.text:
        return ()
    text = (
        f"{say(each.value, 'volume', system)} stay in the line, added up from the parts of the"
        f" plumbing; the rig's own hold_up, {rig.hold_up.text}, is left aside."
    )
    return (Note("hold-up-from-parts", "note", text),)


def _coil_note(resolved: Resolved, recipe: Recipe, system: str) -> tuple[Note, ...]:
    """Ask for the coil's size where it may hang in a swirl that is taken to meet nothing."""
    brew, way = resolved.case.central, resolved.case.central.chill.way
    units = (way.unit,) if way else brew.chillers
    given = resolved.case.inputs.get("rig.swirl.obstacle")
    is_pumped = recipe.whirlpool is not None and float(brew.pump_min) > 0.0
    if not is_pumped or given is None or given.trust == "typed" or given.value > 0.0:
        return ()
    if not units or any(unit.kind != "immersion" for unit in units):
        return ()
    text = (
        f"The whirlpool is worked out with nothing in its way. If `{units[0].name}` hangs in the"
        " wort while you pump, write what it shows to the turning wort, height by width of all its"
        f" coils, under `swirl` of the rig: `obstacle: {say(COIL_M2, 'area', system)}` is usual."
    )
    return (Note("coil-in-the-swirl", "warn", text),)


def _loaded(file: File, kind: Any, problems: list[Problem]) -> Any:
    try:
        return opened(file, kind)
    except DocumentRefused as refusal:
        problems.extend(refusal.problems)
        return None
