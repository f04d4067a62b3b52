"""The whirlpool against printed values, and its constants against what is said of them."""

from dataclasses import replace

import numpy as np

from wortline.science import bottom_layer, cone, settling, swirl_constants, turning, viscosity
from wortline.science.swirl_constants import SwirlConstants
from wortline.science.swirl_drive import (
    Drive,
    jet_torque_n_m,
    outflow_torque_n_m,
    slowing_min,
    spin_up_min,
    terminal_rad_s,
)
from wortline.science.swirl_kettle import (
    SwirlKettle,
    body_of,
    drive_of,
    hot_wort_viscosity_mpa_s,
    jet_turbulence_m_s,
)
from wortline.science.turning import Body
from wortline.science.whirlpool import run

CASES = "whirlpool.toml"

USUAL = SwirlConstants()
KETTLE = SwirlKettle(0.36, 30.0, 10.0, 0.010, hops_free_kg=0.036)
# As printed: Re 1.69e5 at 2.33 rad/s, inertia 0.491 kg m2.
BODY = Body(0.18, 0.030 / (np.pi * 0.18**2), 1010.0, 2.33 * 0.18**2 / 1.69e5)
DRIVE = Drive(10.0, 0.010)
TURNING = 2.33


class Printed:
    """The functions of this project, asked as the printed values put it."""

    @staticmethod
    def left_after(height_ratio, passed):
        body = Body(1.0, height_ratio, 1000.0, 1e-6)
        tau = turning.linear_spin_down_min(1.0, body)
        return turning.laminar_turning_left(passed * tau, 1.0, body)

    @staticmethod
    def base_jet_speed_m_s():
        return turning.jet_speed_m_s(10.0, 0.010)

    @staticmethod
    def base_thrust_n():
        return 1010.0 * 10.0 / 60000.0 * turning.jet_speed_m_s(10.0, 0.010)

    @staticmethod
    def base_inertia_kg_m2():
        return turning.bulk_inertia_kg_m2(BODY)

    @staticmethod
    def base_jet_n_m():
        return jet_torque_n_m(BODY, DRIVE, USUAL)

    @staticmethod
    def base_outflow_n_m():
        return outflow_torque_n_m(TURNING, BODY, DRIVE, USUAL)

    @staticmethod
    def base_floor_n_m():
        return turning.floor_torque_n_m(TURNING, BODY)

    @staticmethod
    def base_side_n_m():
        return turning.side_torque_n_m(TURNING, BODY)

    @staticmethod
    def base_laminar_n_m():
        return turning.laminar_torque_n_m(TURNING, BODY)

    @staticmethod
    def base_reynolds():
        return turning.reynolds_of_turning(TURNING, body_of(KETTLE))

    @staticmethod
    def base_linear_s():
        return 60.0 * turning.linear_spin_down_min(TURNING, BODY)

    @classmethod
    def base_turns(cls):
        return cls.kettle_turns(0.36, 30.0, 10.0, 0.010)

    @classmethod
    def base_t95_s(cls):
        return cls.kettle_t95_s(0.36, 30.0, 10.0, 0.010)

    @staticmethod
    def base_turns_after(after_min):
        resting = run(KETTLE, 3.0).resting
        return resting.at(after_min, resting.turns_per_min)

    @staticmethod
    def of_kettle(diameter_m, wort_hot_l, flow_l_min, nozzle_m, obstacle_m2=0.0):
        kettle = SwirlKettle(
            diameter_m, wort_hot_l, flow_l_min, nozzle_m, 0.036, obstacle_m2=obstacle_m2
        )
        body = body_of(kettle)
        return body, drive_of(kettle, body)

    @classmethod
    def kettle_turns(cls, *kettle, **named):
        return turning.turns_per_min(terminal_rad_s(*cls.of_kettle(*kettle, **named), USUAL))

    @classmethod
    def kettle_t95_s(cls, *kettle, **named):
        return 60.0 * spin_up_min(*cls.of_kettle(*kettle, **named), USUAL)

    @classmethod
    def kettle_half_s(cls, *kettle, **named):
        body, drive = cls.of_kettle(*kettle, **named)
        return 60.0 * slowing_min(terminal_rad_s(body, drive, USUAL), body, drive, USUAL)

    @classmethod
    def obstructed_turns(cls, obstacle_m2):
        return cls.kettle_turns(0.36, 30.0, 10.0, 0.010, obstacle_m2=obstacle_m2)

    @classmethod
    def obstructed_half_s(cls, obstacle_m2):
        return cls.kettle_half_s(0.36, 30.0, 10.0, 0.010, obstacle_m2=obstacle_m2)

    @staticmethod
    def rad_s(turns):
        return turns * np.pi / 30.0

    @classmethod
    def layer_mm(cls, turns):
        return 1000.0 * bottom_layer.layer_m(cls.rad_s(turns), BODY.viscosity_m2_s)

    @classmethod
    def inflow_l_min(cls, turns):
        return bottom_layer.turbulent_inflow_l_min(cls.rad_s(turns), BODY)

    @classmethod
    def laminar_inflow_l_min_at(cls, turns, share):
        return bottom_layer.laminar_inflow_l_min(
            cls.rad_s(turns), BODY.viscosity_m2_s, share * 0.18
        )

    @classmethod
    def upwelling_mm_s(cls, turns):
        return 1000.0 * bottom_layer.upwelling_m_s(cls.rad_s(turns), BODY, 0.1)

    @staticmethod
    def hot_settling_mm_s(size_um, excess_kg_m3):
        body = body_of(KETTLE)
        thick = 1000.0 * body.viscosity_m2_s * body.density_kg_m3
        return 1000.0 * settling.settling_m_s(size_um, excess_kg_m3, body.density_kg_m3, thick)

    @staticmethod
    def floc_excess(size_um):
        return settling.floc_excess_kg_m3(size_um, 100.0, 2.2)

    @classmethod
    def floc_settling_mm_s(cls, size_um):
        return cls.hot_settling_mm_s(size_um, cls.floc_excess(size_um))

    @staticmethod
    def moving_mm_s(size_um):
        return 1000.0 * settling.moving_friction_speed_m_s(size_um, 45.0, 1010.0, 4.467e-7)

    @classmethod
    def shields(cls, size_um):
        speed = cls.moving_mm_s(size_um) / 1000.0
        return speed**2 * 1010.0 / (9.80665 * 45.0 * 1e-6 * size_um)

    @staticmethod
    def convection_mm_s(loss_w):
        return 1000.0 * settling.convection_m_s(loss_w, BODY, 7.0e-4, 4.211)

    @staticmethod
    def sugar_ratio_95(extract_plato):
        with_sugar = viscosity.sugar_viscosity_mpa_s(95.0, extract_plato)
        return with_sugar / viscosity.sugar_viscosity_mpa_s(95.0, 0.0)

    @staticmethod
    def wort_viscosity(extract_plato):
        return hot_wort_viscosity_mpa_s(95.0, extract_plato)

    @staticmethod
    def viscosity_20(extract_plato):
        return hot_wort_viscosity_mpa_s(20.0, extract_plato)

    @staticmethod
    def cone_cm(volume_l):
        return 100.0 * np.array(cone.cone_size_m(volume_l, 15.0, 0.18))

    @staticmethod
    def film_mm(flow_l_min):
        return 1000.0 * cone.scour_film_m(flow_l_min, 0.08, 0.06, 1000.0, 0.01)

    @staticmethod
    def jet_power_w_kg():
        return jet_turbulence_m_s(10.0, 0.010, 30.0, 0.18) ** 3 / (0.1 * 0.18)

    @staticmethod
    def jet_eddies_cm_s():
        return 100.0 * jet_turbulence_m_s(10.0, 0.010, 30.0, 0.18)

    @staticmethod
    def unpumped_shares():
        rested = run(replace(KETTLE, flow_l_min=0.0), 0.0, 18.0)
        return [rested.suspended_share, rested.cone_share, rested.dusted_share]

    @staticmethod
    def known(name):
        known = swirl_constants.KNOWN[name]
        assert getattr(USUAL, name) == known.value
        return [known.low, known.value, known.high]


def test_published(case, agrees):
    agrees(case, Printed, settling)
