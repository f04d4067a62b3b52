"""Ways out at the prompt: what a trouble is told, what comes of it, and which way is taken."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from wortline.app.lot_paper import number_of
from wortline.errors import RecordRefused

if TYPE_CHECKING:
    from wortline.app.lots import OpenLot
    from wortline.app.ways import Standing
    from wortline.lot.events import Deviation
    from wortline.lot.ways_day import Facts
    from wortline.wiring import Store

CUT = "boil-cut"


@dataclass(frozen=True)
class Told:
    """What was typed beside a trouble."""

    dose: str | None
    strike: str | None
    mash: str | None
    wort: str | None
    left: str | None
    off: str | None
    lid: bool


def told_of(store: "Store", opened: "OpenLot", trouble: str | None, told: Told) -> dict[str, Any]:
    """The ways out of a trouble, of all that is off, or of a boil that was interrupted."""
    from wortline.app.lots import minute_now
    from wortline.app.ways import after_interruption, cut_on_record, standing_of, ways_of
    from wortline.wiring import watch

    standing = standing_of(store.documents, opened)
    if trouble != CUT:
        return ways_of(standing, trouble, facts_of(standing, told))
    now_min, cut = minute_now(opened, watch()), cut_on_record(standing)
    if told.off is None and cut is not None:
        return after_interruption(standing, cut.off_min, cut.lid_on, cut.boiled_min, now_min)
    if told.off is None:
        raise RecordRefused("--off: how long was the heat off? Write it as --off 25min")
    off_min = number_of(told.off, "time", "--off")
    return after_interruption(standing, off_min, told.lid, None, now_min)


def taken(store: "Store", opened: "OpenLot", trouble: str, way: str, told: Told) -> "Deviation":
    """The event that a way out is taken.

    Raises
    ------
    RecordRefused
        If the trouble has no such way.
    """
    from wortline.app.ways import way_event

    found = told_of(store, opened, trouble, told)
    ways = found["ways"] if trouble == CUT else found["troubles"][0]["ways"]
    return way_event(trouble, way, ways)


def facts_of(standing: "Standing", told: Told) -> "Facts":
    """What is told of a trouble."""
    from dataclasses import replace

    from wortline.app.ways import dose_facts
    from wortline.lot.ways_day import Facts

    def core(typed: str | None, kind: str, place: str) -> float | None:
        return None if typed is None else number_of(typed, kind, place)

    facts = Facts() if told.dose is None else dose_facts(standing, told.dose)
    return replace(
        facts,
        strike_c=core(told.strike, "temperature", "--strike"),
        mash_c=core(told.mash, "temperature", "--mash"),
        wort_c=core(told.wort, "temperature", "--wort"),
        left_l=core(told.left, "volume", "--left"),
    )


def stands_of(store: "Store", opened: "OpenLot") -> dict[str, Any]:
    """How the day stands beside its plan: what has moved, why, and what is off."""
    from wortline.app.moved_steps import moved_steps
    from wortline.app.ways import replanned, standing_of, troubles
    from wortline.lot.ways_out import TROUBLES

    standing = standing_of(store.documents, opened)
    now = replanned(standing)
    return {
        **{key: now[key] for key in ("before", "after", "apart", "where")},
        "steps": moved_steps(standing),
        "troubles": [
            {"trouble": code, "words": TROUBLES[code][0]} for code, _ in troubles(standing)
        ],
    }
