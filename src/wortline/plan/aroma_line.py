"""The aroma line: where the oil of every dose goes on the hot side, class by class.

Shapes are (doses, oils, ...members); a dose that never meets hot wort has no number.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from wortline.plan.brew import Brew, Held, Oil
from wortline.plan.hot_side import HotSide
from wortline.science.aroma import (
    EXTRACTED_PER_MIN,
    FILM_LIMIT,
    FILM_SPREAD,
    PACE_SPREAD,
    OilShares,
    aroma_index_g_l,
    effective_volatility,
    oil_extraction_per_min,
    oil_shares,
)
from wortline.science.numerics import in_range
from wortline.science.real import Real

Array = npt.NDArray[np.float64]

LEADING = "linalool"
HELD: tuple[Held, ...] = ("free", "bag", "mesh")
BOIL_PIECES = 12
PACE, FILM = "pace", "film"
MIDDLE = 0.5


@dataclass(frozen=True)
class Steam:
    """What the oil sees of the hot side: shape (steps, ...members)."""

    step_min: Array
    temp_c: Array
    evaporated_per_min: Array


@dataclass(frozen=True)
class AromaLine:
    """Where the oil of every dose is at the end of the chill.

    `index_g_l` and `held_g_l` have shape (doses, ...members).
    """

    brew: Brew
    steam: Steam
    in_min: Array
    wort_l: Real
    shares: OilShares

    @property
    def index_g_l(self) -> Array:
        """Aroma index of every dose as planned [g/L]."""
        place = [oil.name for oil in self.brew.oils].index(LEADING)
        return self._index_g_l(np.asarray(self.shares.kept)[:, place])

    def held_g_l(self, held: Held) -> Array:
        """Aroma index of every dose if it were held so; the wort's litres stay [g/L]."""
        oils = leading_oil(self.brew)
        return self._index_g_l(
            np.asarray(followed(self.brew, self.steam, self.in_min, oils, held).kept)[:, 0]
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
    moments = by_dose(in_min, steam.step_min.ndim)
    return AromaLine(brew, steam, moments, wort_l, followed(brew, steam, moments, brew.oils))


def leading_oil(brew: Brew) -> tuple[Oil, ...]:
    """The class of oil that stands for the aroma."""
    return tuple(oil for oil in brew.oils if oil.name == LEADING)


def pace_times(brew: Brew) -> Real:
    """How many times faster than usual oil leaves the hops [-]."""
    return in_range(brew.oil_shares.get(PACE, MIDDLE), 1.0 / PACE_SPREAD, 1.0, PACE_SPREAD)


def effective_of(brew: Brew, oils: Sequence[Oil]) -> Array:
    """Effective volatility of classes of oil, shape (oils, ...members) [-]."""
    film_limit = in_range(
        brew.oil_shares.get(FILM, MIDDLE),
        FILM_LIMIT / FILM_SPREAD,
        FILM_LIMIT,
        FILM_LIMIT * FILM_SPREAD,
    )
    found = [
        effective_volatility(
            in_range(
                brew.oil_shares.get(oil.name, MIDDLE),
                oil.volatility_low,
                oil.volatility,
                oil.volatility_high,
            ),
            film_limit,
        )
        for oil in oils
    ]
    return np.stack(np.broadcast_arrays(*map(np.asarray, found)))


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
    brew: Brew,
    steam: Steam,
    in_min: Array,
    oils: Sequence[Oil],
    held: Held | None = None,
    part: slice = slice(None),
) -> OilShares:
    """Shares of every dose for every class of oil, as planned or held so.

    With `part` steam and moments are those of this part of the members.
    """
    members = steam.step_min.ndim - 1

    def wide(curve: Array) -> Array:
        return curve.reshape((*curve.shape[:1], 1, 1, *curve.shape[1:]))

    def by_member(values: Array) -> Array:
        """Whatever is first, then the members, each with an axis though it be of one."""
        axes = (1,) * (members + 1 - values.ndim)
        shaped = values.reshape(values.shape[:1] + axes + values.shape[1:])
        return np.asarray(shaped[..., part] if members else shaped)

    paces = [EXTRACTED_PER_MIN[dose.form, held or dose.held] for dose in brew.doses]
    times = by_member(np.asarray(pace_times(brew))[np.newaxis])
    rates = by_member(np.array(paces)) * times
    reachable = by_member(
        by_dose([1.0 - brew.containment_less(dose, held) for dose in brew.doses], members + 1)
    )
    return oil_shares(
        oil_extraction_per_min(wide(steam.temp_c), 1.0) * rates[:, np.newaxis],
        wide(steam.evaporated_per_min) * by_member(effective_of(brew, oils)),
        wide(steam.step_min),
        in_min[:, np.newaxis],
        reachable=reachable[:, np.newaxis],
    )
