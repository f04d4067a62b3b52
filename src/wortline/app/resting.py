"""The trade of the rest: what every length of rest costs and brings, as plain values."""

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any

from wortline.app.files import File
from wortline.app.planning import Planned, plan_brew
from wortline.app.tables import normal_draws
from wortline.plan.rest_report import rest_report, trade_of
from wortline.units import say

if TYPE_CHECKING:
    from wortline.plan.rest_trade import RestTrade

PUMP_ON_C = 90.0
"""A pump that sucks boiling wort makes steam; by 90 C there is suction head (common practice)."""


@dataclass(frozen=True)
class Resting:
    """A plan, the trade of its rest, and the same as plain values."""

    planned: Planned
    trade: "RestTrade"
    report: dict[str, Any]


def resting(
    recipe_file: File,
    rig_file: File,
    day_file: File | None,
    method: str = "kinetic",
    system: str = "metric",
    pump_on_c: float = PUMP_ON_C,
) -> Resting:
    """Weigh every length of rest, with the plan it belongs to.

    Raises
    ------
    DocumentRefused
        With every problem of all files at once.
    """
    planned = plan_brew(recipe_file, rig_file, day_file, method=method, system=system)
    trade = trade_of(planned.plan, pump_on_c, partial(say, system=system), normal_draws())
    return Resting(planned, trade, rest_report(planned.report, planned.plan, trade))
