"""Density of ethanol in water, and back."""

from wortline.science.numerics import derivative, polynomial, rising_root
from wortline.science.real import Real

_ETHANOL = (
    9.982012300e2,
    -1.929769495e2,
    3.891238958e2,
    -1.668103923e3,
    1.352215441e4,
    -8.829278388e4,
    3.062874042e5,
    -6.138381234e5,
    7.470172998e5,
    -5.478461354e5,
    2.234460334e5,
    -3.903285426e4,
)
_ETHANOL_WARMTH = (
    0.0,
    -2.0618513e-1,
    -5.2682542e-3,
    3.6130013e-5,
    -3.8957702e-7,
    7.1693540e-9,
    -9.9739231e-11,
)
# Rows are powers 1.. of (t - 20), columns powers of the mass fraction.
_ETHANOL_MIXED = (
    (
        0.0,
        1.693443461530087e-1,
        -1.046914743455169e1,
        7.196353469546523e1,
        -7.047478054272792e2,
        3.924090430035045e3,
        -1.210164659068747e4,
        2.248646550400788e4,
        -2.605562982188164e4,
        1.852373922069467e4,
        -7.420201433430137e3,
        1.285617841998974e3,
    ),
    (
        0.0,
        -1.193013005057010e-2,
        2.517399633803461e-1,
        -2.170575700536993,
        1.353034988843029e1,
        -5.029988758547014e1,
        1.096355666577570e2,
        -1.422753946421155e2,
        1.080435942856230e2,
        -4.414153236817392e1,
        7.442971530188783,
    ),
    (
        0.0,
        -6.802995733503803e-4,
        1.876837790289664e-2,
        -2.002561813734156e-1,
        1.022992966719220,
        -2.895696483903638,
        4.810060584300675,
        -4.672147440794683,
        2.458043105903461,
        -5.411227621436812e-1,
    ),
    (
        0.0,
        4.075376675622027e-6,
        -8.763058573471110e-6,
        6.515031360099368e-6,
        -1.515784836987210e-6,
    ),
    (0.0, -2.788074354782409e-8, 1.345612883493354e-8),
)


def ethanol_density_kg_m3(ethanol_fraction: Real, temp_c: Real) -> Real:
    """Return the density of a mixture of ethanol and water.

    Parameters
    ----------
    ethanol_fraction : Real
        Mass of ethanol over mass of the mixture [-].
    temp_c : Real
        Temperature of the mixture [C].

    Returns
    -------
    Real
        Density in vacuum [kg/m3].

    Notes
    -----
    Valid from 0 to 1 and from -20 to 40 C, as far as the mixture is liquid. The first mixed
    coefficient is 0.1693443...; a copy with 0.1693433... differs by 3e-6 kg/m3.

    References
    ----------
    International Organization of Legal Metrology (1973). International alcoholometric tables,
    OIML R 22; Council Directive 76/766/EEC, annex.
    """
    warmth_dk = temp_c - 20.0
    total = polynomial(_ETHANOL, ethanol_fraction) + polynomial(_ETHANOL_WARMTH, warmth_dk)
    for power, row in enumerate(_ETHANOL_MIXED, start=1):
        total = total + warmth_dk**power * polynomial(row, ethanol_fraction)
    return total


def _density_slope_kg_m3(ethanol_fraction: Real, temp_c: Real) -> Real:
    """Return the change of `ethanol_density_kg_m3` per unit of mass fraction."""
    total = polynomial(derivative(_ETHANOL), ethanol_fraction)
    for power, row in enumerate(_ETHANOL_MIXED, start=1):
        total = total + (temp_c - 20.0) ** power * polynomial(derivative(row), ethanol_fraction)
    return total


def ethanol_fraction_from_density(density_kg_m3: Real, temp_c: Real) -> Real:
    """Return the share of ethanol in a mixture whose density is known.

    Parameters
    ----------
    density_kg_m3 : Real
        Density in vacuum [kg/m3].
    temp_c : Real
        Temperature of the mixture [C].

    Returns
    -------
    Real
        Mass of ethanol over mass of the mixture; nan if denser than water or lighter than
        ethanol [-].

    Notes
    -----
    Inverse of `ethanol_density_kg_m3`.

    References
    ----------
    International Organization of Legal Metrology (1973). International alcoholometric tables,
    OIML R 22.
    """

    def miss_and_slope(trial_fraction: Real) -> tuple[Real, Real]:
        miss = density_kg_m3 - ethanol_density_kg_m3(trial_fraction, temp_c)
        return miss, -_density_slope_kg_m3(trial_fraction, temp_c)

    return rising_root(miss_and_slope, 0.0, 1.0, rounds=12)


def ethanol_volume_fraction(ethanol_fraction: Real) -> Real:
    """Return the alcohol by volume of a mixture known by weight.

    Parameters
    ----------
    ethanol_fraction : Real
        Mass of ethanol over mass of the mixture [-].

    Returns
    -------
    Real
        Volume of pure ethanol over volume of the mixture, both at 20 C [-].

    Notes
    -----
    The volumes of ethanol and water do not add up when mixed, hence the density of the mixture.

    References
    ----------
    International Organization of Legal Metrology (1973). International alcoholometric tables,
    OIML R 22.
    """
    mixture_kg_m3 = ethanol_density_kg_m3(ethanol_fraction, 20.0)
    return ethanol_fraction * mixture_kg_m3 / ethanol_density_kg_m3(1.0, 20.0)
