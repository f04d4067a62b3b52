"""A rig's handles at one moment, as a page shows them: how each stands and what a touch does."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Literal

from wortline.app.drawing import System
from wortline.app.files import File
from wortline.app.piping import Pipes, line_up_of, pipes_of, verdict
from wortline.errors import DocumentRefused, Problem
from wortline.pipes.audit import audited
from wortline.pipes.routes import line_ups
from wortline.pipes.state import Conditions, Setting, drawn_ends
from wortline.pipes.view import View
from wortline.units import retold

if TYPE_CHECKING:
    from wortline.pipes.network import Valve

SIDES = ("handles", "hose_ends")
HANDS = (*SIDES, "pump", "water")
"""What a hand changes; everything else of a line-up is known of the day."""
Kind = Literal["handle", "pump", "water", "hose"]
FIRST = ("whirlpool", "transfer", "rest")


@dataclass(frozen=True)
class Choice:
    """One position: what it is called, whether it stands so, and what to ask for to get there."""

    words: str
    stands: bool
    do: str


@dataclass(frozen=True)
class Handle:
    """Something that a hand turns, switches or moves."""

    name: str
    kind: Kind
    noun: str
    now: str
    choices: tuple[Choice, ...]

    @property
    def next(self) -> Choice:
        """What a touch leads to: the place after this one in which a handle rests."""
        rests = [each for each in self.choices if not each.do.endswith("=between")]
        here = next((at for at, each in enumerate(rests) if each.stands), -1)
        return rests[(here + 1) % len(rests)]

    @property
    def label(self) -> str:
        """How it stands and what a touch does, in words."""
        return f"{self.name}, {self.noun}: {self.now}. Press for {self.next.words}."


@dataclass(frozen=True)
class Stand:
    """How everything stands, judged; `words` says it again as the options of `pipes`."""

    pipes: Pipes
    settled: Setting
    known: Conditions
    words: dict[str, str]
    handles: tuple[Handle, ...]
    judged: dict[str, Any] = field(repr=False)
    goal: str | None = None


@lru_cache(maxsize=32)
def pipes_in(rig_file: File, day_file: File | None = None) -> Pipes:
    """Return the pipes of a rig; the same rig is worked out once."""
    return pipes_of(rig_file, day_file)


def stand_of(
    pipes: Pipes, typed: Mapping[str, str], do: str = "", goal: str | None = None
) -> Stand:
    """Return how everything stands after a touch; what is not said stands as for the day's start.

    Raises
    ------
    DocumentRefused
        With every problem in what was typed.
    """
    words = {**_at_first(pipes), **{key: text for key, text in typed.items() if text.strip()}}
    if do:
        words = _done(words, do)
    settled, known = line_up_of(pipes, None, words)
    return Stand(
        pipes=pipes,
        settled=settled,
        known=known,
        words={**words, **words_of(pipes, settled)},
        handles=tuple(_handles(pipes, settled)),
        judged=verdict(pipes, settled, known, goal),
        goal=goal,
    )


def map_svg(stand: Stand, width_px: float, system: System = "metric", buttons: bool = True) -> str:
    """The pipes as they stand, with handles to press unless they are only to be seen, as SVG."""
    from wortline.pictures.pipe_map import Press
    from wortline.pictures.pipe_map_press import pressed_map

    pipes = stand.pipes
    view = View(pipes.network, stand.settled, stand.known, pipes.limits, stand.goal)
    press = {
        each.name: Press(each.next.do, each.label)
        for each in stand.handles
        if buttons and each.kind != "hose"
    }
    label = f"Pipe map of {pipes.name}."
    if buttons:
        label += " Handles, pump and water are buttons."
    return pressed_map(view, audited(view), press, label, width_px, system)


def whole_map_svg(stand: Stand, system: System = "metric", width_px: int = 1200) -> str:
    """The pipes as they stand with verdict, findings and key, as SVG to take away."""
    from wortline.app.drawing import pipe_map_svg

    at = stand.settled, stand.known
    return pipe_map_svg(stand.pipes, *at, stand.goal, width_px, system)


def parts_in_words(stand: Stand, system: System = "metric") -> list[str]:
    """Every part with its state as a sentence, the parts on the way of the wort first."""
    from wortline.pictures.pipe_map_words import sentences

    pipes = stand.pipes
    view = View(pipes.network, stand.settled, stand.known, pipes.limits, stand.goal)
    judged = audited(view)
    told = sentences(view, judged, system)
    skip = 2 + len(judged.findings)
    last = len(told) - (1 if judged.assumed else 0)
    return list(told[skip:last])


def words_of(pipes: Pipes, settled: Setting) -> dict[str, str]:
    """Return a setting as the options of `pipes`."""
    net = pipes.network
    valves = zip(net.valves, settled.positions, strict=True)
    ends = zip(net.loose, settled.ends, strict=True)
    return {
        "handles": ", ".join(f"{valve.name}={position}" for valve, position in valves),
        "hose_ends": ", ".join(f"{loose.name}={end}" for loose, end in ends),
        "pump": "on" if settled.pump else "off",
        "water": "on" if settled.water else "off",
    }


def _at_first(pipes: Pipes) -> dict[str, str]:
    """The first line-up of the day that this rig can do; else every handle in its first place."""
    net = pipes.network
    for route in FIRST:
        found = line_ups(net, route)
        if found:
            return words_of(pipes, found[0].setting)
    positions = tuple(valve.stops[-1] for valve in net.valves)
    return words_of(pipes, Setting(positions, drawn_ends(net)))


def _done(words: Mapping[str, str], do: str) -> dict[str, str]:
    """Return words after one touch, such as `pump=on` or `handles.V1=arm`."""
    place, _, value = do.partition("=")
    key, _, part = place.partition(".")
    if key not in HANDS or bool(part) != (key in SIDES) or not value:
        allowed = "handles.V1=arm, hose_ends.H4=jug, pump=on or water=off"
        text = f"`{do}` is nothing a hand can do here; write {allowed}"
        raise DocumentRefused([Problem("do", 0, "", do, allowed, "", text)])
    if not part:
        return {**words, key: value}
    said = [each.strip() for each in words.get(key, "").split(",") if each.strip()]
    kept = [each for each in said if each.partition("=")[0].strip() != part]
    return {**words, key: ", ".join([*kept, f"{part}={value}"])}


def _handles(pipes: Pipes, settled: Setting) -> Iterator[Handle]:
    net = pipes.network
    for valve, position in zip(net.valves, settled.positions, strict=True):
        choices = tuple(
            Choice(_said(valve, each), each == position, f"handles.{valve.name}={each}")
            for each in valve.positions
        )
        noun = net.parts[valve.name].noun
        yield Handle(valve.name, "handle", noun, _said(valve, position), choices)
    pumps = [name for name, *_ in net.pumps]
    for key, names, on in (
        ("pump", pumps, settled.pump),
        ("water", list(net.of_kind("water")), settled.water),
    ):
        for name in names:
            noun = net.parts[name].noun
            yield Handle(name, key, noun, _switched(on), _switch(key, on))  # type: ignore[arg-type]
    if not net.of_kind("water") and net.of_kind("chiller"):
        yield Handle(
            "water", "water", "of the chiller", _switched(settled.water),
            _switch("water", settled.water),
        )  # fmt: skip
    for loose, end in zip(net.loose, settled.ends, strict=True):
        choices = tuple(
            Choice(_end_said(each), each == end, f"hose_ends.{loose.name}={each}")
            for each in (*loose.targets, "capped")
        )
        yield Handle(loose.name, "hose", "hose, its end moved by hand", _end_said(end), choices)


def _switch(key: str, on: bool) -> tuple[Choice, ...]:
    return Choice("on", on, f"{key}=on"), Choice("off", not on, f"{key}=off")


def _switched(on: bool) -> str:
    return "on" if on else "off"


def _said(valve: "Valve", position: str) -> str:
    """Return a position as a person says it."""
    words = {"between": "half-way", "all": "all three", "through": "through"}
    if valve.ways and position not in (*words, "off"):
        return f"to {position}"
    return words.get(position, position)


def _end_said(end: str) -> str:
    words = {"floor": "on the floor", "over rim": "over the rim", "capped": "capped"}
    return words.get(end, f"at {end}")


def gathered_findings(
    stand: Stand, system: System = "metric"
) -> list[tuple[str, str, str, str, str]]:
    """The findings as gravity, head, text, act and the check's code; like ones are one."""
    from wortline.pictures.pipe_map_words import gathered

    pipes = stand.pipes
    view = View(pipes.network, stand.settled, stand.known, pipes.limits, stand.goal)
    return [
        (severity, head, retold(text, system), retold(act, system), code)
        for severity, head, text, act, code in gathered(audited(view))
    ]
