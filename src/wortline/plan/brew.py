"""What one brewing day is computed from: plain numbers, or one array entry per ensemble member.

Every number that may be uncertain is an `Input` under its dotted name (`rig.boil_off`,
`recipe.hops.0.alpha`, `model.trub_loss`). A `Brew` is the structured view of one set of values:
the central ones, or arrays of shape (members,) that all broadcast.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from wortline.documents.words import DryHop, Lid, When
from wortline.science.bitter_losses import Losses
from wortline.science.chiller import Chiller
from wortline.science.real import Real

Held: TypeAlias = Literal["free", "bag", "mesh"]
Trust: TypeAlias = Literal["measured", "typed", "typical", "guess"]
Values: TypeAlias = Mapping[str, Real]


@dataclass(frozen=True)
class Input:
    """One number a plan rests on, with how far it can be trusted and why."""

    name: str
    value: float
    spread: float
    low: float
    high: float
    trust: Trust
    text: str
    unit: str
    source: str


@dataclass(frozen=True)
class Malt:
    """One line of the grist."""

    name: str
    mass_kg: Real
    extract: Real
    moisture: Real
    colour_ebc: Real
    dms_precursor_mg_kg: Real
    fermentability: float | None


@dataclass(frozen=True)
class Dose:
    """One addition of hops."""

    id: str
    name: str
    mass_kg: Real
    alpha: Real
    form: Literal["pellets", "cones"]
    held: Held
    when: When
    left_of_harvest: Real
    typed_when: str


@dataclass(frozen=True)
class Oil:
    """A class of hop oil: volatility over water at 100 C, and what is left of it after the kettle.

    `after_kettle` is the share of what the cold wort holds that reaches the beer; None is no data.
    """

    name: str
    volatility_low: float
    volatility: float
    volatility_high: float
    after_kettle: float | None


@dataclass(frozen=True)
class MashRest:
    """One temperature held in the mash."""

    at_c: Real
    for_min: Real


@dataclass(frozen=True)
class Rig:
    """The person's own hardware, in numbers."""

    diameter_m: Real
    brim_l: Real
    left_behind_l: Real
    jacket: bool
    mash_kind: str
    metal_kj_k: Real
    power_w: Real
    efficiency: Real
    boil_off_l_h: Real
    mash_efficiency: Real | None
    conversion: Real
    grain_holds_l_kg: Real
    grain_displaces_l_kg: Real
    hold_up_l: Real
    holds_free_l_kg: Real
    holds_contained_l_kg: Real
    bag_less: Real
    mesh_less: Real
    fill_l_min: Real
    drain_min: Real
    transfer_l_min: Real
    has_pump: bool = True


@dataclass(frozen=True)
class Air:
    """That day's surroundings."""

    air_c: Real
    tap_c: Real
    grain_c: Real
    pressure_kpa: Real
    humidity: Real


@dataclass(frozen=True)
class RigChiller:
    """A chiller of the rig; `spread` is one standard deviation as a share of its conductance."""

    name: str
    kind: Literal["plate", "counterflow", "immersion"]
    chiller: Chiller
    spread: float
    source: str
    stirred: bool = False


@dataclass(frozen=True)
class ChillWay:
    """A chiller of the rig and how it is run; `switch_c` is where a second stage begins."""

    unit: RigChiller
    how: str
    switch_c: Real | None = None


@dataclass(frozen=True)
class Chill:
    """How the wort is cooled: one of a rate, a time, a chiller, or at once (all None)."""

    to_c: Real
    rate_k_min: Real | None
    in_min: Real | None
    lid: Lid
    way: ChillWay | None = None


@dataclass(frozen=True)
class Models:
    """How far the models themselves may be off: factors around 1 (drawn by the ensemble)."""

    kinetic_losses: Real
    oxidised_acids: Real
    pellet_share: Real
    tinseth: Real
    surface_loss: Real
    attenuation: Real
    colour: Real
    dms_stripping: Real
    hose_loss_w_k: Real
    pump_heat_w: Real = 0.0


@dataclass(frozen=True)
class SwirlGear:
    """What drives the swirl and stands in its way, and what the brewer has counted.

    `shares` says of each constant of the model where in its range it is taken, 0-1. The readings
    belong to a kettle pumped, filled and hopped as the three `read_` numbers say; None is as on
    this day.
    """

    flow_l_min: Real
    nozzle_m: Real
    outlet_m: Real
    obstacle_m2: Real
    floor_open: float
    shares: Mapping[str, Real]
    turns_per_min: tuple[Real, ...] = ()
    clear_after_min: Real | None = None
    read_pumped_min: Real | None = None
    read_wort_hot_l: Real | None = None
    read_hops_kg: Real | None = None

    @property
    def has_readings(self) -> bool:
        """Whether the brewer has counted or seen anything."""
        return bool(self.turns_per_min) or self.clear_after_min is not None


@dataclass(frozen=True)
class Brew:
    """Everything one brewing day is computed from.

    `oil_shares` says of the pace at which oil leaves hops (`pace`), of the limit of the way to the
    bubbles (`film`) and of the volatility of each class of oil where in its range it is taken, 0-1;
    what is not named is taken as usual. For `stand_min` the wort stands after heat-off before the
    pump goes on. `added_l` and `added_extract_kg` come into the wort between the start of the boil
    and heat-off: by how many cold litres it grows, and with how much extract.
    """

    batch_l: Real
    malts: tuple[Malt, ...]
    doses: tuple[Dose, ...]
    rig: Rig
    air: Air
    rests: tuple[MashRest, ...]
    first_water_l: Real | None
    sparge_c: Real
    heating_lid: Lid
    boil_min: Real
    boil_lid: Lid
    pump_min: Real
    rest_min: Real
    whirlpool_lid: Lid
    chill: Chill
    yeast_attenuation: Real
    losses: Losses
    models: Models
    oils: tuple[Oil, ...]
    oil_shares: Mapping[str, Real] = field(default_factory=dict)
    swirl: SwirlGear | None = None
    chillers: tuple[RigChiller, ...] = ()
    stand_min: Real = 0.0
    added_l: Real = 0.0
    added_extract_kg: Real = 0.0

    @property
    def grist_kg(self) -> Real:
        """Mass of all malt [kg]."""
        return sum((malt.mass_kg for malt in self.malts), 0.0)

    @property
    def hop_held_l(self) -> Real:
        """Wort kept by the hops in the kettle, as cold litres [L]."""
        total: Real = 0.0
        for dose in self.doses:
            if not isinstance(dose.when, DryHop):
                total = total + dose.mass_kg * self.held_back_l_kg(dose.held)
        return total

    def containment_less(self, dose: Dose, held: Held | None = None) -> Real:
        """Share of a dose's bitterness lost to its bag or mesh, as planned or held so [-]."""
        held = held or dose.held
        if held == "free":
            return 0.0
        return self.rig.bag_less if held == "bag" else self.rig.mesh_less

    def held_back_l_kg(self, held: Held) -> Real:
        """Wort that hops held so keep back [L/kg]."""
        return self.rig.holds_free_l_kg if held == "free" else self.rig.holds_contained_l_kg
