"""The sheet of the day: what to weigh, what to do in order, blanks for what is measured."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass, replace
from functools import partial
from typing import Any

from wortline.app.comparing import figures
from wortline.app.planning import Planned
from wortline.app.step_scene import BLANK
from wortline.app.steps import steps
from wortline.units import GLUE, glued, say

Report = Mapping[str, Any]
_BLANK = re.compile(rf"\s*\b(Measured|Volume|Counted):{GLUE}? ?{BLANK}\.?$")
# A dose is told by its own number; everything else is an act.
_DOSE = re.compile(r"d\d+: ")
_HANDLES = "Handles: "


@dataclass(frozen=True)
class Act:
    """One thing to do: the words, what to write beside it, and whether it is a dose."""

    text: str
    blank: str = ""
    kind: str = "act"


@dataclass(frozen=True)
class SheetStep:
    """A moment of the day: the cautions before it, then its acts."""

    clock: str
    cautions: tuple[str, ...]
    acts: tuple[Act, ...]


@dataclass(frozen=True)
class LineUpPicture:
    """How the pipes stand from a moment on."""

    caption: str
    words: str
    svg: str


@dataclass(frozen=True)
class DaySheet:
    """Everything on the paper, as plain texts."""

    title: str
    where: str
    fits: bool
    cants: tuple[str, ...]
    numbers: tuple[tuple[str, str], ...]
    weigh: tuple[tuple[str, str], ...]
    steps: tuple[SheetStep, ...]
    line_ups: tuple[LineUpPicture, ...] = ()

    @property
    def rows(self) -> int:
        """How many cautions and acts the day has: by these a page chooses its letters."""
        return sum(len(step.cautions) + len(step.acts) for step in self.steps)

    def values(self) -> dict[str, Any]:
        """The same as plain values."""
        return asdict(self)


def day_sheet(planned: Planned, system: str = "metric", pictures: bool = True) -> DaySheet:
    """Return the sheet of a planned day."""
    report = planned.report

    def spoken(value: float | None, kind: str, **how: Any) -> str:
        return "unknown" if value is None else glued(say(value, kind, system, **how))

    on_day = f", {report['day']}" if report["day"] else ""
    return DaySheet(
        title=report["name"],
        where=f"on {report['rig']}{on_day}",
        fits=report["fits"],
        cants=tuple(
            f"{cant['text']} Nearest that works: {cant['nearest']['text']}"
            for cant in report["cant"]
        ),
        numbers=tuple(
            (each.title, f"{each.text}" + (f" ({each.range})" if each.range else ""))
            for each in figures(report, system)
            if not each.key.startswith("whirlpool.")
        ),
        weigh=tuple(_weigh(report, partial(say, system=system))),
        steps=tuple(_steps(report, spoken, system)),
        line_ups=tuple(_line_ups(planned)) if pictures else (),
    )


def _weigh(report: Report, spoken: Any) -> Iterator[tuple[str, str]]:
    def mass(each: Report) -> str:
        if each["mass_kg"] is None:
            return "unknown"
        # Under 10 g a whole gram is too coarse.
        fine = {"digits": 2} if each["mass_kg"] < 0.01 else {}
        return str(spoken(each["mass_kg"], "mass", **fine))

    for malt in report["grist"]:
        yield mass(malt), malt["name"]
    for dose in report["bitterness"]["doses"]:
        if dose["id"] != "malt":
            held = "" if dose["held"] == "free" else f", in {dose['held']}"
            alpha = f"{100 * dose['alpha_fraction']:.1f} % alpha now"
            yield mass(dose), f"{dose['id']} {dose['name']}, {dose['form']}, {alpha}{held}"
    yield "", f"yeast: {report['yeast']}"


def _steps(report: Any, spoken: Any, system: str) -> Iterator[SheetStep]:
    for step in steps(report, spoken, system):
        yield SheetStep(step.clock, step.cautions, tuple(_act(each) for each in step.acts))


def _act(text: str) -> Act:
    found = _BLANK.search(text)
    blank = found[1] if found else ""
    if found:
        text = text[: found.start()]
    if _DOSE.match(text):
        kind = "dose"
    elif text.startswith(_HANDLES):
        kind = "handles"
    else:
        # What ends in a colon says what the acts below it are for.
        kind = "lead" if text.endswith(":") else "act"
    return Act(text.strip(), blank, kind)


def _line_ups(planned: Planned) -> Iterator[LineUpPicture]:
    """Each way the pipes stand, drawn once, with the phases that it serves."""
    plan, report = planned.plan, planned.report
    if not plan.stands or plan.piping is None:
        return
    from wortline.pictures.pipe_map import small_pipe_map
    from wortline.pipes.audit import audited
    from wortline.pipes.state import Conditions
    from wortline.pipes.view import View

    shown: dict[Any, list[int]] = {}
    for place, stand in enumerate(plan.stands):
        shown.setdefault(stand.setting, []).append(place)
    air = plan.day.brew.air
    for number, (setting, places) in enumerate(shown.items()):
        phase = report["timeline"][places[0]]
        wort_c = phase["start_c"] if phase["start_c"] is not None else float(air.tap_c)
        known = Conditions(wort_c, float(air.tap_c), 0.25, float(air.pressure_kpa))
        view = View(plan.piping.network, setting, known, plan.piping.limits)
        # The verdict is on the screen; on paper the picture only shows how to turn the handles.
        verdict = replace(audited(view), verdict="pass", findings=())
        names = dict.fromkeys(
            str(report["timeline"][place]["phase"]).replace("_", " ") for place in places
        )
        from_min = round(phase["start_min"])
        caption = f"From {from_min // 60}:{from_min % 60:02d}: {', '.join(names)}"
        stand = phase["lineup"]
        words = ", ".join(
            [
                *(f"{name} {position}" for name, position in stand["handles"].items()),
                *(f"end of {name} at {end}" for name, end in stand["hose_ends"].items()),
                f"pump {stand['pump']}",
                f"water {stand['water']}",
            ]
        )
        svg = small_pipe_map(view, verdict, str(report["rig"]), prefix=f"pipes-{number}-")
        yield LineUpPicture(caption, words, svg)
