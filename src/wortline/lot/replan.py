"""The rest of the day, worked out again with what was measured in the place of what was assumed."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from wortline.documents.words import BeforeHeatOff, DryHop, IntoRest, When
from wortline.lot.day import Day
from wortline.lot.events import DoseIn
from wortline.lot.fold import Span, State
from wortline.lot.misses import Miss, told_apart
from wortline.lot.readings import cold_l, strength_plato, usual_c
from wortline.lot.taken import Taken, taken_of
from wortline.plan.brew import Brew, Dose, MashRest
from wortline.plan.brew_day import BrewDay, brew_day, first_water_l
from wortline.plan.cold_side import cold_side
from wortline.plan.loss_curve import LidCurves, loss_curves
from wortline.plan.plan import Plan
from wortline.plan.strength import grist_extract_kg
from wortline.plan.timeline import timeline
from wortline.science.extract import extract_kg, plato_from_extract, plato_from_sg, sg_from_plato
from wortline.science.real import Real
from wortline.science.standards import COLD_C

LEAST_BOIL_MIN = 1e-6


@dataclass(frozen=True)
class Base:
    """The planned day that a lot goes by, ready to be worked out again."""

    day: BrewDay
    curves: LidCurves

    @property
    def water_l(self) -> float:
        """Water at the tap by the plan [L]."""
        return float(self.day.volumes.water_l)


def base_of(plan: Plan) -> Base:
    """The base of a plan."""
    return Base(plan.day, loss_curves(plan.case.central))


@dataclass(frozen=True)
class Known:
    """What is known of the day by now: cold litres, degP, minutes, C; None where it is not."""

    water_l: float | None = None
    preboil_l: float | None = None
    preboil_plato: float | None = None
    postboil_l: float | None = None
    postboil_plato: float | None = None
    fermenter_l: float | None = None
    original_plato: float | None = None
    rests: Mapping[int, tuple[float | None, float | None]] = field(default_factory=dict)
    lasted: Mapping[str, float] = field(default_factory=dict)
    dosed: Mapping[str, When] = field(default_factory=dict)
    masses_kg: Mapping[str, float] = field(default_factory=dict)
    left_out: frozenset[str] = frozenset()
    taken: Taken = field(default_factory=Taken)


def planned_c(day: BrewDay, of: str) -> float | None:
    """How hot something is by the plan when it is read [C]; None where the plan does not say."""
    brew = day.brew
    return usual_c(of, float(day.hot.boiling_c), float(brew.chill.to_c), float(brew.air.tap_c))


def known_of(state: State, base: Base) -> Known:
    """Read off the record what is known."""
    taken = taken_of(state)
    lasted = {
        phase: span.lasted_min
        for phase, span in state.phases.items()
        if span.lasted_min is not None
    }
    if taken.cut is not None and "boil" in lasted:
        # The clock of the phase ran on while nothing boiled.
        lasted["boil"] = max(lasted["boil"] - taken.cut.off_min - taken.cut.wait_min, 0.0)

    def litres(of: str) -> float | None:
        reading = state.reading(of, "volume")
        if reading is None:
            return None
        by_plan_c = planned_c(base.day, of)
        return cold_l(reading, COLD_C if by_plan_c is None else by_plan_c)

    def plato(of: str) -> float | None:
        reading = state.reading(of, "gravity")
        return None if reading is None else strength_plato(reading)

    return Known(
        water_l=litres("water"),
        preboil_l=litres("preboil"),
        preboil_plato=plato("preboil"),
        postboil_l=litres("postboil"),
        postboil_plato=plato("postboil"),
        fermenter_l=litres("fermenter"),
        original_plato=plato("original"),
        rests=_rests(state, lasted),
        lasted=lasted,
        dosed=_dosed(state, base, lasted, taken),
        masses_kg={dose: mass_kg for dose, mass_kg in taken.dosed_kg.items() if mass_kg > 0.0}
        | {
            fact.event.dose: fact.event.mass_kg
            for fact in state.facts
            if isinstance(fact.event, DoseIn) and fact.event.mass_kg is not None
        },
        left_out=frozenset(
            step.dose
            for step in state.day.steps
            if step.dose and state.standing(step.id) == "skipped"
        )
        | {dose for dose, mass_kg in taken.dosed_kg.items() if mass_kg < 0.0},
        taken=taken,
    )


def _rests(
    state: State, lasted: Mapping[str, float]
) -> dict[int, tuple[float | None, float | None]]:
    """Temperature read in each mash rest and how long it took."""
    found: dict[int, tuple[float | None, float | None]] = {}
    for index, phase in enumerate(state.day.named("mash")):
        span = state.span(phase.id)
        read_c = next(
            (
                measured.value
                for measured, at in reversed(state.readings)
                if measured.of == "mash" and _within(span, at.min)
            ),
            None,
        )
        if read_c is not None or phase.id in lasted:
            found[index] = read_c, lasted.get(phase.id)
    return found


def _within(span: Span | None, at_min: float | None) -> bool:
    if span is None or span.begun.min is None or at_min is None or at_min < span.begun.min:
        return False
    return span.ended is None or span.ended.min is None or at_min <= span.ended.min


def _dosed(state: State, base: Base, lasted: Mapping[str, float], taken: Taken) -> dict[str, When]:
    """When each dose really went in, as a moment of the plan; a gap of the boil does not count."""
    found: dict[str, When] = {}
    boil, rest = state.span("boil"), state.span("rest") or state.span("chill")
    boil_min = lasted.get("boil", float(base.day.brew.boil_min) + taken.boil.boil_min)
    for dose, at in state.doses.items():
        if at.min is None:
            continue
        if rest and rest.begun.min is not None and at.min >= rest.begun.min:
            found[dose] = IntoRest(at.min - rest.begun.min)
        elif boil and boil.begun.min is not None:
            boiled_min = at.min - boil.begun.min
            if taken.cut is not None and boiled_min > taken.cut.boiled_min:
                gone_min = boiled_min - taken.cut.off_min - taken.cut.wait_min
                boiled_min = max(gone_min, taken.cut.boiled_min)
            found[dose] = BeforeHeatOff(max(boil_min - boiled_min, 0.0))
    return found


def replaced(base: Base, known: Known) -> tuple[Brew, float]:
    """The day's numbers with what is known in the place of what was assumed, and its water [L]."""
    more = known.taken.boil
    brew = _timed(base.day.brew, known)
    brew = replace(brew, added_l=more.added_l, added_extract_kg=more.extract_kg)
    water_l = (base.water_l if known.water_l is None else known.water_l) + more.mash_water_l
    if brew.first_water_l is not None:
        brew = replace(brew, first_water_l=float(brew.first_water_l) + more.mash_water_l)
    planned = base.day.volumes
    rig = brew.rig
    preboil_l = known.preboil_l
    if preboil_l is not None:
        rig = replace(rig, grain_holds_l_kg=(water_l - preboil_l) / float(brew.grist_kg))
    else:
        preboil_l = water_l - float(planned.grain_holds_l)
    grist_kg = float(grist_extract_kg(brew))
    if known.preboil_plato is not None:
        there_kg = float(extract_kg(preboil_l, known.preboil_plato))
        rig = replace(rig, mash_efficiency=there_kg / grist_kg)
    into_boil_l = preboil_l + more.added_l
    postboil_l = into_boil_l - float(rig.boil_off_l_h) * float(brew.boil_min) / 60.0
    if known.postboil_l is not None and float(brew.boil_min) > LEAST_BOIL_MIN:
        postboil_l = known.postboil_l
        rig = replace(rig, boil_off_l_h=(into_boil_l - postboil_l) * 60.0 / float(brew.boil_min))
    if known.postboil_plato is not None:
        there_kg = float(extract_kg(postboil_l, known.postboil_plato)) - more.extract_kg
        rig = replace(rig, mash_efficiency=there_kg / grist_kg)
    return replace(brew, rig=rig), water_l


def _timed(brew: Brew, known: Known) -> Brew:
    """The brew with the minutes and temperatures that came true."""
    rests = tuple(
        MashRest(
            each.at_c if index not in known.rests else _or(known.rests[index][0], each.at_c),
            each.for_min if index not in known.rests else _or(known.rests[index][1], each.for_min),
        )
        for index, each in enumerate(brew.rests)
    )
    doses = tuple(_dose(each, known) for each in brew.doses)
    lasted, boil, late = known.lasted, known.taken.boil, known.taken.late
    chill = brew.chill
    if "chill" in lasted:
        chill = replace(chill, rate_k_min=None, in_min=lasted["chill"])
    return replace(
        brew,
        rests=rests,
        doses=doses,
        chill=chill,
        boil_min=lasted.get("boil", max(float(brew.boil_min) + boil.boil_min, 0.0)),
        stand_min=_stood(brew, lasted),
        pump_min=_pumped(brew, lasted),
        rest_min=lasted.get("rest", float(brew.rest_min) + boil.rest_min + late.rest_min),
        rig=replace(brew.rig, drain_min=lasted.get("lift", brew.rig.drain_min)),
    )


def _stood(brew: Brew, lasted: Mapping[str, float]) -> Real:
    """How long the wort waited for the pump: as planned, but no longer than the whirlpool was."""
    return np.minimum(brew.stand_min, lasted.get("whirlpool", np.inf))[()]


def _pumped(brew: Brew, lasted: Mapping[str, float]) -> Real:
    """How long it was pumped: what is left of the whirlpool after the wait."""
    whole_min = lasted.get("whirlpool")
    return brew.pump_min if whole_min is None else whole_min - float(_stood(brew, lasted))


def _or(value: float | None, otherwise: object) -> float:
    return float(otherwise) if value is None else value  # type: ignore[arg-type]


def _dose(dose: Dose, known: Known) -> Dose:
    if dose.id in known.left_out:
        return replace(dose, mass_kg=0.0)
    mass_kg = known.masses_kg.get(dose.id, dose.mass_kg)
    if isinstance(dose.when, DryHop):
        return replace(dose, mass_kg=mass_kg)
    return replace(dose, mass_kg=mass_kg, when=known.dosed.get(dose.id, dose.when))


@dataclass(frozen=True)
class Outcome:
    """What a day comes to: cold litres in the fermenter, gravities, bitterness, hot minutes."""

    fermenter_l: float
    original_sg: float
    final_sg: float
    ibu: float
    hot_min: float


def outcome(day: BrewDay) -> Outcome:
    """What a day comes to."""
    return Outcome(
        fermenter_l=float(day.volumes.fermenter_l),
        original_sg=float(day.strength.original_sg),
        final_sg=float(day.beer.final_sg),
        ibu=float(day.ibu),
        hot_min=float(day.hot.end_min),
    )


@dataclass(frozen=True)
class Replanned:
    """The day as it now stands, beside the plan.

    Where the boil was cut, `plain` is the day without the gap and `gap_min` how long that is.
    """

    base: Base
    known: Known
    day: BrewDay
    before: Outcome
    after: Outcome
    misses: tuple[Miss, ...]
    plain: BrewDay | None = None
    gap_min: float = 0.0


# A reading that cannot be leaves no number: it is questioned, and must not stop the rest.
@np.errstate(invalid="ignore", over="ignore", divide="ignore")
def replan(base: Base, known: Known) -> Replanned:
    """Work the rest of the day out again, and say where the difference sits."""
    brew, water_l = replaced(base, known)
    day = brew_day(brew, base.curves, water_l, base.day.method)
    at_pitch = _as_read_at_pitch(day, known)
    if at_pitch != brew:
        day = brew_day(at_pitch, base.curves, water_l, base.day.method)
    found = _misses(base, known)
    return Replanned(base, known, day, outcome(base.day), landed(day, known), tuple(found))


def _as_read_at_pitch(day: BrewDay, known: Known) -> Brew:
    """The brew whose litres and strength in the fermenter are those that were read there."""
    brew, litres = day.brew, day.volumes
    rig = brew.rig
    if known.fermenter_l is not None:
        kept_l = float(litres.wort_l) - float(litres.hop_held_l) - float(litres.left_behind_l)
        rig = replace(rig, hold_up_l=kept_l - known.fermenter_l)
    if known.original_plato is not None:
        wort_l = float(litres.wort_l)
        there_kg = float(extract_kg(wort_l, known.original_plato)) - float(brew.added_extract_kg)
        rig = replace(rig, mash_efficiency=there_kg / float(grist_extract_kg(brew)))
    return brew if rig is brew.rig else replace(brew, rig=rig)


def landed(day: BrewDay, known: Known) -> Outcome:
    """What a day comes to with what goes in or out after heat-off."""
    plain, late = outcome(day), known.taken.late
    if not (late.added_l or late.extract_kg or late.out_l):
        return plain
    kept_l = max(plain.fermenter_l - late.out_l, 0.0)
    litres = kept_l + late.added_l
    there_kg = float(extract_kg(kept_l, day.strength.original_plato)) + late.extract_kg
    original_sg = float(sg_from_plato(plato_from_extract(there_kg, litres)))
    share = (original_sg - 1.0) / (plain.original_sg - 1.0)
    return replace(
        plain,
        fermenter_l=litres,
        original_sg=original_sg,
        final_sg=1.0 + (plain.final_sg - 1.0) * share,
        ibu=plain.ibu * kept_l / litres,
    )


def _misses(base: Base, known: Known) -> Iterable[Miss]:
    """Every step where litres and strength are both known."""
    planned, strong = base.day.volumes, base.day.strength
    holds_kg = float(grist_extract_kg(base.day.brew))
    rows = (
        (planned.preboil_l, strong.preboil_sg, known.preboil_l, known.preboil_plato),
        (planned.postboil_l, strong.postboil_sg, known.postboil_l, known.postboil_plato),
        (planned.fermenter_l, strong.original_sg, known.fermenter_l, known.original_plato),
    )
    for litres, gravity_sg, read_l, read_plato in rows:
        if read_l and read_plato and read_l > 0.0 and read_plato > 0.0:
            plato = float(plato_from_sg(gravity_sg))
            yield told_apart(float(litres), plato, read_l, read_plato, holds_kg)


@dataclass(frozen=True)
class Time:
    """When a phase was to be and when it is, in minutes of the lot; `fact` once it has ended."""

    phase: str
    planned_min: float
    begins_min: float
    ends_min: float
    fact: bool


def times(day: Day, state: State, now: Replanned, now_min: float | None = None) -> list[Time]:
    """All phases of the brew with their new times: what has been, what is, what moves."""
    brew = now.day.brew
    first_l = first_water_l(brew, now.day.volumes.water_l)
    cold = cold_side(brew, now.base.curves, first_l, now.day.strike_c)
    lengths = [phase.end_min - phase.start_min for phase in timeline(now.day, cold).phases]
    phases = [phase for phase in day.phases if phase.stage == "brew"]
    waits_min = {**now.known.taken.wait_min}
    waits_min["boil"] = waits_min.get("boil", 0.0) + now.gap_min
    reached = state.span(phases[0].id)
    clock_min = planned_min = _or(reached.begun.min if reached else None, 0.0)
    here_min = (
        now_min if now_min is not None else _or(state.last.min if state.last else None, clock_min)
    )
    found: list[Time] = []
    begun = [index for index, phase in enumerate(phases) if phase.id in state.phases]
    for index, (phase, planned_length_min) in enumerate(zip(phases, lengths, strict=False)):
        length_min = planned_length_min + waits_min.get(phase.id, 0.0)
        span = state.span(phase.id)
        if span is None and begun and index < begun[-1]:
            # A later phase has begun: this one was passed over.
            planned_min += _or(phase.planned_min, 0.0)
            continue
        begins_min = clock_min if span is None else _or(span.begun.min, clock_min)
        if span is not None and span.ended is not None:
            ends_min = _or(span.ended.min, begins_min + length_min)
        else:
            # What should have ended by now ends now at the earliest.
            late_min = here_min if span is not None else begins_min
            ends_min = max(begins_min + length_min, late_min)
        is_fact = span is not None and span.ended is not None
        found.append(Time(phase.id, planned_min, begins_min, ends_min, is_fact))
        clock_min = ends_min
        planned_min += _or(phase.planned_min, 0.0)
    return found
