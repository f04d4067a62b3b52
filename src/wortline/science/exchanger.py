"""Heat exchangers by their effectiveness and number of transfer units."""

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import NamedTuple, TypeAlias

import numpy as np

from wortline.science.first_order import mean_decay
from wortline.science.numerics import quotient
from wortline.science.real import Real

Arrangement: TypeAlias = Callable[[Real, Real], Real]
"""Effectiveness from number of transfer units and ratio of the capacity rates."""


class Pass(NamedTuple):
    """What one pass through an exchanger does.

    Attributes
    ----------
    hot_out_c : Real
        Temperature at which the hot stream leaves [C].
    cold_out_c : Real
        Temperature at which the cold stream leaves [C].
    heat_w : Real
        Heat that passes over [W].
    effectiveness : Real
        Heat over the most that could pass [-].
    """

    hot_out_c: Real
    cold_out_c: Real
    heat_w: Real
    effectiveness: Real


def effectiveness_counterflow(ntu: Real, capacity_ratio: Real) -> Real:
    """Return the effectiveness of an exchanger whose streams run against each other.

    Parameters
    ----------
    ntu : Real
        Conductance over the smaller capacity rate [-].
    capacity_ratio : Real
        Smaller over larger capacity rate, 0-1 [-].

    Returns
    -------
    Real
        Effectiveness [-].

    Notes
    -----
    Written so that equal streams, where the usual form is 0/0, need no case of their own.

    References
    ----------
    Kays, W. M., London, A. L. (1984). Compact Heat Exchangers, 3rd edition, McGraw-Hill, chapter 2.
    """
    driven = ntu * mean_decay(ntu * (1.0 - capacity_ratio))
    return driven / (1.0 + capacity_ratio * driven)


def effectiveness_parallel(ntu: Real, capacity_ratio: Real) -> Real:
    """Return the effectiveness of an exchanger whose streams run the same way.

    Parameters
    ----------
    ntu : Real
        Conductance over the smaller capacity rate [-].
    capacity_ratio : Real
        Smaller over larger capacity rate, 0-1 [-].

    Returns
    -------
    Real
        Effectiveness [-].

    References
    ----------
    Kays, W. M., London, A. L. (1984). Compact Heat Exchangers, 3rd edition, McGraw-Hill, chapter 2.
    """
    return -np.expm1(-ntu * (1.0 + capacity_ratio)) / (1.0 + capacity_ratio)


def effectiveness_one_side_uniform(ntu: Real, capacity_ratio: Real = 0.0) -> Real:
    """Return the effectiveness where one side has one temperature, as around a coil in a kettle.

    Parameters
    ----------
    ntu : Real
        Conductance over the capacity rate of the side that changes [-].
    capacity_ratio : Real
        Without effect; here so that all arrangements are called alike [-].

    Returns
    -------
    Real
        Effectiveness [-].

    References
    ----------
    Kays, W. M., London, A. L. (1984). Compact Heat Exchangers, 3rd edition, McGraw-Hill, chapter 2.
    """
    return -np.expm1(-ntu) + 0.0 * capacity_ratio


ARRANGEMENTS: Mapping[str, Arrangement] = MappingProxyType(
    {
        "counterflow": effectiveness_counterflow,
        "parallel": effectiveness_parallel,
        "one side uniform": effectiveness_one_side_uniform,
    }
)
"""Ways to arrange two streams; plate chillers and tubes in a hose are run in counterflow."""


def ntu_counterflow(effectiveness: Real, capacity_ratio: Real) -> Real:
    """Return the number of transfer units behind a measured effectiveness, in counterflow.

    Parameters
    ----------
    effectiveness : Real
        Heat over the most that could pass, 0 to below 1 [-].
    capacity_ratio : Real
        Smaller over larger capacity rate, 0-1 [-].

    Returns
    -------
    Real
        Number of transfer units [-].

    Notes
    -----
    The inverse of `effectiveness_counterflow`.

    References
    ----------
    Kays, W. M., London, A. L. (1984). Compact Heat Exchangers, 3rd edition, McGraw-Hill, chapter 2.
    """
    driven = effectiveness / (1.0 - effectiveness * capacity_ratio)
    unlike = driven * (1.0 - capacity_ratio)
    some = np.where(np.equal(unlike, 0.0), 0.5, unlike)
    stretch = np.where(np.equal(unlike, 0.0), 1.0, -np.log1p(-some) / some)[()]
    return driven * stretch


def stream_w_k(flow_l_min: Real, density_kg_m3: Real, liquid_kj_kg_k: Real) -> Real:
    """Return the capacity rate of a stream: the heat it carries per degree.

    Parameters
    ----------
    flow_l_min : Real
        Flow [L/min].
    density_kg_m3 : Real
        Density where the flow is measured [kg/m3].
    liquid_kj_kg_k : Real
        Specific heat [kJ/(kg K)].

    Returns
    -------
    Real
        Capacity rate [W/K].

    References
    ----------
    Kays, W. M., London, A. L. (1984). Compact Heat Exchangers, 3rd edition, McGraw-Hill, chapter 2.
    """
    return flow_l_min / 60.0 * density_kg_m3 * liquid_kj_kg_k


def chill_w_k(
    ua_w_k: Real,
    hot_w_k: Real,
    cold_w_k: Real,
    arrangement: Arrangement = effectiveness_counterflow,
) -> Real:
    """Return the heat that passes per degree between the two streams as they enter.

    Parameters
    ----------
    ua_w_k : Real
        Conductance of the exchanger [W/K].
    hot_w_k : Real
        Capacity rate of the hot stream, above 0 [W/K].
    cold_w_k : Real
        Capacity rate of the cold stream; 0 with the water off [W/K].
    arrangement : Arrangement
        How the streams run.

    Returns
    -------
    Real
        Effectiveness times the smaller capacity rate [W/K].

    References
    ----------
    Kays, W. M., London, A. L. (1984). Compact Heat Exchangers, 3rd edition, McGraw-Hill, chapter 2.
    """
    smaller, larger = np.minimum(hot_w_k, cold_w_k), np.maximum(hot_w_k, cold_w_k)
    flowing = np.greater(smaller, 0.0)
    ntu = ua_w_k / np.where(flowing, smaller, 1.0)[()]
    chill = np.where(flowing, smaller * arrangement(ntu, smaller / larger), 0.0)
    return np.asarray(chill)[()]


def single_pass(
    hot_c: Real,
    cold_c: Real,
    ua_w_k: Real,
    hot_w_k: Real,
    cold_w_k: Real,
    arrangement: Arrangement = effectiveness_counterflow,
) -> Pass:
    """Return what one pass does to both streams.

    Parameters
    ----------
    hot_c : Real
        Temperature at which the hot stream enters [C].
    cold_c : Real
        Temperature at which the cold stream enters [C].
    ua_w_k : Real
        Conductance of the exchanger [W/K].
    hot_w_k : Real
        Capacity rate of the hot stream, above 0 [W/K].
    cold_w_k : Real
        Capacity rate of the cold stream; 0 with the water off [W/K].
    arrangement : Arrangement
        How the streams run.

    Returns
    -------
    Pass
        Temperatures as they leave, heat, effectiveness; nan for a stream that does not flow.

    Notes
    -----
    Steady, constant specific heats, nothing lost to the room.

    References
    ----------
    Kays, W. M., London, A. L. (1984). Compact Heat Exchangers, 3rd edition, McGraw-Hill, chapter 2.
    """
    chill = chill_w_k(ua_w_k, hot_w_k, cold_w_k, arrangement)
    heat_w = chill * (hot_c - cold_c)
    return Pass(
        hot_out_c=hot_c - heat_w / hot_w_k,
        cold_out_c=cold_c + quotient(heat_w, cold_w_k),
        heat_w=heat_w,
        effectiveness=quotient(chill, np.minimum(hot_w_k, cold_w_k)),
    )


def bath_out_c(hot_c: Real, bath_c: Real, ua_w_k: Real, hot_w_k: Real) -> Real:
    """Return the temperature of a stream after a coil in a stirred bath, as of ice and water.

    Parameters
    ----------
    hot_c : Real
        Temperature at which the stream enters [C].
    bath_c : Real
        Temperature of the bath [C].
    ua_w_k : Real
        Conductance of the coil [W/K].
    hot_w_k : Real
        Capacity rate of the stream, above 0 [W/K].

    Returns
    -------
    Real
        Temperature at which it leaves [C].

    References
    ----------
    Kays, W. M., London, A. L. (1984). Compact Heat Exchangers, 3rd edition, McGraw-Hill, chapter 2.
    """
    return np.asarray(bath_c + (hot_c - bath_c) * np.exp(-(ua_w_k / hot_w_k)))[()]


def ua_at_flows_w_k(
    ua_w_k: Real,
    hot_ratio: Real,
    cold_ratio: Real,
    hot_share: Real = 0.5,
    cold_share: Real = 0.5,
    exponent: Real = 0.8,
) -> Real:
    """Return the conductance of an exchanger at other flows than those it is known at.

    Parameters
    ----------
    ua_w_k : Real
        Known conductance [W/K].
    hot_ratio : Real
        Hot flow over the hot flow it is known at, above 0 [-].
    cold_ratio : Real
        Cold flow over the cold flow it is known at, above 0 [-].
    hot_share : Real
        Share of the resistance on the hot side, at the known flows [-].
    cold_share : Real
        Share of the resistance on the cold side; what is left of 1 is wall and dirt [-].
    exponent : Real
        How the transfer grows with the flow: 0.8 in tubes, 0.6-0.7 between plates [-].

    Returns
    -------
    Real
        Conductance [W/K].

    Notes
    -----
    Resistances in series, Wilson's plot the other way round. Equal shares are a guess that two runs
    at different flows replace.

    References
    ----------
    Wilson, E. E. (1915). A basis for rational design of heat transfer apparatus. Transactions of
    the ASME 37, 47-82.
    """
    wall_share = 1.0 - hot_share - cold_share
    hot = hot_share / hot_ratio**exponent
    cold = cold_share / cold_ratio**exponent
    return np.asarray(ua_w_k / (wall_share + hot + cold))[()]
