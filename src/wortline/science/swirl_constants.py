"""The constants of the whirlpool model: each measured, derived or chosen, with its range.

Nothing here was measured in a home kettle. What is marked chosen was set by hand, knowing the usual
practice of about 3 min pumped and 15 min still; agreement with it is consistency, not proof.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from typing import Any, Literal, NamedTuple, TypeAlias

from wortline.science.numerics import in_range
from wortline.science.real import Real

Basis: TypeAlias = Literal["measured", "derived", "chosen"]


class Known(NamedTuple):
    """What is known of one constant.

    Attributes
    ----------
    value : float
        Value that is used where nothing better is known.
    low, high : float
        What it may well be: about the 5th and 95th of a hundred.
    basis : str
        measured (elsewhere, not in a kettle), derived (from other theory) or chosen (by hand).
    why : str
        Where it comes from.
    """

    value: float
    low: float
    high: float
    basis: Basis
    why: str


def _known(low: float, high: float, basis: Basis, why: str) -> dict[str, tuple[Any, ...]]:
    return {"known": (low, high, basis, why)}


@dataclass(frozen=True)
class SwirlConstants:
    """Constants of the whirlpool; each a number, or an array over the members of an ensemble."""

    jet_share: Real = field(
        default=0.75,
        metadata=_known(
            0.5, 0.9, "chosen", "share of the jet's momentum that the wall jet does not lose"
        ),
    )
    jet_arm: Real = field(
        default=0.85,
        metadata=_known(
            0.75, 0.95, "chosen", "lever of the jet over the radius, nozzle near the wall"
        ),
    )
    outflow_arm: Real = field(
        default=0.95,
        metadata=_known(0.9, 1.0, "chosen", "where the pump draws, over the radius: a side outlet"),
    )
    wall_drag: Real = field(
        default=1.0,
        metadata=_known(
            0.65, 1.6, "chosen", "on the drag of floor and side; the concave wall is a guess"
        ),
    )
    obstacle_drag: Real = field(
        default=1.0,
        metadata=_known(
            0.6, 2.0, "chosen", "drag coefficient of bars and coils, on the frontal area"
        ),
    )
    obstacle_at: Real = field(
        default=0.7,
        metadata=_known(0.6, 0.8, "chosen", "where an obstacle stands, over the radius"),
    )
    floc_size: Real = field(
        default=1.0,
        metadata=_known(0.5, 2.0, "chosen", "on every floc size; none was measured in the kettle"),
    )
    floc_excess_kg_m3: Real = field(
        default=100.0, metadata=_known(50.0, 200.0, "chosen", "excess density of a floc of 20 um")
    )
    floc_dimension: Real = field(
        default=2.2,
        metadata=_known(1.8, 2.3, "measured", "flocs of sludge and of fish tanks, from memory"),
    )
    hop_excess_kg_m3: Real = field(
        default=45.0,
        metadata=_known(22.0, 90.0, "derived", "wet hop bits of 1080 kg/m3 at 20 C, in hot wort"),
    )
    hop_solids: Real = field(
        default=0.75,
        metadata=_known(
            0.6, 0.8, "chosen", "share of the mass of hops that stays solid in the wort"
        ),
    )
    break_mg_l: Real = field(
        default=600.0,
        metadata=_known(
            400.0, 800.0, "measured", "dry hot break 40 to 80 g/hL (W. Kunze), from memory"
        ),
    )
    suspension: Real = field(
        default=1.0,
        metadata=_known(
            0.7, 1.5, "chosen", "friction speed over settling speed that keeps grains up"
        ),
    )
    entrained_per_min: Real = field(
        default=3.0, metadata=_known(1.5, 6.0, "chosen", "how fast loose trub is lifted again")
    )
    set_strength_pa: Real = field(
        default=0.06,
        metadata=_known(
            0.03, 0.3, "measured", "a proxy: fish faeces, Carvajalino-Fernandez et al. 2020"
        ),
    )
    set_min: Real = field(
        default=5.0, metadata=_known(1.0, 15.0, "chosen", "time in which trub on the floor sets")
    )
    eroded_per_min: Real = field(
        default=0.02,
        metadata=_known(0.005, 0.1, "chosen", "how fast set trub goes, at twice its strength"),
    )
    creep: Real = field(
        default=0.49,
        metadata=_known(0.25, 0.7, "chosen", "creep inward over the flow at the grain: 0.7 x 0.7"),
    )
    jet_stir: Real = field(
        default=0.08,
        metadata=_known(
            0.04, 0.16, "chosen", "friction speed on the floor over the turbulence of the jet"
        ),
    )
    convection_stir: Real = field(
        default=0.05,
        metadata=_known(
            0.02, 0.10, "chosen", "friction speed on the floor over the speed of convection"
        ),
    )
    clear_mg_l: Real = field(
        default=225.0,
        metadata=_known(
            100.0, 300.0, "chosen", "suspended solids (dry) below which wort is called clear"
        ),
    )
    still_m_s: Real = field(
        default=0.02,
        metadata=_known(0.01, 0.03, "chosen", "speed at the wall that counts as still"),
    )
    repose_deg: Real = field(
        default=15.0, metadata=_known(10.0, 25.0, "chosen", "angle of a cone of trub")
    )
    break_bed_l_kg: Real = field(
        default=6.0,
        metadata=_known(5.0, 30.0, "chosen", "bed of dry break: 15 to 20 % dry matter, or less"),
    )
    cone_holds: Real = field(
        default=0.5,
        metadata=_known(0.25, 1.0, "chosen", "level at which a cone gives way, over its height"),
    )
    film_at_m: Real = field(
        default=0.08,
        metadata=_known(0.04, 0.12, "chosen", "how far from the outlet set trub has to be spared"),
    )
    film_friction: Real = field(
        default=0.01,
        metadata=_known(
            0.005, 0.02, "chosen", "friction factor of a thin film that flows to the outlet"
        ),
    )


KNOWN: Mapping[str, Known] = {
    each.name: Known(getattr(SwirlConstants, each.name), *each.metadata["known"])
    for each in fields(SwirlConstants)
}


def swirl_constants_at(shares: Mapping[str, Real]) -> SwirlConstants:
    """Return constants drawn from their ranges.

    Parameters
    ----------
    shares : mapping of str to Real
        For each constant to draw, where in its range, 0-1, a number or an array over members; the
        others keep their value [-].

    Returns
    -------
    SwirlConstants
        At 0 the low end, at 0.5 the usual value, at 1 the high end.

    Notes
    -----
    Even in the logarithm on both sides of the usual value.

    References
    ----------
    Limpert, E., Stahel, W. A., Abbt, M. (2001). Log-normal distributions across the sciences.
    BioScience 51, 341-352 (positive quantities vary by factors; from memory).
    """
    drawn = {}
    for name, share in shares.items():
        known = KNOWN[name]
        drawn[name] = in_range(share, known.low, known.value, known.high)
    return SwirlConstants(**drawn)
