"""How handles, pump and water stand in each phase of the day, and the acts between.

Only a rig that tells its plumbing has these. Minutes are those of the timeline.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

import numpy as np

from wortline.pipes.changeover import ChangeOver, change_over
from wortline.pipes.checks_flow import cool_enough_c, suction_margin
from wortline.pipes.day import for_transfer
from wortline.pipes.marks import Loop, Mark, lacking, marks, words
from wortline.pipes.network import Network
from wortline.pipes.routes import line_ups
from wortline.pipes.state import Conditions, Limits, Setting, drawn_ends
from wortline.pipes.view import View
from wortline.plan.brew_day import BrewDay
from wortline.plan.notes import Note
from wortline.plan.timeline import Phase, Track
from wortline.science.water import expansion

SANITISE = "sanitise-loop"
SANITISE_C = 85.0
"""Wort hot enough to sanitise and far enough from the boil to be pumped (common practice)."""
RETURN_COOLER_DK = 3.0
"""What hoses and plates take from it on its way round (common practice, no source)."""
RECIRCULATED = frozenset({"basket", "tun"})


@dataclass(frozen=True)
class Piping:
    """The rig's pipes and what bounds them on this day."""

    network: Network
    limits: Limits


@dataclass(frozen=True)
class Turn:
    """One act of the hand at its minute, and what has to be true first."""

    at_min: float
    to: str
    act: str
    part: str
    was: str
    then: str
    first: tuple[str, ...]
    text: str


@dataclass(frozen=True)
class Stand:
    """How everything stands once a phase has begun, and the acts of the phase."""

    setting: Setting
    turns: tuple[Turn, ...] = ()


@dataclass
class _Day:
    """The pipes while the day goes on."""

    piping: Piping
    day: BrewDay
    track: Track
    now: Setting
    clean: dict[str, str]
    notes: list[Note] = field(default_factory=list)

    def known(self, at_min: float) -> Conditions:
        """Return what is known of the wort at a minute of the day."""
        track = self.track
        wort_c = float(np.interp(at_min, track.time_min, track.temp_c))
        soon_c = float(np.interp(at_min + 2.0, track.time_min, track.temp_c))
        cold_l = float(np.interp(at_min, track.time_min, track.cold_l))
        kettle_m2 = 0.25 * np.pi * float(self.day.brew.rig.diameter_m) ** 2
        return Conditions(
            wort_c,
            float(self.day.brew.air.tap_c),
            cold_l * float(expansion(wort_c)) / 1000.0 / kettle_m2,
            float(self.day.brew.air.pressure_kpa),
            clean=self.clean,
            cools_k_min=max(wort_c - soon_c, 0.0) / 2.0,
        )

    def go(self, route: str, at_min: float, ends: tuple[Setting, ...]) -> tuple[Turn, ...]:
        """Return the acts to the nearest of some settings, and stand there."""
        network, limits = self.piping.network, self.piping.limits
        known = for_transfer(self.known(at_min), network, route, limits)
        changes = [change_over(network, self.now, end, known, limits) for end in ends[:3]]
        best = min(changes, key=lambda each: (not each.found, len(each.moves)))
        if not best.found:
            text = f"No safe order of acts leads to {route}: `wortline pipes` says what is wrong."
            self.notes.append(Note("pipes-no-way", "warn", text))
        self.now = best.end
        return tuple(self._turns(best, route, at_min, known))

    def _turns(
        self, change: ChangeOver, route: str, at_min: float, known: Conditions
    ) -> Iterator[Turn]:
        for move in change.moves:
            first = move.first
            if move.act == "pump" and move.then == "on":
                view = View(self.piping.network, move.after, known, self.piping.limits)
                first += tuple(finding.do for finding in suction_margin(view))
            yield Turn(at_min, route, move.act, move.part, move.was, move.then, first, move.text)

    def still(self, route: str | None = None) -> Setting:
        """Return the handles of now, or of a route, with pump and water off."""
        found = line_ups(self.piping.network, route) if route else ()
        setting = found[0].setting if found else self.now
        return replace(setting, pump=False, water=False)


def stands(piping: Piping, day: BrewDay, track: Track) -> tuple[tuple[Stand, ...], list[Note]]:
    """Return how the pipes stand in every phase of a day, and what to say about it."""
    network = piping.network
    if not np.isfinite(track.time_min).all():
        return (), []
    shut = tuple(valve.stops[-1] for valve in network.valves)
    here = _Day(piping, day, track, Setting(shut, drawn_ends(network)), {})
    here.now = here.still(_first_route(network, day))
    found: list[Stand] = []
    for turn, phase in _numbered(track.phases):
        route = _route(network, day, phase, turn)
        if route is None:
            turns = here.go("standing still", phase.start_min, (_at_rest(here, day, phase),))
        else:
            settings = tuple(each.setting for each in line_ups(network, route))
            if route == "chill-and-transfer":
                _unmarked(here, settings[0])
            turns = here.go(route, phase.start_min + phase.stand_min, settings)
        begun = here.now
        if phase.phase == "to_boil":
            turns += _sanitise(here, phase)
        if phase.phase == "chill":
            turns += _second_stage(here, phase)
        found.append(Stand(begun, turns))
    return tuple(found), here.notes


def pump_on_c(piping: Piping, day: BrewDay, track: Track) -> float | None:
    """How cool the wort has to be before the whirlpool's pump goes on; None if it is at once."""
    network = piping.network
    phase = next((each for each in track.phases if each.phase == "whirlpool"), None)
    found = line_ups(network, "whirlpool")
    if phase is None or not found or not np.isfinite(track.time_min).all():
        return None
    known = _Day(piping, day, track, found[0].setting, {}).known(phase.start_min)
    return cool_enough_c(View(network, found[0].setting, known, piping.limits))


def _at_rest(here: _Day, day: BrewDay, phase: Phase) -> Setting:
    """Return how everything stands where nothing moves; once the beer is made, shut off from it."""
    if phase.phase != "pitch":
        return here.still()
    away = here.still(_first_route(here.piping.network, day))
    return replace(away, ends=here.now.ends)


def _numbered(phases: list[Phase]) -> Iterator[tuple[int, Phase]]:
    seen: dict[str, int] = {}
    for phase in phases:
        seen[phase.phase] = seen.get(phase.phase, 0) + 1
        yield seen[phase.phase], phase


def _first_route(network: Network, day: BrewDay) -> str | None:
    """Return the route whose handles the day begins with, so that the lines fill by themselves."""
    wanted = ["mash-recirculate"] * (day.brew.rig.mash_kind in RECIRCULATED) + ["whirlpool"]
    return next((route for route in wanted if line_ups(network, route)), None)


def _route(network: Network, day: BrewDay, phase: Phase, turn: int) -> str | None:
    """Return what the pipes are for in a phase; None where nothing moves."""
    lasts = phase.end_min > phase.start_min
    stirred = day.brew.rig.mash_kind in RECIRCULATED
    how = day.brew.chill.way.how if day.brew.chill.way else None
    wanted = {
        "heat": ("mash-recirculate",) * (turn > 1 and stirred),
        "mash": ("mash-recirculate",) * stirred,
        "whirlpool": ("whirlpool",),
        "chill": (("chill-and-transfer",) if how == "one-pass" else ("chill-circulate",)) * lasts,
        "transfer": ("chill-and-transfer", "transfer"),
    }.get(phase.phase, ())
    return next((route for route in wanted if line_ups(network, route)), None)


def _second_stage(here: _Day, phase: Phase) -> tuple[Turn, ...]:
    """Turn to one pass once the kettle has circulated to where the recipe switches."""
    way, chill = here.day.brew.chill.way, here.day.hot.stretches["chill"]
    settings = tuple(each.setting for each in line_ups(here.piping.network, "chill-and-transfer"))
    if way is None or way.how != "two-stage" or chill.in_kettle is None or not settings:
        return ()
    passing = np.count_nonzero(chill.in_kettle < 1.0)
    circulated_min = float(chill.step_min[:-passing].sum())
    _unmarked(here, settings[0])
    return here.go("chill-and-transfer", phase.start_min + circulated_min, settings)


def _sanitise(here: _Day, phase: Phase) -> tuple[Turn, ...]:
    """Circulate hot wort through the chiller on its way to the boil, and give it its mark."""
    network, limits = here.piping.network, here.piping.limits
    loops = line_ups(network, SANITISE)
    if not loops or not any((name, "in") in network.node for name in network.of_kind("chiller")):
        return ()
    return_c = SANITISE_C - RETURN_COOLER_DK
    lasts_min = Mark().missing_min(return_c, limits)
    start_min = _reached_min(here.track, phase, SANITISE_C)
    if start_min + lasts_min > phase.end_min:
        text = (
            f"The wort goes from {SANITISE_C:.0f} C to the boil in less than the"
            f" {lasts_min:.0f} min that sanitise the chiller: turn the element down while it"
            " circulates, or the pump no longer picks up."
        )
        here.notes.append(Note("pipes-sanitise-short", "warn", text))
    turns = here.go(SANITISE, start_min, tuple(each.setting for each in loops))
    earned = marks(network, [Loop(here.now, lasts_min, return_c)], limits)
    here.clean = words(earned, limits)
    still = here.still(_after_boil(network, here.day))
    return turns + here.go("standing still", start_min + lasts_min, (still,))


def _after_boil(network: Network, day: BrewDay) -> str | None:
    wanted = "whirlpool" if float(day.brew.pump_min) > 0.0 else "chill-circulate"
    return wanted if line_ups(network, wanted) else None


def _reached_min(track: Track, phase: Phase, temp_c: float) -> float:
    """Return the minute at which a phase that warms up reaches a temperature."""
    points = [
        (minute, warm_c)
        for minute, warm_c in zip(track.time_min, track.temp_c, strict=True)
        if phase.start_min <= minute <= phase.end_min
    ]
    # The last point of the phase before may stand at the same minute, and be warmer.
    minutes, temps_c = zip(*points[-_rising(points) :], strict=True)
    return float(np.interp(temp_c, temps_c, minutes))


def _rising(points: list[tuple[float, float]]) -> int:
    """Return how many points at the end rise in temperature."""
    count = 1
    while count < len(points) and points[-count - 1][1] <= points[-count][1]:
        count += 1
    return count


def _unmarked(here: _Day, transfer: Setting) -> None:
    network, limits = here.piping.network, here.piping.limits
    earned = {name: Mark(a0=limits.heat_mark_a0) if here.clean.get(name) == "heat" else Mark()
              for name in network.parts}  # fmt: skip
    bare = lacking(network, transfer, earned, limits)
    if bare and all(note.code != "pipes-unmarked" for note in here.notes):
        text = (
            f"No hot loop reaches {', '.join(bare)}: run no-rinse sanitiser through before the"
            " transfer, and let it stand as long as its label says."
        )
        here.notes.append(Note("pipes-unmarked", "warn", text))
