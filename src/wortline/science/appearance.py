"""How beer of a colour looks in a glass: spectrum, tristimulus values, screen colour."""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from wortline.science.colour import SRM_OF_ABSORBANCE
from wortline.science.real import Real

Array = npt.NDArray[np.float64]

PEAK_NM = 430.0
CM_OF_M = 100.0

# Linear sRGB from XYZ of the D65 white with Y = 1.
SRGB_FROM_XYZ = np.array(
    [[3.2406, -1.5372, -0.4986], [-0.9689, 1.8758, 0.0415], [0.0557, -0.2040, 1.0570]]
)


class Viewing(NamedTuple):
    """An observer and an illuminant, tabulated over wavelength.

    Attributes
    ----------
    wavelength_nm : ndarray
        Wavelengths at equal steps, shape (n,) [nm].
    observer : ndarray
        Colour matching functions x, y, z, shape (3, n) [-].
    illuminant : ndarray
        Relative power of the light, shape (n,) [-].
    """

    wavelength_nm: Array
    observer: Array
    illuminant: Array


def relative_absorbance_de_lange_2008(wavelength_nm: Real) -> Real:
    """Return the absorbance of average beer over that at 430 nm, first set of coefficients.

    Parameters
    ----------
    wavelength_nm : Real
        Wavelength, 380 to 780 [nm].

    Returns
    -------
    Real
        Absorbance relative to 430 nm [-].

    Notes
    -----
    The mean of many beers; fruit beers differ. Coefficients from memory, they sum to 1 and keep
    the ratio of 700 to 430 nm under the haze limit 0.039 of the method.

    References
    ----------
    de Lange, A. J. (2008). The Standard Reference Method of beer color specification as the basis
    for a new method of beer color reporting. Journal of the American Society of Brewing Chemists
    66, 143-150.
    """
    beyond_nm = wavelength_nm - PEAK_NM
    return 0.02465 * np.exp(-beyond_nm / 17.591) + 0.97535 * np.exp(-beyond_nm / 82.122)


def relative_absorbance_de_lange_2016(wavelength_nm: Real) -> Real:
    """Return the absorbance of average beer over that at 430 nm, second set of coefficients.

    Parameters
    ----------
    wavelength_nm : Real
        Wavelength, 380 to 780 [nm].

    Returns
    -------
    Real
        Absorbance relative to 430 nm [-].

    Notes
    -----
    Within 6 % of the first set from 430 to 700 nm.

    References
    ----------
    de Lange, A. J. (2016). Color. In: Bamforth, C. W. (ed.), Brewing Materials and Processes.
    Academic Press, chapter 11, as transcribed.
    """
    beyond_nm = wavelength_nm - PEAK_NM
    return 0.018747 * np.exp(-beyond_nm / 13.374) + 0.98226 * np.exp(-beyond_nm / 80.514)


SPECTRA: dict[str, Callable[[Real], Real]] = {
    "de_lange_2008": relative_absorbance_de_lange_2008,
    "de_lange_2016": relative_absorbance_de_lange_2016,
}


def transmission(
    srm: Real, path_m: Real, wavelength_nm: Real, spectrum: str = "de_lange_2008"
) -> Real:
    """Return the share of light of a wavelength that beer lets through.

    Parameters
    ----------
    srm : Real
        Colour, SRM [-].
    path_m : Real
        Way of the light through the beer [m].
    wavelength_nm : Real
        Wavelength, 380 to 780 [nm].
    spectrum : str
        Name in `SPECTRA`.

    Returns
    -------
    Real
        Transmittance [-].

    Raises
    ------
    KeyError
        If the spectrum is not known.

    Notes
    -----
    Absorbance is decadic: beer of 12.7 SRM passes a tenth of the light of 430 nm through 1 cm.

    References
    ----------
    de Lange, A. J. (2008). The Standard Reference Method of beer color specification as the basis
    for a new method of beer color reporting. Journal of the American Society of Brewing Chemists
    66, 143-150.
    """
    per_cm = srm / SRM_OF_ABSORBANCE * SPECTRA[spectrum](wavelength_nm)
    return 10.0 ** (-per_cm * path_m * CM_OF_M)


def tristimulus(transmittance: Array, viewing: Viewing) -> Array:
    """Return the tristimulus values of light that passed a filter.

    Parameters
    ----------
    transmittance : ndarray
        Transmittance at the wavelengths of the table, shape (..., n) [-].
    viewing : Viewing
        Observer and illuminant [-].

    Returns
    -------
    ndarray
        X, Y and Z, Y of the bare light being 1, shape (..., 3) [-].

    Notes
    -----
    Plain sums at the steps of the table.

    References
    ----------
    ASTM E308. Standard practice for computing the colors of objects by using the CIE system.
    """
    weights = viewing.observer * viewing.illuminant
    result: Array = np.asarray(transmittance) @ weights.T / np.sum(weights[1])
    return result


def cielab(xyz: Array, white_xyz: Array) -> Array:
    """Return CIELAB lightness and the two colour axes.

    Parameters
    ----------
    xyz : ndarray
        Tristimulus values, shape (..., 3) [-].
    white_xyz : ndarray
        Tristimulus values of the bare light, shape (3,) [-].

    Returns
    -------
    ndarray
        L*, a* and b*, shape (..., 3) [-].

    Notes
    -----
    With the linear part near black.

    References
    ----------
    CIE 015 (2018). Colorimetry, 4th ed., section 8.2.1.
    """
    ratio = np.asarray(xyz) / white_xyz
    limit = 6 / 29
    f = np.where(ratio > limit**3, np.cbrt(ratio), ratio / (3 * limit**2) + 4 / 29)
    x, y, z = f[..., 0], f[..., 1], f[..., 2]
    return np.stack([116 * y - 16, 500 * (x - y), 200 * (y - z)], axis=-1)


def srgb(xyz: Array) -> Array:
    """Return the screen colour of tristimulus values under D65.

    Parameters
    ----------
    xyz : ndarray
        Tristimulus values of the 2 degree observer, Y of white being 1, shape (..., 3) [-].

    Returns
    -------
    ndarray
        Red, green and blue, 0 to 255, not rounded, shape (..., 3) [-].

    Notes
    -----
    What the screen cannot show is cut at its limits.

    References
    ----------
    IEC 61966-2-1 (1999). Default RGB colour space, sRGB.
    """
    linear = np.clip(np.asarray(xyz) @ SRGB_FROM_XYZ.T, 0.0, 1.0)
    curved = 1.055 * linear ** (1 / 2.4) - 0.055
    result: Array = 255 * np.where(linear <= 0.0031308, 12.92 * linear, curved)
    return result


def beer_xyz(srm: Real, path_m: Real, viewing: Viewing, spectrum: str = "de_lange_2008") -> Array:
    """Return the tristimulus values of beer in a glass.

    Parameters
    ----------
    srm : Real
        Colour, SRM [-].
    path_m : Real
        Way of the light through the beer [m].
    viewing : Viewing
        Observer and illuminant [-].
    spectrum : str
        Name in `SPECTRA`.

    Returns
    -------
    ndarray
        X, Y and Z, Y of the bare light being 1, shape (..., 3) [-].

    Notes
    -----
    Clear beer against a white light; foam, haze and the glass are not in here.

    References
    ----------
    ASTM E308. Standard practice for computing the colors of objects by using the CIE system.
    """
    each, way_m = np.asarray(srm)[..., None], np.asarray(path_m)[..., None]
    through = np.asarray(transmission(each, way_m, viewing.wavelength_nm, spectrum))
    return tristimulus(through, viewing)


def beer_srgb(srm: Real, path_m: Real, viewing: Viewing, spectrum: str = "de_lange_2008") -> Array:
    """Return the screen colour of beer in a glass.

    Parameters
    ----------
    srm : Real
        Colour, SRM [-].
    path_m : Real
        Way of the light through the beer, 0.05 for a slim glass [m].
    viewing : Viewing
        The 2 degree observer and D65 [-].
    spectrum : str
        Name in `SPECTRA`.

    Returns
    -------
    ndarray
        Red, green and blue, 0 to 255, not rounded, shape (..., 3) [-].

    Notes
    -----
    See `beer_xyz` and `srgb`.

    References
    ----------
    IEC 61966-2-1 (1999). Default RGB colour space, sRGB.
    """
    return srgb(beer_xyz(srm, path_m, viewing, spectrum))
