"""Screens before an outlet: what a mesh takes from the flow, clean and blinded."""

import numpy as np

from wortline.science.pipe_flow import Segment
from wortline.science.real import Real


def free_share(opening_m: Real, wire_m: Real) -> Real:
    """Return the share of a square woven mesh that is open.

    Parameters
    ----------
    opening_m : Real
        Clear width between two wires [m].
    wire_m : Real
        Diameter of the wire [m].

    Returns
    -------
    Real
        Open area over whole area [-].

    References
    ----------
    International Organization for Standardization (1998). Industrial woven wire cloth, ISO 9044.
    """
    return (opening_m / (opening_m + wire_m)) ** 2


def mesh_k_idelchik_1966(free_share: Real) -> Real:
    """Return the loss coefficient of a thin sharp-edged grid, on the speed before it.

    Parameters
    ----------
    free_share : Real
        Open area over whole area, 0-1 [-].

    Returns
    -------
    Real
        Loss coefficient on the velocity head of the flow over the whole area [-].

    Notes
    -----
    For sharp edges and Reynolds numbers of the holes above some 1000. Round wire loses less: about
    a third of it at half open.

    References
    ----------
    Idelchik, I. E. (1966). Handbook of Hydraulic Resistance, diagram 8-1 (from memory).
    """
    shut = 1.0 - free_share
    return (0.707 * shut**0.375 + shut) ** 2 / free_share**2


def mesh_segment(mesh_m2: Real, free_share: Real, blinded: Real = 0.0) -> Segment:
    """Return a screen as a piece of a line, every opening blinded alike.

    Parameters
    ----------
    mesh_m2 : Real
        Whole area of the mesh [m2].
    free_share : Real
        Open area over whole area of the clean mesh [-].
    blinded : Real
        Share of every opening that is covered, 0 to below 1 [-].

    Returns
    -------
    Segment
        A fitting with the area of the mesh.

    Notes
    -----
    A cake of hops that the flow presses together is worse.

    References
    ----------
    Idelchik, I. E. (1966). Handbook of Hydraulic Resistance, diagram 8-1 (from memory).
    """
    left = free_share * (1.0 - blinded)
    return Segment(bore_m=np.sqrt(4.0 * mesh_m2 / np.pi), k=mesh_k_idelchik_1966(left))
