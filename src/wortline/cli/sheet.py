"""The printed plan: one sheet that reads from top to bottom like the day, 80 columns wide."""

from collections.abc import Callable, Iterator
from typing import Any

from wortline.app.comparing import clear_after
from wortline.app.ledger_words import STEP_NAMES
from wortline.app.steps import steps
from wortline.cli.layout import WIDTH, cut, left, paragraph, right, rule
from wortline.units import GLUE, OZ_GAL_PER_G_L, glued, say

Say = Callable[..., str]
Report = dict[str, Any]

EARNED = ("boil_ibu", "rest_ibu", "chill_ibu", "total_ibu")
MANY_IBU = 99_999.0


def sheet(report: Report, system: str = "metric") -> str:
    """The whole printed plan."""

    def spoken(value: float | None, kind: str, **how: Any) -> str:
        return "unknown" if value is None else glued(say(value, kind, system, **how))

    parts = [_head(report), _numbers(report, spoken)]
    if not report["fits"]:
        parts.insert(1, _cants(report))
    parts += [
        _weigh(report, spoken),
        _ledger(report, spoken),
        _bitter(report),
        _aroma(report, system),
        _day(report, spoken, system),
        _notes(report),
    ]
    text = "\n".join("\n".join(part) + "\n" for part in (list(each) for each in parts) if part)
    return text.replace(GLUE, " ")


def _head(report: Report) -> Iterator[str]:
    on_day = f", {report['day']}" if report["day"] else ""
    yield from paragraph(f"{report['name']} on {report['rig']}{on_day}")
    yield "=" * WIDTH


def _cants(report: Report) -> Iterator[str]:
    yield rule("THIS PLAN DOES NOT FIT")
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
        ("Alcohol by volume", "abv_fraction", lambda value: f"{100 * value:.1f}{GLUE}%"),
        ("Bitterness, young beer", "bitterness.ibu", lambda value: f"{value:.0f}{GLUE}IBU"),
        ("Colour", "colour_ebc", lambda value: spoken(value, "colour")),
        ("DMS in the beer", "dms_ug_l.beer", lambda value: f"{value:.0f}{GLUE}µg/L"),
        ("Electricity", "energy_kwh", lambda value: f"{value:.1f}{GLUE}kWh"),
        ("Rest until clear", "whirlpool.rest_min", lambda value: glued(clear_after(report, value))),
        ("Cone, cold", "whirlpool.cone_cold_l", lambda value: spoken(value, "volume")),
    )
    for title, key, shown in rows:
        if key.startswith("whirlpool.") and key not in report["ranges"]:
            continue
        yield from paragraph(ranged(report, key, shown), f"{title:<26}")
    bitter = report["bitterness"]
    yield from paragraph(
        f"In brackets: 8 in 10 days like this end there, and how far to trust it. Bitterness by"
        f" the {bitter['method']} method; Tinseth without rest {_ibu(bitter['tinseth_ibu'], 0)}"
        f"{GLUE}IBU."
    )


def _ibu(value: float | None, digits: int = 1) -> str:
    if value is None:
        return "unknown" if digits == 0 else "?"
    return f"{value:.{digits}f}" if value < MANY_IBU else f"{value:.0e}"


def _weigh(report: Report, spoken: Say) -> Iterator[str]:
    yield rule("WEIGH OUT")
    for malt in report["grist"]:
        yield from _weighed(malt, malt["name"], spoken)
    for dose in report["bitterness"]["doses"]:
        if dose["id"] != "malt":
            held = "" if dose["held"] == "free" else f", in {dose['held']}"
            alpha = f"{100 * dose['alpha_fraction']:.1f}{GLUE}% alpha now"
            text = f"{dose['name']} ({dose['id']}), {dose['form']}, {alpha}: {dose['at']}{held}"
            yield from _weighed(dose, text, spoken)
    yield from paragraph(f"yeast: {report['yeast']}", f"[ ] {'':10}  ", " " * 16)


def _weighed(each: Report, text: str, spoken: Say) -> Iterator[str]:
    # Under 10 g a whole gram is too coarse.
    fine = {"digits": 2} if each["mass_kg"] is not None and each["mass_kg"] < 0.01 else {}
    mass = spoken(each["mass_kg"], "mass", **fine)
    yield from paragraph(text, f"[ ] {right(mass, 10)}  ", " " * 16)


def _ledger(report: Report, spoken: Say) -> Iterator[str]:
    yield rule("LEDGER")
    yield f"{'':<27}{'cold':>15}{'hot':>15}{'at':>10}{'mark':>11}"
    beside = report["water_l"]

    def litres(value: float | None) -> str:
        return "" if value is None else spoken(value, "volume", beside=beside)

    for row in report["ledger"]:
        name = STEP_NAMES[row["step"]]
        if row["kind"] == "loss":
            yield f"  - {name:<22} {litres(row['cold_l']):>15}"
            continue
        mark = "" if row["mark_cm"] is None else spoken(row["mark_cm"] / 100.0, "length")
        temp = "" if row["temp_c"] is None else spoken(row["temp_c"], "temperature")
        cold, hot = litres(row["cold_l"]), litres(row["hot_l"])
        yield from paragraph(f"{name:<26} {cold:>15} {hot:>14} {temp:>9} {mark:>10}", "", "    ")
    yield from paragraph(
        "cold: counted at 20 C, which is 68 F; hot: as it stands at the temperature beside it."
    )


def _bitter(report: Report) -> Iterator[str]:
    doses = report["bitterness"]["doses"]
    yield rule("BITTER LINE, IBU in the young beer")
    yield f"{'':<39}{'boil':>7}{'rest':>7}{'chill':>7}{'total':>7}{'shift':>11}"
    for dose in doses:
        shift = dose["shift_min"]
        moved = "" if shift is None else f"{shift:+.0f} min" if abs(shift) >= 0.5 else "none"
        is_malt = dose["id"] == "malt"
        name = cut(dose["name"] if is_malt else f"{dose['id']} {dose['name']}", 22)
        at = cut(dose["at"], 16)
        earned = [f"{_ibu(dose[part]):>7}" for part in EARNED]
        yield (left(name, 23) + left(at, 16) + "".join(earned) + f"{moved:>11}").rstrip()
    yield f"{'all doses':<60}{_ibu(report['bitterness']['ibu']['mid']):>7}"
    if any(dose["shift_min"] for dose in doses):
        yield from paragraph(
            "shift: move the dose by this much, + is later, and it is as bitter as it would be"
            " without the whirlpool."
        )


def _aroma(report: Report, system: str) -> Iterator[str]:
    """What each dose adds on the hot side, and the share of each class of its oil that stays."""
    told = report["aroma"]
    names = {dose["id"]: dose["name"] for dose in report["bitterness"]["doses"]}
    doses = [dose for dose in told["doses"] if dose["index_g_l"]["mid"] is not None]
    if not doses:
        return
    yield rule("AROMA of the cold wort, a guess")
    oils = [f"{oil['name']:>{len(oil['name']) + 1}}" for oil in doses[0]["oils"]]
    us = system == "us"
    by_volume = OZ_GAL_PER_G_L if us else 1.0
    yield f"{'':<16}{'index, oz/US gal' if us else 'index, g/L':>19}{''.join(oils)}"
    for dose in doses:
        kept = "".join(
            f"{_about(oil['kept_fraction']['mid']):>{len(head)}}"
            for oil, head in zip(dose["oils"], oils, strict=True)
        )
        name = cut(f"{dose['id']} {names[dose['id']]}", 15)
        yield left(name, 16) + f"{_index(dose['index_g_l'], by_volume):>19}" + kept
        ends = "".join(
            f"{_ends(oil['kept_fraction']):>{len(head)}}"
            for oil, head in zip(dose["oils"], oils, strict=True)
        )
        yield f"{'  8 in 10 days':<35}{ends}"
    yield f"{'all doses':<16}{_index(told['index_g_l'], by_volume):>19}"
    yield from paragraph(
        f"index: hops for each {'US gallon' if us else 'litre'} that keep all of their linalool,"
        " half to twice of it or wider; for comparing schedules on this rig, not beers. Of each"
        " class of oil the share that the wort keeps, to the nearest 5 %, and where 8 in 10 days"
        " end."
    )


def _ends(share: dict[str, float]) -> str:
    """A range of shares in per cent, to the nearest 5."""
    low, high = (5.0 * round(20.0 * share[end]) for end in ("low", "high"))
    return f"{low:.0f}-{high:.0f}" if high else "<5"


def _index(index_g_l: dict[str, float], by_volume: float) -> str:
    index = {end: by_volume * each for end, each in index_g_l.items()}
    if index["high"] < 0.01:
        return "below 0.01"
    low, mid, high = (
        f"{index[end]:.{2 if index[end] < 1.0 else 1}f}" for end in ("low", "mid", "high")
    )
    return f"{mid} ({low} to {high})"


def _about(share: float | None) -> str:
    """A share as roughly as it is known."""
    if share is None:
        return "?"
    rounded = 5 * round(20 * share)
    return f"{rounded}{GLUE}%" if rounded else f"<5{GLUE}%"


def _day(report: Report, spoken: Say, system: str) -> Iterator[str]:
    yield rule("THE DAY, hours:minutes from the first water")
    if not report["fits"]:
        yield from paragraph("Not a day to brew by: this plan does not fit, see the top.", "x ")
    for step in steps(report, spoken, system):
        for caution in step.cautions:
            yield from paragraph(caution, f"{'':6} ! ")
        for index, act in enumerate(step.acts):
            clock = step.clock if index == 0 else ""
            yield from paragraph(act, f"{clock:>6} [ ] ", " " * 11)


def _notes(report: Report) -> Iterator[str]:
    if not report["notes"]:
        return
    yield rule("NOTES")
    for note in report["notes"]:
        yield from paragraph(note["text"], "* " if note["severity"] == "note" else "! ")
