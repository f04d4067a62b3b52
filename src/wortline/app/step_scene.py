"""What the words of a step are made from: a moment, its acts, and the numbers of a phase."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypeAlias

from wortline.units import glued

Report = dict[str, Any]
Say = Callable[..., str]
BLANK = "______"
MEASURED = glued(f"Measured: {BLANK}")


@dataclass(frozen=True)
class Step:
    """One step of the day; the cautions are said before its first act."""

    clock: str
    cautions: tuple[str, ...]
    acts: tuple[str, ...]


Timed: TypeAlias = tuple[float, Step]
"""The moment of a step, and the step."""


def clock(minute_min: float) -> str:
    """Hours and minutes since the day began."""
    whole = round(minute_min)
    return f"{whole // 60}:{whole % 60:02d}"


@dataclass(frozen=True)
class Scene:
    """What the words of a phase may need."""

    report: Report
    rows: dict[str, Report]
    phase: Report
    turn: int
    spoken: Say

    def cold(self, step: str) -> str:
        """Cold litres at a step."""
        return glued(f"{self.spoken(self.rows[step]['cold_l'], 'volume')} cold")

    def hot(self, step: str) -> str:
        """Hot litres at a step."""
        return glued(f"{self.spoken(self.rows[step]['hot_l'], 'volume')} hot")

    def mark(self, step: str) -> str:
        """Height at a step."""
        mark_cm = self.rows[step]["mark_cm"]
        height = self.spoken(None if mark_cm is None else mark_cm / 100.0, "length")
        return glued(f"mark {height}")

    def row_temp(self, step: str) -> str:
        """The temperature at a step."""
        return self.spoken(self.rows[step]["temp_c"], "temperature")

    def temp(self, key: str) -> str:
        """A temperature of the phase."""
        return self.spoken(self.phase[key], "temperature")

    def gravity(self, key: str) -> str:
        """A gravity of the plan."""
        value = self.report["gravity"][key]
        return "unknown" if value is None else f"{value:.3f}"

    @property
    def minutes(self) -> str:
        """Length of the phase."""
        return glued(f"{self.phase['end_min'] - self.phase['start_min']:.0f} min")
