"""The solids of hot wort in classes: flocs of hot break by size, and bits of free hops."""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from wortline.science.real import Real
from wortline.science.settling import (
    floc_excess_kg_m3,
    moving_friction_speed_m_s,
    settling_m_s,
)
from wortline.science.swirl_constants import SwirlConstants
from wortline.science.turning import Body

# Chosen by hand: no distribution was measured in a kettle. Sizes in um, shares of the dry mass.
BREAK_UM = (20.0, 40.0, 80.0, 200.0, 500.0)
BREAK_SHARES = (0.05, 0.10, 0.25, 0.35, 0.25)
HOP_UM = (250.0, 400.0, 800.0)
HOP_SHARES = (0.3, 0.4, 0.3)
CLASSES = tuple(f"break {size:g} um" for size in BREAK_UM) + tuple(
    f"hops {size:g} um" for size in HOP_UM
)
IS_HOP = np.array([False] * len(BREAK_UM) + [True] * len(HOP_UM))

Array = npt.NDArray[np.float64]


class Solids(NamedTuple):
    """Classes of solids along the first axis, members behind.

    Attributes
    ----------
    size_m : ndarray
        Diameter [m].
    settling_m_s : ndarray
        Speed at which it sinks [m/s].
    moving_m_s : ndarray
        Friction speed on the floor at which it begins to move [m/s].
    load_mg_l : ndarray
        Dry mass in the wort [mg/L].
    """

    size_m: Array
    settling_m_s: Array
    moving_m_s: Array
    load_mg_l: Array


def solids_in_wort(
    body: Body,
    wort_hot_l: Real,
    hops_free_kg: Real,
    constants: SwirlConstants,
    members: tuple[int, ...] = (),
) -> Solids:
    """Return the classes of solids of a kettle of wort.

    Parameters
    ----------
    body : Body
        The liquid.
    wort_hot_l : Real
        Its volume, hot [L].
    hops_free_kg : Real
        Mass of the hops that swim free [kg].
    constants : SwirlConstants
        Constants of the model.
    members : tuple of int
        Shape of the members, where other numbers of a run are arrays as well.

    Returns
    -------
    Solids
        Each class with its size, speeds and load.

    Notes
    -----
    Whole cones that float, and the haze of a few um that never settles, are not in here.

    References
    ----------
    Kuehbeck, F., Mueller, J., Back, W., Kurz, T., Krottenthaler, M. (2007). Effect of hot trub and
    particle size in seven breweries. AIChE Journal 53, 1373 (abstract: 5, 20 to 25 and above
    200 um).
    """
    shape = np.broadcast_shapes(
        members,
        *(np.shape(each) for each in (*body, wort_hot_l, hops_free_kg)),
        *(np.shape(each) for each in vars(constants).values()),
    )
    tail = (-1,) + (1,) * len(shape)

    def along(values: tuple[float, ...]) -> Array:
        return np.array(values).reshape(tail)

    break_um = along(BREAK_UM) * np.broadcast_to(constants.floc_size, shape)
    hop_um = along(HOP_UM) * np.ones(shape)
    break_kg_m3 = floc_excess_kg_m3(break_um, constants.floc_excess_kg_m3, constants.floc_dimension)
    size_um = np.concatenate([break_um, hop_um])
    excess = np.concatenate(
        [break_kg_m3, np.broadcast_to(constants.hop_excess_kg_m3, hop_um.shape)]
    )
    hops_mg_l = 1e6 * constants.hop_solids * hops_free_kg / wort_hot_l
    load = [
        along(BREAK_SHARES) * np.broadcast_to(constants.break_mg_l, shape),
        along(HOP_SHARES) * np.broadcast_to(hops_mg_l, shape),
    ]
    thickness_mpa_s = 1000.0 * body.viscosity_m2_s * body.density_kg_m3
    return Solids(
        1e-6 * size_um,
        np.asarray(settling_m_s(size_um, excess, body.density_kg_m3, thickness_mpa_s)),
        np.asarray(
            moving_friction_speed_m_s(size_um, excess, body.density_kg_m3, body.viscosity_m2_s)
        ),
        np.concatenate(load),
    )
