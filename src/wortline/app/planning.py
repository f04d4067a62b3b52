"""Plan a brew from three files' contents: what both faces call."""

from dataclasses import dataclass, replace
from typing import Any

from wortline.app.files import File, opened
from wortline.app.resolve import resolve
from wortline.app.tables import normal_draws, toml
from wortline.errors import DocumentRefused, Problem
from wortline.plan.plan import Plan, plan
from wortline.plan.report import report


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
    if problems:
        raise DocumentRefused(problems)
    resolved = resolve(recipe, rig, day)
    worked = plan(resolved.case, resolved.aim, normal_draws(), toml("trust.toml"), method, system)
    worked = replace(worked, notes=[*resolved.assumed, *worked.notes])
    names = {
        "name": recipe.name,
        "rig": rig.name,
        "day": day.name if day else None,
        "yeast": recipe.yeast.kind,
    }
    return Planned(worked, report(worked, names))


def _loaded(file: File, kind: Any, problems: list[Problem]) -> Any:
    try:
        return opened(file, kind)
    except DocumentRefused as refusal:
        problems.extend(refusal.problems)
        return None
