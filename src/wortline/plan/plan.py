"""The plan: documents worked out, as one pure function of a case and a table of draws."""

from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from wortline.documents.words import HeatOff, IntoRest
from wortline.plan.aim import Aim, Fitted, fit
from wortline.plan.aroma_ranges import OIL_MODEL, AromaMembers, aroma_members, aroma_range
from wortline.plan.bitter_line import BITTERNESS
from wortline.plan.brew_day import BrewDay, brew_day, first_water_l
from wortline.plan.cant import cants
from wortline.plan.case import Case
from wortline.plan.cautions import Say, cautions
from wortline.plan.clog import Clog, clog, clog_notes, retold_clog, wort_way
from wortline.plan.cold_side import ColdSide, cold_side
from wortline.plan.containment import HeldWay, containment
from wortline.plan.hot_side import without_rest
from wortline.plan.loss_curve import LidCurves, loss_curves
from wortline.plan.notes import Note, notes, retold_notes
from wortline.plan.ranges import Range, Thresholds, headlines, ranges
from wortline.plan.rest_lines import RestWay, stand_min
from wortline.plan.shift import shift_min
from wortline.plan.swirl_again import CloudedAgain, clouded_again, clouded_notes
from wortline.plan.swirl_line import SwirlLine, swirl_line
from wortline.plan.swirl_notes import swirl_notes
from wortline.plan.swirl_ranges import SWIRL_ONLY, SwirlMembers, swirl_members, swirl_ranges
from wortline.plan.timeline import Phase, Track, lift_start_min, timeline
from wortline.plan.wish import Cant, Ground
from wortline.science.real import Real
from wortline.units import say

if TYPE_CHECKING:
    from wortline.plan.line_ups import Piping, Stand

Array = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Plan:
    """Everything a face shows of one planned day."""

    fitted: Fitted
    aim: Aim
    cold: ColdSide
    central: dict[str, Real]
    ranges: dict[str, Range]
    track: Track
    hot_start_min: float
    shifts: list[float | None]
    cants: list[Cant]
    notes: list[Note]
    case: Case
    clog: Clog
    containment: list[tuple[HeldWay, ...]] | None
    """The ways to hold every dose; None in a plan that is not whole."""
    swirl: SwirlLine | None = None
    swirl_members: SwirlMembers | None = None
    clouded: CloudedAgain | None = None
    aroma_members: AromaMembers | None = None
    stands: tuple["Stand", ...] = ()
    piping: "Piping | None" = None

    @property
    def day(self) -> BrewDay:
        """The central day."""
        return self.fitted.day


# A wish beyond physics has no numbers: they are not finite here and None in the report, and a
# can't-because says why.
@np.errstate(invalid="ignore", over="ignore", divide="ignore")
def plan(
    case: Case,
    aim: Aim,
    normals: Array | None,
    thresholds: Thresholds,
    method: str = "kinetic",
    system: str = "metric",
    piping: "Piping | None" = None,
    whole: bool = True,
) -> Plan:
    """Work a case out: fit to aim, central day, timeline, ranges, cautions, notes and can'ts.

    Without draws there are no ranges, and nothing but the central day is worked out. With the
    rig's pipes the phases have their line-ups. A plan that is not `whole` is the same without
    what takes the longest: the whirlpool and the line-ups, what the notes say of them, and the
    other ways to hold the hops and to chill.
    """
    curves = loss_curves(case.central)
    fitted, cold, track = laid_out(case, curves, method, aim)
    spoken = partial(say, system=system)
    waits: list[Note] = []
    on_c = pump_on_c(piping, fitted.day, track) if piping else None
    if on_c is not None:
        waits_min = whole_stand_min(fitted, curves, on_c)
        if waits_min is not None:
            fitted, cold, track = laid_out(standing(case, waits_min), curves, method, aim)
            waits = [pump_waits(waits_min, on_c, spoken)]
    day = fitted.day
    on_phase = cautions(day, spoken)
    track.phases = [cautioned(phase, on_phase) for phase in track.phases]
    plain = plain_day(day, curves)
    shifts = time_shifts(day, plain)
    way = wort_way(piping.network.parts if piping else None)
    choking = retold_clog(clog(day, way), system)
    stands, piped = line_ups(piping, day, track) if piping and whole else ((), [])
    # The water that is planned, to the last digit, not the water worked out again from its losses.
    central = {**headlines(day, curves), "water_l": day.volumes.water_l}
    ranged: dict[str, Range] = {}
    scented = None
    if normals is not None:
        ranged, scented = ensemble(fitted, curves, central, normals, thresholds, whole)
    swirl, members = swirl_line(day, curves) if whole else None, None
    if swirl is not None:
        central |= swirl.headlines
        if normals is not None:
            members = swirl_members(fitted, curves, swirl, normals)
        if members is not None:
            ranged |= swirl_ranges(swirl, members, fitted.case.inputs, thresholds)
    clouded = clouded_again(day, swirl) if swirl is not None else None
    told = [*clog_notes(choking), *(swirl_notes(day, swirl, ranged, spoken) if swirl else ())]
    told += clouded_notes(clouded, spoken)
    return Plan(
        fitted=fitted,
        aim=aim,
        cold=cold,
        central=central,
        ranges=ranged,
        track=track,
        hot_start_min=lift_start_min(track),
        shifts=shifts,
        cants=cants(Ground(day, cold, curves, system, fitted.grist_times)),
        notes=[
            *notes(fitted, aim, float(plain.ibu), shifts, spoken),
            *waits,
            *told,
            *retold_notes(piped, system),
        ],
        case=fitted.case,
        clog=choking,
        containment=containment(day, way) if whole else None,
        swirl=swirl,
        swirl_members=members,
        clouded=clouded,
        aroma_members=scented,
        stands=stands,
        piping=piping,
    )


def laid_out(
    case: Case, curves: LidCurves, method: str, aim: Aim
) -> tuple[Fitted, ColdSide, Track]:
    """A case fitted to its aim, and its day on one axis."""
    fitted = fit(case, curves, method, aim)
    day = fitted.day
    cold = cold_side(day.brew, curves, first_water_l(day.brew, day.volumes.water_l), day.strike_c)
    return fitted, cold, timeline(day, cold)


def pump_on_c(piping: "Piping", day: BrewDay, track: Track) -> float | None:
    """How cool the wort has to be for the whirlpool's pump; None if it may go on at once."""
    from wortline.plan import line_ups

    return line_ups.pump_on_c(piping, day, track)


def whole_stand_min(fitted: Fitted, curves: LidCurves, on_c: float) -> float | None:
    """Whole minutes until the still wort is as cool as that; None where it takes hours."""
    waits_min = stand_min(fitted, curves, RestWay(fitted.day.brew.whirlpool_lid, on_c))
    return float(np.ceil(waits_min)) if np.isfinite(waits_min) else None


def standing(case: Case, waits_min: float) -> Case:
    """The same case with the wort standing before the pump goes on."""
    assemble = case.assemble
    return replace(case, assemble=lambda values: replace(assemble(values), stand_min=waits_min))


def pump_waits(waits_min: float, on_c: float, spoken: Say) -> Note:
    """That the day waits for the pump, and what would spare it."""
    return Note(
        "pump-waits",
        "note",
        f"Wort straight from the boil may boil in the pump of this rig: the plan lets it stand"
        f" {waits_min:.0f} min, until it is at {spoken(on_c, 'temperature')} or below, before the"
        " pump goes on. The clock, the bitterness and all other numbers have these minutes in them."
        " A pump that hangs lower, or a flow slowed behind it, never before it, waits less.",
    )


def line_ups(
    piping: "Piping", day: BrewDay, track: Track
) -> tuple[tuple["Stand", ...], list[Note]]:
    """How the pipes stand in every phase; the graph library is loaded for such rigs alone."""
    from wortline.plan.line_ups import stands

    return stands(piping, day, track)


def cautioned(phase: Phase, on_phase: dict[str, tuple[str, ...]]) -> Phase:
    """The phase with what to say before its first act."""
    return replace(phase, cautions=on_phase.get(phase.phase, ()))


def ensemble(
    fitted: Fitted,
    curves: LidCurves,
    central: dict[str, Real],
    normals: Array,
    thresholds: Thresholds,
    whole: bool,
) -> tuple[dict[str, Range], AromaMembers | None]:
    """One pass over the members: the central plan's water, with everything uncertain drawn.

    A plan that is not whole has no ranges of its aroma.
    """
    brew, moved = fitted.case.drawn(normals)
    members = brew_day(brew, curves, fitted.day.volumes.water_l, fitted.day.method)
    drawn = headlines(members, curves)
    # What only the swirl or the oil knows cannot be a reason for anything else.
    inputs = fitted.case.inputs
    oily = {name: each for name, each in moved.items() if not name.startswith(SWIRL_ONLY)}
    others = {name: each for name, each in oily.items() if not name.startswith(OIL_MODEL)}
    ranged = ranges(central, drawn, others, inputs, thresholds)
    if not whole:
        return ranged, None
    scented = aroma_members(members, oily, len(normals))
    return ranged | aroma_range(fitted.day, scented, inputs, thresholds), scented


def plain_day(day: BrewDay, curves: LidCurves) -> BrewDay:
    """The same day without whirlpool and rest, with the same chill and the same doses.

    A dose meant for the rest goes in at its start, which is then heat-off.
    """
    doses = tuple(
        replace(dose, when=HeatOff()) if isinstance(dose.when, IntoRest) else dose
        for dose in day.brew.doses
    )
    brew = replace(day.brew, doses=doses, pump_min=0.0, rest_min=0.0, stand_min=0.0)
    hot = without_rest(day.brew, curves, day.hot, day.volumes.postboil_l, day.pot.postboil_plato)
    return replace(day, brew=brew, hot=hot, lines=BITTERNESS[day.method](brew, hot, day.wort))


def time_shifts(day: BrewDay, plain: BrewDay) -> list[float | None]:
    """The time shift of every dose [min]; None where no moment will do."""
    end_min = float(day.hot.end_min)
    boil_min = float(day.hot.start_min("boil"))
    shifts: list[float | None] = []
    for line, wanted_ibu in zip(day.lines, plain.dose_ibu, strict=True):
        if not np.isfinite(line.in_min):
            shifts.append(None)
            continue
        earliest_min = min(boil_min, float(line.in_min))
        shifts.append(shift_min(line, float(wanted_ibu), earliest_min, end_min))
    return shifts
