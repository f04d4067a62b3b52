"""Drawing the wort off: the cloudy first jug, where one pass begins, and where to stop."""

from collections.abc import Iterator

from wortline.app.step_scene import MEASURED, Scene, Step, Timed, clock
from wortline.lot.swirl_steps import FIRST_JUG, STOP_DRAWING, draws_as_it_chills
from wortline.plan.cautions import PASS_CAUTION
from wortline.units import glued

PASS = "Go on in one pass, into the fermenter."


def drawn(scene: Scene) -> list[str]:
    """How to draw from the side, and where to stop."""
    swirl = scene.report["whirlpool"]
    if swirl is None or swirl["draw_off_mark_cm"] is None:
        return []
    left = glued(f"{scene.spoken(swirl['left_cold_l'], 'volume')} cold")
    mark = glued(f"mark {scene.spoken(swirl['draw_off_mark_cm'] / 100.0, 'length')}")
    return [
        FIRST_JUG,
        f"{STOP_DRAWING}, {mark}: {left} stay with the trub. {MEASURED}",
    ]


def passing(scene: Scene) -> Iterator[Timed]:
    """Where a chill in two stages begins to draw; the pipes of a rig that tells them say it too."""
    after_min = circulated_min(scene)
    if scene.phase["phase"] != "chill" or not after_min or not draws_as_it_chills(scene.report):
        return
    at_min = scene.phase["start_min"] + after_min
    piped = any(turn["for"] == "chill-and-transfer" for turn in scene.phase.get("turns", ()))
    acts = (*(() if piped else (PASS,)), *drawn(scene)[:1])
    if acts:
        yield at_min, Step(clock(at_min), () if piped else (PASS_CAUTION,), acts)


def circulated_min(scene: Scene) -> float | None:
    """How long the planned chill circulates before it draws; None if it never does."""
    told = scene.report["chill"]
    chosen = told["chosen"] and (told["chosen"]["chiller"], told["chosen"]["how"])
    found = (each for each in told["ways"] if (each["chiller"], each["how"]) == chosen)
    circulates_min: float | None = next((each["circulate_min"] for each in found), None)
    return circulates_min


def emptied(scene: Scene) -> Iterator[Timed]:
    """Where to stop drawing, when the chill itself draws."""
    if scene.phase["phase"] == "chill" and draws_as_it_chills(scene.report):
        end_min = scene.phase["end_min"]
        yield from ((end_min, Step(clock(end_min), (), (act,))) for act in drawn(scene)[1:])
