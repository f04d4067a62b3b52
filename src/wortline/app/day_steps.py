"""The hot side of the day step by step: every line-up, and every act between two of them."""

from dataclasses import dataclass
from functools import lru_cache

from wortline.app.files import File
from wortline.app.handles import pipes_in, words_of
from wortline.app.piping import Pipes, known_of
from wortline.pipes.day import Phase, for_transfer, phases
from wortline.pipes.state import Conditions, Setting
from wortline.pipes.view import View

NAMES = {
    "mash-recirculate": "Recirculate the mash",
    "whirlpool": "Whirlpool",
    "rest": "Rest",
    "sanitise-loop": "Hot wort through the chiller",
    "chill-circulate": "Chill, circulating",
    "chill-and-transfer": "Chill into the fermenter",
    "transfer": "Transfer",
    "drain": "Drain the line",
    "back-flush": "Back-flush",
}


@dataclass(frozen=True)
class Step:
    """One step: an act that leads to the next line-up, or the line-up itself.

    `caution` says what scalds at the act, and `first` has to be true before it. `words` says how
    everything stands after it, `taken` what the step takes as given beside that, and `told` the
    same in a sentence.
    """

    phase: str
    name: str
    text: str
    first: tuple[str, ...]
    is_line_up: bool
    words: dict[str, str]
    taken: dict[str, str]
    told: str
    caution: str = ""


def day_steps(rig_file: File, day_file: File | None, typed: dict[str, str]) -> tuple[Step, ...]:
    """Return the day's steps for a rig; what is typed of the day counts, not of the handles."""
    return _steps(rig_file, day_file, tuple(sorted(typed.items())))


@lru_cache(maxsize=32)
def _steps(
    rig_file: File, day_file: File | None, typed: tuple[tuple[str, str], ...]
) -> tuple[Step, ...]:
    pipes = pipes_in(rig_file, day_file)
    known = known_of(pipes, None, dict(typed))
    found: list[Step] = []
    for phase in phases(pipes.network, known, pipes.limits):
        found += _of(pipes, known, phase)
    return tuple(found)


def _of(pipes: Pipes, known: Conditions, phase: Phase) -> list[Step]:
    taken, told = _taken(pipes, known, phase)
    name = NAMES.get(phase.route, phase.route.replace("-", " ").capitalize())
    moves = phase.change.moves if phase.change and phase.change.found else ()

    def step(
        text: str, first: tuple[str, ...], is_line_up: bool, setting: Setting, caution: str = ""
    ) -> Step:
        there = is_line_up or setting == phase.line_up.setting
        return Step(
            phase.route, name, text, first, is_line_up, words_of(pipes, setting),
            taken if there else {}, told if there else "", caution,
        )  # fmt: skip

    text = f"The wort goes: {', '.join(phase.line_up.path)}." if phase.line_up.path else (
        "No wort moves."
    )  # fmt: skip
    if phase.change and not phase.change.found:
        text = f"No safe order of single acts leads here. {text}"
    return [
        *(step(move.text, move.first, False, move.after, move.caution) for move in moves),
        step(text, (), True, phase.line_up.setting),
    ]


def _taken(pipes: Pipes, known: Conditions, phase: Phase) -> tuple[dict[str, str], str]:
    """What has to be true by this line-up, and is taken as true to judge it."""
    taken: dict[str, str] = {}
    said: list[str] = []
    there = for_transfer(known, pipes.network, phase.route, pipes.limits)
    view = View(pipes.network, phase.line_up.setting, there, pipes.limits)
    usual = any(each.startswith("wort at") for each in known.assumed)
    if usual and view.into("fermenter") and not view.passed:
        # Nothing on the way cools it: it is chilled in the kettle before.
        taken["wort"] = f"{view.fermenter_c:g} C"
        said.append(f"the wort in the kettle is at {view.fermenter_c:g} C or below")
    elif there.outlet_c is not None and known.outlet_c is None:
        taken["outlet"] = f"{there.outlet_c:g} C"
        said.append(f"wort leaves the chiller at {there.outlet_c:g} C or below")
    needs = phase.change.needs if phase.change else ()
    if any(each.code == "B1" for each in needs) and not known.clean:
        taken["clean"] = "all=heat"
        said.append("hot wort has sanitised every part it runs through")
    return taken, f"Taken as done by then: {', and '.join(said)}." if said else ""
