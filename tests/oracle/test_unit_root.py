"""The root between 0 and 1 against scipy, and what it costs."""

import numpy as np
import pytest
from scipy.optimize import brentq

from wortline.science.numerics import unit_root

RISING = {
    "square": lambda x: x**2 + 0.3 * x - 0.2,
    "three quarters more": lambda x: x**1.75 - 0.5,
    "steep end": lambda x: np.exp(9.0 * x) - 50.0,
    "flat start": lambda x: x**7 - 1e-3,
}


@pytest.mark.parametrize("name", RISING)
def test_smooth(name):
    asked = []

    def counted(x):
        asked.append(x)
        return RISING[name](x)

    assert unit_root(counted) == pytest.approx(
        brentq(RISING[name], 0.0, 1.0, xtol=1e-14), abs=4e-12
    )
    # plain bisection takes 41; the flat one is the hard case of all methods that use the chord
    assert len(asked) <= (38 if name == "flat start" else 13)


@pytest.mark.parametrize("jump", [0.0613, 0.3, 0.77])
def test_a_jump_costs_little_more_than_bisection(jump):
    asked = []

    def counted(x):
        asked.append(x)
        return np.where(x < jump, -1.0, 2.0)[()]

    assert unit_root(counted) == pytest.approx(jump, abs=4e-12)
    # both ends, 39 halvings, one step more, one for rounding
    assert len(asked) <= 43


def test_none_and_the_ends():
    found = unit_root(lambda x: x + np.array([0.5, 0.0, -1.0, -2.0]))
    np.testing.assert_allclose(found, [np.nan, 0.0, 1.0, np.nan], atol=4e-12)
