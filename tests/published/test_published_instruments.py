"""Published values of instruments."""

from wortline.science import instruments

CASES = "instruments.toml"


def test_published_value_of_instruments(case, agrees):
    agrees(case, instruments)
