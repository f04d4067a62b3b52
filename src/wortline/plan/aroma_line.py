"""The aroma line: where the oil of every dose goes on the hot side, class by class.

Shapes are (doses, oils, ...members); a dose that never meets hot wort has no number.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from wortline.plan.brew import Brew, Dose, Held
from wortline.plan.hot_side import HotSide
from wortline.science.aroma import (
    EXTRACTED_PER_MIN,
    FILM_LIMIT,
    FILM_SPREAD,
    OilShares,
    aroma_index_g_l,
    effective_volatility,
    oil_extraction_per_min,
    oil_shares,
)
from wortline.science.real import Real

Array = npt.NDArray[np.float64]

LEADING = "linalool"
HELD: tuple[Held, ...] = ("free", "bag", "mesh")
BOIL_PIECES = 12


@dataclass(frozen=True)
class Steam:
    """What the oil sees of the hot side: shape (steps, ...members)."""

    step_min: Array
    temp_c: Array
    evaporated_per_min: Array


@dataclass(frozen=True)
class AromaLine:
    """Where the oil of every dose is at the end of the chill.

    `kept_low` and `kept_high` are what the wort keeps if a class is more or less volatile than
    taken; `index_g_l` and `held_g_l` have shape (doses, ...members).
    """

    brew: Brew
    steam: Steam
    in_min: Array
    wort_l: Real
    shares: OilShares
    kept_low: Array
    kept_high: Array

    @property
    def index_g_l(self) -> Array:
        """Aroma index of every dose as planned [g/L]."""
        place = [oil.name for oil in self.brew.oils].index(LEADING)
        return self._index_g_l(np.asarray(self.shares.kept)[:, place])

    def held_g_l(self, held: Held) -> Array:
        """Aroma index of every dose if it were held so; the wort's litres stay [g/L]."""
        leading = next(oil for oil in self.brew.oils if oil.name == LEADING)
        effective = np.asarray([effective_volatility(leading.volatility)])
        return self._index_g_l(
            np.asarray(followed(self.brew, self.steam, self.in_min, effective, held).kept)[:, 0]
        )

    def _index_g_l(self, kept: Array) -> Array:
        masses = by_dose([dose.mass_kg for dose in self.brew.doses], kept.ndim)
        return np.asarray(aroma_index_g_l(masses, self.wort_l, kept))


def aroma_line(
    brew: Brew,
    hot: HotSide,
    in_min: Sequence[Real],
    wort_l: Real,
    wort_kg: Real,
    boil_share: float,
) -> AromaLine:
    """Follow the oil of every dose, put in at these minutes from the lift, to the end of the chill.

    `wort_kg` is what is left at the end; `boil_share` is the share of the boil's steam that gets
    past the lid.
    """
    steam = steam_of(hot, wort_kg, boil_share)
    oils = brew.oils
    effective = np.array(
        [
            [effective_volatility(oil.volatility) for oil in oils],
            [effective_volatility(oil.volatility_high, FILM_LIMIT * FILM_SPREAD) for oil in oils],
            [effective_volatility(oil.volatility_low, FILM_LIMIT / FILM_SPREAD) for oil in oils],
        ]
    ).ravel()
    moments = by_dose(in_min, steam.step_min.ndim)
    found = followed(brew, steam, moments, effective)
    mid, low, high = np.split(np.asarray(found.kept), 3, axis=1)
    in_hops, stripped = (
        np.split(np.asarray(each), 3, axis=1)[0] for each in (found.in_hops, found.stripped)
    )
    shares = OilShares(in_hops, mid, stripped)
    return AromaLine(brew, steam, moments, wort_l, shares, low, high)


def by_dose(values: Sequence[Real], axes: int) -> Array:
    """One value for each dose, members last, with `axes` axes in all."""
    if not len(values):
        return np.zeros((0,) + (1,) * (axes - 1))
    found = np.stack(np.broadcast_arrays(*(np.asarray(each, dtype=float) for each in values)))
    return found.reshape(found.shape[:1] + (1,) * (axes - found.ndim) + found.shape[1:])


def steam_of(hot: HotSide, wort_kg: Real, boil_share: float) -> Steam:
    """The steam of every step over the wort there is in it.

    Within a step the wort falls evenly in its logarithm, so that each step loses what it should.
    """
    counts = np.where(hot.boiling, BOIL_PIECES, 1)
    shape = (-1, *([1] * (hot.step_min.ndim - 1)))
    pieces = np.repeat(counts, counts).reshape(shape)
    step_min = np.repeat(hot.step_min, counts, axis=0) / pieces
    # Lengths that never end belong to plans that are refused; they must not spoil the rest.
    step_min = np.where(np.isfinite(step_min), step_min, 0.0)
    steam_kg = np.repeat(hot.steam_kg, counts, axis=0) / pieces
    to_come_kg = np.cumsum(steam_kg[::-1], axis=0)[::-1]
    logged = np.log1p(steam_kg / (wort_kg + to_come_kg - steam_kg))
    past = np.where(np.repeat(hot.boiling, counts).reshape(shape), boil_share, 1.0)
    evaporated = past * logged / np.where(step_min > 0.0, step_min, 1.0)
    return Steam(step_min, np.repeat(hot.mid_c, counts, axis=0), evaporated)


def followed(
    brew: Brew, steam: Steam, in_min: Array, effective: Array, held: Held | None = None
) -> OilShares:
    """Shares of every dose for every effective volatility, as planned or held so."""
    members = steam.step_min.ndim - 1

    def pace(dose: Dose) -> float:
        return EXTRACTED_PER_MIN[dose.form, held or dose.held]

    def wide(curve: Array) -> Array:
        return curve.reshape((*curve.shape[:1], 1, 1, *curve.shape[1:]))

    rates = np.array([pace(dose) for dose in brew.doses]).reshape((-1, 1, *([1] * members)))
    reachable = by_dose(
        [1.0 - brew.containment_less(dose, held) for dose in brew.doses], members + 1
    )
    return oil_shares(
        oil_extraction_per_min(wide(steam.temp_c), 1.0) * rates,
        wide(steam.evaporated_per_min) * effective.reshape((-1, *([1] * members))),
        wide(steam.step_min),
        in_min[:, np.newaxis],
        reachable=reachable[:, np.newaxis],
    )
