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

    What is not `whole` lacks the whirlpool and the line-ups, which take the longest.
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
    told = _hold_up_note(resolved, rig, system)
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


def _loaded(file: File, kind: Any, problems: list[Problem]) -> Any:
    try:
        return opened(file, kind)
    except DocumentRefused as refusal:
        problems.extend(refusal.problems)
        return None
