"""Steady flow in hoses and fittings: speed, Reynolds number and loss of head."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from wortline.science.friction import Friction, friction_churchill_1977, regime_is_uncertain
from wortline.science.real import Real
from wortline.science.standards import GRAVITY_M_S2

SMOOTH_M = 1.5e-6
"""Roughness of drawn tube (Moody, 1944), taken for silicone hose as well [m]."""
_L_MIN_PER_M3_S = 60000.0
# Added to every Reynolds number: without flow f would go to infinity, where the loss goes to zero.
_STILL = 1e-9


@dataclass(frozen=True)
class Segment:
    """A stretch of a line with one bore.

    Attributes
    ----------
    bore_m : Real
        Inner diameter; of anything not round, that of the circle of equal area [m].
    length_m : Real
        Length that rubs; 0 for a fitting [m].
    k : Real
        Sum of the loss coefficients, on the velocity head in this bore [-].
    roughness_m : Real
        Height of the roughness of the wall [m].
    thicker : Real
        Viscosity here over that of the line, as where part of it is colder [-].
    """

    bore_m: Real
    length_m: Real = 0.0
    k: Real = 0.0
    roughness_m: Real = SMOOTH_M
    thicker: Real = 1.0


def kinematic_viscosity_m2_s(viscosity_mpa_s: Real, density_kg_m3: Real) -> Real:
    """Return the kinematic viscosity of a liquid.

    Parameters
    ----------
    viscosity_mpa_s : Real
        Dynamic viscosity [mPa s].
    density_kg_m3 : Real
        Density [kg/m3].

    Returns
    -------
    Real
        Kinematic viscosity [m2/s].

    References
    ----------
    White, F. M. (2016). Fluid Mechanics, 8th edition, McGraw-Hill, section 1.9.
    """
    return viscosity_mpa_s / 1000.0 / density_kg_m3


def speed_m_s(flow_l_min: Real, bore_m: Real) -> Real:
    """Return the mean speed in a bore; of an open end, the speed of its jet.

    Parameters
    ----------
    flow_l_min : Real
        Flow [L/min].
    bore_m : Real
        Inner diameter [m].

    Returns
    -------
    Real
        Mean speed [m/s].

    References
    ----------
    White, F. M. (2016). Fluid Mechanics, 8th edition, McGraw-Hill, section 3.3.
    """
    return flow_l_min / _L_MIN_PER_M3_S / (np.pi / 4.0 * bore_m**2)


def velocity_head_m(flow_l_min: Real, bore_m: Real) -> Real:
    """Return the head that a flow's speed is worth; losses are multiples of it.

    Parameters
    ----------
    flow_l_min : Real
        Flow [L/min].
    bore_m : Real
        Inner diameter [m].

    Returns
    -------
    Real
        v^2/2g [m].

    References
    ----------
    White, F. M. (2016). Fluid Mechanics, 8th edition, McGraw-Hill, section 3.7 (Bernoulli).
    """
    return speed_m_s(flow_l_min, bore_m) ** 2 / (2.0 * GRAVITY_M_S2)


def reynolds(flow_l_min: Real, bore_m: Real, viscosity_m2_s: Real) -> Real:
    """Return the Reynolds number of a flow in a bore.

    Parameters
    ----------
    flow_l_min : Real
        Flow, either way [L/min].
    bore_m : Real
        Inner diameter [m].
    viscosity_m2_s : Real
        Kinematic viscosity [m2/s].

    Returns
    -------
    Real
        Reynolds number [-].

    References
    ----------
    White, F. M. (2016). Fluid Mechanics, 8th edition, McGraw-Hill, section 6.1.
    """
    return np.abs(speed_m_s(flow_l_min, bore_m)) * bore_m / viscosity_m2_s


def _joined(segments: Sequence[Segment]) -> list[Segment]:
    """Return a line that loses as much, with one segment for each bore, roughness, viscosity."""
    alike: dict[tuple[float, float, float], tuple[Real, Real]] = {}
    apart: list[Segment] = []
    for each in segments:
        bore_m, roughness_m, thicker = each.bore_m, each.roughness_m, each.thicker
        # numpy's own numbers are floats as well
        if (
            isinstance(bore_m, float)
            and isinstance(roughness_m, float)
            and isinstance(thicker, float)
        ):
            kind = (bore_m, roughness_m, thicker)
            length_m, k = alike.get(kind, (0.0, 0.0))
            alike[kind] = (length_m + each.length_m, k + each.k)
        else:
            apart.append(each)
    return [*(Segment(kind[0], *both, *kind[1:]) for kind, both in alike.items()), *apart]


def _rubs(segment: Segment) -> bool:
    length_m = segment.length_m
    # A plain comparison where that will do: a line is looked through many times.
    return length_m > 0.0 if isinstance(length_m, float) else bool(np.any(length_m > 0.0))


def line_is_uncertain(
    flow_l_min: Real, segments: Sequence[Segment], viscosity_m2_s: Real
) -> npt.NDArray[np.bool_] | np.bool_:
    """Return whether friction anywhere in a line falls between laminar and turbulent.

    Parameters
    ----------
    flow_l_min : Real
        Flow, either way [L/min].
    segments : sequence of Segment
        The line, in any order.
    viscosity_m2_s : Real
        Kinematic viscosity [m2/s].

    Returns
    -------
    bool or ndarray of bool
        True where a segment that rubs has a Reynolds number from 2000 to 4000 [-].

    References
    ----------
    White, F. M. (2016). Fluid Mechanics, 8th edition, McGraw-Hill, section 6.1 (transition between
    2000 and 4000).
    """
    found = np.zeros(np.shape(flow_l_min), dtype=bool)
    for each in segments:
        if _rubs(each):
            number = reynolds(flow_l_min, each.bore_m, viscosity_m2_s * each.thicker)
            found = found | (regime_is_uncertain(number) & np.greater(each.length_m, 0.0))
    return found[()]


def loss_of_line(
    segments: Sequence[Segment],
    viscosity_m2_s: Real,
    friction: Friction = friction_churchill_1977,
) -> Callable[[Real], Real]:
    """Return the loss of a line as a function of the flow, ready to be asked many times.

    Parameters
    ----------
    segments : sequence of Segment
        The line, in any order.
    viscosity_m2_s : Real
        Kinematic viscosity [m2/s].
    friction : Friction
        Friction law.

    Returns
    -------
    callable
        Head lost [m] at a flow [L/min]; negative for a flow backwards.

    Notes
    -----
    Darcy and Weisbach: (f L/D + K) v^2 / 2g, summed. A fitting is taken to lose the same both ways.

    References
    ----------
    White, F. M. (2016). Fluid Mechanics, 8th edition, McGraw-Hill, sections 6.3 and 6.9.
    """
    fixed: Real = 0.0
    rubbing: list[tuple[Real, Real, Real]] = []
    for each in _joined(segments):
        # velocity head at a flow of 1 L/min
        head_m = velocity_head_m(1.0, each.bore_m)
        fixed = fixed + each.k * head_m
        if _rubs(each):
            rubbing.append(
                (
                    head_m * each.length_m / each.bore_m,
                    reynolds(1.0, each.bore_m, viscosity_m2_s * each.thicker),
                    each.roughness_m / each.bore_m,
                )
            )

    def loss_m(flow_l_min: Real) -> Real:
        size = np.abs(flow_l_min)
        total: Any = fixed
        for factor, unit_reynolds, relative_roughness in rubbing:
            total = total + factor * friction(size * unit_reynolds + _STILL, relative_roughness)
        lost_m: Real = total * size * flow_l_min
        return lost_m

    return loss_m


def line_loss_m(
    flow_l_min: Real,
    segments: Sequence[Segment],
    viscosity_m2_s: Real,
    friction: Friction = friction_churchill_1977,
) -> Real:
    """Return the head that a line takes from a flow.

    Parameters
    ----------
    flow_l_min : Real
        Flow; negative backwards [L/min].
    segments : sequence of Segment
        The line, in any order.
    viscosity_m2_s : Real
        Kinematic viscosity [m2/s].
    friction : Friction
        Friction law.

    Returns
    -------
    Real
        Head lost, of the sign of the flow [m].

    References
    ----------
    White, F. M. (2016). Fluid Mechanics, 8th edition, McGraw-Hill, sections 6.3 and 6.9.
    """
    return loss_of_line(segments, viscosity_m2_s, friction)(flow_l_min)
