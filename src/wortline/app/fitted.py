"""What a plan makes of its levers: the dose that is fitted to an aim, the nearest plan to take."""

from collections.abc import Mapping

from wortline.app.levers import Lever
from wortline.app.planning import Planned
from wortline.plan.wish import Change
from wortline.units import say

SAME_SHARE = 0.005
"""A dose this near to what was typed is as typed."""


def fitted_in_words(planned: Planned, system: str) -> dict[str, str]:
    """Return, by the key of its lever, what a plan takes of a dose that it fits to its aim."""
    plan = planned.plan
    place, aimed_ibu = plan.fitted.dose, plan.aim.ibu
    if place is None or aimed_ibu is None:
        return {}
    dose = planned.report["bitterness"]["doses"][place]
    if dose["mass_kg"] is None:
        return {}
    takes = say(dose["mass_kg"], "mass", system)
    text = f"The plan takes {takes}, fitted to your aim of {aimed_ibu:g} IBU."
    if abs(plan.fitted.dose_times - 1.0) >= SAME_SHARE:
        text += " What you type here changes nothing while that aim stands in the recipe."
    return {f"recipe.hops.{place}.mass": text}


def taken(
    changes: tuple[Change, ...], levers: Mapping[str, Lever], scaled_grist: bool
) -> dict[str, str]:
    """Return the moves that take the nearest plan; none where levers alone do not lead there.

    Where the grist is scaled to an aim, its masses need no move of their own.
    """
    moves: dict[str, str] = {}
    for change in changes:
        key = f"{change.document}.{change.field}"
        if key in levers:
            moves[key] = change.value
        elif not (scaled_grist and key.startswith("recipe.grist.") and key.endswith(".mass")):
            return {}
    return moves
