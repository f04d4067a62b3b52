"""A setting seen with all that follows from it: what every check looks at."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import rustworkx as rx

from wortline.pipes.flow import Hydraulics, hydraulics
from wortline.pipes.graph import Flow, flow, surface_m
from wortline.pipes.line import BORE_M, Line, line_of
from wortline.pipes.network import Network, Terminal, hold_up_of_l
from wortline.pipes.state import Conditions, Limits, Setting
from wortline.science.one_pass import one_pass_outlet_c
from wortline.science.suction import (
    suction_head_available_m,
    suction_head_required_m,
    vortex_flow_l_min,
)

Severity = Literal["stop", "warn", "note"]
RANK: Mapping[str, int] = {"stop": 0, "warn": 1, "note": 2}


@dataclass(frozen=True)
class Finding:
    """What a check has to say: code, how grave, which part, the sentence, the one thing to do."""

    code: str
    severity: Severity
    part: str
    text: str
    do: str


@dataclass(frozen=True, eq=False)
class View:
    """One setting of one network on one day."""

    network: Network
    setting: Setting
    known: Conditions
    limits: Limits
    goal: str | None = None
    given: Hydraulics | None = None

    @cached_property
    def flow(self) -> Flow:
        """Return what flows."""
        return flow(self.network, self.setting, self.known)

    @cached_property
    def hydraulics(self) -> Hydraulics:
        """Return the flow handed in, or that of the pump on its line."""
        if self.given:
            return self.given
        return hydraulics(self.network, self.flow, self.known, self.limits, self.line)

    @cached_property
    def line(self) -> Line | None:
        """Return the line the wort runs through; None if it goes more than one way."""
        return line_of(self.network, self.flow, self.known, self.limits, self._chilling)

    @property
    def _chilling(self) -> frozenset[str]:
        """Return the chillers behind which the wort is cold."""
        return frozenset(self.passed) if self.known.outlet_c is not None else self.cooled

    @property
    def fermenter_c(self) -> float:
        """Return the lowest limit of the fermenters [C]."""
        limits = [
            float(part.limit) for part in self.network.parts.values()
            if part.kind == "fermenter" and part.limit
        ]  # fmt: skip
        return min(limits, default=self.limits.fermenter_limit_c)

    @property
    def hot(self) -> bool:
        """Say whether the wort in the kettle is too hot for a fermenter."""
        return self.known.wort_c > self.fermenter_c

    @cached_property
    def cooled(self) -> frozenset[str]:
        """Return the chillers that water runs through."""
        if not self.setting.water:
            return frozenset()
        supplies = [each for each in self.network.terminals.values() if each.kind == "water"]
        chillers = self.network.of_kind("chiller")
        if not supplies:
            return frozenset(chillers)
        reached = frozenset().union(
            *(rx.descendants(self.flow.graph, each.node) for each in supplies)
        )
        return frozenset(
            name for name in chillers
            if self.network.node[name, "water_in"] in reached and not self.shut_in(name)
        )  # fmt: skip

    def shut_in(self, chiller: str) -> bool:
        """Say whether the water side of a chiller has a closed way out."""
        node = self.network.node[chiller, "water_out"]
        reached = rx.descendants(self.flow.graph, node) | {node}
        ends = [end for end in reached if end in self.network.terminals]
        loose = all(each in self.network.nodes_of[chiller] for each in reached)
        return not loose and not any(self.network.terminals[end].sink for end in ends)

    @cached_property
    def passed(self) -> tuple[str, ...]:
        """Return the chillers that carry wort."""
        return tuple(
            name for name in self.network.of_kind("chiller")
            if (name, "in") in self.network.node and self.network.node[name, "in"] in self.flow.live
        )  # fmt: skip

    @cached_property
    def outlet_c(self) -> float:
        """Return the temperature behind the chiller, measured or worked out [C]."""
        if self.known.outlet_c is not None:
            return self.known.outlet_c
        if not self.cooled & set(self.passed) or self.hydraulics.flow_l_min <= 0.0:
            return self.known.wort_c
        return float(
            one_pass_outlet_c(
                self.known.wort_c,
                min(self.known.water_c, self.known.wort_c),
                self.hydraulics.flow_l_min,
                self.limits.water_l_min,
                self.limits.ua_w_k,
            )
        )

    @cached_property
    def uncooled(self) -> frozenset[int]:
        """Return the nodes that wort reaches without passing a chiller that cools it."""
        graph = self.flow.graph.copy()
        for name in self._chilling:
            if (name, "in") in self.network.node:
                into, out = self.network.node[name, "in"], self.network.node[name, "out"]
                for a, b in ((into, out), (out, into)):
                    if graph.has_edge(a, b):
                        graph.remove_edge(a, b)
        return frozenset().union(
            *(
                rx.descendants(graph, each.node) | {each.node}
                for each in self.flow.sources
                if each.kind == "kettle"
            )
        )

    @cached_property
    def standing(self) -> frozenset[int]:
        """Return the nodes that the kettle's wort reaches through what is open, moving or not."""
        graph = self.flow.graph
        ends = [
            each.node for each in self.network.terminals.values()
            if each.kind == "kettle" and each.source and self.surface_at(each) is not None
        ]  # fmt: skip
        reached = frozenset().union(*(rx.descendants(graph, end) | {end} for end in ends))
        return reached - (self.network.terminals.keys() - set(ends))

    def open_to_wort(self, part: str) -> bool:
        """Say whether the kettle's wort stands in a part or flows through it, at least in part."""
        inside = [node for node in self.network.nodes_of[part] if node in self.standing]
        return len(inside) > 1 or len(inside) == len(self.network.nodes_of[part]) > 0

    def node_c(self, node: int) -> float:
        """Return the temperature of the wort at a node of the live path [C]."""
        return self.known.wort_c if node in self.uncooled else self.outlet_c

    def part_c(self, part: str) -> float:
        """Return the lowest temperature of the wort in a part of the live path [C]."""
        nodes = [node for node in self.network.nodes_of[part] if node in self.flow.live]
        return min((self.node_c(node) for node in nodes), default=self.known.wort_c)

    def into(self, kind: str) -> tuple[Terminal, ...]:
        """Return the sinks of a kind that the wort reaches."""
        return tuple(sink for sink in self.flow.sinks if sink.kind == kind)

    def holds(self, part: str) -> str:
        """Return what a part holds: as said, else wort where wort flows."""
        said = self.known.holds.get(part)
        return said or ("wort" if part in self.flow.parts else "air")

    def hold_up_l(self, part: str) -> float:
        """Return how much a part holds [L]."""
        return hold_up_of_l(self.network.parts[part])

    @cached_property
    def surface_m(self) -> float:
        """Return the height of the kettle's surface above the floor [m]."""
        kettle = self.network.kettle
        return (float(kettle.height) if kettle.height else 0.0) + self.known.level_m

    @cached_property
    def suction_margin_m(self) -> float | None:
        """Return the suction head left above what a pump needs [m]; None if no pump draws wort."""
        if not self.flow.forced or not self.flow.live:
            return None
        base = self.network.kettle.height
        heights = [self.network.parts[drive.name].height or base for drive in self.flow.pumps]
        eye_m = max(float(height) if height else 0.0 for height in heights)
        return float(
            suction_head_available_m(
                self.known.wort_c,
                self.known.pressure_kpa,
                self.surface_m - eye_m,
                self.hydraulics.suction_loss_m,
            )
            - max(
                self.limits.suction_required_m,
                self.limits.suction_times
                * float(suction_head_required_m(self.hydraulics.flow_l_min)),
            )
        )

    @cached_property
    def over_outlet_m(self) -> float:
        """Return the depth of wort over the kettle's outlet [m]."""
        outlet = self.network.kettle.outlet
        return self.known.level_m - (float(outlet) if outlet else 0.0)

    @cached_property
    def vortex_l_min(self) -> float | None:
        """Return the flow that draws air by a vortex [L/min]; None if nothing leaves the kettle."""
        if not any(source.kind == "kettle" for source in self.flow.sources):
            return None
        kettle = self.network.kettle
        bore_m = float(kettle.bore) if kettle.bore else BORE_M
        return float(vortex_flow_l_min(max(self.over_outlet_m, 0.0), bore_m))

    def surface_at(self, terminal: Terminal) -> float | None:
        """Return the height of the liquid's surface at a terminal."""
        return surface_m(self.network, terminal, self.known)
