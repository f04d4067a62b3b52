"""In which rows of the ledger a day as it stands differs from its plan, in sentences."""

from collections.abc import Iterator
from dataclasses import dataclass

from wortline.lot.bench import Say
from wortline.lot.replan import Replanned
from wortline.plan.brew_day import BrewDay

SAID_L = 0.1
"""Litres that are said: less cannot be read off a kettle (common practice, no source)."""
SAID_KG = 0.02
ROWS = (
    ("water", "at the tap"),
    ("added", "put in while it boiled"),
    ("grain_holds", "left in the grain"),
    ("boil_off", "gone as steam in the boil"),
    ("rest_loss", "gone as steam after the boil"),
    ("hops_hold", "held by the hops"),
    ("left_behind", "left behind in the kettle"),
    ("hold_up", "left in the line"),
    ("late", "put in or taken out after the boil"),
)
GAINS = frozenset({"water", "added", "late"})


@dataclass(frozen=True)
class Apart:
    """One row that is not as planned: cold litres, or kg of extract."""

    row: str
    text: str
    planned: float
    now: float

    @property
    def more(self) -> float:
        """How much more reaches the fermenter by it, below 0 less."""
        change = self.now - self.planned
        return change if self.row in GAINS or self.row == "extract" else -change


def apart(now: Replanned, say: Say) -> list[Apart]:
    """Every row that is off, the one that moves the fermenter most first, then the extract."""
    planned, stands = _litres(now.base.day), _litres(now.day)
    late = now.known.taken.late
    stands["late"] = late.added_l - late.out_l
    found = [
        Apart(row, _sentence(planned[row], stands[row], words, say), planned[row], stands[row])
        for row, words in ROWS
        if abs(stands[row] - planned[row]) >= SAID_L
    ]
    found.sort(key=lambda each: -abs(each.more))
    return [*found, *_extract(now, say)]


def _litres(day: BrewDay) -> dict[str, float]:
    litres = day.volumes
    rows = {
        "water": litres.water_l,
        "added": day.brew.added_l,
        "grain_holds": litres.grain_holds_l,
        "boil_off": litres.boil_off_l,
        "rest_loss": litres.rest_loss_l,
        "hops_hold": litres.hop_held_l,
        "left_behind": litres.left_behind_l,
        "hold_up": litres.hold_up_l,
        "late": 0.0,
    }
    return {row: float(value) for row, value in rows.items()}


def _sentence(planned: float, now: float, words: str, say: Say) -> str:
    more = "more" if now > planned else "less"
    apart_l = say(abs(now - planned), "volume")
    return (
        f"{apart_l} cold {more} {words}: {say(now, 'volume')} instead of {say(planned, 'volume')}."
    )


def _extract(now: Replanned, say: Say) -> Iterator[Apart]:
    planned_kg, now_kg = float(now.base.day.pot.extract_kg), float(now.day.pot.extract_kg)
    if abs(now_kg - planned_kg) < SAID_KG:
        return
    more = "more" if now_kg > planned_kg else "less"
    yield Apart(
        "extract",
        f"{say(abs(now_kg - planned_kg), 'mass')} {more} extract in the kettle:"
        f" {say(now_kg, 'mass')} instead of {say(planned_kg, 'mass')}.",
        planned_kg,
        now_kg,
    )
