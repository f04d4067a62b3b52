"""Pipes over the API: what a rig can do, a verdict on a line-up, a change-over."""

from dataclasses import asdict
from typing import TYPE_CHECKING, Annotated, Literal

from fastapi import APIRouter, Response
from pydantic import Field

from wortline.web.api.documents import Told
from wortline.web.api.sources import Source, file_of
from wortline.web.refusals import Unwelcome, json_answer
from wortline.web.services import Given

if TYPE_CHECKING:
    from wortline.app.piping import Pipes

router = APIRouter(prefix="/api/pipes", tags=["pipes"])
Words = Annotated[str, Field(max_length=2000)]
Name = Annotated[str, Field(max_length=80)]


class Rig(Told):
    """A rig with its plumbing, and the day for its air."""

    rig: Source
    day: Source | None = None


class Stand(Rig):
    """How everything stands: a line-up, words over it (as the options of `pipes`), or both."""

    lineup: Source | None = None
    words: dict[Name, Words] = Field(default_factory=dict, max_length=20)
    route: Name | None = None


class Touched(Rig):
    """How everything stands in words, and one touch such as `handles.V1=arm` or `pump=on`."""

    words: dict[Name, Words] = Field(default_factory=dict, max_length=20)
    do: Annotated[str, Field(max_length=120)] | None = None
    route: Name | None = None
    width: Annotated[float, Field(ge=280.0, le=1400.0)] = 720.0
    units: Literal["metric", "us"] = "metric"


class Change(Rig):
    """From one route, or from how everything stands, to another route."""

    to: Name
    start: Name | None = None
    lineup: Source | None = None
    words: dict[Name, Words] = Field(default_factory=dict, max_length=20)


WORDS = frozenset(
    {
        "handles", "pump", "water", "water_at", "element", "wort", "outlet", "level",
        "fermenter_level", "throttle", "blinded", "hose_ends", "clean", "holds",
    }
)  # fmt: skip


@router.post("")
def overview(given: Given, asked: Rig) -> Response:
    """What the rig can do: line-ups by route, needless hose moves, the day in acts."""
    from wortline.app import piping

    pipes = _pipes(given, asked)
    return json_answer(200, piping.overview(pipes, piping.known_of(pipes, None, {})))


@router.post("/verdict")
def verdict(given: Given, asked: Stand) -> Response:
    """The verdict on a line-up."""
    from wortline.app import piping

    _known(asked.words, asked.route)
    pipes = _pipes(given, asked)
    state = file_of(given.documents, asked.lineup, "lineup") if asked.lineup else None
    settled, known = piping.line_up_of(pipes, state, asked.words)
    return json_answer(200, piping.verdict(pipes, settled, known, asked.route))


@router.post("/map")
def drawn(given: Given, asked: Touched) -> Response:
    """The pipe map as SVG with its handles: how each stands, and what a touch leads to."""
    from wortline.app import handles

    _known(asked.words, asked.route)
    pipes = _pipes(given, asked)
    stand = handles.stand_of(pipes, asked.words, asked.do or "", asked.route)
    told = {
        "verdict": stand.judged,
        "words": stand.words,
        "handles": [
            {
                "name": each.name,
                "kind": each.kind,
                "now": each.now,
                "next": each.next.do,
                "choices": [asdict(choice) for choice in each.choices],
            }
            for each in stand.handles
        ],
        "svg": handles.map_svg(stand, asked.width, asked.units),
    }
    return json_answer(200, told)


@router.post("/change")
def change(given: Given, asked: Change) -> Response:
    """The shortest safe order of acts; `found` is false where there is none."""
    from wortline.app import piping

    _known(asked.words, asked.to, asked.start)
    pipes = _pipes(given, asked)
    state = file_of(given.documents, asked.lineup, "lineup") if asked.lineup else None
    if asked.start is not None:
        known, first = piping.known_of(pipes, state, asked.words), asked.start
        found = piping.change_between(pipes, known, first, asked.to)
    else:
        settled, known = piping.line_up_of(pipes, state, asked.words)
        found = piping.change_between(pipes, known, settled, asked.to)
    if found is None:
        routes = [each for each in (asked.start, asked.to) if each]
        missing = " or ".join(piping.missing_routes(pipes, routes))
        raise Unwelcome(422, "no-route", f"This rig has no line-up for {missing}.")
    return json_answer(200, found)


def _pipes(given: Given, asked: Rig) -> "Pipes":
    from wortline.app import piping

    day = file_of(given.documents, asked.day, "day") if asked.day else None
    return piping.pipes_of(file_of(given.documents, asked.rig, "rig"), day)


def _known(words: dict[str, str], *routes: str | None) -> None:
    from wortline.app.piping import ROUTE_NAMES

    for word in words:
        if word not in WORDS:
            known = ", ".join(sorted(WORDS))
            raise Unwelcome(422, "unknown-word", f"`{word}` is not known; known are {known}.")
    for route in routes:
        if route is not None and route not in ROUTE_NAMES:
            known = ", ".join(ROUTE_NAMES)
            raise Unwelcome(422, "unknown-route", f"`{route}` is no route; it is one of {known}.")
