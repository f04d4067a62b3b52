"""Published values of ethanol."""

from wortline.science import ethanol

CASES = "ethanol.toml"


def test_published_value_of_ethanol(case, agrees):
    agrees(case, ethanol)
