"""The recipe: the beer that is meant, whatever the rig, as schema recipe/1."""

from collections.abc import Mapping
from typing import Annotated, Any, ClassVar, Literal

from pydantic import Field, model_validator

from wortline.documents.plumbing import Word
from wortline.documents.quantity import Fault, Measure, Quantity, nearest, refuse, typed_as
from wortline.documents.words import (
    Gallons,
    LidField,
    Name,
    Note,
    Part,
    WhenField,
    WordOr,
    entries,
    one_of,
)

_WORT_C = Measure("temperature", 0.0, 100.0)
_REST_MIN = Measure("time", 0.0, 2880.0, example="15 min")
_ANY_FACTOR = Measure("factor", 0.0, 5.0, low_open=True)
_CHILL_RATE = Measure("temperature_rate", 0.0, 1000.0, low_open=True)


class Malt(Part):
    """One line of the grist; extract is that of the malt as is."""

    malt: Name
    mass: Annotated[Quantity, Measure("mass", 0.0, 5000.0, low_open=True)]
    extract: Annotated[Quantity, Measure("fraction", 0.0, 1.0, low_open=True)] | None = None
    moisture: Annotated[Quantity, Measure("fraction", 0.0, 0.5, example="4 %")] | None = None
    colour: Annotated[Quantity, Measure("colour", 0.0, 5000.0)] | None = None
    dms_precursor: Annotated[Quantity, Measure("content", 0.0, 200.0)] | None = None


class MashRest(Part):
    """One mash rest."""

    at: Annotated[Quantity, _WORT_C]
    lasts: Annotated[Quantity, Measure("time", 0.0, 2880.0, low_open=True)] = Field(alias="for")


class MashWater(Part):
    """The brewing water: `all`, or a `first` part and the rest as sparge, `at` its temperature."""

    first: (
        Annotated[Quantity, Measure("volume", 0.0, 5000.0, low_open=True, example="17 L")] | None
    ) = None
    sparge: Annotated[Literal["remainder"], one_of("remainder", rest="remainder")] | None = None
    at: Annotated[Quantity, _WORT_C] | None = None

    @model_validator(mode="before")
    @classmethod
    def _all_or_parts(cls, given: Any) -> Any:
        allowed = "all, or {first: 17 L, sparge: remainder}"
        if isinstance(given, str):
            if given.strip().lower() == "all":
                return {}
            raise refuse(
                Fault(
                    f"`{typed_as(given)}` is not {allowed}",
                    typed_as(given),
                    allowed,
                    nearest(given, ("all",)),
                )
            )
        if isinstance(given, Mapping):
            missing = [
                Fault(f"`{key}` is missing; write {allowed}", "", allowed, sub=(key,))
                for key in ("first", "sparge")
                if key not in given
            ]
            if missing:
                raise refuse(*missing)
        return given


class Mash(Part):
    """The mash: its rests in order and how the water is shared."""

    rests: Annotated[tuple[MashRest, ...], entries(1, 20)]
    water: MashWater


class Heating(Part):
    """Heating to the boil."""

    lid: LidField | None = None


class Boil(Part):
    """The boil."""

    lasts: Annotated[Quantity, Measure("time", 0.0, 600.0)] = Field(alias="for")
    lid: LidField | None = None


class Stored(Part):
    """How long, how cold and how well packed hops were kept."""

    lasts: Annotated[Quantity, Measure("time", 0.0, 1440.0 * 3660.0, example="6 months")] = Field(
        alias="for"
    )
    at: Annotated[Quantity, Measure("temperature", -90.0, 60.0, example="-18 C")]
    packed: Annotated[Literal["open", "air", "vacuum"], one_of("open", "air", "vacuum")]


class Hop(Part):
    """One dose of hops."""

    hop: Name
    mass: Annotated[Quantity, Measure("mass", 0.0, 100.0, low_open=True, example="22 g")]
    alpha: (
        Annotated[Quantity, Measure("fraction", 0.0, 0.35, low_open=True, example="13 %")] | None
    ) = None
    form: (
        Annotated[
            Literal["pellets", "cones"],
            one_of("pellets", "cones", pellet="pellets", cone="cones", leaf="cones"),
        ]
        | None
    ) = None
    when: WhenField
    held: Annotated[Literal["free", "bag", "mesh"], one_of("free", "bag", "mesh")] = "free"
    stored: Stored | None = None


class Whirlpool(Part):
    """Pumping and resting after the heat goes off."""

    pump: Annotated[Quantity, _REST_MIN] | None = None
    rest: Annotated[Quantity, _REST_MIN] | None = None
    lid: LidField | None = None


class Chill(Part):
    """The chill: the target, and a rate, a time, `instant`, or a chiller of the rig and how."""

    to: Annotated[Quantity, Measure("temperature", 0.0, 100.0, example="18 C")]
    at: Annotated[Quantity | Literal["instant"], WordOr("instant", _CHILL_RATE)] | None = None
    within: (
        Annotated[Quantity, Measure("time", 0.0, 2880.0, low_open=True, example="20 min")] | None
    ) = Field(default=None, alias="in")
    chiller: Word | None = Field(default=None, alias="with")
    how: (
        Annotated[
            Literal["one-pass", "circulate", "two-stage"],
            one_of("one-pass", "circulate", "two-stage"),
        ]
        | None
    ) = None
    switch_at: Annotated[Quantity, Measure("temperature", 0.0, 100.0, example="60 C")] | None = None
    lid: LidField | None = None

    @model_validator(mode="before")
    @classmethod
    def _one_way(cls, given: Any) -> Any:
        if isinstance(given, Mapping):
            allowed = "one of `at: 2.5 K/min`, `at: instant`, `in: 20 min` or `with: plate`"
            ways = [f"`{key}`" for key in ("at", "in", "with") if key in given]
            if len(ways) > 1:
                said = "both " if len(ways) == 2 else ""
                named = " and ".join([", ".join(ways[:-1]), ways[-1]])
                raise refuse(Fault(f"has {said}{named}; keep {allowed}", "", allowed))
            if not ways:
                raise refuse(Fault(f"does not say how; write {allowed}", "", allowed))
            faults = [
                Fault(
                    f"`{key}` belongs to a chiller; write `with: plate` before it",
                    typed_as(given[key]),
                    "a chiller of the rig under `with`",
                    sub=(key,),
                )
                for key in ("how", "switch_at")
                if key in given and "with" not in given
            ]
            if faults:
                raise refuse(*faults)
        return given

    @model_validator(mode="after")
    def _switch(self) -> "Chill":
        if self.switch_at is None:
            return self
        typed = self.switch_at.text
        if self.how != "two-stage":
            text = f"`{typed}` belongs to `how: two-stage`, which circulates first"
            raise refuse(Fault(text, typed, "how: two-stage", sub=("switch_at",)))
        if self.switch_at.value <= self.to.value:
            text = f"`{typed}` is not above the `{self.to.text}` that the chill goes to"
            raise refuse(Fault(text, typed, f"above `{self.to.text}`", sub=("switch_at",)))
        return self


class Yeast(Part):
    """The yeast, and its apparent attenuation where known."""

    kind: Name
    attenuation: Annotated[Quantity, Measure("fraction", 0.0, 1.0)] | None = None


class Aim(Part):
    """What the beer is meant to reach."""

    gravity: Annotated[Quantity, Measure("gravity", 1.001, 1.2)] | None = None
    bitterness: Annotated[Quantity, Measure("bitterness", 0.0, 500.0)] | None = None


class Recipe(Part):
    """A recipe; `batch` is cold in the fermenter."""

    SCHEMA: ClassVar[str] = "recipe"

    name: Name
    gallons: Gallons | None = None
    origin: Name | None = None
    notes: Note | None = None
    batch: Annotated[Quantity, Measure("volume", 0.0, 2000.0, low_open=True)]
    grist: Annotated[tuple[Malt, ...], entries(1, 100)]
    mash: Mash
    heating: Heating | None = None
    boil: Boil
    hops: Annotated[tuple[Hop, ...], entries(0, 200)] = ()
    whirlpool: Whirlpool | None = None
    chill: Chill
    yeast: Yeast
    aim: Aim | None = None
    wort_ph: Annotated[Quantity, Measure("ph", 3.0, 8.0)] | None = None
    clarity: Annotated[Quantity, _ANY_FACTOR] | None = None
    krausen: Annotated[Quantity, _ANY_FACTOR] | None = None
    flocculation: Annotated[Quantity, _ANY_FACTOR] | None = None
    filter: Annotated[Quantity, _ANY_FACTOR] | None = None
