"""What lies ahead in a lot: alarms that come, steps to do now, steps to do meanwhile."""

from wortline.lot.day import Alarm, Due, Step
from wortline.lot.fold import Standing, State, due_at_min


def coming(state: State) -> list[tuple[float, Alarm]]:
    """Alarms of steps that are not done, by their minute of the lot, the next first.

    A step without a moment of its own has one once it was put off: when to ask again.
    """
    over: set[Standing] = {"done", "skipped"}
    found: list[tuple[float, Alarm]] = []
    for step in state.day.steps:
        planned_min = due_at_min(step.due, state) if step.due else None
        due_min = state.again.get(step.id, planned_min)
        if step.due and step.due.since and state.standing(step.due.since) not in over:
            # what has not begun cannot be over
            due_min = None
        if due_min is not None and state.standing(step.id) not in over:
            due = step.due or Due(step.phase, "begun", 0.0)
            found.append((due_min, Alarm(step.id, step.text, due)))
    return sorted(found, key=lambda each: (each[0], each[1].id))


def next_steps(state: State) -> list[Step]:
    """What to do now, the first first: steps of the phase under way, or how to begin the next."""
    over: set[Standing] = {"done", "skipped"}
    phases = [phase.id for phase in state.day.phases]
    here = state.phase or next(
        (phase for phase in phases if phase not in state.phases), phases[-1] if phases else None
    )
    return [
        step
        for step in state.day.steps
        if step.phase == here and not step.meanwhile and state.standing(step.id) not in over
    ]


def meanwhile(state: State) -> list[Step]:
    """What may be prepared: steps for it in this phase and the ones gone by, not done yet."""
    begun = set(state.phases)
    return [
        step
        for step in state.day.steps
        if step.meanwhile
        and step.phase in begun
        and state.standing(step.id) not in {"done", "skipped"}
    ]
