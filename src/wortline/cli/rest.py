"""`wortline rest`: the trade of the rest, printed."""

from collections.abc import Iterator
from typing import Any

from wortline.cli.layout import WIDTH, paragraph, rule
from wortline.units import say

Report = dict[str, Any]

# What the table shows beside the knee and the planned rest.
SHOWN_MIN = (0.0, 5.0, 10.0, 15.0, 20.0, 30.0, 45.0, 60.0, 120.0, 240.0, 480.0)
NEAR_MIN = 2.5


def rest_sheet(report: Report, system: str = "metric") -> str:
    """The trade of the rest as a page of 80 columns."""
    lines = [*paragraph(f"The rest of {report['name']} on {report['rig']}"), "=" * WIDTH]
    if not report["fits"]:
        for cant in report["cant"]:
            lines += paragraph(cant["text"], "x ")
    lines += [*paragraph(report["verdict"]), ""]
    for number, way in enumerate(report["ways"]):
        lines += [*_way(report, way, number == 0, system), ""]
    lines += list(_doses(report))
    lines += list(_aroma(report))
    lines += list(_clog(report))
    lines += list(_held(report, system))
    for note in report["notes"][1:]:
        lines += paragraph(note["text"], "* " if note["severity"] == "note" else "! ")
    told = (
        "Water, grist and doses are those of the plan. solids gone: share that no longer reaches"
        " the outlet, a guess until your own readings"
    )
    if report["ways"][0]["aroma_index"][0] is not None:
        told += (
            "; aroma: against the planned way without a rest, for comparing only. A dose for later"
            " than the rest goes in at its end"
        )
    lines += paragraph(f"{told}.")
    return "\n".join(lines)


def _clog(report: Report) -> Iterator[str]:
    """The clog caution of the plan, its reasons and what would lower it."""
    clog = report["clog"]
    if clog["level"] is None:
        return
    span = "" if clog["low"] == clog["high"] else f", {clog['low']} to {clog['high']}"
    yield rule(f"CLOG CAUTION {clog['level']} OF 5{span}, as planned")
    for reason in clog["reasons"]:
        points = f"{reason['points']:+d} " if reason["points"] else " 0 "
        yield from paragraph(reason["text"], points)
    for way in clog["ways_down"]:
        yield from paragraph(f"{way['text']} Then {way['level']} of 5.", " > ")
    yield ""


def _held(report: Report, system: str) -> Iterator[str]:
    """What holding each dose otherwise would change."""
    doses = [dose for dose in report["containment"] if dose["ways"]]
    if not doses:
        return
    yield rule("HOLDING A DOSE, all else as planned")
    yield f"{'':<16}{'':<5}{'IBU':>6}{'aroma':>22}{'keeps':>14}{'clog':>5}"
    for dose in doses:
        for number, way in enumerate(dose["ways"]):
            name = f"{dose['id']} {dose['name']}"[:15] if number == 0 else ""
            yield _held_row(name, way, system)
    yield ""


def _held_row(name: str, way: Report, system: str) -> str:
    ratio = way["aroma_ratio"]
    aroma = "-" if ratio["mid"] is None else f"x {ratio['mid']:.2f}"
    if ratio["low"] is not None and ratio["low"] != ratio["high"]:
        aroma += f" ({ratio['low']:.2f} to {ratio['high']:.2f})"
    ibu = "-" if way["ibu"] is None else f"{way['ibu']:.1f}"
    back = way["held_back_cold_l"]
    kept = "-" if back is None else say(back, "volume", system)
    level = "-" if way["clog_level"] is None else str(way["clog_level"])
    mark = "  < planned" if way["planned"] else ""
    return f"{name:<16}{way['held']:<5}{ibu:>6}{aroma:>22}{kept:>14}{level:>5}{mark}".rstrip()


def _rows(report: Report) -> list[int]:
    rests = report["rest_min"]
    marked = [each for each in (report["knee_min"], report["planned_min"]) if each is not None]
    shown = [each for each in SHOWN_MIN if all(abs(each - mark) > NEAR_MIN for mark in marked)]
    wanted = sorted({*shown, *marked})
    return sorted(
        {
            min(range(len(rests)), key=lambda i: abs(rests[i] - each))
            for each in wanted
            if each <= rests[-1] + 1e-9
        }
    )


def _way(report: Report, way: Report, is_planned: bool, system: str) -> Iterator[str]:
    planned = ", as planned" if is_planned else ""
    stand = f", standing {way['stand_min']:.0f} min first" if way["stand_min"] else ""
    pumped = f"pumped {way['pump_min']:.0f} min" if way["pump_min"] else "not pumped"
    title = f"{way['words'].upper()}{planned}{stand}; {pumped}"
    yield rule(title)
    yield f"{'rest':>8}{'ends at':>11}{'IBU':>8}{'aroma':>8}{'DMS':>10}{'solids':>9}" + (
        f"{'clog':>7}{'chilled':>14}"
    )
    yield f"{'':8}{'':11}{'':8}{'':8}{'µg/L':>10}{'gone':>9}{'1 to 5':>7}{'after heat-off':>16}"
    for row in _rows(report):
        yield _row(report, way, row, system)


def _row(report: Report, way: Report, row: int, system: str) -> str:
    def cell(key: str, width: int, digits: int = 0, times: float = 1.0, unit: str = "") -> str:
        value = way[key][row]
        shown = "-" if value is None else f"{times * value:.{digits}f}{unit}"
        return shown.rjust(width)

    end_c = way["rest_end_c"][row]
    temp = "-" if end_c is None else say(end_c, "temperature", system, digits=0)
    rest_min = report["rest_min"][row]
    marks = [
        word
        for word, key in (("knee", "knee_min"), ("planned", "planned_min"))
        if report[key] is not None and abs(report[key] - rest_min) < 1e-6
    ]
    mark = f"  < {', '.join(marks)}" if marks else ""
    return (
        f"{rest_min:>4.0f} min{temp:>11}{cell('ibu', 8, 1)}{cell('aroma_index', 8)}"
        f"{cell('dms_ug_l', 10)}{cell('clear_fraction', 9, 0, 100.0, ' %')}"
        f"{cell('clog_level', 7)}{cell('chilled_min', 8, 0, 1.0, ' min')}{mark}"
    ).rstrip()


def _aroma(report: Report) -> Iterator[str]:
    """How far the aroma of the planned way may be off at every rest."""
    way = report["ways"][0]
    rows = [row for row in _rows(report) if way["aroma_low_index"][row] is not None]
    if not rows:
        return
    yield "AROMA as planned, no rest = 100, a guess ".ljust(WIDTH, "-")
    lines = (("as told", "aroma_index"), ("8 in 10 from", "aroma_low_index"))
    yield f"{'minutes of rest':<22}" + "".join(
        f"{report['rest_min'][row]:>6.0f}" for row in rows
    )
    for name, key in (*lines, ("to", "aroma_high_index")):
        yield f"{name:<22}" + "".join(f"{way[key][row]:>6.0f}" for row in rows)
    yield ""


def _doses(report: Report) -> Iterator[str]:
    way = report["ways"][0]
    rows = _rows(report)
    doses = [dose for dose in way["doses"] if any(dose["ibu"])]
    if all(dose["id"] == "malt" for dose in doses):
        return
    yield rule("IBU OF EACH DOSE, as planned")
    yield f"{'minutes of rest':<22}" + "".join(
        f"{report['rest_min'][row]:>6.0f}" for row in rows
    )
    for dose in doses:
        name = dose["name"] if dose["id"] == "malt" else f"{dose['id']} {dose['name']}"
        cells = "".join(
            f"{'-' if dose['ibu'][row] is None else format(dose['ibu'][row], '.1f'):>6}"
            for row in rows
        )
        yield f"{name[:21]:<22}{cells}"
    yield ""
