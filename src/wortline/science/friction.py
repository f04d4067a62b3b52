"""Friction in a pipe: the laws by name, and how far they can be trusted.

The law of this house is Churchill's of 1977, one formula for every regime; its rivals stand in
`FRICTION`. From the Reynolds number 2000 to 4000 no formula can be trusted: there the factor has
a range, from laminar to turbulent.
"""

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any, TypeAlias

import numpy as np

from wortline.science.real import Real

LAMINAR_BELOW = 2000.0
TURBULENT_ABOVE = 4000.0

Friction: TypeAlias = Callable[[Real, Real], Real]
"""A friction law: Darcy factor from Reynolds number and relative roughness."""


def friction_churchill_1977(reynolds: Real, relative_roughness: Real) -> Real:
    """Return the Darcy friction factor by the formula for all regimes.

    Parameters
    ----------
    reynolds : Real
        Reynolds number, above 0 [-].
    relative_roughness : Real
        Height of the roughness over the bore [-].

    Returns
    -------
    Real
        Darcy friction factor [-].

    Notes
    -----
    64/Re when laminar, Colebrook within about 1 % when turbulent, a smooth passage between, which
    real pipes need not follow.

    References
    ----------
    Churchill, S. W. (1977). Friction-factor equation spans all fluid-flow regimes. Chemical
    Engineering 84(24), 91-92.
    """
    rough = (2.457 * -np.log((7.0 / reynolds) ** 0.9 + 0.27 * relative_roughness)) ** 16
    smooth = (37530.0 / reynolds) ** 16
    return 8.0 * ((8.0 / reynolds) ** 12 + (rough + smooth) ** -1.5) ** (1.0 / 12.0)


def friction_swamee_jain_1976(reynolds: Real, relative_roughness: Real) -> Real:
    """Return the Darcy friction factor of turbulent flow.

    Parameters
    ----------
    reynolds : Real
        Reynolds number, 4000 to 1e8 [-].
    relative_roughness : Real
        Height of the roughness over the bore, up to 0.05 [-].

    Returns
    -------
    Real
        Darcy friction factor [-].

    References
    ----------
    Swamee, P. K., Jain, A. K. (1976). Explicit equations for pipe-flow problems. Journal of the
    Hydraulics Division, ASCE 102(5), 657-664.
    """
    return 0.25 / np.log10(relative_roughness / 3.7 + 5.74 / reynolds**0.9) ** 2


def friction_laminar(reynolds: Real, relative_roughness: Real = 0.0) -> Real:
    """Return the Darcy friction factor of laminar flow.

    Parameters
    ----------
    reynolds : Real
        Reynolds number, up to 2000 [-].
    relative_roughness : Real
        Without effect on laminar flow; here so that all laws are called alike [-].

    Returns
    -------
    Real
        Darcy friction factor [-].

    References
    ----------
    White, F. M. (2016). Fluid Mechanics, 8th edition, McGraw-Hill, section 6.4 (Hagen-Poiseuille).
    """
    return 64.0 / reynolds + 0.0 * relative_roughness


def friction_least(reynolds: Real, relative_roughness: Real) -> Real:
    """Return the lower end of the friction factor: laminar for as long as that can be.

    Parameters
    ----------
    reynolds : Real
        Reynolds number, above 0 [-].
    relative_roughness : Real
        Height of the roughness over the bore [-].

    Returns
    -------
    Real
        Darcy friction factor; Churchill's below 2000 and above 4000, 64/Re between [-].

    References
    ----------
    White, F. M. (2016). Fluid Mechanics, 8th edition, McGraw-Hill, section 6.1 (transition between
    2000 and 4000).
    """
    named = friction_churchill_1977(reynolds, relative_roughness)
    return np.where(regime_is_uncertain(reynolds), friction_laminar(reynolds), named)[()]


def friction_most(reynolds: Real, relative_roughness: Real) -> Real:
    """Return the upper end of the friction factor: turbulent as soon as that can be.

    Parameters
    ----------
    reynolds : Real
        Reynolds number, above 0 [-].
    relative_roughness : Real
        Height of the roughness over the bore [-].

    Returns
    -------
    Real
        Darcy friction factor; Churchill's, between 2000 and 4000 Swamee and Jain's if larger [-].

    References
    ----------
    White, F. M. (2016). Fluid Mechanics, 8th edition, McGraw-Hill, section 6.1 (transition between
    2000 and 4000).
    """
    named = friction_churchill_1977(reynolds, relative_roughness)
    # Below 2000 the turbulent law is not wanted, and near 0 it has no value.
    turbulent = friction_swamee_jain_1976(np.maximum(reynolds, LAMINAR_BELOW), relative_roughness)
    # just below 4000 Churchill's is the larger one, by a thousandth
    largest = np.maximum(turbulent, named)
    return np.where(regime_is_uncertain(reynolds), largest, named)[()]


FRICTION: Mapping[str, Friction] = MappingProxyType(
    {
        "churchill": friction_churchill_1977,
        "swamee-jain": friction_swamee_jain_1976,
        "laminar": friction_laminar,
        "least": friction_least,
        "most": friction_most,
    }
)
"""The friction laws by name; "churchill" is used where none is named."""


def regime_is_uncertain(reynolds: Real) -> Any:
    """Return whether a flow may be laminar as well as turbulent.

    Parameters
    ----------
    reynolds : Real
        Reynolds number [-].

    Returns
    -------
    bool or ndarray of bool
        True from 2000 to 4000 [-].

    References
    ----------
    White, F. M. (2016). Fluid Mechanics, 8th edition, McGraw-Hill, section 6.1 (transition between
    2000 and 4000).
    """
    return (reynolds >= LAMINAR_BELOW) & (reynolds <= TURBULENT_ABOVE)
