"""Plans over the API: the same function as the command line's."""

from typing import TYPE_CHECKING, Literal

from fastapi import APIRouter, Response

from wortline.web.api.documents import Told
from wortline.web.api.sources import Source, file_of
from wortline.web.refusals import Unwelcome, json_answer
from wortline.web.services import Given

if TYPE_CHECKING:
    from wortline.app.planning import Planned

router = APIRouter(prefix="/api", tags=["plan"])


class Asked(Told):
    """The documents and choices that say which plan is meant."""

    recipe: Source
    rig: Source
    day: Source | None = None
    method: Literal["kinetic", "tinseth"] = "kinetic"
    units: Literal["metric", "us"] = "metric"


class AskedWhy(Asked):
    """A plan, and the number of it to explain."""

    key: str


@router.post("/plan")
def planned(given: Given, asked: Asked) -> Response:
    """The plan as plan/1, in core units; `fits` is false where no plan fits."""
    return json_answer(200, _planned(given, asked).report)


@router.post("/why")
def explained(given: Given, asked: AskedWhy) -> Response:
    """Why a number of the plan is what it is: formula, inputs with their trust, sources."""
    from wortline.app.explaining import UnknownKey, why

    try:
        return json_answer(200, why(_planned(given, asked), asked.key))
    except UnknownKey as error:
        raise Unwelcome(404, "unknown-number", str(error)) from None


def _planned(given: Given, asked: Asked) -> "Planned":
    from wortline.app.planning import plan_brew

    return plan_brew(
        file_of(given.documents, asked.recipe, "recipe"),
        file_of(given.documents, asked.rig, "rig"),
        file_of(given.documents, asked.day, "day") if asked.day else None,
        asked.method,
        asked.units,
    )
