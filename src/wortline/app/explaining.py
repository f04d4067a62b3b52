"""Why a number is what it is: its formula, the inputs with their trust, and the sources."""

import difflib
from collections.abc import Iterator
from dataclasses import dataclass
from importlib import import_module
from typing import Any

from wortline.app.planning import Planned
from wortline.app.reason import Reason
from wortline.app.reasons import REASONS
from wortline.app.sourcing import references
from wortline.errors import WortlineError
from wortline.plan.brew import Input

SCHEMA = "why/1"


class UnknownKey(WortlineError):
    """A key that names no number of the plan."""


@dataclass(frozen=True)
class Found:
    """A number of the plan and its reason."""

    value: float | None
    reason: Reason


def why(planned: Planned, key: str) -> dict[str, Any]:
    """Explain the number at this dotted key of the plan.

    Raises
    ------
    UnknownKey
        If the plan has no such number.
    """
    report = planned.report
    found = _found(report, key)
    inputs = planned.plan.case.inputs
    spread = report["ranges"].get(key)
    leading = spread["because"] if spread else []
    named = [name for name in inputs if _matters(name, found.reason, key)]
    named += [name for name in leading if name not in named]
    return {
        "schema": SCHEMA,
        "key": key,
        "what": found.reason.what,
        "value": found.value,
        "range": spread,
        "formula": found.reason.formula,
        "inputs": [_said(inputs[name], name in leading) for name in named],
        "sources": _sources(found.reason),
    }


def known_keys(report: dict[str, Any]) -> list[str]:
    """Every key that can be explained in this plan."""
    keys = [key for key in REASONS if "*" not in key and not key.startswith("bitterness.doses.")]
    keys += [f"ledger.{row['step']}" for row in report["ledger"]]
    keys += [f"bitterness.doses.{dose['id']}" for dose in report["bitterness"]["doses"]]
    keys += _aroma_rows(report)
    keys += [f"chill.{way}" for way in _chills(report)]
    keys += [f"whirlpool.turns.{minutes}" for minutes in _turns(report)]
    return keys


def _found(report: dict[str, Any], key: str) -> Found:
    for look in (_in_rows, _in_aroma, _in_chill, _in_turns, _plain):
        found = look(report, key)
        if found is not None:
            return found
    raise UnknownKey(f"`{key}` is no number of this plan. {_near(report, key)}")


NEAR, LEAST_ALIKE, SURELY_MEANT = 3, 0.5, 0.9


def _near(report: dict[str, Any], key: str) -> str:
    """The few keys most like this one, else those of its part of the plan, else the parts."""
    known = known_keys(report)
    alike = difflib.get_close_matches(key, known, NEAR, LEAST_ALIKE)
    beside = [each for each in known if each.partition(".")[0] == key.partition(".")[0]]
    alike = [each for each in alike if not beside or each in beside] or beside[:NEAR]
    likeness = [difflib.SequenceMatcher(None, each, key).ratio() for each in alike]
    if likeness and likeness[0] >= SURELY_MEANT and likeness[0] > max(likeness[1:], default=0.0):
        alike = alike[:1]
    if alike:
        *first, last = alike
        return f"Did you mean {', '.join(first)}{' or ' if first else ''}{last}?"
    parts = dict.fromkeys(each.partition(".")[0] for each in known)
    return f"Its numbers are those of `wortline plan --json`, under {', '.join(parts)}."


def _in_rows(report: dict[str, Any], key: str) -> Found | None:
    """Rows of the ledger and doses of the bitter line."""
    parts = key.split(".")
    if parts[0] == "ledger" and len(parts) in (2, 3):
        rows = {row["step"]: row for row in report["ledger"]}
        if parts[1] in rows and (len(parts) == 2 or parts[2] in ("cold_l", "hot_l", "mark_cm")):
            field = parts[2] if len(parts) == 3 else "cold_l"
            return Found(rows[parts[1]][field], REASONS[f"ledger.*.{field}"])
    if key.startswith("bitterness.doses.") and len(parts) in (3, 4):
        doses = {dose["id"]: dose for dose in report["bitterness"]["doses"]}
        field = parts[3] if len(parts) == 4 else "total_ibu"
        if parts[2] in doses and f"bitterness.doses.*.{field}" in REASONS:
            reason = (
                "bitterness.doses.malt" if parts[2] == "malt" else f"bitterness.doses.*.{field}"
            )
            return Found(doses[parts[2]][field], REASONS[reason])
    return None


def _aroma_rows(report: dict[str, Any]) -> Iterator[str]:
    for dose in report["aroma"]["doses"]:
        yield f"aroma.doses.{dose['id']}"
        yield from (f"aroma.doses.{dose['id']}.{oil['name']}" for oil in dose["oils"])


def _in_aroma(report: dict[str, Any], key: str) -> Found | None:
    """`aroma.doses.d2`, `aroma.doses.d2.linalool` and what else is said of each."""
    if not key.startswith("aroma.doses."):
        return None
    name, *rest = key.removeprefix("aroma.doses.").split(".")
    dose = next((each for each in report["aroma"]["doses"] if each["id"] == name), None)
    if dose is None:
        return None
    if not rest or rest == ["index_g_l"]:
        return Found(dose["index_g_l"]["mid"], REASONS["aroma.doses.*.index_g_l"])
    oil = next((each for each in dose["oils"] if each["name"] == rest[0]), None)
    field = rest[1] if len(rest) == 2 else "kept_fraction"
    reason = REASONS.get(f"aroma.doses.*.{field}")
    if oil is None or len(rest) > 2 or reason is None or field not in oil:
        return None
    value = oil[field]
    return Found(value["mid"] if isinstance(value, dict) else value, reason)


def _chills(report: dict[str, Any]) -> dict[str, dict[str, Any]]:
    """The ways to chill by name, and the chosen and the least bad among them."""
    told = report["chill"]
    ways = {f"{way['chiller']}.{way['how']}": way for way in told["ways"]}
    for name in ("chosen", "best"):
        if told[name] and (way := ways.get(f"{told[name]['chiller']}.{told[name]['how']}")):
            ways[name] = way
    return ways


def _in_chill(report: dict[str, Any], key: str) -> Found | None:
    """`chill.plate.circulate`, `chill.chosen`, `chill.best`, with a field after it or its time."""
    if not key.startswith("chill."):
        return None
    ways, name = _chills(report), key.removeprefix("chill.")
    before, _, field = name.rpartition(".")
    if name in ways:
        before, field = name, "time_min"
    reason = REASONS.get(f"chill.*.{field}")
    return None if before not in ways or reason is None else Found(ways[before][field], reason)


def _turns(report: dict[str, Any]) -> dict[str, float | None]:
    told = report["whirlpool"] or {"turns": ()}
    return {f"{each['after_min']:g}": each["turns_per_min"] for each in told["turns"]}


def _in_turns(report: dict[str, Any], key: str) -> Found | None:
    """`whirlpool.turns`, and those so many minutes later."""
    if key != "whirlpool.turns" and not key.startswith("whirlpool.turns."):
        return None
    turns, after = _turns(report), key.removeprefix("whirlpool.turns").removeprefix(".") or "0"
    if after not in turns and key != "whirlpool.turns":
        return None
    return Found(turns.get(after), REASONS["whirlpool.turns"])


def _plain(report: dict[str, Any], key: str) -> Found | None:
    # A range's own mid, low or high are explained with their number.
    plain = key.removesuffix(".mid").removesuffix(".low").removesuffix(".high")
    if plain not in REASONS or "*" in plain:
        return None
    value: Any = report
    for part in plain.split("."):
        # A part that this plan does not have, such as a whirlpool, has no number.
        value = None if value is None else value[part]
    return Found(value["mid"] if isinstance(value, dict) else value, REASONS[plain])


def _matters(name: str, reason: Reason, key: str) -> bool:
    if key.startswith(("bitterness.doses.d", "aroma.doses.d")) and name.startswith("recipe.hops."):
        number = int(key.split(".")[2][1:]) - 1
        return name.startswith(f"recipe.hops.{number}.")
    return any(
        name == each or (each.endswith("*") and name.startswith(each[:-1]))
        for each in reason.inputs
    )


def _said(each: Input, leads: bool) -> dict[str, Any]:
    return {
        "name": each.name,
        "value": each.value,
        "unit": each.unit,
        "spread": each.spread,
        "text": each.text,
        "trust": each.trust,
        "source": each.source,
        "leads": leads,
    }


def _sources(reason: Reason) -> list[dict[str, Any]]:
    listed = []
    for dotted in reason.functions:
        module, name = dotted.rsplit(".", 1)
        function = getattr(import_module(f"wortline.science.{module}"), name)
        listed.append({"function": dotted, "references": references(function)})
    return listed
