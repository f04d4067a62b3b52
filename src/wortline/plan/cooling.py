"""Wort in the kettle warming under power and cooling without it, step by step over all members."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from wortline.plan.brew import Brew
from wortline.plan.loss_curve import LossCurve
from wortline.science.real import Real

Array = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Stretch:
    """A piece of the temperature curve: shape (steps, ...members) but for `end_c` (one more).

    `mid_c` is what the kinetics use for a whole step; `steam_kg` is what evaporates in it.
    """

    step_min: Array
    mid_c: Array
    ends_c: Array
    steam_kg: Array

    @property
    def minutes_min(self) -> Array:
        """Length of the stretch [min]."""
        total: Array = self.step_min.sum(axis=0)
        return total


@dataclass(frozen=True)
class Pot:
    """What loses heat: the kettle's geometry and what is in it, under one lid."""

    curve: LossCurve
    surface_m2: Real
    wall_m2: Real
    heat_kj_k: Real
    surface_factor: Real
    hose_w_k: Real = 0.0
    pump_w: Real = 0.0


def pot(brew: Brew, curve: LossCurve, cold_l: Real, heat_kj_k: Real, pumped: bool = False) -> Pot:
    """The kettle with this much wort in it, the pump running or not."""
    surface_m2 = np.pi / 4.0 * brew.rig.diameter_m**2
    height_m = cold_l / 1000.0 / surface_m2
    return Pot(
        curve=curve,
        surface_m2=surface_m2,
        wall_m2=np.pi * brew.rig.diameter_m * height_m,
        heat_kj_k=heat_kj_k,
        surface_factor=brew.models.surface_loss,
        hose_w_k=brew.models.hose_loss_w_k if pumped else 0.0,
        pump_w=brew.models.pump_heat_w if pumped else 0.0,
    )


def loss(kettle: Pot, brew: Brew, bulk_c: Real) -> tuple[Array, Array]:
    """Heat [W] and steam [kg/min] leaving the kettle at these temperatures."""
    surface_w_m2, steam_kg_m2_min, wall_w_m2 = kettle.curve.at(bulk_c, brew.air)
    area_m2 = kettle.surface_m2 * kettle.surface_factor
    hoses_w = kettle.hose_w_k * (bulk_c - brew.air.air_c) - kettle.pump_w
    return (
        area_m2 * surface_w_m2 + kettle.wall_m2 * wall_w_m2 + hoses_w,
        area_m2 * steam_kg_m2_min,
    )


def rest(kettle: Pot, brew: Brew, start_c: Real, minutes_min: Real, steps: int) -> Stretch:
    """Cooling with the element off: the midpoint rule, second order in the step."""
    step_min = minutes_min / steps
    temp_c = np.asarray(start_c + 0.0 * step_min + 0.0 * kettle.heat_kj_k)
    ends, mids, steams = [temp_c], [], []
    per_min = 60.0 / 1000.0 / kettle.heat_kj_k
    for _ in range(steps):
        loss_w, _steam = loss(kettle, brew, temp_c)
        mid_c = temp_c - 0.5 * step_min * loss_w * per_min
        loss_w, steam_kg_min = loss(kettle, brew, mid_c)
        temp_c = temp_c - step_min * loss_w * per_min
        ends.append(temp_c)
        mids.append(0.5 * (ends[-2] + temp_c))
        steams.append(steam_kg_min * step_min)
    shape = (steps, *temp_c.shape)
    return Stretch(
        np.broadcast_to(step_min, shape), np.array(mids), np.array(ends), np.array(steams)
    )


def heat(kettle: Pot, brew: Brew, start_c: Real, end_c: Real, steps: int) -> Stretch:
    """Heating at full power, cut into equal pieces of temperature; infinite if it never gets there.

    The time of a piece is its heat over what the element leaves after the losses at its middle.
    """
    cut = np.linspace(0.0, 1.0, steps + 1)
    rise_dk = np.maximum(np.asarray(end_c - start_c, dtype=np.float64), 0.0)
    ends_c = np.asarray(start_c) + np.multiply.outer(cut, rise_dk)
    mid_c = 0.5 * (ends_c[1:] + ends_c[:-1])
    loss_w, steam_kg_min = loss(kettle, brew, mid_c)
    net_w = brew.rig.power_w * brew.rig.efficiency - loss_w
    piece_kj = kettle.heat_kj_k * np.diff(ends_c, axis=0)
    enough = np.where(net_w > 0.0, net_w, 1.0)
    never = np.where(piece_kj > 0.0, np.inf, 0.0)
    step_min = np.where(net_w > 0.0, piece_kj * 1000.0 / enough / 60.0, never)
    return Stretch(step_min, mid_c, ends_c, np.where(net_w > 0.0, step_min, 0.0) * steam_kg_min)


def fall(kettle: Pot, brew: Brew, ends_c: Array, step_min: Array) -> Stretch:
    """A prescribed temperature curve, as a chiller makes it: only its steam is worked out."""
    mid_c = 0.5 * (ends_c[1:] + ends_c[:-1])
    _loss_w, steam_kg_min = loss(kettle, brew, mid_c)
    return Stretch(step_min, mid_c, ends_c, steam_kg_min * step_min)
