"""SVG text to PNG bytes."""

from __future__ import annotations

WIDEST_PX = 8000
PAGE = """#set page(width: auto, height: auto, margin: 0pt)
#image(bytes(sys.inputs.svg), format: "svg", width: {width}pt)
"""


def png(svg_text: str, width_px: int) -> bytes:
    """PNG of an SVG picture.

    Parameters
    ----------
    svg_text : str
        The picture.
    width_px : int
        Width of the PNG in pixels; the height follows from the picture.

    Returns
    -------
    bytes
        The PNG file; the same bytes for the same picture.

    Raises
    ------
    ValueError
        If the width is not from 1 to 8000 pixels.
    ImportError
        If typst is not installed, as where no wheel of it exists.

    Notes
    -----
    typst brings its own fonts, so Latin, Greek and Cyrillic text does not depend on the machine;
    the machine's fonts are searched only for a picture with other scripts in it.
    """
    if not 1 <= width_px <= WIDEST_PX:
        raise ValueError(f"the picture can be 1 to {WIDEST_PX} pixels wide, not {width_px}")
    import typst

    # One point of the page is one pixel at 72 points per inch.
    made = typst.compile(
        PAGE.format(width=width_px).encode(),
        font_paths=typst.Fonts(include_system_fonts=has_other_scripts(svg_text)),
        format="png",
        ppi=72.0,
        sys_inputs={"svg": svg_text},
    )
    if not isinstance(made, bytes):
        raise TypeError("one picture gave more than one page")
    return made


def has_other_scripts(text: str) -> bool:
    """Whether a text has letters beyond Latin, Greek and Cyrillic, which need more fonts."""
    return any(ord(c) >= 0x530 and not 0x2000 <= ord(c) < 0x2C00 for c in text)
