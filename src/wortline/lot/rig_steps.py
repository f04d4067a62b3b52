"""Setting up before the day and putting away after it, from the parts of the rig.

Acid and chlorine-based or caustic products never share a step: a rinse is a step between.
"""

from collections.abc import Iterator

from wortline.lot.day import Ask, Chemical, Phase, Step
from wortline.pipes.network import Network
from wortline.units import say

SETUP, AWAY = "setup", "away"
SAFE_TO_OPEN_C = 45.0
LEAK_L = 5.0


def set_up(network: Network | None, system: str = "metric") -> tuple[list[Phase], list[Step]]:
    """The phase before the water: leaks, priming, flow, a clean chiller."""
    phase = Phase(SETUP, SETUP, "Set up", "set up", None)
    return [phase], list(_set_up(network, system))


def put_away(
    network: Network | None, system: str = "metric", has_pump: bool = True
) -> tuple[list[Phase], list[Step]]:
    """The phase after the yeast: flush, clean, rinse, drain, and say what is left wet."""
    phase = Phase(AWAY, AWAY, "Put away", "put away", None)
    return [phase], list(_put_away(network, system, has_pump))


def _step(phase: str, slug: str, text: str, safety: str = "") -> Step:
    return Step(f"{phase}/{slug}", phase, text, safety)


def _set_up(network: Network | None, system: str) -> Iterator[Step]:
    some = say(LEAK_L, "volume", system)
    yield _step(
        SETUP,
        "look",
        "Lay hoses and power: every clamp tight, every handle shut, drip loops in the cables.",
        "Mains and water: dry hands, plug out until the hoses are tight. Wiring and back-flow"
        " prevention are for local code and a licensed person.",
    )
    if network is None:
        text = f"Run {some} cold water into the kettle and look for drips."
        yield _step(SETUP, "leak", text)
        return
    pumps = network.of_kind("pump")
    yield _step(
        SETUP,
        "leak",
        f"Run {some} cold water into the kettle, element off, open"
        f" {', then '.join(_handles(network)) or 'the way out'} and look for drips at every joint.",
        "Element off and unplugged: it is not covered yet.",
    )
    if pumps:
        way = ", ".join(_suction(network))
        pump = pumps[0]
        yield _step(
            SETUP,
            "prime",
            f"Prime in order from the kettle down: {way}. Let the water run in by itself, crack the"
            f" far side open until no bubbles come, then switch {pump} on.",
            f"{pump} is not self-priming: run dry it wears out its bearing.",
        )
        yield Step(
            f"{SETUP}/flow",
            SETUP,
            "Catch the flow at full open in a jug for a timed minute. It is kept to compare with.",
            ask=Ask("clean flow", "flow", on_sheet=False),
            needs=(f"{SETUP}/prime",),
        )
    for name in network.of_kind("chiller"):
        part = network.parts[name]
        if part.form == "immersion":
            yield _step(
                SETUP,
                f"{name}-ice",
                f"Blow through {name}: air comes out freely, so there is no ice in the coil.",
                "A coil with ice in it can burst when hot wort meets it or the water comes on.",
            )
        else:
            yield _step(
                SETUP,
                f"{name}-flush",
                f"Flush {name} with water both ways until it runs clear, no bits.",
            )
    yield Step(
        f"{SETUP}/marks",
        SETUP,
        "Tick the parts that have earned their clean mark. The hot loop or a sanitiser must still"
        " reach the others.",
        surface=("", "sanitised"),
        parts=tuple(_wetted_cold(network)),
    )


def _put_away(network: Network | None, system: str, has_pump: bool) -> Iterator[Step]:
    off = "Element and pump off at their switches" if has_pump else "Element off at its switch"
    moved = "Circulate" if has_pump else "Fill in"
    yield _step(
        AWAY,
        "off",
        f"{off}, plugs out, water shut.",
        "The element stays hot under the trub: let it cool in liquid before you empty the kettle.",
    )
    cool = say(SAFE_TO_OPEN_C, "temperature", system)
    if network is not None:
        for name in network.of_kind("chiller"):
            if network.parts[name].form == "immersion":
                yield _step(AWAY, f"{name}-rinse", f"Rinse {name} outside while it is still wet.")
            else:
                yield _step(
                    AWAY,
                    f"{name}-backflush",
                    f"Back-flush {name} with the warm chill water you kept, against the way the"
                    " wort went, until no hop bits come.",
                    "Gloves on, a thermometer at the coupling first: never open one above"
                    f" {cool}{' or with the pump on' * has_pump}; wait until it has cooled.",
                )
    yield _step(AWAY, "empty", "Empty trub and hops, rinse kettle and lines with water.")
    yield _chemical(
        "cleaner",
        f"{moved} the alkaline cleaner as its label says, warm.",
        "Goggles and gloves. Cleaner into cold water, never water onto cleaner; never on"
        " aluminium, never together with an acid.",
        "chlorine or caustic",
    )
    rinse = "Gloves on: rinse with plenty of water until no foam or film is left to see."
    yield _chemical("rinse", rinse, "", "rinse")
    yield _chemical(
        "acid",
        f"Where there is scale: {moved.lower()} the acid rinse as its label says. Else skip this.",
        "Goggles and gloves. Acid into water. Never in a line that still holds chlorine or"
        " alkali: the rinse before this is done.",
        "acid",
    )
    yield _chemical("rinse2", "Rinse with water again.", "", "rinse")
    low = low_points(network) if network else ()
    where = f" at the low points: {', '.join(low)}" if low else " every hose and the chiller"
    yield _step(AWAY, "drain", f"Drain{where}. What stays in freezes and bursts in frost.")
    yield Step(
        f"{AWAY}/wet",
        AWAY,
        "Tick what is left wet: it is the first to be sanitised next time.",
        surface=("", "left wet"),
        parts=tuple(_wetted(network)) if network else ("kettle", "fermenter", "hoses"),
    )


def _chemical(slug: str, text: str, safety: str, chemical: Chemical) -> Step:
    # The acid waits for the rinse after the alkali.
    needs = (f"{AWAY}/rinse",) if chemical == "acid" else ()
    return Step(f"{AWAY}/{slug}", AWAY, text, safety, needs=needs, chemical=chemical)


def _handles(network: Network) -> list[str]:
    """Handles from the kettle outwards."""
    return [name for name in _outwards(network) if any(name == v.name for v in network.valves)]


def _outwards(network: Network) -> list[str]:
    """Parts in the order in which wort from the kettle's outlet reaches them."""
    beside = neighbours(network)
    kettle = network.of_kind("kettle")[0]
    outlet = network.node.get((kettle, "outlet"))
    first = [
        network.owner(there)
        for here, there in network.always
        if here == outlet and network.owner(there) != kettle
    ]
    found = list(dict.fromkeys(first))
    for name in found:
        found += [each for each in beside[name] if each not in found and each != kettle]
    return found


def _suction(network: Network) -> list[str]:
    """Parts between kettle and pump, the pump last."""
    order = _outwards(network)
    pump = network.of_kind("pump")[0]
    return order[: order.index(pump) + 1] if pump in order else [pump]


def neighbours(network: Network) -> dict[str, list[str]]:
    """Which parts touch which."""
    found: dict[str, list[str]] = {name: [] for name in network.parts}
    for a, b in network.always:
        one, other = network.owner(a), network.owner(b)
        if one != other and other not in found[one]:
            found[one].append(other)
    return found


def _wetted(network: Network) -> list[str]:
    """Parts that wort has run through."""
    dry = {"drain", "water", "jug"}
    return [name for name, part in network.parts.items() if part.kind not in dry]


def _wetted_cold(network: Network) -> list[str]:
    """Parts that meet cold wort on its way to the fermenter."""
    kinds = {"chiller", "fermenter", "hose", "valve3", "valve2"}
    return [name for name, part in network.parts.items() if part.kind in kinds]


def low_points(network: Network) -> tuple[str, ...]:
    """The parts from which nothing runs on by itself: all they touch stands as high or higher.

    A part without a height of its own hangs as low as the lowest it touches; a chiller always
    keeps some, whatever its height. What carries the chill water, not the wort, does not count.
    """
    outer = {"drain", "water"}
    beside = {
        name: [each for each in near if network.parts[each].kind not in outer]
        for name, near in neighbours(network).items()
    }
    heights = _heights(network, beside)
    outside = {"kettle", "fermenter", "drain", "jug", "water", "hose"}
    low = [
        name
        for name, part in network.parts.items()
        if part.height is not None
        and part.kind not in outside
        and all(heights.get(each, heights[name]) >= heights[name] for each in beside[name])
    ]
    return tuple(dict.fromkeys([*low, *network.of_kind("chiller")]))


def _heights(network: Network, beside: dict[str, list[str]]) -> dict[str, float]:
    """How high every part stands, of one without a height its lowest neighbour's [m]."""
    found = {
        name: float(part.height) for name, part in network.parts.items() if part.height is not None
    }
    given = set(found)
    for _ in network.parts:
        before = dict(found)
        for name in network.parts:
            touched = [before[each] for each in beside[name] if each in before]
            if name not in given and touched:
                found[name] = min(touched)
        if found == before:
            break
    return found
