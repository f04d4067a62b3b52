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


def rest_svg(report: dict[str, Any], width_px: int = 1200) -> str:
    """The trade of the rest (`rest/1`) as small panels on one axis, as SVG."""
    from wortline.pictures.rest_trade import DoseCurve, TradePicture, Way, rest_trade_picture

    def titled(dose: dict[str, Any]) -> str:
        return "malt" if dose["id"] == "malt" else f"{dose['id']} {dose['name']}"

    ways = [
        Way(
            _way_label(way, number == 0),
            *(tuple(way[key]) for key in ("ibu", "aroma_index", "dms_ug_l", "clear_fraction")),
            clog_level=tuple(way["clog_level"]),
            clock_min=tuple(way["chilled_min"]),
        )
        for number, way in enumerate(report["ways"])
    ]
    first = report["ways"][0]
    doses = sorted(first["doses"], key=lambda dose: str(dose["id"] != "malt"))
    drawn = [
        DoseCurve(titled(dose), tuple(each or 0.0 for each in dose["ibu"])) for dose in doses
    ]
    known = None not in first["clear_low_fraction"]
    return rest_trade_picture(
        TradePicture(
            title=f"The trade of the rest, {report['name']}",
            subtitle=f"On {report['rig']}, pumped {first['pump_min']:.0f} min. Every panel stands"
            " over the same minutes of rest; the number is that of the planned rest.",
            rest_min=tuple(report["rest_min"]),
            doses=tuple(dose for dose in drawn if max(dose.ibu) > 0.0),
            ways=tuple(ways),
            clear_low=tuple(first["clear_low_fraction"]) if known else (),
            clear_high=tuple(first["clear_high_fraction"]) if known else (),
            planned_min=report["planned_min"],
            knee_min=report["knee_min"],
            verdict=report["verdict"],
            range_words="likely range of the planned way: a guess until your own three readings",
        ),
        width_px,
    )


def _way_label(way: dict[str, Any], is_planned: bool) -> str:
    stand = f", after standing {way['stand_min']:.0f} min" if way["stand_min"] else ""
    return f"{way['words']}{stand}{' (planned)' if is_planned else ''}"


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
