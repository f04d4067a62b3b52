"""How a network stands: handles, pump, water and hose ends, and what is known of the day."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from wortline.documents.lineup import LineUp
from wortline.documents.quantity import Fault, nearest
from wortline.pipes.network import Network


@dataclass(frozen=True)
class Setting:
    """What a hand can change; positions and ends in the order of the network's."""

    positions: tuple[str, ...]
    ends: tuple[str, ...]
    pump: bool = False
    water: bool = False

    def turned(self, index: int, position: str) -> "Setting":
        """Return the same with one handle turned."""
        positions = (*self.positions[:index], position, *self.positions[index + 1 :])
        return Setting(positions, self.ends, self.pump, self.water)

    def moved(self, index: int, end: str) -> "Setting":
        """Return the same with one hose end moved."""
        return replace(self, ends=(*self.ends[:index], end, *self.ends[index + 1 :]))


@dataclass(frozen=True)
class Limits:
    """Typical values and bounds, handed down; each has its source beside it in the data."""

    wort_c: float
    water_c: float
    level_m: float
    flow_l_min: float
    water_l_min: float
    ua_w_k: float
    pressure_kpa: float
    fermenter_limit_c: float
    hot_c: float
    heat_mark_c: float
    heat_mark_min: float
    heat_mark_a0: float
    acid_min: float
    stagnant_below_c: float
    stagnant_min: float
    suction_required_m: float
    suction_times: float
    suction_warn_m: float
    suction_stop_m: float
    near_boil_dk: float
    batch_l: float
    pump_w: float
    wort_plato: float


@dataclass(frozen=True)
class Conditions:
    """What is known of temperatures, levels, cleanness and contents."""

    wort_c: float
    water_c: float
    level_m: float
    pressure_kpa: float
    outlet_c: float | None = None
    fermenter_level_m: float = 0.0
    clean: Mapping[str, str] = field(default_factory=dict)
    holds: Mapping[str, str] = field(default_factory=dict)
    assumed: tuple[str, ...] = ()
    blinded: float = 0.0
    throttle: float = 0.0
    element: float = 0.0
    cools_k_min: float | None = None

    def marked(self, part: str) -> bool:
        """Say whether a part has a clean mark."""
        return self.clean.get(part, self.clean.get("all", "no")) != "no"


def drawn_ends(network: Network) -> tuple[str, ...]:
    """Return where the loose hose ends are as the rig is drawn."""
    return tuple(each.at for each in network.loose)


def setting(network: Network, document: LineUp) -> tuple[Setting | None, list[Fault]]:
    """Return how the handles stand, or everything that is wrong with what was said of them."""
    faults = [*_unknown(network, document)]
    said = document.handles or {}
    positions: list[str] = []
    for valve in network.valves:
        word = said.get(valve.name)
        known = ", ".join(valve.positions)
        if word is None:
            text = f"the position of `{valve.name}` is not said; it is one of {known}"
            faults.append(Fault(text, "", known, sub=("handles",)))
            continue
        position = valve.words.get(word.lower())
        if position is None:
            near = nearest(word, tuple(valve.words))
            text = f"`{word}` is no position of `{valve.name}`; it is one of {known}"
            faults.append(Fault(text, word, known, near, ("handles", valve.name)))
            continue
        positions.append(position)
    ends, wrong = _ends(network, document.hose_ends or {})
    faults += wrong
    if faults:
        return None, faults
    return (
        Setting(tuple(positions), ends, document.pump == "on", document.water == "on"),
        [],
    )


def _unknown(network: Network, document: LineUp) -> Iterator[Fault]:
    kinds: Mapping[str, tuple[Mapping[str, str], tuple[str, ...], str]] = {
        "handles": (
            document.handles or {},
            tuple(valve.name for valve in network.valves),
            "a handle",
        ),
        "hose_ends": (
            document.hose_ends or {},
            tuple(each.name for each in network.loose),
            "a hose with an end that is moved by hand",
        ),
        "clean": (document.clean or {}, (*network.parts, "all"), "a part"),
        "holds": (document.holds or {}, tuple(network.parts), "a part"),
    }
    for key, (given, known, noun) in kinds.items():
        for name in given:
            if name not in known:
                near = nearest(name, known)
                said = ", ".join(known) or "none here"
                text = f"`{name}` is not {noun} of this rig; known are {said}"
                yield Fault(text, name, said, near, (key, name))


def _ends(network: Network, said: Mapping[str, str]) -> tuple[tuple[str, ...], list[Fault]]:
    ends: list[str] = []
    faults: list[Fault] = []
    for loose in network.loose:
        typed = said.get(loose.name, loose.at)
        words = {each.lower(): each for each in (*loose.targets, "capped")}
        target = words.get(typed.lower())
        if target is None:
            by_kind = [
                name for name in loose.targets
                if name in network.parts and network.parts[name].kind == typed.lower()
            ]  # fmt: skip
            target = by_kind[0] if len(by_kind) == 1 else None
        if target is None:
            known = ", ".join(words.values())
            text = f"the end of `{loose.name}` cannot be at `{typed}`; it is one of {known}"
            faults.append(
                Fault(text, typed, known, nearest(typed, tuple(words)), ("hose_ends", loose.name))
            )
            continue
        ends.append(target)
    taken = [
        loose.targets[end]
        for loose, end in zip(network.loose, ends, strict=False)
        if end != "capped"
    ]
    if not faults and len(set(taken)) < len(taken):
        text = "two hose ends are at the same port; one of them has to be elsewhere"
        faults.append(Fault(text, "", sub=("hose_ends",)))
    return tuple(ends), faults


def conditions(document: LineUp, limits: Limits) -> Conditions:
    """Return what is known of the day; what is unsaid is typical, and said to be so."""
    assumed: list[str] = []

    def known(value: object, usual: float, text: str) -> float:
        if value is None:
            assumed.append(text)
            return usual
        return float(value)  # type: ignore[arg-type]

    return Conditions(
        known(document.wort, limits.wort_c, f"wort at {limits.wort_c:g} C"),
        known(document.water_at, limits.water_c, f"water at {limits.water_c:g} C"),
        known(document.level, limits.level_m, f"level of {100 * limits.level_m:g} cm"),
        limits.pressure_kpa,
        None if document.outlet is None else float(document.outlet),
        float(document.fermenter_level) if document.fermenter_level is not None else 0.0,
        document.clean or {},
        document.holds or {},
        tuple(assumed),
        float(document.blinded) if document.blinded is not None else 0.0,
        float(document.throttle) if document.throttle is not None else 0.0,
        float(document.element) if document.element is not None else 0.0,
    )


def setting_values(net: Network, settled: Setting) -> dict[str, Any]:
    """Return a setting by the keys of a line-up."""
    return {
        "handles": {
            valve.name: position
            for valve, position in zip(net.valves, settled.positions, strict=True)
        },
        "pump": "on" if settled.pump else "off",
        "water": "on" if settled.water else "off",
        "hose_ends": {loose.name: end for loose, end in zip(net.loose, settled.ends, strict=True)},
    }
