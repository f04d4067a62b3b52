"""The plumbing of a rig: its parts, and which port is joined to which."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from types import MappingProxyType
from typing import Annotated, Literal

from pydantic import model_validator

from wortline.documents.quantity import Fault, Measure, Quantity, nearest, refuse, typed_as
from wortline.documents.words import Part, Reads, entries, one_of

PartKind = Literal[
    "kettle", "hose", "pump", "valve2", "valve3", "chiller", "arm", "check", "tee", "fermenter",
    "drain", "jug", "water",
]  # fmt: skip
KIND_WORDS: tuple[str, ...] = (
    "kettle", "hose", "pump", "valve2", "valve3", "chiller", "arm", "check", "tee", "fermenter",
    "drain", "jug", "water",
)  # fmt: skip


@dataclass(frozen=True)
class Shape:
    """What a kind of part has: its ports, its own fields, and the ports that may stay free."""

    noun: str
    ports: tuple[str, ...]
    fields: frozenset[str] = frozenset()
    free: frozenset[str] = frozenset()


def _shape(noun: str, ports: str, fields: str = "", free: str = "") -> Shape:
    return Shape(noun, tuple(ports.split()), frozenset(fields.split()), frozenset(free.split()))


SHAPES: Mapping[str, Shape] = MappingProxyType(
    {
        "kettle": _shape("kettle", "outlet rim", "outlet bore screen", "outlet rim"),
        "hose": _shape("hose", "a b", "bore length barb movable limit"),
        "pump": _shape("pump", "in out", "curve"),
        "valve2": _shape("two-way valve", "a b", "bore"),
        "valve3": _shape("three-way valve", "in a b", "passage common ways bore"),
        "chiller": _shape(
            "chiller",
            "in out water_in water_out",
            "form gap bore length",
            "water_in water_out",
        ),
        "arm": _shape("return arm", "in", "bore surface tangential"),
        "check": _shape("check valve", "in out", "bore"),
        "tee": _shape("tee", "a b c", "bore"),
        "fermenter": _shape("fermenter", "in", "inlet limit", "in"),
        "drain": _shape("drain", "in", "", "in"),
        "jug": _shape("jug", "in out", "", "in out"),
        "water": _shape("water supply", "out", "guard", "out"),
    }
)
_COMMON = frozenset({"name", "kind", "height", "hold_up"})
_WORD = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,39}")
WORDS_ALLOWED = "letters, digits, `-` and `_`, at most 40"
STOPS = ("off", "shut", "closed", "open", "all", "through", "between", "on", "floor", "capped")


def read_word(given: object) -> str:
    """Return the name of a part or port, which has to stand in `V1=arm` and `V1.arm`."""
    if isinstance(given, str) and _WORD.fullmatch(given.strip()):
        return given.strip()
    text = f"`{typed_as(given)}` cannot be a name here; use {WORDS_ALLOWED}"
    raise refuse(Fault(text, typed_as(given), WORDS_ALLOWED))


Word = Annotated[str, Reads(f"a name of {WORDS_ALLOWED}", read_word)]
YesNo = Annotated[Literal["yes", "no"], one_of("yes", "no", true="yes", false="no")]
_LENGTH = Measure("length", 0.0, 100.0, low_open=True, example="1.2 m")
_BORE = Measure("length", 0.0, 0.2, low_open=True, example="12.7 mm")


class CurvePoint(Part):
    """One point of a pump's curve."""

    flow: Annotated[Quantity, Measure("flow", 0.0, 1000.0, example="12 L/min")]
    head: Annotated[Quantity, Measure("length", 0.0, 100.0, example="2.9 m")]


class PipePart(Part):
    """A part of the plumbing; `height` is above the floor, of a vessel its inside bottom."""

    name: Word
    kind: Annotated[PartKind, one_of(*KIND_WORDS)]
    height: Annotated[Quantity, Measure("length", -10.0, 20.0, example="80 cm")] | None = None
    hold_up: Annotated[Quantity, Measure("volume", 0.0, 1000.0, example="0.15 L")] | None = None
    bore: Annotated[Quantity, _BORE] | None = None
    length: Annotated[Quantity, _LENGTH] | None = None
    barb: Annotated[Quantity, _BORE] | None = None
    movable: YesNo | None = None
    limit: Annotated[Quantity, Measure("temperature", 0.0, 300.0, example="110 C")] | None = None
    outlet: Annotated[Quantity, Measure("length", 0.0, 5.0, example="3 cm")] | None = None
    screen: (
        Annotated[Quantity, Measure("length", 0.0, 0.05, low_open=True, example="0.6 mm")] | None
    ) = None
    curve: Annotated[tuple[CurvePoint, ...], entries(1, 3)] | None = None
    passage: Annotated[Literal["l", "t"], one_of("l", "t")] | None = None
    common: Word | None = None
    ways: Annotated[tuple[Word, ...], entries(2, 2)] | None = None
    form: (
        Annotated[
            Literal["plate", "counterflow", "immersion"],
            one_of("plate", "counterflow", "immersion"),
        ]
        | None
    ) = None
    gap: Annotated[Quantity, Measure("length", 0.0, 0.05, low_open=True, example="2 mm")] | None = (
        None
    )
    tangential: YesNo | None = None
    surface: Annotated[Literal["above", "below"], one_of("above", "below")] | None = None
    inlet: Annotated[Quantity, Measure("length", 0.0, 5.0, example="40 cm")] | None = None
    guard: (
        Annotated[Literal["preventer", "air gap", "none"], one_of("preventer", "air gap", "none")]
        | None
    ) = None

    @property
    def ports(self) -> tuple[str, ...]:
        """Return the names of its ports."""
        if self.kind == "valve3":
            return (self.common or "in", *(self.ways or ("a", "b")))
        if self.kind == "chiller" and self.form == "immersion":
            return ("water_in", "water_out")
        return SHAPES[self.kind].ports

    @property
    def noun(self) -> str:
        """Return what it is in words."""
        return SHAPES[self.kind].noun

    @model_validator(mode="after")
    def _fits_its_kind(self) -> "PipePart":
        shape = SHAPES[self.kind]
        known = _COMMON | shape.fields
        given = [name for name in self.model_fields_set if name not in known]
        faults = [
            Fault(
                f"`{name}` does not belong to a {shape.noun}; it has {', '.join(sorted(known))}",
                typed_as(getattr(self, name)),
                ", ".join(sorted(known)),
                sub=(name,),
            )
            for name in sorted(given)
        ]
        if self.kind == "hose":
            faults += [
                Fault(f"a hose needs its {name}, such as `{measure.example}`", "", measure.allowed)
                for name, measure in (("bore", _BORE), ("length", _LENGTH))
                if getattr(self, name) is None
            ]
        if self.kind == "valve3":
            faults += self._three_way()
        if self.kind == "pump" and self.curve:
            faults += _falling(self.curve)
        if faults:
            raise refuse(*faults)
        return self

    def _three_way(self) -> Iterator[Fault]:
        if self.passage is None:
            yield Fault("a three-way valve needs `passage: L` or `passage: T`", "", "L or T")
        if len(set(self.ports)) < 3:
            said = ", ".join(self.ports)
            yield Fault(f"the three ports of a valve need three names, not {said}", said)
        for name in self.ports:
            if name.lower() in STOPS:
                yield Fault(f"a port cannot be called `{name}`: that is a handle's position", name)


def _falling(curve: Sequence[CurvePoint]) -> Iterator[Fault]:
    points = [(point.flow.value, point.head.value) for point in curve]
    steps = list(pairwise(points))
    if any(after[0] <= before[0] or after[1] >= before[1] for before, after in steps):
        text = "the points of a pump's curve go from the least flow up, and the head falls"
        yield Fault(text, sub=("curve",))


JOIN_ALLOWED = "two ports, such as `[K.b, H1.a]`"


def _read_join(given: object) -> tuple[str, str]:
    if (
        isinstance(given, (list, tuple))
        and len(given) == 2
        and all(isinstance(end, str) and end.strip() for end in given)
    ):
        return given[0].strip(), given[1].strip()
    raise refuse(
        Fault(f"`{typed_as(given)}` is not a join; write {JOIN_ALLOWED}", "", JOIN_ALLOWED)
    )


Join = Annotated[tuple[str, str], Reads(JOIN_ALLOWED, _read_join)]
Port = tuple[str, str]


class Plumbing(Part):
    """The parts the wort runs through, and which port is joined to which."""

    parts: Annotated[tuple[PipePart, ...], entries(1, 200)]
    joins: Annotated[tuple[Join, ...], entries(0, 400)]
    capped: tuple[str, ...] = ()

    @model_validator(mode="after")
    def _hangs_together(self) -> "Plumbing":
        faults = [*_twice(self.parts), *_joins(self), *_vessels(self.parts)]
        if not faults:
            faults = list(_open_ports(self))
        if faults:
            raise refuse(*faults)
        return self

    @property
    def joined(self) -> tuple[tuple[Port, Port], ...]:
        """Return the joins with every port in full."""
        parts = {part.name: part for part in self.parts}
        return tuple((_end(parts, a)[0], _end(parts, b)[0]) for a, b in self.joins)

    @property
    def shut_ports(self) -> frozenset[Port]:
        """Return the ports that carry a cap."""
        parts = {part.name: part for part in self.parts}
        return frozenset(_end(parts, port)[0] for port in self.capped)


def _twice(parts: Sequence[PipePart]) -> Iterator[Fault]:
    seen: dict[str, str] = {}
    for index, part in enumerate(parts):
        other = seen.setdefault(part.name.lower(), part.name)
        if other is not part.name:
            text = f"`{part.name}` and `{other}` are names of two parts; give each its own"
            yield Fault(text, part.name, sub=("parts", index, "name"))
        if part.name.lower() in STOPS:
            text = f"a part cannot be called `{part.name}`: that is a handle's position"
            yield Fault(text, part.name, sub=("parts", index, "name"))


def _vessels(parts: Sequence[PipePart]) -> Iterator[Fault]:
    kettles = [index for index, part in enumerate(parts) if part.kind == "kettle"]
    if not kettles:
        yield Fault("there is no kettle among the parts; add one of kind kettle", "", "a kettle")
    for index in kettles[1:]:
        text = "this is a second kettle; a rig here has one"
        yield Fault(text, parts[index].name, sub=("parts", index))
    if not any(part.kind in {"fermenter", "drain", "jug", "arm"} for part in parts):
        sinks = "an arm, a fermenter, a drain or a jug"
        yield Fault(f"the wort has nowhere to go: no sink among the parts; add {sinks}", "", sinks)


def _end(parts: Mapping[str, PipePart], typed: str) -> tuple[Port, str]:
    """Return a typed port in full, and a complaint or nothing."""
    name, dot, port = typed.partition(".")
    name, port = name.strip(), port.strip()
    part = parts.get(name)
    if part is None:
        near = nearest(name, tuple(parts))
        known = ", ".join(parts)
        return (name, port), (
            f"`{typed}` names no part of this rig; "
            + (f"did you mean `{near}`?" if near else f"its parts are {known}")
        )
    if not dot and len(part.ports) == 1:
        return (name, part.ports[0]), ""
    if port not in part.ports:
        said = ", ".join(f"{name}.{each}" for each in part.ports)
        return (name, port), f"`{typed}` is not a port of this {part.noun}; it has {said}"
    return (name, port), ""


def _joins(plumbing: Plumbing) -> Iterator[Fault]:
    parts = {part.name: part for part in plumbing.parts}
    taken: dict[Port, str] = {}
    for index, typed in enumerate(plumbing.joins):
        ends = [_end(parts, each) for each in typed]
        for each, (port, complaint) in zip(typed, ends, strict=True):
            if complaint:
                yield Fault(complaint, each, sub=("joins", index))
            elif port in taken:
                text = f"`{each}` is joined already, to `{taken[port]}`; a tee joins three"
                yield Fault(text, each, sub=("joins", index))
        if ends[0][0][0] == ends[1][0][0]:
            name = ends[0][0][0]
            yield Fault(f"`{name}` is joined to itself", name, sub=("joins", index))
        taken[ends[0][0]], taken[ends[1][0]] = typed[1], typed[0]
    for index, each in enumerate(plumbing.capped):
        port, complaint = _end(parts, each)
        if complaint:
            yield Fault(complaint, each, sub=("capped", index))
        elif port in taken:
            text = f"`{each}` is capped and joined to `{taken[port]}`; it can be one of them"
            yield Fault(text, each, sub=("capped", index))


def _open_ports(plumbing: Plumbing) -> Iterator[Fault]:
    taken = {port for join in plumbing.joined for port in join} | plumbing.shut_ports
    for index, part in enumerate(plumbing.parts):
        free = SHAPES[part.kind].free
        for port in part.ports:
            loose = part.kind == "hose" and port == "b" and part.movable == "yes"
            if port not in free and not loose and (part.name, port) not in taken:
                text = (
                    f"a join is missing: `{part.name}.{port}` leads nowhere; "
                    "join it or name it under `capped`"
                )
                yield Fault(text, f"{part.name}.{port}", sub=("parts", index))
