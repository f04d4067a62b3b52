"""Published values of strength, gravity and density."""

from wortline.science import extract, gravity_rivals

CASES = "extract.toml"


def test_published_value_of_extract(case, agrees):
    agrees(case, extract, gravity_rivals)
