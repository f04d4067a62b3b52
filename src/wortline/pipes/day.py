"""The whole day in line-ups: phase after phase with the change-overs between; what a rig can do."""

from dataclasses import dataclass, replace

from wortline.pipes.changeover import ChangeOver, change_over
from wortline.pipes.network import Network, hold_up_of_l
from wortline.pipes.routes import Found, line_ups
from wortline.pipes.routes_data import DAY, EVERY
from wortline.pipes.state import Conditions, Limits, drawn_ends
from wortline.pipes.view import Finding, View
from wortline.pipes.ways import moves, ways

# Wort that a pump can lift, an ordinary tap and depth: the flow hardly depends on them.
HOT_C, TAP_C, LEVEL_M = 92.0, 14.0, 0.25


@dataclass(frozen=True)
class Phase:
    """A phase of the day: its line-up and the acts that lead to it."""

    route: str
    line_up: Found
    change: ChangeOver | None


def phases(network: Network, known: Conditions, limits: Limits) -> tuple[Phase, ...]:
    """Return the hot side from whirlpool to transfer, without phases that this rig cannot do."""
    found: list[Phase] = []
    for route in DAY:
        choices = line_ups(network, route)
        if not choices:
            continue
        last = found[-1].line_up.setting if found else None
        changes = [
            change_over(network, last, each.setting, for_transfer(known, network, route, limits),
                        limits)
            for each in choices[:3]
        ] if last else []  # fmt: skip
        best = min(
            range(len(changes)),
            key=lambda index: (not changes[index].found, len(changes[index].moves)),
            default=0,
        )
        found.append(Phase(route, choices[best], changes[best] if changes else None))
    return tuple(found)


def for_transfer(known: Conditions, network: Network, route: str, limits: Limits) -> Conditions:
    """Return the conditions of a change-over: at its end the chiller does what is asked of it."""
    if route != "chill-and-transfer" or known.outlet_c is not None:
        return known
    view_c = View(network, line_ups(network, route)[0].setting, known, limits).fermenter_c
    return replace(known, outlet_c=view_c)


@dataclass(frozen=True)
class Whirled:
    """What the pipes do for a whirlpool; None where they do not say."""

    flow_l_min: float
    flow_text: str
    nozzle_m: float | None
    outlet_m: float | None


def whirled(network: Network, limits: Limits) -> Whirled | None:
    """Return the flow to the return arm with hot wort, the arm's bore and the kettle's outlet.

    None where no handles let the pump turn the wort.
    """
    choices = line_ups(network, "whirlpool")
    if not choices:
        return None
    known = Conditions(HOT_C, TAP_C, LEVEL_M, limits.pressure_kpa)
    view = View(network, choices[0].setting, known, limits)
    found = view.hydraulics
    arms = [network.parts[name] for name in choices[0].path if network.parts[name].kind == "arm"]
    nozzle = next((float(arm.bore) for arm in arms if arm.bore), None)
    outlet = network.kettle.outlet
    text = f"{found.flow_l_min:.1f} L/min of hot wort" + "".join(
        f", {each}" for each in found.assumed
    )
    return Whirled(found.flow_l_min, text, nozzle, float(outlet) if outlet else None)


def held(network: Network) -> tuple[float, tuple[str, ...]]:
    """Return what stays in the line after the transfer [L], and in which parts.

    Every part that a line-up of the day fills keeps its wort; without any way to the fermenter
    nothing is known.
    """
    wet: set[str] = set()
    for route in (*DAY, "transfer"):
        for found in line_ups(network, route)[:1]:
            wet |= set(found.path)
    sent = line_ups(network, "chill-and-transfer") or line_ups(network, "transfer")
    parts = tuple(name for name, part in network.parts.items() if name in wet if hold_up_of_l(part))
    return (sum(hold_up_of_l(network.parts[name]) for name in parts), parts) if sent else (0.0, ())


def needless(network: Network) -> tuple[Finding, ...]:
    """H1 for the rig: hose moves of the day that one more three-way valve would spare."""
    found: list[Finding] = []
    for route in EVERY:
        choices = line_ups(network, route)
        if not choices or not choices[0].hose_moves:
            continue
        ends = choices[0].setting.ends
        for index, loose in enumerate(network.loose):
            if ends[index] != loose.at and moves(network, ends):
                found.append(
                    Finding(
                        "H1",
                        "note",
                        loose.name,
                        f"For {route} the end of {loose.name} is moved from {loose.at} to"
                        f" {ends[index]}.",
                        f"One three-way valve before {loose.name} would spare it.",
                    )
                )
    return tuple(found)


def complaints(network: Network) -> tuple[str, ...]:
    """Return what a rig lacks, in sentences."""
    said: list[str] = []
    if not network.pumps:
        said.append("There is no pump: wort only runs downhill.")
    if not network.of_kind("fermenter"):
        said.append("There is no fermenter among the parts: nothing is said about a transfer.")
    drawn = ways(network, drawn_ends(network))
    for name, into, _ in network.pumps:
        if not any(way.source.kind == "kettle" and into in way.nodes for way in drawn):
            said.append(f"No way leads from the kettle through {name} to a vessel.")
    return tuple(said)
