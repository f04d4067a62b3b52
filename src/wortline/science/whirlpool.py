"""The whirlpool: pump on, pump off, rest; what stays in the wort, on the floor, in the cone.

A reduced model: wort turns as one body, driven by a jet and braked by walls; solids settle out of
mixed wort, are lifted where the floor is swept, creep inward with the bottom layer, and set. It
broadcasts: every number may be an array over the members of an ensemble. Directions are sure; every
minute and per cent is a guess until the brewer's own readings calibrate it.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from wortline.science.bottom_layer import floor_friction_speed_m_s
from wortline.science.cone import DrawOff, draw_off
from wortline.science.numerics import quotient
from wortline.science.real import Real
from wortline.science.swirl_constants import SwirlConstants
from wortline.science.swirl_course import Course, Setting, even_steps_min, growing_steps_min
from wortline.science.swirl_drive import slowing_min, spin_up_min, terminal_rad_s
from wortline.science.swirl_kettle import SwirlKettle
from wortline.science.swirl_solids import CLASSES, IS_HOP
from wortline.science.turning import Body, turns_per_min
from wortline.science.water import expansion

Array = npt.NDArray[np.float64]
USUAL = SwirlConstants()
# What is drawn below the draw-off line to say what it costs.
MORE_L = 0.5


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
    half_litre_more_mg_l : Real
        What half a litre below that line adds to the solids of all wort drawn, dry [mg/L].
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
    half_litre_more_mg_l: Real
    pumping: Course
    resting: Course
    classes: tuple[str, ...] = CLASSES


def _clear_from_min(resting: Course, body: Body, constants: SwirlConstants) -> Real:
    """Return from when on the wort is clear and still; nan if it never stays so."""
    wall_m_s = resting.turns_per_min * np.pi / 30.0 * body.radius_m
    dirt = resting.suspended_mg_l / constants.clear_mg_l
    return resting.below_one_min(np.maximum(dirt, wall_m_s / constants.still_m_s))


def run(
    kettle: SwirlKettle,
    pump_min: Real | None = None,
    rest_min: Real = 15.0,
    constants: SwirlConstants = USUAL,
    rest_flow_l_min: Real = 0.0,
    seen_min: float = 60.0,
) -> Whirlpool:
    """Return what a whirlpool and its rest do.

    Parameters
    ----------
    kettle : SwirlKettle
        The kettle, its pump and its solids.
    pump_min : Real, optional
        Time the pump runs; the time after which more adds nothing, if not given [min].
    rest_min : Real
        Rest after it [min].
    constants : SwirlConstants
        Constants of the model.
    rest_flow_l_min : Real
        Flow that goes on through the nozzle during the rest [L/min].
    seen_min : float
        How long a rest is looked at to find when the wort is clear [min].

    Returns
    -------
    Whirlpool
        All results; arrays where any number given is one.

    Notes
    -----
    All solids are in the wort at the start: the boil has just ended. Nothing here was measured in a
    home kettle; see `swirl_constants` for what was chosen.

    References
    ----------
    Greenspan, H. P., Howard, L. N. (1963). On a time-dependent motion of a rotating fluid. Journal
    of Fluid Mechanics 17, 385-404. Martin, D., Nokes, R. (1989). A fluid-dynamical study of crystal
    settling in convecting magmas. Journal of Petrology 30, 1471-1500 (from memory).
    """
    setting = Setting.of(
        kettle, constants, rest_min, rest_flow_l_min, 0.0 if pump_min is None else pump_min
    )
    body, drive, shape = setting.body, setting.drive, setting.shape
    spin_up = spin_up_min(body, drive, constants)
    turnover = quotient(kettle.wort_hot_l, kettle.flow_l_min)
    enough = np.where(np.greater(kettle.flow_l_min, 0.0), np.maximum(spin_up, turnover), 0.0)[()]
    pumped = enough if pump_min is None else pump_min
    steps = even_steps_min(pumped, shape)
    pumping, trub, stop = setting.passed(setting.start, 0.0, steps, kettle.flow_l_min)
    steps = growing_steps_min(np.maximum(seen_min, rest_min), shape)
    resting, _, _ = setting.passed(trub, stop, steps, rest_flow_l_min)

    by_class = {
        name: np.stack(
            [np.asarray(resting.at(rest_min, each)) for each in np.moveaxis(curve, 1, 0)]
        )
        for name, curve in (("up", resting.suspended_by_class), ("cone", resting.cone_by_class))
    }
    up, cone = by_class["up"], by_class["cone"]
    load, part = setting.solids.load_mg_l, setting.part
    terminal = terminal_rad_s(body, drive, constants)
    cone_cold_l = _cone_cold_l(kettle, cone, load, constants)
    larger = expansion(kettle.temp_c)
    in_cone_mg = np.sum(load * cone, axis=0) * kettle.wort_hot_l
    line = draw_off(
        cone_cold_l * larger,
        body.radius_m,
        kettle.outlet_m,
        kettle.draw_l_min,
        body.density_kg_m3,
        constants,
        MORE_L,
    )
    return Whirlpool(
        turns_per_min_terminal=turns_per_min(terminal),
        turns_per_min_stop=pumping.turns_per_min[-1],
        half_min=slowing_min(np.where(stop > 0.0, stop, np.nan)[()], body, drive, constants),
        spin_up_min=spin_up,
        turnover_min=turnover,
        pump_min=enough,
        pumped_min=pumped,
        rested_min=rest_min,
        rest_min=_clear_from_min(resting, body, constants),
        clear_fraction=resting.at(rest_min, resting.clear_fraction),
        suspended_mg_l=resting.at(rest_min, resting.suspended_mg_l),
        suspended_share=np.sum(part * up, axis=0),
        dusted_share=np.sum(part * (1.0 - up - cone), axis=0),
        cone_share=np.sum(part * cone, axis=0),
        suspended_by_class=up,
        dusted_by_class=1.0 - up - cone,
        cone_by_class=cone,
        kept_up_by_pump=_kept_up(setting, terminal),
        cone_cold_l=cone_cold_l,
        draw_off=line,
        left_cold_l=line.left_hot_l / larger,
        half_litre_more_mg_l=_half_litre_more_mg_l(kettle, line, in_cone_mg),
        pumping=pumping,
        resting=resting,
    )


def resting_course(
    kettle: SwirlKettle, pump_min: Real, constants: SwirlConstants, seen_min: float
) -> Course:
    """Return how the wort rests after the pump, and nothing else of a run.

    Parameters
    ----------
    kettle : SwirlKettle
        The kettle, its pump and its solids.
    pump_min : Real
        Time the pump runs [min].
    constants : SwirlConstants
        Constants of the model.
    seen_min : float
        How long the rest is looked at [min].

    Returns
    -------
    Course
        The same as `resting` of `run`, in less time.

    References
    ----------
    Martin, D., Nokes, R. (1989). A fluid-dynamical study of crystal settling in convecting magmas.
    Journal of Petrology 30, 1471-1500 (from memory).
    """
    setting = Setting.of(kettle, constants, pump_min)
    steps = even_steps_min(pump_min, setting.shape)
    _, trub, stop = setting.passed(setting.start, 0.0, steps, kettle.flow_l_min)
    steps = growing_steps_min(seen_min, setting.shape)
    return setting.passed(trub, stop, steps, 0.0)[0]


def _half_litre_more_mg_l(kettle: SwirlKettle, line: DrawOff, in_cone_mg: Array) -> Real:
    """Return by how much the cone that comes along raises the solids of all wort drawn."""
    drawn_l = np.maximum(kettle.wort_hot_l - line.left_hot_l, 0.0) + MORE_L
    raised: Real = line.more_trub_share * in_cone_mg / drawn_l
    return raised


def _kept_up(setting: Setting, terminal_rad_s: Real) -> Array:
    body, kettle = setting.body, setting.kettle
    turning = np.maximum(terminal_rad_s, 1e-6)
    swirl = floor_friction_speed_m_s(turning, body.viscosity_m2_s, 0.5 * body.radius_m)
    speed = kettle.floor_open * np.hypot(swirl, setting.stir_m_s(kettle.flow_l_min))
    return np.asarray(speed / setting.solids.settling_m_s)


def _cone_cold_l(
    kettle: SwirlKettle, cone: Array, load_mg_l: Array, constants: SwirlConstants
) -> Real:
    """Return the bed of what lies in the cone; each class brings its share of its kind's bed."""
    hop_shape, break_shape = load_mg_l[IS_HOP], load_mg_l[~IS_HOP]
    hops = np.sum(hop_shape * cone[IS_HOP], axis=0) / np.maximum(np.sum(hop_shape, axis=0), 1e-9)
    break_kg = 1e-6 * np.sum(break_shape * cone[~IS_HOP], axis=0) * kettle.wort_hot_l
    hop_bed_l: Real = kettle.hop_bed_l_kg * kettle.hops_free_kg * hops
    bed_l: Real = hop_bed_l + constants.break_bed_l_kg * break_kg
    return bed_l
