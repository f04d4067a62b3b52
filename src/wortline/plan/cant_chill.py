"""Can't, because: a chill that this tap, or this way with this chiller, does not reach."""

from collections.abc import Iterator
from math import ceil

from wortline.documents.words import Below
from wortline.plan.chill_line import LEFT_DK, chosen
from wortline.plan.hot_side import chill_batch
from wortline.plan.wish import Cant, Ground, Nearest, in_recipe

APPROACH_DK = 1.0
CLOSE_DK = 1e-6
SAID = {
    "circulate": "circulating through {name}",
    "one-pass": "one pass through {name}",
    "two-stage": "one pass through {name} after circulating",
    "coil-stirred": "the coil {name}",
    "coil-still": "the coil {name}",
}


def kettle_c(ground: Ground) -> tuple[float, bool]:
    """The coldest the kettle itself gets [C], and whether it is drawn in one pass."""
    piece = ground.day.hot.stretches["chill"]
    if piece.in_kettle is None:
        return float(ground.brew.chill.to_c), False
    return float(piece.ends_c[-2]), True


def lowest_c(ground: Ground) -> float:
    """The lowest that the recipe's own way reaches [C]; of any other way, the tap."""
    brew, day = ground.brew, ground.day
    if brew.chill.way is None:
        return float(brew.air.tap_c)
    batch = chill_batch(brew, day.volumes.postboil_l, day.pot.postboil_plato)
    start_c = float(day.hot.stretches["chill"].ends_c[0])
    return float(chosen(brew, batch, start_c, brew.chill.to_c).lowest_c)


def chill(ground: Ground) -> Iterator[Cant]:
    """A chill target that this tap water cannot reach, or not in this way."""
    brew = ground.brew
    to_c, tap_c, floor_c = float(brew.chill.to_c), float(brew.air.tap_c), lowest_c(ground)
    way = brew.chill.way
    below_tap = to_c <= tap_c
    if not below_tap and (way is None or to_c > floor_c + CLOSE_DK):
        return
    reachable_c = ceil(10 * max(tap_c + APPROACH_DK, floor_c + LEFT_DK if way else 0.0)) / 10
    # Doses that waited for colder wort go in at the end of the chill that can be had.
    waiting = [
        in_recipe(f"hops.{index}.when", f"below {reachable_c:g} C")
        for index, dose in enumerate(brew.doses)
        if isinstance(dose.when, Below) and dose.when.below_c < reachable_c
    ]
    if below_tap:
        code, limit_c = "chill-below-tap", tap_c
        why = f"the tap water is {ground.say(tap_c, 'temperature')}, and no chiller gets below it."
    else:
        code, limit_c = "chill-below-lowest", floor_c
        how = SAID[way.how].format(name=way.unit.name) if way else ""
        why = (
            f"{how} gets no lower than {ground.say(floor_c, 'temperature')} with water of"
            f" {ground.say(tap_c, 'temperature')}."
        )
    yield Cant(
        code,
        f"Can't chill to {ground.say(to_c, 'temperature')}: {why}",
        to_c,
        limit_c,
        "C",
        Nearest(
            f"Chill to {ground.say(reachable_c, 'temperature')} and let the fridge or ice do the"
            " rest.",
            (in_recipe("chill.to", f"{reachable_c:g} C"), *waiting),
        ),
    )
