"""Why a number is what it is: its formula, the inputs with their trust, and the sources."""

from dataclasses import dataclass
from importlib import import_module
from typing import Any

from wortline.app.planning import Planned
from wortline.app.reasons import REASONS, Reason
from wortline.app.sourcing import references
from wortline.documents.quantity import nearest
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
    return keys


def _found(report: dict[str, Any], key: str) -> Found:
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
    # A range's own mid, low or high are explained with their number.
    plain = key.removesuffix(".mid").removesuffix(".low").removesuffix(".high")
    if plain in REASONS and "*" not in plain:
        value: Any = report
        for part in plain.split("."):
            # A part that this plan does not have, such as a whirlpool, has no number.
            value = None if value is None else value[part]
        return Found(value["mid"] if isinstance(value, dict) else value, REASONS[plain])
    near = nearest(key, tuple(known_keys(report)))
    hint = f" Did you mean {near}?" if near else f" Known are {', '.join(known_keys(report))}."
    raise UnknownKey(f"`{key}` is no number of this plan.{hint}")


def _matters(name: str, reason: Reason, key: str) -> bool:
    if key.startswith("bitterness.doses.d") and name.startswith("recipe.hops."):
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
