"""The hot minutes after the boil over the API: the trade of the rest, and the chill call."""

from typing import Annotated, Literal

from fastapi import APIRouter, Response
from pydantic import Field

from wortline.web.api.documents import Told
from wortline.web.api.sources import Source, file_of
from wortline.web.refusals import json_answer
from wortline.web.services import Given

router = APIRouter(prefix="/api", tags=["rest and chill"])
Typed = Annotated[str, Field(max_length=200)]


class AskedRest(Told):
    """The documents of a day, and choices in place of what the recipe says of lid and pump."""

    recipe: Source
    rig: Source
    day: Source | None = None
    method: Literal["kinetic", "tinseth"] = "kinetic"
    units: Literal["metric", "us"] = "metric"
    lid: Literal["on", "off"] | None = None
    pump: Typed | None = None
    pump_on: Typed | None = None


class AskedChill(Told):
    """A rig, a volume of wort that says hot or cold, and the tap; amounts as people type them."""

    rig: Source
    volume: Typed
    start: Typed = Field(alias="from")
    to: Typed
    tap: Typed | None = None
    day: Source | None = None
    wort_flow: Typed | None = None
    water_flow: Typed | None = None
    ice: Typed | None = None
    units: Literal["metric", "us"] = "metric"


@router.post("/rest")
def rest(given: Given, asked: AskedRest) -> Response:
    """The trade of the rest as rest/1: what every length of rest costs and brings."""
    from wortline.app.rest_choices import rest_so

    choices = {"lid": asked.lid, "pump": asked.pump, "pump_on": asked.pump_on}
    found = rest_so(
        file_of(given.documents, asked.recipe, "recipe"),
        file_of(given.documents, asked.rig, "rig"),
        file_of(given.documents, asked.day, "day") if asked.day else None,
        {key: text for key, text in choices.items() if text is not None},
        asked.units,
        asked.method,
    )
    return json_answer(200, found.report)


@router.post("/chill")
def chill(given: Given, asked: AskedChill) -> Response:
    """The chill call as chill/1; `best` is null where no way gets there."""
    from wortline.app.chilling import chill_call

    told = chill_call(
        file_of(given.documents, asked.rig, "rig"),
        asked.volume,
        asked.start,
        asked.to,
        asked.tap,
        asked.wort_flow,
        asked.water_flow,
        asked.ice,
        file_of(given.documents, asked.day, "day") if asked.day else None,
        asked.units,
    )
    return json_answer(200, told)
