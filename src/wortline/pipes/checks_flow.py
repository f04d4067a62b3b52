"""Checks of the pump (D) and of where the wort goes (P)."""

from collections.abc import Iterator
from math import ceil, floor

from wortline.pipes.graph import barriers
from wortline.pipes.line import BORE_M
from wortline.pipes.routes_data import ROUTES
from wortline.pipes.view import Finding, View
from wortline.science.pump import dead_head_k_min
from wortline.science.standards import GRAVITY_M_S2
from wortline.science.suction import submergence_m
from wortline.science.transfer import plug_min
from wortline.science.water import boiling_point_c, density_kg_m3, vapour_pressure_kpa


def dead_head(view: View) -> Iterator[Finding]:
    """D1: a running pump has to reach a sink, and to lift the wort that high."""
    yield from no_sink(view)
    line = view.line if view.flow.forced and view.flow.live else None
    if line and line.pump and line.curve and view.hydraulics.flow_l_min <= 0.0:
        yield Finding(
            "D1", "stop", line.pump,
            f"{line.pump} runs and nothing leaves it: it lifts {line.curve.shut_off_m:.1f} m at"
            f" most, and the line ends {line.lift_m:.1f} m above the wort.",
            f"Switch {line.pump} off, or lower the end of the line.",
        )  # fmt: skip


def no_sink(view: View) -> Iterator[Finding]:
    """D1 of the handles alone: a running pump has to reach a sink."""
    for drive in view.flow.pumps:
        if drive.sinks:
            continue
        held_l = view.hold_up_l(drive.name) or 0.12
        held_kg = held_l * float(density_kg_m3(view.known.wort_c)) / 1000
        rate = float(dead_head_k_min(view.limits.pump_w, held_kg))
        handle = _closed_behind(view, drive.forward)
        yield Finding(
            "D1", "stop", drive.name,
            f"{drive.name} runs and nothing leaves it: its wort heats by about {rate:.0f} K a"
            " minute.",
            f"Switch {drive.name} off" + (f", or open the way at {handle}." if handle else "."),
        )  # fmt: skip


def _closed_behind(view: View, nodes: frozenset[int]) -> str:
    """Return the handle that stands in the way behind a pump, or nothing."""
    return next((valve.name for valve in view.network.valves if nodes & frozenset(valve.nodes)), "")


def starved(view: View) -> Iterator[Finding]:
    """D2: a running pump has to be reached by a source."""
    for drive in view.flow.pumps:
        if drive.sources:
            continue
        handle = _closed_behind(view, drive.back)
        yield Finding(
            "D2", "stop", drive.name,
            f"{drive.name} runs and nothing feeds it: it runs dry.",
            f"Switch {drive.name} off" + (f", then open {handle}." if handle else "."),
        )  # fmt: skip


def low_level(view: View) -> Iterator[Finding]:
    """D3: enough depth over the outlet, or a vortex draws air."""
    kettle = view.network.kettle
    drawn = any(source.kind == "kettle" for source in view.flow.sources)
    if not view.flow.forced or not drawn:
        return
    if view.over_outlet_m <= 0.0:
        yield Finding(
            "D3", "stop", kettle.name,
            "The wort no longer covers the outlet: the pump draws air.",
            "Switch the pump off.",
        )  # fmt: skip
        return
    bore_m = float(kettle.bore) if kettle.bore else BORE_M
    needed_m = float(submergence_m(view.hydraulics.flow_l_min, bore_m))
    if view.over_outlet_m < needed_m:
        yield Finding(
            "D3", "warn", kettle.name,
            f"{100 * view.over_outlet_m:.0f} cm over the outlet; at"
            f" {view.hydraulics.flow_l_min:.0f} L/min a vortex draws air below"
            f" {100 * needed_m:.0f} cm, a spinning kettle sooner.",
            f"Slow the flow behind the pump to {view.vortex_l_min:.1f} L/min, and further as the"
            " level falls.",
        )  # fmt: skip


def unprimed(view: View) -> Iterator[Finding]:
    """D4: liquid has to stand at the pump by itself."""
    if not view.flow.forced:
        return
    for drive in view.flow.pumps:
        if not any(source.kind == "kettle" for source in drive.sources):
            continue
        height = view.network.parts[drive.name].height
        if height is not None and float(height) >= view.surface_m:
            yield Finding(
                "D4", "warn", drive.name,
                f"{drive.name} stands above the wort in the kettle and cannot prime itself.",
                f"Set {drive.name} below the kettle's outlet.",
            )  # fmt: skip
            continue
        for part in _suction(view, drive.back):
            above = view.network.parts[part].height
            if view.known.holds.get(part) == "air":
                yield Finding(
                    "D4", "warn", part,
                    f"{part} holds air before {drive.name}: the pump may not pick up.",
                    f"Stop {drive.name} and let the wort run in until the air is out.",
                )  # fmt: skip
            elif above is not None and float(above) > view.surface_m and part != drive.name:
                yield Finding(
                    "D4", "warn", part,
                    f"{part} stands above the wort before {drive.name}: air gathers there.",
                    f"Lower {part} below the kettle's outlet.",
                )  # fmt: skip


def _suction(view: View, back: frozenset[int]) -> list[str]:
    held = {view.network.owner(node) for node in back & view.flow.live}
    return [name for name in view.flow.parts if name in held]


def cool_enough_c(view: View) -> float | None:
    """How cool wort has to be that it does not boil in the pump; None if it is, or never will be.

    Rounded down to a tenth: what is said has to be cool enough.
    """
    margin_m = view.suction_margin_m
    if margin_m is None or margin_m >= view.limits.suction_warn_m:
        return None
    short_m = view.limits.suction_warn_m - margin_m
    density = float(density_kg_m3(view.known.wort_c))
    vapour_kpa = float(vapour_pressure_kpa(view.known.wort_c))
    cooler_kpa = vapour_kpa - short_m * density * GRAVITY_M_S2 / 1000
    return floor(10.0 * float(boiling_point_c(cooler_kpa))) / 10.0 if cooler_kpa > 1.0 else None


def suction_margin(view: View) -> Iterator[Finding]:
    """D5: head above boiling at the pump's eye."""
    margin_m = view.suction_margin_m
    limits = view.limits
    if margin_m is None or margin_m >= limits.suction_warn_m:
        return
    wait_c = cool_enough_c(view)
    pump = view.flow.pumps[0].name
    boils = "boils" if margin_m < 0.0 else "may boil"
    if wait_c is not None:
        wait = f"Wait until the wort is at {wait_c:.1f} C,"
        if view.known.cools_k_min and not view.known.element:
            wait_min = max(ceil((view.known.wort_c - wait_c) / view.known.cools_k_min), 1)
            wait += f" about {wait_min} min,"
    else:
        wait = "Raise the kettle or lower the pump,"
    yield Finding(
        "D5", "stop" if margin_m < limits.suction_stop_m else "warn", pump,
        f"{margin_m:.2f} m of suction head are left at {pump} and {limits.suction_warn_m:.1f} m"
        f" are wanted: the wort {boils} in it at {view.known.wort_c:.1f} C.",
        f"{wait} or slow the flow behind the pump, never before it.",
    )  # fmt: skip


def two_sinks(view: View) -> Iterator[Finding]:
    """P1: the wort goes to one vessel only."""
    vessels = {
        sink.kind if sink.kind == "kettle" else sink.part: sink
        for sink in view.flow.sinks
        if sink.kind != "floor"
    }
    if len(vessels) < 2:
        return
    fermenters = [sink.part for sink in vessels.values() if sink.kind == "fermenter"]
    names = " and ".join(sorted(vessels))
    yield Finding(
        "P1", "stop" if fermenters else "warn", fermenters[0] if fermenters else sorted(vessels)[0],
        f"The wort goes to {names} at once.",
        f"Close the way to {fermenters[0] if fermenters else sorted(vessels)[-1]}.",
    )  # fmt: skip


def two_sources(view: View) -> Iterator[Finding]:
    """P2: the pump draws from one vessel; a fuller vessel does not run back while it stands."""
    drawn = {
        source.kind if source.kind == "kettle" else source.part: source
        for drive in view.flow.pumps
        for source in drive.sources
    }
    if len(drawn) > 1:
        names = " and ".join(sorted(drawn))
        others = sorted(name for name in drawn if name != "kettle")
        yield Finding(
            "P2", "warn", others[-1], f"The pump draws from {names} at once.",
            f"Close the way from {others[-1]}.",
        )  # fmt: skip
    for source, sink in view.flow.falls:
        if source.kind in {"jug", "water"} and sink.kind == "kettle":
            yield Finding(
                "P2", "warn", source.part,
                f"{source.part} stands above the wort and runs into the kettle.",
                f"Close the way from {source.part}.",
            )  # fmt: skip


def goal(view: View) -> Iterator[Finding]:
    """P3: the line-up does what it is meant for."""
    wanted = ROUTES.get(view.goal or "")
    if wanted is None:
        return
    for complaint, part, remedy in wanted.unmet(view):
        yield Finding("P3", "stop", part, f"This is not {wanted.name}: {complaint}", remedy)


def seats(view: View) -> Iterator[Finding]:
    """P4: closed seats between hot wort and the fermenter."""
    if not view.hot or view.into("fermenter"):
        return
    count = barriers(view.network, view.setting)
    fermenters = view.network.of_kind("fermenter")
    if count == 0:
        yield Finding(
            "P4", "warn", fermenters[0],
            f"No closed seat stands between the hot kettle and {fermenters[0]}.",
            "Close one handle on the way, better two.",
        )  # fmt: skip
    elif count == 1:
        yield Finding(
            "P4", "note", fermenters[0],
            f"One closed seat stands between the hot kettle and {fermenters[0]}; one leak and hot"
            " wort is in it.",
            "Close a second handle on the way while the wort is hot.",
        )  # fmt: skip


def mid_travel(view: View) -> Iterator[Finding]:
    """P5: no handle stays between two positions."""
    for valve, position in zip(view.network.valves, view.setting.positions, strict=True):
        if position != "between":
            continue
        if valve.ways:
            joins = "joins all three ways" if valve.passage == "t" else "shuts every way"
            yield Finding(
                "P5", "warn", valve.name, f"{valve.name} stands between two positions: it {joins}.",
                f"Stop the pump, then turn {valve.name} to its stop.",
            )  # fmt: skip
        elif any(frozenset(valve.nodes) & drive.back for drive in view.flow.pumps):
            yield Finding(
                "P5", "warn", valve.name, f"{valve.name} is half open before the pump.",
                f"Open {valve.name} fully; throttle behind the pump.",
            )  # fmt: skip


def first_out(view: View) -> Iterator[Finding]:
    """L1: what stands in the line goes first; sanitiser and water do not belong into the wort."""
    vessel = next(iter((*view.into("fermenter"), *view.into("kettle"))), None)
    if vessel is None or not view.flow.live:
        return
    on_way = [name for name in view.flow.path if name in view.flow.parts]
    foreign = [name for name in on_way if view.known.holds.get(name) in {"sanitiser", "water"}]
    if not foreign:
        return
    ahead_l = sum(view.hold_up_l(name) for name in on_way[on_way.index(foreign[0]) :])
    flow_l_min = view.hydraulics.flow_l_min
    time = f", {60 * float(plug_min(ahead_l, flow_l_min)):.0f} s" if flow_l_min > 0.0 else ""
    held = [view.known.holds[name] for name in foreign]
    marks = {view.known.clean.get(name, view.known.clean.get("all")) for name in foreign}
    words = {"sanitiser": "acid sanitiser" if "acid" in marks else "sanitiser", "water": "water"}
    what = " and ".join(word for key, word in words.items() if key in held)
    yield Finding(
        "L1", "warn" if "sanitiser" in held else "note", foreign[0],
        f"The first {ahead_l:.1f} L into the {vessel.kind} is {what}.",
        f"Run it to a jug{time}.",
    )  # fmt: skip
