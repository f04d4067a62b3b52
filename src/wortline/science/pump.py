"""Centrifugal pumps: the curve from what is known of it, and the flow through a line."""

from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np

from wortline.science.friction import (
    Friction,
    friction_churchill_1977,
    friction_least,
    friction_most,
)
from wortline.science.numerics import quotient, unit_root
from wortline.science.pipe_flow import (
    Segment,
    line_is_uncertain,
    loss_of_line,
    velocity_head_m,
)
from wortline.science.real import Real

# Below the friction factor of any pipe up to a Reynolds number of 1e9: bounds the flow from above.
_LEAST_FRICTION = 0.004
# So that rounding cannot put the flow outside the bound that it reaches without friction.
_ROOM = 1.001


class PumpCurve(NamedTuple):
    """Head of a pump over its flow: H = H0 (1 - (Q/Q0)^c).

    Attributes
    ----------
    shut_off_m : Real
        Head at no flow; with a lift above it nothing flows [m].
    runout_l_min : Real
        Flow against no head [L/min].
    exponent : Real
        How the head falls: 2 for one known point [-].
    """

    shut_off_m: Real
    runout_l_min: Real
    exponent: Real = 2.0


class FlowRange(NamedTuple):
    """A flow, and what it may be where the friction lies between laminar and turbulent.

    Attributes
    ----------
    flow_l_min : Real
        Flow by the named law; nan where nothing flows, negative backwards [L/min].
    least_l_min : Real
        Flow if turbulent between the Reynolds numbers 2000 and 4000 [L/min].
    most_l_min : Real
        Flow if laminar there; equal to the others where no part of the line is there [L/min].
    """

    flow_l_min: Real
    least_l_min: Real
    most_l_min: Real


def curve_of_three_points(
    shut_off_m: Real, near_l_min: Real, near_m: Real, far_l_min: Real, far_m: Real
) -> PumpCurve:
    """Return the curve through the shut-off head and two measured points.

    Parameters
    ----------
    shut_off_m : Real
        Head at no flow [m].
    near_l_min : Real
        Smaller flow [L/min].
    near_m : Real
        Head at the smaller flow, below the shut-off head [m].
    far_l_min : Real
        Larger flow [L/min].
    far_m : Real
        Head at the larger flow, lower again [m].

    Returns
    -------
    PumpCurve
        The curve; nan where heads do not fall with the flow.

    References
    ----------
    Rossman, L. A. (2000). EPANET 2 Users Manual, EPA/600/R-00/057, section 3.2, three-point curve.
    """
    falls = (shut_off_m > near_m) & (near_m > far_m) & (far_l_min > near_l_min) & (near_l_min > 0.0)
    near_drop_m = np.where(falls, shut_off_m - near_m, np.nan)[()]
    exponent = np.log((shut_off_m - far_m) / near_drop_m) / np.log(far_l_min / near_l_min)
    runout_l_min = near_l_min * (shut_off_m / near_drop_m) ** (1.0 / exponent)
    return PumpCurve(shut_off_m, runout_l_min, exponent)


def curve_of_two_points(shut_off_m: Real, duty_l_min: Real, duty_m: Real) -> PumpCurve:
    """Return the parabola through the shut-off head and one measured point.

    Parameters
    ----------
    shut_off_m : Real
        Head at no flow [m].
    duty_l_min : Real
        Flow of the point [L/min].
    duty_m : Real
        Head at that flow, below the shut-off head [m].

    Returns
    -------
    PumpCurve
        The curve; nan where the head does not fall with the flow.

    References
    ----------
    Rossman, L. A. (2000). EPANET 2 Users Manual, EPA/600/R-00/057, section 3.2 (a power function
    with the exponent 2 of the single-point curve).
    """
    falls = (shut_off_m > duty_m) & (duty_l_min > 0.0)
    drop_m = np.where(falls, shut_off_m - duty_m, np.nan)[()]
    return PumpCurve(shut_off_m, duty_l_min * np.sqrt(shut_off_m / drop_m), 2.0)


def curve_of_one_point(duty_l_min: Real, duty_m: Real) -> PumpCurve:
    """Return the usual guess of a curve from the one point that is known.

    Parameters
    ----------
    duty_l_min : Real
        Flow of the point [L/min].
    duty_m : Real
        Head at that flow [m].

    Returns
    -------
    PumpCurve
        Shut-off at 4/3 of the head, no head at twice the flow.

    References
    ----------
    Rossman, L. A. (2000). EPANET 2 Users Manual, EPA/600/R-00/057, section 3.2, single-point curve.
    """
    return PumpCurve(4.0 / 3.0 * duty_m, 2.0 * duty_l_min, 2.0)


def curve_at_speed(curve: PumpCurve, speed_ratio: Real) -> PumpCurve:
    """Return the curve of a pump that turns at another speed.

    Parameters
    ----------
    curve : PumpCurve
        The curve at the speed it was measured at.
    speed_ratio : Real
        New speed over that speed [-].

    Returns
    -------
    PumpCurve
        Flow goes with the speed, head with its square.

    References
    ----------
    White, F. M. (2016). Fluid Mechanics, 8th edition, McGraw-Hill, section 11.3 (similarity rules).
    """
    return PumpCurve(
        curve.shut_off_m * speed_ratio**2, curve.runout_l_min * speed_ratio, curve.exponent
    )


def pump_head_m(flow_l_min: Real, curve: PumpCurve) -> Real:
    """Return the head that a pump gives at a flow.

    Parameters
    ----------
    flow_l_min : Real
        Flow, forward [L/min].
    curve : PumpCurve
        Curve of the pump.

    Returns
    -------
    Real
        Head; negative beyond the runout, where a falling line pulls more than the pump gives [m].

    References
    ----------
    Rossman, L. A. (2000). EPANET 2 Users Manual, EPA/600/R-00/057, section 3.2.
    """
    return curve.shut_off_m * (1.0 - (flow_l_min / curve.runout_l_min) ** curve.exponent)


def pumped_flow(
    curve: PumpCurve, segments: Sequence[Segment], lift_m: Real, viscosity_m2_s: Real
) -> FlowRange:
    """Return the flow at which the head of the pump is what the line takes.

    Parameters
    ----------
    curve : PumpCurve
        Curve of the pump.
    segments : sequence of Segment
        The line from surface to surface or free end, exit loss included.
    lift_m : Real
        Height of where it ends above the surface it comes from: of the receiving surface if the
        end is below that, else of the end; negative downhill [m].
    viscosity_m2_s : Real
        Kinematic viscosity [m2/s].

    Returns
    -------
    FlowRange
        Flow and its range; nan where the lift is above the shut-off head.

    Notes
    -----
    What the line takes grows with the flow and what the pump gives falls, so there is one flow.
    Uncalibrated it is good to some 15 %, after a test with bucket and clock to some 3 % (common
    practice, no source).

    References
    ----------
    White, F. M. (2016). Fluid Mechanics, 8th edition, McGraw-Hill, section 11.5 (matching pumps to
    system characteristics).
    """
    # A line that resists nothing would run at this flow; above the shut-off head there is none.
    left = 1.0 - lift_m / curve.shut_off_m
    left = np.where(np.greater_equal(left, 0.0), left, np.nan)[()]
    most_l_min = _ROOM * curve.runout_l_min * left ** (1.0 / curve.exponent)

    def flow_l_min(friction: Friction) -> Real:
        loss_m = loss_of_line(segments, viscosity_m2_s, friction)

        def lacking_m(share: Real) -> Real:
            flow = share * most_l_min
            return loss_m(flow) + lift_m - pump_head_m(flow, curve)

        return most_l_min * unit_root(lacking_m)

    return _with_range(flow_l_min, segments, viscosity_m2_s)


def unpumped_flow(segments: Sequence[Segment], drop_m: Real, viscosity_m2_s: Real) -> FlowRange:
    """Return the flow through a full line whose pump is off, such as a siphon.

    Parameters
    ----------
    segments : sequence of Segment
        The line from surface to surface or free end, exit loss included; at least one of them
        resists.
    drop_m : Real
        Height of the surface it comes from above where it ends; negative uphill [m].
    viscosity_m2_s : Real
        Kinematic viscosity [m2/s].

    Returns
    -------
    FlowRange
        Flow and its range; negative where it runs back.

    Notes
    -----
    A centrifugal pump that stands still is an open pipe. What it resists belongs into `segments`.
    Whether the crest of the siphon boils is another question.

    References
    ----------
    White, F. M. (2016). Fluid Mechanics, 8th edition, McGraw-Hill, section 3.6 (energy equation).
    """
    height_m = np.abs(drop_m)
    bound: Real = 0.0
    for each in segments:
        resists = each.k + _LEAST_FRICTION * each.length_m / each.bore_m
        bound = bound + resists * velocity_head_m(1.0, each.bore_m)
    most_l_min = _ROOM * np.sqrt(height_m / bound)

    def flow_l_min(friction: Friction) -> Real:
        loss_m = loss_of_line(segments, viscosity_m2_s, friction)
        size = most_l_min * unit_root(lambda share: loss_m(share * most_l_min) - height_m)
        return np.asarray(np.sign(drop_m) * size)[()]

    return _with_range(flow_l_min, segments, viscosity_m2_s)


def throttling_k(
    flow_l_min: Real,
    bore_m: Real,
    curve: PumpCurve,
    segments: Sequence[Segment],
    lift_m: Real,
    viscosity_m2_s: Real,
) -> Real:
    """Return the loss coefficient that a throttle needs to hold a flow.

    Parameters
    ----------
    flow_l_min : Real
        Wanted flow, above 0 [L/min].
    bore_m : Real
        Bore of the throttle [m].
    curve : PumpCurve
        Curve of the pump.
    segments : sequence of Segment
        The line without the throttle.
    lift_m : Real
        Height of where the line ends above the surface it comes from [m].
    viscosity_m2_s : Real
        Kinematic viscosity [m2/s].

    Returns
    -------
    Real
        Loss coefficient on the bore of the throttle; nan where the line cannot carry the flow [-].

    References
    ----------
    White, F. M. (2016). Fluid Mechanics, 8th edition, McGraw-Hill, sections 6.9 and 11.5.
    """
    loss_m = loss_of_line(segments, viscosity_m2_s)(flow_l_min)
    spare_m = pump_head_m(flow_l_min, curve) - lift_m - loss_m
    k = quotient(spare_m, velocity_head_m(flow_l_min, bore_m))
    return np.where(k >= 0.0, k, np.nan)[()]


def dead_head_k_min(
    shaft_w: Real, held_kg: Real, liquid_kj_kg_k: Real = 4.19, body_kj_k: Real = 0.0
) -> Real:
    """Return how fast the liquid in a pump heats up that turns against a closed line.

    Parameters
    ----------
    shaft_w : Real
        Power that reaches the liquid [W].
    held_kg : Real
        Liquid in the pump [kg].
    liquid_kj_kg_k : Real
        Specific heat of the liquid [kJ/(kg K)].
    body_kj_k : Real
        Heat capacity of what warms with it [kJ/K].

    Returns
    -------
    Real
        Rise of the temperature [K/min].

    Notes
    -----
    Nothing is lost to the room: an upper bound.

    References
    ----------
    White, F. M. (2016). Fluid Mechanics, 8th edition, McGraw-Hill, section 3.6 (energy equation).
    """
    return shaft_w * 0.06 / (held_kg * liquid_kj_kg_k + body_kj_k)


def _with_range(
    flow_l_min: Callable[[Friction], Real], segments: Sequence[Segment], viscosity_m2_s: Real
) -> FlowRange:
    """Solve by the named law, and by the ends of the range only where it is needed."""
    named = flow_l_min(friction_churchill_1977)
    unsure = line_is_uncertain(named, segments, viscosity_m2_s)
    if not np.any(unsure):
        return FlowRange(named, named, named)
    ends = [np.where(unsure, flow_l_min(law), named)[()] for law in (friction_most, friction_least)]
    return FlowRange(named, *ends)
