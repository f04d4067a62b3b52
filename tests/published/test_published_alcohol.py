"""Published values of alcohol."""

from wortline.science import alcohol

CASES = "alcohol.toml"


def test_published_value_of_alcohol(case, agrees):
    agrees(case, alcohol)
