"""Every way the pipes offer: simple paths through handles that might stand anywhere."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

import rustworkx as rx

from wortline.pipes.graph import valve_links
from wortline.pipes.network import Network, Terminal
from wortline.pipes.state import drawn_ends

LONGEST = 80
MOST_WAYS = 500


@dataclass(frozen=True)
class Way:
    """A path from a source to a sink, and what has to stand how for it."""

    nodes: tuple[int, ...]
    source: Terminal
    sink: Terminal
    positions: Mapping[int, str]
    ends: tuple[str, ...]
    chillers: frozenset[str]
    pumped: bool
    backward: frozenset[str]


def moves(network: Network, ends: tuple[str, ...]) -> int:
    """Return how many hose ends are elsewhere than drawn."""
    return sum(end != drawn for end, drawn in zip(ends, drawn_ends(network), strict=True))


def end_choices(network: Network) -> Iterator[tuple[str, ...]]:
    """Yield the ends as drawn, then each with one hose end moved."""
    drawn = drawn_ends(network)
    yield drawn
    for index, loose in enumerate(network.loose):
        for target, node in loose.targets.items():
            taken = {
                other.targets[end]
                for other, end in zip(network.loose, drawn, strict=True)
                if other is not loose and end != "capped"
            }
            if target not in {loose.at, "floor"} and node not in taken:
                yield (*drawn[:index], target, *drawn[index + 1 :])


def _open_graph(network: Network, ends: tuple[str, ...], both: bool) -> rx.PyDiGraph[None, None]:
    """Return the graph with every handle in all its positions at once."""
    edges = list(network.always)
    for valve in network.valves:
        for position in valve.stops:
            for a, b in valve_links(valve, position):
                edges += [(a, b), (b, a)]
    for _, into, out in network.pumps:
        edges += [(into, out), (out, into)] if both else [(into, out)]
    for loose, end in zip(network.loose, ends, strict=True):
        if end != "capped":
            edges += [(loose.node, loose.targets[end]), (loose.targets[end], loose.node)]
    graph: rx.PyDiGraph[None, None] = rx.PyDiGraph(multigraph=False)
    graph.add_nodes_from([None] * len(network.ports))
    graph.add_edges_from_no_data(edges)
    return graph


def ways(network: Network, ends: tuple[str, ...], both: bool = False) -> tuple[Way, ...]:
    """Return every way from a source to a sink; `both` lets a still pump be passed either way."""
    key = f"ways {ends} {both}"
    if key not in network.remembered:
        network.remembered[key] = tuple(_ways(network, ends, both))
    found = network.remembered[key]
    assert isinstance(found, tuple)
    return found


def _ways(network: Network, ends: tuple[str, ...], both: bool) -> Iterator[Way]:
    graph = _open_graph(network, ends, both)
    count = 0
    for source in network.terminals.values():
        if not source.source:
            continue
        reached = rx.descendants(graph, source.node)
        for sink in network.terminals.values():
            if not sink.sink or sink.node not in reached:
                continue
            for nodes in rx.all_simple_paths(graph, source.node, sink.node, 0, LONGEST):
                way = _way(network, tuple(nodes), source, sink, ends)
                count += 1
                if count > MOST_WAYS:
                    return
                if way:
                    yield way


def _way(
    network: Network,
    nodes: tuple[int, ...],
    source: Terminal,
    sink: Terminal,
    ends: tuple[str, ...],
) -> Way | None:
    steps = list(pairwise(nodes))
    positions: dict[int, str] = {}
    for index, valve in enumerate(network.valves):
        used = [step for step in steps if step[0] in valve.nodes and step[1] in valve.nodes]
        if not used:
            continue
        if len(used) > 1:
            return None
        step = used[0]
        fitting = [
            position
            for position in valve.stops
            if step in (found := valve_links(valve, position)) or step[::-1] in found
        ]
        positions[index] = min(fitting, key=lambda each: len(valve_links(valve, each)))
    if any(node in network.terminals for node in nodes[1:-1]):
        return None
    pumped = any((into, out) in steps for _, into, out in network.pumps)
    chillers = _passed(network, steps)
    back = frozenset(
        name for name in chillers
        if (network.node[name, "out"], network.node[name, "in"]) in steps
    )  # fmt: skip
    return Way(nodes, source, sink, positions, ends, chillers, pumped, back)


def _passed(network: Network, steps: list[tuple[int, int]]) -> frozenset[str]:
    return frozenset(
        name
        for name in network.of_kind("chiller")
        if (name, "in") in network.node
        and {(a := network.node[name, "in"], b := network.node[name, "out"]), (b, a)} & set(steps)
    )


def reached_by_handles(network: Network) -> frozenset[tuple[str, frozenset[str]]]:
    """Return which kinds of vessel a pump can fill, through which chillers, no hose moved."""
    return frozenset(
        (way.sink.kind, way.chillers) for way in ways(network, drawn_ends(network)) if way.pumped
    )
