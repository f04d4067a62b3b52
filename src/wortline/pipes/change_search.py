"""The search behind a change-over: settings as states, acts of the hand as steps."""


import heapq
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import count
from operator import ne

from rustworkx import PyDiGraph, ancestors, descendants, dijkstra_shortest_path_lengths

from wortline.pipes import checks_flow, checks_heat
from wortline.pipes.audit import Check
from wortline.pipes.graph import barriers, graph_of, surface_m
from wortline.pipes.network import Network
from wortline.pipes.state import Conditions, Limits, Setting, drawn_ends
from wortline.pipes.view import Finding, View
from wortline.science.water import boiling_point_c

FORBIDDING: tuple[Check, ...] = (
    checks_flow.no_sink,
    checks_flow.starved,
    checks_flow.two_sinks,
    checks_heat.too_hot,
    checks_heat.water_off,
    checks_heat.boiling_chiller,
    checks_heat.unclean,
    checks_heat.runs_back,
    checks_heat.orphan,
)
MOST_STATES = 3000
MOMENTARY = frozenset({"D1", "D2", "T3"})
JOINING = frozenset({"all", "through"})
Key = tuple[str, str]


@dataclass(frozen=True)
class Move:
    """One act of the hand, and the setting after it."""

    act: str
    part: str
    was: str
    then: str
    after: Setting
    first: tuple[str, ...] = ()
    caution: str = ""

    @property
    def text(self) -> str:
        """Return the act as a sentence."""
        if self.act == "turn":
            if self.then in {"open", "shut"}:
                return f"{'Open' if self.then == 'open' else 'Shut'} {self.part}."
            return f"Turn {self.part} from {self.was} to {self.then}."
        if self.act == "hose":
            return f"Move the end of {self.part} from {self.was} to {self.then}."
        if self.act == "pump":
            return f"Switch {self.part} {self.then}."
        return f"Turn the water {self.then}."


@dataclass(eq=False)
class Search:
    """What is known while a way is looked for; what was judged once is kept."""

    network: Network
    known: Conditions
    limits: Limits
    end: Setting
    excused: frozenset[Key] = frozenset()
    begin: Setting | None = None
    judged: dict[Setting, frozenset[Key]] = field(default_factory=dict)
    reached: dict[Setting, Setting] = field(default_factory=dict)
    closed: dict[tuple[Setting, bool], bool] = field(default_factory=dict)

    @cached_property
    def starts(self) -> tuple[int, ...]:
        """Return the nodes that liquid may come from, and those of pumps and chillers."""
        network = self.network
        driven = [node for _, into, out in network.pumps for node in (into, out)]
        chillers = [node for name in network.of_kind("chiller") for node in network.nodes_of[name]]
        sources = [
            each.node
            for each in network.terminals.values()
            if each.kind == "water"
            or (each.source and surface_m(network, each, self.known) is not None)
        ]
        return (*driven, *chillers, *sources)

    def as_reached(self, setting: Setting) -> Setting:
        """Return a setting with every handle that no liquid reaches left out.

        Such a handle changes nothing: whatever it joins lies beyond what is reached.
        """
        dry = Setting(setting.positions, setting.ends, setting.pump)
        if dry not in self.reached:
            self.reached[dry] = self._as_reached(dry)
        found = self.reached[dry]
        return Setting(found.positions, found.ends, found.pump, setting.water)

    def _as_reached(self, setting: Setting) -> Setting:
        graph = graph_of(self.network, setting)
        # One point that all liquid comes from and goes to: one way out, one way back.
        point = graph.add_node(None)
        graph.add_edges_from_no_data(
            [link for node in self.starts for link in ((point, node), (node, point))]
        )
        reached = descendants(graph, point) | ancestors(graph, point)
        pairs = zip(self.network.valves, setting.positions, strict=True)
        positions = tuple(
            "" if reached.isdisjoint(valve.nodes) else position for valve, position in pairs
        )
        return Setting(positions, setting.ends, setting.pump)

    def stops(self, setting: Setting) -> frozenset[Key]:
        """Return what is forbidden about a setting."""
        key = self.as_reached(setting)
        if key not in self.judged:
            self.judged[key] = frozenset(
                (finding.code, finding.part) for finding in self.findings(setting)
            )
        return self.judged[key]

    def findings(self, setting: Setting) -> Iterator[Finding]:
        """Yield what is forbidden about a setting, the quickest checks first."""
        view = View(self.network, setting, self.known, self.limits)
        for check in FORBIDDING:
            yield from (finding for finding in check(view) if finding.severity == "stop")

    def barred(self, setting: Setting, passing: bool = False) -> bool:
        """Say whether anything not excused is forbidden about a setting."""
        key = (self.as_reached(setting), passing)
        if key not in self.closed:
            self.closed[key] = any(
                (finding.code, finding.part) not in self.excused
                and not (passing and finding.code in MOMENTARY)
                for finding in self.findings(setting)
            )
        return self.closed[key]

    def allowed(self, move: Move, before: Setting) -> bool:
        """Say whether an act may be done: the state after it, and the handle on its way."""
        if self.barred(move.after):
            return False
        if move.act == "hose":
            return not before.pump and self._empty(before, move.part, move.after)
        return move.act != "turn" or self._travels(move, before)

    @cached_property
    def below_boil(self) -> bool:
        """Say whether a moment of dead head does no harm."""
        boiling_c = float(boiling_point_c(self.known.pressure_kpa))
        return self.known.wort_c <= boiling_c - self.limits.near_boil_dk

    def _empty(self, before: Setting, hose: str, after: Setting) -> bool:
        """Say whether a hose is shut off from every vessel, before and after its end is moved."""
        loose = next(each for each in self.network.loose if each.name == hose)
        index = self.network.loose.index(loose)
        cut = graph_of(self.network, before.moved(index, "capped"))
        sources = {
            each.node
            for each in self.network.terminals.values()
            if each.source and each.kind in {"kettle", "fermenter"}
        }
        return not sources & set(ancestors(cut, loose.node))

    def _travels(self, move: Move, before: Setting) -> bool:
        index = next(i for i, each in enumerate(self.network.valves) if each.name == move.part)
        if not self.network.valves[index].ways:
            return True
        # A moment of dead head does no harm below the boil; every other stop does.
        return not self.barred(before.turned(index, "between"), passing=self.below_boil)

    @cached_property
    def tried(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """Return the stops to try of every handle, the wanted one first."""
        found: list[tuple[str, tuple[str, ...]]] = []
        for index, valve in enumerate(self.network.valves):
            wanted = self.end.positions[index]
            kept = {wanted, self.begin.positions[index]} if self.begin else set(valve.stops)
            stops = [stop for stop in valve.stops if stop in kept or stop not in JOINING]
            stops.sort(key=lambda each: (each != wanted, each))
            found.append((valve.name, tuple(stops)))
        return tuple(found)

    def acts(self, setting: Setting) -> Iterator[Move]:
        """Yield every act in a setting, those that lead to the end first."""
        if setting.water != self.end.water and self.end.water:
            yield self._water(setting)
        for index, (name, stops) in enumerate(self.tried):
            was = setting.positions[index]
            for stop in stops:
                if stop != was:
                    yield Move("turn", name, was, stop, setting.turned(index, stop))
        for index, loose in enumerate(self.network.loose):
            was, wanted = setting.ends[index], self.end.ends[index]
            if was != wanted:
                yield Move("hose", loose.name, was, wanted, setting.moved(index, wanted))
        if self.network.pumps:
            word = "off" if setting.pump else "on"
            name = " and ".join(each[0] for each in self.network.pumps)
            yield Move("pump", name, "on" if setting.pump else "off", word,
                       replace(setting, pump=not setting.pump))  # fmt: skip
        if not (setting.water != self.end.water and self.end.water):
            yield self._water(setting)

    def _water(self, setting: Setting) -> Move:
        name = next(iter(self.network.of_kind("water")), "water")
        now, word = ("on", "off") if setting.water else ("off", "on")
        return Move("water", name, now, word, replace(setting, water=not setting.water))

    def far(self, setting: Setting) -> int:
        """Return how many acts the end is away at least."""
        turns: int = sum(map(ne, setting.positions, self.end.positions))
        moves: int = sum(map(ne, setting.ends, self.end.ends))
        switches = (setting.pump != self.end.pump) + (setting.water != self.end.water)
        if setting.pump and self.end.pump:
            switches += 2 * any(
                setting.positions[index] != self.end.positions[index] for index in self.gates
            )
        return turns + moves + switches

    @cached_property
    def gates(self) -> tuple[int, ...]:
        """Return the handles that are not turned while the pump runs, whatever the others do.

        On its way such a handle shuts off the pump, even with every other way open, and near the
        boil that is no small matter. So the pump has to be switched off and on again.
        """
        network = self.network
        if self.below_boil or any(code == "D1" for code, _ in self.excused):
            return ()
        sinks = {node for node, each in network.terminals.items() if each.sink}
        found = []
        for index, valve in enumerate(network.valves):
            if not valve.ways or valve.passage == "t":
                continue
            graph = _open_graph(network, leaving_out=index)
            if any(sinks.isdisjoint(descendants(graph, out)) for _, _, out in network.pumps):
                found.append(index)
        return tuple(found)


def shortest(search: Search, start: Setting) -> list[Move] | None:
    """Return the fewest acts that lead from a setting to the end; None if nothing leads there."""
    order = count()
    seats: dict[Setting, float] = {}

    def open_seats(setting: Setting) -> float:
        # water has no part in it
        dry = Setting(setting.positions, setting.ends, setting.pump)
        if dry not in seats:
            seats[dry] = 2 - min(barriers(search.network, dry), 2.0)
        return seats[dry]

    near = _nearness(search.network)
    # f, then the deepest, then most closed seats, then first named
    line: list[tuple[int, int, float, int, Setting, Setting | None, Move | None]] = []
    heapq.heappush(line, (search.far(start), 0, 0.0, next(order), start, None, None))
    came: dict[Setting, tuple[Setting | None, Move | None]] = {}
    while line and len(came) < MOST_STATES:
        _, less_done, _, _, here, before, move = heapq.heappop(line)
        if here in came:
            continue
        if move is not None and before is not None and not search.allowed(move, before):
            continue
        came[here] = (before, move)
        if here == search.end:
            return _back(came, here)
        done, far = -less_done + 1, search.far(here)
        for act in search.acts(here):
            if act.after not in came:
                closer = search.far(act.after)
                worse = open_seats(act.after) if closer < far else 2.0
                worse += near.get(act.part, 0.0) + _late(act, here, search)
                entry = (done + closer, -done, worse, next(order), act.after, here, act)
                heapq.heappush(line, entry)
    return None


def _late(act: Move, here: Setting, search: Search) -> float:
    """Return how much later an act is tried: handles are turned while the pump stands."""
    if act.act != "pump" or here.positions == search.end.positions:
        return 0.0
    return 3.0 if act.then == "on" else -3.0


def _open_graph(network: Network, leaving_out: int | None = None) -> PyDiGraph[None, None]:
    """Return the ways there are with every handle open in every way, hose ends wherever they go."""
    shut = tuple(each.stops[-1] for each in network.valves)
    graph = graph_of(network, Setting(shut, drawn_ends(network), pump=True))
    for index, valve in enumerate(network.valves):
        if index != leaving_out:
            graph.add_edges_from_no_data(
                [(a, b) for a in valve.nodes for b in valve.nodes if a != b]
            )
    for loose in network.loose:
        for target in loose.targets.values():
            graph.add_edges_from_no_data([(loose.node, target), (target, loose.node)])
    return graph


def _nearness(network: Network) -> dict[str, float]:
    """Return how near each handle is to a fermenter: the nearest is turned last."""
    everything = _open_graph(network)
    found: dict[str, float] = {}
    for terminal in network.terminals.values():
        if terminal.kind == "fermenter":
            steps = dijkstra_shortest_path_lengths(everything, terminal.node, lambda _: 1.0)
            for valve in network.valves:
                near = 0.5 / (
                    1.0 + min((steps[n] for n in valve.nodes if n in steps), default=99.0)
                )
                found[valve.name] = max(found.get(valve.name, 0.0), near)
    return found


def _back(came: dict[Setting, tuple[Setting | None, Move | None]], here: Setting) -> list[Move]:
    moves: list[Move] = []
    step = came[here]
    while step[0] is not None and step[1] is not None:
        moves.append(step[1])
        step = came[step[0]]
    return moves[::-1]
