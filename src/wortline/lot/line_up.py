"""How everything stands by the record, and whether the pump may run as the plan means it."""

from dataclasses import dataclass

from wortline.lot.day import Day
from wortline.lot.fold import State


@dataclass(frozen=True)
class Stands:
    """Handles, hose ends and water as they stand, and which of them nobody has touched yet."""

    handles: dict[str, str]
    hose_ends: dict[str, str]
    water: str
    assumed: tuple[str, ...]


def water_parts(day: Day) -> tuple[str, ...]:
    """What the day turns to have chill water run, by its name on the rig; none if it never does."""
    turns = [turn for step in day.steps for turn in step.turns]
    return tuple(dict.fromkeys(part for act, part, _ in turns if act == "water"))


def stands(state: State) -> Stands | None:
    """How everything stands: as the day begins, with every act of the record done to it.

    None for a rig that does not tell its pipes.
    """
    first = next((phase.lineup for phase in state.day.phases if phase.lineup), None)
    if first is None:
        return None
    handles, ends, water = dict(first["handles"]), dict(first["hose_ends"]), str(first["water"])
    waters = water_parts(state.day)
    untouched = [name for name in (*handles, *ends) if name not in state.handles]
    for part, position in state.handles.items():
        if part in handles:
            handles[part] = position
        elif part in ends:
            ends[part] = position
        elif position in {"on", "off"} and (part in waters if waters else part != "pump"):
            # Nobody has named the water of a day that never turns it.
            water = position
    return Stands(handles, ends, water, tuple(untouched))


def differences(state: State, phase: str | None = None) -> list[str]:
    """What stands otherwise than the plan has it in a phase, a sentence each; none: it may run.

    A device can tell this by itself from the frozen day. It is no judgement on another line-up:
    that is for the server.
    """
    name = phase or state.phase
    planned = state.day.phase[name].lineup if name is not None and name in state.day.phase else None
    now = stands(state)
    if planned is None or now is None:
        return []
    found = [
        f"{part} is at {is_at}; the plan has {planned[kind][part]}."
        for kind, here in (("handles", now.handles), ("hose_ends", now.hose_ends))
        for part, is_at in here.items()
        if planned[kind].get(part, is_at) != is_at
    ]
    if now.water != planned["water"]:
        found.append(f"The water is {now.water}; the plan has it {planned['water']}.")
    return found
