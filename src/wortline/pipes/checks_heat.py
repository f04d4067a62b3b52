"""Checks of heat (T), of what is clean (B), of what runs by itself (F), of hoses (H)."""

from collections.abc import Iterator

import rustworkx as rx

from wortline.pipes.graph import route
from wortline.pipes.view import Finding, View
from wortline.pipes.ways import reached_by_handles
from wortline.science.one_pass import slug_rise_dk
from wortline.science.suction import boiling_head_m
from wortline.science.water import boiling_point_c


def too_hot(view: View) -> Iterator[Finding]:
    """T1: nothing gets wort hotter than it bears."""
    for sink in view.into("fermenter"):
        limit = view.network.parts[sink.part].limit
        limit_c = float(limit) if limit else view.limits.fermenter_limit_c
        temp_c = max(view.node_c(sink.node), view.known.outlet_c or -99.0)
        if temp_c > limit_c:
            do = (
                "Cool the wort in the kettle first, or slow the flow until the outlet is cold."
                if view.cooled & set(view.passed)
                else f"Close the way to {sink.part}."
            )
            yield Finding(
                "T1", "stop", sink.part,
                f"Wort of {temp_c:.0f} C runs into {sink.part}; {limit_c:.0f} C is its limit.", do,
            )  # fmt: skip
    for name in view.flow.parts:
        limit = view.network.parts[name].limit
        nodes = [node for node in view.network.nodes_of[name] if node in view.flow.live]
        hottest_c = max((view.node_c(node) for node in nodes), default=0.0)
        if limit is not None and hottest_c > float(limit):
            yield Finding(
                "T1", "stop", name,
                f"Wort of {hottest_c:.0f} C runs through {name}; {float(limit):.0f} C is its"
                " limit.",
                f"Keep hot wort out of {name}.",
            )  # fmt: skip


def water_off(view: View) -> Iterator[Finding]:
    """T2: water runs before hot wort is sent to the fermenter, and against the wort."""
    for name in view.passed:
        if view.into("fermenter") and view.hot and name not in view.cooled:
            yield Finding(
                "T2", "stop", name,
                f"Hot wort goes through {name} to the fermenter and no water cools it.",
                "Turn the water on first.",
            )  # fmt: skip
    for name in sorted(view.cooled & set(view.passed)):
        for supply in (each for each in view.network.terminals.values() if each.kind == "water"):
            way = route(view.flow.graph, supply.node, view.network.node[name, "water_in"])
            if view.network.node[name, "water_out"] in way:
                yield Finding(
                    "T2", "note", name,
                    f"The water runs through {name} the same way as the wort and cools it less.",
                    f"Swap the water hoses of {name}.",
                )  # fmt: skip


def boiling_chiller(view: View) -> Iterator[Finding]:
    """T3: nothing hot is shut in, on either side of a chiller."""
    for name in view.network.of_kind("chiller"):
        wort_side = (name, "in") in view.network.node
        heated = name in view.passed or not wort_side or view.holds(name) == "wort"
        if view.hot and heated and name not in view.cooled and view.shut_in(name):
            yield Finding(
                "T3", "stop", name,
                f"The water side of {name} is shut at both ends and heated: pressure rises by"
                " about a bar for a tenth of a degree.",
                "Open the way out of the water.",
            )  # fmt: skip
        near_boil_c = float(boiling_point_c(view.known.pressure_kpa)) - 5.0
        if (
            wort_side
            and name not in view.passed
            and view.known.holds.get(name) == "wort"
            and not view.setting.water
            and view.known.wort_c >= near_boil_c
            and not _opens(view, name)
        ):
            yield Finding(
                "T3", "stop", name,
                f"{name} is full of wort near its boiling point and shut on both sides.",
                "Open one way out of it, or run its water.",
            )  # fmt: skip


def _opens(view: View, name: str) -> bool:
    """Say whether the wort side of a part is open to any vessel."""
    for port in ("in", "out"):
        node = view.network.node[name, port]
        if any(end in view.network.terminals for end in rx.descendants(view.flow.graph, node)):
            return True
    return False


def trapped(view: View) -> Iterator[Finding]:
    """T4: hot wort left behind in a part is swept along later."""
    shut = {finding.part for finding in boiling_chiller(view)}
    held = [
        name for name in view.network.parts
        if view.known.holds.get(name) == "wort"
        and name not in {*view.flow.parts, *view.flow.dead_legs, *shut}
        and view.hold_up_l(name) > 0.0
    ]  # fmt: skip
    if not held or not view.hot or not view.network.of_kind("fermenter"):
        return
    for name in held:
        slug_l = view.hold_up_l(name)
        rise = float(slug_rise_dk(slug_l, view.known.wort_c, view.limits.batch_l, 18.0))
        yield Finding(
            "T4", "warn", name,
            f"{name} holds {slug_l:.2f} L of hot wort with no way on: swept into"
            f" {view.limits.batch_l:.0f} L at 18 C it warms them by {rise:.1f} K.",
            "Circulate it back to the kettle before you transfer.",
        )  # fmt: skip


def unclean(view: View) -> Iterator[Finding]:
    """B1: every part that cold wort, or wort for the fermenter, touches has a clean mark."""
    to_fermenter = bool(view.into("fermenter"))
    if not view.flow.live:
        return
    chilling = bool(view.cooled & set(view.passed)) and bool(view.into("kettle"))
    for name in view.flow.parts:
        if view.known.marked(name):
            continue
        if to_fermenter:
            yield Finding(
                "B1", "stop", name,
                f"{name} has no clean mark, and wort for the fermenter runs through it.",
                f"Circulate hot wort through {name} first, or log its sanitiser.",
            )  # fmt: skip
        elif chilling and view.part_c(name) < view.limits.heat_mark_c:
            yield Finding(
                "B1", "stop", name,
                f"{name} has no clean mark, and wort below {view.limits.heat_mark_c:.0f} C runs"
                " through it.",
                f"Circulate hot wort through {name} with the water off first.",
            )  # fmt: skip


def dead_legs(view: View) -> Iterator[Finding]:
    """B2: what is wet and has no flow does not stay clean."""
    for name in view.flow.dead_legs:
        if view.hold_up_l(name) > 0.0 or view.network.parts[name].kind in {"hose", "chiller"}:
            yield Finding(
                "B2", "warn", name,
                f"{name} fills with wort that does not move: nothing there gets hot or clean.",
                f"Flush {name} to the kettle or a jug before the transfer.",
            )  # fmt: skip


def lapsed(view: View) -> Iterator[Finding]:
    """B3: a clean mark lapses when a part is drained to air."""
    for name in view.network.parts:
        if view.known.clean.get(name, "no") != "no" and view.known.holds.get(name) == "air":
            yield Finding(
                "B3", "warn", name, f"{name} was clean and holds air now: its mark has lapsed.",
                f"Sanitise {name} again before cold wort.",
            )  # fmt: skip


def siphon(view: View) -> Iterator[Finding]:
    """F1: with the pump off, wort runs downhill by itself."""
    for source, sink in view.flow.falls:
        top = view.surface_at(source)
        if source.kind == "fermenter" or top is None or sink.kind == "floor":
            continue
        if source.kind in {"jug", "water"}:
            continue
        nodes = route(view.flow.graph, source.node, sink.node)
        heights = [
            float(height) for node in nodes
            if (height := view.network.parts[view.network.owner(node)].height) is not None
            and view.network.owner(node) not in {source.part, sink.part}
        ]  # fmt: skip
        crest_m = max(heights, default=top) - top
        if crest_m > float(boiling_head_m(view.known.wort_c, view.known.pressure_kpa)):
            continue
        yield Finding(
            "F1", "warn", sink.part,
            f"The pump is off, but the wort runs on from {source.part} down to {sink.part}.",
            f"Close a handle between {source.part} and {sink.part}.",
        )  # fmt: skip


def runs_back(view: View) -> Iterator[Finding]:
    """F2: with the pump off, nothing runs back out of the fermenter."""
    for source, sink in view.flow.falls:
        if source.kind == "fermenter":
            yield Finding(
                "F2", "stop", source.part,
                f"The pump is off and {source.part} runs back into {sink.part}.",
                "Close the handle before it, or lift the hose's end out of the liquid.",
            )  # fmt: skip


def drinking_water(view: View) -> Iterator[Finding]:
    """F3: mains water is kept apart by a guard."""
    if not view.setting.water:
        return
    for name in view.network.of_kind("water"):
        if view.network.parts[name].guard in {None, "none"}:
            yield Finding(
                "F3", "note", name,
                f"{name} has no back-flow guard: what is in the hose can be drawn into the mains.",
                "Fit an air gap or a back-flow preventer as your local code has it.",
            )  # fmt: skip


def bare_element(view: View) -> Iterator[Finding]:
    """E1: the element stays under the wort while it is on."""
    if view.known.element <= 0.0:
        return
    kettle = view.network.kettle.name
    drawn = any(source.kind == "kettle" for source in view.flow.sources)
    away = sorted({sink.part for sink in view.flow.sinks if sink.kind != "kettle"})
    if view.over_outlet_m <= 0.0:
        why = "the wort no longer covers the outlet"
    elif drawn and away:
        why = f"the wort leaves {kettle} for {away[0]}"
    else:
        return
    yield Finding(
        "E1", "stop", kettle,
        f"The element is on while {why}: bare, it burns what is on it within seconds.",
        "Switch the element off.",
    )  # fmt: skip


def needless_move(view: View) -> Iterator[Finding]:
    """H1: no hose is moved for what a handle can do."""
    for loose, end in zip(view.network.loose, view.setting.ends, strict=True):
        if end == loose.at or end == "capped" or loose.node not in view.flow.live:
            continue
        vessels = {
            view.network.terminals[loose.targets[end]].kind,
        } & {"kettle", "fermenter"}  # fmt: skip
        by_handles = reached_by_handles(view.network)
        if any((kind, frozenset(view.passed)) in by_handles for kind in vessels):
            yield Finding(
                "H1", "note", loose.name,
                f"The end of {loose.name} was moved for what the handles can do.",
                f"Leave {loose.name} at {loose.at} and turn the handles.",
            )  # fmt: skip


def hot_hose(view: View) -> Iterator[Finding]:
    """H2: a hose end that was moved by hand does not carry hot wort."""
    for loose, end in zip(view.network.loose, view.setting.ends, strict=True):
        if end in {loose.at, "capped", "floor"} or loose.node not in view.flow.live:
            continue
        temp_c = view.node_c(loose.node)
        if temp_c > view.limits.hot_c:
            yield Finding(
                "H2", "warn", loose.name,
                f"{loose.name} was moved by hand and carries wort of {temp_c:.0f} C: it scalds.",
                f"Stop the pump and fix the end of {loose.name} before you go on.",
            )  # fmt: skip


def orphan(view: View) -> Iterator[Finding]:
    """H3: an open hose end that is reached pours."""
    for sink in view.into("floor"):
        yield Finding(
            "H3", "stop", sink.part,
            f"The end of {sink.part} is open and the wort reaches it: it pours on the floor.",
            f"Cap {sink.part}, or close the way to it.",
        )  # fmt: skip
