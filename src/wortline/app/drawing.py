"""Pictures of a plan."""

from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    from wortline.app.piping import Pipes
    from wortline.pipes.state import Conditions, Setting

System = Literal["metric", "us"]


def strip_svg(report: dict[str, Any], system: System = "metric") -> str:
    """The day on one time axis, as SVG."""
    from wortline.pictures.strip import strip

    return strip(report, system=system)


def strip_png(report: dict[str, Any], system: System = "metric", width_px: int = 1600) -> bytes:
    """The day on one time axis, as PNG."""
    from wortline.pictures.raster import png

    return png(strip_svg(report, system), width_px)


def pipe_map_svg(
    pipes: "Pipes",
    settled: "Setting",
    known: "Conditions",
    goal: str | None = None,
    width_px: int = 1200,
) -> str:
    """The pipes as they stand, with the way of the wort and the verdict, as SVG."""
    from wortline.pictures.pipe_map import pipe_map
    from wortline.pipes.audit import audited
    from wortline.pipes.view import View

    view = View(pipes.network, settled, known, pipes.limits, goal)
    return pipe_map(view, audited(view), pipes.name, width_px)
