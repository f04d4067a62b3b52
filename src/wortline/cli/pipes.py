"""The command `pipes`: what a rig's pipes can do, a verdict, a change-over."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import click

from wortline.cli.files import FileToWrite

REFUSED, STOPPED = 1, 3
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


def _file(path: Path) -> Any:
    from wortline.app.files import File

    try:
        return File(str(path), path.read_bytes())
    except OSError as error:
        reason = (error.strerror or "cannot be read").lower()
        raise click.ClickException(f"{path}: {reason}.") from None


@click.command("pipes")
@click.argument("rig", type=_READABLE)
@click.option("--state", "state_file", type=_READABLE, help="A line-up (lineup/1).")
@_state_options
@click.option("--for", "goal", metavar="ROUTE", help="What the line-up is meant for.")
@click.option("--from", "start", metavar="ROUTE", help="Where a change-over begins.")
@click.option("--to", "end", metavar="ROUTE", help="Where a change-over leads.")
@click.option("--day", "day_file", type=_READABLE, help="The day, for its elevation (day/1).")
@click.option("--json", "as_json", is_flag=True, help="Print the same as JSON.")
@click.option("--svg", type=FileToWrite("SVG"), help="Write the pipe map of the line-up here.")
@click.option("--png", type=FileToWrite("PNG"), help="Write the pipe map as PNG here.")
def pipes_command(
    rig: Path,
    state_file: Path | None,
    goal: str | None,
    start: str | None,
    end: str | None,
    day_file: Path | None,
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
    from wortline.errors import DocumentRefused

    for name, typed in (("--for", goal), ("--from", start), ("--to", end)):
        if typed is not None and typed not in piping.ROUTE_NAMES:
            raise click.UsageError(f"{name} {typed}: it is one of {', '.join(piping.ROUTE_NAMES)}.")
    given = {key: value for key, value in options.items() if value is not None}
    state = _file(state_file) if state_file else None
    try:
        pipes = piping.pipes_of(_file(rig), _file(day_file) if day_file else None)
        if (svg or png) and (end or start or not (state or given)):
            raise click.UsageError("--svg and --png draw one line-up: say how the handles stand.")
        if end:
            _change(piping, pipes, state, given, start, end, as_json)
        elif start:
            raise click.UsageError("--from needs --to as well.")
        elif state or given:
            _draw(piping, pipes, state, given, goal, svg, png)
            _verdict(piping, pipes, state, given, goal, as_json)
        else:
            known = piping.known_of(pipes, None, {})
            _show(piping.overview(pipes, known), _overview_lines, as_json)
    except DocumentRefused as refusal:
        _refuse(refusal, as_json)


def _draw(
    piping: Any,
    pipes: Any,
    state: Any,
    given: dict[str, str],
    goal: str | None,
    svg: Path | None,
    png: Path | None,
) -> None:
    if not svg and not png:
        return
    from wortline.app.drawing import pipe_map_svg

    settled, known = piping.line_up_of(pipes, state, given)
    drawn = pipe_map_svg(pipes, settled, known, goal)
    if svg:
        _write(svg, drawn.encode("utf-8"))
    if png:
        from wortline.app.drawing import as_png

        _write(png, as_png(drawn))


def _write(path: Path, content: bytes) -> None:
    try:
        path.write_bytes(content)
    except OSError as error:
        reason = (error.strerror or "cannot be written").lower()
        raise click.ClickException(f"{path}: {reason}.") from None


def _refuse(refusal: Any, as_json: bool) -> None:
    if as_json:
        from wortline.cli.output import problems_json

        click.echo(problems_json(refusal.problems))
    else:
        for problem in refusal.problems:
            click.echo(str(problem), err=True)
    raise SystemExit(REFUSED)


def _show(
    values: dict[str, Any], lines: Callable[[dict[str, Any]], Iterator[str]], as_json: bool
) -> None:
    if as_json:
        from wortline.cli.output import as_text

        click.echo(as_text(values))
    else:
        click.echo("\n".join(lines(values)))


def _verdict(
    piping: Any, pipes: Any, state: Any, given: dict[str, str], goal: str | None, as_json: bool
) -> None:
    settled, known = piping.line_up_of(pipes, state, given)
    values = piping.verdict(pipes, settled, known, goal)
    _show(values, _verdict_lines, as_json)
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
) -> None:
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
        _show({"found": False, "text": text}, lambda values: iter([values["text"]]), as_json)
        raise SystemExit(STOPPED)
    _show(change, _change_lines, as_json)
    if not change["found"]:
        raise SystemExit(STOPPED)


def _paragraph(text: str, first: str = "", then: str = "") -> list[str]:
    from wortline.cli.layout import paragraph

    return paragraph(text, first, then)


def _verdict_lines(values: dict[str, Any]) -> Iterator[str]:
    yield values["verdict"].upper()
    if values["path"]:
        yield from _paragraph("the wort goes: " + " > ".join(values["path"]))
    else:
        yield "no wort moves"
    yield from _flow_lines(values)
    if values["assumed"]:
        yield from _paragraph("not said, so taken: " + ", ".join(values["assumed"]))
    for finding in values["findings"]:
        head = f"{finding['severity']:<4} {finding['code']}  "
        yield from _paragraph(finding["text"], head, " " * len(head))
        yield from _paragraph(finding["do"], " " * (len(head) - 2) + "> ", " " * len(head))


def _flow_lines(values: dict[str, Any]) -> Iterator[str]:
    if values["flow_l_min"] is None:
        return
    said = [f"flow {values['flow_l_min']:.1f} L/min"]
    if values["regime"] == "uncertain":
        least, most = values["flow_range_l_min"]
        said = [f"{said[0]}, uncertain between laminar and turbulent: {least:.2f} to {most:.2f}"]
    if values["jet_m_s"] is not None:
        said.append(f"jet {values['jet_m_s']:.1f} m/s")
    if values["suction_margin_m"] is not None:
        said.append(f"suction margin {values['suction_margin_m']:.2f} m")
    if values["vortex_l_min"] is not None:
        said.append(f"a vortex above {values['vortex_l_min']:.0f} L/min")
    if values["empties"] is not None:
        hot_l, minutes = values["empties"]["hot_l"], values["empties"]["min"]
        said.append(f"{hot_l:.0f} L hot have run through in {minutes:.1f} min")
    yield from _paragraph("; ".join(said), "", "    ")
    held = [f"{each['part']} {each['cold_l']:.2f} L {each['holds']}" for each in values["in_line"]]
    if held:
        yield from _paragraph("in the line: " + ", ".join(held), "", "    ")


def _handles(values: dict[str, Any]) -> str:
    said = [f"{name}={position}" for name, position in values["handles"].items()]
    said += [f"end of {name} at {end}" for name, end in values["hose_ends"].items()]
    return ", ".join([*said, f"pump {values['pump']}", f"water {values['water']}"])


def _change_lines(values: dict[str, Any], pad: str = "") -> Iterator[str]:
    if not values["found"]:
        yield f"{pad}No safe order of acts leads there one act at a time."
        return
    if not pad:
        yield from _paragraph("From: " + _handles(values["start"]), "", "      ")
    if not values["moves"]:
        yield f"{pad}Nothing to do."
    for number, move in enumerate(values["moves"], 1):
        yield from _act_lines(move, f"{pad}{number:>3}.  ", pad)
    if values["needs"]:
        yield f"{pad}What has to be true before the last act:"
    bare = [finding["part"] for finding in values["needs"] if finding["code"] == "B1"]
    if bare:
        said = f"A clean mark on each of {', '.join(bare)}."
        yield from _paragraph(said, f"{pad}  - ", f"{pad}    ")
    for finding in values["needs"]:
        if finding["code"] != "B1":
            said = f"{finding['text']} {finding['do']}"
            yield from _paragraph(said, f"{pad}  - ", f"{pad}    ")


def _act_lines(move: dict[str, Any], head: str, pad: str) -> Iterator[str]:
    """What scalds and what has to be true, then the act that they bar."""
    said = [f"Caution: {move['caution']}"] if move["caution"] else []
    said += [f"First: {first}" for first in move["first"]]
    for words in (*said, f"Then: {move['text']}" if said else move["text"]):
        yield from _paragraph(words, head, f"{pad}         ")
        head = f"{pad}      "


def _overview_lines(values: dict[str, Any]) -> Iterator[str]:
    yield values["rig"]
    for complaint in values["complaints"]:
        yield from _paragraph(complaint, "! ")
    yield "ROUTES"
    for route, choices in values["routes"].items():
        if not choices:
            yield f"{route}: not with these pipes"
        for choice in choices[:3]:
            yield from _paragraph(f"{route}: {_handles(choice)}", "", "    ")
            if choice["path"]:
                yield from _paragraph(" > ".join(choice["path"]), "    ")
    if values["hose_moves"]:
        yield "HOSES MOVED BY HAND"
    for finding in values["hose_moves"]:
        yield from _paragraph(f"{finding['text']} {finding['do']}", "- ")
    yield "THE HOT SIDE, ACT BY ACT"
    for phase in values["day"]:
        yield phase["route"]
        if phase["change"]:
            yield from _change_lines(phase["change"], "    ")
