"""The plumbing compiled once: ports as nodes, what always joins them, what depends on handles."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from wortline.documents.plumbing import PipePart, Plumbing, Port
from wortline.science.transfer import hold_up_l

Link = tuple[int, int]


@dataclass(frozen=True)
class Terminal:
    """A port of a vessel, or the loose end of a hose: the search stops there."""

    node: int
    part: str
    kind: str
    source: bool
    sink: bool
    end_m: float | None = None


@dataclass(frozen=True)
class Valve:
    """A part with a handle: its nodes and the positions the handle may have."""

    name: str
    ways: bool
    passage: str
    nodes: tuple[int, ...]
    positions: tuple[str, ...]
    words: Mapping[str, str]

    @property
    def stops(self) -> tuple[str, ...]:
        """Return the positions the handle rests in."""
        return tuple(each for each in self.positions if each != "between")


@dataclass(frozen=True)
class Loose:
    """The end of a hose that is moved by hand: where it is as drawn, and where it may go."""

    name: str
    node: int
    at: str
    targets: Mapping[str, int]


@dataclass(frozen=True, eq=False)
class Network:
    """A rig's pipes; nodes are numbered as `ports` has them."""

    parts: Mapping[str, PipePart]
    ports: tuple[Port, ...]
    always: tuple[Link, ...]
    pumps: tuple[tuple[str, int, int], ...]
    valves: tuple[Valve, ...]
    loose: tuple[Loose, ...]
    terminals: Mapping[int, Terminal]
    node: Mapping[Port, int]
    nodes_of: Mapping[str, tuple[int, ...]]
    remembered: dict[str, object] = field(default_factory=dict)

    def owner(self, node: int) -> str:
        """Return the name of the part that has a node."""
        return self.ports[node][0]

    def of_kind(self, kind: str) -> tuple[str, ...]:
        """Return the names of the parts of a kind."""
        key = f"of kind {kind}"
        if key not in self.remembered:
            self.remembered[key] = tuple(
                name for name, part in self.parts.items() if part.kind == kind
            )
        found = self.remembered[key]
        assert isinstance(found, tuple)
        return found

    @property
    def kettle(self) -> PipePart:
        """Return the kettle."""
        return self.parts[self.of_kind("kettle")[0]]


def hold_up_of_l(part: PipePart) -> float:
    """Return how much a part holds [L]; of a hose from its bore and length if not given."""
    if part.hold_up is not None:
        return float(part.hold_up)
    if part.kind == "hose" and part.bore and part.length:
        return float(hold_up_l(float(part.length), float(part.bore)))
    return 0.0


VESSELS = frozenset({"kettle", "arm", "fermenter", "drain", "jug", "water"})
# where the end of a hose may be held by hand, and what kind of vessel that is
ENDS: Mapping[str, str] = {"floor": "floor", "jug": "jug", "over rim": "kettle"}
INSIDE: Mapping[str, tuple[tuple[str, str, bool], ...]] = {
    "hose": (("a", "b", True),),
    "check": (("in", "out", False),),
    "tee": (("a", "b", True), ("b", "c", True), ("a", "c", True)),
    "chiller": (("in", "out", True), ("water_in", "water_out", True)),
}


def network(plumbing: Plumbing) -> Network:
    """Compile a rig's plumbing."""
    parts = {part.name: part for part in plumbing.parts}
    ports = [(name, port) for name, part in parts.items() for port in part.ports]
    joined = dict(plumbing.joined) | {b: a for a, b in plumbing.joined}
    movable = [name for name, part in parts.items() if part.movable == "yes"]
    ports += [(name, end) for name in movable for end in ENDS]
    node = {port: index for index, port in enumerate(ports)}
    by_hand = {(name, "b") for name in movable}
    always: list[Link] = []
    for a, b in plumbing.joined:
        if a not in by_hand and b not in by_hand:
            always += [(node[a], node[b]), (node[b], node[a])]
    for name, part in parts.items():
        for one, other, back in INSIDE.get(part.kind, ()):
            if (name, one) in node:
                always.append((node[name, one], node[name, other]))
                always += [(node[name, other], node[name, one])] if back else []
    return Network(
        parts,
        tuple(ports),
        tuple(always),
        tuple(
            (name, node[name, "in"], node[name, "out"])
            for name, part in parts.items()
            if part.kind == "pump"
        ),
        tuple(
            _valve(part, parts, joined, node)
            for part in parts.values()
            if part.kind in {"valve2", "valve3"}
        ),
        tuple(_loose(name, parts, joined, plumbing.shut_ports, node) for name in movable),
        _terminals(parts, node),
        node,
        {
            name: tuple(index for index, port in enumerate(ports) if port[0] == name)
            for name in parts
        },
    )


def _valve(
    part: PipePart,
    parts: Mapping[str, PipePart],
    joined: Mapping[Port, Port],
    node: Mapping[Port, int],
) -> Valve:
    nodes = tuple(node[part.name, port] for port in part.ports)
    if part.kind == "valve2":
        words = {"open": "open", "on": "open", "shut": "shut", "closed": "shut", "off": "shut"}
        words["between"] = "between"
        return Valve(part.name, False, "", nodes, ("open", "shut", "between"), words)
    passage = part.passage or "l"
    ways = part.ports[1:]
    further = ("off",) if passage == "l" else ("all", "through")
    words = {each: each for each in (*further, "between")}
    if passage == "l":
        words |= {"shut": "off", "closed": "off"}
    names = [_pointed_at(part.name, way, parts, joined) for way in ways]
    for way, found, other in zip(ways, names, reversed(names), strict=True):
        words |= {name.lower(): way for name in found if name not in other}
    words |= {way.lower(): way for way in ways}
    return Valve(part.name, True, passage, nodes, (*ways, *further, "between"), words)


def _pointed_at(
    name: str, port: str, parts: Mapping[str, PipePart], joined: Mapping[Port, Port]
) -> list[str]:
    """Return the parts a port points to: its neighbour, and what hoses lead to from there."""
    found: list[str] = []
    here = joined.get((name, port))
    while here is not None and here[0] not in found:
        found.append(here[0])
        if parts[here[0]].kind != "hose":
            break
        here = joined.get((here[0], "b" if here[1] == "a" else "a"))
    return found


def _loose(
    name: str,
    parts: Mapping[str, PipePart],
    joined: Mapping[Port, Port],
    capped: frozenset[Port],
    node: Mapping[Port, int],
) -> Loose:
    at = joined.get((name, "b"))
    targets = {"floor": node[name, "floor"], "jug": node[name, "jug"]}
    if at:
        targets[at[0]] = node[at]
    for other, part in parts.items():
        if other != name and other not in targets and part.kind in VESSELS:
            free = [port for port in part.ports if (other, port) not in joined and port != "outlet"]
            if free:
                targets[other] = node[other, free[0]]
            elif part.kind == "kettle":
                targets[other] = node[name, "over rim"]
        if part.kind == "jug" and (other, "in") not in joined:
            targets["jug"] = node[other, "in"]
    return Loose(name, node[name, "b"], at[0] if at else _unjoined(name, capped), targets)


def _unjoined(name: str, capped: frozenset[Port]) -> str:
    return "capped" if (name, "b") in capped else "floor"


def _terminals(parts: Mapping[str, PipePart], node: Mapping[Port, int]) -> Mapping[int, Terminal]:
    found: dict[int, Terminal] = {}
    for (name, port), index in node.items():
        part = parts[name]
        height = float(part.height) if part.height else None
        if part.kind == "hose":
            if port in ENDS:
                kind = ENDS[port]
                found[index] = Terminal(index, name, kind, kind == "jug", True, None)
        elif part.kind == "kettle" and port == "outlet":
            outlet_m = (height or 0.0) + (float(part.outlet) if part.outlet else 0.0)
            found[index] = Terminal(index, name, "kettle", True, True, outlet_m)
        elif part.kind == "kettle":
            found[index] = Terminal(index, name, "kettle", False, True, None)
        elif part.kind == "arm":
            below = part.surface == "below"
            found[index] = Terminal(index, name, "kettle", below, True, height)
        elif part.kind == "fermenter":
            end = None if height is None else height + (float(part.inlet) if part.inlet else 0.0)
            found[index] = Terminal(index, name, "fermenter", True, True, end)
        elif part.kind in {"drain", "jug", "water"}:
            source = port == "out"
            found[index] = Terminal(index, name, part.kind, source, not source, height)
    return found
