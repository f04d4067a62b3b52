"""A line-up: how the handles, the pump and the water stand at one moment, as lineup/1."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Annotated, Any, ClassVar, Literal, get_args

from wortline.documents.quantity import Fault, Measure, Quantity, nearest, refuse, typed_as
from wortline.documents.words import Part, Reads, one_of

OnOff = Annotated[Literal["on", "off"], one_of("on", "off")]
MarkWord = Literal["heat", "acid", "no"]
Contents = Literal["wort", "water", "sanitiser", "air"]


def _mapping(example: str, words: tuple[str, ...] = ()) -> Reads:
    """Return a reader of `{part: word}`; any word where none are given."""
    said = " or ".join([", ".join(words[:-1]), words[-1]]) if words else "one word"
    allowed = f"part: {said} in braces or on lines below, such as `{example}`"

    def through(given: object) -> Mapping[str, str]:
        if not isinstance(given, Mapping):
            raise refuse(
                Fault(f"`{typed_as(given)}` does not fit; it needs {allowed}", "", allowed)
            )
        found: dict[str, str] = {}
        faults: list[Fault] = []
        for key, value in given.items():
            word = value.strip() if isinstance(value, str) else ""
            plain = word.lower()
            if (words and plain not in words) or not word:
                near = nearest(plain, words)
                faults.append(
                    Fault(f"`{typed_as(value)}` is not {said}", typed_as(value), said, near, (key,))
                )
            found[str(key).strip()] = plain if words else word
        if faults:
            raise refuse(*faults)
        return MappingProxyType(found)

    return Reads(allowed, through)


_SHARE = Measure("fraction", 0.0, 1.0, example="0 %")
_BLINDED = Measure("fraction", 0.0, 0.999, example="90 %")
_THROTTLE = Measure("fraction", 0.0, 0.95, example="60 %")
_WORT = Measure("temperature", -2.0, 110.0, example="98 C")
_LEVEL = Measure("length", 0.0, 5.0, example="26 cm")
Words = Mapping[str, str]


class LineUp(Part):
    """How everything stands: what is unsaid of a part's cleanness counts as not clean."""

    SCHEMA: ClassVar[str] = "lineup"

    handles: Annotated[Words, _mapping("{K: open, V1: arm, V2: between}")] | None = None
    pump: OnOff | None = None
    water: OnOff | None = None
    water_at: Annotated[Quantity, Measure("temperature", 0.0, 95.0, example="14 C")] | None = None
    element: Annotated[Quantity, _SHARE] | None = None
    wort: Annotated[Quantity, _WORT] | None = None
    outlet: Annotated[Quantity, _WORT] | None = None
    level: Annotated[Quantity, _LEVEL] | None = None
    fermenter_level: Annotated[Quantity, _LEVEL] | None = None
    throttle: Annotated[Quantity, _THROTTLE] | None = None
    blinded: Annotated[Quantity, _BLINDED] | None = None
    hose_ends: Annotated[Words, _mapping("{H4: fermenter}")] | None = None
    clean: Annotated[Words, _mapping("{chiller: heat}", get_args(MarkWord))] | None = None
    holds: Annotated[Words, _mapping("{chiller: wort}", get_args(Contents))] | None = None


KEYS: tuple[str, ...] = tuple(LineUp.model_fields)
MAPPINGS: tuple[str, ...] = ("handles", "hose_ends", "clean", "holds")


def is_mapping(key: str) -> bool:
    """Say whether a key of the line-up holds a word for each part."""
    return key in MAPPINGS


def option_value(key: str, text: str) -> Any:
    """Return what an option's text would be in a document: `V1=arm, V2=kettle` is a mapping."""
    if not is_mapping(key):
        return text
    found: dict[str, str] = {}
    for pair in text.split(","):
        if not pair.strip():
            continue
        name, sign, word = pair.partition("=")
        if not sign:
            name, sign, word = pair.partition(":")
        found[name.strip()] = word.strip()
    return found
