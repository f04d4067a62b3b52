"""The verdict on a line-up: every check, in order, and what follows from it."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from wortline.pipes import checks_flow, checks_heat
from wortline.pipes.flow import Hydraulics
from wortline.pipes.network import Network
from wortline.pipes.state import Conditions, Limits, Setting
from wortline.pipes.view import RANK, Finding, View

Check = Callable[[View], Iterator[Finding]]

CHECKS: dict[str, Check] = {
    "D1": checks_flow.dead_head,
    "D2": checks_flow.starved,
    "D3": checks_flow.low_level,
    "D4": checks_flow.unprimed,
    "D5": checks_flow.suction_margin,
    "P1": checks_flow.two_sinks,
    "P2": checks_flow.two_sources,
    "P3": checks_flow.goal,
    "P4": checks_flow.seats,
    "P5": checks_flow.mid_travel,
    "T1": checks_heat.too_hot,
    "T2": checks_heat.water_off,
    "T3": checks_heat.boiling_chiller,
    "T4": checks_heat.trapped,
    "B1": checks_heat.unclean,
    "B2": checks_heat.dead_legs,
    "B3": checks_heat.lapsed,
    "F1": checks_heat.siphon,
    "F2": checks_heat.runs_back,
    "F3": checks_heat.drinking_water,
    "H1": checks_heat.needless_move,
    "H2": checks_heat.hot_hose,
    "H3": checks_heat.orphan,
    "E1": checks_heat.bare_element,
    "L1": checks_flow.first_out,
}


@dataclass(frozen=True)
class InLine:
    """What a part of the line holds."""

    part: str
    cold_l: float
    holds: str


@dataclass(frozen=True)
class Verdict:
    """A line-up judged."""

    verdict: str
    path: tuple[str, ...]
    findings: tuple[Finding, ...]
    flow_l_min: float | None
    suction_margin_m: float | None
    in_line: tuple[InLine, ...]
    assumed: tuple[str, ...]
    outlet_c: float | None
    range_l_min: tuple[float, float] | None = None
    regime: str | None = None
    jet_m_s: float | None = None
    vortex_l_min: float | None = None


def audit(
    network: Network,
    setting: Setting,
    known: Conditions,
    limits: Limits,
    goal: str | None = None,
    hydraulics: Hydraulics | None = None,
) -> Verdict:
    """Judge a line-up.

    Parameters
    ----------
    network
        The pipes.
    setting
        How handles, pump, water and hose ends stand.
    known
        What is known of the day.
    limits
        Bounds and usual values.
    goal
        The route that is meant, a key of `ROUTES`; no goal is held against it if None.
    hydraulics
        The flow and the suction loss; worked out from the rig if None.
    """
    return audited(View(network, setting, known, limits, goal, hydraulics))


def audited(view: View) -> Verdict:
    """Judge a line-up that is looked at already."""
    known = view.known
    found = sorted(
        (finding for check in CHECKS.values() for finding in check(view)),
        key=lambda each: RANK[each.severity],
    )
    worst = found[0].severity if found else "note"
    flows = view.hydraulics if view.flow.live and view.flow.sources else None
    return Verdict(
        "pass" if worst == "note" else worst,
        view.flow.path,
        tuple(found),
        flows.flow_l_min if flows else None,
        view.suction_margin_m,
        tuple(_in_line(view)),
        (*known.assumed, *flows.assumed) if flows else known.assumed,
        view.outlet_c if view.flow.live and view.passed else None,
        flows.range_l_min if flows else None,
        flows.regime if flows else None,
        flows.jet_m_s if flows else None,
        view.vortex_l_min if flows else None,
    )


def _in_line(view: View) -> Iterator[InLine]:
    said = [name for name in view.network.parts if name in view.known.holds]
    on_way = [name for name in view.flow.path if name in view.flow.parts]
    for name in dict.fromkeys([*on_way, *view.flow.parts, *said]):
        yield InLine(name, view.hold_up_l(name), view.holds(name))
