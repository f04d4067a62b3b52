"""Fit to aim: scale the grist to the gravity and the earliest dose to the bitterness wanted."""

from dataclasses import dataclass

import numpy as np

from wortline.documents.words import DryHop
from wortline.plan.brew_day import BrewDay, brew_day, water_for_batch_l
from wortline.plan.case import Case
from wortline.plan.loss_curve import LidCurves
from wortline.science.extract import extract_kg, plato_from_sg

PASSES = 30
CLOSE_SG, CLOSE_IBU = 1e-7, 1e-4
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
    brew = case.central
    return brew_day(brew, curves, water_for_batch_l(brew, curves, lost_l), method)


def earliest_dose(day: BrewDay) -> int | None:
    """Number of the dose that goes in first; None without hops in the kettle."""
    kettle = [i for i, dose in enumerate(day.brew.doses) if not isinstance(dose.when, DryHop)]
    moments = {i: float(day.lines[i].in_min) for i in kettle if np.isfinite(day.lines[i].in_min)}
    return min(moments, key=lambda i: (moments[i], i)) if moments else None


def fit(case: Case, curves: LidCurves, method: str, aim: Aim) -> Fitted:
    """Scale grist and earliest dose, together, until the day meets its aim.

    Both barely disturb each other (hops hold wort, wort strength costs bitterness), so scaling each
    by what is missing converges in a few passes. A dose never goes below nothing.
    """
    day = planned_day(case, curves, method)
    first = earliest_dose(day) if aim.ibu is not None else None
    grist_times = dose_times = 1.0
    late_ibu = 0.0
    met = False
    for _ in range(PASSES):
        grist_step = dose_step = 1.0
        if aim.original_sg is not None:
            wanted_kg = extract_kg(day.volumes.wort_l, plato_from_sg(aim.original_sg))
            grist_step = float(wanted_kg / day.pot.extract_kg)
        if aim.ibu is not None and first is not None:
            end_min = day.hot.end_min
            dose_ibu = float(day.lines[first].ibu(end_min))
            late_ibu = float(day.ibu) - dose_ibu
            if dose_ibu > 0.0:
                dose_step = max(aim.ibu - late_ibu, 0.0) / dose_ibu
        met = _met(day, aim, first)
        if not np.isfinite(grist_step * dose_step) or (met and dose_step == 1.0):
            break
        if abs(grist_step - 1.0) < 1e-12 and abs(dose_step - 1.0) < 1e-12:
            break
        grist_times, dose_times = grist_times * grist_step, dose_times * dose_step
        if dose_times > MOST_TIMES:
            break
        scaled = _scaled(case, grist_times, first, dose_times)
        day = planned_day(scaled, curves, method, float(day.volumes.rest_loss_l))
        if _met(day, aim, first):
            met = True
            break
    fitted = _scaled(case, grist_times, first, dose_times)
    return Fitted(fitted, day, grist_times, dose_times, first, late_ibu, met)


def _met(day: BrewDay, aim: Aim, first: int | None) -> bool:
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
