"""Pictures: pure functions from plan data to SVG text, and from SVG text to PNG bytes."""

from wortline.pictures.raster import png
from wortline.pictures.strip import strip

__all__ = ["png", "strip"]
