"""The printed plan: one sheet that reads from top to bottom like the day, 80 columns wide."""

from collections.abc import Callable, Iterator
from functools import partial
from textwrap import wrap
from typing import Any

from wortline.cli.steps import steps
from wortline.units import say

WIDTH = 78
Say = Callable[..., str]
Report = dict[str, Any]

STEP_NAMES = {
    "water": "water at the tap",
    "first_water": "of it first, on the grain",
    "sparge": "of it to rinse the grain",
    "mash": "mash with its grain",
    "grain_holds": "held by the grain",
    "preboil": "before the boil",
    "boil_off": "boiled off",
    "postboil": "at heat-off",
    "rest_loss": "steam after heat-off",
    "wort": "cold in the kettle",
    "hops_hold": "held by the hops",
    "left_behind": "left in the kettle",
    "hold_up": "left in the line",
    "fermenter": "into the fermenter",
}


def sheet(report: Report, system: str = "metric") -> str:
    """The whole printed plan."""
    spoken = partial(say, system=system)
    parts = [_head(report, spoken), _numbers(report, spoken)]
    if not report["fits"]:
        parts.insert(1, _cants(report))
    parts += [
        _weigh(report, spoken),
        _ledger(report, spoken),
        _bitter(report),
        _day(report, spoken),
        _notes(report),
    ]
    return "\n".join("\n".join(part) + "\n" for part in (list(each) for each in parts) if part)


def paragraph(text: str, first: str = "", then: str = "") -> list[str]:
    """A text broken to the width of the sheet."""
    return wrap(text, WIDTH, initial_indent=first, subsequent_indent=then or " " * len(first))


def _rule(title: str) -> str:
    return f"{title} ".ljust(WIDTH, "-")


def _head(report: Report, spoken: Say) -> Iterator[str]:
    on_day = f", {report['day']}" if report["day"] else ""
    yield from paragraph(f"{report['name']} on {report['rig']}{on_day}")
    yield "=" * WIDTH


def _cants(report: Report) -> Iterator[str]:
    yield _rule("THIS PLAN DOES NOT FIT")
    for cant in report["cant"]:
        yield from paragraph(cant["text"], "x ")
        yield from paragraph(f"Nearest that works: {cant['nearest']['text']}", "  > ")


def ranged(report: Report, key: str, shown: Callable[[float], str]) -> str:
    """A number with its range and trust beside it."""
    spread = report["ranges"].get(key)
    if spread is None:
        return "unknown"
    low, high = shown(spread["low"]), shown(spread["high"])
    return f"{shown(spread['mid'])} ({low} to {high}, {spread['trust']})"


def _numbers(report: Report, spoken: Say) -> Iterator[str]:
    rows: tuple[tuple[str, str, Callable[[float], str]], ...] = (
        ("In the fermenter, cold", "fermenter_l", lambda value: spoken(value, "volume")),
        ("Original gravity", "gravity.original_sg", lambda value: f"{value:.3f}"),
        ("Final gravity", "gravity.final_sg", lambda value: f"{value:.3f}"),
        ("Alcohol by volume", "abv_fraction", lambda value: f"{100 * value:.1f} %"),
        ("Bitterness, young beer", "bitterness.ibu", lambda value: f"{value:.0f} IBU"),
        ("Colour", "colour_ebc", lambda value: spoken(value, "colour")),
        ("DMS in the beer", "dms_ug_l.beer", lambda value: f"{value:.0f} ug/L"),
        ("Electricity", "energy_kwh", lambda value: f"{value:.1f} kWh"),
    )
    for title, key, shown in rows:
        yield f"{title:<26}{ranged(report, key, shown)}"
    bitter = report["bitterness"]
    yield (
        f"{'':<26}by the {bitter['method']} method; Tinseth without rest"
        f" {bitter['tinseth_ibu']:.0f} IBU"
    )


def _weigh(report: Report, spoken: Say) -> Iterator[str]:
    yield _rule("WEIGH OUT")
    for malt in report["grist"]:
        yield f"[ ] {spoken(malt['mass_kg'], 'mass'):>10}  {malt['name']}"
    for dose in report["bitterness"]["doses"]:
        if dose["id"] != "malt":
            held = "" if dose["held"] == "free" else f", in {dose['held']}"
            alpha = f"{100 * dose['alpha_fraction']:.1f} % alpha"
            yield (
                f"[ ] {spoken(dose['mass_kg'], 'mass'):>10}  {dose['name']} ({dose['id']}),"
                f" {dose['form']}, {alpha}: {dose['at']}{held}"
            )
    yield f"{'':14}  yeast: {report['yeast']}"


def _ledger(report: Report, spoken: Say) -> Iterator[str]:
    yield _rule("LEDGER")
    yield f"{'':<28}{'cold':>12}{'hot':>12}{'at':>10}{'mark':>12}"
    for row in report["ledger"]:
        name = STEP_NAMES[row["step"]]
        if row["kind"] == "loss":
            yield f"  - {name:<24}{_or_blank(row['cold_l'], 'volume', spoken):>12}"
            continue
        mark = "" if row["mark_cm"] is None else spoken(row["mark_cm"] / 100.0, "length")
        yield (
            f"{name:<28}{_or_blank(row['cold_l'], 'volume', spoken):>12}"
            f"{_or_blank(row['hot_l'], 'volume', spoken):>12}"
            f"{_or_blank(row['temp_c'], 'temperature', spoken):>10}{mark:>12}"
        )


def _or_blank(value: float | None, kind: str, spoken: Say) -> str:
    return "" if value is None else spoken(value, kind)


def _bitter(report: Report) -> Iterator[str]:
    doses = report["bitterness"]["doses"]
    yield _rule("BITTER LINE, IBU")
    yield f"{'':<34}{'boil':>8}{'rest':>8}{'chill':>8}{'total':>8}{'shift':>10}"
    for dose in doses:
        shift = dose["shift_min"]
        moved = "" if shift is None else f"{shift:+.0f} min" if abs(shift) >= 0.5 else "none"
        name = f"{dose['id']} {dose['name']}"[:22]
        yield (
            f"{name:<23}{dose['at'][:11]:<11}{dose['boil_ibu']:>8.1f}{dose['rest_ibu']:>8.1f}"
            f"{dose['chill_ibu']:>8.1f}{dose['total_ibu']:>8.1f}{moved:>10}"
        )
    if any(dose["shift_min"] for dose in doses):
        yield from paragraph(
            "shift: move the dose by this much, + is later, and it is as bitter as it would be"
            " without the whirlpool."
        )


def _day(report: Report, spoken: Say) -> Iterator[str]:
    yield _rule("THE DAY")
    for step in steps(report, spoken):
        for caution in step.cautions:
            yield from paragraph(caution, f"{'':6} ! ")
        for index, act in enumerate(step.acts):
            clock = step.clock if index == 0 else ""
            yield from paragraph(act, f"{clock:>6} [ ] ", " " * 11)


def _notes(report: Report) -> Iterator[str]:
    if not report["notes"]:
        return
    yield _rule("NOTES")
    for note in report["notes"]:
        yield from paragraph(note["text"], "* " if note["severity"] == "note" else "! ")
