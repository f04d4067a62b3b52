"""A reason as text: the number, its formula, what it rests on, where that is from."""

from typing import Any

from wortline.cli.layout import paragraph
from wortline.units import say

KINDS = {
    "_l_h": "evaporation",
    "_l": "volume",
    "_cm": "length",
    "_c": "temperature",
    "_sg": "gravity",
    "_fraction": "fraction",
    "fraction": "fraction",
    "_ebc": "colour",
    "ibu": "bitterness",
    "_min": "time",
    "_kwh": "energy",
}


def said(value: float | None, key: str, system: str) -> str:
    """A number of the plan as people read it, by the unit its key ends in."""
    if value is None:
        return "unknown"
    if key.startswith("dms_ug_l"):
        return f"{value:.0f} µg/L"
    if key.endswith("_g_l"):
        return f"{value:.2g} g/L of hops"
    if key.startswith("ledger.") and key.count(".") == 1:
        return f"{say(value, 'volume', system)} cold"
    if key.startswith("bitterness.doses.") and key.count(".") == 2:
        return f"{value:.1f} IBU"
    if key.startswith("aroma.doses."):
        told = key.split(".")[3:]
        if told and told != ["index_g_l"]:
            return f"{100 * value:.0f} %"
        return f"{value:.2g} g/L of hops"
    if key.startswith("chill.") and not key.endswith(("_c", "_l", "_min")):
        return say(value, "time", system)
    if key.endswith("_per_min") or key.startswith("whirlpool.turns"):
        # A rate is not minutes.
        return say(value, "turning", system)
    kind = next((kind for end, kind in KINDS.items() if key.endswith(end)), None)
    if kind is None:
        return f"{value:.4g}"
    return say(value / 100.0 if key.endswith("_cm") else value, kind, system)


def reasons(explained: dict[str, Any], system: str = "metric") -> str:
    """The answer to `why` in plain words."""
    key = explained["key"]
    lines = [f"{key} = {said(explained['value'], key, system)}"]
    lines += paragraph(explained["what"])
    spread = explained["range"]
    if spread:
        low, high = (said(spread[end], key, system) for end in ("low", "high"))
        lines += paragraph(
            f"8 days in 10 lie from {low} to {high}, {spread['trust']};"
            f" mostly because of {' and '.join(spread['because'])}."
        )
    lines += ["", "Formula"]
    lines += paragraph(explained["formula"], "  ")
    if explained["inputs"]:
        stars = " (* leads the range)" if spread else ""
        lines += ["", f"Inputs, in core units{stars}"]
    for each in explained["inputs"]:
        mark = "*" if each["leads"] else " "
        spread_text = f" +/- {each['spread']:.3g}" if each["spread"] else ""
        unit = "" if each["unit"] == "-" else f" {each['unit']}"
        text = (
            f"{each['name']} = {each['value']:.6g}{unit}{spread_text}"
            f" [{each['trust']}: {each['source'] if each['source'] != 'typed' else each['text']}]"
        )
        lines += paragraph(text, f"{mark} ", "      ")
    lines += ["", "Sources"]
    for source in explained["sources"]:
        lines += paragraph(f"{source['function']}: {source['references']}", "  ", "      ")
    return "\n".join(lines)
