"""The day a lot goes by: phases and steps, frozen when the lot starts, with their alarms.

A step's moment is given as so many minutes after another phase began or ended, so that a device can
work its alarms out by itself from the record.
"""

from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from functools import cached_property
from typing import Any, Literal, TypeAlias

Stage: TypeAlias = Literal["set up", "brew", "put away"]
Chemical: TypeAlias = Literal["", "acid", "chlorine or caustic", "rinse"]
SCHEMA = "deck/1"


@dataclass(frozen=True)
class Due:
    """A moment: so many minutes after a phase began or ended.

    Where it ends what another step began (`since`), it comes `since_min` after that was done.
    """

    after: str
    edge: Literal["begun", "ended"]
    plus_min: float
    since: str = ""
    since_min: float = 0.0


@dataclass(frozen=True)
class Ask:
    """A number to read: what of, its quantity, what the plan says, and the plan's range.

    `on_sheet` says whether the printed sheet has a blank for it.
    """

    of: str
    quantity: str
    planned: float | None = None
    low: float | None = None
    high: float | None = None
    hot: bool = False
    on_sheet: bool = True


@dataclass(frozen=True)
class Step:
    """One thing to do: one touch. `safety` is said before it; `needs` have to be done first.

    `turns` are acts of the hand: what kind, which part, to what. `surface` is a part and what it
    becomes; `marks` are the parts that have earned their clean mark once it is done.
    """

    id: str
    phase: str
    text: str
    safety: str = ""
    ask: Ask | None = None
    due: Due | None = None
    dose: str = ""
    meanwhile: bool = False
    needs: tuple[str, ...] = ()
    chemical: Chemical = ""
    turns: tuple[tuple[str, str, str], ...] = ()
    surface: tuple[str, str] = ("", "")
    marks: tuple[str, ...] = ()


@dataclass(frozen=True)
class Phase:
    """One phase: its name, how long the plan gives it, how everything stands in it."""

    id: str
    name: str
    words: str
    stage: Stage
    planned_min: float | None
    start_c: float | None = None
    end_c: float | None = None
    lineup: Mapping[str, Any] | None = None


@dataclass(frozen=True)
class Alarm:
    """Something to be told at a moment, whatever is on the screen."""

    id: str
    text: str
    due: Due


@dataclass(frozen=True)
class Day:
    """All phases and steps of a lot, in order."""

    phases: tuple[Phase, ...]
    steps: tuple[Step, ...]

    @cached_property
    def phase(self) -> Mapping[str, Phase]:
        """Phases by id."""
        return {each.id: each for each in self.phases}

    @cached_property
    def step(self) -> Mapping[str, Step]:
        """Steps by id."""
        return {each.id: each for each in self.steps}

    def of_phase(self, phase: str) -> tuple[Step, ...]:
        """The steps of a phase, in order."""
        return tuple(each for each in self.steps if each.phase == phase)

    def named(self, name: str) -> tuple[Phase, ...]:
        """The phases of a name: there may be two mash rests."""
        return tuple(each for each in self.phases if each.name == name)


def chemistry_clash(day: Day) -> Iterator[str]:
    """Where an acid meets chlorine or caustic without a rinse in between; a sentence for each."""
    last: Step | None = None
    for step in day.steps:
        if not step.chemical:
            continue
        if step.chemical == "rinse":
            last = None
            continue
        if last and last.chemical != step.chemical:
            yield (
                f"`{step.id}` ({step.chemical}) follows `{last.id}` ({last.chemical}) without a"
                " rinse: together they can give off chlorine or spit. Rinse with water first."
            )
        last = step


def day_values(day: Day) -> dict[str, Any]:
    """The day as plain values."""
    return {"schema": SCHEMA, **asdict(day)}


def read_day(values: Mapping[str, Any]) -> Day:
    """The day from plain values, as `day_values` made them."""
    return Day(
        phases=tuple(Phase(**each) for each in values["phases"]),
        steps=tuple(_read_step(each) for each in values["steps"]),
    )


def _read_step(values: Mapping[str, Any]) -> Step:
    ask, due = values["ask"], values["due"]
    return Step(
        **{
            **values,
            "ask": Ask(**ask) if ask else None,
            "due": Due(**due) if due else None,
            "needs": tuple(values["needs"]),
            "marks": tuple(values.get("marks", ())),
            "turns": tuple((act, part, to) for act, part, to in values["turns"]),
            "surface": (values["surface"][0], values["surface"][1]),
        }
    )
