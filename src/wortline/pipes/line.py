"""The live path as a line of segments between two surfaces, with the pump on it."""

from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

from wortline.documents.plumbing import CurvePoint, PipePart
from wortline.pipes.graph import Flow, route, surface_m
from wortline.pipes.network import Network, Terminal
from wortline.pipes.state import Conditions, Limits
from wortline.science.fittings import FITTINGS, throttled_ball_valve_k
from wortline.science.pipe_flow import (
    Segment,
    kinematic_viscosity_m2_s,
)
from wortline.science.pump import (
    FlowRange,
    PumpCurve,
    curve_of_one_point,
    curve_of_three_points,
    curve_of_two_points,
    pumped_flow,
    unpumped_flow,
)
from wortline.science.screen import mesh_segment
from wortline.science.viscosity import sugar_viscosity_mpa_s
from wortline.science.water import density_kg_m3

BORE_M = 0.0127
BARB = 0.8
"""Bore inside a barb over that of its hose, where it is not said (common practice, no source)."""
STOPPED_PUMP_K = 2.0
"""Loss coefficient of a pump that stands still (common practice, no source)."""
# Length and loss coefficient of the wort side (common practice, no source).
PLATES, TUBE_IN_TUBE = (0.4, 5.0), (7.5, 1.5)
TUBE_BORE_M = 0.011
FITTING_OF = {
    "valve2": "ball valve",
    "valve3": "three-way valve, turned",
    "check": "swing check valve",
}
SCREEN_M2, SCREEN_FREE = 0.00377, 0.36
"""A mesh cylinder of 12 by 100 mm with a third of it open (common practice, no source)."""


@dataclass(frozen=True)
class Line:
    """A path from a surface to its end: its pieces up to the pump's eye and behind it."""

    before: tuple[Segment, ...]
    behind: tuple[Segment, ...]
    lift_m: float
    viscosity_m2_s: float
    curve: PumpCurve | None
    pump: str | None
    arm_m: float | None
    assumed: tuple[str, ...] = ()

    @property
    def segments(self) -> tuple[Segment, ...]:
        """Return the whole line."""
        return (*self.before, *self.behind)

    def flow(self, lift_m: float | None = None) -> FlowRange:
        """Return the flow; against another lift than now if given."""
        up_m = self.lift_m if lift_m is None else lift_m
        if self.pump is None:
            return unpumped_flow(self.segments, -up_m, self.viscosity_m2_s)
        if self.curve is None:
            raise ValueError("a pump without a curve has no flow")
        return pumped_flow(self.curve, self.segments, up_m, self.viscosity_m2_s)


def line_of(
    network: Network,
    result: Flow,
    known: Conditions,
    limits: Limits,
    chillers: AbstractSet[str] = frozenset(),
) -> Line | None:
    """Return the one line that the wort runs through; None if it goes more than one way."""
    ends = _ends(result)
    if ends is None or not result.live:
        return None
    source, sink = ends
    pump = result.pumps[0].name if result.pumps else None
    nodes = _nodes(network, result, source, sink, pump)
    # The third port of a tee counts as live; a second way has parts of its own.
    on_way = {network.owner(node) for node in nodes}
    if not nodes or not {network.owner(node) for node in result.live} <= on_way:
        return None
    eye = nodes.index(network.node[pump, "in"]) + 1 if pump else 0
    cold_from = next(
        (place for place, node in enumerate(nodes) if network.owner(node) in chillers), len(nodes)
    )
    wort_m2_s = viscosity_m2_s(known.wort_c, limits.wort_plato)
    cold_c = known.water_c if known.outlet_c is None else known.outlet_c
    cold_m2_s = viscosity_m2_s(min(cold_c, known.wort_c), limits.wort_plato)
    thicker = cold_m2_s / wort_m2_s
    before = _pieces(result, nodes[:eye], known)
    warm = _pieces(result, nodes[eye:cold_from], known, begins=eye == 0)
    cold = _pieces(result, nodes[max(cold_from, eye) :], known, thicker, begins=False)
    throttle = (
        [Segment(BORE_M, k=float(throttled_ball_valve_k(known.throttle)))] if known.throttle else []
    )
    lift_m, assumed = _lift(network, source, sink, known)
    last = network.parts[network.owner(nodes[-1])]
    arm_m = (float(last.bore) if last.bore else BORE_M) if last.kind == "arm" else None
    exit_m = arm_m or _bore(network, nodes[::-1])
    end = Segment(exit_m, k=FITTINGS["exit"].k + (FITTINGS["smooth bend"].k if arm_m else 0.0))
    return Line(
        tuple(before),
        (*warm, *cold, *throttle, end),
        lift_m,
        wort_m2_s,
        curve_of(network, pump) if pump else None,
        pump,
        arm_m,
        assumed,
    )


def curve_of(network: Network, pump: str) -> PumpCurve | None:
    """Return the curve of a pump; None where the rig gives no usable point."""
    key = f"curve {pump}"
    if key not in network.remembered:
        network.remembered[key] = _curve(network.parts[pump].curve or ())
    found = network.remembered[key]
    assert found is None or isinstance(found, PumpCurve)
    return found


def _curve(points: Sequence[CurvePoint]) -> PumpCurve | None:
    known = [(float(point.flow), float(point.head)) for point in points]
    if len(known) == 1:
        return curve_of_one_point(*known[0]) if known[0][0] > 0.0 else None
    if len(known) < 2:
        return None
    if known[0][0] > 0.0:
        # No head at no flow is known: the parabola through the first two points gives it.
        (near, near_m), (far, far_m) = known[:2]
        shut_off_m = near_m + (near_m - far_m) * near**2 / (far**2 - near**2)
    else:
        shut_off_m = known.pop(0)[1]
    if len(known) == 1:
        return curve_of_two_points(shut_off_m, *known[0])
    return curve_of_three_points(shut_off_m, *known[-2], *known[-1])


def _ends(result: Flow) -> tuple[Terminal, Terminal] | None:
    """Return the one source and the one sink."""
    if result.pumps:
        if len(result.pumps) > 1 or len(result.sources) != 1 or len(result.sinks) != 1:
            return None
        return result.sources[0], result.sinks[0]
    return result.falls[0] if len(result.falls) == 1 else None


def _nodes(
    network: Network, result: Flow, source: Terminal, sink: Terminal, pump: str | None
) -> list[int]:
    if pump is None:
        return route(result.graph, source.node, sink.node)
    into, out = network.node[pump, "in"], network.node[pump, "out"]
    return route(result.graph, source.node, into) + route(result.graph, out, sink.node)


def suction_side(network: Network, result: Flow, known: Conditions) -> tuple[Segment, ...]:
    """Return the pieces from a source to the first pump that has one."""
    for drive in result.pumps:
        for source in drive.sources:
            nodes = route(result.graph, source.node, network.node[drive.name, "in"])
            return tuple(_pieces(result, nodes, known))
    return ()


@cache
def viscosity_m2_s(temp_c: float, extract_plato: float) -> float:
    """Return the kinematic viscosity of wort [m2/s]."""
    thickness_mpa_s = float(sugar_viscosity_mpa_s(temp_c, extract_plato))
    # Wort is denser than water by its extract, and as much at any temperature.
    density = float(density_kg_m3(temp_c)) * (1.0 + 0.004 * extract_plato)
    return float(kinematic_viscosity_m2_s(thickness_mpa_s, density))


def _lift(
    network: Network, source: Terminal, sink: Terminal, known: Conditions
) -> tuple[float, tuple[str, ...]]:
    """Return how far the line ends above the surface it comes from, and what was taken for it."""
    top_m = surface_m(network, source, known)
    if top_m is None:
        top_m = source.end_m
    if sink.kind == "kettle" and source.kind == "kettle" and sink.end_m is None:
        # A hose over the rim hangs down to the wort; full, it is a siphon.
        return 0.0, ()
    end_m = 0.0 if sink.kind == "floor" else surface_m(network, sink, known)
    if end_m is None:
        end_m = sink.end_m
    if top_m is None or end_m is None or network.kettle.height is None:
        if sink.kind == "kettle" and source.kind == "kettle":
            return 0.0, ()
        return 0.0, (f"end at {sink.part} level with the wort, for a height is not given",)
    return end_m - top_m, ()


def _bore(network: Network, nodes: Sequence[int]) -> float:
    """Return the first bore on the way that is given."""
    bores = (network.parts[network.owner(node)].bore for node in nodes)
    return next((float(bore) for bore in bores if bore is not None), BORE_M)


def _pieces(
    result: Flow,
    nodes: Sequence[int],
    known: Conditions,
    thicker: float = 1.0,
    begins: bool = True,
) -> Iterator[Segment]:
    """Yield what the wort passes between nodes; the entrance too where the line begins."""
    network = result.network
    if nodes and begins:
        yield from _entrance(network, nodes, known)
    for a, b in pairwise(nodes):
        name = network.owner(a)
        if name == network.owner(b):
            yield from _kept_pieces(result, name, (a, b), thicker, nodes)


def _kept_pieces(
    result: Flow, name: str, step: tuple[int, int], thicker: float, nodes: Sequence[int]
) -> tuple[Segment, ...]:
    """Return the pieces of a part; worked out once unless its bore is that of its neighbours."""
    network, half = result.network, _half_open(result, name)
    part = network.parts[name]
    ports = network.ports[step[0]][1], network.ports[step[1]][1]
    if part.bore is None:
        return tuple(_part(part, ports, _bore(network, nodes), half, thicker))
    key = f"pieces {step} {half} {thicker}"
    kept = network.remembered.get(key)
    if not isinstance(kept, tuple):
        kept = tuple(_part(part, ports, float(part.bore), half, thicker))
        network.remembered[key] = kept
    return kept


def _entrance(network: Network, nodes: Sequence[int], known: Conditions) -> Iterator[Segment]:
    yield Segment(_bore(network, nodes), k=FITTINGS["flush entrance"].k)
    vessel = network.parts[network.owner(nodes[0])]
    if vessel.kind == "kettle" and (vessel.screen is not None or known.blinded > 0.0):
        yield mesh_segment(SCREEN_M2, SCREEN_FREE, known.blinded)


def _part(
    part: PipePart, ports: tuple[str, str], bore_m: float, half: bool, thicker: float
) -> Iterator[Segment]:
    if part.kind == "hose":
        if set(ports) == {"a", "b"}:
            length_m = float(part.length) if part.length else 0.0
            barb_m = float(part.barb) if part.barb else BARB * bore_m
            yield Segment(bore_m, length_m, thicker=thicker)
            yield Segment(barb_m, k=2.0 * FITTINGS["barb or coupler"].k)
    elif part.kind == "chiller":
        length_m, k = TUBE_IN_TUBE if part.form == "counterflow" else PLATES
        if part.form == "counterflow" and part.bore is None:
            bore_m = TUBE_BORE_M
        length_m = float(part.length) if part.length else length_m
        yield Segment(bore_m, length_m, k, thicker=thicker)
    elif half:
        yield Segment(bore_m, k=float(throttled_ball_valve_k(0.5)))
    elif part.kind == "tee":
        yield Segment(bore_m, k=FITTINGS["tee, turned" if "c" in ports else "tee, straight on"].k)
    elif part.kind == "pump":
        yield Segment(bore_m, k=STOPPED_PUMP_K)
    elif part.kind in FITTING_OF:
        yield Segment(bore_m, k=FITTINGS[FITTING_OF[part.kind]].k)


def _half_open(result: Flow, name: str) -> bool:
    """Say whether a two-way valve stands half open; what is between in three ways is a way."""
    if result.network.parts[name].kind != "valve2":
        return False
    valves = zip(result.network.valves, result.setting.positions, strict=True)
    return any(valve.name == name and position == "between" for valve, position in valves)
