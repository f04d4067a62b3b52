"""Laws of the last degrees: what ice and fridge add to the tap, whatever the numbers."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wortline.plan.brew import RigChiller
from wortline.plan.chill_call import Wish
from wortline.plan.chill_finish import all_ways
from wortline.science.chiller import Batch, Chiller
from wortline.science.ice import iced_around_c, iced_flowing_c

BATCH = Batch(22.0, 3.95, 8.0)
ICED = ("ice water", "ice around")


def unit(name, kind, ua, stirred=True):
    shares = (0.0, 0.3) if kind == "immersion" else (0.5, 0.5)
    chiller = Chiller(ua, 5.0, 9.0, 5.0, 9.0, 0.65, *shares)
    return RigChiller(name, kind, chiller, 0.1, "as typed", stirred)


def wish(ice_kg, to=18.0, tap=27.0, start=98.0, wall_m2=0.3):
    return Wish(BATCH, start, to, tap, 25.0, wall_m2, ice_kg)


def cost(found):
    return min((way["cost_min"] for way in found["ways"] if way["ok"]), default=np.inf)


def coldest(found):
    """The coldest that is reached with ice alone."""
    ways = [way for way in found["ways"] if way["ice_kg"] and way["fridge_from_c"] is None]
    return min((way["reached_c"] for way in ways), default=np.inf)


RIGS = st.sampled_from(
    [
        [unit("plate", "plate", 700.0)],
        [unit("coil", "immersion", 400.0)],
        [unit("coil", "immersion", 60.0, stirred=False)],
        [unit("plate", "plate", 200.0), unit("coil", "immersion", 150.0)],
    ]
)


@settings(max_examples=60, derandomize=True, deadline=None)
@given(
    units=RIGS,
    to=st.floats(1.0, 25.0),
    tap=st.floats(1.0, 30.0),
    start=st.floats(35.0, 100.0),
    ice=st.floats(0.01, 20.0),
    more=st.floats(0.0, 90.0),
)
def test_more_ice_is_never_worse(units, to, tap, start, ice, more):
    """Law: what can be done with some ice can be done with more, and leaves the rest over."""
    less, rich, all_of_it = (
        all_ways(units, wish(kg, to, tap, start)) for kg in (ice, ice + more, None)
    )
    assert cost(rich) <= cost(less) * (1.0 + 1e-9)
    assert coldest(rich) <= coldest(less) + 1e-9
    assert not (less["best"] and not rich["best"])
    # Ice that nobody counted is as good as any.
    enough = all_ways(units, wish(1e4, to, tap, start))
    if any(way["ice_kg"] for way in all_of_it["ways"]):
        assert cost(all_of_it) >= cost(enough) - 1e-9


@settings(max_examples=60, derandomize=True, deadline=None)
@given(units=RIGS, to=st.floats(1.0, 25.0), tap=st.floats(1.0, 30.0), ice=st.floats(0.01, 20.0))
def test_ice_used_and_left_make_up_what_there_is(units, to, tap, ice):
    for way in all_ways(units, wish(ice, to, tap))["ways"]:
        if way["ice_kg"] is None:
            assert way["ice_left_kg"] is way["ice_needed_kg"] is None
            continue
        assert way["ice_kg"] + way["ice_left_kg"] == pytest.approx(ice)
        assert way["ok"] == (way["time_min"] is not None)
        if way["ok"]:
            # Energy (conservation): the ice used takes the wort from the hand-over to its end.
            ends = way["reached_c"] if way["fridge_from_c"] is None else way["fridge_from_c"]
            over, heat = way["handover_c"], BATCH.heat_kj_k
            chilled = iced_around_c if "ice around" in way["how"] else iced_flowing_c
            assert chilled(over, heat, way["ice_kg"]) == pytest.approx(ends, abs=1e-6)
        elif way["ice_needed_kg"] is not None:
            assert way["ice_needed_kg"] > ice


@settings(max_examples=30, derandomize=True, deadline=None)
@given(units=RIGS, to=st.floats(5.0, 20.0), tap=st.floats(21.0, 30.0), ice=st.floats(0.05, 8.0))
def test_what_is_said_to_be_needed_does(units, to, tap, ice):
    for way in all_ways(units, wish(ice, to, tap))["ways"]:
        if way["ok"] or not way["ice_needed_kg"]:
            continue
        again = all_ways(units, wish(way["ice_needed_kg"], to, tap))["ways"]
        finish = way["how"].partition(", ")[2]
        assert any(each["ok"] for each in again if each["how"].endswith(finish))


def test_the_tap_goes_on_for_longer_where_there_is_little_ice():
    """By energy, 1 kg takes 334 + 4.19 x 10 = 375.9 kJ, 3.96 K of the 94.9 kJ/K here."""
    units = [unit("plate", "plate", 700.0)]
    found = all_ways(units, wish(1.0))
    water = next(way for way in found["ways"] if way["how"] == "circulate, ice water")
    # From half a kelvin above the tap, not from six.
    assert water["handover_c"] == pytest.approx(27.5)
    assert water["reached_c"] == pytest.approx(27.5 - 375.9 / 94.9, abs=0.01)
    # From there to 18 C it takes 9.5 K, which is 94.9 x 9.5 / 375.9 = 2.40 kg.
    assert not water["ok"] and water["ice_needed_kg"] == pytest.approx(2.398, abs=0.002)
    shared = next(way for way in found["ways"] if way["how"] == "circulate, ice water, fridge")
    assert shared["ok"] and shared["alone_min"] > 0.0 and 18.0 < shared["fridge_from_c"] < 33.0
    # With plenty, no more is taken than is needed from the six above the tap: 94.9 x 15 / 375.9.
    plenty = all_ways(units, wish(100.0))
    water = next(way for way in plenty["ways"] if way["how"] == "circulate, ice water")
    assert water["ice_kg"] <= 94.9 * 15.0 / 375.9 + 1e-6
    assert water["ice_left_kg"] == pytest.approx(100.0 - water["ice_kg"])
