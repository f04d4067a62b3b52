"""Mend a day while it runs: replan, question readings, ways out, what an interruption did."""

from collections.abc import Iterator
from dataclasses import asdict, dataclass, replace
from functools import partial
from typing import Any

from wortline.app.keeping import planned_of
from wortline.app.lots import OpenLot
from wortline.app.planning import Planned
from wortline.app.ports import DocumentStore
from wortline.errors import RecordRefused
from wortline.lot.ahead import coming
from wortline.lot.apart import apart
from wortline.lot.bench import Bench
from wortline.lot.clock import At
from wortline.lot.events import Change, Deviation, Measured
from wortline.lot.fold import State
from wortline.lot.interruption import Cut, first_of_all, stood, told, what_became, with_cut
from wortline.lot.readings import HOLDS_UP, Doubt, cold_l, doubts, far_off
from wortline.lot.replan import Base, Replanned, base_of, known_of, planned_c, replan, times
from wortline.lot.tables import OFF_L, furthest
from wortline.lot.ways_day import Facts
from wortline.lot.ways_out import BOIL_CUT, TROUBLES, ways_after_cut, ways_out
from wortline.plan.strength import grist_extract_kg
from wortline.science.extract import plato_from_sg
from wortline.units import say

LATE_MIN = 2.0
"""A dose later than this is called late (common practice, no source)."""
MASH_OFF_DK = 1.0
"""A mash within one kelvin is as planned (common practice, no source)."""
WARM_DK = 2.0
FLOW_KEPT = 0.8
"""Less than this share of the clean flow is dirt on its way (common practice, no source)."""
SCHEMA = "ways/1"
COOLS = frozenset({"heat", "mash", "lift", "to_boil", "whirlpool", "rest"})


@dataclass(frozen=True)
class Standing:
    """An open lot with its plan worked out again from what is known."""

    opened: OpenLot
    base: Base
    bench: Bench
    uncut: Bench
    planned: Planned
    trusted: State
    doubts: tuple[tuple[str, Doubt], ...]

    @property
    def now(self) -> Replanned:
        """The day as it now stands."""
        return self.bench.now


def standing_of(documents: DocumentStore, opened: OpenLot) -> Standing:
    """Work a lot's plan out again with what was measured in the place of what was assumed.

    Raises
    ------
    NotKept, DocumentRefused
        If the revisions of its plan cannot be read.
    """
    lot = opened.lot
    planned = planned_of(documents, lot.recipe, lot.rig, lot.day, lot.method, lot.system)
    base = base_of(planned.plan)
    found = tuple(_doubted(opened, base))
    odd = {entry for entry, doubt in found if doubt.code in HOLDS_UP}
    trusted = replace(opened.state, readings=_trusted(opened.state, odd))
    known = known_of(trusted, base)
    spoken = partial(say, system=opened.lot.system)
    doses = frozenset(opened.state.doses)
    here = _here(opened)
    uncut = Bench(replan(base, known), spoken, 0.0, doses, here=here)
    last = opened.state.last
    uncut = replace(uncut, boiled_min=_boiled_min(opened, uncut, last.min if last else None))
    cut = known.taken.cut
    bench = uncut
    if cut is not None:
        boiled_min = min(cut.boiled_min, float(uncut.brew.boil_min))
        bench = with_cut(uncut, Cut(boiled_min, cut.off_min, cut.lid_on))
    return Standing(opened, base, bench, uncut, planned, trusted, found)


def _here(opened: OpenLot) -> str:
    """The phase of the brew under way, or the one that comes next; the last once all are over."""
    brew = [phase.id for phase in opened.day.phases if phase.stage == "brew"]
    if opened.state.phase in brew:
        return str(opened.state.phase)
    begun = [index for index, phase in enumerate(brew) if phase in opened.state.phases]
    return brew[min(begun[-1] + 1, len(brew) - 1)] if begun else ""


def _trusted(state: State, odd: set[str]) -> list[tuple[Measured, At]]:
    """The readings that advice goes by: not those that nobody has said are right."""
    return [
        (fact.event, fact.at)
        for fact in state.facts
        if isinstance(fact.event, Measured) and fact.entry.id not in odd
    ]


def _doubted(opened: OpenLot, base: Base) -> Iterator[tuple[str, Doubt]]:
    """Every reading to question that nobody has said is right, by its entry."""
    state = opened.state
    # What was read again is asked about once, as it was read last.
    last = {
        (fact.event.of, fact.event.quantity): fact
        for fact in state.facts
        if isinstance(fact.event, Measured)
    }
    for fact in last.values():
        if isinstance(fact.event, Measured) and fact.entry.id not in state.right:
            for doubt in _doubts(opened, base, fact.event):
                yield fact.entry.id, doubt


def _boiled_min(opened: OpenLot, bench: Bench, until_min: float | None) -> float:
    """How much of the boil has passed by a minute of the lot, gaps on record not counted [min]."""
    boil, cut = opened.state.span("boil"), bench.now.known.taken.cut
    if boil is None or boil.begun.min is None:
        return 0.0
    if boil.ended is not None and boil.ended.min is not None:
        until_min = boil.ended.min
    if until_min is None:
        return 0.0
    boiled_min = until_min - boil.begun.min
    if cut is not None and boiled_min > cut.boiled_min:
        boiled_min = max(boiled_min - cut.off_min - cut.wait_min, cut.boiled_min)
    return min(max(boiled_min, 0.0), float(bench.brew.boil_min))


def replanned(standing: Standing, now_min: float | None = None) -> dict[str, Any]:
    """The rest of the day beside the plan: what it comes to, where it differs, the new times."""
    now, opened = standing.now, standing.opened
    return {
        "before": asdict(now.before),
        "after": asdict(now.after),
        "where": [
            {
                "codes": list(miss.codes),
                "text": miss.text,
                "water_l": miss.water_l,
                "extract_kg": miss.extract_kg,
                "wort_l": miss.wort_l,
            }
            for miss in now.misses
        ],
        "apart": [
            {"row": each.row, "text": each.text, "planned": each.planned, "now": each.now}
            for each in apart(now, standing.bench.say)
        ],
        "times": [asdict(each) for each in times(opened.day, opened.state, now, now_min)],
        "doubts": doubts_of(standing),
    }


def doubts_of(standing: Standing) -> list[dict[str, Any]]:
    """Every reading of the lot that should be questioned before anything is done about it.

    One that `holds` is left out of all advice until it is corrected or said to be right.
    """
    numbers = {entry.id: entry.number for entry in standing.opened.entries}
    return [
        {
            **asdict(doubt),
            "entry": entry,
            "number": numbers.get(entry, 0),
            "holds": doubt.code in HOLDS_UP,
        }
        for entry, doubt in standing.doubts
    ]


def doubt_about(standing: Standing, reading: Measured) -> list[Doubt]:
    """What to question about one reading, kept or about to be."""
    return _doubts(standing.opened, standing.base, reading)


def _doubts(opened: OpenLot, base: Base, reading: Measured) -> list[Doubt]:
    day, spoken = base.day, partial(say, system=opened.lot.system)
    to_c, wort_c = float(day.brew.chill.to_c), planned_c(day, reading.of)
    beside = opened.state.reading("fermenter" if reading.of == "original" else reading.of, "volume")
    litres = None if beside is None else cold_l(beside, to_c if wort_c is None else wort_c)
    original = float(plato_from_sg(float(day.strength.original_sg)))
    holds_kg = float(grist_extract_kg(day.brew))
    brim_l = float(day.brew.rig.brim_l)
    planned = next(
        (
            step.ask.planned
            for step in opened.day.steps
            if step.ask and (step.ask.of, step.ask.quantity) == (reading.of, reading.quantity)
        ),
        None,
    )
    found = doubts(reading, wort_c, original, litres, holds_kg, brim_l, spoken)
    return [*found, *far_off(reading, planned, spoken)]


def troubles(standing: Standing) -> Iterator[tuple[str, Facts]]:
    """What is off by now, with what is known of it; nothing where all is as planned."""
    state, brew = standing.trusted, standing.base.day.brew
    strike, strike_c = state.reading("strike"), float(standing.now.day.strike_c)
    if (
        strike is not None
        and "lift" not in state.phases
        and state.reading("mash") is None
        and abs(strike.value - strike_c) > MASH_OFF_DK
    ):
        yield "strike-off", Facts(strike_c=strike.value, goal_c=strike_c)
    mash = state.reading("mash", "temperature")
    goal_c = float(brew.rests[0].at_c)
    if mash is not None and "lift" not in state.phases and abs(mash.value - goal_c) > MASH_OFF_DK:
        yield "mash-off", Facts(mash_c=mash.value, goal_c=goal_c)
    off_l = standing.bench.water_l - standing.base.water_l
    is_water = state.reading("water") is not None and "mash" not in state.phases
    if is_water and abs(off_l) > OFF_L:
        yield "water-off", Facts()
    found = None if is_water else furthest(standing.bench)
    if found and state.readings:
        yield found, Facts()
    yield from _late(standing)
    clean, flow = state.reading("clean flow", "flow"), state.reading("flow", "flow")
    if clean is not None and flow is not None and flow.value < FLOW_KEPT * clean.value:
        yield "clogged", Facts()
    chilled = next(
        (read for read, _ in reversed(state.readings) if read.of in {"chilled", "pitch"}), None
    )
    to_c, pitched = float(brew.chill.to_c), state.standing("pitch/end") == "done"
    if chilled is not None and not pitched and chilled.value > to_c + WARM_DK:
        yield "wort-warm", Facts(wort_c=chilled.value, goal_c=to_c)


def _late(standing: Standing) -> Iterator[tuple[str, Facts]]:
    state = standing.opened.state
    now_min = state.last.min if state.last else None
    for due_min, alarm in coming(state):
        dose = standing.opened.day.step[alarm.id].dose
        if dose and now_min is not None and now_min - due_min > LATE_MIN:
            yield "dose-late", dose_facts(standing, dose)


def dose_facts(standing: Standing, dose: str) -> Facts:
    """Where the day stands for a dose that would go in now."""
    state, bench = standing.opened.state, standing.bench
    now_min = state.last.min if state.last and state.last.min is not None else 0.0
    rest = state.span("rest") or state.span("chill")
    if rest is not None and rest.begun.min is not None:
        return Facts(dose=dose, into_rest_min=max(now_min - rest.begun.min, 0.0))
    left_min = max(float(bench.brew.boil_min) - bench.boiled_min, 0.0)
    return Facts(dose=dose, before_heat_off_min=left_min)


def ways_of(
    standing: Standing, trouble: str | None = None, facts: Facts | None = None
) -> dict[str, Any]:
    """The ways out of a trouble, or of everything that is off by now, as `ways/1`.

    Raises
    ------
    RecordRefused
        If there is no such trouble, or it needs to be told something.
    """
    named = [] if trouble is None else [(_known(trouble), facts or Facts())]
    asked = named or list(troubles(standing))
    if trouble == "dose-late":
        doses = {dose.id for dose in standing.bench.brew.doses}
        if asked[0][1].dose not in doses:
            raise RecordRefused(f"Which dose is late? This lot has {', '.join(sorted(doses))}.")
    return {
        "schema": SCHEMA,
        "lot": standing.opened.lot.number,
        "troubles": [
            {
                "trouble": code,
                "words": TROUBLES[code][0],
                "ways": [asdict(way) for way in ways_out(standing.bench, code, told_facts)],
            }
            for code, told_facts in asked
        ],
        "question_first": doubts_of(standing),
        "where": [miss.text for miss in standing.now.misses],
    }


def way_event(trouble: str, code: str, ways: list[dict[str, Any]]) -> Deviation:
    """The event that one of these ways is taken.

    Raises
    ------
    RecordRefused
        If it is none of them.
    """
    way = next((each for each in ways if each["code"] == code), None)
    if way is None:
        known = ", ".join(each["code"] for each in ways)
        raise RecordRefused(f"`{code}` is no way out of {trouble}; there are {known}")
    change = Change(**way["change"])
    return Deviation(way["text"], trouble, code, way["phase"], way["safety"], change)


def _known(trouble: str) -> str:
    if trouble not in TROUBLES:
        names = ", ".join([*TROUBLES, BOIL_CUT[0]])
        raise RecordRefused(f"`{trouble}` is no trouble known here; known are {names}.")
    return trouble


def _stood_lines(standing: Standing, off_min: float, lid_on: bool) -> list[str]:
    """Where the lot is and what became of it, in any phase but the boil."""
    state, day = standing.opened.state, standing.opened.day
    say_it = standing.bench.say
    if state.phase is None or state.phase not in day.phase:
        return ["You are between two phases. Begin the next when all is as it should be."]
    phase = day.phase[state.phase]
    lines = [f"You are at: {phase.words}. The heat was off for {say_it(off_min, 'time')}."]
    temps = [measured.value for measured, _ in state.readings if measured.quantity == "temperature"]
    start_c = temps[-1] if temps else phase.end_c
    if phase.stage == "brew" and start_c is not None and phase.name in COOLS:
        became = stood(standing.bench, phase.name, start_c, off_min, lid_on)
        lines.append(f"It is now at about {say_it(became.now_c, 'temperature')}.")
        if became.back_min is not None and became.back_to_c is not None:
            back = say_it(became.back_to_c, "temperature")
            lines.append(f"Back to {back} takes about {say_it(became.back_min, 'time')}.")
    return [*lines, "Read the temperature now and enter it: the day is worked out again from it."]


def after_interruption(
    standing: Standing,
    off_min: float,
    lid_on: bool = False,
    boiled_min: float | None = None,
    now_min: float | None = None,
) -> dict[str, Any]:
    """What to do and what became of the wort after the heat was off for so long.

    The first line comes before any advice, whatever phase it was. `now_min` is the minute of the
    lot at which it ended, the last entry's and the cut after it unless given.
    """
    state, bench = standing.opened.state, standing.uncut
    last_min = state.last.min if state.last and state.last.min is not None else 0.0
    now_min = last_min + off_min if now_min is None else now_min
    overdue = [
        {"step": alarm.id, "text": alarm.text, "late_min": now_min - due_min}
        for due_min, alarm in coming(state)
        if now_min > due_min
    ]
    first = first_of_all(bench.brew)
    lines = [first]
    answer: dict[str, Any] = {"first": first, "phase": state.phase, "overdue": overdue, "ways": []}
    now = standing.now
    if state.phase == "boil":
        cut = Cut(_before_cut(standing, off_min, boiled_min, now_min), off_min, lid_on)
        lines = told(bench, cut)
        answer["cut"] = {"boiled_min": cut.boiled_min, "off_min": off_min, "lid_on": lid_on}
        answer["became"] = asdict(what_became(bench, cut))
        answer["ways"] = [asdict(way) for way in ways_after_cut(bench, cut)]
        now = with_cut(bench, cut).now
    else:
        lines += _stood_lines(standing, off_min, lid_on)
    answer["times"] = [asdict(each) for each in times(standing.opened.day, state, now, now_min)]
    answer["lines"] = lines
    return answer


def _before_cut(
    standing: Standing, off_min: float, elapsed_min: float | None, now_min: float
) -> float:
    """How long it had boiled when the heat went off [min].

    A cut that is on record already is this one where it ended no earlier than the heat went off.
    """
    state, bench = standing.opened.state, standing.uncut
    boil, cut = state.span("boil"), bench.now.known.taken.cut
    begun_min = boil.begun.min if boil and boil.begun.min is not None else now_min
    gone_min = now_min - off_min - begun_min if elapsed_min is None else elapsed_min
    if cut is not None and gone_min >= cut.boiled_min + cut.off_min:
        gone_min -= cut.off_min + cut.wait_min
    return min(max(gone_min, 0.0), float(bench.brew.boil_min))


def cut_on_record(standing: Standing) -> Cut | None:
    """The interruption of the boil that was written down, if any."""
    cut = standing.bench.now.known.taken.cut
    return None if cut is None else Cut(cut.boiled_min, cut.off_min, cut.lid_on)
