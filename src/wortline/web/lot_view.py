"""What a lot came to, as its page and its strip show it: facts beside the plan, in words."""

from collections.abc import Iterator, Mapping
from typing import Any

from wortline.lot.words import read_words
from wortline.units import say

Report = Mapping[str, Any]
ON_STRIP = ("volume", "gravity", "temperature")
SAME_MIN = 1.0


def with_facts(plan: Report, told: Report, system: str) -> dict[str, Any]:
    """The plan with what was: phases, readings, doses; counted from the filling as the plan is."""
    begun = [
        each for each in told["phases"] if each["stage"] == "brew" and each["begun_min"] is not None
    ]
    if not begun:
        return dict(plan)
    first = next((each for each in begun if each["id"] == "fill"), begun[0])
    planned = {each["phase"]: each["start_min"] or 0.0 for each in reversed(plan["timeline"])}
    zero_min = first["begun_min"] - planned.get(first["id"].partition(".")[0], 0.0)
    facts = [
        {
            "phase": each["id"].partition(".")[0],
            "start_min": each["begun_min"] - zero_min,
            "end_min": each["begun_min"] + (each["lasted_min"] or 0.0) - zero_min,
        }
        for each in begun
    ]
    return {
        **plan,
        "facts": facts,
        "reads": list(_reads(told, zero_min, system)),
        "came_to": came_to(told),
    }


def _reads(told: Report, zero_min: float, system: str) -> Iterator[dict[str, Any]]:
    for each in told["readings"]:
        kind, counts = each["quantity"], each["counts"]
        if kind not in ON_STRIP or counts is None or each["at_min"] is None:
            continue
        words = f"{read_words(each['of'], '')}: {spoken(counts, kind, system)}"
        if each["planned"] is not None:
            words += f", plan {spoken(each['planned'], kind, system)}"
        at_min = each["at_min"] - zero_min
        yield {"at_min": at_min, "words": words,
               "temp_c": counts if kind == "temperature" else None}  # fmt: skip
    for each in told["dosed"]:
        if each["at_min"] is not None:
            at_min = each["at_min"] - zero_min
            yield {"at_min": at_min, "words": f"{each['id']} in, {apart_words(each)}",
                   "temp_c": None}  # fmt: skip


def spoken(value: float, kind: str, system: str) -> str:
    """A value that counts, litres with the word for their heat."""
    return say(value, kind, system) + (" cold" if kind == "volume" else "")


def came_to(told: Report) -> dict[str, float]:
    """The headline numbers of the plan that were read: the last reading of each counts."""
    names = {("original", "gravity"): "original_sg", ("fermenter", "volume"): "batch_l",
             ("water", "volume"): "water_l"}  # fmt: skip
    return {
        names[each["of"], each["quantity"]]: each["counts"]
        for each in told["readings"]
        if (each["of"], each["quantity"]) in names and each["counts"] is not None
    }


def apart_words(row: Report) -> str:
    """How far a dose was from its moment."""
    if row["at_min"] is None or row["due_min"] is None:
        return ""
    more_min = row["at_min"] - row["due_min"]
    if abs(more_min) < SAME_MIN:
        return "on time"
    return f"{abs(more_min):.0f} min {'late' if more_min > 0.0 else 'early'}"


def reading_row(row: Report, system: str) -> dict[str, Any]:
    """One reading as a row of the table."""
    kind = row["quantity"]
    return {
        "of": read_words(row["of"], kind),
        "at": clock(row["at_min"]),
        "read": _read(row, system),
        "former": [_read(each, system) for each in row["former"]],
        "with": "" if row["instrument"] == "other" else row["instrument"],
        "counts": "cannot be" if row["counts"] is None else spoken(row["counts"], kind, system),
        "planned": "" if row["planned"] is None else spoken(row["planned"], kind, system),
    }


def _read(row: Report, system: str) -> str:
    at_c = row["sample_c"]
    read = say(row["value"], row["quantity"], system)
    return read if at_c is None else f"{read} at {say(at_c, 'temperature', system)}"


def dose_row(row: Report) -> dict[str, Any]:
    """One dose as a row of the table."""
    was = clock(row["at_min"]) or ("left out" if row["standing"] == "skipped" else "not yet")
    return {"words": row["words"], "due": clock(row["due_min"]), "was": was,
            "apart": apart_words(row)}  # fmt: skip


def clock(at_min: float | None) -> str:
    """A minute of the lot as hours and minutes; empty where it is not known."""
    if at_min is None:
        return ""
    whole = round(at_min)
    return f"{'-' if whole < 0 else ''}{abs(whole) // 60}:{abs(whole) % 60:02d}"
