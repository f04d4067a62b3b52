"""What heat does to what must not live in the line."""

import numpy as np

from wortline.science.real import Real

COUNTED_FROM_C = 65.0


def lethality_a0(temp_c: Real, time_min: Real) -> Real:
    """Return the heat dose A0 of moist heat held for some time.

    Parameters
    ----------
    temp_c : Real
        Temperature at the coldest place [C].
    time_min : Real
        How long it is held [min].

    Returns
    -------
    Real
        Seconds at 80 C that kill as much, for a z value of 10 K [s].

    Notes
    -----
    Nothing is counted at 65 C and below. It speaks of vegetative germs on clean surfaces; heat
    does not take soil away, and spores outlive it.

    References
    ----------
    EN ISO 15883-1 (2014). Washer-disinfectors, part 1: general requirements, annex B.
    """
    dose = 60 * time_min * 10 ** ((temp_c - 80) / 10)
    return np.where(np.asarray(temp_c) > COUNTED_FROM_C, dose, 0.0)[()]


def pasteurisation_units(temp_c: Real, time_min: Real) -> Real:
    """Return the pasteurisation units of beer held hot for some time.

    Parameters
    ----------
    temp_c : Real
        Temperature at the coldest place [C].
    time_min : Real
        How long it is held [min].

    Returns
    -------
    Real
        Minutes at 60 C that kill as much [min].

    References
    ----------
    Del Vecchio, H. W., Dayharsh, C. A., Baselt, F. C. (1951). Thermal death time studies on beer
    spoilage organisms. Proceedings of the American Society of Brewing Chemists, 45-50.
    """
    return time_min * 1.393 ** (temp_c - 60)
