"""One brewing day, worked out forwards from the water, and the water worked out backwards."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from wortline.plan.aroma_line import AromaLine, aroma_line
from wortline.plan.bitter_line import (
    BITTERNESS,
    DoseLine,
    Wort,
    in_cold_wort,
    malt_alone_ibu,
    plain_tinseth_ibu,
)
from wortline.plan.brew import Brew
from wortline.plan.dms_line import DmsLine, dms_line
from wortline.plan.hot_side import (
    HotSide,
    Rested,
    after_boil,
    hot_side,
    steam_l,
)
from wortline.plan.ledger import Volumes, volumes, water_for_l
from wortline.plan.loss_curve import LidCurves, open_share
from wortline.plan.strength import (
    Beer,
    Kettle,
    Strength,
    beer,
    grist_extract_kg,
    kettle,
    mash_efficiency,
    strength,
)
from wortline.science.extract import plato_from_extract
from wortline.science.mash import strike_c
from wortline.science.mending import wort_kg
from wortline.science.real import Real
from wortline.science.standards import COLD_C
from wortline.science.water import density_kg_m3, expansion

WATER_PASSES = 12
CLOSED_L = 1e-9


@dataclass(frozen=True)
class BrewDay:
    """Everything worked out for one set of numbers, central or one entry per member."""

    brew: Brew
    method: str
    strike_c: Real
    volumes: Volumes
    pot: Kettle
    strength: Strength
    hot: HotSide
    wort: Wort
    lines: list[DoseLine]
    malt_ibu: Real
    past_lid: float

    @cached_property
    def beer(self) -> Beer:
        """What becomes of the wort."""
        return beer(self.brew, self.strength, self.volumes.wort_l)

    @cached_property
    def dms(self) -> DmsLine:
        """The DMS line of the day."""
        mass_kg = wort_kg(self.volumes.wort_l, self.strength.original_plato)
        return dms_line(self.brew, self.hot, self.volumes.wort_l, mass_kg, self.past_lid)

    @cached_property
    def aroma(self) -> AromaLine:
        """Where the hop oil of every dose goes."""
        mass_kg = wort_kg(self.volumes.wort_l, self.strength.original_plato)
        in_min = [line.in_min for line in self.lines]
        return aroma_line(self.brew, self.hot, in_min, self.volumes.wort_l, mass_kg, self.past_lid)

    @cached_property
    def dose_ibu(self) -> list[Real]:
        """What each dose adds to the young beer [IBU]."""
        return [line.ibu(self.hot.end_min) for line in self.lines]

    @property
    def ibu(self) -> Real:
        """Bitterness of the young beer [IBU]."""
        return sum(self.dose_ibu, self.malt_ibu)

    @property
    def wort_ibu(self) -> Real:
        """Bitterness of the cold wort [IBU]."""
        lines = in_cold_wort(self.lines)
        return sum((line.ibu(self.hot.end_min) for line in lines), self.malt_ibu)

    @property
    def tinseth_ibu(self) -> Real:
        """Tinseth's formula as published, without any rest [IBU]."""
        return plain_tinseth_ibu(self.brew, self.hot, self.wort)


def first_water_l(brew: Brew, water_l: Real) -> Real:
    """Cold litres put on the grain at mash-in; the rest is sparge [L]."""
    return water_l if brew.first_water_l is None else np.minimum(brew.first_water_l, water_l)


def lift_c(brew: Brew, sparge_l: Real, preboil_l: Real) -> Real:
    """Temperature of the wort in the kettle once the grain is out and rinsed [C].

    The wort of the last rest and the sparge water mix by volume; the spent grain keeps its heat.
    """
    mash_c = brew.rests[-1].at_c
    share = np.clip(sparge_l / preboil_l, 0.0, 1.0)
    return mash_c + share * (brew.sparge_c - mash_c)


def rested(brew: Brew, curves: LidCurves, water_l: Real) -> Rested:
    """Heat-off to the end of the chill, for this much water at the tap."""
    first_l, litres = first_water_l(brew, water_l), volumes(brew, water_l, 0.0)
    efficiency = mash_efficiency(brew, first_l, water_l - first_l, litres.preboil_l)
    postboil_l = litres.postboil_l
    plato = plato_from_extract(efficiency * grist_extract_kg(brew), postboil_l)
    return after_boil(brew, curves, postboil_l, plato, brew.pump_min, brew.rest_min)


def day_of_batch(
    brew: Brew, curves: LidCurves, method: str = "kinetic", lost_l: float = 0.0
) -> BrewDay:
    """The day with the water that leaves the batch in the fermenter, solved backwards.

    Only the evaporation after heat-off depends on the answer, and weakly: a secant settles it, from
    any guess at what is lost.
    """
    after = rested(brew, curves, water_for_l(brew, lost_l))
    miss_l = float(steam_l(*after)) - lost_l
    step_l = miss_l
    for _ in range(WATER_PASSES):
        if abs(miss_l) < CLOSED_L:
            break
        lost_l += step_l
        before_miss_l = miss_l
        after = rested(brew, curves, water_for_l(brew, lost_l))
        miss_l = float(steam_l(*after)) - lost_l
        step_l = -miss_l * step_l / (miss_l - before_miss_l) if miss_l != before_miss_l else miss_l
    return brew_day(brew, curves, float(water_for_l(brew, lost_l)), method, after=after)


def strike_for(brew: Brew, first_l: Real) -> Real:
    """Temperature of the first water that makes the first rest [C]."""
    water_kg = first_l * density_kg_m3(COLD_C) / 1000.0
    return strike_c(brew.rests[0].at_c, brew.air.grain_c, water_kg, brew.grist_kg)


def brew_day(
    brew: Brew,
    curves: LidCurves,
    water_l: Real,
    method: str = "kinetic",
    hot: HotSide | None = None,
    after: Rested | None = None,
) -> BrewDay:
    """Work the day out forwards from the water at the tap, and its heat unless that is given.

    `hot` is the whole hot side, `after` what follows the boil.
    """
    first_l = first_water_l(brew, water_l)
    litres = volumes(brew, water_l, 0.0)
    pot = kettle(brew, first_l, water_l - first_l, litres.preboil_l, litres.postboil_l)
    if hot is None:
        hot = hot_side(
            brew,
            curves,
            litres.preboil_l,
            litres.postboil_l,
            pot.preboil_plato,
            pot.postboil_plato,
            lift_c(brew, water_l - first_l, litres.preboil_l),
            after,
        )
    litres = volumes(brew, water_l, hot.rest_loss_l)
    strong = strength(pot, litres)
    wort = Wort(
        wort_l=litres.wort_l,
        original_sg=strong.original_sg,
        boil_sg=0.5 * (strong.preboil_sg + strong.postboil_sg),
        heat_off_min=hot.heat_off_min,
        boil_min=brew.boil_min,
    )
    return BrewDay(
        brew=brew,
        method=method,
        strike_c=strike_for(brew, first_l),
        volumes=litres,
        pot=pot,
        strength=strong,
        hot=hot,
        wort=wort,
        lines=BITTERNESS[method](brew, hot, wort),
        malt_ibu=malt_alone_ibu(method, strong.original_sg),
        past_lid=open_share(brew.boil_lid, curves.surface_m2),
    )


def mash_hot_l(brew: Brew, first_l: Real) -> Real:
    """Hot litres of the mash, grain included, at the first rest [L]."""
    displaced_l = brew.rig.grain_displaces_l_kg * brew.grist_kg
    return first_l * expansion(brew.rests[0].at_c) + displaced_l
