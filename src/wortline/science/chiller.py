"""A chiller: its conductance from a reading, at other flows, and what it does to the wort."""

from typing import NamedTuple

import numpy as np

from wortline.science.exchanger import (
    chill_w_k,
    effectiveness_counterflow,
    effectiveness_one_side_uniform,
    ntu_counterflow,
    stream_w_k,
    ua_at_flows_w_k,
)
from wortline.science.one_pass import WATER_KJ_KG_K, WORT_KG_M3, WORT_KJ_KG_K
from wortline.science.real import Real
from wortline.science.water import density_kg_m3

PLATES_EXPONENT, TUBES_EXPONENT = 0.65, 0.8


class Chiller(NamedTuple):
    """A chiller: its conductance at the flows it is known at, and the most of both flows.

    Attributes
    ----------
    ua_w_k : Real
        Conductance at the known flows [W/K].
    wort_l_min : Real
        Flow of wort it is known at [L/min].
    water_l_min : Real
        Flow of water it is known at [L/min].
    most_wort_l_min : Real
        Most wort the pump sends through it [L/min].
    most_water_l_min : Real
        Most water the tap gives [L/min].
    exponent : float
        How both sides grow with their flow: 0.65 plates, 0.8 tubes [-].
    wort_share : float
        Share of the resistance on the wort's side that changes with its flow [-].
    water_share : float
        Share of the resistance on the water's side [-].
    """

    ua_w_k: Real
    wort_l_min: Real
    water_l_min: Real
    most_wort_l_min: Real
    most_water_l_min: Real
    exponent: float = PLATES_EXPONENT
    wort_share: float = 0.5
    water_share: float = 0.5


class Batch(NamedTuple):
    """Wort to be chilled, in its kettle.

    Attributes
    ----------
    wort_kg : Real
        Mass of the wort [kg].
    wort_kj_kg_k : Real
        Specific heat of the wort [kJ/(kg K)].
    metal_kj_k : Real
        Heat capacity of the kettle [kJ/K].
    """

    wort_kg: Real
    wort_kj_kg_k: Real = WORT_KJ_KG_K
    metal_kj_k: Real = 0.0

    @property
    def heat_kj_k(self) -> Real:
        """Heat capacity of wort and kettle [kJ/K]."""
        return self.wort_kg * self.wort_kj_kg_k + self.metal_kj_k


def ua_of_reading_w_k(
    wort_in_c: Real, wort_out_c: Real, wort_l_min: Real, water_l_min: Real, water_in_c: Real
) -> Real:
    """Return the conductance behind one steady reading of a plate or counterflow chiller.

    Parameters
    ----------
    wort_in_c : Real
        Wort on its way in [C].
    wort_out_c : Real
        Wort on its way out, between water and wort on their way in [C].
    wort_l_min : Real
        Flow of wort [L/min].
    water_l_min : Real
        Flow of water [L/min].
    water_in_c : Real
        Water on its way in [C].

    Returns
    -------
    Real
        Conductance; nan where no chiller of any size does this with these flows [W/K].

    Notes
    -----
    The water would have to leave hotter than the wort comes: then a flow or temperature is wrong.

    References
    ----------
    Kays, W. M., London, A. L. (1984). Compact Heat Exchangers, 3rd ed., McGraw-Hill, chapter 2.
    """
    wort_w_k = stream_w_k(wort_l_min, WORT_KG_M3, WORT_KJ_KG_K)
    water_w_k = stream_w_k(water_l_min, density_kg_m3(water_in_c), WATER_KJ_KG_K)
    smaller, larger = np.minimum(wort_w_k, water_w_k), np.maximum(wort_w_k, water_w_k)
    heat_w = wort_w_k * (wort_in_c - wort_out_c)
    share = heat_w / (smaller * (wort_in_c - water_in_c))
    possible = (share >= 0.0) & (share < 1.0)
    ntu = ntu_counterflow(np.where(possible, share, 0.5)[()], smaller / larger)
    return np.where(possible, ntu * smaller, np.nan)[()]


def ua_at_w_k(chiller: Chiller, wort_l_min: Real, water_l_min: Real) -> Real:
    """Return the conductance of a chiller at some flows.

    Parameters
    ----------
    chiller : Chiller
        The chiller.
    wort_l_min : Real
        Flow of wort [L/min].
    water_l_min : Real
        Flow of water [L/min].

    Returns
    -------
    Real
        Conductance [W/K].

    References
    ----------
    Wilson, E. E. (1915). A basis for rational design of heat transfer apparatus. Transactions of
    the ASME 37, 47-82.
    """
    return ua_at_flows_w_k(
        chiller.ua_w_k,
        wort_l_min / chiller.wort_l_min,
        water_l_min / chiller.water_l_min,
        chiller.wort_share,
        chiller.water_share,
        chiller.exponent,
    )


def passed_w_k(
    chiller: Chiller,
    batch: Batch,
    water_c: Real,
    wort_l_min: Real,
    water_l_min: Real,
    coil: bool = False,
) -> Real:
    """Return the heat that passes per degree between kettle and tap.

    Parameters
    ----------
    chiller : Chiller
        The chiller.
    batch : Batch
        The wort.
    water_c : Real
        Water on its way in [C].
    wort_l_min : Real
        Flow of wort; without effect on a coil [L/min].
    water_l_min : Real
        Flow of water [L/min].
    coil : bool
        Whether it hangs in the kettle.

    Returns
    -------
    Real
        Effectiveness times the smaller capacity rate [W/K].

    References
    ----------
    Kays, W. M., London, A. L. (1984). Compact Heat Exchangers, 3rd ed., McGraw-Hill, chapter 2.
    """
    ua_w_k = ua_at_w_k(chiller, wort_l_min, water_l_min)
    water_w_k = stream_w_k(water_l_min, density_kg_m3(water_c), WATER_KJ_KG_K)
    if coil:
        return chill_w_k(ua_w_k, np.inf, water_w_k, effectiveness_one_side_uniform)
    wort_w_k = stream_w_k(wort_l_min, WORT_KG_M3, batch.wort_kj_kg_k)
    return chill_w_k(ua_w_k, wort_w_k, water_w_k, effectiveness_counterflow)


def outlet_c(
    chiller: Chiller,
    batch: Batch,
    wort_c: Real,
    water_c: Real,
    wort_l_min: Real,
    water_l_min: Real,
) -> Real:
    """Return the temperature at which wort leaves a chiller after one pass.

    Parameters
    ----------
    chiller : Chiller
        The chiller.
    batch : Batch
        The wort.
    wort_c : Real
        Wort on its way in [C].
    water_c : Real
        Water on its way in [C].
    wort_l_min : Real
        Flow of wort [L/min].
    water_l_min : Real
        Flow of water [L/min].

    Returns
    -------
    Real
        Wort on its way out [C].

    References
    ----------
    Kays, W. M., London, A. L. (1984). Compact Heat Exchangers, 3rd ed., McGraw-Hill, chapter 2.
    """
    passed = passed_w_k(chiller, batch, water_c, wort_l_min, water_l_min)
    wort_w_k = stream_w_k(wort_l_min, WORT_KG_M3, batch.wort_kj_kg_k)
    return wort_c - passed / wort_w_k * (wort_c - water_c)
