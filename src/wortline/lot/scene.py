"""What the steps of a phase are made from, and how its numbers are said."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from wortline.lot.day import Ask, Due, Phase, Step
from wortline.units import say

Report = Mapping[str, Any]


@dataclass(frozen=True)
class Scene:
    """What the steps of a phase are made from."""

    report: Report
    rows: Mapping[str, Report]
    phase: Phase
    turn: int
    system: str

    def spoken(self, value: float | None, kind: str) -> str:
        """A value as people read it."""
        return "unknown" if value is None else say(value, kind, self.system)

    def litres(self, row: str, which: str = "cold") -> str:
        """Litres of the ledger, hot or cold said with them."""
        return f"{self.spoken(self.rows[row][f'{which}_l'], 'volume')} {which}"

    def mark(self, row: str) -> str:
        """The height of a row in the kettle."""
        mark_cm = self.rows[row]["mark_cm"]
        return f"mark {self.spoken(None if mark_cm is None else mark_cm / 100.0, 'length')}"

    def temp(self, value_c: float | None) -> str:
        """A temperature."""
        return self.spoken(value_c, "temperature")

    def ranged(self, key: str) -> tuple[float | None, float | None]:
        """The range of a headline number."""
        spread = self.report["ranges"].get(key)
        return (spread["low"], spread["high"]) if spread else (None, None)

    def step(self, slug: str, text: str, **more: Any) -> Step:
        """A step of this phase."""
        return Step(f"{self.phase.id}/{slug}", self.phase.id, text, **more)

    def after_min(self, minutes: float | None) -> Due | None:
        """So many minutes after this phase began."""
        return None if minutes is None else Due(self.phase.id, "begun", minutes)

    @property
    def end(self) -> Due | None:
        """When this phase ends by the plan."""
        return self.after_min(self.phase.planned_min)

    @property
    def minutes(self) -> str:
        """How long this phase lasts by the plan."""
        return self.spoken(self.phase.planned_min, "time")

    def gravity(self, of: str) -> tuple[str, Ask]:
        """A gravity of the plan in words, and the question for it."""
        planned = self.report["gravity"][f"{of}_sg"]
        low, high = self.ranged(f"gravity.{of}_sg")
        said = "unknown" if planned is None else f"{planned:.3f}"
        return said, Ask(of, "gravity", planned, low, high)
