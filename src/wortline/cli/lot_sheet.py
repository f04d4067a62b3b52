"""A lot as it stands, and its ways out, 80 columns wide."""

from collections.abc import Callable, Iterator
from typing import Any

from wortline.cli.layout import WIDTH, paragraph, rule
from wortline.units import say

Report = dict[str, Any]


def lot_sheet(report: Report, system: str = "metric") -> str:
    """How a lot stands."""

    def spoken(value: float | None, kind: str) -> str:
        return "unknown" if value is None else say(value, kind, system)

    lines = [f"Lot {report['number']}: {report['name']}", "=" * WIDTH]
    for part in (_next(report), _stands(report, spoken), _alarms(report), _phases(report),
                 _readings(report, spoken), _events(report), _problems(report)):  # fmt: skip
        found = list(part)
        lines += [*found, ""] if found else []
    return "\n".join(lines).rstrip("\n")


def _next(report: Report) -> Iterator[str]:
    steps = {step["id"]: step for step in report["steps"]}
    yield rule("Next")
    for name in report["next"][:1]:
        step = steps[name]
        if step["safety"]:
            yield from paragraph(step["safety"], "! ")
        moved = {each["id"]: each for each in report.get("stands", {}).get("steps", ())}
        text = moved[name]["text"] if name in moved else step["text"]
        yield from paragraph(f"{text}  [{name}]", "> ")
        if name in moved and moved[name]["was"]:
            yield from paragraph(f"(was: {moved[name]['was']})", "  ")
        if step["refusal"]:
            yield from paragraph(step["refusal"], "  ")
    if not report["next"]:
        yield "Nothing: begin the next phase, or it is all done."
    for name in report["meanwhile"]:
        yield from paragraph(f"Meanwhile: {steps[name]['text']}  [{name}]", "  ")


def _stands(report: Report, spoken: Callable[[float | None, str], str]) -> Iterator[str]:
    """Where it lands by what was read, in which rows that sits, what moves, and what is off."""
    now = report.get("stands")
    if not now or not (now["apart"] or now["steps"] or now["troubles"]):
        return
    yield rule("As it stands")
    for name, each in (("Planned", now["before"]), ("Now", now["after"])):
        litres = spoken(each["fermenter_l"], "volume")
        yield f"{name:8} {litres} cold, {each['original_sg']:.3f}, {each['ibu']:.0f} IBU"
    for row in (*now["apart"], *now["where"]):
        yield from paragraph(row["text"], "  ")
    for step in now["steps"]:
        if step["was"]:
            yield from paragraph(f"{step['text']}  (was: {step['was']})", "- ")
    for trouble in now["troubles"]:
        yield from paragraph(
            f"{trouble['words']}: wortline lot ways {report['number']} {trouble['trouble']}", "! "
        )


def _alarms(report: Report) -> Iterator[str]:
    if report["alarms"]:
        yield rule("Coming")
    for alarm in report["alarms"]:
        yield from paragraph(f"{_clock(alarm['due_min'])}  {alarm['text']}")


def _clock(minute: float) -> str:
    whole = round(abs(minute))
    return f"{'-' if minute <= -0.5 else ''}{whole // 60}:{whole % 60:02d}"


def _phases(report: Report) -> Iterator[str]:
    rows = [row for row in report["phases"] if row["begun_min"] is not None]
    if rows:
        yield rule("Phase                     began   took  planned")
    for row in rows:
        took = "now" if row["lasted_min"] is None else f"{row['lasted_min']:.0f}"
        planned = "" if row["planned_min"] is None else f"{row['planned_min']:.0f} min"
        yield f"{row['words']:24}  {_clock(row['begun_min']):>5}  {took:>5}  {planned:>7}"


def _readings(report: Report, spoken: Callable[[float | None, str], str]) -> Iterator[str]:
    if report["readings"]:
        yield rule("Read                       as read     counts as    planned")
    for row in report["readings"]:
        kind = row["quantity"]
        values = [spoken(row[key], kind) for key in ("value", "counts", "planned")]
        values[2] = "" if row["planned"] is None else values[2]
        name = f"{row['of']} {kind}"
        yield f"{name:24}  {values[0]:>9}  {values[1]:>11}  {values[2]:>9}"


def _events(report: Report) -> Iterator[str]:
    yield rule("What happened")
    for event in report["events"]:
        mark = "" if event["counts"] or event["kind"] in {"undone", "corrected"} else " [undone]"
        now = f" [now: {event['now']}]" if event["now"] else ""
        head = f"{event['number']:>4}  {event['minute'] or '':>7}  "
        yield from paragraph(f"{event['words']}{now}{mark}", head)


def _problems(report: Report) -> Iterator[str]:
    for problem in report["problems"]:
        yield from paragraph(problem, "Odd: ")


def ways_sheet(told: Report, system: str = "metric") -> str:
    """Ways out, each with its price."""
    lines: list[str] = []
    for doubt in told["question_first"]:
        lines += [*paragraph(f"Question this first: {doubt['text']} {doubt['ask']}")]
        if doubt["holds"]:
            lines += paragraph(
                f"Until you say so it counts for nothing here. It is right: wortline lot say"
                f" {told['lot']} right {doubt['number']}. Else: wortline lot say {told['lot']}"
                f" correct {doubt['number']} VALUE",
                "  ",
            )
        lines.append("")
    for text in told["where"]:
        lines += [*paragraph(text), ""]
    if not told["troubles"]:
        lines.append("Nothing is off that is known by now.")
    for trouble in told["troubles"]:
        lines += [rule(trouble["words"]), *_ways(trouble["ways"], system), ""]
    return "\n".join(lines).rstrip("\n")


def _ways(ways: list[Report], system: str) -> Iterator[str]:
    for way in ways:
        litres = say(way["fermenter_l"], "volume", system)
        minutes = f"{way['minutes_min']:+.0f} min"
        yield from paragraph(
            f"{litres} cold in the fermenter, {way['original_sg']:.3f}, {way['ibu']:.0f} IBU,"
            f" {minutes} ({way['trust']})  [{way['code']}]",
            "* ",
        )
        if way["safety"]:
            yield from paragraph(way["safety"], "  ! ")
        yield from paragraph(way["text"], "  ")
        if way["needs"]:
            yield from paragraph(f"Needs: {', '.join(way['needs'])}.", "  ")


def interruption_sheet(told: Report, system: str = "metric") -> str:
    """What to do after an interruption, the first line first."""
    lines = [line for each in told["lines"] for line in paragraph(each)]
    if told["overdue"]:
        lines += ["", rule("Overdue or due by now")]
        lines += [line for each in told["overdue"] for line in paragraph(each["text"], "- ")]
    if told["ways"]:
        lines += ["", rule("Boil interrupted"), *_ways(told["ways"], system)]
    lines += ["", rule("New times")]
    for row in told["times"]:
        if not row["fact"]:
            lines.append(f"{_clock(row['begins_min']):>6} to {_clock(row['ends_min']):>6}"
                         f"  {row['phase']}")  # fmt: skip
    return "\n".join(lines)
