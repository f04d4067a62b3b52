"""A wish that physics refuses, with the bound and the nearest plan that works."""

from dataclasses import dataclass

from wortline.plan.brew import Brew
from wortline.plan.brew_day import BrewDay
from wortline.plan.cold_side import ColdSide
from wortline.plan.loss_curve import LidCurves
from wortline.units import say


@dataclass(frozen=True)
class Change:
    """One field of one document set to another value."""

    document: str
    field: str
    value: str


@dataclass(frozen=True)
class Nearest:
    """The nearest plan that works, in words and as changes to the documents."""

    text: str
    changes: tuple[Change, ...]


@dataclass(frozen=True)
class Cant:
    """A wish that cannot be met: what was wanted, what the limit is, what would work."""

    code: str
    text: str
    wanted: float
    limit: float
    unit: str
    nearest: Nearest


@dataclass(frozen=True)
class Ground:
    """What the checks look at: the central day and how to say numbers."""

    day: BrewDay
    cold: ColdSide
    curves: LidCurves
    system: str
    grist_times: float = 1.0

    @property
    def brew(self) -> Brew:
        """The numbers of the day."""
        return self.day.brew

    def say(self, value: float, kind: str) -> str:
        """A number as the person reads it."""
        return say(float(value), kind, self.system)


def in_recipe(field: str, value: str) -> Change:
    """One field of the recipe set to another value."""
    return Change("recipe", field, value)
