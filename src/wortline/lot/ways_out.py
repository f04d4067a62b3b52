"""Every trouble that has ways out, and the ways for it: at least three, do-nothing among them."""

from collections.abc import Callable, Iterator

import numpy as np

from wortline.lot import ways_day, ways_heat, ways_strength
from wortline.lot.bench import Bench, Way
from wortline.lot.interruption import Cut, after_cut
from wortline.lot.ways_day import Facts


def _plain(ways: Callable[[Bench], Iterator[Way]]) -> Callable[[Bench, Facts], Iterator[Way]]:
    return lambda bench, _: ways(bench)


TROUBLES: dict[str, tuple[str, Callable[[Bench, Facts], Iterator[Way]]]] = {
    "gravity-low": ("Gravity low", _plain(ways_strength.gravity_low)),
    "gravity-high": ("Gravity high", _plain(ways_strength.gravity_high)),
    "volume-short": ("Too few litres", _plain(ways_strength.volume_short)),
    "volume-over": ("Too many litres", _plain(ways_strength.volume_over)),
    "water-off": ("Water not as planned", _plain(ways_strength.water_off)),
    "strike-off": ("Strike water too cold or too warm", ways_heat.strike_off),
    "mash-off": ("Mash too cold or too warm", ways_day.mash_off),
    "dose-late": ("A dose forgotten or late", ways_day.dose_late),
    "wort-warm": ("Wort too warm for the yeast", ways_heat.wort_warm),
    "clogged": ("Screen or chiller clogging", ways_day.clogged),
}
"""The troubles by their code: in words, and their ways. `boil-cut` needs the cut and is apart."""
BOIL_CUT = ("boil-cut", "Boil interrupted")


@np.errstate(invalid="ignore", over="ignore", divide="ignore")
def ways_out(bench: Bench, trouble: str, facts: Facts | None = None) -> list[Way]:
    """The ways out of a trouble, each with its price."""
    return list(TROUBLES[trouble][1](bench, facts or Facts()))


@np.errstate(invalid="ignore", over="ignore", divide="ignore")
def ways_after_cut(bench: Bench, cut: Cut) -> list[Way]:
    """The ways to go on after the boil was interrupted."""
    return list(after_cut(bench, cut))
