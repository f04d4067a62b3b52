"""What the command `pipes` prints: a verdict, a change-over, what a rig can do."""

from collections.abc import Iterator
from typing import Any

from wortline.cli.layout import paragraph
from wortline.units import retold, say

FOOT_M = 0.3048


def verdict_lines(values: dict[str, Any], units: str) -> Iterator[str]:
    """What the command says of one line-up."""
    yield values["verdict"].upper()
    if values["path"]:
        yield from paragraph("the wort goes: " + " > ".join(values["path"]))
    else:
        yield "no wort moves"
    yield from _flow_lines(values, units)
    if values["assumed"]:
        yield from paragraph(retold("not said, so taken: " + ", ".join(values["assumed"]), units))
    for finding in values["findings"]:
        head = f"{finding['severity']:<4} {finding['code']}  "
        yield from paragraph(retold(finding["text"], units), head, " " * len(head))
        act = retold(finding["do"], units)
        yield from paragraph(act, " " * (len(head) - 2) + "> ", " " * len(head))


def _flow_lines(values: dict[str, Any], units: str) -> Iterator[str]:
    if values["flow_l_min"] is None:
        return

    def in_us(value: float, kind: str, metric: str) -> str:
        return say(value, kind, units) if units == "us" else metric

    flow, vortex = values["flow_l_min"], values["vortex_l_min"]
    said = [f"flow {in_us(flow, 'flow', f'{flow:.1f} L/min')}"]
    if values["regime"] == "uncertain":
        least, most = values["flow_range_l_min"]
        low, high = (in_us(each, "flow", f"{each:.2f}") for each in (least, most))
        said = [f"{said[0]}, uncertain between laminar and turbulent: {low} to {high}"]
    if values["jet_m_s"] is not None:
        jet = values["jet_m_s"]
        said.append(f"jet {jet / FOOT_M:.0f} ft/s" if units == "us" else f"jet {jet:.1f} m/s")
    if values["suction_margin_m"] is not None:
        margin = values["suction_margin_m"]
        said.append(f"suction margin {in_us(margin, 'length', f'{margin:.2f} m')}")
    if vortex is not None:
        said.append(f"a vortex above {in_us(vortex, 'flow', f'{vortex:.0f} L/min')}")
    if values["empties"] is not None:
        hot_l, minutes = values["empties"]["hot_l"], values["empties"]["min"]
        volume = in_us(hot_l, "volume", f"{hot_l:.0f} L")
        said.append(f"{volume} hot have run through in {minutes:.1f} min")
    yield from paragraph("; ".join(said), "", "    ")
    held = []
    for each in values["in_line"]:
        cold = in_us(each["cold_l"], "volume", f"{each['cold_l']:.2f} L")
        held.append(f"{each['part']} {cold} {each['holds']}")
    if held:
        yield from paragraph("in the line: " + ", ".join(held), "", "    ")


def _handles(values: dict[str, Any]) -> str:
    said = [f"{name}={position}" for name, position in values["handles"].items()]
    said += [f"end of {name} at {end}" for name, end in values["hose_ends"].items()]
    return ", ".join([*said, f"pump {values['pump']}", f"water {values['water']}"])


def change_lines(values: dict[str, Any], units: str, pad: str = "") -> Iterator[str]:
    """What the command says of a change-over: every act, what has to be true before it."""
    if not values["found"]:
        yield f"{pad}No safe order of acts leads there one act at a time."
        return
    if not pad:
        yield from paragraph("From: " + _handles(values["start"]), "", "      ")
    if not values["moves"]:
        yield f"{pad}Nothing to do."
    for number, move in enumerate(values["moves"], 1):
        yield from _act_lines(move, units, f"{pad}{number:>3}.  ", pad)
    if values["needs"]:
        yield f"{pad}What has to be true before the last act:"
    bare = [finding["part"] for finding in values["needs"] if finding["code"] == "B1"]
    if bare:
        said = f"A clean mark on each of {', '.join(bare)}."
        yield from paragraph(said, f"{pad}  - ", f"{pad}    ")
    for finding in values["needs"]:
        if finding["code"] != "B1":
            said = retold(f"{finding['text']} {finding['do']}", units)
            yield from paragraph(said, f"{pad}  - ", f"{pad}    ")


def _act_lines(move: dict[str, Any], units: str, head: str, pad: str) -> Iterator[str]:
    """What scalds and what has to be true, then the act that they bar."""
    said = [f"Caution: {move['caution']}"] if move["caution"] else []
    said += [f"First: {first}" for first in move["first"]]
    for words in (*said, f"Then: {move['text']}" if said else move["text"]):
        yield from paragraph(retold(words, units), head, f"{pad}         ")
        head = f"{pad}      "


def overview_lines(values: dict[str, Any], units: str) -> Iterator[str]:
    """What the command says of a rig: its routes, and the hot side of the day act by act."""
    yield values["rig"]
    for complaint in values["complaints"]:
        yield from paragraph(retold(complaint, units), "! ")
    yield "ROUTES"
    for route, choices in values["routes"].items():
        if not choices:
            yield f"{route}: not with these pipes"
        for choice in choices[:3]:
            yield from paragraph(f"{route}: {_handles(choice)}", "", "    ")
            if choice["path"]:
                yield from paragraph(" > ".join(choice["path"]), "    ")
    if values["hose_moves"]:
        yield "HOSES MOVED BY HAND"
    for finding in values["hose_moves"]:
        yield from paragraph(retold(f"{finding['text']} {finding['do']}", units), "- ")
    yield "THE HOT SIDE, ACT BY ACT"
    for phase in values["day"]:
        yield phase["route"]
        if phase["change"]:
            yield from change_lines(phase["change"], units, "    ")
