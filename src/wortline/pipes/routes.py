"""Which handle positions give a wanted route, those with most closed barriers first."""

from collections.abc import Iterator
from dataclasses import dataclass

from wortline.pipes.graph import Flow, barriers, flow, named
from wortline.pipes.network import Network
from wortline.pipes.routes_data import REST, ROUTES, Route
from wortline.pipes.state import Setting
from wortline.pipes.ways import Way, end_choices, moves, ways

MOST_BARRIERS = 2.0


@dataclass(frozen=True)
class Found:
    """A setting that gives a route."""

    route: str
    setting: Setting
    path: tuple[str, ...]
    barriers: float
    hose_moves: int
    free: tuple[str, ...]


def line_ups(network: Network, name: str) -> tuple[Found, ...]:
    """Return the settings that give a route, the best first; empty if the rig has none.

    Parameters
    ----------
    network
        The pipes.
    name
        A key of `ROUTES`, or `rest`.
    """
    key = f"line-ups {name}"
    if key not in network.remembered:
        found = _rests(network) if name == REST else _line_ups(network, ROUTES[name])
        network.remembered[key] = tuple(found)
    kept = network.remembered[key]
    assert isinstance(kept, tuple)
    return kept


def _rests(network: Network) -> list[Found]:
    """The hot rest keeps the handles of the whirlpool, the pump off."""
    after = line_ups(network, "whirlpool") or line_ups(network, "sanitise-loop")
    found: list[Found] = []
    for each in after:
        still = Setting(each.setting.positions, each.setting.ends)
        found.append(Found(REST, still, (), barriers(network, still), each.hose_moves, each.free))
    return found


def _line_ups(network: Network, route: Route) -> list[Found]:
    for step in (0, 1):
        found = [
            each
            for ends in end_choices(network)
            if moves(network, ends) == step
            for way in _fitting(network, route, ends)
            if (each := _completed(network, route, way))
        ]
        if found:
            return sorted(found, key=_rank)
    return []


def _rank(found: Found) -> tuple[float, ...]:
    return found.hose_moves, -min(found.barriers, MOST_BARRIERS), len(found.path)


def _fitting(network: Network, route: Route, ends: tuple[str, ...]) -> Iterator[Way]:
    has_chiller = any((name, "in") in network.node for name in network.of_kind("chiller"))
    swirling = {name for name in network.of_kind("arm") if network.parts[name].tangential != "no"}
    for way in ways(network, ends, both=not route.pump):
        if route.fits(way, has_chiller, bool(swirling), way.sink.part in swirling):
            yield way


def _completed(network: Network, route: Route, way: Way) -> Found | None:
    """Choose the handles the way leaves free: most barriers, fewest dead legs, no handle off."""
    positions = [
        way.positions.get(index, valve.positions[0] if valve.ways else "shut")
        for index, valve in enumerate(network.valves)
    ]
    setting = Setting(tuple(positions), way.ends, route.pump, route.water)
    free = [index for index in range(len(network.valves)) if index not in way.positions]
    for index in free:
        choices = [setting.turned(index, stop) for stop in network.valves[index].stops]
        judged = [(_worth(network, way, each, order), each) for order, each in enumerate(choices)]
        setting = min(judged, key=lambda pair: pair[0])[1]
    worth = _worth(network, way, setting, 0)
    if worth[0]:
        return None
    names = tuple(
        network.valves[index].name for index in free if _is_free(network, way, setting, index)
    )
    return Found(
        route.name,
        setting,
        named(network, way.nodes),
        barriers(network, setting),
        moves(network, way.ends),
        names,
    )


def _worth(network: Network, way: Way, setting: Setting, order: int) -> tuple[int, float, int, int]:
    """Return how bad a setting is for a way: wrong flow, open seats, dead legs, later stops."""
    if not setting.pump:
        return 0, -min(barriers(network, setting), MOST_BARRIERS), 0, order
    result = flow(network, setting)
    wrong = int(not _serves(result, way))
    return (
        wrong,
        -min(barriers(network, setting), MOST_BARRIERS),
        len(result.dead_legs),
        order,
    )


def _serves(result: Flow, way: Way) -> bool:
    return (
        all(drive.sinks == (way.sink,) and drive.sources for drive in result.pumps)
        and set(way.nodes) <= result.live
        and all(source.kind == way.source.kind for source in result.sources)
    )


def _is_free(network: Network, way: Way, setting: Setting, index: int) -> bool:
    """Say whether a handle may stand anywhere without changing the flow."""
    return all(
        not _worth(network, way, setting.turned(index, stop), 0)[0]
        for stop in network.valves[index].stops
    )
