"""What ways out that were taken do to the day, and which readings have it in them already."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from wortline.lot.acts import BEFORE_HEAT_OFF, act_id
from wortline.lot.events import NO_CHANGE, Change, Deviation, Event, Measured, StepDone
from wortline.lot.fold import Fact, State

CUT = "boil-cut"


@dataclass(frozen=True)
class Taken:
    """The changes of a day, summed: before heat-off, after it, and a cut of the boil.

    `dosed_kg` are doses whose mass a way changed. Only one gap is kept: a second cut lengthens it.
    """

    boil: Change = NO_CHANGE
    late: Change = NO_CHANGE
    cut: Change | None = None
    wait_min: Mapping[str, float] = field(default_factory=dict)
    dosed_kg: Mapping[str, float] = field(default_factory=dict)


def taken_of(state: State) -> Taken:
    """Read off the record which ways were taken, and when the boil was cut."""
    facts = state.facts
    boil, late = NO_CHANGE, NO_CHANGE
    cut: Change | None = None
    wait_min: dict[str, float] = {}
    dosed_kg: dict[str, float] = {}
    for place, fact in enumerate(facts):
        event = fact.event
        if not isinstance(event, Deviation):
            continue
        change = event.change
        if event.trouble == CUT and change.off_min > 0.0 and (cut is None or not event.way):
            cut = change if cut is None else _later_cut(cut, change)
        if not event.way or _left_out(state, event, fact):
            continue
        if change.wait_min and event.trouble != CUT:
            wait_min[event.phase] = wait_min.get(event.phase, 0.0) + change.wait_min
        if change.dose:
            dosed_kg[change.dose] = change.dose_kg
        if _is_read(facts, place, event, fact):
            change = Change(boil_min=change.boil_min, rest_min=change.rest_min)
        if _comes_late(facts, place, event):
            late = _both(late, change)
        else:
            boil = _both(boil, change)
    return Taken(boil, late, cut, wait_min, dosed_kg)


def _left_out(state: State, event: Deviation, fact: Fact) -> bool:
    return state.standing(act_id(event.phase, fact.entry.id)) == "skipped"


def _both(first: Change, second: Change) -> Change:
    return Change(
        added_l=first.added_l + second.added_l,
        extract_kg=first.extract_kg + second.extract_kg,
        out_l=first.out_l + second.out_l,
        mash_water_l=first.mash_water_l + second.mash_water_l,
        boil_min=first.boil_min + second.boil_min,
        rest_min=first.rest_min + second.rest_min,
    )


def _later_cut(first: Change, second: Change) -> Change:
    """Two cuts as one gap at the first: nearly the same steam and bitterness."""
    return Change(
        boiled_min=first.boiled_min,
        off_min=first.off_min + second.off_min,
        wait_min=first.wait_min + second.wait_min,
        lid_on=first.lid_on and second.lid_on,
    )


def _comes_late(facts: list[Fact], place: int, event: Deviation) -> bool:
    """Whether it comes in after heat-off, or after the litres were read at heat-off."""
    if event.phase.partition(".")[0] not in BEFORE_HEAT_OFF:
        return True
    return any(_is_volume(fact.event, "postboil") for fact in facts[:place])


def _is_read(facts: list[Fact], place: int, event: Deviation, fact: Fact) -> bool:
    """Whether litres read after the act have it in them."""
    act = act_id(event.phase, fact.entry.id)
    done = next(
        (
            number
            for number, each in enumerate(facts)
            if isinstance(each.event, StepDone) and each.event.step == act
        ),
        None,
    )
    if done is None:
        return False
    early = event.phase.partition(".")[0] in BEFORE_HEAT_OFF
    return any(
        (early and _is_volume(each.event, "preboil")) or _is_volume(each.event, "fermenter")
        for each in facts[done:]
    )


def _is_volume(event: Event, of: str) -> bool:
    return isinstance(event, Measured) and (event.of, event.quantity) == (of, "volume")
