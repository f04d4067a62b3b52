"""What the grist cannot do: hold more extract than it has, dissolve without end, be far off."""

from collections.abc import Callable, Iterator
from math import floor

from wortline.plan.wish import Cant, Change, Ground, Nearest, in_recipe
from wortline.science.extract import extract_kg

# A solution of sucrose is saturated at 66.7 % at 20 C (from memory); a barley wine has 25.
SATURATED_PLATO, STRONG_PLATO = 66.7, 25.0
MOST_TIMES = 10.0
"""A grist that has to be scaled by more than this to meet its aim is taken for a slip."""


def extract(ground: Ground) -> Iterator[Cant]:
    """More extract wanted in the kettle than the malt holds."""
    pot_ = ground.day.pot
    wanted_kg, holds_kg = float(pot_.extract_kg), float(pot_.grist_extract_kg)
    if wanted_kg > holds_kg * (1.0 + 1e-12):
        yield Cant(
            "extract-above-malt",
            f"Can't get {ground.say(wanted_kg, 'mass')} of extract into the kettle: the whole grist"
            f" holds {ground.say(holds_kg, 'mass')}.",
            wanted_kg,
            holds_kg,
            "kg",
            Nearest(
                "Type the mash efficiency your rig has had, at most 100 %, or `balance`.",
                (Change("rig", "mash.efficiency", "balance"),),
            ),
        )
    for index, malt in enumerate(ground.brew.malts):
        holds = 1.0 - float(malt.moisture)
        if float(malt.extract) > holds + 1e-12:
            yield Cant(
                "extract-above-malt",
                f"Can't get {100 * float(malt.extract):.1f} % of extract from {malt.name}: with"
                f" {100 * float(malt.moisture):.1f} % moisture it is at most {100 * holds:.1f} %"
                " dry.",
                float(malt.extract),
                holds,
                "-",
                Nearest(
                    f"Take {100 * holds:.1f} % for the extract of {malt.name}.",
                    (in_recipe(f"grist.{index}.extract", f"{floor(1000 * holds) / 10:g} %"),),
                ),
            )


def soluble_share(ground: Ground) -> float:
    """All of the grist, or what makes a very strong wort of it where more would not dissolve."""
    wanted_kg, cold_l = float(ground.day.pot.extract_kg), float(ground.day.volumes.wort_l)
    limit_kg = float(extract_kg(cold_l, SATURATED_PLATO))
    if wanted_kg <= limit_kg or limit_kg <= 0.0:
        return 1.0
    return float(extract_kg(cold_l, STRONG_PLATO)) / wanted_kg


def dissolved(ground: Ground) -> Iterator[Cant]:
    """More extract than the wort can hold in solution."""
    brew, factor = ground.brew, soluble_share(ground)
    if factor == 1.0:
        return
    wanted_kg = float(ground.day.pot.extract_kg)
    cold_l = float(ground.day.volumes.wort_l)
    limit_kg = float(extract_kg(cold_l, SATURATED_PLATO))
    yield Cant(
        "extract-above-wort",
        f"Can't dissolve {ground.say(wanted_kg, 'mass')} of extract in"
        f" {ground.say(cold_l, 'volume')} cold of wort: as syrup it holds"
        f" {ground.say(limit_kg, 'mass')}.",
        wanted_kg,
        limit_kg,
        "kg",
        Nearest(
            f"Weigh the grist again: {ground.say(factor * float(brew.grist_kg), 'mass')} in all"
            " would make a very strong wort.",
            tuple(
                in_recipe(f"grist.{index}.mass", f"{float(malt.mass_kg) * factor:.4g} kg")
                for index, malt in enumerate(brew.malts)
            ),
        ),
    )


def far_off(ground: Ground) -> Iterator[Cant]:
    """A grist that is nowhere near what its aim needs."""
    times, needed_kg = ground.grist_times, float(ground.brew.grist_kg)
    if 1.0 / MOST_TIMES <= times <= MOST_TIMES:
        return
    typed_kg = needed_kg / times
    limit_kg = needed_kg * (MOST_TIMES if times < 1.0 else 1.0 / MOST_TIMES)
    yield Cant(
        "grist-far-from-aim",
        f"Can't take {ground.say(typed_kg, 'mass')} of grist for this gravity: it takes"
        f" {ground.say(needed_kg, 'mass')}, and a grist more than {MOST_TIMES:g} times off is no"
        " longer scaled.",
        typed_kg,
        limit_kg,
        "kg",
        Nearest(
            f"Take {ground.say(needed_kg, 'mass')} in all, in the same shares.",
            tuple(
                in_recipe(f"grist.{index}.mass", f"{float(malt.mass_kg):.4g} kg")
                for index, malt in enumerate(ground.brew.malts)
            ),
        ),
    )


GRIST: tuple[Callable[[Ground], Iterator[Cant]], ...] = (extract, dissolved, far_off)
