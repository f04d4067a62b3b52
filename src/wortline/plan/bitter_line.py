"""The bitter line: every dose of hops followed through boil, whirlpool, rest and chill.

Two rivals stand side by side and are never blended: the kinetics of alpha and iso-alpha acids, and
Tinseth's formula weighted with temperature after heat-off.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import groupby
from math import inf, isnan

import numpy as np

from wortline.documents.words import BeforeHeatOff, FirstWort
from wortline.plan.brew import Brew, Dose
from wortline.plan.hot_side import HotSide, in_moment
from wortline.science.bitter_losses import Losses, in_wort
from wortline.science.bitterness import (
    OXIDISED_IN_BOIL_CONES,
    OXIDISED_IN_BOIL_PELLETS,
    POLYPHENOL_FERMENTED,
    iso_factor,
    malt_ibu,
    oxidised_alpha_ibu,
    oxidised_alpha_mg_l,
    polyphenol_ibu,
)
from wortline.science.dissolving import dissolved_from_dose_mg_l, dosed_alpha_mg_l
from wortline.science.isomerisation import HotTime, Sums, iso_share_between
from wortline.science.isomerisation import at as sums
from wortline.science.real import Real
from wortline.science.utilisation import (
    TinsethHotTime,
    tinseth_hot_time,
    utilisation_tinseth_1997,
    utilisation_tinseth_hosom_2015,
)


@dataclass(frozen=True)
class Wort:
    """What the bitterness of a dose depends on beside its own path."""

    wort_l: Real
    original_sg: Real
    boil_sg: Real
    heat_off_min: Real
    boil_min: Real

    def boiled_min(self, in_min: Real) -> Real:
        """How long a dose put in at this moment boils [min]."""
        return np.minimum(np.maximum(self.heat_off_min - in_min, 0.0), self.boil_min)


@dataclass(frozen=True)
class PutIn:
    """What a dose brings if it goes in at a moment, whenever it is read.

    `iso_ibu` is what it would add if all it dissolves were iso-alpha acids; `fixed_ibu` is there at
    once.
    """

    in_min: Real
    sums_in: Sums
    iso_ibu: Real
    fixed_ibu: Real


@dataclass(frozen=True)
class KineticDose:
    """One dose by kinetics: iso-alpha acids that grow, and a part fixed once it is in."""

    dose: Dose
    in_min: Real
    sums_in: Sums
    hot: HotTime
    wort: Wort
    losses: Losses
    kept: Real
    dissolved_mg_l: Real
    oxidised_mg_l: Real
    polyphenol_kept: Real = POLYPHENOL_FERMENTED

    def ibu(self, at_min: Real, in_min: Real | None = None) -> Real:
        """Bitterness at a moment, put in when planned or at another moment [IBU]."""
        put_in = self.planned if in_min is None else self._put_in(in_min, sums(self.hot, in_min))
        sums_at = sums(self.hot, np.maximum(put_in.in_min, at_min))
        total = put_in.iso_ibu * iso_share_between(put_in.sums_in, sums_at) + put_in.fixed_ibu
        return np.where(np.greater_equal(at_min, put_in.in_min), total, 0.0)

    @cached_property
    def planned(self) -> PutIn:
        """The dose put in when planned."""
        return self._put_in(self.in_min, self.sums_in)

    def _put_in(self, in_min: Real, sums_in: Sums) -> PutIn:
        gravity_sg, boiled_min = self.wort.original_sg, self.wort.boiled_min(in_min)
        iso = iso_factor(self.losses, gravity_sg, boiled_min) * self.dissolved_mg_l
        fixed = oxidised_alpha_ibu(self.losses, gravity_sg, boiled_min, self.oxidised_mg_l)
        fixed = fixed + polyphenol_ibu(self.dose.mass_kg, self.wort.wort_l, self.polyphenol_kept)
        return PutIn(in_min, sums_in, self.kept * iso, self.kept * fixed)


@dataclass(frozen=True)
class TinsethDose:
    """One dose by Tinseth's formula, weighted with temperature after heat-off."""

    dose: Dose
    in_min: Real
    hot: TinsethHotTime
    wort: Wort
    kept: Real
    dosed_mg_l: Real

    def ibu(self, at_min: Real, in_min: Real | None = None) -> Real:
        """Bitterness at a moment, put in when planned or at another moment [IBU]."""
        start_min = self.in_min if in_min is None else in_min
        # The formula counts boiling minutes: what is in before the boil starts at its start.
        start_min = np.maximum(start_min, self.wort.heat_off_min - self.wort.boil_min)
        share = utilisation_tinseth_hosom_2015(self.hot, self.wort.boil_sg, start_min, at_min)
        total = self.kept * self.dosed_mg_l * share
        return np.where(np.greater_equal(at_min, start_min), total, 0.0)


DoseLine = KineticDose | TinsethDose


def kinetic_lines(brew: Brew, day: HotSide, wort: Wort) -> list[DoseLine]:
    """All doses by kinetics; each dissolves beside what the earlier ones have left dissolved.

    Doses of one moment share what dissolves by what they bring, in whatever order they are written.
    """
    hot = day.kinetics
    moments = [in_moment(day, dose.when) for dose in brew.doses]
    central = [float(np.mean(moment)) for moment in moments]
    sums_in = [sums(hot, moment) for moment in moments]
    central = [inf if isnan(moment) else moment for moment in central]
    lines: dict[int, DoseLine] = {}
    dissolved_mg_l: Real = 0.0
    last_k1: Real = 0.0
    in_time = sorted(range(len(moments)), key=central.__getitem__)
    for moment, indices in groupby(in_time, key=central.__getitem__):
        together = {i: brew.doses[i] for i in indices}
        dosed = [
            dosed_alpha_mg_l(each.alpha, each.mass_kg, wort.wort_l) for each in together.values()
        ]
        dissolves: Real = 0.0
        if np.isfinite(moment):
            dosed_mg_l = sum(dosed, 0.0 * wort.wort_l)
            k1 = sums_in[next(iter(together))][0]
            left_mg_l: Real = np.asarray(dissolved_mg_l * np.exp(np.minimum(last_k1 - k1, 0.0)))
            added_mg_l = dissolved_from_dose_mg_l(left_mg_l, dosed_mg_l)
            dissolves = added_mg_l / np.where(np.greater(dosed_mg_l, 0.0), dosed_mg_l, 1.0)
            dissolved_mg_l, last_k1 = left_mg_l + added_mg_l, k1
        for (i, dose), each_mg_l in zip(together.items(), dosed, strict=True):
            lines[i] = KineticDose(
                dose=dose,
                in_min=moments[i],
                sums_in=sums_in[i],
                hot=hot,
                wort=wort,
                losses=brew.losses,
                kept=1.0 - brew.containment_less(dose),
                dissolved_mg_l=dissolves * each_mg_l,
                oxidised_mg_l=_oxidised_mg_l(brew, dose, dissolves * each_mg_l, each_mg_l),
            )
    return [lines[i] for i in range(len(moments))]


def _oxidised_mg_l(brew: Brew, dose: Dose, dissolved_mg_l: Real, dosed_mg_l: Real) -> Real:
    share: Real = OXIDISED_IN_BOIL_CONES
    if dose.form == "pellets":
        share = OXIDISED_IN_BOIL_PELLETS * brew.models.pellet_share
    oxidised_mg_l = oxidised_alpha_mg_l(dissolved_mg_l, dosed_mg_l, share, dose.left_of_harvest)
    return oxidised_mg_l * brew.models.oxidised_acids


def tinseth_lines(brew: Brew, day: HotSide, wort: Wort) -> list[DoseLine]:
    """All doses by Tinseth's formula, weighted with temperature after heat-off."""
    hot = tinseth_hot_time(day.mid_c, day.step_min, day.boiling, day.hot_share)
    return [
        TinsethDose(
            dose=dose,
            in_min=in_moment(day, dose.when),
            hot=hot,
            wort=wort,
            kept=(1.0 - brew.containment_less(dose)) * brew.models.tinseth,
            dosed_mg_l=dosed_alpha_mg_l(dose.alpha, dose.mass_kg, wort.wort_l),
        )
        for dose in brew.doses
    ]


BITTERNESS: dict[str, Callable[[Brew, HotSide, Wort], list[DoseLine]]] = {
    "kinetic": kinetic_lines,
    "tinseth": tinseth_lines,
}


def malt_alone_ibu(method: str, original_sg: Real) -> Real:
    """What malt adds by this method; Tinseth's formula knows only hops [IBU]."""
    return malt_ibu(original_sg) if method == "kinetic" else 0.0 * original_sg


def plain_tinseth_ibu(brew: Brew, day: HotSide, wort: Wort) -> Real:
    """Tinseth's formula as published: boiling minutes alone, no rest, no chill [IBU]."""
    total: Real = 0.0 * wort.original_sg
    for dose in brew.doses:
        if isinstance(dose.when, BeforeHeatOff | FirstWort):
            boiled_min = wort.boiled_min(in_moment(day, dose.when))
            share = utilisation_tinseth_1997(wort.boil_sg, boiled_min)
            dosed_mg_l = dosed_alpha_mg_l(dose.alpha, dose.mass_kg, wort.wort_l)
            kept = (1.0 - brew.containment_less(dose)) * brew.models.tinseth
            total = total + kept * dosed_mg_l * share
    return total


def in_cold_wort(lines: list[DoseLine]) -> list[DoseLine]:
    """The same doses as they stand in the cold wort, before fermentation takes its part."""
    return [
        replace(line, losses=in_wort(line.losses), polyphenol_kept=1.0)
        if isinstance(line, KineticDose)
        else line
        for line in lines
    ]
