"""A chiller of the rig: what it is, and one reading of it or its conductance."""

from collections.abc import Iterator
from typing import Annotated, Literal

import numpy as np
from pydantic import model_validator

from wortline.documents.plumbing import Word, YesNo
from wortline.documents.quantity import Fault, Measure, Quantity, refuse
from wortline.documents.words import Part, one_of
from wortline.science.chiller import ua_of_reading_w_k

ChillerKind = Literal["plate", "counterflow", "immersion"]
_C = Measure("temperature", 0.0, 110.0, example="31 C")
_WATER_C = Measure("temperature", 0.0, 95.0, example="14 C")
_FLOW = Measure("flow", 0.0, 1000.0, low_open=True, example="5 L/min")


class Reading(Part):
    """One steady reading of a chiller: both streams on their way in, the wort on its way out."""

    wort_in: Annotated[Quantity, _C]
    wort_out: Annotated[Quantity, _C]
    wort: Annotated[Quantity, _FLOW]
    water: Annotated[Quantity, _FLOW]
    water_in: Annotated[Quantity, _WATER_C]

    @property
    def ua_w_k(self) -> float:
        """Return the conductance behind the reading; nan where there is none."""
        return float(
            ua_of_reading_w_k(
                self.wort_in.value,
                self.wort_out.value,
                self.wort.value,
                self.water.value,
                self.water_in.value,
            )
        )

    @model_validator(mode="after")
    def _can_be(self) -> "Reading":
        if faults := list(self._faults()):
            raise refuse(*faults)
        return self

    def _faults(self) -> Iterator[Fault]:
        out, into, water = self.wort_out, self.wort_in, self.water_in
        if out.value >= into.value:
            text = f"the wort leaves at `{out.text}`, no colder than the `{into.text}` it came with"
            yield Fault(text, out.text, f"below `{into.text}`", sub=("wort_out",))
        elif out.value <= water.value:
            text = (
                f"the wort leaves at `{out.text}`, no warmer than the water at `{water.text}`; no"
                " chiller does that"
            )
            yield Fault(text, out.text, f"above `{water.text}`", sub=("wort_out",))
        elif np.isnan(self.ua_w_k):
            text = (
                f"`{self.water.text}` of water cannot take up what this wort loses: it would leave"
                " hotter than the wort comes. Measure both flows again with bucket and clock"
            )
            yield Fault(text, self.water.text, "more water, or less wort", sub=("water",))


class Chiller(Part):
    """A chiller: from a `reading`, from its `ua`, or typical of its kind where neither stands."""

    name: Word
    kind: Annotated[ChillerKind, one_of("plate", "counterflow", "immersion", coil="immersion")]
    reading: Reading | None = None
    ua: Annotated[Quantity, Measure("conductance", 0.0, 50_000.0, low_open=True)] | None = None
    stirred: YesNo | None = None
    wort: Annotated[Quantity, _FLOW] | None = None
    water: Annotated[Quantity, _FLOW] | None = None

    @model_validator(mode="after")
    def _fits_its_kind(self) -> "Chiller":
        if faults := list(self._faults()):
            raise refuse(*faults)
        return self

    def _faults(self) -> Iterator[Fault]:
        coil = self.kind == "immersion"
        if self.reading and self.ua:
            text = "has both `reading` and `ua`; keep the reading, it says the same"
            yield Fault(text, self.ua.text, "one of `reading` and `ua`", sub=("ua",))
        if coil and self.reading:
            text = (
                "a coil has no way out for wort, so it has no such reading; write"
                " `ua: 400 W/K, stirred: yes`, or leave both out"
            )
            yield Fault(text, "", "ua and stirred", sub=("reading",))
        if coil and self.wort:
            text = "no wort is pumped through a coil; leave `wort` out"
            yield Fault(text, self.wort.text, "water alone", sub=("wort",))
        if not coil and self.stirred:
            text = f"`stirred` is said of an immersion coil, not of a {self.kind} chiller"
            yield Fault(text, self.stirred, "nothing", sub=("stirred",))
        if coil and self.ua and self.stirred is None:
            text = "say whether this `ua` is with stirring: `stirred: yes` or `stirred: no`"
            yield Fault(text, self.ua.text, "yes or no", sub=("stirred",))
