"""A batch cooled by a chiller: circulated and mixed, or circulated and layered."""

import numpy as np

from wortline.science.first_order import mean_decay
from wortline.science.real import Real

# A watt for a minute, in kJ.
_KJ_PER_W_MIN = 0.06


def circulated_c(
    start_c: Real,
    cold_c: Real,
    since_min: Real,
    heat_capacity_kj_k: Real,
    chill_w_k: Real,
    gain_w: Real = 0.0,
) -> Real:
    """Return the temperature of a mixed kettle that is circulated through a chiller.

    Parameters
    ----------
    start_c : Real
        Temperature at the start [C].
    cold_c : Real
        Temperature at which the cooling water enters [C].
    since_min : Real
        Time since [min].
    heat_capacity_kj_k : Real
        Heat capacity of the wort with the kettle [kJ/K].
    chill_w_k : Real
        Effectiveness times the smaller capacity rate [W/K].
    gain_w : Real
        Heat added the while, as by the pump [W].

    Returns
    -------
    Real
        Temperature of the kettle [C].

    Notes
    -----
    Everything constant but the temperature. An immersion coil in a stirred kettle is the same with
    the coil's own `chill_w_k` (one side uniform, cold stream the smaller).

    References
    ----------
    Kern, D. Q. (1950). Process Heat Transfer, McGraw-Hill, chapter 18 (batch cooling, external
    exchanger and coil in tank).
    """
    decay = _KJ_PER_W_MIN * chill_w_k * since_min / heat_capacity_kj_k
    gained_dk = _KJ_PER_W_MIN * gain_w * since_min / heat_capacity_kj_k * mean_decay(decay)
    return np.asarray(cold_c + (start_c - cold_c) * np.exp(-decay) + gained_dk)[()]


def circulating_min(
    start_c: Real,
    wanted_c: Real,
    cold_c: Real,
    heat_capacity_kj_k: Real,
    chill_w_k: Real,
    gain_w: Real = 0.0,
) -> Real:
    """Return how long a mixed kettle has to be circulated through a chiller.

    Parameters
    ----------
    start_c : Real
        Temperature at the start [C].
    wanted_c : Real
        Temperature wanted, not above the start [C].
    cold_c : Real
        Temperature at which the cooling water enters [C].
    heat_capacity_kj_k : Real
        Heat capacity of the wort with the kettle [kJ/K].
    chill_w_k : Real
        Effectiveness times the smaller capacity rate, above 0 [W/K].
    gain_w : Real
        Heat added the while, as by the pump [W].

    Returns
    -------
    Real
        Time; infinite where it never gets there [min].

    Notes
    -----
    The inverse of `circulated_c`. Each halving of the distance to the water takes as long.

    References
    ----------
    Kern, D. Q. (1950). Process Heat Transfer, McGraw-Hill, chapter 18 (batch cooling, external
    exchanger and coil in tank).
    """
    floor_c = cold_c + gain_w / chill_w_k
    reached = np.greater(wanted_c, floor_c)
    left_dk = np.where(reached, wanted_c - floor_c, 1.0)
    tau_min = heat_capacity_kj_k / (_KJ_PER_W_MIN * chill_w_k)
    falls = np.where(reached, np.maximum(start_c - floor_c, left_dk) / left_dk, np.inf)[()]
    return tau_min * np.log(falls)


def circulated_unmixed_c(
    start_c: Real,
    cold_c: Real,
    since_min: Real,
    heat_capacity_kj_k: Real,
    chill_w_k: Real,
    hot_w_k: Real,
) -> Real:
    """Return the temperature drawn from a kettle whose returned wort stays on top.

    Parameters
    ----------
    start_c : Real
        Temperature at the start [C].
    cold_c : Real
        Temperature at which the cooling water enters [C].
    since_min : Real
        Time since [min].
    heat_capacity_kj_k : Real
        Heat capacity of the wort [kJ/K].
    chill_w_k : Real
        Effectiveness times the smaller capacity rate [W/K].
    hot_w_k : Real
        Capacity rate of the circulated wort [W/K].

    Returns
    -------
    Real
        Temperature at the outlet of the kettle [C].

    Notes
    -----
    As a plug: it falls by one pass at the end of each turnover. A real kettle lies between this
    and `circulated_c`.

    References
    ----------
    Kern, D. Q. (1950). Process Heat Transfer, McGraw-Hill, chapter 18 (energy balance of one
    turnover).
    """
    turnovers = np.floor(_KJ_PER_W_MIN * hot_w_k * since_min / heat_capacity_kj_k)
    left = (1.0 - chill_w_k / hot_w_k) ** turnovers
    return np.asarray(cold_c + (start_c - cold_c) * left)[()]
