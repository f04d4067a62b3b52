"""The steps of a day in the numbers of the day as it now stands, beside what was planned."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from wortline.app.ways import Standing
from wortline.lot.day import Step
from wortline.lot.replan import Replanned
from wortline.lot.steps import day_of
from wortline.plan.brew_day import first_water_l
from wortline.plan.cold_side import cold_side
from wortline.plan.plan import Plan
from wortline.plan.report import report
from wortline.plan.timeline import lift_start_min, timeline

Report = dict[str, Any]
SAME = 1e-6


def moved_steps(standing: Standing) -> list[dict[str, Any]]:
    """Every step not done yet whose words or numbers have moved, with what they were.

    `plus_min` is None where the moment did not move, or the ways that were taken move it already.
    """
    opened, now = standing.opened, standing.now
    if not standing.trusted.readings and not opened.state.deviations and not now.known.lasted:
        return []
    state = opened.state
    piping = standing.planned.plan.piping
    again = day_of(_report(standing), piping.network if piping else None, opened.lot.system)
    found = []
    for step in opened.day.steps:
        new = again.step.get(step.id)
        span = state.span(step.phase)
        is_past = span is not None and span.ended is not None
        over = is_past or state.standing(step.id) in {"done", "skipped"}
        if new is None or over or opened.day.phase[step.phase].stage != "brew":
            continue
        if moved := _moved(step, new, step.phase in state.longer_min):
            found.append(moved)
    return found


def _moved(step: Step, new: Step, is_longer: bool) -> dict[str, Any] | None:
    """What is new of a step; None if nothing is."""
    plus_min = None
    if step.due is not None and new.due is not None and not is_longer:
        plus_min = new.due.plus_min if abs(new.due.plus_min - step.due.plus_min) > SAME else None
    planned = None
    if step.ask is not None and new.ask is not None and new.ask.planned is not None:
        before = step.ask.planned
        planned = (
            new.ask.planned if before is None or abs(new.ask.planned - before) > SAME else None
        )
    if new.text == step.text and plus_min is None and planned is None:
        return None
    return {
        "id": step.id,
        "text": new.text,
        "was": step.text if new.text != step.text else "",
        "plus_min": plus_min,
        "planned": planned,
    }


# What never comes is read off as no number; that must not warn on the way.
@np.errstate(invalid="ignore", over="ignore", divide="ignore")
def _report(standing: Standing) -> Report:
    """The plan's report with the day as it stands in the place of the planned one."""
    plan, before = standing.planned.plan, standing.planned.report
    after = {**before, **report(_replanned(plan, standing.now), {})}
    _pipes_as_before(before["timeline"], after["timeline"])
    for row in after["ledger"]:
        if row["step"] == "fermenter":
            row["cold_l"] = standing.now.after.fermenter_l
    after["gravity"]["original_sg"] = standing.now.after.original_sg
    return after


def _replanned(plan: Plan, now: Replanned) -> Plan:
    day = now.day
    first_l = first_water_l(day.brew, day.volumes.water_l)
    cold = cold_side(day.brew, now.base.curves, first_l, day.strike_c)
    track = timeline(day, cold)
    words = {phase.phase: phase.cautions for phase in plan.track.phases}
    track.phases = [replace(each, cautions=words.get(each.phase, ())) for each in track.phases]
    central = {**plan.central, "water_l": day.volumes.water_l}
    return replace(
        plan,
        fitted=replace(plan.fitted, day=day),
        cold=cold,
        track=track,
        hot_start_min=lift_start_min(track),
        central=central,
        stands=(),
    )


def _pipes_as_before(before: list[Report], after: list[Report]) -> None:
    """Give the phases their line-ups and acts back, as far after each began as they were."""
    rows = _by_turn(before)
    for key, row in _by_turn(after).items():
        old = rows.get(key)
        if old is None or "turns" not in old:
            continue
        later_min = row["start_min"] - old["start_min"]
        row["lineup"] = old.get("lineup")
        row["turns"] = [{**turn, "at_min": turn["at_min"] + later_min} for turn in old["turns"]]


def _by_turn(rows: list[Report]) -> Mapping[tuple[str, int], Report]:
    found: dict[tuple[str, int], Report] = {}
    for row in rows:
        turn = sum(name == row["phase"] for name, _ in found)
        found[row["phase"], turn] = row
    return found
