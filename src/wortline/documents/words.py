"""Fields that are words or a small choice of forms: the lid, the moment of a dose."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from types import UnionType
from typing import Annotated, Any, ClassVar, Literal, Union, get_args, get_origin

from pydantic import (
    AfterValidator,
    BaseModel,
    ConfigDict,
    GetCoreSchemaHandler,
    PlainValidator,
    StringConstraints,
    ValidationInfo,
)
from pydantic_core import CoreSchema, core_schema

from wortline.documents.quantity import Fault, Measure, Quantity, nearest, refuse, typed_as
from wortline.errors import Question, UnitError
from wortline.units import parse, short

Name = Annotated[
    str,
    StringConstraints(strip_whitespace=True, min_length=1, max_length=200, pattern=r"^[^\r\n]*$"),
]
Note = Annotated[str, StringConstraints(max_length=20000)]


class Part(BaseModel):
    """A frozen part of a document that knows all its fields."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=False)


@dataclass(frozen=True)
class Lid:
    """The lid: on, off, or on with a gap of some area."""

    kind: Literal["on", "off", "gap"]
    gap_m2: float = 0.0


@dataclass(frozen=True)
class Moment:
    """A moment at which hops go in, and the words it was typed in."""

    WORDS: ClassVar[str] = ""
    typed: str = field(default="", compare=False, kw_only=True)

    @property
    def said(self) -> str:
        """Return the moment as it was typed, or as a document would say it."""
        return self.typed or self.WORDS.format(self)


@dataclass(frozen=True)
class BeforeHeatOff(Moment):
    """A dose some minutes before the heat goes off."""

    WORDS: ClassVar[str] = "{0.before_min:g} min"
    before_min: float


@dataclass(frozen=True)
class HeatOff(Moment):
    """A dose at the moment the heat goes off."""

    WORDS: ClassVar[str] = "heat-off"


@dataclass(frozen=True)
class IntoRest(Moment):
    """A dose some minutes into the rest."""

    WORDS: ClassVar[str] = "{0.into_min:g} min into rest"
    into_min: float


@dataclass(frozen=True)
class Below(Moment):
    """A dose at the first moment of rest or chill at or below a temperature."""

    WORDS: ClassVar[str] = "below {0.below_c:g} C"
    below_c: float


@dataclass(frozen=True)
class FirstWort(Moment):
    """A dose that lies in the kettle from the lift on."""

    WORDS: ClassVar[str] = "first wort"


@dataclass(frozen=True)
class DryHop(Moment):
    """A dose in the fermenter."""

    WORDS: ClassVar[str] = "dry hop"


When = BeforeHeatOff | HeatOff | IntoRest | Below | FirstWort | DryHop

LATEST_MIN = 600.0
WHENS = "`60 min`, `heat-off`, `10 min into rest`, `below 80 C`, `first wort` or `dry hop`"
LIDS = "on, off or {gap: 20 cm2}"
_GAP = Measure("area", 0.0, 10.0, low_open=True)
_WORDS: Mapping[str, When] = {
    "heat off": HeatOff(),
    "flame out": HeatOff(),
    "flameout": HeatOff(),
    "knock out": HeatOff(),
    "knockout": HeatOff(),
    "end of boil": HeatOff(),
    "first wort": FirstWort(),
    "dry hop": DryHop(),
    "dry": DryHop(),
}
_INTO = re.compile(r"(.+?)\s*in(?:to)?\s+(?:the\s+)?(?:hot\s+)?rest")
_BELOW = re.compile(r"(?:below|under|at or below)\s+(.+)")
_BEFORE = re.compile(r"(.+?)\s*before\s+(?:heat|flame)[\s-]?(?:off|out)")


def read_when(given: object) -> When:
    """Return the moment of a dose from its text, which it keeps."""
    if isinstance(given, When):
        return given
    if not isinstance(given, str):
        raise refuse(Fault(f"needs a moment: {WHENS}", typed_as(given), WHENS))
    return replace(_moment(given), typed=" ".join(given.split()))


def _moment(given: str) -> When:
    plain = " ".join(given.lower().replace("-", " ").split())
    if plain in _WORDS:
        return _WORDS[plain]
    typed = " ".join(given.split())
    try:
        if match := _INTO.fullmatch(typed.lower()):
            return IntoRest(_minutes(match[1], given))
        if match := _BELOW.fullmatch(typed.lower()):
            below_c = parse(match[1], "temperature")
            if not 0.0 <= below_c <= 100.0:
                text = f"`{short(given)}` is outside what is possible: 0 C to 100 C"
                raise refuse(Fault(text, short(given), WHENS))
            return Below(below_c)
        match = _BEFORE.fullmatch(typed.lower())
        return BeforeHeatOff(_minutes(match[1] if match else typed, given))
    except Question as error:
        raise refuse(Fault(str(error), short(given), WHENS)) from None
    except UnitError:
        text = f"`{short(given)}` is no moment that is known; write {WHENS}"
        raise refuse(Fault(text, short(given), WHENS, _meant(plain))) from None


def _meant(plain: str) -> str:
    """Return the moment a person may have meant, or nothing."""
    try:
        parse(plain.removeprefix("at "), "temperature")
    except UnitError:
        return nearest(plain, tuple(_WORDS))
    return f"below {plain.removeprefix('at ').upper()}"


def _minutes(text: str, given: str) -> float:
    minutes = parse(text, "time")
    if not 0.0 <= minutes <= LATEST_MIN:
        text = f"`{short(given)}` is outside what is possible: 0 min to {LATEST_MIN:g} min"
        raise refuse(Fault(text, short(given), WHENS))
    return minutes


def read_lid(given: object) -> Lid:
    """Return the lid from `on`, `off` or a mapping with its gap."""
    if isinstance(given, Lid):
        return given
    if isinstance(given, Mapping) and set(given) == {"gap"}:
        return Lid("gap", _GAP.read(given["gap"]).value)
    word = given.strip().lower() if isinstance(given, str) else ""
    if word == "on":
        return Lid("on")
    if word == "off":
        return Lid("off")
    near = nearest(word, ("on", "off"))
    raise refuse(Fault(f"`{typed_as(given)}` is not {LIDS}", typed_as(given), LIDS, near))


def one_of(*words: str, **also: str) -> PlainValidator:
    """Return a reader of one of some words, in any case; `also` maps other spellings."""

    def through(given: object) -> str:
        plain = given.strip().lower() if isinstance(given, str) else ""
        if plain in words:
            return plain
        if plain in also:
            return also[plain]
        said = " or ".join([", ".join(words[:-1]), words[-1]] if words[1:] else words)
        raise refuse(
            Fault(
                f"`{typed_as(given)}` is not {said}", typed_as(given), said, nearest(plain, words)
            )
        )

    return PlainValidator(through)


@dataclass(frozen=True)
class WordOr:
    """A reader of a quantity or of one word in its place."""

    word: str
    measure: Measure

    def __get_pydantic_core_schema__(
        self, source: object, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        """Let pydantic read the field."""

        def through(given: object, info: ValidationInfo) -> Quantity | str:
            if isinstance(given, str) and given.strip().lower() == self.word:
                return self.word
            return self.measure.read(given, info.context)

        return core_schema.with_info_plain_validator_function(through)


@dataclass(frozen=True)
class Reads:
    """A reader of one field, and what may stand in it in words."""

    allowed: str
    read: Callable[[object], object]

    def __get_pydantic_core_schema__(
        self, source: object, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        """Let pydantic read the field."""
        return core_schema.no_info_plain_validator_function(self.read)


def entries(least: int, most: int) -> AfterValidator:
    """Return a check of how many entries a list has."""

    def check(given: tuple[Any, ...]) -> tuple[Any, ...]:
        if not least <= len(given) <= most:
            raise refuse(
                Fault(
                    f"has {len(given) or 'no'} entries; write from {least} to {most}",
                    f"{len(given)} entries",
                    f"from {least} to {most} entries",
                )
            )
        return given

    return AfterValidator(check)


LidField = Annotated[Lid, PlainValidator(read_lid)]
WhenField = Annotated[When, PlainValidator(read_when)]
Gallons = Annotated[
    Literal["us", "imperial"], one_of("us", "imperial", imp="imperial", uk="imperial")
]


def allowed_in(parts: list[Any]) -> str:
    """Say what may stand in a field, from its annotation and the metadata beside it."""
    for part in parts:
        if isinstance(part, (Measure, Reads)):
            return part.allowed
        if isinstance(part, WordOr):
            return f"`{part.word}`, or {part.measure.allowed}"
        if part is Lid:
            return LIDS
        if part == When:
            return WHENS
        if get_origin(part) is Literal:
            return ", ".join(f"`{word}`" for word in get_args(part))
        if get_origin(part) in {Union, UnionType, tuple} or hasattr(part, "__metadata__"):
            return allowed_in([*getattr(part, "__metadata__", ()), *get_args(part)])
    return "text"
