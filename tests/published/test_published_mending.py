"""Blending, diluting, boiling down and hot marks against balances done by hand."""

from types import SimpleNamespace

from wortline.science import mending

CASES = "mending.toml"

BLEND = SimpleNamespace(
    blended_l=lambda **inputs: mending.blended(**inputs).cold_l,
    blended_plato=lambda **inputs: mending.blended(**inputs).extract_plato,
)


def test_published(case, agrees):
    agrees(case, mending, BLEND)
