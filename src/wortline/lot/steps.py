"""From a plan to the steps of its day: one thing to touch each, with its target and caution."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace

from wortline.lot.day import Ask, Day, Due, Phase, Step
from wortline.lot.rig_steps import put_away, set_up
from wortline.lot.scene import Report, Scene
from wortline.lot.swirl_steps import drawn, draws_as_it_chills, watched
from wortline.lot.ways_heat import warm_yeast
from wortline.pipes.network import Network
from wortline.plan.cautions import OF_TURNS, PASS_CAUTION
from wortline.units import retold

MOMENT_MIN = 1e-6
SANITISE = "sanitise-loop"
COVERED = "fill/covered"
WORDS = {
    "fill": "Fill",
    "heat": "Heat the water",
    "mash": "Mash rest",
    "lift": "Lift the grain",
    "to_boil": "Heat to the boil",
    "boil": "Boil",
    "whirlpool": "Whirlpool",
    "rest": "Rest",
    "chill": "Chill",
    "transfer": "Transfer",
    "pitch": "Pitch",
}


def day_of(report: Report, network: Network | None, system: str = "metric") -> Day:
    """The phases and steps of a planned day, with setting up before and putting away after."""
    rows = {row["step"]: row for row in report["ledger"]}
    waiting = [dose for dose in report["bitterness"]["doses"] if dose["id"] != "malt"]
    phases, steps = set_up(network, system)
    seen: dict[str, int] = {}
    for row in report["timeline"]:
        name = row["phase"]
        seen[name] = seen.get(name, 0) + 1
        phase = _phase(report, row, seen[name])
        scene = Scene(report, rows, phase, seen[name], system)
        found = [*_turned(row, scene, network), *_dosed(waiting, row, scene), *STEPS[name](scene)]
        found = list(_counted_from_act(found))
        phases.append(phase)
        cautions = [*row["cautions"], *unmarked(report, name)]
        steps.extend(_with_cautions(_in_time(found), cautions))
    after, away = put_away(network, system, report["has_pump"])
    whole = (*steps, *away)
    return Day((*phases, *after), tuple(_in_units(step, system) for step in whole))


def unmarked(report: Report, phase: str) -> list[str]:
    """What no heat has sanitised, before wort runs through it into the fermenter."""
    first = "chill" if draws_as_it_chills(report) else "transfer"
    notes = report["notes"] if phase == first else ()
    return [note["text"] for note in notes if note["code"] == "pipes-unmarked"]


def _in_units(step: Step, system: str) -> Step:
    """A step whose sentences, some of them the pipes' own, speak the units of the lot."""
    return replace(step, text=retold(step.text, system), safety=retold(step.safety, system))


def _phase(report: Report, row: Report, turn: int) -> Phase:
    name = row["phase"]
    words = WORDS[name]
    if name == "heat" and turn > 1:
        words = "Heat the mash"
    if name == "lift" and report["mash_kind"] == "tun":
        words = "Run the wort off"
    ends = row["end_min"] is not None and row["start_min"] is not None
    return Phase(
        id=name if turn == 1 else f"{name}.{turn}",
        name=name,
        words=words,
        stage="brew",
        planned_min=row["end_min"] - row["start_min"] if ends else None,
        start_c=row["start_c"],
        end_c=row["end_c"],
        lineup=row.get("lineup"),
    )


def _in_time(steps: list[Step]) -> list[Step]:
    """Steps without a moment first, then those with one in its order, then what ends the phase."""
    early = [step for step in steps if step.due is None and not step.id.endswith("/end")]
    ends = [step for step in steps if step.due is None and step.id.endswith("/end")]
    timed = [step for step in steps if step.due is not None]
    # A dose at heat-off follows the switch.
    timed.sort(key=lambda step: (round(step.due.plus_min, 6) if step.due else 0.0, bool(step.dose)))
    return [*early, *timed, *ends]


def _counted_from_act(steps: list[Step]) -> Iterator[Step]:
    """The hot loop, the turning and the draining last from the act that begins them.

    An act that comes late takes what ends it along: 5 min of contact stay 5 min.
    """
    known = {step.id: step for step in steps}
    for step in steps:
        since = known.get(_begun_by(step, known))
        if since is None or step.due is None or step.due.edge != "begun":
            yield step
            continue
        from_min = since.due.plus_min if since.due else 0.0
        lasts_min = max(step.due.plus_min - from_min, 0.0)
        yield replace(step, due=replace(step.due, since=since.id, since_min=lasts_min))


def _begun_by(step: Step, known: Mapping[str, Step]) -> str:
    """The step whose doing starts the time that a step ends; empty if there is none."""
    name, _, slug = step.id.partition("/")
    if step.marks and slug.startswith("turn"):
        return f"{name}/turn{int(slug.removeprefix('turn')) - 1}"
    if step.id in ("whirlpool/turns", "whirlpool/end"):
        return "whirlpool/turn1" if "whirlpool/turn1" in known else "whirlpool/on"
    return "lift/out" if step.id == "lift/end" else ""


def _with_cautions(steps: list[Step], cautions: list[str]) -> Iterator[Step]:
    """On every act what the printed sheet says before it, after what the act says itself.

    What is said of hops stands on the doses; heat-off has a line of its own on the sheet, without
    the cautions of the boil.
    """
    hops = [each for each in cautions if each.startswith("Hops")]
    rest = [each for each in cautions if each not in hops]
    for step in steps:
        if step.dose:
            said = hops
        elif step.meanwhile or (step.id.startswith("boil") and step.id.endswith("/end")):
            said = []
        else:
            said = [each for each in rest if each not in step.safety]
        yield replace(step, safety=" ".join([*([step.safety] if step.safety else []), *said]))


def _turned(row: Report, scene: Scene, network: Network | None) -> Iterator[Step]:
    """The acts of the hand in a phase, those of one minute in one step.

    The act that ends the hot loop is the one by which its parts have their clean mark.
    """
    looped = False
    together: dict[float, list[Report]] = {}
    for turn in row.get("turns", ()):
        together.setdefault(turn["at_min"] - row["start_min"], []).append(turn)
    for number, (after_min, turns) in enumerate(together.items(), 1):
        first = list(dict.fromkeys(each for turn in turns for each in turn["first"]))
        # as on the sheet: what has to be so is no statement that it is
        lead = ["See first:"] * bool(first)
        text = " ".join([*lead, *first, *(turn["text"] for turn in turns)])
        acts = tuple((turn["act"], turn["part"], turn["to"]) for turn in turns)
        due = scene.after_min(after_min) if after_min > MOMENT_MIN else None
        marks = _looped_parts(network) if looped else ()
        looped = any(turn["for"] == SANITISE for turn in turns)
        # the hoses are as hot when the loop ends
        hot = [SANITISE] * bool(marks) + [turn["for"] for turn in turns]
        safety = " ".join(dict.fromkeys(OF_TURNS[each] for each in hot if each in OF_TURNS))
        yield scene.step(f"turn{number}", text, safety=safety, due=due, turns=acts, marks=marks)


def _looped_parts(network: Network | None) -> tuple[str, ...]:
    """The parts that hot wort runs through while it sanitises the chiller."""
    if network is None:
        return ()
    # Loads the graph library, for such rigs alone.
    from wortline.pipes.routes import line_ups

    vessels = {"kettle", "fermenter"}
    loops = line_ups(network, SANITISE)
    path = loops[0].path if loops else ()
    return tuple(name for name in path if network.parts[name].kind not in vessels)


def _dosed(waiting: list[Report], row: Report, scene: Scene) -> Iterator[Step]:
    """The doses of a phase; they wait no longer."""
    last = row["phase"] == "chill"
    for dose in list(waiting):
        in_min, end_min = dose["in_min"], row["end_min"]
        if in_min is None or end_min is None:
            continue
        at_heat_off = dose["moment"] == "heat-off" and row["phase"] == "boil"
        until_min = end_min + (MOMENT_MIN if last or at_heat_off else -MOMENT_MIN)
        if row["start_min"] - MOMENT_MIN <= in_min <= until_min:
            waiting.remove(dose)
            yield _dose(dose, scene, in_min - row["start_min"])


def _dose(dose: Report, scene: Scene, after_min: float) -> Step:
    held = "free" if dose["held"] == "free" else f"in {dose['held']}"
    mass = scene.spoken(dose["mass_kg"], "mass")
    text = f"{dose['id']}: {mass} {dose['name']}, {held}."
    due = Due(scene.phase.id, "begun", max(after_min, 0.0))
    return scene.step(dose["id"], text, due=due, dose=dose["id"])


def _fill(scene: Scene) -> Iterator[Step]:
    row = "first_water" if "first_water" in scene.rows else "water"
    text = f"Fill {scene.litres(row)} ({scene.mark(row)})."
    planned = scene.rows[row]["cold_l"]
    yield scene.step("water", text, ask=Ask("water", "volume", planned))
    if "sparge" in scene.rows:
        yield scene.step(
            "sparge", f"In another pot: {scene.litres('sparge')} to rinse the grain with."
        )
    yield scene.step(
        "covered",
        "Look: the water stands over the element"
        + (", and the pump's line is full." if scene.report["has_pump"] else "."),
        safety="An element that runs dry burns out within seconds and can start a fire.",
    )


def _heat(scene: Scene) -> Iterator[Step]:
    goal = scene.temp(scene.phase.end_c)
    if scene.turn > 1:
        yield scene.step("on", f"Element on: heat the mash to {goal}.", needs=(COVERED,))
        yield scene.step("end", f"The mash is at {goal}.", due=scene.end)
        return
    yield scene.step("on", f"Element on: heat to {goal}, about {scene.minutes}.", needs=(COVERED,))
    grain = ", ".join(
        f"{scene.spoken(malt['mass_kg'], 'mass')} {malt['name']}" for malt in scene.report["grist"]
    )
    yield scene.step("grain", f"Weigh the grain: {grain}.", meanwhile=True)
    ask = Ask("strike", "temperature", scene.phase.end_c, *scene.ranged("strike_c"))
    yield scene.step("end", f"The water is at {goal}.", due=scene.end, ask=ask)


def _mash(scene: Scene) -> Iterator[Step]:
    if scene.turn == 1:
        text = f"Stir the grain in: {scene.litres('mash', 'hot')} with grain ({scene.mark('mash')})"
        yield scene.step("in", f"{text}.")
    ask = Ask("mash", "temperature", scene.phase.start_c)
    yield scene.step("temp", f"Hold {scene.temp(scene.phase.start_c)}: read it.", ask=ask)
    if scene.turn == 1:
        doses = [
            f"{dose['id']} {scene.spoken(dose['mass_kg'], 'mass')} {dose['name']}"
            for dose in scene.report["bitterness"]["doses"]
            if dose["id"] != "malt"
        ]
        if doses:
            yield scene.step("hops", f"Weigh the hops: {', '.join(doses)}.", meanwhile=True)
    yield scene.step("end", f"{scene.minutes} of mash rest are over.", due=scene.end)


def _lift(scene: Scene) -> Iterator[Step]:
    runs_off = scene.report["mash_kind"] == "tun"
    yield scene.step("out", "Run the wort off." if runs_off else "Lift the grain out.")
    if "sparge" in scene.rows:
        row = scene.rows["sparge"]
        text = (
            f"Rinse the grain with {scene.litres('sparge', 'hot')} at {scene.temp(row['temp_c'])}"
        )
        yield scene.step("sparge", f"{text}.")
    yield scene.step("end", "The grain has drained.", due=scene.end)


def _to_boil(scene: Scene) -> Iterator[Step]:
    yield scene.step("on", "Element on: heat to the boil.", needs=(COVERED,))
    said, ask = scene.gravity("preboil")
    text = f"Cool a sample and read it: {said} of {scene.litres('preboil')}."
    yield scene.step("gravity", text, ask=ask)
    planned = scene.rows["preboil"]["hot_l"]
    yield scene.step(
        "end",
        f"It boils: {scene.litres('preboil', 'hot')} ({scene.mark('preboil')}).",
        due=scene.end,
        ask=Ask("preboil", "volume", planned, hot=True),
    )


def _boil(scene: Scene) -> Iterator[Step]:
    yield scene.step("on", f"It boils: the clock runs, {scene.minutes}. Stay by it.")
    clean = "Sanitise the fermenter, its lid, airlock and hose end."
    yield scene.step("clean", clean, meanwhile=True, surface=("fermenter", "sanitised"))
    planned = scene.rows["postboil"]["hot_l"]
    yield scene.step(
        "end",
        f"Heat off: {scene.litres('postboil', 'hot')} ({scene.mark('postboil')}).",
        due=scene.end,
        ask=Ask("postboil", "volume", planned, hot=True),
    )


def _whirlpool(scene: Scene) -> Iterator[Step]:
    # with a line-up, switching the pump is an act of its own
    piped = scene.phase.lineup is not None
    on, off = ("Whirlpool for", "") if piped else ("Whirlpool: pump on for", "Pump off: ")
    waits_min = _waits_min(scene)
    if waits_min:
        waits = scene.spoken(waits_min, "time")
        text = f"Let it stand for {waits} before the pump goes on: hotter wort may boil in it."
        yield scene.step("stand", text)
    lasts_min = scene.phase.planned_min
    pumped = scene.spoken(None if lasts_min is None else lasts_min - waits_min, "time")
    yield scene.step("on", f"{on} {pumped}.", due=scene.after_min(waits_min or None))
    swirl = scene.report.get("whirlpool")
    if swirl is not None and swirl["turns_per_min"] is not None:
        low, high = scene.ranged("whirlpool.turns_per_min")
        ask = Ask("turns at pump stop", "turning", swirl["turns_per_min"], low, high)
        leaf = "Switch the pump off now, and count how often a floating leaf goes round"
        text = f"{leaf}: about {scene.spoken(swirl['turns_per_min'], 'turning')}."
        yield scene.step("turns", text, due=scene.end, ask=ask)
    yield scene.step("end", f"{off}The whirlpool is over.", due=scene.end)


def _waits_min(scene: Scene) -> float:
    """How long the wort stands before the pump goes on [min]."""
    rows = (row for row in scene.report["timeline"] if row["phase"] == "whirlpool")
    return float(sum(row.get("stand_min", 0.0) for row in rows))


def _rest(scene: Scene) -> Iterator[Step]:
    off = "pump off, nothing moves" if scene.report["has_pump"] else "nothing moves"
    yield scene.step("still", f"Rest {scene.minutes}: {off}.")
    yield from watched(scene)
    ask = Ask("rest", "temperature", scene.phase.end_c)
    text = f"The rest is over, at about {scene.temp(scene.phase.end_c)}."
    yield scene.step("end", text, due=scene.end, ask=ask)


def _chill(scene: Scene) -> Iterator[Step]:
    goal = scene.temp(scene.phase.end_c)
    passes = draws_as_it_chills(scene.report) and scene.phase.lineup is None
    text = f"Chill to {goal}: water running first, then the wort."
    yield scene.step("on", text, safety=PASS_CAUTION if passes else "")
    if scene.phase.lineup is not None:
        flow = "Catch the flow in a jug for a timed minute and compare it with the clean one."
        yield scene.step("flow", flow, ask=Ask("flow", "flow", on_sheet=False), meanwhile=True)
    yield scene.step("yeast", f"Get the yeast out: {scene.report['yeast']}.", meanwhile=True)
    ask = Ask("chilled", "temperature", scene.phase.end_c)
    yield scene.step("end", f"The wort is at {goal}.", due=scene.end, ask=ask)
    if draws_as_it_chills(scene.report):
        yield from drawn(scene, scene.end)


def _transfer(scene: Scene) -> Iterator[Step]:
    text = f"Transfer {scene.litres('fermenter')} into the fermenter."
    yield scene.step("on", text, needs=("boil/clean",))
    if not draws_as_it_chills(scene.report):
        yield from drawn(scene)
    yield scene.step("end", "The wort is in the fermenter.", due=scene.end)


def _pitch(scene: Scene) -> Iterator[Step]:
    """The three facts of the day, asked before the yeast goes in."""
    planned = scene.rows["fermenter"]["cold_l"]
    low, high = scene.ranged("fermenter_l")
    ask = Ask("fermenter", "volume", planned, low, high)
    yield scene.step("volume", f"In the fermenter: {scene.litres('fermenter')}.", ask=ask)
    said, ask = scene.gravity("original")
    yield scene.step("gravity", f"Original gravity of a cooled sample: {said}.", ask=ask)
    goal_c = scene.phase.end_c
    ask = Ask("pitch", "temperature", goal_c, on_sheet=False)
    yield scene.step("temp", f"Temperature of the wort: {scene.temp(goal_c)}.", ask=ask)
    facts = tuple(f"{scene.phase.id}/{slug}" for slug in ("volume", "gravity", "temp"))
    yeast = f"Aerate and pitch {scene.report['yeast']}."
    caution = f"Pitch at {scene.temp(goal_c)} or a little below. {warm_yeast(scene.spoken)}"
    yield scene.step("end", yeast, needs=facts, safety=caution)


STEPS: dict[str, Callable[[Scene], Iterator[Step]]] = {
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
