"""The command `pipes`: what a rig's pipes can do, a verdict, a change-over."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import click

from wortline.cli.files import FileToWrite, file_at, write
from wortline.cli.units import System, units_option

STOPPED = 3
_READABLE = click.Path(path_type=Path)

# key of the line-up, how it is written, what it says
STATE: tuple[tuple[str, str, str], ...] = (
    ("handles", "V1=arm, ...", "Where each handle points."),
    ("pump", "on|off", "The pump."),
    ("water", "on|off", "The chiller's water."),
    ("water_at", "TEMPERATURE", "The water on its way in."),
    ("element", "SHARE", "The element's power."),
    ("wort", "TEMPERATURE", "The wort in the kettle."),
    ("outlet", "TEMPERATURE", "The wort behind the chiller, as measured."),
    ("level", "LENGTH", "Depth of wort in the kettle."),
    ("fermenter_level", "LENGTH", "Depth in the fermenter."),
    ("throttle", "SHARE", "How far the flow is throttled behind the pump: turn of a ball valve."),
    ("blinded", "SHARE", "How much of the screen hops cover."),
    ("hose_ends", "H4=jug, ...", "Where hose ends moved by hand are."),
    ("clean", "chiller=heat, ...", "Clean marks: heat, acid or no."),
    ("holds", "chiller=wort, ...", "Contents: wort, water, sanitiser or air."),
)


def _state_options(command: Callable[..., None]) -> Callable[..., None]:
    for key, metavar, text in reversed(STATE):
        command = click.option(f"--{key.replace('_', '-')}", key, metavar=metavar, help=text)(
            command
        )
    return command


@click.command("pipes")
@click.argument("rig", type=_READABLE)
@click.option("--state", "state_file", type=_READABLE, help="A line-up (lineup/1).")
@_state_options
@click.option("--for", "goal", metavar="ROUTE", help="What the line-up is meant for.")
@click.option("--from", "start", metavar="ROUTE", help="Where a change-over begins.")
@click.option("--to", "end", metavar="ROUTE", help="Where a change-over leads.")
@click.option("--day", "day_file", type=_READABLE, help="The day, for its elevation (day/1).")
@units_option
@click.option("--json", "as_json", is_flag=True, help="Print the same as JSON, in core units.")
@click.option("--svg", type=FileToWrite("SVG"), help="Write the pipe map of the line-up here.")
@click.option("--png", type=FileToWrite("PNG"), help="Write the pipe map as PNG here.")
def pipes_command(
    rig: Path,
    state_file: Path | None,
    goal: str | None,
    start: str | None,
    end: str | None,
    day_file: Path | None,
    units: System,
    as_json: bool,
    svg: Path | None,
    png: Path | None,
    **options: str | None,
) -> None:
    """Say what the pipes of RIG can do, judge a line-up, or lead from one to another.

    Without a line-up: the routes this rig has. With --state or its options: the verdict. With
    --from and --to: the shortest safe order of acts. Exit code 3 where it says stop.
    """
    from wortline.app import piping
    from wortline.cli.pipe_words import overview_lines
    from wortline.errors import DocumentRefused

    for name, typed in (("--for", goal), ("--from", start), ("--to", end)):
        if typed is not None and typed not in piping.ROUTE_NAMES:
            raise click.UsageError(f"{name} {typed}: it is one of {', '.join(piping.ROUTE_NAMES)}.")
    given = {key: value for key, value in options.items() if value is not None}
    state = file_at(state_file) if state_file else None
    try:
        pipes = piping.pipes_of(file_at(rig), file_at(day_file) if day_file else None)
        if (svg or png) and (end or start or not (state or given)):
            raise click.UsageError("--svg and --png draw one line-up: say how the handles stand.")
        if end:
            _change(piping, pipes, state, given, start, end, as_json, units)
        elif start:
            raise click.UsageError("--from needs --to as well.")
        elif state or given:
            _draw(piping, pipes, state, given, goal, svg, png, units)
            _verdict(piping, pipes, state, given, goal, as_json, units)
        else:
            known = piping.known_of(pipes, None, {})
            _show(piping.overview(pipes, known), overview_lines, as_json, units)
    except DocumentRefused as refusal:
        from wortline.cli.output import refuse

        refuse(refusal, as_json)


def _draw(
    piping: Any,
    pipes: Any,
    state: Any,
    given: dict[str, str],
    goal: str | None,
    svg: Path | None,
    png: Path | None,
    units: System,
) -> None:
    if not svg and not png:
        return
    from wortline.app.drawing import pipe_map_svg

    settled, known = piping.line_up_of(pipes, state, given)
    drawn = pipe_map_svg(pipes, settled, known, goal, system=units)
    if svg:
        write(svg, drawn.encode("utf-8"))
    if png:
        from wortline.app.drawing import as_png

        write(png, as_png(drawn))


def _show(
    values: dict[str, Any],
    lines: Callable[[dict[str, Any], str], Iterator[str]],
    as_json: bool,
    units: System,
) -> None:
    if as_json:
        from wortline.cli.output import as_text

        click.echo(as_text(values))
    else:
        click.echo("\n".join(lines(values, units)))


def _verdict(
    piping: Any,
    pipes: Any,
    state: Any,
    given: dict[str, str],
    goal: str | None,
    as_json: bool,
    units: System,
) -> None:
    from wortline.cli.pipe_words import verdict_lines

    settled, known = piping.line_up_of(pipes, state, given)
    values = piping.verdict(pipes, settled, known, goal)
    _show(values, verdict_lines, as_json, units)
    if values["verdict"] == "stop":
        raise SystemExit(STOPPED)


def _change(
    piping: Any,
    pipes: Any,
    state: Any,
    given: dict[str, str],
    start: str | None,
    end: str,
    as_json: bool,
    units: System,
) -> None:
    from wortline.cli.pipe_words import change_lines

    if start:
        known, first = piping.known_of(pipes, state, given), start
    elif state or given:
        first, known = piping.line_up_of(pipes, state, given)
    else:
        raise click.UsageError("--to needs --from, or a line-up to begin with.")
    change = piping.change_between(pipes, known, first, end)
    if change is None:
        missing = piping.missing_routes(pipes, [name for name in (start, end) if name])
        text = f"This rig has no line-up for {' or '.join(missing)}."
        _show({"found": False, "text": text}, lambda told, _: iter([told["text"]]), as_json, units)
        raise SystemExit(STOPPED)
    _show(change, change_lines, as_json, units)
    if not change["found"]:
        raise SystemExit(STOPPED)
