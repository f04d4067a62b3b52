"""Moving a mash to another temperature: hot water, the element, or a boiled part of the mash."""

from wortline.science.mash import MALT_HEAT
from wortline.science.real import Real


def infusion_kg(
    water_kg: Real,
    grain_kg: Real,
    from_c: Real,
    to_c: Real,
    added_c: Real,
    malt_heat: Real = MALT_HEAT,
) -> Real:
    """Return the hot or cold water that brings a mash to another temperature.

    Parameters
    ----------
    water_kg : Real
        Water in the mash [kg].
    grain_kg : Real
        Grain in the mash [kg].
    from_c : Real
        Temperature of the mash [C].
    to_c : Real
        Wanted temperature [C].
    added_c : Real
        Temperature of the water added, beyond the wanted one [C].
    malt_heat : Real
        Specific heat of malt over that of water [-].

    Returns
    -------
    Real
        Water to add [kg].

    Notes
    -----
    A heat balance; the vessel is not counted.

    References
    ----------
    Conservation of energy, with the specific heat of malt of Pauls and Whites (1984). Brewing Room
    Book 1984/85.
    """
    return (malt_heat * grain_kg + water_kg) * (to_c - from_c) / (added_c - to_c)


def mash_ramp_k_min(power_w: Real, heat_capacity_kj_k: Real, loss_w: Real = 0.0) -> Real:
    """Return how fast a heated mash warms.

    Parameters
    ----------
    power_w : Real
        Heat that reaches the mash [W].
    heat_capacity_kj_k : Real
        Heat capacity of mash and vessel [kJ/K].
    loss_w : Real
        Heat lost to the room [W].

    Returns
    -------
    Real
        Speed, negative where the mash cools [K/min].

    Notes
    -----
    Recirculation keeps the whole mash at one temperature.

    References
    ----------
    Conservation of energy.
    """
    return 60 * (power_w - loss_w) / (1000 * heat_capacity_kj_k)


def mash_ramp_min(
    from_c: Real, to_c: Real, power_w: Real, heat_capacity_kj_k: Real, loss_w: Real = 0.0
) -> Real:
    """Return how long the element must run to bring a mash to another temperature.

    Parameters
    ----------
    from_c : Real
        Temperature of the mash [C].
    to_c : Real
        Wanted temperature, on the side to which the mash moves [C].
    power_w : Real
        Heat that reaches the mash [W].
    heat_capacity_kj_k : Real
        Heat capacity of mash and vessel [kJ/K].
    loss_w : Real
        Heat lost to the room, other than the power [W].

    Returns
    -------
    Real
        Time [min].

    Notes
    -----
    The loss is taken as steady over the ramp.

    References
    ----------
    Conservation of energy.
    """
    return (to_c - from_c) / mash_ramp_k_min(power_w, heat_capacity_kj_k, loss_w)


def decoction_share(from_c: Real, to_c: Real, decoction_c: Real, heat_ratio: Real = 1.0) -> Real:
    """Return the share of a mash to boil and give back to reach another temperature.

    Parameters
    ----------
    from_c : Real
        Temperature of the mash [C].
    to_c : Real
        Wanted temperature [C].
    decoction_c : Real
        Temperature of the boiled part when it comes back, 95 to 98 after its way [C].
    heat_ratio : Real
        Specific heat of the mash over that of the decoction, above 1 for a thick one [-].

    Returns
    -------
    Real
        Share of the mash [-].

    Notes
    -----
    A heat balance; what boils away is not counted.

    References
    ----------
    Conservation of energy.
    """
    return heat_ratio * (to_c - from_c) / (decoction_c - from_c)
