"""The cold side: heating the water, holding the mash, and what power the boil takes."""

from dataclasses import dataclass

import numpy as np

from wortline.plan.brew import Brew
from wortline.plan.cooling import Pot, Stretch, heat, loss_w, pot
from wortline.plan.hot_side import HotSide
from wortline.plan.loss_curve import JACKET_M, LidCurves
from wortline.science.kettle_heating import (
    boil_off_l_h,
    dry_loss_w,
    heat_capacity_kj_k,
    loss_free_boil_off_l_h,
)
from wortline.science.mash import mash_heat_capacity_kj_k
from wortline.science.real import Real
from wortline.science.standards import COLD_C
from wortline.science.water import density_kg_m3

HEAT_STEPS = 24
RAMP_STEPS = 8


@dataclass(frozen=True)
class ColdSide:
    """Heating to strike, and for each mash rest the heating up to it (None where there is none)."""

    strike: Stretch
    ramps: tuple[Stretch | None, ...]
    mash_pot: Pot


def cold_side(brew: Brew, curves: LidCurves, first_l: Real, strike_c: Real) -> ColdSide:
    """Heat the first water to strike and the mash from rest to rest, at full power."""
    water_kg = first_l * density_kg_m3(COLD_C) / 1000.0
    lid = curves.under(brew.heating_lid)
    water_kj_k = heat_capacity_kj_k(water_kg, 0.0, brew.rig.metal_kj_k)
    strike = heat(pot(brew, lid, first_l, water_kj_k), brew, brew.air.tap_c, strike_c, HEAT_STEPS)
    mash_kj_k = mash_heat_capacity_kj_k(water_kg, brew.grist_kg) + brew.rig.metal_kj_k
    mash_pot = pot(brew, lid, first_l, mash_kj_k)
    ramps: list[Stretch | None] = []
    for before, rest in zip((None, *brew.rests), brew.rests, strict=False):
        rises = before is not None and np.any(np.greater(rest.at_c, before.at_c))
        ramps.append(
            heat(mash_pot, brew, before.at_c, rest.at_c, RAMP_STEPS)
            if before is not None and rises
            else None
        )
    return ColdSide(strike, tuple(ramps), mash_pot)


def dry_boil_loss_w(brew: Brew, preboil_l: Real) -> Real:
    """What the boiling kettle loses other than as steam [W]."""
    height_m = preboil_l / 1000.0 / (np.pi / 4.0 * brew.rig.diameter_m**2)
    jacket_m = JACKET_M if brew.rig.jacket else 0.0
    air = brew.air
    return dry_loss_w(air.air_c, air.pressure_kpa, brew.rig.diameter_m, height_m, jacket_m)


def most_boil_off_l_h(brew: Brew) -> Real:
    """Evaporation if all rated power became steam: the loss-free bound [L/h, cold]."""
    return loss_free_boil_off_l_h(brew.rig.power_w, brew.air.pressure_kpa)


def likely_boil_off_l_h(brew: Brew, preboil_l: Real) -> Real:
    """Evaporation that efficiency and losses leave [L/h, cold]."""
    dry_w = dry_boil_loss_w(brew, preboil_l)
    return boil_off_l_h(brew.rig.power_w, brew.rig.efficiency, dry_w, brew.air.pressure_kpa)


def energy_kwh(brew: Brew, cold: ColdSide, hot: HotSide, preboil_l: Real) -> Real:
    """Electricity from the tap to heat-off [kWh].

    Heating draws full power; a mash rest draws what the kettle loses; the boil draws what the
    measured boil-off takes, at most all there is.
    """
    pieces = [cold.strike, hot.stretches["to_boil"], *(each for each in cold.ramps if each)]
    heating_min = sum((piece.minutes_min for piece in pieces), 0.0)
    drawn_wmin = brew.rig.power_w * heating_min
    for rest in brew.rests:
        lost_w = loss_w(cold.mash_pot, brew, rest.at_c)
        drawn_wmin = drawn_wmin + np.maximum(lost_w, 0.0) / brew.rig.efficiency * rest.for_min
    per_watt_l_h = loss_free_boil_off_l_h(1.0, brew.air.pressure_kpa)
    boil_w = brew.rig.boil_off_l_h / per_watt_l_h + dry_boil_loss_w(brew, preboil_l)
    drawn_w = np.minimum(boil_w / brew.rig.efficiency, brew.rig.power_w)
    return (drawn_wmin + drawn_w * brew.boil_min) / 60.0 / 1000.0
