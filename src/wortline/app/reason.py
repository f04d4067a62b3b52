"""A reason: what a number is, its formula in words, its inputs and its functions."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Reason:
    """How a number comes about; inputs ending in `*` stand for all that begin so."""

    what: str
    formula: str
    inputs: tuple[str, ...] = ()
    functions: tuple[str, ...] = ()


LEDGER = (
    "recipe.batch",
    "rig.hold_up",
    "rig.kettle.left_behind",
    "rig.hops_hold.*",
    "rig.boil_off",
    "recipe.boil.for",
    "rig.mash.grain_holds",
)
EXTRACT = ("recipe.grist.*", "rig.mash.efficiency", "rig.mash.conversion")
HEAT = ("rig.element.*", "rig.kettle.*", "day.air", "day.pressure", "model.surface_loss")
REST = ("recipe.chill.*", "rig.chillers.*", "day.*", "rig.kettle.diameter", "model.surface_loss")
