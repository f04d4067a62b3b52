"""Mash temperatures, lautering, potential and attenuation against printed and hand-made values."""

from types import SimpleNamespace

from wortline.science import attenuation_rivals, mash, mash_rescue, potential

CASES = "mash.toml"

LAUTER = SimpleNamespace(
    no_sparge_efficiency=lambda **inputs: mash.no_sparge(**inputs).efficiency,
    no_sparge_plato=lambda **inputs: mash.no_sparge(**inputs).plato[0],
    batch_sparge_efficiency=lambda **inputs: mash.batch_sparge(**inputs).efficiency,
    batch_sparge_plato=lambda **inputs: mash.batch_sparge(**inputs).plato,
)


def test_published(case, agrees):
    agrees(case, mash, mash_rescue, potential, attenuation_rivals, LAUTER)
