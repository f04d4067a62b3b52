"""The whirlpool: pump on, pump off, rest; what stays in the wort, on the floor, in the cone.

A reduced model: wort turns as one body, driven by a jet and braked by walls; solids settle out of
mixed wort, are lifted where the floor is swept, creep inward with the bottom layer, and set. It
broadcasts: every number may be an array over the members of an ensemble. Directions are sure; every
minute and per cent is a guess until the brewer's own readings calibrate it.
"""

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from wortline.science.cone import DrawOff, draw_off
from wortline.science.deposit import RINGS, Trub, floor_action, moved_trub
from wortline.science.extract import sg_from_plato
from wortline.science.real import Real
from wortline.science.settling import convection_m_s
from wortline.science.swirl_constants import SwirlConstants
from wortline.science.swirl_drive import (
    Drive,
    slowing_min,
    spin_up_min,
    terminal_rad_s,
    turning_over,
)
from wortline.science.swirl_solids import CLASSES, IS_HOP, Solids, solids_in_wort
from wortline.science.turning import Body, jet_speed_m_s, turns_per_min
from wortline.science.viscosity import sugar_viscosity_mpa_s
from wortline.science.water import density_kg_m3, expansion, viscosity_mpa_s

Array = npt.NDArray[np.float64]
PUMP_STEPS, REST_STEPS = 30, 75
# Steps of the rest grow: its first is this share of all of it.
_FIRST_SHARE = 3e-4
# Water near 95 C, thermal expansion by IAPWS-95; wort at 12 degP, heat capacity.
_EXPANSION_PER_K, _HEAT_KJ_KG_K = 7.24e-4, 4.0
# Size of the eddies of the jet over the radius.
_EDDY = 0.1
USUAL = SwirlConstants()


@dataclass(frozen=True)
class SwirlKettle:
    """A kettle of hot wort, its pump, and what swims in it; numbers or arrays over members.

    Attributes
    ----------
    diameter_m : Real
        Inside diameter [m].
    wort_hot_l : Real
        Wort, hot [L].
    flow_l_min : Real
        Flow of the pump, from the side outlet to the tangential nozzle [L/min].
    nozzle_m : Real
        Bore of that nozzle [m].
    hops_free_kg : Real
        Hops that swim free [kg].
    temp_c : Real
        Temperature, the mean of the rest [C].
    extract_plato : Real
        Strength [degP].
    loss_w : Real
        Heat lost during the rest [W].
    hop_bed_l_kg : Real
        Bed of settled hops, with the wort in it, cold [L/kg].
    obstacle_m2 : Real
        Frontal area of coil, element, dip tube or probes in the way [m2].
    floor_open : Real
        1 for a bare floor, 0 under a false bottom or screen [-].
    outlet_m : Real
        Height of the side outlet above the floor [m].
    draw_l_min : Real
        Flow that is drawn near the end [L/min].
    """

    diameter_m: Real
    wort_hot_l: Real
    flow_l_min: Real
    nozzle_m: Real
    hops_free_kg: Real
    temp_c: Real = 95.0
    extract_plato: Real = 12.0
    loss_w: Real = 600.0
    hop_bed_l_kg: Real = 9.0
    obstacle_m2: Real = 0.0
    floor_open: Real = 1.0
    outlet_m: Real = 0.02
    draw_l_min: Real = 4.0


@dataclass(frozen=True)
class Course:
    """A stretch of time; points along the first axis, members behind.

    Attributes
    ----------
    after_min : ndarray
        Time since its start [min].
    turns_per_min : ndarray
        Turns at the surface [1/min].
    clear_fraction : ndarray
        Share of the solids that is not in the wort at the side outlet, 0-1 [-].
    suspended_mg_l : ndarray
        Solids in the wort at the side outlet, dry [mg/L].
    """

    after_min: Array
    turns_per_min: Array
    clear_fraction: Array
    suspended_mg_l: Array

    def at(self, after_min: Real, what: Array) -> Real:
        """Return a line of this course at a time after its start, straight between points."""
        steps = self.after_min
        later = np.clip(np.sum(steps <= after_min, axis=0), 1, len(steps) - 1)[None]
        left, right = (np.take_along_axis(steps, later + k, 0)[0] for k in (-1, 0))
        low, high = (np.take_along_axis(what, later + k, 0)[0] for k in (-1, 0))
        share = np.clip((after_min - left) / (right - left), 0.0, 1.0)
        return (low + share * (high - low))[()]


@dataclass(frozen=True)
class Whirlpool:
    """What a whirlpool and its rest do.

    Attributes
    ----------
    turns_per_min_terminal, turns_per_min_stop : Real
        Turns at the surface if the pump ran on, and when it stops [1/min].
    half_min : Real
        Time after the stop in which the turning halves [min].
    spin_up_min, turnover_min : Real
        Time to 95 % of the turning, and in which the pump moves the whole kettle once [min].
    pump_min : Real
        The larger of the two: pumping longer adds nothing [min].
    pumped_min, rested_min : Real
        What was asked for [min].
    rest_min : Real
        Rest until the wort is clear and still; nan if not within the time looked at [min].
    clear_fraction : Real
        Share of the solids out of the wort at the end of the rest, 0-1 [-].
    suspended_mg_l : Real
        Solids in the wort at the end of the rest, dry [mg/L].
    suspended_share, dusted_share, cone_share : Real
        Of the dry mass at the end of the rest: in the wort, over the outer floor, in the inner half
        of the radius, 0-1 [-].
    suspended_by_class, dusted_by_class, cone_by_class : ndarray
        The same for each class of `classes`, first axis [-].
    kept_up_by_pump : ndarray
        Friction speed on the floor at half the radius with the pump running, over the settling
        speed of each class; above 1 it does not settle there [-].
    cone_cold_l : Real
        Volume of the cone, with the wort in it, cold [L].
    draw_off : DrawOff
        Where to stop drawing, and what half a litre more costs.
    left_cold_l : Real
        What stays in the kettle at the draw-off line, trub and wort, cold [L].
    pumping, resting : Course
        How it goes while the pump runs and after it stops.
    classes : tuple of str
        Names of the classes of solids.
    """

    turns_per_min_terminal: Real
    turns_per_min_stop: Real
    half_min: Real
    spin_up_min: Real
    turnover_min: Real
    pump_min: Real
    pumped_min: Real
    rested_min: Real
    rest_min: Real
    clear_fraction: Real
    suspended_mg_l: Real
    suspended_share: Real
    dusted_share: Real
    cone_share: Real
    suspended_by_class: Array
    dusted_by_class: Array
    cone_by_class: Array
    kept_up_by_pump: Array
    cone_cold_l: Real
    draw_off: DrawOff
    left_cold_l: Real
    pumping: Course
    resting: Course
    classes: tuple[str, ...] = CLASSES
