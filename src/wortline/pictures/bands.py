"""Phases as labelled bands, and doses as flags dropping into the day."""

from __future__ import annotations

from dataclasses import dataclass, replace

from wortline.pictures.frame import Frame
from wortline.pictures.labels import Flag, flags, shortened, text_width
from wortline.pictures.reading import Day, Dose, Phase
from wortline.pictures.scale import clock
from wortline.pictures.svg import (
    ACCENT,
    BAND,
    GREY,
    GROUND,
    INK,
    RULE,
    WARM,
    element,
    escape,
    line,
    polygon,
    rect,
)

AFTER_HEAT = ("whirlpool", "rest", "chill")


def spoken(phase: str) -> str:
    """Name of a phase as a person says it."""
    return phase.replace("_", " ")


def hint(words: str) -> str:
    """What a pointer resting on a shape is told."""
    return element("title", escape(words))


def phase_band(frame: Frame, day: Day, top: float) -> float:
    """Draw the band of phases with its labels above where they do not fit in; return its foot."""
    size, high = frame.small, 24.0 if not frame.narrow else 20.0
    if not cautions_marked(day):
        day = replace(day, phases=tuple(replace(phase, cautions=0) for phase in day.phases))
    inside: list[Phase] = []
    above: list[Phase] = []
    for phase in day.phases:
        room = frame.scale.x(phase.end_min) - frame.scale.x(phase.start_min)
        (inside if _need(phase, size) <= room else above).append(phase)
    placed = _phase_flags(frame, above, size, 4 if frame.narrow else 5)
    rows = max((flag.row for _, flag in placed), default=-1) + 1
    band = top + rows * (size + 4) + (6 if rows else 0)
    foot = band + high
    for place, phase in enumerate(day.phases):
        _phase(frame, phase, place, band, foot)
    for phase in inside:
        middle = (frame.scale.x(phase.start_min) + frame.scale.x(phase.end_min)) / 2
        _phase_words(frame, phase, middle - _need(phase, size) / 2 + 4, foot - high * 0.3, size)
    for phase, flag in placed:
        low = band - 6 - flag.row * (size + 4)
        frame.add(line(flag.pole, low - size * 0.7, flag.pole, band, GREY, 0.8))
        _phase_words(frame, phase, flag.left + 5, low, size)
    return foot


def fact_band(frame: Frame, day: Day, top: float) -> float:
    """Draw what the phases were under what was planned; return its foot, `top` without facts."""
    if not day.facts:
        return top
    size = frame.small
    band, foot = top + size + 4, top + size + 4 + (14.0 if frame.narrow else 17.0)
    frame.say(frame.left, band - 3, "as it was", size, fill=GREY, kind="fact-label")
    for place, phase in enumerate(day.facts):
        _phase(frame, phase, place, band, foot, "fact")
        x1, x2 = frame.scale.x(phase.start_min), frame.scale.x(phase.end_min)
        name = spoken(phase.name)
        if text_width(name, size) + 6 <= x2 - x1:
            frame.say(x1 + 3, foot - 4, name, size, kind="fact-name")
    return foot


def cautions_marked(day: Day) -> bool:
    """Whether each caution has its mark; marks on most steps would say nothing."""
    return 2 * sum(phase.cautions > 0 for phase in day.phases) <= len(day.phases)


def _need(phase: Phase, size: float) -> float:
    return text_width(spoken(phase.name), size) + (size if phase.cautions else 0.0) + 8


def _phase_flags(
    frame: Frame, phases: list[Phase], size: float, rows: int
) -> list[tuple[Phase, Flag]]:
    """Flags for the phases that find room; the shortest without a caution give way first."""
    left = list(phases)
    while left:
        poles = [
            (frame.scale.x(p.start_min) + frame.scale.x(p.end_min)) / 2 for p in left
        ]
        placed = flags(poles, [_need(p, size) for p in left], frame.edge, frame.width - 4, rows)
        if placed is not None:
            return list(zip(left, placed, strict=True))
        left.remove(min(left, key=lambda p: (p.cautions > 0, p.end_min - p.start_min)))
    return []


def _phase(
    frame: Frame, phase: Phase, place: int, top: float, foot: float, kind: str = "phase"
) -> None:
    x1, x2 = frame.scale.x(phase.start_min), frame.scale.x(phase.end_min)
    fill = WARM if phase.name in AFTER_HEAT else (BAND if place % 2 else GROUND)
    words = f"{spoken(phase.name)}, {clock(phase.start_min)} to {clock(phase.end_min)}"
    frame.add(
        element(
            "rect", hint(words), x=x1, y=top, width=max(x2 - x1, 0.5), height=foot - top,
            fill=fill, stroke=INK, stroke_width=0.8, class_=kind,
        )
    )


def _phase_words(frame: Frame, phase: Phase, x: float, y: float, size: float) -> None:
    box = frame.say(x, y, spoken(phase.name), size, kind="phase-name")
    if phase.cautions:
        left = box.right + 2
        frame.add(caution_mark(left, y, size))


def caution_mark(left: float, baseline: float, size: float) -> str:
    """A small warning triangle standing on the baseline."""
    tip = left + size * 0.4
    return polygon(
        [(left, baseline), (tip, baseline - size * 0.72), (left + size * 0.8, baseline)], ACCENT
    )


@dataclass(frozen=True)
class Drop:
    """Doses under one flag: those that go in together, or too near to be told apart."""

    x: float
    doses: tuple[Dose, ...]

    @property
    def moments(self) -> list[float]:
        """Minutes at which its doses go in, each once, the first one first."""
        return sorted({dose.in_min for dose in self.doses if dose.in_min is not None})

    def words(self, detail: int) -> str:
        """Words for the flag: 2 all, 1 without the moment, 0 the codes alone."""
        if detail == 0 or len(self.doses) > 3:
            codes = codes_in_words([dose.id for dose in self.doses])
            return f"{codes}, {len(self.doses)} doses" if detail else codes
        named = ", ".join(f"{dose.id} {dose.name}".strip() for dose in self.doses)
        moments = {dose.at for dose in self.doses if dose.at}
        return f"{named}, {moments.pop()}" if detail == 2 and len(moments) == 1 else named


def codes_in_words(codes: list[str]) -> str:
    """Codes of doses, a run of neighbours as first and last."""
    first = codes[0].removeprefix("d")
    start = int(first) if first.isdecimal() else 0
    if len(codes) > 2 and codes == [f"d{start + place}" for place in range(len(codes))]:
        return f"{codes[0]}–{codes[-1]}"
    if len(codes) > 3:
        return f"{codes[0]}, {codes[1]} and {len(codes) - 2} more"
    return ", ".join(codes)


def drops_of(frame: Frame, day: Day) -> list[Drop]:
    """Doses of the hot day, those too near to tell apart taken together."""
    start, end = day.span_min
    timed = [(d.in_min, d) for d in day.doses if d.in_min is not None and start <= d.in_min <= end]
    drops: list[Drop] = []
    for in_min, dose in sorted(timed, key=lambda pair: pair[0]):
        x = frame.scale.x(in_min)
        if drops and x - drops[-1].x < 6.0:
            drops[-1] = Drop(drops[-1].x, (*drops[-1].doses, dose))
        else:
            drops.append(Drop(x, (dose,)))
    return drops


def dose_flags(
    frame: Frame, day: Day, top: float
) -> tuple[float, list[tuple[Drop, str, Flag]]]:
    """Find room for the flags of the doses; return where the panel below starts, and them."""
    drops = drops_of(frame, day)
    rows = 6 if frame.narrow else 7
    for detail in (2, 1, 0):
        placed = _placed(frame, drops, detail, rows)
        if placed is not None:
            break
    while placed is None:
        drops = _closest_joined(drops)
        placed = _placed(frame, drops, 0, rows)
    used = max((flag.row for *_, flag in placed), default=-1) + 1
    return top + used * (frame.small + 5) + 8, placed


def _placed(
    frame: Frame, drops: list[Drop], detail: int, rows: int
) -> list[tuple[Drop, str, Flag]] | None:
    size, right = frame.small, frame.width - 4
    room = (right - frame.left) * (0.9 if len(drops) == 1 else 0.6)
    words = [shortened(drop.words(detail), size, room) for drop in drops]
    widths = [text_width(one, size) + 8 for one in words]
    placed = flags([d.x for d in drops], widths, 2.0, right, rows, centred=detail == 0)
    return None if placed is None else list(zip(drops, words, placed, strict=True))


def _closest_joined(drops: list[Drop]) -> list[Drop]:
    if len(drops) < 2:
        raise ValueError("the picture is too narrow for a single flag")
    at = min(range(len(drops) - 1), key=lambda i: drops[i + 1].x - drops[i].x)
    one = Drop(drops[at].x, drops[at].doses + drops[at + 1].doses)
    return [*drops[:at], one, *drops[at + 2 :]]


def draw_flags(
    frame: Frame, placed: list[tuple[Drop, str, Flag]], foot: float, landing: dict[float, float]
) -> None:
    """Draw flags above `foot` and their poles down to where the doses land."""
    for _, words, flag in placed:
        low = foot - 8 - flag.row * (frame.small + 5)
        beside = flag.left > flag.pole - 3 or flag.right < flag.pole + 3
        top = low - frame.small * 0.8 if beside else low + 4
        frame.add(line(flag.pole, top, flag.pole, landing.get(flag.pole, foot + 20), INK, 0.8))
        frame.say(flag.left + 4, low, words, frame.small, kind="dose-name")


def drop_mark(drop: Drop, x: float, y: float) -> str:
    """A drop falling into the curve."""
    told = "; ".join(f"{dose.id} {dose.name}, {dose.at}" for dose in drop.doses[:12])
    return element(
        "path", hint(told), d=drop_path(x, y), fill=ACCENT, stroke=GROUND, stroke_width=1.0,
        class_="drop",
    )


def drop_path(x: float, y: float) -> str:
    """Outline of a drop whose foot touches the curve."""
    return (
        f"M{x:.2f},{y - 11:.2f} C{x + 1.5:.2f},{y - 7:.2f} {x + 5:.2f},{y - 4:.2f} "
        f"{x + 5:.2f},{y:.2f} A5,5 0 0 1 {x - 5:.2f},{y:.2f} "
        f"C{x - 5:.2f},{y - 4:.2f} {x - 1.5:.2f},{y - 7:.2f} {x:.2f},{y - 11:.2f} Z"
    )


def phase_rules(frame: Frame, day: Day, top: float, foot: float) -> None:
    """Light ground under the time after heat-off, and thin rules where phases meet."""
    for phase in day.phases:
        x1, x2 = frame.scale.x(phase.start_min), frame.scale.x(phase.end_min)
        if phase.name in AFTER_HEAT and x2 > x1:
            frame.add(rect(x1, top, x2 - x1, foot - top, WARM))
    for x in sorted({round(frame.scale.x(phase.start_min), 1) for phase in day.phases}):
        frame.add(line(x, top, x, foot, RULE, 0.7))
