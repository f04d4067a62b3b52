"""What a pipe map shows: parts as items, the pipes between them, and which end of each is above."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

import rustworkx as rx

from wortline.pipes.graph import valve_links
from wortline.pipes.network import Network
from wortline.pipes.view import View

Mouth = str | int
APART = 10_000.0


@dataclass(frozen=True)
class Item:
    """Something with a symbol: a part, the end of a hose, a cap, or a hose's way over the rim."""

    kind: str
    part: str
    mouths: tuple[Mouth, ...]


@dataclass(frozen=True)
class Pipe:
    """What joins two items, the upper one first; `down` is +1 if it flows that way, -1 if up."""

    upper: int
    upper_mouth: Mouth
    lower: int
    lower_mouth: Mouth
    look: str
    down: int


@dataclass(frozen=True)
class Picture:
    """The items and the pipes between them; a pipe's upper item never stands below its lower."""

    items: tuple[Item, ...]
    pipes: tuple[Pipe, ...]

    def above(self, item: int) -> list[Pipe]:
        """Return the pipes that come to an item from above."""
        return [pipe for pipe in self.pipes if pipe.lower == item]

    def below(self, item: int) -> list[Pipe]:
        """Return the pipes that leave an item downwards."""
        return [pipe for pipe in self.pipes if pipe.upper == item]


@dataclass
class _Draft:
    view: View
    items: list[Item] = field(default_factory=list)
    place: dict[int, int] = field(default_factory=dict)
    joins: list[tuple[int, int]] = field(default_factory=list)
    links: list[tuple[int, Mouth, int, Mouth, str]] = field(default_factory=list)

    @property
    def network(self) -> Network:
        return self.view.network

    def add(
        self, kind: str, part: str, nodes: tuple[int, ...], more: tuple[Mouth, ...] = ()
    ) -> int:
        self.items.append(Item(kind, part, (*nodes, *more)))
        for node in nodes:
            self.place[node] = len(self.items) - 1
        return len(self.items) - 1

    @cached_property
    def from_source(self) -> Mapping[int, int]:
        """Steps of every live port from the source of the flow."""
        flow = self.view.flow
        steps = {each.node: 0 for each in flow.sources if each.node in flow.live}
        front = list(steps)
        while front:
            after: list[int] = []
            for node in front:
                for other in flow.graph.successor_indices(node):
                    if other in flow.live and other not in steps:
                        steps[other] = steps[node] + 1
                        after.append(other)
            front = after
        return steps


def picture(view: View) -> Picture:
    """Return what is drawn of a setting."""
    draft = _Draft(view)
    _parts(draft)
    _hose_ends(draft)
    _caps(draft)
    _hangings(draft)
    order = _order(draft)
    return Picture(tuple(draft.items), tuple(_pipes(draft, order)))


def _parts(draft: _Draft) -> None:
    network = draft.network
    joined = [(a, b) for a, b in network.always if a < b and network.owner(a) != network.owner(b)]
    ends = zip(network.loose, draft.view.setting.ends, strict=True)
    moved = [(each.node, each.targets[end]) for each, end in ends if end != "capped"]
    draft.joins = [*joined, *moved]
    used = {node for join in draft.joins for node in join}
    for name, part in network.parts.items():
        nodes = tuple(network.node[name, port] for port in part.ports)
        if part.kind in {"kettle", "fermenter", "jug", "drain", "water", "chiller"}:
            nodes = tuple(node for node in nodes if node in used)
        if part.kind == "kettle":
            rim = network.node[name, "rim"]
            kettle = draft.add("kettle", name, tuple(node for node in nodes if node != rim))
            if rim in used:
                _over_rim(draft, kettle, name, rim)
        else:
            draft.add(part.kind, name, nodes)


def _over_rim(draft: _Draft, kettle: int, part: str, node: int) -> None:
    hook = draft.add("rim", part, (node,), ("mouth",))
    draft.links.append((hook, "mouth", kettle, f"rim {node}", "like"))


def _hose_ends(draft: _Draft) -> None:
    network = draft.network
    kettle = next(at for at, item in enumerate(draft.items) if item.kind == "kettle")
    for loose, end in zip(network.loose, draft.view.setting.ends, strict=True):
        node = loose.node if end == "capped" else loose.targets[end]
        if end == "capped" or node in draft.place:
            continue
        kind = network.terminals[node].kind
        if kind == "kettle":
            _over_rim(draft, kettle, loose.name, node)
        else:
            draft.add(kind, "", (node,))


def _caps(draft: _Draft) -> None:
    used = {node for join in draft.joins for node in join}
    for node, at in list(draft.place.items()):
        if node not in used and draft.items[at].kind not in {"cap", "rim"}:
            cap = draft.add("cap", "", (), ("on",))
            draft.links.append((at, node, cap, "on", "like"))


def _hangings(draft: _Draft) -> None:
    kettle = next(at for at, item in enumerate(draft.items) if item.kind == "kettle")
    for at, item in enumerate(list(draft.items)):
        part = draft.network.parts.get(item.part)
        if item.kind == "arm":
            draft.links.append((at, "mouth", kettle, f"arm {at}", "like"))
            draft.items[at] = Item("arm", item.part, (*item.mouths, "mouth"))
        elif item.kind == "chiller" and part is not None and part.form == "immersion":
            draft.links.append((at, "hangs", kettle, f"coil {at}", "hangs"))
            draft.items[at] = Item("chiller", item.part, (*item.mouths, "hangs"))


def _order(draft: _Draft) -> list[float]:
    """Return a number for every item; of two joined items the one with the lower is above.

    Parts are counted from the kettle's outlet along the wort, water supplies stand before their
    chiller, and whatever returns to the kettle stands before the kettle.
    """
    network, count = draft.network, len(draft.items)
    graph: rx.PyGraph[None, None] = rx.PyGraph(multigraph=False)
    graph.add_nodes_from([None] * len(network.ports))
    graph.add_edges_from_no_data([*network.always, *draft.joins])
    for name in network.of_kind("chiller"):
        graph.remove_edge(network.node[name, "water_in"], network.node[name, "water_out"])
    for valve in network.valves:
        for position in valve.stops:
            graph.add_edges_from_no_data(list(valve_links(valve, position)))
    graph.add_edges_from_no_data([(into, out) for _, into, out in network.pumps])
    found: dict[int, float] = {}

    def spread_from(node: int, start: float, step: float) -> None:
        lengths = rx.dijkstra_shortest_path_lengths(graph, node, lambda _: 1.0)
        for other, far in sorted({node: 0.0, **lengths}.items(), key=lambda pair: pair[1]):
            at = draft.place.get(other)
            if at is not None and at not in found:
                found[at] = start + step * far

    spread_from(network.node[network.kettle.name, "outlet"], 0.0, 1.0)
    chillers = [at for at, item in enumerate(draft.items) if item.kind == "chiller"]
    for at in chillers:
        name = draft.items[at].part
        found.setdefault(at, -0.5 if "hangs" in draft.items[at].mouths else APART)
        for port, step in (("water_in", -1e-3), ("water_out", 1e-3)):
            if network.node[name, port] in draft.place:
                spread_from(network.node[name, port], found[at] + step, step)
    for kinds in (("water", "jug"), tuple(item.kind for item in draft.items)):
        for at, item in enumerate(draft.items):
            nodes = [mouth for mouth in item.mouths if isinstance(mouth, int)]
            if item.kind in kinds and at not in found and nodes:
                spread_from(nodes[0], APART + at, 1e-3)
    for at, item in enumerate(draft.items):
        if item.kind in {"arm", "rim"}:
            found[at] = -1.0
        elif item.kind == "kettle":
            found[at] = 0.0
        elif item.kind == "water" and at in found:
            found[at] -= 2.5
    for link in draft.links:
        found.setdefault(link[2], found.get(link[0], APART) + 1e-4)
    return _between_ends(draft, [found.get(at, APART) for at in range(count)])


def _between_ends(draft: _Draft, found: list[float]) -> list[float]:
    """Return one number for each item, those of hoses between the numbers of their two ends."""
    hoses = {at for at, item in enumerate(draft.items) if item.kind == "hose"}
    solid = sorted(set(range(len(found))) - hoses, key=lambda at: (found[at], at))
    rank = [0.0] * len(found)
    for number, at in enumerate(solid):
        rank[at] = float(number)
    near: dict[int, list[int]] = {at: [] for at in hoses}
    for a, b in [(draft.place[a], draft.place[b]) for a, b in draft.joins] + [
        (link[0], link[2]) for link in draft.links
    ]:
        for one, other in ((a, b), (b, a)):
            if one in hoses:
                near[one].append(other)
    waiting = set(hoses)
    while waiting:
        first = min(waiting, key=lambda at: (all(each in hoses for each in near[at]), at))
        chain = _chain(first, near, hoses)
        waiting -= set(chain)
        ends = [next((e for e in near[at] if e not in hoses), None) for at in (chain[0], chain[-1])]
        if len(chain) == 1:
            ends = [*(e for e in near[first] if e not in hoses), None, None][:2]
        low, high = (rank[e] if e is not None else None for e in ends)
        start = low if low is not None else float(len(found))
        end = high if high is not None and high != start else start + 0.5
        for place, at in enumerate(chain, 1):
            rank[at] = start + (end - start) * place / (len(chain) + 1) + 1e-7 * at
    return rank


def _chain(first: int, near: Mapping[int, list[int]], hoses: set[int]) -> list[int]:
    chain = [first]
    for forward in (True, False):
        while True:
            tip = chain[-1] if forward else chain[0]
            after = [at for at in near[tip] if at in hoses and at not in chain]
            if not after:
                break
            chain = [*chain, after[0]] if forward else [after[0], *chain]
    return chain


def _pipes(draft: _Draft, order: list[float]) -> Iterator[Pipe]:
    for a, b in draft.joins:
        look, along = _look(draft, a, b)
        yield _hung(draft.place[a], a, draft.place[b], b, look, along, order)
    for one, mouth, other, another, kind in draft.links:
        look, along = _like(draft, one, mouth) if kind == "like" else (kind, 0)
        yield _hung(one, mouth, other, another, look, along, order)


def _like(draft: _Draft, item: int, mouth: Mouth) -> tuple[str, int]:
    """Return look and direction of a link that is part of an item: an arm's mouth, a cap."""
    node = mouth if isinstance(mouth, int) else draft.items[item].mouths[0]
    if mouth == "mouth" and node in draft.view.flow.live:
        return "live", 1 if any(each.node == node for each in draft.view.flow.sinks) else -1
    return ("wet" if node in draft.view.flow.wet | draft.view.standing else "dry"), 0


def _look(draft: _Draft, a: int, b: int) -> tuple[str, int]:
    flow = draft.view.flow
    if a in flow.live and b in flow.live:
        steps = draft.from_source
        far = steps.get(b, 0) - steps.get(a, 0)
        return "live", (far > 0) - (far < 0)
    if _water_runs(draft.view, a) or _water_runs(draft.view, b):
        return "water", _water_along(draft.view, a, b)
    full = flow.wet | flow.live | draft.view.standing
    return ("wet" if a in full and b in full else "dry"), 0


def _water_runs(view: View, node: int) -> bool:
    """Say whether cooling water runs through a port."""
    return any(node in nodes for nodes in _water_sides(view))


def _water_along(view: View, a: int, b: int) -> int:
    for into, out in zip(*[iter(_water_sides(view))] * 2, strict=True):
        if a in out and b in out:
            return 1 if out[a] < out[b] else -1
        if a in into and b in into:
            return 1 if into[a] > into[b] else -1
    return 0


def _water_sides(view: View) -> list[Mapping[int, float]]:
    """Return the ports before and behind each cooled chiller with their steps from it."""
    found: list[Mapping[int, float]] = []
    for name in sorted(view.cooled):
        for port, other in (("water_in", "water_out"), ("water_out", "water_in")):
            graph = view.flow.graph.to_undirected()
            node, far = view.network.node[name, port], view.network.node[name, other]
            while graph.has_edge(node, far):
                graph.remove_edge(node, far)
            lengths = rx.dijkstra_shortest_path_lengths(graph, node, lambda _: 1.0)
            found.append({node: 0.0, **lengths})
    return found


def _hung(
    a: int, a_mouth: Mouth, b: int, b_mouth: Mouth, look: str, along: int, order: list[float]
) -> Pipe:
    """Return a pipe from a to b with its upper item first."""
    if (order[a], a) <= (order[b], b):
        return Pipe(a, a_mouth, b, b_mouth, look, along)
    return Pipe(b, b_mouth, a, a_mouth, look, -along)
