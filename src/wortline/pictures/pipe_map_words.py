"""What a pipe map says: the state of every part in words, and the whole picture as sentences."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from wortline.pictures.pipe_map_graph import Item
from wortline.pipes.audit import Verdict
from wortline.pipes.view import View
from wortline.units import retold, shown_in

ItemWords = Callable[[View, Verdict, Item], tuple[str, tuple[str, ...]]]
"""Returns an item's name on the map and its lines of words."""
SAID = {"stop": "STOP", "warn": "WARNING", "note": "NOTE"}
BARE = frozenset({"kettle", "drain", "water", "jug"})


def nouns(view: View, part: str) -> str:
    """Return what a part is."""
    its = view.network.parts[part]
    if its.kind == "chiller":
        return f"{its.form or 'plate'} chiller"
    if its.kind == "hose" and its.length:
        return f"hose, {float(its.length):g}\u00a0m"
    if its.kind == "arm" and its.tangential == "yes":
        return "tangential arm"
    return its.noun


def states(view: View, verdict: Verdict, part: str) -> tuple[str, ...]:
    """Return the state of a part in a few short phrases, the most telling first."""
    kind = view.network.parts[part].kind
    found = [*_by_hand(view, part), *_vessel(view, part), *_flow(view, part)]
    if kind == "chiller":
        found += _chiller(view, verdict, part)
    said = next((each for each in verdict.in_line if each.part == part), None)
    if said is not None and (said.cold_l > 0 or part in view.known.holds):
        litres = f"{said.cold_l:.2g}\u00a0L " if said.cold_l > 0 else ""
        found.append(f"holds {litres}{said.holds}")
    if kind not in BARE:
        mark = view.known.clean.get(part, view.known.clean.get("all", "no"))
        found.append({"no": "no clean mark"}.get(mark, f"clean by {mark}"))
    return tuple(found)


def _by_hand(view: View, part: str) -> Iterator[str]:
    network, setting = view.network, view.setting
    for valve, position in zip(network.valves, setting.positions, strict=True):
        if valve.name != part:
            continue
        if not valve.ways:
            yield {"between": "between open and shut"}.get(position, position)
        elif position in {"all", "through"}:
            yield {"all": "joins all three"}.get(position, "joins both ways, not its inlet")
        elif position == "off":
            yield "off: shut"
        else:
            yield "between two ways" if position == "between" else f"points to {position}"
    if network.parts[part].kind == "pump":
        yield "on" if setting.pump else "off: an open pipe"
    if network.parts[part].kind == "water":
        yield "on" if setting.water else "off"
    for loose, end in zip(network.loose, setting.ends, strict=True):
        if loose.name == part:
            where = {"floor": "on the floor", "over rim": "over the rim", "capped": "capped"}
            yield f"end by hand: {where.get(end, f'at {end}')}"


def liquid(view: View) -> str:
    """Return what flows: water where nothing else feeds the flow, else wort."""
    kinds = {each.kind for each in view.flow.sources if each.node in view.flow.live}
    return "water" if kinds == {"water"} else "wort"


def _fed(view: View, part: str) -> bool:
    return any(each.part == part and each.node in view.flow.live for each in view.flow.sinks)


def _vessel(view: View, part: str) -> Iterator[str]:
    kind = view.network.parts[part].kind
    if kind == "kettle":
        yield f"wort at {round(view.known.wort_c, 1):g}\u00a0°C"
        yield f"{100 * view.known.level_m:.3g}\u00a0cm deep"
    if kind == "fermenter":
        yield f"{liquid(view)} comes in" if _fed(view, part) else "nothing comes in"


def _flow(view: View, part: str) -> Iterator[str]:
    kind = view.network.parts[part].kind
    if kind in {"kettle", "fermenter", "water"}:
        return
    if kind in {"drain", "jug"}:
        if _fed(view, part):
            yield f"{liquid(view)} comes in"
        return
    if part in view.flow.parts:
        yield f"{liquid(view)} flows"
    elif part in view.flow.dead_legs:
        yield f"open to the {liquid(view)}, stands still"
    elif view.open_to_wort(part):
        yield "open to the wort, stands still"
    elif "water_in" not in view.network.parts[part].ports or part not in view.cooled:
        yield "no flow"


def _chiller(view: View, verdict: Verdict, part: str) -> Iterator[str]:
    if part in view.cooled:
        yield f"water runs, {round(view.known.water_c, 1):g}\u00a0°C"
    else:
        yield "no water runs"
    if part in view.passed and verdict.outlet_c is not None:
        yield f"wort leaves at {verdict.outlet_c:.0f}\u00a0°C"


def marks(verdict: Verdict, part: str) -> tuple[str, ...]:
    """Return how grave what the findings say of a part is, in a word for each gravity."""
    return tuple(
        SAID[severity]
        for severity in ("stop", "warn")
        if any(each.severity == severity and each.part == part for each in verdict.findings)
    )


def numbers(verdict: Verdict, view: View) -> dict[str, int]:
    """Return the place of each part on the path that is shown, from 1; a kettle is only first."""
    found: dict[str, int] = {}
    for part in verdict.path if view.flow.live else ():
        if part in view.network.parts:
            found.setdefault(part, len(found) + 1)
    return found


def headline(verdict: Verdict) -> str:
    """Return the verdict in a word or two."""
    return {"pass": "PASS", "warn": "WARNING", "stop": "STOP"}.get(verdict.verdict, verdict.verdict)


def flow_words(view: View, verdict: Verdict, system: str = "metric") -> str:
    """Return where the wort goes."""
    unit = "US gal/min" if system == "us" else "L/min"
    if not view.flow.live or not verdict.path:
        return "No wort moves."
    text = f"The {liquid(view)} goes: {', '.join(verdict.path)}."
    if not verdict.flow_l_min:
        return text
    flow = f"{shown_in(verdict.flow_l_min, 'flow', unit):.2g} {unit}"
    return f"{text} About {flow.replace(' ', NO_BREAK)}."


def neighbours(view: View, part: str) -> tuple[str, ...]:
    """Return the parts that a part is joined to as everything stands, in the order of its ports."""
    network = view.network
    links = [link for link in network.always if network.owner(link[0]) != network.owner(link[1])]
    for loose, end in zip(network.loose, view.setting.ends, strict=True):
        if end != "capped":
            links += [(loose.node, loose.targets[end]), (loose.targets[end], loose.node)]
    found = [
        network.owner(b) for node in network.nodes_of[part] for a, b in links if a == node
    ]
    return tuple(dict.fromkeys(name for name in found if name != part))


def gathered(verdict: Verdict) -> list[tuple[str, str, str, str, str]]:
    """Return the findings as gravity, head, text, what to do and the check's code.

    Like ones of many parts are one.
    """
    found: dict[tuple[str, str, str, str], list[str]] = {}
    for each in verdict.findings:
        text, act = (_without(words, each.part) for words in (each.text, each.do))
        found.setdefault((each.severity, each.code, text, act), []).append(each.part)
    rows: list[tuple[str, str, str, str, str]] = []
    for (severity, code, said, wanted), parts in found.items():
        name = parts[0] if len(parts) == 1 else "each of these"
        text, act = (_capital(words.replace(HOLE, name)) for words in (said, wanted))
        rows.append((severity, f"{SAID[severity]}, {', '.join(parts)}", text, act, code))
    return rows


HOLE = "\0"
NO_BREAK = "\u00a0"


def _without(words: str, part: str) -> str:
    return re.sub(rf"(?<![\w-]){re.escape(part)}(?![\w-])", HOLE, words)


def _capital(words: str) -> str:
    return "E" + words[1:] if words.startswith("each of these") else words


def sentences(view: View, verdict: Verdict, system: str = "metric") -> tuple[str, ...]:
    """Return all that the map says as sentences: verdict, flow, findings, then part by part.

    Parts on the way of the wort come first, in its order, with the numbers they have on the map.
    """
    found = [f"Verdict: {headline(verdict)}.", flow_words(view, verdict, system)]
    for each in verdict.findings:
        head = f"{SAID[each.severity]}, {each.part}"
        found.append(f"{head}: {each.text} {each.do}".strip() + f" (Check {each.code}.)")
    number = numbers(verdict, view)
    rest = [part for part in view.network.parts if part not in number]
    for part in [*number, *rest]:
        head = f"{number[part]}. " if part in number else ""
        near = neighbours(view, part)
        said = [*marks(verdict, part), *states(view, verdict, part)]
        if near:
            said.append(f"joined to {', '.join(near)}")
        found.append(f"{head}{part} ({nouns(view, part)}): {'; '.join(said)}.")
    if verdict.assumed:
        found.append(f"Not said, so taken: {', '.join(verdict.assumed)}.")
    return tuple(retold(each, system) for each in found)


def item_words(view: View, verdict: Verdict, item: Item) -> tuple[str, tuple[str, ...]]:
    """Return an item's name on the map and its lines of words."""
    if item.kind == "cap":
        return "", ("capped",)
    if item.kind == "rim":
        return "", ("over the rim",)
    if not item.part:
        return "", ({"floor": "the floor"}.get(item.kind, f"a {item.kind}"),)
    noun = nouns(view, item.part)
    said = states(view, verdict, item.part)
    if noun == item.part:
        return item.part, said
    if item.kind in {"valve2", "pump", "water", "hose", "arm"}:
        first = said[0].replace(" ", "\u00a0") if len(said[0]) <= 12 else said[0]
        return item.part, (f"{noun}, {first}", *said[1:])
    return item.part, (noun, *said)


def item_in_brief(view: View, verdict: Verdict, item: Item) -> tuple[str, tuple[str, ...]]:
    """Return an item's name on the map and only what a hand or a thermometer changes."""
    if not item.part:
        return item_words(view, verdict, item)
    if item.kind in {"rim", "cap"}:
        return item_words(view, verdict, item)
    found = [*_by_hand(view, item.part), *_vessel(view, item.part)]
    kind = view.network.parts[item.part].kind
    if kind == "chiller":
        found += _chiller(view, verdict, item.part)
    if kind in {"drain", "jug"} and _fed(view, item.part):
        found.append(f"{liquid(view)} comes in")
    return item.part, tuple(found)
