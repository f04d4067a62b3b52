"""Trying a way out on the day as it stands: what it makes of litres, gravity, bitterness, time."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from wortline.documents.words import BeforeHeatOff
from wortline.lot.replan import Replanned
from wortline.plan.brew import Brew, Dose
from wortline.plan.brew_day import BrewDay, brew_day
from wortline.plan.hot_side import HotSide
from wortline.science.extract import plato_from_sg, sg_from_plato
from wortline.science.mending import blended
from wortline.science.standards import COLD_C
from wortline.science.water import density_kg_m3, expansion

Say = Callable[[float, str], str]


@dataclass(frozen=True)
class Way:
    """One way out with its price; litres are cold, in the fermenter; minutes are more than now."""

    code: str
    text: str
    fermenter_l: float
    original_sg: float
    ibu: float
    minutes_min: float
    needs: tuple[str, ...] = ()
    safety: str = ""
    trust: str = "fair"


@dataclass(frozen=True)
class Bench:
    """The day as it stands, on which ways are tried.

    `boiled_min` is how much of the boil has passed, `in_kettle` the doses that are in already; None
    where every dose went in when it was planned to.
    """

    now: Replanned
    say: Say
    boiled_min: float = 0.0
    in_kettle: frozenset[str] | None = None

    @property
    def day(self) -> BrewDay:
        """The day as it stands."""
        return self.now.day

    @property
    def brew(self) -> Brew:
        """Its numbers."""
        return self.now.day.brew

    @property
    def water_l(self) -> float:
        """Its water at the tap [L]."""
        return float(self.day.volumes.water_l)

    @property
    def wort(self) -> tuple[float, float]:
        """The cooled wort in the kettle as it will be: cold litres and degP."""
        return float(self.day.volumes.wort_l), float(self.day.strength.original_plato)

    @property
    def planned_plato(self) -> float:
        """The strength that was planned [degP]."""
        return float(plato_from_sg(self.now.before.original_sg))

    @property
    def planned_l(self) -> float:
        """The wort that was planned, cooled in the kettle [L]."""
        return float(self.now.base.day.volumes.wort_l)

    @property
    def room_l(self) -> float:
        """Cold litres that still fit under the brim while it boils [L]."""
        hot = float(self.brew.rig.brim_l) / float(expansion(self.day.hot.boiling_c))
        return max(hot - float(self.day.volumes.preboil_l), 0.0)

    def tried(
        self,
        brew: Brew | None = None,
        water_l: float | None = None,
        hot: HotSide | None = None,
    ) -> BrewDay:
        """The day with other numbers."""
        water_l = self.water_l if water_l is None else water_l
        return brew_day(brew or self.brew, self.now.base.curves, water_l, self.day.method, hot)

    def way(
        self,
        code: str,
        text: str,
        day: BrewDay | None = None,
        add_kg: tuple[float, float] = (0.0, 0.0),
        more_min: float | None = None,
        lost_l: float = 0.0,
        needs: tuple[str, ...] = (),
        safety: str = "",
        trust: str = "fair",
    ) -> Way:
        """A way out: a day, then water and extract put into its wort [kg], then wort left over."""
        day = day or self.day
        wort_l, plato = float(day.volumes.wort_l), float(day.strength.original_plato)
        mixed = blended(wort_l, plato, *add_kg)
        longer_min = float(day.hot.end_min) - float(self.day.hot.end_min)
        return Way(
            code=code,
            text=text,
            fermenter_l=float(day.volumes.fermenter_l) + float(mixed.cold_l) - wort_l - lost_l,
            original_sg=float(sg_from_plato(mixed.extract_plato)),
            ibu=float(day.ibu) * wort_l / float(mixed.cold_l),
            minutes_min=longer_min if more_min is None else more_min,
            needs=needs,
            safety=safety,
            trust=trust,
        )

    def nothing(self, text: str = "Do nothing: it goes on as it is.") -> Way:
        """The way that is always there."""
        return self.way("nothing", text)

    def boiled(self, more_min: float) -> Brew:
        """The brew with a longer or shorter boil.

        What is in already boils with it; what is not yet in keeps its minutes before heat-off.
        """
        doses = tuple(self._kept_in(dose, more_min) for dose in self.brew.doses)
        return replace(self.brew, boil_min=float(self.brew.boil_min) + more_min, doses=doses)

    def _kept_in(self, dose: Dose, more_min: float) -> Dose:
        if isinstance(dose.when, BeforeHeatOff) and self.is_in(dose):
            return replace(dose, when=BeforeHeatOff(max(dose.when.before_min + more_min, 0.0)))
        return dose

    def is_in(self, dose: Dose) -> bool:
        """Whether a dose of the boil has gone in."""
        if self.in_kettle is not None:
            return dose.id in self.in_kettle
        if self.boiled_min <= 0.0 or not isinstance(dose.when, BeforeHeatOff):
            return False
        return float(self.brew.boil_min) - dose.when.before_min <= self.boiled_min

    def litres(self, water_kg: float) -> float:
        """Cold litres of a mass of water [L]."""
        return water_kg * 1000.0 / float(density_kg_m3(COLD_C))
