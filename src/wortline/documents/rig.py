"""The rig: the brewer's own hardware, as schema rig/1."""

from itertools import pairwise
from math import pi
from typing import Annotated, ClassVar, Literal

from pydantic import model_validator

from wortline.documents.chiller import Chiller
from wortline.documents.plumbing import Plumbing, YesNo
from wortline.documents.quantity import Fault, Measure, Quantity, refuse
from wortline.documents.words import Gallons, Name, Note, Part, WordOr, entries, one_of

_EFFICIENCY = Measure("fraction", 0.0, 2.0, low_open=True)


class Kettle(Part):
    """The vessel: inside diameter, volume to the brim, what stays behind (cold)."""

    diameter: Annotated[Quantity, Measure("length", 0.0, 5.0, low_open=True)]
    brim: Annotated[Quantity, Measure("volume", 0.0, 5000.0, low_open=True, example="45 L")]
    left_behind: Annotated[Quantity, Measure("volume", 0.0, 1000.0, example="1.2 L")]
    wall: Annotated[Literal["bare", "jacket"], one_of("bare", "jacket")] | None = None


class Element(Part):
    """The heater: rated power and the share of it that reaches the liquid."""

    power: Annotated[Quantity, Measure("power", 0.0, 200_000.0, low_open=True)]
    efficiency: Annotated[Quantity, Measure("fraction", 0.0, 1.0, low_open=True, example="95 %")]


class MashGear(Part):
    """How this rig mashes: the grain's holder, what grain holds, the efficiency."""

    kind: Annotated[Literal["basket", "bag", "tun"], one_of("basket", "bag", "tun")]
    grain_holds: Annotated[Quantity, Measure("volume_per_mass", 0.0, 5.0)]
    efficiency: Annotated[Quantity | Literal["balance"], WordOr("balance", _EFFICIENCY)]
    conversion: (
        Annotated[Quantity, Measure("fraction", 0.0, 1.0, low_open=True, example="96 %")] | None
    ) = None


class HopsHold(Part):
    """Wort held back by hops, free and contained."""

    free: Annotated[Quantity, Measure("volume_per_mass", 0.0, 50.0, example="9 L/kg")]
    contained: Annotated[Quantity, Measure("volume_per_mass", 0.0, 50.0, example="5 L/kg")]


class Containment(Part):
    """Share of bitterness lost by hops in a bag or a mesh basket."""

    bag: Annotated[Quantity, Measure("fraction", 0.0, 1.0, example="5 %")]
    mesh: Annotated[Quantity, Measure("fraction", 0.0, 1.0, example="10 %")]


class Swirl(Part):
    """The whirlpool: what drives and hinders it; what was counted, and the wort then (hot)."""

    nozzle: (
        Annotated[Quantity, Measure("length", 0.0, 0.1, low_open=True, example="10 mm")] | None
    ) = None
    flow: Annotated[Quantity, Measure("flow", 0.0, 1000.0, low_open=True)] | None = None
    obstacle: Annotated[Quantity, Measure("area", 0.0, 2.0, example="100 cm2")] | None = None
    floor: Annotated[Literal["open", "screen"], one_of("open", "screen")] | None = None
    outlet: Annotated[Quantity, Measure("length", 0.0, 5.0, example="2 cm")] | None = None
    turns: (
        Annotated[
            tuple[Annotated[Quantity, Measure("turning", 0.0, 300.0, low_open=True)], ...],
            entries(1, 3),
        ]
        | None
    ) = None
    clear_after: (
        Annotated[Quantity, Measure("time", 0.0, 600.0, low_open=True, example="16 min")] | None
    ) = None
    pumped: (
        Annotated[Quantity, Measure("time", 0.0, 600.0, low_open=True, example="3 min")] | None
    ) = None
    wort: Annotated[Quantity, Measure("volume", 0.0, 5000.0, low_open=True)] | None = None
    hops: Annotated[Quantity, Measure("mass", 0.0, 100.0, example="60 g")] | None = None

    @model_validator(mode="after")
    def _slows_down(self) -> "Swirl":
        counted = self.turns or ()
        if any(float(later) >= float(before) for before, later in pairwise(counted)):
            said = ", ".join(each.text for each in counted)
            allowed = "turns that fall: at the stop of the pump, 2 min and 5 min later"
            raise refuse(
                Fault(f"`[{said}]` does not fall; write {allowed}", said, allowed, "", ("turns",))
            )
        return self


class Rig(Part):
    """A rig; every volume is cold (20 C) except the brim, which is the vessel itself."""

    SCHEMA: ClassVar[str] = "rig"

    name: Name
    gallons: Gallons | None = None
    origin: Name | None = None
    notes: Note | None = None
    kettle: Kettle
    element: Element
    boil_off: Annotated[Quantity, Measure("evaporation", 0.0, 2000.0)]
    mash: MashGear
    hold_up: Annotated[Quantity, Measure("volume", 0.0, 1000.0, example="0.7 L")]
    hops_hold: HopsHold
    containment: Containment
    fill: Annotated[Quantity, Measure("flow", 0.0, 1000.0, low_open=True)] | None = None
    drain: Annotated[Quantity, Measure("time", 0.0, 600.0, example="12 min")] | None = None
    transfer: Annotated[Quantity, Measure("flow", 0.0, 1000.0, low_open=True)] | None = None
    swirl: Swirl | None = None
    pump: YesNo | None = None
    plumbing: Plumbing | None = None
    chillers: Annotated[tuple[Chiller, ...], entries(0, 20)] = ()

    @property
    def has_pump(self) -> bool:
        """Whether wort can be pumped; a rig that says nothing about it is taken to have a pump."""
        if self.pump is not None or self.plumbing is None:
            return self.pump != "no"
        return self._pump_in_plumbing

    @property
    def _pump_in_plumbing(self) -> bool:
        return self.plumbing is not None and any(
            part.kind == "pump" for part in self.plumbing.parts
        )

    @model_validator(mode="after")
    def _pump_agrees(self) -> "Rig":
        """The pump of the rig is the pump in its plumbing."""
        if self.pump is None or self.plumbing is None:
            return self
        if (self.pump == "yes") != self._pump_in_plumbing:
            there = "no" if self.pump == "yes" else "a"
            true = "no" if self.pump == "yes" else "yes"
            text = f"`{self.pump}` and the plumbing, which has {there} pump, do not agree"
            raise refuse(Fault(text, self.pump, true, true, ("pump",)))
        return self

    @model_validator(mode="after")
    def _swirl_fits(self) -> "Rig":
        """Outlet, wort and obstacle of the swirl have room in the kettle."""
        swirl, across_m, brim_l = self.swirl, self.kettle.diameter.value, self.kettle.brim.value
        if swirl is None:
            return self
        deep_m = brim_l / 1000.0 / (0.25 * pi * across_m**2)
        faults = []
        for field, most, of_kettle, unit in (
            ("outlet", deep_m, f"the kettle is {100.0 * deep_m:.0f} cm deep", "cm"),
            ("wort", brim_l, f"the kettle holds {brim_l:.4g} L to the brim", "L"),
            ("obstacle", deep_m * across_m,
             f"the kettle is {1e4 * deep_m * across_m:.0f} cm2 seen from the side", "cm2"),
        ):  # fmt: skip
            typed: Quantity | None = getattr(swirl, field)
            if typed is not None and typed.value > most:
                text = f"`{typed.text}` has no room: {of_kettle}"
                allowed = f"less than that, in {unit}"
                faults.append(Fault(text, typed.text, allowed, "", ("swirl", field)))
        if faults:
            raise refuse(*faults)
        return self

    @model_validator(mode="after")
    def _chillers_agree(self) -> "Rig":
        """Names of chillers differ, and one that stands in the plumbing too is the same there."""
        forms = {
            part.name: part.form
            for part in (self.plumbing.parts if self.plumbing else ())
            if part.kind == "chiller"
        }
        faults, names = [], set()
        for index, each in enumerate(self.chillers):
            if each.name in names:
                text = f"a second chiller is called `{each.name}`; give each its own name"
                faults.append(Fault(text, each.name, sub=("chillers", index, "name")))
            names.add(each.name)
            form = forms.get(each.name)
            if form is not None and form != each.kind:
                text = (
                    f"`{each.name}` is a {form} chiller in the plumbing and"
                    f" `{each.kind}` here; make them agree"
                )
                faults.append(Fault(text, each.kind, form, form, ("chillers", index, "kind")))
        if faults:
            raise refuse(*faults)
        return self
