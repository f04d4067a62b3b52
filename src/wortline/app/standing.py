"""Where things stand: what fades while it lies there, and what is next."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import lru_cache
from typing import Literal

from wortline.app.files import File, opened
from wortline.app.ingredients import left_of_harvest
from wortline.app.ports import Heading, Revision
from wortline.app.starting import is_example
from wortline.app.tables import known
from wortline.documents.quantity import Quantity
from wortline.documents.recipe import Hop, Recipe
from wortline.documents.rig import Rig
from wortline.errors import DocumentRefused

DAY_GOES_STALE = timedelta(days=14)
"""Air and tap of a day written longer ago are doubtful (common practice, no source)."""
WORTH_SAYING = 0.02
"""Share of alpha lost in some time, from which on that is said."""
SOON_MIN = 30 * 24 * 60.0

Act = Literal["measure", "recipe", "day", "plan", "mend", "better"]


@dataclass(frozen=True)
class Fading:
    """Something that is not what it was when it was written down."""

    heading: Heading
    what: str
    text: str


@dataclass(frozen=True)
class Next:
    """One thing worth doing now, the first of a list first."""

    act: Act
    text: str
    heading: Heading | None = None


def document_in(revision: Revision) -> object | None:
    """Return the document of a revision, or None if it is refused."""
    return _opened(revision.kind, revision.text)


@lru_cache(maxsize=2048)
def _opened(kind: str, text: str) -> object | None:
    try:
        return opened(File(kind, text.encode("utf-8")), kind)  # type: ignore[arg-type]
    except DocumentRefused:
        return None


def fading(revisions: Iterable[Revision], now: datetime) -> list[Fading]:
    """Hops kept in store and days written long ago; what has faded most comes first."""
    found: list[tuple[float, Fading]] = []
    for revision in revisions:
        document = document_in(revision)
        if isinstance(document, Recipe):
            found += _hops(revision, document, now)
        elif revision.kind == "day" and not is_example(revision):
            age = now - revision.saved_at
            if age > DAY_GOES_STALE:
                text = (
                    f"Written {age.days} days ago. Air, tap and grain change with the season:"
                    " measure them again before you plan."
                )
                found.append((age.days / 1e6, Fading(revision, "the day", text)))
    return [each for _, each in sorted(found, key=lambda pair: -pair[0])]


def _hops(revision: Revision, recipe: Recipe, now: datetime) -> Iterator[tuple[float, Fading]]:
    since_min = max((now - revision.saved_at).total_seconds() / 60.0, 0.0)
    seen = set()
    for hop in recipe.hops:
        if hop.stored is None or (hop.hop, hop.stored) in seen:
            continue
        seen.add((hop.hop, hop.stored))
        row = known("hops.csv", hop.hop)
        then, today, soon = (
            left_of_harvest(_older(hop, by_min), row)
            for by_min in (0.0, since_min, since_min + SOON_MIN)
        )
        text = f"{100 * today:.0f} % of its alpha at harvest is left, if it stayed as it was stored"
        if 1.0 - today / then >= WORTH_SAYING:
            days = since_min / 1440
            text += f"; {100 * then:.0f} % when you wrote it down {days:.0f} days ago"
        if today - soon >= WORTH_SAYING:
            text += f"; {100 * soon:.0f} % in another month"
        yield 1.0 - today, Fading(revision, hop.hop, f"{text}.")


def _older(hop: Hop, by_min: float) -> Hop:
    """Return a hop that has lain in store for longer."""
    assert hop.stored is not None
    lasts = hop.stored.lasts
    longer = Quantity(lasts.value + by_min, lasts.kind)
    return hop.model_copy(update={"stored": hop.stored.model_copy(update={"lasts": longer})})


def next_steps(revisions: Sequence[Revision]) -> list[Next]:
    """What is worth doing now, from what is there and what is still an example."""
    own = [each for each in revisions if not is_example(each)]
    kinds = {each.kind for each in own}
    steps = [
        Next("mend", "It has places that need a change before it can be planned with.", each)
        for each in own
        if document_in(each) is None
    ]
    if "rig" not in kinds:
        text = "Measure your own kettle: ten minutes with a tape measure, a bucket and a watch."
        steps.append(Next("measure", text))
    if "recipe" not in kinds:
        steps.append(Next("recipe", "Write down the beer you mean to brew."))
    if "rig" in kinds and "day" not in kinds:
        text = "Write down the day: air, tap water, grain, how high above the sea you are."
        steps.append(Next("day", text))
    if {each.kind for each in revisions} >= {"rig", "recipe"}:
        steps.append(Next("plan", "Plan a day from a recipe and a rig."))
    for each in own:
        rig = document_in(each)
        if isinstance(rig, Rig) and (guessed := guesses(rig)):
            text = f"Still a guess: {', '.join(guessed)}. Measure it when you next brew."
            steps.append(Next("better", text, each))
    return steps


def guesses(rig: Rig) -> list[str]:
    """Name the numbers of a rig that its brewer has only guessed."""
    places = {
        "kettle volume": rig.kettle.brim,
        "what stays in the kettle": rig.kettle.left_behind,
        "element's efficiency": rig.element.efficiency,
        "boil-off": rig.boil_off,
        "mash efficiency": rig.mash.efficiency,
        "what stays in the hoses": rig.hold_up,
    }
    return [
        name
        for name, quantity in places.items()
        if isinstance(quantity, Quantity) and quantity.trust == "guess"
    ]
