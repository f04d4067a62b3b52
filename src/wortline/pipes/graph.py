"""Where the wort goes in one setting: what is reached, what carries flow, what only stands."""

from collections.abc import Iterable, Sequence, Set
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import rustworkx as rx

from wortline.pipes.network import Link, Network, Terminal, Valve
from wortline.pipes.state import Conditions, Setting


@dataclass(frozen=True, eq=False)
class Flow:
    """What flows in one setting.

    `forward` and `back` are the nodes reached from the pumps' discharge and those that reach their
    suction; `live` are the nodes with through-flow. Without a running pump all three come from
    what runs downhill by itself.
    """

    network: Network
    setting: Setting
    graph: rx.PyDiGraph[None, None]
    pumps: tuple["Drive", ...]
    sources: tuple[Terminal, ...]
    sinks: tuple[Terminal, ...]
    live: frozenset[int]
    falls: tuple[tuple[Terminal, Terminal], ...] = ()

    @property
    def forced(self) -> bool:
        """Say whether a pump runs."""
        return self.setting.pump and bool(self.network.pumps)

    @cached_property
    def parts(self) -> tuple[str, ...]:
        """Return the parts with through-flow, but no vessels, in the order of the rig."""
        held = {self.network.owner(node) for node in self.live if not self._ends_here(node)}
        return tuple(name for name in self.network.parts if name in held)

    def _ends_here(self, node: int) -> bool:
        terminal = self.network.terminals.get(node)
        return terminal is not None and self.network.parts[terminal.part].kind != "arm"

    @cached_property
    def path(self) -> tuple[str, ...]:
        """Return the parts from the source to the sink that matters most, in order."""
        if not self.sources or not self.sinks:
            return ()
        worst = min(self.sinks, key=lambda sink: (sink.kind != "fermenter", sink.kind, sink.node))
        for source in self.sources:
            nodes = route(self.graph, source.node, worst.node)
            if nodes:
                return named(self.network, nodes)
        return ()

    @cached_property
    def wet(self) -> frozenset[int]:
        """Return the nodes that are open to the flow but carry none of it."""
        if not self.live:
            return frozenset()
        found: set[int] = set()
        for node in self.live:
            if node not in self.network.terminals:
                found |= rx.descendants(self.graph, node)
        return frozenset(found - self.live - self.network.terminals.keys())

    @cached_property
    def dead_legs(self) -> tuple[str, ...]:
        """Return the parts that are open to the flow but carry none of it."""
        carrying = {self.network.owner(node) for node in self.live}
        names = {self.network.owner(node) for node in self.wet} - carrying
        return tuple(name for name in self.network.parts if name in names)


@dataclass(frozen=True)
class Drive:
    """A running pump: what its discharge reaches and what reaches its suction."""

    name: str
    forward: frozenset[int]
    back: frozenset[int]
    sources: tuple[Terminal, ...]
    sinks: tuple[Terminal, ...]


def valve_links(valve: Valve, position: str) -> tuple[Link, ...]:
    """Return the links inside a valve in one position, each of them both ways."""
    if not valve.ways:
        return () if position == "shut" else ((valve.nodes[0], valve.nodes[1]),)
    common, a, b = valve.nodes
    if position == valve.positions[0]:
        return ((common, a),)
    if position == valve.positions[1]:
        return ((common, b),)
    if position == "through":
        return ((a, b),)
    if position == "all" or (position == "between" and valve.passage == "t"):
        return ((common, a), (common, b), (a, b))
    return ()


def _edges_of_handles(network: Network) -> tuple[dict[str, tuple[Link, ...]], ...]:
    """Return the directed links of every handle in every position, worked out once."""
    key = "edges of handles"
    if key not in network.remembered:
        network.remembered[key] = tuple(
            {
                position: tuple(
                    link for a, b in valve_links(valve, position) for link in ((a, b), (b, a))
                )
                for position in valve.positions
            }
            for valve in network.valves
        )
    found = network.remembered[key]
    assert isinstance(found, tuple)
    return found


def links(network: Network, setting: Setting) -> list[Link]:
    """Return the directed links of a setting that its handles, pump and hose ends make."""
    found: list[Link] = []
    for edges, position in zip(_edges_of_handles(network), setting.positions, strict=True):
        found += edges[position]
    for _, into, out in network.pumps:
        found.append((into, out))
        if not setting.pump:
            found.append((out, into))
    for loose, end in zip(network.loose, setting.ends, strict=True):
        if end != "capped":
            target = loose.targets[end]
            found += ((loose.node, target), (target, loose.node))
    return found


def graph_of(network: Network, setting: Setting) -> rx.PyDiGraph[None, None]:
    """Return the directed graph of a setting; a pump that stands still is an open pipe."""
    graph: rx.PyDiGraph[None, None] = rx.PyDiGraph(multigraph=False)
    graph.add_nodes_from([None] * len(network.ports))
    graph.add_edges_from_no_data([*network.always, *links(network, setting)])
    return graph


def route(graph: rx.PyDiGraph[None, None], start: int, end: int) -> list[int]:
    """Return the nodes of a shortest way, or nothing."""
    found = rx.digraph_dijkstra_shortest_paths(graph, start, target=end)
    return list(found[end]) if end in found else []


def named(network: Network, nodes: Sequence[int]) -> tuple[str, ...]:
    """Return the parts that nodes belong to, in order; an arm ends in the kettle."""
    names = [network.owner(node) for node in nodes]
    said = names[:1] + [after for before, after in pairwise(names) if after != before]
    last = network.terminals.get(nodes[-1])
    if last is not None and network.parts[last.part].kind in {"arm", "hose"}:
        said.append(network.kettle.name if last.kind == "kettle" else last.kind)
    return tuple(said)


def flow(network: Network, setting: Setting, known: Conditions | None = None) -> Flow:
    """Return what flows in a setting; without a pump only where levels are known."""
    graph = graph_of(network, setting)
    if setting.pump and network.pumps:
        return _pumped(network, setting, graph)
    return _falling(network, setting, graph, known) if known else _still(network, setting, graph)


def _still(network: Network, setting: Setting, graph: rx.PyDiGraph[None, None]) -> Flow:
    return Flow(network, setting, graph, (), (), (), frozenset())


def _pumped(network: Network, setting: Setting, graph: rx.PyDiGraph[None, None]) -> Flow:
    drives: list[Drive] = []
    live: set[int] = set()
    for name, into, out in network.pumps:
        forward = frozenset(rx.descendants(graph, out)) | {out}
        back = frozenset(rx.ancestors(graph, into)) | {into}
        # The pump itself always links both; what lies beyond it counts for neither side.
        sinks = _terminals(network, forward, sink=True)
        sources = _terminals(network, back, sink=False)
        if not setting.water:
            sources = tuple(each for each in sources if each.kind != "water")
        drives.append(Drive(name, forward, back, sources, sinks))
        if sources and sinks:
            ends = [each.node for each in (*sources, *sinks)]
            live |= through(graph, forward | back, ends, (into, out))
    sources = tuple(dict.fromkeys(each for drive in drives for each in drive.sources))
    sinks = tuple(dict.fromkeys(each for drive in drives for each in drive.sinks))
    return Flow(network, setting, graph, tuple(drives), sources, sinks, frozenset(live))


def _terminals(network: Network, nodes: Set[int], sink: bool) -> tuple[Terminal, ...]:
    return tuple(
        terminal
        for node, terminal in network.terminals.items()
        if node in nodes and (terminal.sink if sink else terminal.source)
    )


def through(
    graph: rx.PyDiGraph[None, None], nodes: Set[int], ends: Iterable[int], driven: Link | None
) -> set[int]:
    """Return the nodes with through-flow: those in one block with the way round by the vessels.

    All vessels are joined to one point outside; a dead leg hangs on the blocks of that graph by a
    single port.
    """
    ring = graph.to_undirected(multigraph=False)
    ring.remove_nodes_from([node for node in ring.node_indices() if node not in nodes])
    outside = ring.add_node(None)
    ring.add_edges_from_no_data([(node, outside) for node in ends])
    blocks: dict[int, set[int]] = {}
    for edge, block in rx.biconnected_components(ring).items():
        blocks.setdefault(block, set()).update(edge)
    if driven:
        into, out = driven
        wanted = [block for block in blocks.values() if into in block and out in block]
    else:
        wanted = [block for block in blocks.values() if outside in block and len(block) > 2]
    return {node for block in wanted for node in block if node != outside}


def surface_m(network: Network, terminal: Terminal, known: Conditions) -> float | None:
    """Return the height of the liquid's surface at a terminal [m]; None where it stands in air."""
    if terminal.kind == "kettle":
        kettle = network.kettle
        top = (float(kettle.height) if kettle.height else 0.0) + known.level_m
        if terminal.part != kettle.name and terminal.end_m is None:
            return top if network.parts[terminal.part].surface == "below" else None
        return top if terminal.end_m is not None and top > terminal.end_m else None
    if terminal.kind == "fermenter" and terminal.end_m is not None:
        height = network.parts[terminal.part].height
        top = (float(height) if height else 0.0) + known.fermenter_level_m
        return top if top > terminal.end_m else None
    if terminal.kind == "jug" and terminal.source:
        return terminal.end_m
    return None


def sink_m(network: Network, terminal: Terminal, known: Conditions) -> float | None:
    """Return the height against which a terminal is filled [m]; None where it is not known."""
    if terminal.kind == "floor":
        return 0.0
    surface = surface_m(network, terminal, known)
    if surface is not None:
        return surface
    if terminal.kind == "kettle" and terminal.end_m is None:
        return float("inf")
    return terminal.end_m


def _falling(
    network: Network, setting: Setting, graph: rx.PyDiGraph[None, None], known: Conditions
) -> Flow:
    live: set[int] = set()
    falls: list[tuple[Terminal, Terminal]] = []
    for source in network.terminals.values():
        top = surface_m(network, source, known) if source.source else None
        if source.kind == "water" and setting.water:
            top = float("inf")
        if top is None:
            continue
        reached = rx.descendants(graph, source.node)
        lower = [
            sink
            for sink in _terminals(network, reached, sink=True)
            if (sink.kind, source.kind) != ("kettle", "kettle")
            and _below(sink_m(network, sink, known), top)
        ]
        if lower and (source.kind != "water" or any(each.kind != "drain" for each in lower)):
            falls += [(source, sink) for sink in lower]
            among = (reached | {source.node}) & frozenset().union(
                *({*rx.ancestors(graph, sink.node), sink.node} for sink in lower)
            )
            live |= through(graph, among, [source.node, *(each.node for each in lower)], None)
    sources = tuple(dict.fromkeys(source for source, _ in falls))
    sinks = tuple(dict.fromkeys(sink for _, sink in falls))
    return Flow(network, setting, graph, (), sources, sinks, frozenset(live), tuple(falls))


def _below(height_m: float | None, top_m: float) -> bool:
    return height_m is None or height_m < top_m - 1e-9


def _closed_seats(network: Network) -> list[tuple[int, int, float]]:
    key = "closed seats"
    if key not in network.remembered:
        network.remembered[key] = [
            (a, b, 1.0)
            for valve in network.valves
            for a in valve.nodes
            for b in valve.nodes
            if a != b
        ]
    found = network.remembered[key]
    assert isinstance(found, list)
    return found


def barriers(network: Network, setting: Setting) -> float:
    """Return the fewest closed seats between kettle and fermenter; inf without any way."""
    graph: rx.PyDiGraph[None, float] = rx.PyDiGraph(multigraph=False)
    graph.add_nodes_from([None] * len(network.ports))
    # What is open now goes over the closed seats and takes their place.
    graph.add_edges_from(_closed_seats(network))
    graph.add_edges_from([(a, b, 0.0) for a, b in (*network.always, *links(network, setting))])
    start = [
        each.node for each in network.terminals.values() if each.kind == "kettle" and each.source
    ]
    ends = [each.node for each in network.terminals.values() if each.kind == "fermenter"]
    best = float("inf")
    for node in start:
        lengths = rx.dijkstra_shortest_path_lengths(graph, node, float)
        best = min([best, *(lengths[end] for end in ends if end in lengths)])
    return best
