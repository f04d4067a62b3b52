"""The day as steps to tick off: a clock, what can hurt, and what to do."""

from collections.abc import Callable, Iterable, Iterator
from functools import partial

from wortline.app.chill_words import way_words
from wortline.app.drawing_off import circulated_min, drawn, emptied, passing
from wortline.app.step_scene import BLANK, MEASURED, Report, Say, Scene, Step, Timed, clock
from wortline.lot.steps import MOMENT_MIN, unmarked
from wortline.lot.swirl_steps import draws_as_it_chills
from wortline.plan.cautions import OF_TURNS
from wortline.units import glued, retold

TURNED = {
    "sanitise-loop": "Sanitise the chiller with hot wort:",
    "chill-and-transfer": "Go on in one pass, into the fermenter:",
}
TOO_HOT_FOR_YEAST_C = 35.0
"""Wort that leaves the chill hotter than this has to wait for its yeast (common practice)."""


def steps(report: Report, spoken: Say, system: str = "metric") -> Iterator[Step]:
    """Every phase of the timeline, with heat-off and the doses as steps of their own."""
    rows = {row["step"]: row for row in report["ledger"]}
    waiting = [dose for dose in report["bitterness"]["doses"] if dose["id"] != "malt"]
    seen: dict[str, int] = {}
    stood: Report | None = None
    for phase in report["timeline"]:
        name = phase["phase"]
        seen[name] = seen.get(name, 0) + 1
        scene = Scene(report, rows, phase, seen[name], spoken)
        if phase["end_min"] is None:
            yield Step("?", tuple(phase["cautions"]), (f"{NEVER[name]}: never on this rig.",))
            break
        if seen.get("boil") and name != "boil" and "heat-off" not in seen:
            seen["heat-off"] = 1
            yield Step(clock(phase["start_min"]), (), tuple(_heat_off(scene)))
            yield from _steps_of(_dosed(waiting, spoken, partial(_at_heat_off, phase)))
        acts = (*_lined_up(phase, stood, system), *ACTS[name](scene))
        stood = phase.get("lineup")
        at_once = [turn for turn in phase.get("turns", ()) if _is_at_once(turn, phase)]
        said = dict.fromkeys((*phase["cautions"], *_of_turns(at_once), *unmarked(report, name)))
        yield Step(clock(phase["start_min"]), tuple(said), acts)
        # At one moment handles are turned first, and a dose goes in before the kettle is empty.
        yield from _steps_of(
            [
                *_turned(phase, system),
                *_pumped_later(scene, system),
                *passing(scene),
                *_dosed(waiting, spoken, partial(_during, phase)),
                *emptied(scene),
            ]
        )
    for dose in waiting:
        dry = dose["moment"] == "dry hop"
        yield Step("later" if dry else "never", (), (_dose(dose, spoken),))


def _steps_of(timed: Iterable[Timed]) -> Iterator[Step]:
    """Steps in the order of their moments."""
    yield from (step for _, step in sorted(timed, key=lambda each: each[0]))


def _lined_up(phase: Report, stood: Report | None, system: str) -> Iterator[str]:
    """The acts of the hand at the start of a phase, and how everything stands if it is new."""
    stand = phase.get("lineup")
    if stand is None:
        return
    yield from (_turn(turn, system) for turn in phase["turns"] if _is_at_once(turn, phase))
    if stand == stood or phase.get("stand_min"):
        return
    yield _handles(stand)


def _handles(stand: Report) -> str:
    """How everything stands."""
    said = [glued(f"{name} {position}") for name, position in stand["handles"].items()]
    said += [glued(f"end of {name} at {end}") for name, end in stand["hose_ends"].items()]
    said += [glued(f"pump {stand['pump']}"), glued(f"water {stand['water']}")]
    return f"Handles: {', '.join(said)}."


def _turned(phase: Report, system: str) -> Iterator[Timed]:
    """The acts of the hand later in a phase, those of one minute in one step."""
    if phase.get("stand_min"):
        return
    later: dict[float, list[Report]] = {}
    for turn in phase.get("turns", ()):
        if not _is_at_once(turn, phase):
            later.setdefault(turn["at_min"], []).append(turn)
    for at_min, turns in later.items():
        why = TURNED.get(turns[0]["for"], "The chiller has its mark:")
        acts = (why, *(_turn(turn, system) for turn in turns))
        yield at_min, Step(clock(at_min), _of_turns(turns), acts)


def _is_at_once(turn: Report, phase: Report) -> bool:
    return bool(turn["at_min"] <= phase["start_min"] + MOMENT_MIN)


def _of_turns(turns: Iterable[Report]) -> tuple[str, ...]:
    """What to say before these acts of the hand."""
    return tuple(dict.fromkeys(OF_TURNS[turn["for"]] for turn in turns if turn["for"] in OF_TURNS))


def _turn(turn: Report, system: str) -> str:
    first = " ".join(turn["first"])
    return retold(f"{turn['text']} (First: {first})" if first else str(turn["text"]), system)


def _dose(dose: Report, spoken: Say) -> str:
    held = "free" if dose["held"] == "free" else f"in {dose['held']}"
    at = dose["at"]
    before = " before heat-off" if dose["moment"] == "boil" and "before" not in at else ""
    mass = spoken(dose["mass_kg"], "mass")
    return f"{dose['id']}: {mass} {dose['name']}, {held} ({at}{before})."


def _dosed(
    waiting: list[Report], spoken: Say, is_due: Callable[[Report], bool]
) -> Iterator[Timed]:
    """The doses that are due, in the order of their moments; they wait no longer."""
    due = [dose for dose in waiting if dose["in_min"] is not None and is_due(dose)]
    for dose in sorted(due, key=lambda dose: float(dose["in_min"])):
        waiting.remove(dose)
        yield float(dose["in_min"]), Step(clock(dose["in_min"]), (), (_dose(dose, spoken),))


def _at_heat_off(phase: Report, dose: Report) -> bool:
    at_once = abs(float(dose["in_min"]) - float(phase["start_min"])) <= MOMENT_MIN
    # An instant chill is below any temperature in no time, but not before it has begun.
    return at_once and dose["moment"] != "below"


def _during(phase: Report, dose: Report) -> bool:
    """Whether a dose falls into a phase; the chill takes what comes at its end."""
    in_min, start_min, end_min = dose["in_min"], phase["start_min"], phase["end_min"]
    last_min = end_min + MOMENT_MIN if phase["phase"] == "chill" else end_min - MOMENT_MIN
    return bool(start_min - MOMENT_MIN <= in_min <= last_min)


def _fill(scene: Scene) -> list[str]:
    step = "first_water" if "first_water" in scene.rows else "water"
    acts = [
        f"Fill {scene.cold(step)} ({scene.mark(step)}) from the tap at {scene.temp('start_c')}."
        f" {MEASURED}"
    ]
    if "sparge" in scene.rows:
        acts.append(
            f"In another pot: {scene.cold('sparge')} to rinse the grain with. Have it at"
            f" {scene.row_temp('sparge')} when the mash ends."
        )
    return acts


def _heat(scene: Scene) -> list[str]:
    if scene.turn == 1:
        return [
            f"Heat the strike water to {scene.temp('end_c')}, about {scene.minutes}. {MEASURED}"
        ]
    moving = "pump running" if scene.report["has_pump"] else "stirring all the time"
    return [f"Heat the mash to {scene.temp('end_c')}, about {scene.minutes}, {moving}."]


def _mash(scene: Scene) -> list[str]:
    acts = []
    if scene.turn == 1:
        acts.append(f"Stir the grain in: {scene.hot('mash')} with grain ({scene.mark('mash')}).")
    return [*acts, f"Hold {scene.temp('start_c')} for {scene.minutes}. {MEASURED}"]


def _lift(scene: Scene) -> list[str]:
    runs_off = scene.report["mash_kind"] == "tun"
    act = "Run the wort off the grain" if runs_off else "Lift the grain out and let it drain"
    acts = [f"{act}, {scene.minutes}."]
    if "sparge" in scene.rows:
        acts.append(
            f"Rinse the grain with {scene.hot('sparge')} at {scene.row_temp('sparge')}"
            f" ({scene.cold('sparge')})."
        )
    return acts


def _to_boil(scene: Scene) -> list[str]:
    return [
        f"Cool a sample: gravity {scene.gravity('preboil_sg')} of {scene.cold('preboil')}."
        f" {MEASURED}",
        f"Heat to the boil, {scene.temp('end_c')}, about {scene.minutes}."
        f" It then stands at {scene.hot('preboil')} ({scene.mark('preboil')}). {MEASURED}",
    ]


def _boil(scene: Scene) -> list[str]:
    return [f"Boil {scene.minutes} at {scene.temp('start_c')}."]


def _heat_off(scene: Scene) -> list[str]:
    return [f"Heat off: {scene.hot('postboil')} ({scene.mark('postboil')}). {MEASURED}"]


def _whirlpool(scene: Scene) -> list[str]:
    waits_min = scene.phase.get("stand_min")
    if waits_min:
        waits = glued(f"{waits_min:.0f} min")
        on_c = _temp_c(scene.report, scene.phase["start_min"] + waits_min)
        cool = scene.spoken(on_c, "temperature")
        return [
            f"Let it stand for {waits}, to about {cool}, before the pump goes on: hotter wort may"
            f" boil in it."
        ]
    return _pumped(scene)


def _temp_c(report: Report, at_min: float) -> float | None:
    """The temperature of the line of the day that is nearest to a minute [C]."""
    line = zip(report["lines"]["time_min"], report["lines"]["temp_c"], strict=True)
    known = [each for each in line if None not in each]
    return min(known, key=lambda each: abs(each[0] - at_min))[1] if known else None


def _pumped_later(scene: Scene, system: str) -> Iterator[Timed]:
    """The pump of a whirlpool that waits for it."""
    waits_min = scene.phase.get("stand_min")
    if waits_min:
        at_min = scene.phase["start_min"] + waits_min
        turned = [_turn(turn, system) for turn in scene.phase.get("turns", ())]
        if stand := scene.phase.get("lineup"):
            turned.append(_handles(stand))
        yield at_min, Step(clock(at_min), (), (*turned, *_pumped(scene)))


def _pumped(scene: Scene) -> list[str]:
    swirl = scene.report["whirlpool"]
    waits_min = scene.phase.get("stand_min") or 0.0
    lasts_min = scene.phase["end_min"] - scene.phase["start_min"] - waits_min
    acts = [f"Pump on for {glued(f'{lasts_min:.0f} min')}."]
    if swirl is not None and swirl["turns_per_min"] is not None:
        acts.append(
            "As you switch it off, count how often a floating leaf goes round:"
            f" {_about(swirl['turns_per_min'])}. Counted: {BLANK}"
        )
    return acts


def _about(turns_per_min: float) -> str:
    shown = f"{turns_per_min:.0f}"
    if shown == "0":
        return f"less than {glued('1 turn a minute')}"
    turns = glued(f"{shown} {'turn' if shown == '1' else 'turns'} a minute")
    return f"about {turns}"


def _watched(scene: Scene) -> list[str]:
    """What to count and look at while the wort rests."""
    swirl = scene.report["whirlpool"]
    if swirl is None:
        return []
    rest_min = scene.phase["end_min"] - scene.phase["start_min"]
    pumped = swirl["planned_pump_min"] > 0.0
    later = [each for each in swirl["turns"] if pumped and 0.0 < each["after_min"] <= rest_min]
    acts = [
        f"{each['after_min']:.0f} min in: {_about(each['turns_per_min'])}. Counted: {BLANK}"
        for each in later
        if each["turns_per_min"] is not None
    ]
    clear_min = swirl["rest_min"]
    when = "not within an hour, by the plan" if clear_min is None else f"about {clear_min:.0f} min"
    if clear_min is not None and clear_min > rest_min + 0.5:
        when += ", later than this rest lasts"
    return [*acts, f"Sample at the outlet, clear after: {when}. {MEASURED}"]


def _rest(scene: Scene) -> list[str]:
    whirled = any(phase["phase"] == "whirlpool" for phase in scene.report["timeline"])
    # with a line-up, switching the pump off is an act of its own just before
    off = "Pump off. " if whirled and not scene.phase.get("lineup") else ""
    end = f"It ends at about {scene.temp('end_c')}. {MEASURED}"
    return [f"{off}Rest {scene.minutes}.", *_watched(scene), end]


def _chill(scene: Scene) -> list[str]:
    how = "at once" if scene.phase["end_min"] == scene.phase["start_min"] else scene.minutes
    one_pass = draws_as_it_chills(scene.report) and not circulated_min(scene)
    return [
        f"Chill from {scene.temp('start_c')} to {scene.temp('end_c')}, {how}. {MEASURED}",
        *_chill_ways(scene),
        *(drawn(scene)[:1] if one_pass else ()),
    ]


def _chill_ways(scene: Scene) -> Iterator[str]:
    """The way of the recipe, and the least bad where that is another."""
    told = scene.report["chill"]
    named = {(way["chiller"], way["how"]): way for way in told["ways"]}
    keys = [each and (each["chiller"], each["how"]) for each in (told["chosen"], told["best"])]
    for lead, key in zip(("", "Least bad for this tap: "), dict.fromkeys(keys), strict=False):
        if key in named:
            words = way_words(named[key], scene.spoken)
            yield lead + (words[0].lower() + words[1:] if lead else words)


def _transfer(scene: Scene) -> list[str]:
    # One pass has brought it there already.
    passed = scene.phase["end_min"] == scene.phase["start_min"]
    act = f"In the fermenter: {scene.cold('fermenter')}."
    if not passed:
        act = f"Transfer {scene.cold('fermenter')} into the fermenter, {scene.minutes}."
    return [
        *(() if passed else (" ".join(drawn(scene)),) if drawn(scene) else ()),
        f"{act} {glued(f'Volume: {BLANK}')}",
        f"Original gravity {scene.gravity('original_sg')} (cooled sample). {MEASURED}",
    ]


def _pitch(scene: Scene) -> list[str]:
    pitch = f"Aerate and pitch {scene.report['yeast']}"
    if scene.phase["end_c"] is not None and scene.phase["end_c"] > TOO_HOT_FOR_YEAST_C:
        return [
            f"Close the fermenter: {scene.temp('end_c')} is too hot for yeast.",
            f"{pitch} when it has cooled to what the yeast likes.",
        ]
    return [f"{pitch} at {scene.temp('end_c')}."]


ACTS: dict[str, Callable[[Scene], list[str]]] = {
    "fill": _fill,
    "heat": _heat,
    "mash": _mash,
    "lift": _lift,
    "to_boil": _to_boil,
    "boil": _boil,
    "whirlpool": _whirlpool,
    "rest": _rest,
    "chill": _chill,
    "transfer": _transfer,
    "pitch": _pitch,
}
NEVER = dict.fromkeys(ACTS, "The end of this phase") | {
    "heat": "The temperature of the mash",
    "to_boil": "The boil",
}
