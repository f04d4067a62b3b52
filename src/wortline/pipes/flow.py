"""How much flows in a line-up: the pump on its line, how sure that is, and what follows."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from wortline.pipes.graph import Flow
from wortline.pipes.line import Line, suction_side, viscosity_m2_s
from wortline.pipes.network import Network
from wortline.pipes.state import Conditions, Limits
from wortline.science.friction import TURBULENT_ABOVE, regime_is_uncertain
from wortline.science.pipe_flow import Segment, line_loss_m, reynolds, speed_m_s
from wortline.science.real import Real
from wortline.science.transfer import lift_after_m, moving_min, plug_min

Regime = Literal["laminar", "uncertain", "turbulent"]


@dataclass(frozen=True)
class Hydraulics:
    """How much flows, what the suction side costs at that flow, and how sure that is.

    The range is wider than the flow where a hose runs between laminar and turbulent. `assumed`
    says what stands in for what the rig does not tell. The flow is 0 where the pump does not lift
    that high.
    """

    flow_l_min: float
    suction_loss_m: float
    range_l_min: tuple[float, float] | None = None
    regime: Regime | None = None
    jet_m_s: float | None = None
    assumed: tuple[str, ...] = ()


def hydraulics(
    network: Network, result: Flow, known: Conditions, limits: Limits, line: Line | None
) -> Hydraulics:
    """Return how much flows in a setting.

    Parameters
    ----------
    network
        The pipes.
    result
        Where the wort goes.
    known
        What is known of the day.
    limits
        Bounds and usual values; a usual flow stands in where the rig gives no curve of its pump.
    line
        The line it runs through, as `line_of` has it.
    """
    if line is None:
        before = suction_side(network, result, known)
        told = f"flow of {limits.flow_l_min:g} L/min, for the wort goes more than one way"
        return _usual(limits, before, viscosity_m2_s(known.wort_c, limits.wort_plato), (told,))
    if line.pump is not None and line.curve is None:
        told = f"flow of {limits.flow_l_min:g} L/min, for the rig gives no curve of {line.pump}"
        return _usual(limits, line.before, line.viscosity_m2_s, (told,))
    found = line.flow()
    if not np.isfinite(found.flow_l_min):
        return Hydraulics(0.0, 0.0, assumed=line.assumed)
    flow_l_min = abs(float(found.flow_l_min))
    jet = None if line.arm_m is None else float(speed_m_s(flow_l_min, line.arm_m))
    return Hydraulics(
        flow_l_min,
        float(line_loss_m(flow_l_min, line.before, line.viscosity_m2_s)),
        (abs(float(found.least_l_min)), abs(float(found.most_l_min))),
        _regime(flow_l_min, line),
        jet,
        line.assumed,
    )


def emptying_min(
    line: Line, volume_l: float, surface_area_m2: float, returns: bool
) -> float | None:
    """Return the minutes to move a volume out of the kettle; None where the flow stops before.

    Parameters
    ----------
    line
        The line it runs through.
    volume_l
        What is to be moved, as it stands in the kettle [L].
    surface_area_m2
        Surface of the kettle [m2].
    returns
        Whether it runs back into the kettle, so that no level changes.

    Returns
    -------
    float or None
        Time [min].
    """

    def after_l_min(moved_l: Real) -> Real:
        lift_m = line.lift_m if returns else lift_after_m(line.lift_m, moved_l, surface_area_m2)
        return line.flow(float(lift_m)).flow_l_min

    if line.pump is not None and line.curve is None:
        return None
    minutes = plug_min(volume_l, after_l_min(0.0)) if returns else moving_min(volume_l, after_l_min)
    return float(minutes) if np.isfinite(minutes) and minutes > 0.0 else None


def _usual(
    limits: Limits, before: Sequence[Segment], wort_m2_s: float, told: tuple[str, ...]
) -> Hydraulics:
    flow_l_min = limits.flow_l_min
    loss_m = float(line_loss_m(flow_l_min, before, wort_m2_s)) if before else 0.0
    return Hydraulics(flow_l_min, loss_m, assumed=told)


def _regime(flow_l_min: float, line: Line) -> Regime:
    rubbing = {(each.bore_m, each.thicker) for each in line.segments if each.length_m > 0.0}
    numbers = [
        float(reynolds(flow_l_min, bore_m, line.viscosity_m2_s * thicker))
        for bore_m, thicker in rubbing
    ]
    if any(regime_is_uncertain(number) for number in numbers):
        return "uncertain"
    return "turbulent" if max(numbers, default=np.inf) > TURBULENT_ABOVE else "laminar"
