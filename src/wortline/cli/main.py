"""The commands of `wortline`."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import click

from wortline.cli.chill import chill_command
from wortline.cli.files import FileToWrite, file_at, why_not, write
from wortline.cli.keeping import COMMANDS as KEEPING
from wortline.cli.lots import lot_command
from wortline.cli.pipes import pipes_command
from wortline.cli.serve import serve_command
from wortline.cli.units import System, units_option

if TYPE_CHECKING:
    from wortline.app.planning import Planned

REFUSED, NO_PLAN_FITS = 1, 3

_READABLE = click.Path(path_type=Path)


class Commands(click.Group):
    """The commands; where printing fails they say so, as they do with files."""

    def main(self, *args: Any, **kwargs: Any) -> Any:
        """Run a command line."""
        try:
            return super().main(*args, **kwargs)
        except OSError as error:
            click.echo(f"Error: the output {why_not(error, 'written')}.", err=True)
            raise SystemExit(REFUSED) from None


@click.group(
    cls=Commands,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80},
)
@click.version_option(package_name="wortline", message="wortline %(version)s")
def main() -> None:
    """Follow the wort along its line: plan a brewing day before you light it.

    Exit codes: 0 fine; 1 a document is refused or asks a question; 2 the command was typed wrongly;
    3 no plan fits.
    """
    for stream in (sys.stdout, sys.stderr):
        # A terminal that cannot show a letter must not stop a plan from being printed.
        stream.reconfigure(errors="replace")  # type: ignore[union-attr]


def plan_arguments(command: Any) -> Any:
    """The documents and choices that say which plan is meant; the same for `plan` and `why`."""
    for option in (
        click.option(
            "--method",
            type=click.Choice(["kinetic", "tinseth"]),
            default="kinetic",
            show_default=True,
            help="How bitterness is worked out.",
        ),
        units_option,
        click.option("--day", type=_READABLE, help="The day: air, tap, grain, elevation (day/1)."),
        click.option("--rig", type=_READABLE, required=True, help="Your hardware (rig/1)."),
        click.argument("recipe", type=_READABLE),
    ):
        command = option(command)
    return command


def _planned(
    recipe: Path, rig: Path, day: Path | None, method: str, units: System, as_json: bool
) -> "Planned":
    from wortline.app.planning import plan_brew
    from wortline.cli.output import refuse
    from wortline.errors import DocumentRefused

    files = file_at(recipe), file_at(rig), file_at(day) if day else None
    try:
        return plan_brew(*files, method=method, system=units)
    except DocumentRefused as refusal:
        refuse(refusal, as_json)


@main.command("plan")
@plan_arguments
@click.option("--json", "as_json", is_flag=True, help="Print plan/1, in core units.")
@click.option("--svg", type=FileToWrite("SVG"), help="Write the strip picture of the day here.")
@click.option("--png", type=FileToWrite("PNG"), help="Write the strip picture as PNG here.")
@click.option("--sheet", "pdf", type=FileToWrite("PDF"), help="Write the day sheet as PDF here.")
@click.option(
    "--paper",
    type=click.Choice(["a4", "letter"]),
    help="Paper of the sheet; Letter with US units, else A4.",
)
@click.option("--show", type=FileToWrite("HTML"), help="Write a page to show here: one HTML file.")
def plan_command(
    recipe: Path,
    rig: Path,
    day: Path | None,
    units: System,
    method: str,
    as_json: bool,
    svg: Path | None,
    png: Path | None,
    pdf: Path | None,
    paper: Literal["a4", "letter"] | None,
    show: Path | None,
) -> None:
    """Plan the whole brewing day of RECIPE on a rig."""
    planned = _planned(recipe, rig, day, method, units, as_json)
    if svg or png:
        from wortline.app.drawing import strip_png, strip_svg

        if svg:
            write(svg, strip_svg(planned.report, units).encode("utf-8"))
        if png:
            write(png, strip_png(planned.report, units))
    if pdf:
        from wortline.app.day_sheet import day_sheet
        from wortline.app.drawing import sheet_pdf

        chosen: Literal["a4", "letter"] = paper or ("letter" if units == "us" else "a4")
        write(pdf, sheet_pdf(day_sheet(planned, units).values(), chosen))
    if show:
        from wortline.app.showing import show_page

        write(show, show_page(planned, units).encode("utf-8"))
    if as_json:
        from wortline.cli.output import as_text

        click.echo(as_text(planned.report))
    else:
        from wortline.cli.sheet import sheet

        click.echo(sheet(planned.report, units))
    if not planned.report["fits"]:
        raise SystemExit(NO_PLAN_FITS)


@main.command("check")
@click.argument("files", type=_READABLE, nargs=-1, required=True)
@click.option("--json", "as_json", is_flag=True, help="Print problems/1.")
def check_command(files: tuple[Path, ...], as_json: bool) -> None:
    """Read documents and name everything that is wrong with them.

    With one rig among them, recipes are checked against it too, such as the chiller they name.
    """
    from wortline.app.checking import check
    from wortline.cli.output import problems_json, refuse
    from wortline.errors import DocumentRefused

    problems = check([file_at(path) for path in files])
    if problems:
        refuse(DocumentRefused(problems), as_json)
    if as_json:
        click.echo(problems_json(()))
    else:
        for path in files:
            click.echo(f"{path}: fine")


@main.command("new")
@click.argument("kind", type=click.Choice(["rig", "recipe", "day"]))
@click.argument("file", type=_READABLE)
@click.option(
    "--pipes",
    type=click.Choice(["one-pump", "one-valve", "two-valves", "coil"]),
    help="With a rig: these pipes to start from.",
)
def new_command(kind: str, file: Path, pipes: str | None) -> None:
    """Write a commented document to start from. An existing file is left alone."""
    from wortline.app.starting import starting_document

    if pipes and kind != "rig":
        raise click.UsageError("--pipes belongs to a rig: wortline new rig --pipes NAME FILE")
    write(file, starting_document(kind, pipes).encode("utf-8"), "xb")
    click.echo(f"Wrote {file}: open it, put your own numbers in, then `wortline check {file}`.")


@main.command("why")
@click.argument("key")
@plan_arguments
@click.option("--json", "as_json", is_flag=True, help="Print why/1.")
def why_command(
    key: str,
    recipe: Path,
    rig: Path,
    day: Path | None,
    units: System,
    method: str,
    as_json: bool,
) -> None:
    """Explain one number of a plan. Says formula, inputs with their trust, sources.

    KEY is a dotted path of the plan's JSON, such as gravity.original_sg, bitterness.doses.d1 or
    ledger.preboil.
    """
    from wortline.app.explaining import UnknownKey, why

    planned = _planned(recipe, rig, day, method, units, as_json)
    try:
        explained = why(planned, key)
    except UnknownKey as error:
        raise click.UsageError(str(error)) from None
    if as_json:
        from wortline.cli.output import as_text

        click.echo(as_text(explained))
    else:
        from wortline.cli.reasons import reasons

        click.echo(reasons(explained, units))


@main.command("rest")
@plan_arguments
@click.option("--pump-on", help="Also with the pump on only once it is this cool: 90 C, 195 F.")
@click.option("--json", "as_json", is_flag=True, help="Print rest/1, in core units.")
@click.option("--svg", type=FileToWrite("SVG"), help="Write the picture of the trade here.")
@click.option("--png", type=FileToWrite("PNG"), help="Write the picture of the trade as PNG here.")
@click.option("--kettle", type=FileToWrite("SVG"), help="Write the kettle from the side here.")
@click.option("--kettle-png", type=FileToWrite("PNG"), help="Write the kettle as PNG here.")
def rest_command(
    recipe: Path,
    rig: Path,
    day: Path | None,
    units: System,
    method: str,
    pump_on: str | None,
    as_json: bool,
    svg: Path | None,
    png: Path | None,
    kettle: Path | None,
    kettle_png: Path | None,
) -> None:
    """Weigh the rest after the boil of RECIPE: what each length brings and costs.

    Bitterness of each dose, aroma, DMS, clarity, clog caution and clock over rest length; lid on
    and off; pump on at once or later. The knee is named, or that it is not worth it for you.
    """
    from wortline.app.resting import PUMP_ON_C, resting
    from wortline.cli.output import refuse
    from wortline.errors import DocumentRefused

    pump_on_c = PUMP_ON_C if pump_on is None else _pump_on_c(pump_on)
    files = file_at(recipe), file_at(rig), file_at(day) if day else None
    try:
        weighed = resting(*files, method=method, system=units, pump_on_c=pump_on_c)
    except DocumentRefused as refusal:
        refuse(refusal, as_json)
    if svg or png:
        from wortline.app.drawing import rest_svg

        _draw(svg, png, rest_svg(weighed.report))
    if as_json:
        from wortline.cli.output import as_text

        click.echo(as_text(weighed.report))
    else:
        from wortline.cli.rest import rest_sheet

        click.echo(rest_sheet(weighed.report, units))
    if kettle or kettle_png:
        from wortline.app.drawing import kettle_svg

        drawn = kettle_svg(weighed.planned.report, units)
        if drawn is None:
            raise click.ClickException(
                f"{kettle or kettle_png} is not written: this recipe plans no whirlpool and no"
                " rest."
            )
        _draw(kettle, kettle_png, drawn)
    if not weighed.report["fits"]:
        raise SystemExit(NO_PLAN_FITS)


def _draw(svg: Path | None, png: Path | None, drawn: str) -> None:
    """Write a picture in the forms that are asked for."""
    if svg:
        write(svg, drawn.encode("utf-8"))
    if png:
        from wortline.app.drawing import as_png

        write(png, as_png(drawn))


def _pump_on_c(typed: str) -> float:
    """The temperature as typed, or why it is none."""
    from wortline.errors import Question, UnitError
    from wortline.units import parse

    try:
        at_c = parse(typed, "temperature")
    except (Question, UnitError) as error:
        raise click.ClickException(f"--pump-on: {error}") from None
    if not 40.0 <= at_c <= 100.0:
        raise click.ClickException(
            f"--pump-on: `{typed}` is outside what is possible: 40 C to 100 C"
        )
    return at_c


@main.command("sources")
def sources_command() -> None:
    """List every published source that the numbers rest on."""
    from wortline.app.sourcing import sources_text

    click.echo(sources_text())


for command in (chill_command, lot_command, pipes_command, serve_command, *KEEPING):
    main.add_command(command)
