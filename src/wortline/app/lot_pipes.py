"""Whether the pump may run as everything stands in a lot, judged by the rig's pipes."""

from typing import Any

import numpy as np

from wortline.app.keeping import file_of
from wortline.app.lots import OpenLot
from wortline.app.piping import Pipes, level_m, pipes_of, verdict
from wortline.app.ports import DocumentStore
from wortline.lot.line_up import Stands, differences, stands
from wortline.pipes.state import Conditions, Setting

SCHEMA = "pump-check/1"


def pump_check(documents: DocumentStore, opened: OpenLot) -> dict[str, Any]:
    """Judge the line-up of the moment with the pump on, as `pump-check/1`.

    `may_run` is false where a check stops it; then it takes an override that asks twice. A rig
    that does not tell its pipes cannot be judged, and says so.

    Raises
    ------
    NotKept, DocumentRefused
        If the rig's revision cannot be read.
    """
    now = stands(opened.state)
    answer: dict[str, Any] = {
        "schema": SCHEMA,
        "phase": opened.state.phase,
        "differs": differences(opened.state),
        "may_run": True,
        "findings": [],
        "stands": None,
        "assumed": [],
    }
    if now is None:
        answer["assumed"] = ["This rig does not tell its pipes: look at every handle yourself."]
        return answer
    lot = opened.lot
    rig = file_of(documents.revision(lot.rig))
    day = None if lot.day is None else file_of(documents.revision(lot.day))
    pipes = pipes_of(rig, day)
    judged = verdict(pipes, _setting(pipes, now), _known(pipes, opened))
    return {
        **answer,
        "may_run": judged["verdict"] != "stop",
        "findings": judged["findings"],
        "path": judged["path"],
        "stands": {"handles": now.handles, "hose_ends": now.hose_ends, "water": now.water},
        "assumed": [
            *(f"Nobody said how {part} stands; it is taken as planned." for part in now.assumed),
            *judged["assumed"],
        ],
    }


def parts_of(documents: DocumentStore, opened: OpenLot) -> tuple[str, ...]:
    """The parts of the rig of a lot, by their names; none if it does not tell its pipes.

    Raises
    ------
    NotKept, DocumentRefused
        If the rig's revision cannot be read.
    """
    if stands(opened.state) is None:
        return ()
    return tuple(pipes_of(file_of(documents.revision(opened.lot.rig)), None).network.parts)


def positions(documents: DocumentStore, opened: OpenLot) -> dict[str, list[str]] | None:
    """Every handle and hose end of a lot's rig, and the water, with where each can be.

    None for a rig that does not tell its pipes.

    Raises
    ------
    NotKept, DocumentRefused
        If the rig's revision cannot be read.
    """
    if stands(opened.state) is None:
        return None
    lot = opened.lot
    day = None if lot.day is None else file_of(documents.revision(lot.day))
    network = pipes_of(file_of(documents.revision(lot.rig)), day).network
    return {
        **{valve.name: list(valve.stops) for valve in network.valves},
        **{each.name: [*each.targets, "capped"] for each in network.loose},
        **{name: ["on", "off"] for name in network.of_kind("water")},
    }


def _setting(pipes: Pipes, now: Stands) -> Setting:
    net = pipes.network
    positions = tuple(now.handles.get(valve.name, valve.stops[-1]) for valve in net.valves)
    ends = tuple(now.hose_ends.get(loose.name, loose.at) for loose in net.loose)
    return Setting(positions, ends, pump=True, water=now.water == "on")


def _known(pipes: Pipes, opened: OpenLot) -> Conditions:
    """Temperature and level as last read, else as the plan has them in this phase."""
    lines, state = opened.frozen["plan"]["lines"], opened.state
    minute = 0.0
    # Between two phases everything is as the last one left it.
    begun = [phase.id for phase in opened.day.phases if phase.id in state.phases]
    here = state.phase or (begun[-1] if begun else None)
    for phase in opened.day.phases:
        if phase.id == here:
            break
        minute += (phase.planned_min or 0.0) if phase.stage == "brew" else 0.0
    wort_c = float(np.interp(minute, lines["time_min"], lines["temp_c"]))
    cold_l = float(np.interp(minute + 1e-3, lines["time_min"], lines["cold_l"]))
    span = state.span(here) if here else None
    for measured, at in state.readings:
        is_now = span and at.min is not None and span.begun.min is not None
        if measured.quantity == "temperature" and is_now and at.min >= span.begun.min:  # type: ignore[operator,union-attr]
            wort_c = measured.value
    clean = {part: "heat" for part, now in state.surfaces.items() if now == "sanitised"}
    tap_c = opened.day.phase["fill"].start_c if "fill" in opened.day.phase else None
    return Conditions(
        wort_c,
        pipes.limits.water_c if tap_c is None else tap_c,
        level_m(pipes.kettle_m2, cold_l, wort_c),
        pipes.limits.pressure_kpa,
        clean=clean,
    )
