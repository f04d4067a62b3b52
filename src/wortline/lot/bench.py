"""Trying a way out on the day as it stands: what it makes of litres, gravity, bitterness, time."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from wortline.documents.words import BeforeHeatOff
from wortline.lot.acts import BEFORE_HEAT_OFF
from wortline.lot.events import NO_CHANGE, Change
from wortline.lot.replan import Replanned, landed
from wortline.plan.brew import Brew, Dose
from wortline.plan.brew_day import BrewDay, brew_day
from wortline.plan.hot_side import HotSide
from wortline.science.extract import plato_from_sg, sg_from_plato
from wortline.science.mending import blended
from wortline.science.standards import COLD_C
from wortline.science.water import density_kg_m3, expansion

ORDER = ("fill", "heat", "mash", "lift", "to_boil", "boil", "whirlpool", "rest", "chill",
         "transfer", "pitch")  # fmt: skip
Say = Callable[[float, str], str]


@dataclass(frozen=True)
class Way:
    """One way out with its price; litres are cold, in the fermenter; minutes are more than now.

    Once it is taken it is a step of its `phase` and does its `change` to the day.
    """

    code: str
    text: str
    fermenter_l: float
    original_sg: float
    ibu: float
    minutes_min: float
    needs: tuple[str, ...] = ()
    safety: str = ""
    trust: str = "fair"
    phase: str = ""
    change: Change = NO_CHANGE


@dataclass(frozen=True)
class Bench:
    """The day as it stands, on which ways are tried.

    `boiled_min` is how much of the boil has passed, `in_kettle` the doses that are in already; None
    where every dose went in when it was planned to. `recut` puts the gap of a cut boil into a day;
    `here` is the phase under way.
    """

    now: Replanned
    say: Say
    boiled_min: float = 0.0
    in_kettle: frozenset[str] | None = None
    recut: Callable[[BrewDay], BrewDay] | None = None
    here: str = ""

    @property
    def day(self) -> BrewDay:
        """The day as it stands."""
        return self.now.day

    @property
    def brew(self) -> Brew:
        """Its numbers, its doses as in a boil without a gap."""
        return (self.now.plain or self.now.day).brew

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
        return max(hot - float(self.day.volumes.preboil_l) - float(self.brew.added_l), 0.0)

    def tried(
        self,
        brew: Brew | None = None,
        water_l: float | None = None,
        hot: HotSide | None = None,
    ) -> BrewDay:
        """The day with other numbers."""
        water_l = self.water_l if water_l is None else water_l
        curves, method = self.now.base.curves, self.day.method
        day = brew_day(brew or self.brew, curves, water_l, method, hot)
        return day if self.recut is None or hot is not None else self.recut(day)

    def phase_for(self, wanted: str) -> str:
        """The phase in which an act has its place: the wanted one, or the one it is already."""
        if not self.here or wanted not in ORDER or self.here.partition(".")[0] not in ORDER:
            return wanted
        now, then = ORDER.index(self.here.partition(".")[0]), ORDER.index(wanted)
        return wanted if then >= now else self.here

    def stirred_in(self, water_kg: float, extract_kg: float) -> tuple[BrewDay, Change]:
        """The day with water and extract put in before heat-off [kg], and what that changes."""
        wort_l, plato = float(self.day.volumes.wort_l), float(self.day.strength.original_plato)
        added_l = float(blended(wort_l, plato, water_kg, extract_kg).cold_l) - wort_l
        more = replace(
            self.brew,
            added_l=float(self.brew.added_l) + added_l,
            added_extract_kg=float(self.brew.added_extract_kg) + extract_kg,
        )
        return self.tried(more), Change(added_l=added_l, extract_kg=extract_kg)

    def way(
        self,
        code: str,
        text: str,
        day: BrewDay | None = None,
        add_kg: tuple[float, float] = (0.0, 0.0),
        more_min: float | None = None,
        lost_l: float = 0.0,
        phase: str = "",
        change: Change | None = None,
        step: bool = True,
        needs: tuple[str, ...] = (),
        safety: str = "",
        trust: str = "fair",
    ) -> Way:
        """A way out: a day, then water and extract put into its wort [kg], then wort left over.

        What is put in comes in before heat-off where the `phase` of the act is before it, else in
        the fermenter. `change` is what else the way does; its wait follows from the minutes. What
        is no `step` of its own has no phase.
        """
        phase = self.phase_for(phase or self.here or "boil")
        change = change or NO_CHANGE
        if any(add_kg) and phase.partition(".")[0] in BEFORE_HEAT_OFF:
            day, stirred = self.stirred_in(*add_kg)
            change = replace(change, added_l=stirred.added_l, extract_kg=stirred.extract_kg)
            add_kg = (0.0, 0.0)
        day = day or self.day
        lands = landed(day, self.now.known)
        kept_l = lands.fermenter_l - change.out_l
        plato = float(plato_from_sg(lands.original_sg))
        mixed = blended(kept_l, plato, *add_kg)
        longer_min = float(day.hot.end_min) - float(self.day.hot.end_min)
        minutes_min = longer_min if more_min is None else more_min
        if any(add_kg):
            change = replace(change, added_l=float(mixed.cold_l) - kept_l, extract_kg=add_kg[1])
        # Another boil also chills in another time: only what is said to be waited is.
        wait_min = 0.0 if more_min is None else more_min - change.boil_min - change.rest_min
        return Way(
            code=code,
            text=text,
            fermenter_l=float(mixed.cold_l) - lost_l,
            original_sg=float(sg_from_plato(mixed.extract_plato)),
            ibu=lands.ibu * kept_l / float(mixed.cold_l),
            minutes_min=minutes_min,
            phase=phase if step else "",
            change=replace(change, wait_min=max(wait_min, 0.0)),
            needs=needs,
            safety=safety,
            trust=trust,
        )

    @property
    def boils_still(self) -> bool:
        """Whether heat-off is still to come."""
        return not self.here or self.here.partition(".")[0] in BEFORE_HEAT_OFF

    @property
    def late_share(self) -> float:
        """Share of the wort that reaches the fermenter."""
        return float(self.day.volumes.fermenter_l) / float(self.day.volumes.wort_l)

    def nothing(self, text: str = "Do nothing: it goes on as it is.") -> Way:
        """The way that is always there."""
        return self.way("nothing", text, step=False)

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
