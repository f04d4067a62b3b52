"""Mash: temperatures on mixing, what lautering brings, and how far the wort can ferment."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from wortline.science.real import Real
from wortline.science.standards import ZERO_C_K

WATER_KJ_KG = 4.184
MALT_HEAT = 0.40
"""Specific heat of malt of 4 % moisture over that of water [-]."""

# Steps of a rest, short at first because hot enzymes die within a minute.
REST_SHARES = tuple(np.diff(np.linspace(0.0, 1.0, 25) ** 3).tolist())
RAMP_STEPS = 8


class Runnings(NamedTuple):
    """What lautering brings into the kettle and what stays in the grain.

    Attributes
    ----------
    kettle_extract_kg : Real
        Extract in all runnings [kg].
    held_extract_kg : Real
        Extract left in the wort that the grain holds [kg].
    efficiency : Real
        Share of the dissolved extract that runs off [-].
    plato : tuple of Real
        Strength of each running, first to last [degP].
    """

    kettle_extract_kg: Real
    held_extract_kg: Real
    efficiency: Real
    plato: tuple[Real, ...]


def mash_mixed_c(
    water_c: Real,
    grain_c: Real,
    water_kg: Real,
    grain_kg: Real,
    slaking_dk: Real = 0.0,
    malt_heat: Real = MALT_HEAT,
) -> Real:
    """Return the temperature of water and grain once mixed.

    Parameters
    ----------
    water_c : Real
        Temperature of the water [C].
    grain_c : Real
        Temperature of the grain [C].
    water_kg : Real
        Mass of water [kg].
    grain_kg : Real
        Mass of grain [kg].
    slaking_dk : Real
        Rise by the heat of wetting: 0 at usual moisture in a heated kettle, 1.5 K for malt of 4 %
        moisture, 2.3 K for 2 % [K].
    malt_heat : Real
        Specific heat of malt over that of water: 0.38 bone dry to 0.42 at 8 % moisture [-].

    Returns
    -------
    Real
        Temperature of the mash [C].

    Notes
    -----
    The vessel is taken to have the temperature of the water.

    References
    ----------
    Pauls and Whites (1984). Brewing Room Book 1984/85, initial heat of the mash.
    """
    malt_kg = malt_heat * grain_kg
    return (malt_kg * grain_c + water_kg * water_c) / (malt_kg + water_kg) + slaking_dk


def strike_c(
    mash_c: Real,
    grain_c: Real,
    water_kg: Real,
    grain_kg: Real,
    slaking_dk: Real = 0.0,
    malt_heat: Real = MALT_HEAT,
) -> Real:
    """Return the temperature of the water that gives a wanted mash temperature.

    Parameters
    ----------
    mash_c : Real
        Wanted temperature of the mash [C].
    grain_c : Real
        Temperature of the grain [C].
    water_kg : Real
        Mass of water [kg].
    grain_kg : Real
        Mass of grain [kg].
    slaking_dk : Real
        Rise by the heat of wetting [K].
    malt_heat : Real
        Specific heat of malt over that of water [-].

    Returns
    -------
    Real
        Temperature of the strike water [C].

    Notes
    -----
    The inverse of `mash_mixed_c`.

    References
    ----------
    Pauls and Whites (1984). Brewing Room Book 1984/85, initial heat of the mash.
    """
    mixed_c = mash_c - slaking_dk
    return mixed_c + malt_heat * grain_kg / water_kg * (mixed_c - grain_c)


def mash_heat_capacity_kj_k(water_kg: Real, grain_kg: Real, malt_heat: Real = MALT_HEAT) -> Real:
    """Return the heat capacity of a mash.

    Parameters
    ----------
    water_kg : Real
        Mass of water [kg].
    grain_kg : Real
        Mass of grain [kg].
    malt_heat : Real
        Specific heat of malt over that of water [-].

    Returns
    -------
    Real
        Heat capacity [kJ/K].

    Notes
    -----
    Heats of malt and water add; the vessel is not counted.

    References
    ----------
    Pauls and Whites (1984). Brewing Room Book 1984/85, specific heat of malt.
    """
    return WATER_KJ_KG * (malt_heat * grain_kg + water_kg)


def no_sparge(extract_kg: Real, water_kg: Real, moisture_kg: Real, held_kg: Real) -> Runnings:
    """Return what a mash brings that is drained once and not sparged.

    Parameters
    ----------
    extract_kg : Real
        Extract dissolved in the mash [kg].
    water_kg : Real
        Mass of mash water [kg].
    moisture_kg : Real
        Water that came with the grain [kg].
    held_kg : Real
        Wort that the drained grain holds [kg].

    Returns
    -------
    Runnings
        Extract run off and held [kg], efficiency [-], strength [degP].

    Notes
    -----
    A mass balance with perfect mixing.

    References
    ----------
    Conservation of mass.
    """
    return batch_sparge(extract_kg, (water_kg,), moisture_kg, held_kg)


def batch_sparge(
    extract_kg: Real, waters_kg: Sequence[Real], moisture_kg: Real, held_kg: Real
) -> Runnings:
    """Return what a mash brings that is drained, filled with more water, and drained again.

    Parameters
    ----------
    extract_kg : Real
        Extract dissolved in the mash [kg].
    waters_kg : sequence of Real
        Mash water, then the water of each sparge [kg].
    moisture_kg : Real
        Water that came with the grain [kg].
    held_kg : Real
        Wort that the drained grain holds, the same after each running [kg].

    Returns
    -------
    Runnings
        Extract run off and held [kg], efficiency [-], strengths [degP].

    Notes
    -----
    A mass balance with perfect mixing before each running. Grain that would hold more than there
    is holds all and gives nothing. Equal runnings give the most, and the optimum is flat.

    References
    ----------
    Conservation of mass.
    """
    in_grain_kg: Real = extract_kg
    wort_kg: Real = extract_kg + moisture_kg
    got_kg: Real = 0.0 * extract_kg
    strengths: list[Real] = []
    for water_kg in waters_kg:
        wort_kg = wort_kg + water_kg
        strength = in_grain_kg / wort_kg
        strengths.append(100 * strength)
        left_kg: Real = np.asarray(np.minimum(held_kg, wort_kg))[()]
        got_kg = got_kg + (wort_kg - left_kg) * strength
        in_grain_kg, wort_kg = left_kg * strength, left_kg
    return Runnings(got_kg, in_grain_kg, got_kg / extract_kg, tuple(strengths))


GAS_J_MOL_K = 8.314
ANCHOR_K = 338.15
FERMENTABLE_MOST = 0.6787
"""Share of the extract that endless mashing makes fermentable [-]."""

REAL_OF_APPARENT = 0.8192


def _arrhenius(temp_k: Real, at_anchor: float, activation_j_mol: float) -> Real:
    exponent = -activation_j_mol / GAS_J_MOL_K * (1 / temp_k - 1 / ANCHOR_K)
    return at_anchor * np.exp(exponent)


def _gelatinisation_per_min(temp_k: Real) -> Real:
    cool = 5.7e31 * np.exp(-220600 / (GAS_J_MOL_K * temp_k))
    hot = 3.1e14 * np.exp(-108300 / (GAS_J_MOL_K * temp_k))
    return 60 * np.where(temp_k < 333.15, cool, hot)


def _mean_decay(x: Real) -> Real:
    """Mean of exp(-s) for s from 0 to x, 1 at 0."""
    small = np.abs(x) < 1e-9
    return np.where(small, 1.0, -np.expm1(-x) / np.where(small, 1.0, x))


class _Mash(NamedTuple):
    raw: Real  # starch not yet dissolved, of 1
    open_dextrin: Real  # dissolved and still to be split into fermentable sugar
    alpha: Real  # activity of alpha-amylase, of 1
    beta: Real  # activity of beta-amylase, of 1


class _Pace(NamedTuple):
    alpha_loss: Real
    beta_loss: Real
    dissolving: Real
    splitting: Real


def _pace(temp_c: Real) -> _Pace:
    """Rates at one temperature, in 1/min; of the splitting its factor over that at the anchor."""
    temp_k = temp_c + ZERO_C_K
    return _Pace(
        _arrhenius(temp_k, np.log(2) / 72, 224200),
        _arrhenius(temp_k, np.log(2) / 10, 410700),
        _gelatinisation_per_min(temp_k),
        _arrhenius(temp_k, 1.0, 94140),
    )


def _stand(mash: _Mash, pace: _Pace, stay_min: Real) -> _Mash:
    """One step at one temperature: each rate alone exactly, the splitting at its mean rate."""
    alpha_loss = stay_min * pace.alpha_loss
    beta_loss = stay_min * pace.beta_loss
    dissolving = stay_min * pace.dissolving
    by_alpha = 60 * 5.977e-4 * mash.alpha * _mean_decay(alpha_loss)
    by_beta = 60 * 4.733e-3 * mash.beta * _mean_decay(beta_loss)
    splitting = stay_min * pace.splitting * (by_alpha + by_beta)
    fed = FERMENTABLE_MOST * mash.raw * dissolving
    fresh = fed * np.exp(-dissolving) * _mean_decay(splitting - dissolving)
    return _Mash(
        mash.raw * np.exp(-dissolving),
        mash.open_dextrin * np.exp(-splitting) + fresh,
        mash.alpha * np.exp(-alpha_loss),
        mash.beta * np.exp(-beta_loss),
    )


def attenuation_limit(
    rest_c: Sequence[Real], rest_min: Sequence[Real], ramp_k_min: Real = 1.0
) -> Real:
    """Return how far the wort of a mash can ferment, as apparent attenuation.

    Parameters
    ----------
    rest_c : sequence of Real
        Temperature of each mash rest, in order [C].
    rest_min : sequence of Real
        Length of each mash rest [min].
    ramp_k_min : Real
        Speed of heating between rests [K/min].

    Returns
    -------
    Real
        Apparent attenuation limit [-].

    Raises
    ------
    ValueError
        If there are not as many lengths as temperatures.

    Notes
    -----
    Starch dissolves, alpha- and beta-amylase split it and die of heat, each by its own Arrhenius
    law; 0.32 of the extract is out of their reach. Beta-amylase has a half-life of 10 min at 65 C,
    alpha-amylase of 72 min. The two rates of splitting, their activation energy and the reach are
    fitted here to Chandrasekhar's four attenuations (82, 70, 50, 30 % at 65, 70, 75, 80 C for
    60 min, 3 L/kg); the other constants are Brandam's, from memory. The mash starts at the first
    rest. Well modified malt, 55 to 80 C; adjuncts and roast malt do not belong in here. Integrated
    by steps of constant temperature, within 0.001 of an exact solution.

    References
    ----------
    Brandam, C., Meyer, X. M., Proth, J., Strehaiano, P., Pingaud, H. (2003). An original kinetic
    model for the enzymatic hydrolysis of starch during mashing. Biochemical Engineering Journal
    13, 43-52.
    Muller, R. (1990). Brewing Research Foundation, half-life of beta-amylase, as quoted.
    Chandrasekhar, J. Attenuation over mash temperature, data as quoted in 2014.
    """
    mash = _Mash(1.0, 0.0, 1.0, 1.0)
    before_c: Real | None = None
    for temp_c, stay_min in zip(rest_c, rest_min, strict=True):
        if before_c is not None:
            rise_dk = temp_c - before_c
            step_min = np.abs(rise_dk) / ramp_k_min / RAMP_STEPS
            for step in range(RAMP_STEPS):
                pace = _pace(before_c + rise_dk * (step + 0.5) / RAMP_STEPS)
                mash = _stand(mash, pace, step_min)
        pace = _pace(temp_c)
        for share in REST_SHARES:
            mash = _stand(mash, pace, stay_min * share)
        before_c = temp_c
    fermentable = FERMENTABLE_MOST * (1 - mash.raw) - mash.open_dextrin
    return np.asarray(fermentable / REAL_OF_APPARENT)[()]
