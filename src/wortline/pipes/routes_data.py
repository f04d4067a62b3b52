"""What a line-up may be meant for: each route with its source, sink and chiller."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from wortline.pipes.view import View
    from wortline.pipes.ways import Way

Chiller = Literal["through", "past", "either", "backward"]


@dataclass(frozen=True)
class Route:
    """A route by what it has to do."""

    name: str
    sinks: frozenset[str]
    chiller: Chiller
    water: bool
    pump: bool = True
    swirl: bool = False

    def fits(self, way: "Way", has_chiller: bool, has_swirl: bool, swirls: bool) -> bool:
        """Say whether a way serves this route, all else left aside."""
        if way.pumped != self.pump or way.sink.kind not in self.sinks:
            return False
        if self.chiller == "backward":
            if way.source.kind == "fermenter":
                return False
            return bool(way.backward) or (way.sink.kind == "kettle" and way.sink.source)
        if way.source.kind != "kettle":
            return False
        if self.chiller == "past" and way.chillers:
            return False
        if self.chiller == "through" and has_chiller and not way.chillers:
            return False
        return not (self.swirl and has_swirl and not swirls)

    def unmet(self, view: "View") -> Iterator[tuple[str, str, str]]:
        """Yield what a setting lacks for this route: complaint, part, remedy."""
        network = view.network
        if self.pump != view.flow.forced:
            part = network.pumps[0][0] if network.pumps else network.kettle.name
            word = "on" if self.pump else "off"
            yield f"the pump has to be {word}.", part, f"Switch the pump {word}."
        if self.water != view.setting.water:
            word = "on" if self.water else "off"
            part = next(iter((*network.of_kind("water"), network.kettle.name)))
            yield f"the water has to be {word}.", part, f"Turn the water {word}."
        wrong = [sink for sink in view.flow.sinks if sink.kind not in self.sinks]
        reached = [sink for sink in view.flow.sinks if sink.kind in self.sinks]
        if wrong:
            yield (
                f"the wort goes to {wrong[0].part}.",
                wrong[0].part,
                (f"Close the way to {wrong[0].part}."),
            )
        elif not reached:
            wanted = " or ".join(sorted(self.sinks))
            yield f"no wort reaches a {wanted}.", network.kettle.name, "Open the way."
        through = [name for name in network.of_kind("chiller") if (name, "in") in network.node]
        if self.chiller == "through" and through and reached and not view.passed:
            yield (
                f"the wort does not pass {through[0]}.",
                through[0],
                (f"Turn the handle that leads to {through[0]}."),
            )
        if self.chiller == "past" and view.passed:
            name = view.passed[0]
            yield (
                f"the wort runs through {name}, and hop matter with it.",
                name,
                (f"Turn the handle that leads past {name}."),
            )


def _route(
    name: str, sinks: str, chiller: Chiller, water: bool, pump: bool = True, swirl: bool = False
) -> Route:
    return Route(name, frozenset(sinks.split()), chiller, water, pump, swirl)


ROUTES: Mapping[str, Route] = MappingProxyType(
    {
        route.name: route
        for route in (
            _route("mash-recirculate", "kettle", "past", False),
            _route("whirlpool", "kettle", "past", False, swirl=True),
            _route("sanitise-loop", "kettle", "through", False),
            _route("chill-circulate", "kettle", "through", True),
            _route("chill-and-transfer", "fermenter", "through", True),
            _route("transfer", "fermenter", "either", False),
            _route("drain", "drain jug", "either", False),
            _route("back-flush", "kettle drain jug", "backward", False, pump=False),
        )
    }
)
REST = "rest"
DAY: tuple[str, ...] = ("whirlpool", REST, "chill-circulate", "chill-and-transfer")
EVERY: tuple[str, ...] = (*ROUTES, REST)
