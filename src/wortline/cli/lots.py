"""Run a lot from the command line: the same record that the deck writes."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from wortline.cli.files import file_at, why_not, write
from wortline.cli.keeping import data_option, open_or_refuse
from wortline.cli.lot_ways import Told, stands_of
from wortline.cli.lot_words import event_of
from wortline.cli.units import units_option

if TYPE_CHECKING:
    from wortline.wiring import Store

REFUSED = 1
_PATH = click.Path(path_type=Path)
_NUMBER = click.argument("number", type=int)
_JSON = click.option("--json", "as_json", is_flag=True, help="Print JSON, in core units.")


@click.group("lot")
def lot_command() -> None:
    """Run a lot: start it, write down what happens, see how it stands, mend it."""


def _echo_json(values: Any) -> None:
    from wortline.cli.output import as_text

    click.echo(as_text(values))


@lot_command.command("start")
@click.argument("recipe", type=_PATH)
@click.option("--rig", type=_PATH, required=True, help="Your hardware (rig/1).")
@click.option("--day", type=_PATH, help="The day: air, tap, grain, elevation (day/1).")
@click.option("--name", default="", help="What to call it; else as the recipe.")
@units_option
@data_option
def start_command(
    recipe: Path, rig: Path, day: Path | None, name: str, units: str, data: str | None
) -> None:
    """Keep RECIPE, rig and day as they are now, and start a lot from their plan."""
    from wortline.app.keeping import keep_by_name
    from wortline.app.lots import start_lot
    from wortline.wiring import watch

    with open_or_refuse(data) as store:
        numbers = [
            keep_by_name(store.documents, file_at(path)).number if path else None
            for path in (recipe, rig, day)
        ]
        first, second, third = numbers
        assert first is not None and second is not None
        opened = start_lot(
            store.lots, store.documents, watch(), first, second, third, name, system=units
        )
        click.echo(f"{opened.title} has started, in {store.place}.")
        click.echo(f"Next: wortline lot show {opened.lot.number}")


@lot_command.command("list")
@click.option("--before", type=int, metavar="NUMBER", help="Go on below this lot.")
@data_option
def list_command(before: int | None, data: str | None) -> None:
    """List the lots, the newest first."""
    from wortline.app.lot_report import start_page

    with open_or_refuse(data) as store:
        page = start_page(store.lots, before)
    if not page["lots"]:
        click.echo("No lot has started yet.")
        return
    for row in page["lots"]:
        started = row["started_at"][:16].replace("T", " ")
        click.echo(f"{row['number']:>4}  {started}  {row['entries']:>4} entries  {row['name']}")
    if page["before"] is not None:
        click.echo(f"There are more: wortline lot list --before {page['before']}")


@lot_command.command("say", context_settings={"ignore_unknown_options": True})
@_NUMBER
@click.argument("what", nargs=-1, required=True)
@click.option("--at", "sample", metavar="TEMP", help="How warm the sample or the wort was: 24 C.")
@click.option(
    "--with",
    "instrument",
    type=click.Choice(["hydrometer", "refractometer", "mark", "jug", "thermometer", "other"]),
    help="What it was read with.",
)
@click.option("--why", default="", metavar="TEXT", help="A line that says why.")
@click.option("--even-so", is_flag=True, help="Pump on against the check; it takes a --why.")
@data_option
def say_command(
    number: int,
    what: tuple[str, ...],
    sample: str | None,
    instrument: str | None,
    why: str,
    even_so: bool,
    data: str | None,
) -> None:
    """Write down what happened in lot NUMBER.

    \b
    begin PHASE             end PHASE
    done STEP               skip STEP             not-yet STEP [MINUTES]
    read WHAT VALUE         read preboil 1.044    read mash "66.2 C"
    dose ID [MASS]          dose d1 "25 g"
    turn PART POSITION      pump on|off           surface PART sanitised|opened
    note TEXT               otherwise TEXT        photo FILE
    undo ENTRY              correct ENTRY VALUE   override CHECK
    right ENTRY             (the odd reading is right as it stands)
    """
    from wortline.app.lot_pipes import parts_of, positions
    from wortline.app.lots import lot_of, record
    from wortline.cli.lot_pump import pump_overrides
    from wortline.wiring import watch

    with open_or_refuse(data) as store:
        opened = lot_of(store.lots, number)
        parts = parts_of(store.documents, opened) if what[:1] == ("surface",) else ()
        known = positions(store.documents, opened)
        event = event_of(opened, what, sample, instrument, why, parts, known)
        for against in pump_overrides(store, opened, event, why if even_so else None):
            record(store.lots, watch(), number, against, shelf=store.shelf)
        kept = record(store.lots, watch(), number, event, shelf=store.shelf)
        click.echo(f"Kept as entry {kept.number} of lot {number}.")
        _question(store, number, event)


def _question(store: "Store", number: int, event: Any) -> None:
    """Ask about a reading that is odd; where something is off by now, say the ways out at once."""
    from wortline.lot.events import Measured

    if not isinstance(event, Measured):
        return
    from wortline.app.lots import lot_of
    from wortline.app.ways import doubt_about, standing_of, ways_of
    from wortline.cli.lot_sheet import ways_sheet

    opened = lot_of(store.lots, number)
    standing = standing_of(store.documents, opened)
    told = ways_of(standing)
    if told["troubles"] or any(each["holds"] for each in told["question_first"]):
        click.echo(ways_sheet(told, opened.lot.system))
        return
    for doubt in doubt_about(standing, event):
        click.echo(f"{doubt.text} {doubt.ask}")


@lot_command.command("show")
@_NUMBER
@_JSON
@data_option
def show_command(number: int, as_json: bool, data: str | None) -> None:
    """Say how lot NUMBER stands: what is next, what was, plan against fact."""
    from wortline.app.lot_report import lot_report
    from wortline.app.lots import lot_of
    from wortline.cli.lot_sheet import lot_sheet

    with open_or_refuse(data) as store:
        opened = lot_of(store.lots, number)
        report = {**lot_report(opened), "stands": stands_of(store, opened)}
    if as_json:
        _echo_json(report)
    else:
        click.echo(lot_sheet(report, opened.lot.system))


def _told_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """What a trouble may have to be told."""
    for option in (
        click.option("--dose", help="With dose-late: which dose."),
        click.option("--strike", metavar="TEMP", help="With strike-off: what the water reads."),
        click.option("--mash", metavar="TEMP", help="With mash-off: what the mash reads."),
        click.option("--wort", metavar="TEMP", help="With wort-warm: what the wort reads."),
        click.option("--left", metavar="VOLUME", help="With clogged: what is in the kettle."),
        click.option("--off", metavar="TIME", help="With boil-cut: how long the heat was off."),
        click.option("--lid", is_flag=True, help="With boil-cut: the lid was on."),
    )[::-1]:
        command = option(command)
    return command


@lot_command.command("ways")
@_NUMBER
@click.argument("trouble", required=False)
@_told_options
@_JSON
@data_option
def ways_command(
    number: int,
    trouble: str | None,
    as_json: bool,
    data: str | None,
    **facts: Any,
) -> None:
    """Say how lot NUMBER can be mended: of TROUBLE, or of all that is off by now.

    \b
    TROUBLE: gravity-low gravity-high volume-short volume-over water-off strike-off
             mash-off dose-late wort-warm clogged boil-cut
    """
    from wortline.app.lots import lot_of
    from wortline.cli.lot_sheet import interruption_sheet, ways_sheet
    from wortline.cli.lot_ways import told_of

    shown: Callable[[Any, str], str] = interruption_sheet if trouble == "boil-cut" else ways_sheet
    with open_or_refuse(data) as store:
        opened = lot_of(store.lots, number)
        told = told_of(store, opened, trouble, Told(**facts))
    if as_json:
        _echo_json(told)
    else:
        click.echo(shown(told, opened.lot.system))


@lot_command.command("take")
@_NUMBER
@click.argument("trouble")
@click.argument("way")
@_told_options
@data_option
def take_command(
    number: int,
    trouble: str,
    way: str,
    data: str | None,
    **facts: Any,
) -> None:
    """Write down that lot NUMBER goes on by a WAY that `lot ways` lists in brackets.

    What it asks for becomes a step of the day, and the rest of the day is worked out with it.
    """
    from wortline.app.lots import lot_of, record
    from wortline.cli.lot_ways import taken
    from wortline.wiring import watch

    with open_or_refuse(data) as store:
        opened = lot_of(store.lots, number)
        event = taken(store, opened, trouble, way, Told(**facts))
        kept = record(store.lots, watch(), number, event, shelf=store.shelf)
        click.echo(f"Kept as entry {kept.number} of lot {number}: {event.text}")


@lot_command.command("text")
@_NUMBER
@click.option("--out", type=_PATH, help="Write it here; an existing file is left alone.")
@click.option("--read", type=_PATH, help="Read a lot's text file back into this lot.")
@data_option
def text_command(number: int, out: Path | None, read: Path | None, data: str | None) -> None:
    """Print lot NUMBER as plain text, write it to a file, or read a file back."""
    from wortline.app.lots import lot_of, take_text, text_of
    from wortline.wiring import watch

    with open_or_refuse(data) as store:
        if read is not None:
            kept, problems = take_text(store.lots, watch(), number, _text(read))
            new = sum(each.what == "kept" for each in kept)
            click.echo(f"New here: {new} entries. Known already: {len(kept) - new}.")
            for problem in [*problems, *(each.why for each in kept if each.why)]:
                click.echo(f"{read}: {problem}", err=True)
            if problems or any(each.why for each in kept):
                raise SystemExit(REFUSED)
            return
        text = text_of(lot_of(store.lots, number))
    if out is None:
        click.echo(text, nl=False)
        return
    write(out, text.encode("utf-8"), "xb")
    click.echo(f"Wrote {out}.")


def _text(path: Path) -> str:
    """A text file; what is no letter in it damages its line alone."""
    try:
        return path.read_bytes().decode("utf-8", errors="replace")
    except OSError as error:
        raise click.ClickException(f"{path} {why_not(error, 'read')}.") from None


@lot_command.command("paper")
@_NUMBER
@data_option
def paper_command(number: int, data: str | None) -> None:
    """Type the printed sheet of lot NUMBER in, in its order.

    Each place takes a value and, after @, the time of day written beside it: 1.044 @ 13:20. An
    empty line leaves a place out, a full stop alone ends.
    """
    from wortline.app.lots import lot_of
    from wortline.cli.lot_paper import questions, typed_in
    from wortline.wiring import watch

    with open_or_refuse(data) as store:
        made = typed_in(store, watch(), lot_of(store.lots, number))
        asked = questions(store, lot_of(store.lots, number))
    if made.already:
        click.echo(f"In the record already, so not asked: {', '.join(made.already)}.")
    click.echo(f"{made.kept} entries are kept.")
    for line in asked:
        click.echo(line)


@lot_command.command("alarms")
@_NUMBER
@click.option("--one", metavar="STEP", help="Only the alarm of this step.")
@click.option("--ics", type=_PATH, help="Write them as iCalendar for the phone's own clock.")
@data_option
def alarms_command(number: int, one: str | None, ics: Path | None, data: str | None) -> None:
    """List the coming alarms of lot NUMBER with their times of day, or write them as iCalendar."""
    from wortline.app.lot_report import alarm_times, alarms_calendar
    from wortline.app.lots import lot_of
    from wortline.lot.clock import clock_text
    from wortline.wiring import watch

    with open_or_refuse(data) as store:
        opened = lot_of(store.lots, number)
    clocks = watch()
    if ics is not None:
        # as bytes: the lines end as the standard wants them, on every system
        write(ics, alarms_calendar(opened, clocks, one).encode("utf-8"), "xb")
        click.echo(f"Wrote {ics}.")
        return
    found = [row for row in alarm_times(opened.state) if one is None or row[0] == one]
    for step, text, wall_ms in found:
        click.echo(f"{clock_text(wall_ms, clocks.zone_min())[11:]}  {text}  [{step}]")
    if not found:
        click.echo("No alarm is coming: none of their phases has begun.")
