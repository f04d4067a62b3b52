"""The ledger: litres at every step of the day, from the tap to the fermenter.

All volumes are cold litres (20 C). Going forwards the water is given and every loss is taken off in
turn; going backwards the same sum is solved for the water. Only the evaporation between heat-off
and the end of the chill needs the heat balance; everything else is plain arithmetic.
"""

from dataclasses import dataclass

from wortline.plan.brew import Brew
from wortline.science.real import Real


@dataclass(frozen=True)
class Volumes:
    """Cold litres of the day, in the order they occur [L]."""

    water_l: Real
    first_water_l: Real
    sparge_l: Real
    grain_holds_l: Real
    preboil_l: Real
    boil_off_l: Real
    postboil_l: Real
    rest_loss_l: Real
    wort_l: Real
    hop_held_l: Real
    left_behind_l: Real
    hold_up_l: Real
    fermenter_l: Real


def boiled_off_l(brew: Brew) -> Real:
    """Cold litres leaving as steam in the boil, at the rate measured on this rig [L]."""
    return brew.rig.boil_off_l_h * brew.boil_min / 60.0


def water_for_l(brew: Brew, rest_loss_l: Real) -> Real:
    """Water at the tap that leaves the wanted batch in the fermenter [L]."""
    postboil_l = (
        brew.batch_l + brew.rig.hold_up_l + brew.rig.left_behind_l + brew.hop_held_l + rest_loss_l
    )
    preboil_l = postboil_l - brew.added_l + boiled_off_l(brew)
    return preboil_l + brew.rig.grain_holds_l_kg * brew.grist_kg


def volumes(brew: Brew, water_l: Real, rest_loss_l: Real) -> Volumes:
    """Take every loss off the water in turn."""
    first_l = water_l if brew.first_water_l is None else brew.first_water_l
    grain_holds_l = brew.rig.grain_holds_l_kg * brew.grist_kg
    preboil_l = water_l - grain_holds_l
    boil_off_l = boiled_off_l(brew)
    postboil_l = preboil_l - boil_off_l + brew.added_l
    wort_l = postboil_l - rest_loss_l
    hop_held_l = brew.hop_held_l
    return Volumes(
        water_l=water_l,
        first_water_l=first_l,
        sparge_l=water_l - first_l,
        grain_holds_l=grain_holds_l,
        preboil_l=preboil_l,
        boil_off_l=boil_off_l,
        postboil_l=postboil_l,
        rest_loss_l=rest_loss_l,
        wort_l=wort_l,
        hop_held_l=hop_held_l,
        left_behind_l=brew.rig.left_behind_l,
        hold_up_l=brew.rig.hold_up_l,
        fermenter_l=wort_l - hop_held_l - brew.rig.left_behind_l - brew.rig.hold_up_l,
    )
