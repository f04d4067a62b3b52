"""Pictures of a plan."""

from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    from wortline.app.piping import Pipes
    from wortline.pipes.state import Conditions, Setting

System = Literal["metric", "us"]


def strip_svg(
    report: dict[str, Any], system: System = "metric", width_px: int = 1200, **how: Any
) -> str:
    """The day on one time axis, as SVG; `how` is what `pictures.strip` takes by name."""
    from wortline.pictures.strip import strip

    return strip(report, width_px, system, **how)


def strip_png(report: dict[str, Any], system: System = "metric", width_px: int = 1600) -> bytes:
    """The day on one time axis, as PNG."""
    return as_png(strip_svg(report, system), width_px)


def as_png(svg: str, width_px: int = 1600) -> bytes:
    """A picture as PNG; `ImportError` where typst, which makes it, is not installed."""
    from wortline.pictures.raster import png

    return png(svg, width_px)


def sheet_pdf(sheet: dict[str, Any], paper: Literal["a4", "letter"] = "a4") -> bytes:
    """The values of a day sheet as a tagged PDF."""
    from wortline.pictures.day_sheet import day_sheet_pdf

    return day_sheet_pdf(sheet, paper)


def rest_svg(report: dict[str, Any], width_px: int = 1200, with_verdict: bool = True) -> str:
    """The trade of the rest (`rest/1`) as small panels on one axis, as SVG."""
    from wortline.pictures.rest_trade import DoseCurve, TradePicture, Way, rest_trade_picture

    def titled(dose: dict[str, Any]) -> str:
        return "malt" if dose["id"] == "malt" else f"{dose['id']} {dose['name']}"

    ways = [
        Way(
            _way_label(way, number == 0),
            ibu=tuple(way["ibu"]),
            aroma_index=tuple(way["aroma_index"]),
            dms_ug_l=tuple(way["dms_ug_l"]),
            clear_fraction=tuple(way["clear_fraction"]),
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
    scented = None not in first["aroma_low_index"]
    return rest_trade_picture(
        TradePicture(
            title=f"The trade of the rest, {report['name']}",
            subtitle=f"On {report['rig']}{_pumped(first['pump_min'])}. Every panel stands"
            " over the same minutes of rest; the number is that of the planned rest.",
            rest_min=tuple(report["rest_min"]),
            doses=tuple(dose for dose in drawn if max(dose.ibu) > 0.0),
            ways=tuple(ways),
            clear_low=tuple(first["clear_low_fraction"]) if known else (),
            clear_high=tuple(first["clear_high_fraction"]) if known else (),
            aroma_low=tuple(first["aroma_low_index"]) if scented else (),
            aroma_high=tuple(first["aroma_high_index"]) if scented else (),
            planned_min=report["planned_min"],
            knee_min=report["knee_min"],
            verdict=report["verdict"] if with_verdict else "",
            range_words="likely range of the planned way, a guess; of the solids until your own"
            " three readings",
        ),
        width_px,
    )


def _pumped(minutes_min: float) -> str:
    return f", pumped {minutes_min:.0f} min" if minutes_min > 0.0 else ""


MOMENT_NAMES = {
    "pump running": "Pump running",
    "pump stopped": "Pump off",
    "end of rest": "End of the rest",
}


STILL_NAMES = MOMENT_NAMES | {"pump running": "Heat off, not turning", "pump stopped": "At rest"}


def kettle_svg(
    report: dict[str, Any], system: System = "metric", width_px: int = 1200
) -> str | None:
    """The kettle from the side at three moments, as SVG; None where no whirlpool is planned."""
    from wortline.pictures.kettle_side import KettleMoment, KettleSide, kettle_side
    from wortline.units import say

    swirl = report["whirlpool"]
    if swirl is None:
        return None
    mark, left, more = (
        say(swirl[key] / times, kind, system)
        for key, times, kind in (
            ("draw_off_mark_cm", 100.0, "length"),
            ("left_cold_l", 1.0, "volume"),
            ("more_cold_l", 1.0, "volume"),
        )
    )
    with_it = 100.0 * swirl["more_trub_fraction"]
    brings = f"brings about {with_it:.0f} % of the cone along"
    if with_it < 0.5:
        brings = "hardly touches the cone"
    line_words = f"draw-off line, {mark}: stop here, {left} cold stay; {more} more {brings}"
    if swirl["draw_off_mark_cm"] <= swirl["outlet_cm"] + 1e-6:
        line_words = f"draw-off line, {mark}: here the outlet draws air; {left} cold stay"
    pumped = swirl["planned_pump_min"] > 0.0
    moments = [
        KettleMoment(
            name=(MOMENT_NAMES if pumped else STILL_NAMES)[each["name"]],
            when=(
                ("as it is switched off" if pumped else "before anything has settled")
                if number == 0
                else f"{each['after_min']:.0f} min later"
            ),
            **{key: each[key] for key in (
                "turns_per_min", "dip_m", "clear_fraction", "suspended_fraction", "cone_radius_m",
                "cone_height_m", "dusted_fraction")},
        )
        for number, each in enumerate(swirl["moments"])
    ]  # fmt: skip
    known = "by your own readings" if swirl["from_readings"] else "a guess until your own readings"
    return kettle_side(
        KettleSide(
            title=f"The kettle from the side, {report['name']}",
            subtitle=f"On {report['rig']}{_pumped(swirl['planned_pump_min'])},"
            f" {swirl['planned_rest_min']:.0f} min still; {known}.",
            diameter_m=swirl["diameter_cm"] / 100.0,
            wall_m=swirl["wall_cm"] / 100.0,
            wort_m=swirl["wort_mark_cm"] / 100.0,
            outlet_m=swirl["outlet_cm"] / 100.0,
            draw_off_m=swirl["draw_off_mark_cm"] / 100.0,
            draw_off_words=line_words,
            moments=tuple(moments),
        ),
        width_px,
        system,
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
    system: System = "metric",
) -> str:
    """The pipes as they stand, with the way of the wort and the verdict, as SVG."""
    from wortline.pictures.pipe_map import pipe_map
    from wortline.pipes.audit import audited
    from wortline.pipes.view import View

    view = View(pipes.network, settled, known, pipes.limits, goal)
    return pipe_map(view, audited(view), pipes.name, width_px, system)
