"""Best of five, as processor time and on the clock, each held against a budget."""

import resource
import subprocess
import time
from collections.abc import Callable
from dataclasses import dataclass

TRIES = 5
PATIENCE = 2.0
"""A budget is failed at this many times its number: a busy machine must not look like slow code."""


@dataclass(frozen=True)
class Took:
    """The best of several tries: time of the processor and time on the clock [s]."""

    cpu_s: float
    wall_s: float

    @property
    def judged_s(self) -> float:
        """The smaller of the two [s].

        What else the machine does stretches the clock; a second thread that waits, as those of
        numpy do while it starts, adds to the processor's time.
        """
        return min(self.cpu_s, self.wall_s)


@dataclass(frozen=True)
class Line:
    """One line of the table: what was measured, what it came to, and what it may come to."""

    what: str
    measured: str
    times_calibration: str
    budget: str
    share: float

    @property
    def verdict(self) -> str:
        """How the measurement stands to its budget."""
        if self.share <= 1.0:
            return "within"
        return "over" if self.share <= PATIENCE else "FAILED"


def best(act: Callable[[], object], tries: int = TRIES) -> Took:
    """Time an act in this process."""
    return _best_of(act, time.process_time, tries)


def best_process(words: list[str], tries: int = TRIES) -> Took:
    """Time a whole process, from its start to its end."""

    def act() -> None:
        subprocess.run(words, check=True, stdout=subprocess.DEVNULL)

    return _best_of(act, _children_s, tries)


def _children_s() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def _best_of(act: Callable[[], object], cpu_s: Callable[[], float], tries: int) -> Took:
    took = []
    for _ in range(tries):
        cpu_from, wall_from = cpu_s(), time.perf_counter()
        act()
        took.append((cpu_s() - cpu_from, time.perf_counter() - wall_from))
    return Took(min(cpu for cpu, _ in took), min(wall for _, wall in took))


def timed(what: str, took: Took, calibration: Took, budget_s: float | None = None) -> Line:
    """A line for a time; without a budget it is for information."""
    return Line(
        what,
        f"{1e3 * took.cpu_s:.1f} ms cpu, {1e3 * took.wall_s:.1f} ms clock",
        f"{took.judged_s / calibration.judged_s:.2f}",
        "" if budget_s is None else f"{1e3 * budget_s:.0f} ms",
        0.0 if budget_s is None else took.judged_s / budget_s,
    )
