"""The kettle's heat loss as a table over temperature, so that cooling costs a look-up per step.

The loss of an open surface needs its skin temperature, which is found by iteration. A plan asks for
it hundreds of times, so it is worked out once over a grid of temperatures for the day's air, with
its slope in air temperature and pressure for members whose air differs a little.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from wortline.documents.words import Lid
from wortline.plan.brew import Air, Brew
from wortline.science.kettle import LID_LEAK, lid_open_share, lidded_surface, wall_w_m2
from wortline.science.real import Real

Array = npt.NDArray[np.float64]

GRID_STEP_DK = 1.0
GRID_TOP_C = 104.0
STEAM, HEAT = 0, slice(1, 3)
"""Places of the steam, and of the heat of surface and wall together."""
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

    def at(self, quantity: int | slice, bulk_c: Real, air: Air) -> Array:
        """One quantity, or several with an axis of their own in front, at any temperatures."""
        last = self.rows.shape[-1] - 1.001
        place = np.minimum(np.maximum(np.asarray(bulk_c) / GRID_STEP_DK, 0.0), last)
        # What has no temperature has no loss either, but it must not stop the other members.
        below = np.fmax(place, 0.0).astype(np.intp)
        share = place - below
        rows = self.rows[:, quantity]
        return self._in_air(rows[..., below] * (1.0 - share) + rows[..., below + 1] * share, air)

    def on_grid(self, quantity: int | slice, cells: npt.NDArray[np.intp], air: Air) -> Array:
        """The same at points of the table, shape (cells, ...members)."""
        members = np.ndim(air.air_c + air.pressure_kpa + 0.0)
        points = self.rows[:, quantity][..., cells]
        return self._in_air(points.reshape(points.shape + (1,) * members), air)

    def _in_air(self, terms: Array, air: Air) -> Array:
        base, per_dk, per_kpa = terms
        warmer_dk, denser_kpa = air.air_c - self.air_c, air.pressure_kpa - self.pressure_kpa
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
    air = brew.air
    bulk_c = np.arange(0.0, GRID_TOP_C, GRID_STEP_DK)
    air_c, pressure_kpa, humidity = float(air.air_c), float(air.pressure_kpa), float(air.humidity)

    jacket_m = JACKET_M if brew.rig.jacket else 0.0
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

    surface_m2 = float(np.pi / 4.0 * brew.rig.diameter_m**2)
    return LidCurves(off=table(0), closed=table(1), surface_m2=surface_m2)
