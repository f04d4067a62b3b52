"""The timeline: the phases of the day in order, and every line on one time axis.

Minute 0 is the start of the fill. Only the central day has a timeline; the ensemble has ranges.
"""

from dataclasses import dataclass, field, replace

import numpy as np
import numpy.typing as npt

from wortline.plan.brew_day import BrewDay, first_water_l
from wortline.plan.cold_side import ColdSide
from wortline.plan.cooling import Stretch
from wortline.science.standards import COLD_C
from wortline.science.water import density_kg_m3

Array = npt.NDArray[np.float64]

PITCH_MIN = 5.0
BOIL_POINTS = 30


@dataclass(frozen=True)
class Phase:
    """One phase of the day; for `stand_min` a whirlpool waits before its pump goes on."""

    phase: str
    start_min: float
    end_min: float
    start_c: float
    end_c: float
    cautions: tuple[str, ...] = ()
    stand_min: float = 0.0


@dataclass
class Track:
    """The lines of the day while they are being drawn, phase after phase."""

    phases: list[Phase] = field(default_factory=list)
    time_min: list[float] = field(default_factory=list)
    temp_c: list[float] = field(default_factory=list)
    cold_l: list[float] = field(default_factory=list)

    @property
    def now_min(self) -> float:
        """Where the day has come to [min]."""
        return self.phases[-1].end_min if self.phases else 0.0

    def go(self, phase: str, minutes: Array, temps_c: Array, litres: Array) -> None:
        """Add a phase; `minutes` are its points from 0 to its length."""
        start_min = self.now_min
        length = float(minutes[-1])
        ends = start_min, start_min + length, float(temps_c[0]), float(temps_c[-1])
        self.phases.append(Phase(phase, *ends))
        self.time_min.extend(float(start_min + each) for each in minutes)
        self.temp_c.extend(float(each) for each in temps_c)
        self.cold_l.extend(float(each) for each in litres)

    def hold(
        self, phase: str, length_min: float, temp_c: float, from_l: float, to_l: float
    ) -> None:
        """Add a phase of one temperature."""
        self.go(phase, np.array([0.0, length_min]), np.full(2, temp_c), np.array([from_l, to_l]))

    def stretch(self, phase: str, piece: Stretch, litres: Array) -> None:
        """Add a phase that was worked out in steps."""
        minutes = np.concatenate([[0.0], np.cumsum(piece.step_min)])
        self.go(phase, minutes, piece.ends_c, litres)


def timeline(day: BrewDay, cold: ColdSide) -> Track:
    """Lay the whole day on one axis."""
    track = Track()
    _cold_side(track, day, cold)
    _hot_side(track, day)
    litres = day.volumes
    end_c = track.temp_c[-1]
    wort_l, fermenter_l = float(litres.wort_l), float(litres.fermenter_l)
    transfer_min = max(fermenter_l, 0.0) / float(day.brew.rig.transfer_l_min)
    if day.hot.stretches["chill"].in_kettle is not None:
        # One pass ends in the fermenter.
        transfer_min = 0.0
    track.hold("transfer", transfer_min, end_c, wort_l, fermenter_l)
    track.hold("pitch", PITCH_MIN, end_c, fermenter_l, fermenter_l)
    return track


def _cold_side(track: Track, day: BrewDay, cold: ColdSide) -> None:
    """Fill, heat to strike, mash rests with the heating between them."""
    brew = day.brew
    first_l = float(first_water_l(brew, day.volumes.water_l))
    track.hold("fill", first_l / float(brew.rig.fill_l_min), float(brew.air.tap_c), 0.0, first_l)
    track.stretch("heat", cold.strike, np.full(len(cold.strike.ends_c), first_l))
    for rest, ramp in zip(brew.rests, cold.ramps, strict=True):
        if ramp is not None:
            track.stretch("heat", ramp, np.full(len(ramp.ends_c), first_l))
        track.hold("mash", float(rest.for_min), float(rest.at_c), first_l, first_l)


def _hot_side(track: Track, day: BrewDay) -> None:
    """Lift to the end of the chill, as the hot side has it."""
    brew, hot, litres = day.brew, day.hot, day.volumes
    preboil_l, postboil_l = float(litres.preboil_l), float(litres.postboil_l)
    lift, to_boil = hot.stretches["lift"], hot.stretches["to_boil"]
    first_l = float(first_water_l(brew, litres.water_l))
    track.stretch("lift", lift, np.linspace(first_l, preboil_l, len(lift.ends_c)))
    track.stretch("to_boil", to_boil, np.full(len(to_boil.ends_c), preboil_l))
    cut = np.linspace(0.0, 1.0, BOIL_POINTS + 1)
    boiling_c = np.full(len(cut), float(hot.boiling_c))
    boiled_l = preboil_l + cut * (postboil_l - preboil_l)
    track.go("boil", cut * float(brew.boil_min), boiling_c, boiled_l)
    now_l = postboil_l
    whirlpool = float(brew.pump_min) > 0.0, float(brew.rest_min) > 0.0
    for name, wanted in zip(("whirlpool", "rest", "chill"), (*whirlpool, True), strict=True):
        if wanted:
            piece = hot.stretches[name]
            gone_l = np.cumsum(piece.steam_kg) / float(density_kg_m3(COLD_C)) * 1000.0
            track.stretch(name, piece, now_l - np.concatenate([[0.0], gone_l]))
            now_l -= float(gone_l[-1])
        if wanted and name == "whirlpool":
            waits = replace(track.phases[-1], stand_min=float(np.mean(brew.stand_min)))
            track.phases[-1] = waits


def lift_start_min(track: Track) -> float:
    """Minute of the day at which the hot side begins [min]."""
    return next(phase.start_min for phase in track.phases if phase.phase == "lift")
