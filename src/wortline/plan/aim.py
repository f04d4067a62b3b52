"""Fit to aim: scale the grist to the gravity and the earliest dose to the bitterness wanted."""

from dataclasses import dataclass

import numpy as np

from wortline.documents.words import DryHop
from wortline.plan.brew_day import BrewDay, brew_day, day_of_batch
from wortline.plan.case import Case
from wortline.plan.ledger import water_for_l
from wortline.plan.loss_curve import LidCurves
from wortline.science.extract import extract_kg, plato_from_sg

ROUNDS, PASSES = 4, 12
CLOSE = 1e-5
CLOSE_SG, CLOSE_IBU = 1e-6, 5e-3
MOST_TIMES = 30.0


@dataclass(frozen=True)
class Aim:
    """What the beer is meant to reach; None where nothing is asked."""

    original_sg: float | None = None
    ibu: float | None = None


@dataclass(frozen=True)
class Fitted:
    """A case that meets its aim, the day it makes, and the factors that were needed."""

    case: Case
    day: BrewDay
    grist_times: float
    dose_times: float
    dose: int | None
    late_ibu: float
    met: bool


def planned_day(case: Case, curves: LidCurves, method: str, lost_l: float = 0.0) -> BrewDay:
    """The central day with the water that leaves the batch in the fermenter.

    `lost_l` is what steam takes after heat-off, as far as it is known from a day like this one.
    """
    return day_of_batch(case.central, curves, method, lost_l)


def earliest_dose(day: BrewDay) -> int | None:
    """Number of the dose that goes in first; None without hops in the kettle."""
    kettle = [i for i, dose in enumerate(day.brew.doses) if not isinstance(dose.when, DryHop)]
    moments = {i: float(day.lines[i].in_min) for i in kettle if np.isfinite(day.lines[i].in_min)}
    return min(moments, key=lambda i: (moments[i], i)) if moments else None


def fit(case: Case, curves: LidCurves, method: str, aim: Aim) -> Fitted:
    """Scale grist and earliest dose, together, until the day meets its aim.

    Both barely disturb each other (hops hold wort, strong wort costs bitterness): scaling each by
    what is missing converges in a few passes. The temperature curve hardly moves with them: it is
    kept while they settle, then worked out anew, until a whole day meets the aim.
    """
    day = planned_day(case, curves, method)
    first = earliest_dose(day) if aim.ibu is not None else None
    grist_times = dose_times = 1.0
    fitted = case
    for _ in range(ROUNDS):
        near = day
        for _ in range(PASSES):
            grist_step, dose_step = steps(near, aim, first)
            settled = abs(grist_step - 1.0) < CLOSE and abs(dose_step - 1.0) < CLOSE
            lost = not np.isfinite(grist_step * dose_step) or dose_times > MOST_TIMES
            if settled or lost or dose_times == 0.0 == dose_step:
                break
            grist_times, dose_times = grist_times * grist_step, dose_times * dose_step
            fitted = _scaled(case, grist_times, first, dose_times)
            near = day_on_curve(fitted, curves, method, day)
        if near is day:
            break
        day = planned_day(fitted, curves, method, float(day.volumes.rest_loss_l))
        if is_met(day, aim, first):
            break
    late_ibu = 0.0 if first is None else float(day.ibu - day.dose_ibu[first])
    met = is_met(day, aim, first)
    return Fitted(fitted, day, grist_times, dose_times, first, late_ibu, met)


def steps(day: BrewDay, aim: Aim, first: int | None) -> tuple[float, float]:
    """Factors on grist and earliest dose that would close the gap if nothing else moved."""
    grist_step = dose_step = 1.0
    if aim.original_sg is not None:
        wanted_kg = extract_kg(day.volumes.wort_l, plato_from_sg(aim.original_sg))
        grist_step = float(wanted_kg / day.pot.extract_kg)
    if aim.ibu is not None and first is not None:
        dose_ibu = float(day.dose_ibu[first])
        others_ibu = float(day.ibu) - dose_ibu
        # A dose never goes below nothing; one that is nothing already stays so.
        dose_step = max(aim.ibu - others_ibu, 0.0) / dose_ibu if dose_ibu > 0.0 else 0.0
    return grist_step, dose_step


def day_on_curve(case: Case, curves: LidCurves, method: str, day: BrewDay) -> BrewDay:
    """A day close to another, on its temperature curve and with its steam."""
    brew = case.central
    water_l = water_for_l(brew, day.volumes.rest_loss_l)
    return brew_day(brew, curves, water_l, method, day.hot)


def is_met(day: BrewDay, aim: Aim, first: int | None) -> bool:
    """Whether the day is as strong and as bitter as wanted."""
    strong = (
        aim.original_sg is None or abs(float(day.strength.original_sg) - aim.original_sg) < CLOSE_SG
    )
    bitter = aim.ibu is None or first is None or abs(float(day.ibu) - aim.ibu) < CLOSE_IBU
    return strong and bitter


def _scaled(case: Case, grist_times: float, first: int | None, dose_times: float) -> Case:
    factors = {
        name: grist_times
        for name in case.inputs
        if name.startswith("recipe.grist.") and name.endswith(".mass")
    }
    if first is not None:
        factors[f"recipe.hops.{first}.mass"] = dose_times
    return case.scaled(factors)
