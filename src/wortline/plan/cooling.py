"""Wort in the kettle warming under power and cooling without it, step by step over all members."""

from dataclasses import dataclass
from functools import cached_property, lru_cache
from math import ceil

import numpy as np
import numpy.typing as npt

from wortline.plan.brew import Brew
from wortline.plan.loss_curve import GRID_STEP_DK, LossCurve
from wortline.science.first_order import from_zero, taken
from wortline.science.kettle import wetted_wall_m2
from wortline.science.real import Real

Array = npt.NDArray[np.float64]

STEP_MIN = 1.0
MOST_STEPS = 150

# Wort as cold as the room loses nothing; a hair of loss keeps the times finite.
LEAST_W = 1e-3


@dataclass(frozen=True)
class Stretch:
    """A piece of the temperature curve: shape (steps, ...members) but for `end_c` (one more).

    `mid_c` is what the kinetics use for a whole step; `steam_kg` is what evaporates in it;
    `in_kettle` is the share of the wort that is as hot, all of it unless it is being drawn.
    """

    step_min: Array
    mid_c: Array
    ends_c: Array
    steam_kg: Array
    in_kettle: Array | None = None

    @cached_property
    def hot_share(self) -> Array:
        """Share of the wort still in the kettle in each step [-]."""
        return np.ones_like(self.step_min) if self.in_kettle is None else self.in_kettle

    @cached_property
    def minutes_min(self) -> Array:
        """Length of the stretch [min]."""
        total: Array = self.step_min.sum(axis=0)
        return total

    def then(self, after: "Stretch") -> "Stretch":
        """This piece and the one that begins where it ends, as one."""
        return Stretch(
            np.concatenate([self.step_min, after.step_min]),
            np.concatenate([self.mid_c, after.mid_c]),
            np.concatenate([self.ends_c, after.ends_c[1:]]),
            np.concatenate([self.steam_kg, after.steam_kg]),
        )


@dataclass(frozen=True)
class Pot:
    """What loses heat: the kettle's geometry and what is in it, under one lid."""

    curve: LossCurve
    surface_m2: Real
    wall_m2: Real
    heat_kj_k: Real
    surface_factor: Real
    hose_w_k: Real = 0.0
    pump_w: Real = 0.0


def pot(brew: Brew, curve: LossCurve, cold_l: Real, heat_kj_k: Real, pumped: bool = False) -> Pot:
    """The kettle with this much wort in it, the pump running or not."""
    surface_m2 = np.pi / 4.0 * brew.rig.diameter_m**2
    height_m = cold_l / 1000.0 / surface_m2
    return Pot(
        curve=curve,
        surface_m2=surface_m2,
        wall_m2=wetted_wall_m2(brew.rig.diameter_m, height_m),
        heat_kj_k=heat_kj_k,
        surface_factor=brew.models.surface_loss,
        hose_w_k=brew.models.hose_loss_w_k if pumped else 0.0,
        pump_w=brew.models.pump_heat_w if pumped else 0.0,
    )


def loss_w(kettle: Pot, brew: Brew, bulk_c: Real) -> Array:
    """Heat leaving the kettle at these temperatures [W]."""
    surface_w_m2, wall_w_m2 = kettle.curve.heat_w_m2(bulk_c, brew.air)
    return _summed_w(kettle, brew, bulk_c, surface_w_m2, wall_w_m2)


def steam_kg_min(kettle: Pot, brew: Brew, bulk_c: Real) -> Array:
    """Steam leaving the kettle at these temperatures [kg/min]."""
    area_m2 = kettle.surface_m2 * kettle.surface_factor
    return np.asarray(area_m2 * kettle.curve.steam_kg_m2_min(bulk_c, brew.air))


def _summed_w(
    kettle: Pot, brew: Brew, bulk_c: Real, surface_w_m2: Array, wall_w_m2: Array
) -> Array:
    area_m2 = kettle.surface_m2 * kettle.surface_factor
    hoses_w = kettle.hose_w_k * (bulk_c - brew.air.air_c) - kettle.pump_w
    return np.asarray(area_m2 * surface_w_m2 + kettle.wall_m2 * wall_w_m2 + hoses_w)


def rest(kettle: Pot, brew: Brew, start_c: Real, minutes_min: Real, steps: int) -> Stretch:
    """Cooling with the element off, exact for a loss that is straight between the table's points.

    Within one cell of the table the wort then cools exponentially, so the time a cell takes and the
    temperature at any moment inside it have closed forms; nothing is stepped through time.
    """
    start_c = np.asarray(start_c + 0.0 * kettle.heat_kj_k + 0.0 * np.asarray(minutes_min))
    heat_wmin_k = kettle.heat_kj_k * 1000.0 / 60.0
    start_w = loss_w(kettle, brew, start_c)
    # Losing at its first pace all the time, the wort would fall this far: the table ends below.
    furthest_dk = np.maximum(start_w, 0.0) * minutes_min / heat_wmin_k
    highest_c, lowest_c = np.fmax(start_c, 0.0).max(), np.fmax(start_c - furthest_dk, 0.0).min()
    last = kettle.curve.rows.shape[-1] - 1
    # Above the table's end its last loss is taken.
    top = min(int(np.floor(highest_c / GRID_STEP_DK)), last)
    # Where losses leave less than no wort it would warm: such a plan is refused, but not here.
    bottom = min(max(int(np.floor(lowest_c / GRID_STEP_DK)) - 1, 0), top)
    cells = np.arange(top, bottom - 1, -1)
    cells_c: Array = GRID_STEP_DK * cells.astype(np.float64).reshape(-1, *([1] * start_c.ndim))
    surface_w_m2, wall_w_m2 = kettle.curve.heat_on_grid_w_m2(cells, brew.air)
    cells_w = _summed_w(kettle, brew, cells_c, surface_w_m2, wall_w_m2)
    # Points above the start of a member stand at its start and take no time.
    below = cells_c < start_c
    points_c = np.concatenate([start_c[np.newaxis], np.where(below, cells_c, start_c)])
    points_w = np.concatenate([start_w[np.newaxis], np.where(below, cells_w, start_w)])
    points_w = np.maximum(points_w, LEAST_W)
    fall_dk = points_c[:-1] - points_c[1:]
    cell_min = heat_wmin_k * fall_dk / log_mean(points_w[:-1], points_w[1:])
    length_min = np.broadcast_to(np.asarray(minutes_min), start_c.shape)
    moment_min = np.multiply.outer(even_shares(steps), length_min)
    ends_c = _cooled_to(points_c, points_w, cell_min, moment_min)
    mid_c = 0.5 * (ends_c[1:] + ends_c[:-1])
    step_min = np.broadcast_to(length_min / steps, mid_c.shape)
    return Stretch(step_min, mid_c, ends_c, _steam_kg(kettle, brew, mid_c, step_min))


def log_mean(first: Array, second: Array) -> Array:
    """Logarithmic mean: the loss that makes a cell of straight loss take the right time."""
    ratio = second / first
    near = np.abs(ratio - 1.0) < 1e-6
    exact = (second - first) / np.log(np.where(near, 2.0, ratio))
    result: Array = np.where(near, 0.5 * (first + second), exact)
    return result


def _cooled_to(points_c: Array, points_w: Array, cell_min: Array, moment_min: Array) -> Array:
    """Temperatures at some moments: the cell each falls in, then the exponential inside it."""
    reached_min = from_zero(cell_min)
    passed = np.count_nonzero(reached_min[1:-1, np.newaxis] <= moment_min, axis=0)

    def here(values: Array) -> Array:
        return taken(values, passed)

    high_c, low_c = here(points_c[:-1]), here(points_c[1:])
    high_w, low_w = here(points_w[:-1]), here(points_w[1:])
    gone_min = moment_min - here(reached_min[:-1])
    whole_min = here(cell_min)
    share = gone_min / np.where(whole_min > 0.0, whole_min, 1.0)
    share = np.minimum(np.maximum(share, 0.0), 1.0)
    ratio = low_w / high_w
    near = np.abs(ratio - 1.0) < 1e-6
    bent = (1.0 - ratio**share) / np.where(near, 1.0, 1.0 - ratio)
    result: Array = high_c - (high_c - low_c) * np.where(near, share, bent)
    return result


def heat(kettle: Pot, brew: Brew, start_c: Real, end_c: Real, steps: int) -> Stretch:
    """Heating at full power, cut into equal pieces of temperature; infinite if it never gets there.

    The time of a piece is its heat over what the element leaves after the losses at its middle.
    """
    cut = even_shares(steps)
    rise_dk = np.maximum(np.asarray(end_c - start_c, dtype=np.float64), 0.0)
    ends_c = np.asarray(start_c) + np.multiply.outer(cut, rise_dk)
    mid_c = 0.5 * (ends_c[1:] + ends_c[:-1])
    net_w = brew.rig.power_w * brew.rig.efficiency - loss_w(kettle, brew, mid_c)
    piece_kj = kettle.heat_kj_k * np.diff(ends_c, axis=0)
    enough = np.where(net_w > 0.0, net_w, 1.0)
    never = np.where(piece_kj > 0.0, np.inf, 0.0)
    step_min = np.where(net_w > 0.0, piece_kj * 1000.0 / enough / 60.0, never)
    return Stretch(step_min, mid_c, ends_c, _steam_kg(kettle, brew, mid_c, step_min))


# A fit cuts dozens of stretches into the same few numbers of steps.
@lru_cache(maxsize=256)
def even_shares(steps: int) -> Array:
    """Shares of a stretch gone by at its start and at the ends of its steps [-]."""
    shares = np.linspace(0.0, 1.0, steps + 1)
    shares.setflags(write=False)
    return shares


def steps_for(minutes_min: Real, most: int = MOST_STEPS) -> int:
    """How many steps a stretch gets: one a minute, within limits, the same for all members."""
    longest = float(np.fmax(minutes_min, 0.0).max()) if np.size(minutes_min) else 0.0
    return max(ceil(min(longest / STEP_MIN, most) - 1e-9), 1)


def fall(
    kettle: Pot, brew: Brew, ends_c: Array, step_min: Array, in_kettle: Array | None = None
) -> Stretch:
    """A prescribed temperature curve, as a chiller makes it: only its steam is worked out."""
    mid_c = 0.5 * (ends_c[1:] + ends_c[:-1])
    steam_kg = _steam_kg(kettle, brew, mid_c, step_min)
    return Stretch(step_min, mid_c, ends_c, steam_kg, in_kettle)


def _steam_kg(kettle: Pot, brew: Brew, mid_c: Array, step_min: Array) -> Array:
    # A step that never ends belongs to a plan that is refused; it must not spoil the rest.
    finite_min = np.where(np.isfinite(step_min), step_min, 0.0)
    return steam_kg_min(kettle, brew, mid_c) * finite_min
