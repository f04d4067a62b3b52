"""The trade of the rest worked out for a plan, and as `rest/1`: plain numbers in core units."""

from dataclasses import asdict
from typing import Any

import numpy as np

from wortline.documents.words import Lid
from wortline.plan.loss_curve import loss_curves
from wortline.plan.plan import Plan
from wortline.plan.report import number, numbers
from wortline.plan.rest_lines import RestLines, RestWay, lines_of_ways, rest_lengths_min
from wortline.plan.rest_trade import RestTrade, WayTrade, rest_trade, way_words

SCHEMA = "rest/1"


@np.errstate(invalid="ignore", over="ignore", divide="ignore")
def trade_of(plan: Plan, pump_on_c: float) -> RestTrade:
    """The trade of a plan's rest: as planned, with the other lid, and with a cooler pump start."""
    brew = plan.day.brew
    lid = brew.whirlpool_lid
    other = Lid("off") if lid.kind == "on" else Lid("on")
    ways = [RestWay(lid), RestWay(other)]
    if float(brew.pump_min) > 0.0:
        ways.append(RestWay(lid, pump_on_c))
    planned_min = float(brew.rest_min)
    rests_min = rest_lengths_min(planned_min)
    lines = lines_of_ways(plan.fitted, loss_curves(plan.fitted.case.central), rests_min, ways)
    weighed = tuple(WayTrade(each) for each in lines)
    return rest_trade(rests_min, planned_min, weighed)


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
        "ways": [_way(plan, way) for way in trade.ways],
        "notes": [asdict(note) for note in trade.notes],
    }


def _way(plan: Plan, way: WayTrade) -> dict[str, Any]:
    lines: RestLines = way.lines
    doses = [
        {"id": line.dose.id, "name": line.dose.name, "ibu": numbers(ibu)}
        for line, ibu in zip(plan.day.lines, lines.dose_ibu, strict=True)
    ]
    malt_ibu = lines.ibu - sum(lines.dose_ibu, np.zeros_like(lines.ibu))
    clog = way.clog or (None,) * len(lines.ibu)
    return {
        "words": way_words(way),
        "lid": lines.way.lid.kind,
        "pump_on_c": number(lines.way.pump_on_c),
        "stand_min": number(lines.stand_min),
        "pump_min": number(lines.pump_min),
        "rest_end_c": numbers(lines.rest_end_c),
        "ibu": numbers(lines.ibu),
        "doses": [*doses, {"id": "malt", "name": "malt", "ibu": numbers(malt_ibu)}],
        "aroma_index": _or_nothing(way.aroma_index, lines),
        "dms_ug_l": numbers(lines.dms_ug_l),
        "clear_fraction": _or_nothing(way.clear, lines),
        "clear_low_fraction": _or_nothing(way.clear_low, lines),
        "clear_high_fraction": _or_nothing(way.clear_high, lines),
        "clog_level": list(clog),
        "chilled_min": numbers(lines.chilled_min),
    }


def _or_nothing(values: Any, lines: RestLines) -> list[float | None]:
    return [None] * len(lines.ibu) if values is None else numbers(values)
