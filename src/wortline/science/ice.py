"""The last degrees: ice and fridge, by energy balance."""

import numpy as np

from wortline.science.real import Real

FUSION_KJ_KG, WATER_KJ_KG_K = 334.0, 4.19


def ice_needed_kg(
    start_c: Real, wanted_c: Real, heat_capacity_kj_k: Real, leaves_c: Real = 10.0
) -> Real:
    """Return the ice that takes wort from one temperature to another.

    Parameters
    ----------
    start_c : Real
        Temperature at the start [C].
    wanted_c : Real
        Temperature wanted [C].
    heat_capacity_kj_k : Real
        Heat capacity of the wort, with the kettle if it is cooled too [kJ/K].
    leaves_c : Real
        Temperature at which the melted ice is done with [C].

    Returns
    -------
    Real
        Mass of ice from a freezer at about 0 C, none where it is cold enough already [kg].

    Notes
    -----
    Colder ice saves 2.1 kJ/(kg K), 11 % for ice of -18 C; what the room warms costs about as much.

    References
    ----------
    Wagner, W., Pruss, A. (2002). The IAPWS formulation 1995 for the thermodynamic properties of
    ordinary water substance for general and scientific use. Journal of Physical and Chemical
    Reference Data 31, 387-535 (heat of fusion 333.4 kJ/kg, specific heat).
    """
    fall_dk: Real = np.maximum(start_c - wanted_c, 0.0)
    heat_kj = heat_capacity_kj_k * fall_dk
    return heat_kj / (FUSION_KJ_KG + WATER_KJ_KG_K * leaves_c)


def iced_flowing_c(
    start_c: Real, heat_capacity_kj_k: Real, ice_kg: Real, leaves_c: Real = 10.0
) -> Real:
    """Return how cold wort gets where ice water runs on the other side of a chiller.

    Parameters
    ----------
    start_c : Real
        Temperature at the start [C].
    heat_capacity_kj_k : Real
        Heat capacity of the wort, with the kettle if it is cooled too [kJ/K].
    ice_kg : Real
        Mass of ice at 0 C [kg].
    leaves_c : Real
        Temperature at which the melted ice is done with [C].

    Returns
    -------
    Real
        Temperature, not below 0 [C].

    Notes
    -----
    The inverse of `ice_needed_kg`.

    References
    ----------
    Wagner, W., Pruss, A. (2002). The IAPWS formulation 1995 for the thermodynamic properties of
    ordinary water substance for general and scientific use. Journal of Physical and Chemical
    Reference Data 31, 387-535 (heat of fusion 333.4 kJ/kg, specific heat).
    """
    taken_kj = ice_kg * (FUSION_KJ_KG + WATER_KJ_KG_K * leaves_c)
    return np.maximum(start_c - taken_kj / heat_capacity_kj_k, 0.0)


def iced_around_c(start_c: Real, heat_capacity_kj_k: Real, ice_kg: Real) -> Real:
    """Return how cold a kettle gets that stands in ice until both are as cold as each other.

    Parameters
    ----------
    start_c : Real
        Temperature at the start [C].
    heat_capacity_kj_k : Real
        Heat capacity of the wort with the kettle [kJ/K].
    ice_kg : Real
        Mass of ice at 0 C [kg].

    Returns
    -------
    Real
        Temperature, 0 where ice is left over [C].

    Notes
    -----
    The most that ice can do: given time, and nothing taken from the room.

    References
    ----------
    Conservation of energy in mixing: any textbook of thermodynamics.
    """
    left_kj = heat_capacity_kj_k * start_c - FUSION_KJ_KG * ice_kg
    return np.maximum(left_kj / (heat_capacity_kj_k + WATER_KJ_KG_K * ice_kg), 0.0)


def fridge_min(start_c: Real, wanted_c: Real, heat_capacity_kj_k: Real, cooling_w: Real) -> Real:
    """Return how long a fridge takes to finish the chill.

    Parameters
    ----------
    start_c : Real
        Temperature at the start [C].
    wanted_c : Real
        Temperature wanted [C].
    heat_capacity_kj_k : Real
        Heat capacity of the wort [kJ/K].
    cooling_w : Real
        Heat the fridge takes out of the wort, above 0 [W].

    Returns
    -------
    Real
        Time, none where it is cold enough already [min].

    Notes
    -----
    The least time: the fermenter's wall passes less heat as it nears the air around it.

    References
    ----------
    Conservation of energy: any textbook of thermodynamics.
    """
    fall_dk: Real = np.maximum(start_c - wanted_c, 0.0)
    return heat_capacity_kj_k * fall_dk / (0.06 * cooling_w)
