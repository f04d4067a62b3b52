"""What can happen to a lot: a closed set of events, each a small frozen value.

Nothing here is ever changed or taken away: a mistake is mended by another event (`Corrected`,
`Undone`) that stands beside the first.
"""

from dataclasses import dataclass
from typing import ClassVar, Literal, TypeAlias, get_args


@dataclass(frozen=True)
class Started:
    """The lot begins from a plan; `plan` is the mark of the frozen plan it goes by."""

    KIND: ClassVar[str] = "started"
    name: str
    plan: str = ""


@dataclass(frozen=True)
class PhaseBegun:
    """A phase of the day begins."""

    KIND: ClassVar[str] = "phase begun"
    phase: str


@dataclass(frozen=True)
class PhaseEnded:
    """A phase of the day ends."""

    KIND: ClassVar[str] = "phase ended"
    phase: str


@dataclass(frozen=True)
class StepDone:
    """A step is done."""

    KIND: ClassVar[str] = "step done"
    step: str


@dataclass(frozen=True)
class NotYet:
    """A step cannot be done yet; `again_min` is when to ask again."""

    KIND: ClassVar[str] = "not yet"
    step: str
    again_min: float | None = None


@dataclass(frozen=True)
class Skipped:
    """A step is left out."""

    KIND: ClassVar[str] = "skipped"
    step: str
    why: str = ""


@dataclass(frozen=True)
class DoseIn:
    """A dose has gone in; its mass where it was not the planned one."""

    KIND: ClassVar[str] = "dose in"
    dose: str
    mass_kg: float | None = None


Quantity: TypeAlias = Literal[
    "gravity", "volume", "temperature", "flow", "mass", "ph", "time", "turning"
]
Instrument: TypeAlias = Literal[
    "hydrometer", "refractometer", "mark", "jug", "scale", "thermometer", "meter", "other"
]


@dataclass(frozen=True)
class Measured:
    """One number read off an instrument, in the core unit of its quantity.

    Gravity in SG as read, volume in litres as read, temperature in C, flow in L/min, mass in kg,
    time in min, turning in /min. `of` says what was measured (`preboil`, `original`, `mash`);
    `typed` is the text as it was typed; `sample_c` is how hot the sample, or the wort at the mark,
    was.
    """

    KIND: ClassVar[str] = "measured"
    of: str
    quantity: Quantity
    value: float
    instrument: Instrument = "other"
    sample_c: float | None = None
    typed: str = ""
    step: str = ""


@dataclass(frozen=True)
class HandleTurned:
    """A handle now stands in a position, or the end of a hose is somewhere."""

    KIND: ClassVar[str] = "handle turned"
    part: str
    position: str


@dataclass(frozen=True)
class PumpSet:
    """The pump is switched on or off at its switch."""

    KIND: ClassVar[str] = "pump"
    on: bool


@dataclass(frozen=True)
class SurfaceSet:
    """A wetted part is sanitised, opened, or left wet."""

    KIND: ClassVar[str] = "surface"
    part: str
    now: Literal["sanitised", "opened", "left wet"]
    how: str = ""


@dataclass(frozen=True)
class Change:
    """What a way out does to the day, in numbers; what is 0 stays as it was.

    `added_l` is by how many cold litres the wort grows, `extract_kg` what comes in with it;
    `out_l` is wort taken out. `boil_min` and `rest_min` are more minutes of boil and rest,
    `wait_min` how much longer its phase takes beside. A dose goes in as `dose_kg` in all, below 0
    not at all. A cut of the boil came after `boiled_min` of it and took `off_min`.
    """

    added_l: float = 0.0
    extract_kg: float = 0.0
    out_l: float = 0.0
    mash_water_l: float = 0.0
    boil_min: float = 0.0
    rest_min: float = 0.0
    wait_min: float = 0.0
    dose: str = ""
    dose_kg: float = 0.0
    boiled_min: float = 0.0
    off_min: float = 0.0
    lid_on: bool = False


NO_CHANGE = Change()


@dataclass(frozen=True)
class Deviation:
    """Something went another way than planned; `trouble` and `way` name what was chosen.

    A way that was taken is an act of its `phase`, with its caution, and says what it changes.
    """

    KIND: ClassVar[str] = "deviation"
    text: str
    trouble: str = ""
    way: str = ""
    phase: str = ""
    safety: str = ""
    change: Change = NO_CHANGE


@dataclass(frozen=True)
class Noted:
    """A remark."""

    KIND: ClassVar[str] = "note"
    text: str


@dataclass(frozen=True)
class Photo:
    """A picture that is kept elsewhere, by its reference."""

    KIND: ClassVar[str] = "photo"
    reference: str
    text: str = ""


@dataclass(frozen=True)
class Corrected:
    """Another entry was wrong and means this; both stay."""

    KIND: ClassVar[str] = "corrected"
    entry: str
    event: "Event"
    why: str = ""


@dataclass(frozen=True)
class Undone:
    """Another entry does not count; both stay. Undoing an undo makes it count again."""

    KIND: ClassVar[str] = "undone"
    entry: str
    why: str = ""


@dataclass(frozen=True)
class ClockAdjusted:
    """The device found its clock moved, or that it slept.

    Where the wall clock was set, `by_min` is how far it jumped and the minutes of the lot do not
    move. Where the device slept, its steady clock stood still for `by_min`.
    """

    KIND: ClassVar[str] = "clock adjusted"
    by_min: float
    because: Literal["clock set", "device slept"] = "clock set"


@dataclass(frozen=True)
class Overridden:
    """A check said no, was asked twice, and the person went on."""

    KIND: ClassVar[str] = "override"
    check: str
    why: str = ""


Event: TypeAlias = (
    Started
    | PhaseBegun
    | PhaseEnded
    | StepDone
    | NotYet
    | Skipped
    | DoseIn
    | Measured
    | HandleTurned
    | PumpSet
    | SurfaceSet
    | Deviation
    | Noted
    | Photo
    | Corrected
    | Undone
    | ClockAdjusted
    | Overridden
)
EVENTS: dict[str, type[Event]] = {each.KIND: each for each in get_args(Event)}


@dataclass(frozen=True)
class Steady:
    """A reading of a clock that nobody can set; `session` names the running it belongs to."""

    session: str
    min: float


@dataclass(frozen=True)
class Entry:
    """One event with who wrote it down and when.

    `id` is made on the device and stays the same however often the entry is sent; `sequence`
    counts the entries of one device. `number`, `server_ms` and `server` are given when it is kept.
    Wall times are UTC milliseconds since 1970; `zone_min` is how far the device's wall clock is
    ahead of UTC. `paper` entries are typed in afterwards: their time is `written_ms`, if any.
    """

    id: str
    device: str
    sequence: int
    wall_ms: int
    zone_min: int
    steady: Steady
    event: Event
    paper: bool = False
    written_ms: int | None = None
    number: int = 0
    server_ms: int = 0
    server: Steady | None = None
