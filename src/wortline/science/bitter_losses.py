"""What wort, fermentation, filter and age take from the bitter acids."""

from dataclasses import dataclass, replace

import numpy as np

from wortline.science.real import Real

WEEK_MIN = 7.0 * 24.0 * 60.0


@dataclass(frozen=True)
class Losses:
    """What stands between the acids in the hot wort and the acids in the glass.

    Shares multiply; 1 means nothing is lost. The defaults are an average young beer.

    Parameters
    ----------
    wort_ph : Real
        pH of the wort after the boil, at 20 C [-]
    boil_share : Real
        Share of iso-alpha and oxidised acids that break and spent hops leave; fitted [-]
    clarity : Real
        Iso-alpha acids kept over average wort: 1.3 very clear, 0.7 very cloudy [-]
    fermentation_share : Real
        Share that fermentation leaves; sources 0.80-0.95 [-]
    flocculation : Real
        0.95 for yeast that drops hard, 1.05 for yeast that stays up [-]
    krausen : Real
        Iso-alpha acids kept over a head that dries on the wall: 1.126 mixed back, 0.95 heavy
        deposits, 0.90 skimmed, 0.94-0.73 blown off [-]
    filter_share : Real
        Share that a filter leaves, see `filter_share_fix` [-]
    age_min : Real
        Age of the beer at room temperature, up to 16 weeks; one week by default [min]
    """

    wort_ph: Real = 5.4
    boil_share: Real = 0.51
    clarity: Real = 1.0
    fermentation_share: Real = 0.85
    flocculation: Real = 1.0
    krausen: Real = 1.0
    filter_share: Real = 1.0
    age_min: Real = WEEK_MIN


def in_wort(losses: Losses) -> Losses:
    """The losses up to the cold wort: nothing fermented, filtered or aged.

    Parameters
    ----------
    losses : Losses
        The losses up to the beer.

    Returns
    -------
    Losses
        The same with everything after the kettle taken out.

    References
    ----------
    J.-P. Hosom, 2021, A Summary of Factors Affecting IBUs, author's web article.
    """
    return replace(
        losses,
        fermentation_share=1.0,
        flocculation=1.0,
        krausen=1.0,
        filter_share=1.0,
        age_min=0.0,
    )


def gravity_share(original_sg: Real, boil_min: Real) -> Real:
    """Share of the acids that strong wort keeps through a long boil.

    Parameters
    ----------
    original_sg : Real
        Original gravity [sg]
    boil_min : Real
        How long the dose boils [min]

    Returns
    -------
    Real
        Share kept over weak wort or a short boil [-]

    References
    ----------
    J.-P. Hosom, 2021, A Summary of Factors Affecting IBUs, author's web article (global fit).
    """
    # The published slope runs from 1 at 30 min to 4.9 at 40 min and is level on both sides.
    slope = np.minimum(np.maximum(0.39 * (boil_min - 30.0) + 1.0, 1.0), 4.9)
    strength = np.maximum(original_sg - 1.0, 1e-6)
    return np.maximum(1.0 - 2.0 * np.exp(-1.0 / (slope * strength)), 0.0)


def iso_ph_share(wort_ph: Real) -> Real:
    """Iso-alpha acids kept over wort of pH 5.75.

    Parameters
    ----------
    wort_ph : Real
        pH of the wort after the boil, at 20 C [-]

    Returns
    -------
    Real
        Share kept [-]

    References
    ----------
    J.-P. Hosom, 2021, A Summary of Factors Affecting IBUs, author's web article (global fit).
    """
    return 0.071 * wort_ph + 0.592


def oxidised_ph_share(wort_ph: Real) -> Real:
    """Oxidised acids kept over wort of pH 5.75.

    Parameters
    ----------
    wort_ph : Real
        pH of the wort after the boil, at 20 C [-]

    Returns
    -------
    Real
        Share kept, not below 0 [-]

    Notes
    -----
    Measured between pH 5.2 and 5.8. The line reaches zero at pH 4.63 and is held there.

    References
    ----------
    J.-P. Hosom, 2021, A Summary of Factors Affecting IBUs, author's web article (global fit).
    """
    return np.maximum(0.8948 * wort_ph - 4.145, 0.0)


def age_share(age_min: Real) -> Real:
    """Share of the bitter acids left in beer kept at room temperature.

    Parameters
    ----------
    age_min : Real
        Age since fermentation, held at 16 weeks beyond that [min]

    Returns
    -------
    Real
        Share left [-]

    References
    ----------
    J.-P. Hosom, 2021, A Summary of Factors Affecting IBUs, author's web article (to 16 weeks).
    """
    age_weeks = np.clip(np.asarray(age_min) / WEEK_MIN, 0.0, 16.0)
    return 0.35 * np.exp(-0.073 * age_weeks) + 0.65


def filter_share_fix(pore_um: Real) -> Real:
    """Share of the bitter acids that a filter leaves.

    Parameters
    ----------
    pore_um : Real
        Pore size of the filter [um]

    Returns
    -------
    Real
        Share left, 1 from about 3.9 um on [-]

    References
    ----------
    G. J. Fix, L. A. Fix, 1997, An Analysis of Brewing Techniques, by J.-P. Hosom, 2021, A Summary
    of Factors Affecting IBUs (line through three printed values).
    """
    return np.minimum(0.017 * pore_um + 0.934, 1.0)


def iso_kept(losses: Losses, original_sg: Real, boil_min: Real) -> Real:
    """Share of the iso-alpha acids formed in hot wort that reaches the wort or beer meant.

    Parameters
    ----------
    losses : Losses
        The losses up to the beer, or up to the wort by `in_wort`.
    original_sg : Real
        Original gravity [sg]
    boil_min : Real
        How long the dose boils [min]

    Returns
    -------
    Real
        Share kept [-]

    References
    ----------
    J.-P. Hosom, 2021, A Summary of Factors Affecting IBUs, author's web article (347 values).
    """
    return (
        _acids_kept(losses, original_sg, boil_min)
        * iso_ph_share(losses.wort_ph)
        * losses.clarity
        * losses.krausen
    )


def oxidised_kept(losses: Losses, original_sg: Real, boil_min: Real) -> Real:
    """Share of the oxidised alpha acids in hot wort that reaches the wort or beer meant.

    Parameters
    ----------
    losses : Losses
        The losses up to the beer, or up to the wort by `in_wort`.
    original_sg : Real
        Original gravity [sg]
    boil_min : Real
        How long the dose boils [min]

    Returns
    -------
    Real
        Share kept [-]

    Notes
    -----
    Clarity acts on iso-alpha acids alone; what a krausen takes of them, it takes three times here.

    References
    ----------
    J.-P. Hosom, 2021, A Summary of Factors Affecting IBUs, author's web article (347 values).
    """
    krausen = np.maximum(1.0 - 3.0 * (1.0 - losses.krausen), 0.0)
    ph_share = oxidised_ph_share(losses.wort_ph)
    kept: Real = _acids_kept(losses, original_sg, boil_min) * ph_share * krausen
    return kept


def _acids_kept(losses: Losses, original_sg: Real, boil_min: Real) -> Real:
    """Share kept of iso-alpha and oxidised acids alike."""
    return (
        losses.boil_share
        * gravity_share(original_sg, boil_min)
        * losses.fermentation_share
        * losses.flocculation
        * losses.filter_share
        * age_share(losses.age_min)
    )
