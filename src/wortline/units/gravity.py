"""Degrees Plato typed by people, as specific gravity."""

from wortline.errors import Unreadable

MOST_PLATO = 40.0


def _plato(gravity_sg: float) -> float:
    return -616.868 + gravity_sg * (1111.14 + gravity_sg * (-630.272 + gravity_sg * 135.997))


def sg_from_plato(extract_plato: float, typed: str = "") -> float:
    """Return the specific gravity of a wort of given extract.

    Parameters
    ----------
    extract_plato : float
        Extract [degP]; degrees Brix are read as the same scale.
    typed : str
        The text it comes from, for the complaint.

    Returns
    -------
    float
        Specific gravity 20/20 [SG].

    Raises
    ------
    Unreadable
        If the extract lies outside 0 to 40 degP.

    Notes
    -----
    Newton's method on the cubic, which is monotone from 0.98 to 1.20. The same cubic serves the
    calculations in `science`; it stands here too since this module may import nothing above it.

    References
    ----------
    ASBC polynomial for Plato's table, American Society of Brewing Chemists, Methods of Analysis.
    """
    if not 0.0 <= extract_plato <= MOST_PLATO:
        raise Unreadable(f"`{typed}` lies outside 0 to {MOST_PLATO:g} degP")
    gravity_sg = 1.0 + extract_plato / 250.0
    for _ in range(20):
        slope = 1111.14 + gravity_sg * (-1260.544 + gravity_sg * 407.991)
        gravity_sg -= (_plato(gravity_sg) - extract_plato) / slope
    return gravity_sg
