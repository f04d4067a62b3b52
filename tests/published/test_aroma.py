"""Hop oil on the hot side against published and worked-out values."""

from types import SimpleNamespace

import numpy as np
import pytest

from wortline.app.ingredients import oils
from wortline.science import aroma

CASES = "aroma.toml"
OILS = {oil.name: oil for oil in oils()}


def share(part, extracted_per_min, effective, evaporated_per_h, minutes_min):
    """One step at a constant pace: steam over wort, an hour's share of it each 60 min."""
    strip = effective * evaporated_per_h / 60.0
    found = aroma.oil_shares([extracted_per_min], [strip], [minutes_min])
    return getattr(found, part)


def mean_half_life_min(volatility, evaporated_per_h):
    """Half-life at the mean rate of an hour in which this share of the first wort boils off."""
    mean_per_min = -np.log(1.0 - evaporated_per_h) / 60.0
    return np.log(2.0) / aroma.oil_stripping_per_min(mean_per_min, volatility)


def mean_left(volatility, evaporated_per_h, minutes_min):
    return 0.5 ** (minutes_min / mean_half_life_min(volatility, evaporated_per_h))


def first_half_life_min(volatility, evaporated_per_h):
    return np.log(2.0) / aroma.oil_stripping_per_min(evaporated_per_h / 60.0, volatility)


def late_hops_in_beer(oil, boiled_min):
    """Loose pellets boiled at 8 %/h: the share that reaches the beer, by the table of oils."""
    of = OILS[oil]
    extract = aroma.EXTRACTED_PER_MIN["pellets", "free"]
    effective = aroma.effective_volatility(of.volatility)
    return of.after_kettle * share("kept", extract, effective, 0.08, boiled_min)


HERE = SimpleNamespace(
    share=share,
    mean_half_life_min=mean_half_life_min,
    mean_left=mean_left,
    first_half_life_min=first_half_life_min,
    late_hops_in_beer=late_hops_in_beer,
    practice_per_min=lambda form, held: aroma.EXTRACTED_PER_MIN[form, held],
    film_spread=lambda: aroma.FILM_SPREAD,
    pace_spread=lambda: aroma.PACE_SPREAD,
    volatility=lambda oil, bound: getattr(OILS[oil], f"volatility{bound}"),
    index_bounds=aroma.index_range_g_l,
    ratio_bounds=aroma.ratio_range,
)


def test_published(case, agrees):
    agrees(case, aroma, HERE)


def test_hydrocarbons_of_late_hops_are_below_one_per_cent_from_15_min():
    """Published, seen: Gahr and others 2019, abstract: less than 1 % in the beer.

    After 10 min of boiling the 2 % after the kettle leave 1.01 %: the bound needs 15 min.
    """
    assert late_hops_in_beer("hydrocarbons", 10.0) == pytest.approx(0.0101, abs=1e-4)
    assert late_hops_in_beer("hydrocarbons", 15.0) < 0.01
