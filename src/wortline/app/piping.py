"""What a rig's pipes do: verdicts, routes and change-overs, from files' contents and options."""

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, replace
from math import pi, sqrt
from typing import Any

from wortline.app.files import File, refuse_unread
from wortline.app.round_trip import quoted
from wortline.app.tables import toml
from wortline.documents.lineup import LineUp, option_value
from wortline.documents.loading import load
from wortline.documents.reading import dotted, read
from wortline.documents.rig import Rig
from wortline.errors import DocumentRefused, Problem
from wortline.pipes.audit import Verdict, audited
from wortline.pipes.changeover import ChangeOver, change_over
from wortline.pipes.day import complaints, for_transfer, needless, phases
from wortline.pipes.flow import emptying_min
from wortline.pipes.network import Network, network
from wortline.pipes.routes import line_ups
from wortline.pipes.routes_data import EVERY
from wortline.pipes.state import (
    Conditions,
    Limits,
    Setting,
    conditions,
    setting,
    setting_values,
)
from wortline.pipes.view import View
from wortline.science.kettle import kettle_loss
from wortline.science.kettle_heating import heat_capacity_kj_k
from wortline.science.water import density_kg_m3, expansion, standard_pressure_kpa

OPTIONS = "options"
ROUTE_NAMES = EVERY


@dataclass(frozen=True)
class Pipes:
    """A rig's network with the bounds of the day."""

    name: str
    network: Network
    limits: Limits
    kettle_m2: float


def level_m(kettle_m2: float, cold_l: float, wort_c: float) -> float:
    """How high cold litres stand above a flat floor at a temperature [m]."""
    return cold_l * float(expansion(wort_c)) / 1000.0 / kettle_m2


def pipes_of(rig_file: File, day_file: File | None = None) -> Pipes:
    """Return the pipes of a rig.

    Raises
    ------
    DocumentRefused
        If a document is refused, or the rig has no plumbing.
    """
    refuse_unread(rig_file, "rig")
    rig: Rig = load(rig_file.name, rig_file.content, "rig")
    if rig.plumbing is None:
        text = "this rig has no `plumbing`; `wortline new rig --pipes two-valves FILE` shows one"
        raise DocumentRefused([Problem(rig_file.name, 1, "plumbing", "", "", "", text)])
    elevation_m = toml("typical.toml")["day.elevation"]["value"]
    pressure_kpa = float(standard_pressure_kpa(elevation_m))
    if day_file:
        refuse_unread(day_file, "day")
        day = load(day_file.name, day_file.content, "day")
        pressure_kpa = float(day.pressure or standard_pressure_kpa(float(day.elevation)))
    limits = limits_at(pressure_kpa)
    kettle_m2 = 0.25 * pi * float(rig.kettle.diameter) ** 2
    return Pipes(rig.name, network(rig.plumbing), limits, kettle_m2)


def limits_at(pressure_kpa: float) -> Limits:
    """Return bounds and usual values under the air of a day."""
    values = {key: row["value"] for key, row in toml("pipes.toml").items()}
    return Limits(**values, pressure_kpa=pressure_kpa)


def line_up_of(
    pipes: Pipes, state_file: File | None, options: Mapping[str, str]
) -> tuple[Setting, Conditions]:
    """Return a line-up from a file, from options, or from a file with options over it.

    Raises
    ------
    DocumentRefused
        With every problem, placed in the file or at its option.
    """
    document, lines = _document(state_file, options)
    settled, faults = setting(pipes.network, document)
    if settled is None:
        raise DocumentRefused(
            Problem(
                *_place(state_file, options, lines, fault.sub),
                dotted(fault.sub),
                fault.value,
                fault.allowed,
                fault.nearest,
                fault.text + (f"; did you mean `{fault.nearest}`?" if fault.nearest else ""),
            )
            for fault in faults
        )
    return settled, _cooling(pipes, conditions(document, pipes.limits))


def known_of(pipes: Pipes, state_file: File | None, options: Mapping[str, str]) -> Conditions:
    """Return what is known of the day, whatever is said of handles."""
    return _cooling(pipes, conditions(_document(state_file, options)[0], pipes.limits))


def _cooling(pipes: Pipes, known: Conditions) -> Conditions:
    """Add how fast the open kettle cools by itself in a room of 20 C."""
    diameter_m = 2.0 * sqrt(pipes.kettle_m2 / pi)
    air_c, level_m = min(20.0, known.wort_c), max(known.level_m, 0.01)
    loss = kettle_loss(known.wort_c, air_c, pipes.limits.pressure_kpa, diameter_m, level_m)
    wort_kg = pipes.kettle_m2 * level_m * float(density_kg_m3(known.wort_c))
    held_kj_k = float(heat_capacity_kj_k(wort_kg, pipes.limits.wort_plato))
    return replace(known, cools_k_min=60.0 * float(loss.loss_w) / 1000.0 / held_kj_k)


def _document(state_file: File | None, options: Mapping[str, str]) -> tuple[LineUp, Any]:
    lines = None
    tree: dict[str, Any] = {"schema": "lineup/1"}
    if state_file:
        refuse_unread(state_file, "lineup")
        load(state_file.name, state_file.content, "lineup")
        source = read(state_file.name, state_file.content)
        tree, lines = dict(source.tree), source.line
    for key, text in options.items():
        value = option_value(key, text)
        before = tree.get(key)
        tree[key] = {**before, **value} if isinstance(before, dict) else value
    try:
        return load(OPTIONS, _yaml(tree), "lineup"), lines
    except DocumentRefused as refusal:
        raise DocumentRefused(
            replace(problem, file=f"--{problem.field.partition('.')[0].replace('_', '-')}", line=0)
            for problem in refusal.problems
        ) from None


def _place(
    state_file: File | None, options: Mapping[str, str], lines: Any, path: tuple[str | int, ...]
) -> tuple[str, int]:
    if state_file and lines and str(path[0]) not in options:
        return state_file.name, lines(path)
    return f"--{str(path[0]).replace('_', '-')}", 0


def _yaml(tree: Mapping[str, Any]) -> str:
    """Return a tree of texts as YAML, every text in quotes."""

    def written(value: Any) -> str:
        if isinstance(value, Mapping):
            return "{" + ", ".join(f"{written(k)}: {written(v)}" for k, v in value.items()) + "}"
        return quoted(str(value))

    return "\n".join(f"{key}: {written(value)}" for key, value in tree.items()) + "\n"


def verdict(
    pipes: Pipes, settled: Setting, known: Conditions, goal: str | None = None
) -> dict[str, Any]:
    """Return the verdict on a line-up as plain values."""
    view = View(pipes.network, settled, known, pipes.limits, goal)
    return {**verdict_values(audited(view)), "empties": _empties(view, pipes.kettle_m2)}


def _empties(view: View, kettle_m2: float) -> dict[str, Any] | None:
    """Return what stands over the outlet and the minutes until it has run through once."""
    sources = {source.kind for source in view.flow.sources}
    if view.line is None or sources != {"kettle"} or view.over_outlet_m <= 0.0:
        return None
    hot_l = 1000.0 * kettle_m2 * view.over_outlet_m
    minutes = emptying_min(view.line, hot_l, kettle_m2, bool(view.into("kettle")))
    return None if minutes is None else {"hot_l": hot_l, "min": minutes}


def verdict_values(judged: Verdict) -> dict[str, Any]:
    """Return a verdict as plain values."""
    return {
        "verdict": judged.verdict,
        "path": list(judged.path),
        "findings": [asdict(finding) for finding in judged.findings],
        "flow_l_min": judged.flow_l_min,
        "suction_margin_m": judged.suction_margin_m,
        "outlet_c": judged.outlet_c,
        "flow_range_l_min": judged.range_l_min and list(judged.range_l_min),
        "regime": judged.regime,
        "jet_m_s": judged.jet_m_s,
        "vortex_l_min": judged.vortex_l_min,
        "in_line": [asdict(each) for each in judged.in_line],
        "assumed": list(judged.assumed),
    }


def overview(pipes: Pipes, known: Conditions) -> dict[str, Any]:
    """Return what the rig can do: its line-ups by route, needless hose moves, the day in acts."""
    net = pipes.network
    return {
        "rig": pipes.name,
        "complaints": list(complaints(net)),
        "routes": {
            route: [
                {
                    **setting_values(net, each.setting),
                    "path": list(each.path),
                    "barriers": None if each.barriers == float("inf") else int(each.barriers),
                    "any_position": list(each.free),
                }
                for each in line_ups(net, route)
            ]
            for route in EVERY
        },
        "hose_moves": [asdict(finding) for finding in needless(net)],
        "day": [
            {
                "route": phase.route,
                **setting_values(net, phase.line_up.setting),
                "path": list(phase.line_up.path),
                "change": change_values(net, phase.change) if phase.change else None,
            }
            for phase in phases(net, known, pipes.limits)
        ],
    }


def change_between(
    pipes: Pipes, known: Conditions, start: str | Setting, end: str
) -> dict[str, Any] | None:
    """Return the change-over between two routes as plain values; None if the rig has not both."""
    net = pipes.network
    starts = [each.setting for each in line_ups(net, start)] if isinstance(start, str) else [start]
    ends = [each.setting for each in line_ups(net, end)]
    if not starts or not ends:
        return None
    there = for_transfer(known, net, end, pipes.limits)
    best = min(
        (
            change_over(net, first, last, there, pipes.limits)
            for first in starts[:1]
            for last in ends[:3]
        ),
        key=lambda each: (not each.found, len(each.moves)),
    )
    return change_values(net, best)


def missing_routes(pipes: Pipes, names: Iterable[str]) -> list[str]:
    """Return those of some routes for which the rig has no line-up."""
    return [name for name in names if not line_ups(pipes.network, name)]


def change_values(net: Network, change: ChangeOver) -> dict[str, Any]:
    """Return a change-over as plain values."""
    return {
        "found": change.found,
        "start": setting_values(net, change.start),
        "end": setting_values(net, change.end),
        "moves": [
            {
                "act": move.act,
                "part": move.part,
                "from": move.was,
                "to": move.then,
                "first": list(move.first),
                "caution": move.caution,
                "text": move.text,
            }
            for move in change.moves
        ],
        "needs": [asdict(finding) for finding in change.needs],
        "hose_moves": [move.part for move in change.hose_moves],
    }
