"""Published values of water."""

from wortline.science import water

CASES = "water.toml"


def test_published_value_of_water(case, agrees):
    agrees(case, water)
