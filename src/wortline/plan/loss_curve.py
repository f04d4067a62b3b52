"""The kettle's heat loss as a table over temperature, so that cooling costs a look-up per step.

The loss of an open surface needs its skin temperature, which is found by iteration. A plan asks for
it hundreds of times, so it is worked out once over a grid of temperatures for the day's air, with
its slope in air temperature and pressure for members whose air differs a little.
"""

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
import numpy.typing as npt

from wortline.documents.words import Lid
from wortline.plan.brew import Air, Brew
from wortline.science.kettle import LID_LEAK, lid_open_share, lidded_surface, wall_w_m2
from wortline.science.real import Real

Array = npt.NDArray[np.float64]

GRID_STEP_DK = 1.0
GRID_TOP_C = 104.0
AIR_NUDGE_DK = 2.0
PRESSURE_NUDGE_KPA = 1.0
JACKET_M = 0.010


@dataclass(frozen=True)
class LossCurve:
    """Heat and steam per square metre under one lid, over the temperature of the wort.

    `rows` has shape (3 terms, 3 quantities, grid): steam [kg/(m2 min)], surface heat [W/m2] and
    wall heat [W/m2], each as value, slope per kelvin of air and slope per kPa.
    """

    rows: Array
    air_c: float
    pressure_kpa: float

    @cached_property
    def _points(self) -> tuple[Array, Array]:
        """Steam, and heat of surface and wall: what is read off together lies together."""
        steam, *heats = np.moveaxis(self.rows, 1, 0)
        return np.ascontiguousarray(steam.T), np.ascontiguousarray(np.concatenate(heats).T)

    def steam_kg_m2_min(self, bulk_c: Real, air: Air) -> Array:
        """Steam at any temperatures [kg/(m2 min)]."""
        return self._in_air(self._read(self._points[0], bulk_c), air)

    def heat_w_m2(self, bulk_c: Real, air: Air) -> tuple[Array, Array]:
        """Heat of surface and wall at any temperatures [W/m2]."""
        terms = self._read(self._points[1], bulk_c)
        return self._in_air(terms[..., :3], air), self._in_air(terms[..., 3:], air)

    def heat_on_grid_w_m2(self, cells: npt.NDArray[np.intp], air: Air) -> tuple[Array, Array]:
        """The same at points of the table, shape (cells, ...members) [W/m2]."""
        members = np.ndim(air.air_c + air.pressure_kpa + 0.0)
        terms = self._points[1][cells].reshape(len(cells), *([1] * members), 6)
        return self._in_air(terms[..., :3], air), self._in_air(terms[..., 3:], air)

    def _read(self, points: Array, bulk_c: Real) -> Array:
        last = len(points) - 1.001
        place = np.minimum(np.maximum(np.asarray(bulk_c) / GRID_STEP_DK, 0.0), last)
        # What has no temperature has no loss either, but it must not stop the other members.
        below = np.fmax(place, 0.0).astype(np.intp)
        share = (place - below)[..., np.newaxis]
        low, high = points.take(below, axis=0), points.take(below + 1, axis=0)
        low *= 1.0 - share
        high *= share
        low += high
        return low

    def _in_air(self, terms: Array, air: Air) -> Array:
        warmer_dk, denser_kpa = air.air_c - self.air_c, air.pressure_kpa - self.pressure_kpa
        base, per_dk, per_kpa = terms[..., 0], terms[..., 1], terms[..., 2]
        result: Array = base + per_dk * warmer_dk + per_kpa * denser_kpa
        return result


@dataclass(frozen=True)
class LidCurves:
    """The loss curves of a rig on a day: lid off and lid on; a gap lies between."""

    off: LossCurve
    closed: LossCurve
    surface_m2: float

    def under(self, lid: Lid) -> LossCurve:
        """The curve under this lid."""
        if lid.kind != "gap":
            return self.off if lid.kind == "off" else self.closed
        share = open_share(lid, self.surface_m2)
        mix = (share - LID_LEAK) / (1.0 - LID_LEAK)
        rows = self.off.rows * mix + self.closed.rows * (1.0 - mix)
        return LossCurve(rows, self.off.air_c, self.off.pressure_kpa)


def open_share(lid: Lid, surface_m2: float) -> float:
    """Share of the open loss that gets past this lid [-]."""
    if lid.kind == "off":
        return 1.0
    if lid.kind == "on":
        return LID_LEAK
    return float(lid_open_share(lid.gap_m2, surface_m2))


def loss_curves(brew: Brew) -> LidCurves:
    """Tabulate the losses of this rig on this day (central values)."""
    air, rig = brew.air, brew.rig
    numbers = air.air_c, air.pressure_kpa, air.humidity, rig.diameter_m
    return _tabulated(*map(float, numbers), bool(rig.jacket))


# Every edit of a plan asks for it again, and few edits change kettle or weather.
@lru_cache(maxsize=16)
def _tabulated(
    air_c: float, pressure_kpa: float, humidity: float, diameter_m: float, jacket: bool
) -> LidCurves:
    bulk_c = np.arange(0.0, GRID_TOP_C, GRID_STEP_DK)
    jacket_m = JACKET_M if jacket else 0.0
    lids = np.array([1.0, LID_LEAK]).reshape(2, 1, 1)
    in_air_c = np.array([[air_c], [air_c + AIR_NUDGE_DK], [air_c]])
    at_kpa = np.array([[pressure_kpa], [pressure_kpa], [pressure_kpa + PRESSURE_NUDGE_KPA]])
    surface = lidded_surface(bulk_c, in_air_c, at_kpa, lids, humidity)
    steam = np.maximum(surface.evaporation_kg_m2_min, 0.0)
    wall = wall_w_m2(bulk_c, in_air_c, jacket_m)

    def table(lid: int) -> LossCurve:
        values = np.stack([steam[lid], np.asarray(surface.total_w_m2)[lid], np.asarray(wall)])
        base, warmer, denser = np.moveaxis(values, 1, 0)
        slopes = (warmer - base) / AIR_NUDGE_DK, (denser - base) / PRESSURE_NUDGE_KPA
        return LossCurve(np.stack([base, *slopes]), air_c, pressure_kpa)

    surface_m2 = float(np.pi / 4.0 * diameter_m**2)
    return LidCurves(off=table(0), closed=table(1), surface_m2=surface_m2)
