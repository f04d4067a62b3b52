"""Lots over the API: what a deck takes along, its entries both ways, ways out."""

from typing import Annotated, Any

from fastapi import APIRouter, Query, Response
from pydantic import BaseModel, Field

from wortline.app.ports_lots import Kept
from wortline.web.api.documents import Told
from wortline.web.refusals import json_answer, plain
from wortline.web.services import Given, Number, Services

router = APIRouter(prefix="/api", tags=["lots"])
MOST_ENTRIES = 200
MOST_AFTER = 2_147_483_647
After = Annotated[int, Query(ge=0, le=MOST_AFTER)]
Celsius = Annotated[float | None, Query(ge=-5.0, le=110.0)]


class Sent(Told):
    """Entries of a device in its order, and the last number it has seen of the lot."""

    entries: list[dict[str, Any]] = Field(max_length=MOST_ENTRIES)
    after: int = Field(0, ge=0, le=MOST_AFTER)


class Answered(BaseModel):
    """What became of one entry: `kept` now, `known` already, or `refused` and why."""

    id: str
    what: str
    number: int
    server_ms: int
    why: str


class Taken(BaseModel):
    """An answer for each entry in its order, and what the device had not seen yet."""

    answers: list[Answered]
    entries: list[dict[str, Any]]


class Unseen(BaseModel):
    """Entries behind a number, in the order of the record."""

    entries: list[dict[str, Any]]


@router.get("/lots")
def listed(given: Given, before: Annotated[int | None, Query(ge=1, le=MOST_AFTER)] = None) -> Any:
    """The lots there are, the newest first."""
    from wortline.app.lot_report import start_page

    return json_answer(200, start_page(given.lots, before))


@router.get("/lots/{number}")
def report(given: Given, number: Number) -> Response:
    """A lot as lot-report/1: plan against fact, what is next, every event in words."""
    from wortline.app.lot_report import lot_report
    from wortline.app.lots import lot_of

    return json_answer(200, lot_report(lot_of(given.lots, number)))


@router.get("/lots/{number}/deck")
def deck(given: Given, number: Number) -> Response:
    """Everything a deck needs to run the lot with no server."""
    from wortline.app.deck import deck_values

    return json_answer(200, deck_values(given.lots, given.documents, number))


@router.get("/lots/{number}/mark")
def mark(given: Given, number: Number) -> Response:
    """The id of a lot: a device sends its entries only to the lot they belong to."""
    lot = given.lots.lot(number)
    return json_answer(200, {"number": lot.number, "id": lot.id, "name": lot.name})


@router.get("/lots/{number}/entries", response_model=Unseen)
def entries(given: Given, number: Number, after: After = 0) -> Response:
    """The entries behind a number."""
    from wortline.app.lots import entries_after

    return json_answer(200, {"entries": entries_after(given.lots, number, after)})


@router.post("/lots/{number}/entries", response_model=Taken)
def take(given: Given, number: Number, sent: Sent) -> Response:
    """Keep entries; what is answered as kept is durable, and is kept once however often sent."""
    from wortline.app.lots import entries_after, keep

    kept = keep(given.lots, given.watch, number, sent.entries, given.shelf)
    unseen = entries_after(given.lots, number, sent.after)
    return json_answer(200, {"answers": [_answer(each) for each in kept], "entries": unseen})


def _answer(each: Kept) -> dict[str, Any]:
    return {
        "id": plain(each.id),
        "what": each.what,
        "number": each.number,
        "server_ms": each.server_ms,
        "why": plain(each.why),
    }


@router.get("/lots/{number}/ways")
def ways(
    given: Given,
    number: Number,
    trouble: Annotated[str | None, Query(max_length=40)] = None,
    dose: Annotated[str | None, Query(max_length=40)] = None,
    strike_c: Celsius = None,
    mash_c: Celsius = None,
    wort_c: Celsius = None,
    left_l: Annotated[float | None, Query(ge=0.0, le=1000.0)] = None,
) -> Response:
    """The ways out of a trouble, or of all that is off by now, as ways/1."""
    from dataclasses import replace

    from wortline.app.ways import dose_facts, ways_of
    from wortline.lot.ways_day import Facts

    standing = _standing(given, number)
    facts = Facts() if dose is None else dose_facts(standing, dose)
    facts = replace(facts, strike_c=strike_c, mash_c=mash_c, wort_c=wort_c, left_l=left_l)
    return json_answer(200, ways_of(standing, trouble, facts))


@router.get("/lots/{number}/replanned")
def replanned(given: Given, number: Number) -> Response:
    """The rest of the day from what was measured: what it comes to, and the new times."""
    from wortline.app.moved_steps import moved_steps
    from wortline.app.ways import replanned as worked_out

    standing = _standing(given, number)
    return json_answer(200, {**worked_out(standing), "steps": moved_steps(standing)})


@router.get("/lots/{number}/pump")
def pump(given: Given, number: Number) -> Response:
    """Whether the pump may run as everything stands now, as pump-check/1."""
    from wortline.app.lot_pipes import pump_check
    from wortline.app.lots import lot_of

    return json_answer(200, pump_check(given.documents, lot_of(given.lots, number)))


@router.get("/lots/{number}/interruption")
def interruption(
    given: Given,
    number: Number,
    off_min: Annotated[float, Query(ge=0.0, le=2880.0)],
    lid_on: bool = False,
    boiled_min: Annotated[float | None, Query(ge=0.0, le=600.0)] = None,
) -> Response:
    """What to do and what became of the wort after the heat was off for so long."""
    from wortline.app.lots import minute_now
    from wortline.app.ways import after_interruption

    standing = _standing(given, number)
    now_min = minute_now(standing.opened, given.watch)
    return json_answer(200, after_interruption(standing, off_min, lid_on, boiled_min, now_min))


def _standing(given: Services, number: int) -> Any:
    from wortline.app.lots import lot_of
    from wortline.app.ways import standing_of

    return standing_of(given.documents, lot_of(given.lots, number))
