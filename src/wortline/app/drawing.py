"""Pictures of a plan."""

from typing import Any, Literal

System = Literal["metric", "us"]


def strip_svg(report: dict[str, Any], system: System = "metric") -> str:
    """The day on one time axis, as SVG."""
    from wortline.pictures.strip import strip

    return strip(report, system=system)


def strip_png(report: dict[str, Any], system: System = "metric", width_px: int = 1600) -> bytes:
    """The day on one time axis, as PNG."""
    from wortline.pictures.raster import png

    return png(strip_svg(report, system), width_px)
