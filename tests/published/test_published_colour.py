"""Colour scales and the look of beer against printed values and the CIE tables."""

import csv
from importlib.resources import files
from types import SimpleNamespace

import numpy as np

from wortline.science import appearance, colour
from wortline.science.appearance import Viewing, beer_srgb, beer_xyz, cielab, tristimulus

CASES = "colour.toml"

with files("wortline.data").joinpath("cie_1931_2deg_d65.csv").open(encoding="utf-8") as file:
    ROWS = np.array([[float(text) for text in row[:5]] for row in list(csv.reader(file))[1:]])
SCREEN = Viewing(ROWS[:, 0], ROWS[:, 1:4].T, ROWS[:, 4])


def glass_lab(srm, path_m):
    white = tristimulus(np.ones(SCREEN.wavelength_nm.size), SCREEN)
    return cielab(beer_xyz(srm, path_m, SCREEN), white)


GLASS = SimpleNamespace(
    glass_srgb=lambda srm, path_m: beer_srgb(srm, path_m, SCREEN), glass_lab=glass_lab
)


def test_published(case, agrees):
    agrees(case, colour, appearance, GLASS)


def test_two_published_spectra_agree_within_six_per_cent():
    """de Lange (2008) and (2016): the sets differ by 0.3 % at 450, 2.2 % at 550, 5.7 % at 700."""
    at_nm = np.array([450.0, 550.0, 700.0])
    first, second = (spectrum(at_nm) for spectrum in appearance.SPECTRA.values())
    np.testing.assert_allclose(np.abs(second / first - 1), [0.003, 0.022, 0.057], atol=0.0005)


def test_each_name_leads_to_its_own_formula():
    assert [round(formula(10.0), 2) for formula in colour.COLOUR.values()] == [7.24, 10.4, 7.7]
