"""The shipped example, opened once, and its day drawn for any number of members."""

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from wortline.app.files import File, opened
from wortline.app.resolve import resolve
from wortline.documents import Day, Recipe, Rig
from wortline.plan.aim import Aim, Fitted, fit
from wortline.plan.brew import Brew
from wortline.plan.case import Case
from wortline.plan.loss_curve import LidCurves, loss_curves

ROOT = Path(__file__).resolve().parents[1]
RECIPE, RIG, DAY = (f"examples/{name}.yaml" for name in ("rainday-pale", "shed-45", "cool-march"))
METHOD = "kinetic"


@dataclass(frozen=True)
class Scene:
    """A case with what it aims at, and the day that meets it."""

    case: Case
    aim: Aim
    curves: LidCurves
    fitted: Fitted

    def unswirled(self) -> Case:
        """The same case on a rig of which no whirlpool is worked out."""
        assemble = self.case.assemble
        return Case(self.case.inputs, lambda values: replace(assemble(values), swirl=None))

    def members(self, count: int) -> Brew:
        """The fitted day with everything uncertain drawn, the same draws at every run."""
        draws = np.random.default_rng(20).standard_normal((count, 96))
        return self.fitted.case.drawn(draws)[0]


def scene() -> Scene:
    """The example's documents, resolved and fitted."""

    def document(path: str) -> object:
        return opened(File(path, (ROOT / path).read_bytes()))

    recipe, rig, day = document(RECIPE), document(RIG), document(DAY)
    if not (isinstance(recipe, Recipe) and isinstance(rig, Rig) and isinstance(day, Day)):
        raise TypeError("the example's documents are not a recipe, a rig and a day")
    resolved = resolve(recipe, rig, day)
    curves = loss_curves(resolved.case.central)
    fitted = fit(resolved.case, curves, METHOD, resolved.aim)
    return Scene(resolved.case, resolved.aim, curves, fitted)
