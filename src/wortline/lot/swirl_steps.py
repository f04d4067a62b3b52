"""What to count while the wort turns and rests, and where to stop drawing it."""

from collections.abc import Iterator
from typing import Any

from wortline.lot.day import Ask, Due, Step
from wortline.lot.scene import Report, Scene

FIRST_JUG = "The first jug is cloudy: keep it apart."
STOP_DRAWING = "Slow down near the end and stop at the draw-off line"
"""Both are said on the printed sheet and on the deck; where the line is and what stays follow."""


def watched(scene: Scene) -> Iterator[Step]:
    """What to count and look at while the wort rests: the readings that `swirl` of a rig takes."""
    swirl = scene.report.get("whirlpool")
    if swirl is None or scene.phase.planned_min is None:
        return
    pumped = swirl["planned_pump_min"] > 0.0
    for each in swirl["turns"] if pumped else ():
        after_min, turns_per_min = each["after_min"], each["turns_per_min"]
        if turns_per_min is not None and 0.0 < after_min <= scene.phase.planned_min:
            text = f"Count the leaf again: about {scene.spoken(turns_per_min, 'turning')}."
            ask = Ask(f"turns after {after_min:.0f} min", "turning", turns_per_min)
            due = scene.after_min(after_min)
            yield scene.step(f"turns{after_min:.0f}", text, due=due, ask=ask)
    clear_min = swirl["rest_min"]
    ask = Ask("clear after", "time", clear_min, *scene.ranged("whirlpool.rest_min"))
    when = "not within an hour" if clear_min is None else f"about {clear_min:.0f} min"
    text = f"Sample at the outlet: after how many minutes is it clear? By the plan {when}."
    due_min = min(scene.phase.planned_min, clear_min or scene.phase.planned_min)
    yield scene.step("clear", text, due=scene.after_min(due_min), ask=ask)


def drawn(scene: Scene, due: Due | None = None) -> Iterator[Step]:
    """How to draw from the side, and where to stop."""
    swirl = scene.report.get("whirlpool")
    if swirl is None or swirl["draw_off_mark_cm"] is None:
        return
    left_l = swirl["left_cold_l"]
    mark = f"mark {scene.spoken(swirl['draw_off_mark_cm'] / 100.0, 'length')}"
    left = f"{scene.spoken(left_l, 'volume')} cold"
    text = f"{FIRST_JUG} {STOP_DRAWING}, {mark}: {left} stay with the trub. {parted(scene)}"
    ask = Ask("left with the trub", "volume", left_l, *scene.ranged("whirlpool.left_cold_l"))
    yield scene.step("drawn", text, due=due, ask=ask)


def parted(scene: Any) -> str:
    """What the ledger counts as not reached: in the kettle, and in the line."""
    rows = scene.rows
    held_l = sum(rows[name]["cold_l"] for name in ("hops_hold", "left_behind") if name in rows)
    line_l = rows["hold_up"]["cold_l"] if "hold_up" in rows else 0.0
    kettle, line = scene.spoken(held_l, "volume"), scene.spoken(line_l, "volume")
    return f"The ledger counts {kettle} cold in the kettle and {line} cold in the line."


def draws_as_it_chills(report: Report) -> bool:
    """Whether the chill is one pass: the wort is in the fermenter when it ends."""
    after = (each for each in report["timeline"] if each["phase"] == "transfer")
    return any(each["end_min"] == each["start_min"] for each in after)
