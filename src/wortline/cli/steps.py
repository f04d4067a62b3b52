"""The day as steps to tick off: a clock, what can hurt, and what to do."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

Report = dict[str, Any]
Say = Callable[..., str]
BLANK = "______"


@dataclass(frozen=True)
class Step:
    """One step of the day; the cautions are said before its first act."""

    clock: str
    cautions: tuple[str, ...]
    acts: tuple[str, ...]


def clock(minute_min: float) -> str:
    """Hours and minutes since the day began."""
    whole = round(minute_min)
    return f"{whole // 60}:{whole % 60:02d}"


def steps(report: Report, spoken: Say) -> Iterator[Step]:
    """Every phase of the timeline, with the doses of the boil as steps of their own."""
    rows = {row["step"]: row for row in report["ledger"]}
    doses = [dose for dose in report["bitterness"]["doses"] if dose["id"] != "malt"]
    seen: dict[str, int] = {}
    for phase in report["timeline"]:
        name = phase["phase"]
        seen[name] = seen.get(name, 0) + 1
        if phase["start_min"] is None or phase["end_min"] is None:
            yield Step("?", tuple(phase["cautions"]), (f"{name}: never ends on this rig.",))
            continue
        acts = ACTS[name](Scene(report, rows, phase, seen[name], spoken))
        yield Step(clock(phase["start_min"]), tuple(phase["cautions"]), tuple(acts))
        last = report["timeline"][-1] is phase
        for dose in sorted(_due(doses, phase, last), key=lambda dose: dose["in_min"]):
            held = "free" if dose["held"] == "free" else f"in {dose['held']}"
            text = f"{dose['id']}: {spoken(dose['mass_kg'], 'mass')} {dose['name']}, {held}"
            yield Step(clock(dose["in_min"]), (), (f"{text} ({dose['at']}).",))


def _due(doses: list[Report], phase: Report, last: bool) -> Iterator[Report]:
    for dose in doses:
        moment = dose["in_min"]
        if moment is None:
            continue
        begun = phase["start_min"] - 1e-6 <= moment
        if begun and (moment < phase["end_min"] - 1e-6 or last):
            yield dose


@dataclass(frozen=True)
class Scene:
    """What the words of a phase may need."""

    report: Report
    rows: dict[str, Report]
    phase: Report
    turn: int
    spoken: Say

    def cold(self, step: str) -> str:
        """Cold litres at a step."""
        return f"{self.spoken(self.rows[step]['cold_l'], 'volume')} cold"

    def hot(self, step: str) -> str:
        """Hot litres at a step."""
        return f"{self.spoken(self.rows[step]['hot_l'], 'volume')} hot"

    def mark(self, step: str) -> str:
        """Height at a step."""
        return f"mark {self.spoken(self.rows[step]['mark_cm'] / 100.0, 'length')}"

    def temp(self, key: str) -> str:
        """A temperature of the phase."""
        return str(self.spoken(self.phase[key], "temperature"))

    @property
    def minutes(self) -> str:
        """Length of the phase."""
        return f"{self.phase['end_min'] - self.phase['start_min']:.0f} min"


def _fill(scene: Scene) -> list[str]:
    step = "first_water" if "first_water" in scene.rows else "water"
    acts = [
        f"Fill {scene.cold(step)} ({scene.mark(step)}), tap {scene.temp('start_c')}."
        f" Measured: {BLANK}"
    ]
    if "sparge" in scene.rows:
        acts.append(f"Set {scene.cold('sparge')} aside to rinse the grain with.")
    return acts


def _heat(scene: Scene) -> list[str]:
    if scene.turn == 1:
        return [f"Heat to {scene.temp('end_c')} strike, about {scene.minutes}. Measured: {BLANK}"]
    return [f"Heat the mash to {scene.temp('end_c')}, about {scene.minutes}, pump running."]


def _mash(scene: Scene) -> list[str]:
    acts = []
    if scene.turn == 1:
        acts.append(f"Stir the grain in: {scene.hot('mash')} with grain ({scene.mark('mash')}).")
    return [*acts, f"Hold {scene.temp('start_c')} for {scene.minutes}. Measured: {BLANK}"]


def _lift(scene: Scene) -> list[str]:
    rinse = f" Rinse with {scene.cold('sparge')}." if "sparge" in scene.rows else ""
    return [f"Lift the grain out and let it drain, {scene.minutes}.{rinse}"]


def _to_boil(scene: Scene) -> list[str]:
    sg = scene.report["gravity"]["preboil_sg"]
    gravity = "unknown" if sg is None else f"{sg:.3f}"
    return [
        f"Check {scene.cold('preboil')} of wort at {gravity} (cooled sample). Measured: {BLANK}",
        f"Heat to the boil, {scene.temp('end_c')}, about {scene.minutes};"
        f" then {scene.hot('preboil')} ({scene.mark('preboil')}).",
    ]


def _boil(scene: Scene) -> list[str]:
    return [f"Boil {scene.minutes} at {scene.temp('start_c')}."]


def _whirlpool(scene: Scene) -> list[str]:
    return [
        f"Heat off: {scene.hot('postboil')} ({scene.mark('postboil')}). Measured: {BLANK}",
        f"Pump on for {scene.minutes}.",
    ]


def _rest(scene: Scene) -> list[str]:
    return [f"Pump off. Rest {scene.minutes}, to about {scene.temp('end_c')}. Measured: {BLANK}"]


def _chill(scene: Scene) -> list[str]:
    how = "at once" if scene.phase["end_min"] == scene.phase["start_min"] else scene.minutes
    return [f"Chill from {scene.temp('start_c')} to {scene.temp('end_c')}, {how}."]


def _transfer(scene: Scene) -> list[str]:
    sg = scene.report["gravity"]["original_sg"]
    gravity = "unknown" if sg is None else f"{sg:.3f}"
    return [
        f"Transfer {scene.cold('fermenter')} into the fermenter, {scene.minutes}.",
        f"Original gravity {gravity}. Measured: {BLANK}  Litres cold: {BLANK}",
    ]


def _pitch(scene: Scene) -> list[str]:
    return [f"Aerate and pitch {scene.report['yeast']} at {scene.temp('end_c')}."]


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
