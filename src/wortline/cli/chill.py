"""The command `chill`: every way to cool this wort with this tap."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import click

from wortline.cli.files import file_at
from wortline.cli.units import units_option

NO_WAY = 3
_READABLE = click.Path(path_type=Path)


@click.command("chill")
@click.option("--rig", type=_READABLE, required=True, help="Your hardware (rig/1).")
@click.option("--volume", metavar="VOLUME", required=True, help="The wort, such as '22 L cold'.")
@click.option("--from", "start", metavar="TEMPERATURE", required=True, help="How hot it is.")
@click.option("--to", metavar="TEMPERATURE", required=True, help="How cold it is to be.")
@click.option("--tap", metavar="TEMPERATURE", help="The tap water, as measured.")
@click.option("--day", type=_READABLE, help="A day with its tap or climate instead (day/1).")
@click.option("--wort-flow", metavar="FLOW", help="The most wort your pump sends through.")
@click.option("--water-flow", metavar="FLOW", help="The most water your tap gives.")
@click.option("--ice", metavar="MASS", help="Ice at hand.")
@units_option
@click.option("--json", "as_json", is_flag=True, help="Print chill/1, in core units.")
def chill_command(rig: Path, day: Path | None, as_json: bool, units: str, **options: Any) -> None:
    """Say how to chill, how long it takes, how much water, and how low it gets.

    Never a time for a temperature that cannot be reached. Exit code 3 where no way gets there.
    """
    from wortline.app.chilling import chill_call
    from wortline.cli.output import as_text, refuse
    from wortline.errors import DocumentRefused

    day_file = file_at(day) if day else None
    try:
        told = chill_call(file_at(rig), day_file=day_file, system=units, **options)
    except DocumentRefused as refusal:
        refuse(refusal, as_json)
    if as_json:
        click.echo(as_text(told))
    else:
        click.echo("\n".join(_lines(told, units)).replace("\u00a0", " "))
    if told["best"] is None:
        raise SystemExit(NO_WAY)


def _lines(told: dict[str, Any], units: str) -> Iterator[str]:
    from wortline.cli.layout import paragraph
    from wortline.units import say

    def temp(key: str) -> str:
        return say(told[key], "temperature", units)

    volume = say(told["volume_cold_l"], "volume", units)
    yield from paragraph(
        f"{told['rig']}: {volume} cold from {temp('from_c')} to {temp('to_c')}, tap {temp('tap_c')}"
    )
    yield ""
    for way in told["ways"]:
        is_best = told["best"] == {"chiller": way["chiller"], "how": way["how"]}
        yield from paragraph(way["text"], "> " if is_best else "  ")
    yield ""
    best = "The way marked > is the least bad." if told["best"] else "No way gets there."
    yield from paragraph(f"{best} In brackets: 8 in 10 chillers like these take so long.")
    if told["lowest_c"] is not None:
        yield from paragraph(f"Lowest with tap water alone: {temp('lowest_c')}.")
    for unit in told["chillers"]:
        ua, spread = (say(unit[key], "conductance", units) for key in ("ua_w_k", "spread_w_k"))
        yield from paragraph(f"{unit['name']}: {ua} +/- {spread}, {unit['from']}.")
    yield ""
    for text in told["notes"]:
        yield from paragraph(text)
    yield ""
    for text in told["cautions"]:
        yield from paragraph(text, "! ")
