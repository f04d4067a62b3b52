"""The trade of the rest worked out for a plan, and as `rest/1`: plain numbers in core units."""

from collections.abc import Iterator, Sequence
from dataclasses import asdict, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from wortline.documents.words import Below, Lid
from wortline.plan.cautions import Say
from wortline.plan.clog import hop_load, level, wort_way
from wortline.plan.loss_curve import LidCurves, loss_curves
from wortline.plan.notes import Note
from wortline.plan.plain import number
from wortline.plan.plan import Plan
from wortline.plan.ranges import HIGH, LOW
from wortline.plan.report import numbers
from wortline.plan.rest_lines import (
    RestLines,
    RestWay,
    aroma_drawn_g_l,
    lines_of_ways,
    rest_lengths_min,
    under_lid,
)
from wortline.plan.rest_trade import Levels, RestTrade, WayTrade, rest_trade, way_words
from wortline.plan.swirl_line import constants_of, is_filled, still_heat, swirl_kettle
from wortline.science.water import expansion
from wortline.science.whirlpool import run

Array = npt.NDArray[np.float64]

USUAL_REST_MIN = 15.0
"""Rest of the run whose course is looked at (common practice, no source)."""

AROMA_MEMBERS = 32
"""Days drawn at every rest: a range that is a guess needs no more."""

SCHEMA = "rest/1"


@np.errstate(invalid="ignore", over="ignore", divide="ignore")
def trade_of(
    plan: Plan, pump_on_c: float, say: Say, normals: Array | None = None
) -> RestTrade:
    """The trade of a plan's rest: as planned, with the other lid, and with a cooler pump start.

    With draws the aroma of the planned way has its range.
    """
    brew = plan.day.brew
    lid = brew.whirlpool_lid
    other = Lid("off") if lid.kind == "on" else Lid("on")
    ways = [RestWay(lid), RestWay(other)]
    if float(brew.pump_min) > 0.0:
        ways.append(RestWay(lid, pump_on_c))
    planned_min = float(brew.rest_min)
    rests_min = rest_lengths_min(planned_min)
    curves = loss_curves(plan.fitted.case.central)
    lines = lines_of_ways(plan.fitted, curves, rests_min, ways)
    clear = cleared(plan, curves, rests_min, lines)
    levels = choked(plan, lines)
    whole = float(lines[0].aroma_g_l[0])
    low, high = (None, None)
    if plan.swirl_members is not None:
        low, high = np.percentile(plan.swirl_members.clear_at(rests_min), [LOW, HIGH], axis=1)
    scented = None
    if normals is not None and whole > 0.0:
        few = normals[:: max(len(normals) // AROMA_MEMBERS, 1)][:AROMA_MEMBERS]
        scented = aroma_drawn_g_l(plan.fitted, curves, rests_min, ways[0], few)
    weighed = tuple(
        WayTrade(
            lines=each,
            aroma_index=100.0 * each.aroma_g_l / whole if whole > 0.0 else None,
            clear=clear[number],
            clear_low=low if number == 0 else None,
            clear_high=high if number == 0 else None,
            clog=levels[number],
            aroma_drawn=scented if number == 0 else None,
        )
        for number, each in enumerate(lines)
    )
    found = rest_trade(rests_min, planned_min, weighed, say)
    return replace(found, notes=(*found.notes, *steps_in_aroma(lines[0], rests_min)))


def steps_in_aroma(line: RestLines, rests_min: Array) -> Iterator[Note]:
    """Why aroma steps up: a dose for a temperature meets a rest long enough to fall so far."""
    start_min = np.broadcast_to(line.day.hot.start_min("chill"), np.shape(line.day.hot.end_min))
    for each in line.day.lines:
        if not isinstance(each.dose.when, Below):
            continue
        here = slice(0, len(rests_min))
        resting = (np.broadcast_to(each.in_min, start_min.shape) <= start_min)[here]
        if resting.any() and not resting.all():
            from_min = rests_min[int(np.argmax(resting))]
            yield Note(
                "rest-dose-moves",
                "note",
                f"{each.dose.id} {each.dose.name} goes in {each.dose.typed_when}: with a rest of"
                f" {from_min:.0f} min and more that is in the rest, before it in the chill. It has"
                " longer in hot wort from there on, and aroma steps up with it.",
            )


def cleared(
    plan: Plan, curves: LidCurves, rests_min: Array, lines: Sequence[RestLines]
) -> list[Array | None]:
    """What has cleared at every rest length, way by way: one run whose members are the ways.

    Each way is taken as warm, and as quick to cool, as it is soon after its own pump stops.
    """
    day = plan.day
    gear = day.brew.swirl
    kettle = None if gear is None else swirl_kettle(day, gear, curves)
    if gear is None or kettle is None or not is_filled(kettle):
        return [None] * len(lines)
    heat = [
        still_heat(replace(day, brew=under_lid(day.brew, each.way.lid)), curves, each.rest_end_c[0])
        for each in lines
    ]
    temp_c, loss_w = (np.array([float(one) for one in each]) for each in zip(*heat, strict=True))
    pump_min = float(day.brew.pump_min)
    constants = plan.swirl.constants if plan.swirl else constants_of(gear, kettle, pump_min)[0]
    done = run(
        replace(
            kettle,
            wort_hot_l=day.volumes.postboil_l * expansion(temp_c),
            temp_c=temp_c,
            loss_w=loss_w,
        ),
        pump_min,
        USUAL_REST_MIN,
        constants,
        seen_min=float(rests_min[-1]) + 1.0,
    )
    course = done.resting
    pairs = zip(course.after_min.T, course.clear_fraction.T, strict=True)
    return [np.interp(rests_min, after, clear) for after, clear in pairs]


def choked(plan: Plan, lines: Sequence[RestLines]) -> list[Levels | None]:
    """The clog caution at every rest length, way by way; None where the day has no numbers."""
    way = wort_way(plan.piping.network.parts if plan.piping else None)
    load = hop_load(plan.day)
    if level(load, way) is None:
        return [None] * len(lines)
    return [
        tuple(level(replace(load, still_min=float(still)), way) for still in each.still_min)
        for each in lines
    ]


@np.errstate(invalid="ignore")
def rest_report(report: dict[str, Any], plan: Plan, trade: RestTrade) -> dict[str, Any]:
    """The trade as nested plain values, under the names of the plan it belongs to."""
    return {
        "schema": SCHEMA,
        **{key: report[key] for key in ("name", "rig", "day")},
        "fits": report["fits"],
        "cant": report["cant"],
        "method": plan.day.method,
        "rest_min": numbers(trade.rest_min),
        "planned_min": number(trade.planned_min),
        "knee_min": number(trade.knee_min),
        "worth": trade.worth,
        "verdict": trade.verdict,
        "ways": [_way(plan, way, trade.say) for way in trade.ways],
        "clog": report["clog"],
        "containment": [
            {"id": dose["id"], "name": line.dose.name, "ways": dose["ways"]}
            for dose, line in zip(report["aroma"]["doses"], plan.day.lines, strict=True)
        ],
        "notes": [asdict(note) for note in trade.notes],
    }


def _way(plan: Plan, way: WayTrade, say: Say) -> dict[str, Any]:
    lines: RestLines = way.lines
    doses = [
        {"id": line.dose.id, "name": line.dose.name, "ibu": numbers(ibu)}
        for line, ibu in zip(plan.day.lines, lines.dose_ibu, strict=True)
    ]
    malt_ibu = lines.ibu - sum(lines.dose_ibu, np.zeros_like(lines.ibu))
    aroma_low, aroma_high = way.aroma_ends() or (None, None)
    clog = way.clog or (None,) * len(lines.ibu)
    return {
        "words": way_words(way, say),
        "lid": lines.way.lid.kind,
        "pump_on_c": number(lines.way.pump_on_c),
        "stand_min": number(lines.stand_min),
        "pump_min": number(lines.pump_min),
        "rest_end_c": numbers(lines.rest_end_c),
        "ibu": numbers(lines.ibu),
        "doses": [*doses, {"id": "malt", "name": "malt", "ibu": numbers(malt_ibu)}],
        "aroma_index": _or_nothing(way.aroma_index, lines),
        "aroma_low_index": _or_nothing(aroma_low, lines),
        "aroma_high_index": _or_nothing(aroma_high, lines),
        "dms_ug_l": numbers(lines.dms_ug_l),
        "clear_fraction": _or_nothing(way.clear, lines),
        "clear_low_fraction": _or_nothing(way.clear_low, lines),
        "clear_high_fraction": _or_nothing(way.clear_high, lines),
        "clog_level": list(clog),
        "chilled_min": numbers(lines.chilled_min),
    }


def _or_nothing(values: Any, lines: RestLines) -> list[float | None]:
    return [None] * len(lines.ibu) if values is None else numbers(values)
