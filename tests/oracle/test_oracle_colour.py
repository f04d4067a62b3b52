"""Tristimulus sums, CIELAB and sRGB against the library colour-science."""

import csv
import warnings
from importlib.resources import files

import numpy as np
import pytest

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import colour as science

from wortline.science.appearance import Viewing, beer_xyz, cielab, srgb, transmission, tristimulus

with files("wortline.data").joinpath("cie_1931_2deg_d65.csv").open(encoding="utf-8") as file:
    ROWS = np.array([[float(text) for text in row[:5]] for row in list(csv.reader(file))[1:]])
SCREEN = Viewing(ROWS[:, 0], ROWS[:, 1:4].T, ROWS[:, 4])
OBSERVER = science.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
DAYLIGHT = science.SDS_ILLUMINANTS["D65"]
SRM = np.array([1.0, 4.0, 12.0, 30.0, 60.0])


def test_tables_are_those_of_the_cie():
    assert SCREEN.wavelength_nm.tolist() == list(range(380, 785, 5))
    for row, nm in zip(ROWS, SCREEN.wavelength_nm, strict=True):
        np.testing.assert_allclose(row[1:4], OBSERVER[nm], atol=1e-6)
        assert row[4] == DAYLIGHT[nm]


@pytest.mark.parametrize("srm", SRM)
def test_tristimulus_against_astm_e308(srm):
    nm = SCREEN.wavelength_nm
    through = np.asarray(transmission(srm, 0.03, nm))
    shape = science.SpectralShape(380, 780, 5)
    expected = science.colorimetry.sd_to_XYZ_integration(
        science.SpectralDistribution(through, nm),
        OBSERVER.copy().align(shape),
        DAYLIGHT.copy().align(shape),
    )
    np.testing.assert_allclose(100 * beer_xyz(srm, 0.03, SCREEN), expected, atol=2e-4)


def test_cielab_and_screen_colour():
    white = tristimulus(np.ones(SCREEN.wavelength_nm.size), SCREEN)
    xyz = np.concatenate((beer_xyz(SRM, 0.05, SCREEN), white * [[1.0], [0.3], [0.004]]))
    point = science.XYZ_to_xy(white)
    np.testing.assert_allclose(cielab(xyz, white), science.XYZ_to_Lab(xyz, point), atol=1e-6)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        expected = 255 * np.clip(science.XYZ_to_sRGB(xyz), 0, 1)
    np.testing.assert_allclose(srgb(xyz), expected, atol=0.2)
