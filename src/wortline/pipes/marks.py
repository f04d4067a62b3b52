"""Clean marks: what a circulating loop earns for each part it runs through, and what loses it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from wortline.pipes.graph import flow
from wortline.pipes.network import Network
from wortline.pipes.state import Limits, Setting
from wortline.science.sanitation import lethality_a0


@dataclass(frozen=True)
class Mark:
    """What a part has earned: heat dose, minutes at the heat that counts, contact with acid."""

    a0: float = 0.0
    hot_min: float = 0.0
    acid_min: float = 0.0
    cool_min: float = 0.0

    def word(self, limits: Limits) -> str:
        """Return how the part is clean: heat, acid or no."""
        if self.cool_min > limits.stagnant_min:
            return "no"
        if self.a0 >= limits.heat_mark_a0 or self.hot_min >= limits.heat_mark_min:
            return "heat"
        return "acid" if self.acid_min >= limits.acid_min else "no"

    def missing_min(self, return_c: float, limits: Limits) -> float:
        """Return how much circulation at a return temperature is still missing [min]."""
        if self.word(limits) != "no":
            return 0.0
        rate = float(lethality_a0(return_c, 1.0))
        by_dose = (limits.heat_mark_a0 - self.a0) / rate if rate > 0.0 else float("inf")
        by_time = (
            limits.heat_mark_min - self.hot_min if return_c >= limits.heat_mark_c else float("inf")
        )
        return min(by_dose, by_time)


@dataclass(frozen=True)
class Loop:
    """A loop circulated with wort or water: how long, and how warm at its coldest return."""

    setting: Setting
    time_min: float
    return_c: float


@dataclass(frozen=True)
class Contact:
    """Sanitiser that stood in or ran through some parts, as logged."""

    parts: tuple[str, ...]
    time_min: float


@dataclass(frozen=True)
class Opened:
    """A part that was opened, or drained to air."""

    part: str


@dataclass(frozen=True)
class Stood:
    """A wet part that stood still."""

    part: str
    time_min: float
    temp_c: float


Event = Loop | Contact | Opened | Stood
Marks = Mapping[str, Mark]


def marks(network: Network, events: Iterable[Event], limits: Limits) -> Marks:
    """Return the mark of every part after what happened, in order."""
    found = {name: Mark() for name in network.parts}
    for event in events:
        if isinstance(event, Loop):
            for name in flow(network, event.setting).parts:
                found[name] = _heated(found[name], event.time_min, event.return_c, limits)
        elif isinstance(event, Contact):
            for name in event.parts:
                mark = found[name]
                found[name] = replace(mark, acid_min=mark.acid_min + event.time_min, cool_min=0.0)
        elif isinstance(event, Opened):
            found[event.part] = Mark()
        elif event.temp_c < limits.stagnant_below_c:
            mark = found[event.part]
            found[event.part] = replace(mark, cool_min=mark.cool_min + event.time_min)
    return found


def _heated(mark: Mark, time_min: float, return_c: float, limits: Limits) -> Mark:
    lapsed = mark.cool_min > limits.stagnant_min
    start = Mark() if lapsed else replace(mark, cool_min=0.0)
    hot = return_c >= limits.heat_mark_c
    return replace(
        start,
        a0=start.a0 + float(lethality_a0(return_c, time_min)),
        # The five minutes are five in a row: a cooler spell begins them anew.
        hot_min=start.hot_min + time_min if hot else min(start.hot_min, _kept(start, limits)),
    )


def _kept(mark: Mark, limits: Limits) -> float:
    return mark.hot_min if mark.hot_min >= limits.heat_mark_min else 0.0


def words(found: Marks, limits: Limits) -> dict[str, str]:
    """Return the marks as a line-up's `clean` has them."""
    return {name: mark.word(limits) for name, mark in found.items()}


def lacking(network: Network, setting: Setting, found: Marks, limits: Limits) -> tuple[str, ...]:
    """Return the wetted parts of a setting that lack a mark, one by one."""
    return tuple(name for name in flow(network, setting).parts if found[name].word(limits) == "no")
