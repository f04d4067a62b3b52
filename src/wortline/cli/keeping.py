"""Keep documents, list them, take everything out and in again."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from wortline.cli.files import file_at
from wortline.cli.layout import columns, cut, left, right
from wortline.wiring import SETTINGS, opened_store

if TYPE_CHECKING:
    from wortline.app.ports import Heading
    from wortline.wiring import Store

REFUSED = 1
ON_A_PAGE = 100
NAME_COLUMNS = 34
_PATH = click.Path(path_type=Path)


def data_option(command: Any) -> Any:
    """The option that says where documents are kept."""
    row = SETTINGS["data"]
    told = f"{row.help} Also as {row.variable}."
    return click.option("--data", metavar="PLACE", help=told)(command)


@contextmanager
def open_or_refuse(data: str | None) -> Iterator["Store"]:
    """The store; every refusal is printed and ends the command."""
    from wortline.errors import WortlineError

    try:
        with opened_store(data) as store:
            yield store
    except WortlineError as refusal:
        for line in str(refusal).splitlines():
            click.echo(line, err=True)
        raise SystemExit(REFUSED) from None


@click.command("keep")
@click.argument("file", type=_PATH)
@click.option("--why", default="", metavar="TEXT", help="A line that says why it changed.")
@data_option
def keep_command(file: Path, why: str, data: str | None) -> None:
    """Keep FILE as a new revision of the document with its kind and name.

    Former revisions stay. A document with errors is refused and nothing is kept.
    """
    from wortline.app.keeping import keep_by_name

    with open_or_refuse(data) as store:
        revision = keep_by_name(store.documents, file_at(file), why)
        place = store.place
    click.echo(f"Kept as revision {revision.number} of document {revision.document}, in {place}.")


@click.command("kept")
@click.argument("number", type=int, required=False)
@click.option("--discarded", is_flag=True, help="List what was discarded.")
@click.option("--before", type=int, metavar="NUMBER", help="Go on below this revision.")
@click.option("--history", type=int, metavar="DOCUMENT", help="All revisions of one document.")
@data_option
def kept_command(
    number: int | None,
    discarded: bool,
    before: int | None,
    history: int | None,
    data: str | None,
) -> None:
    """List the documents that are kept, the last one first; or print revision NUMBER."""
    with open_or_refuse(data) as store:
        if number is not None:
            _print_text(store.documents.revision(number).text)
            return
        if history is not None:
            click.echo("\n".join(_table(store.documents.history(history))))
            return
        page = store.documents.listed(discarded=discarded, before=before, most=ON_A_PAGE)
    if not page.headings:
        click.echo("Nothing is discarded." if discarded else "Nothing is kept yet.")
        return
    click.echo("\n".join(_table(page.headings)))
    if page.before is not None:
        click.echo(f"There are more: wortline kept --before {page.before}")


def _print_text(text: str) -> None:
    """A document byte by byte into a file or pipe; on a terminal nothing moves the cursor."""
    if sys.stdout.isatty():
        click.echo("\n".join(_printable(line.expandtabs()) for line in text.splitlines()))
        return
    sys.stdout.buffer.write(text.encode("utf-8"))
    sys.stdout.flush()


def _table(headings: tuple["Heading", ...]) -> list[str]:
    lines = ["revision  document  kind    name" + " " * (NAME_COLUMNS - 2) + "kept (UTC)"]
    for each in headings:
        name = left(cut(_printable(each.name), NAME_COLUMNS), NAME_COLUMNS)
        numbers = f"{right(str(each.number), 8)}  {right(str(each.document), 8)}"
        lines.append(f"{numbers}  {left(each.kind, 6)}  {name}  {each.saved_at:%Y-%m-%d %H:%M}")
        if each.why:
            lines.append(" " * 28 + cut(_printable(each.why), columns(lines[0]) - 28))
    return lines


def _printable(text: str) -> str:
    """The text as one line that cannot move a terminal's cursor."""
    return "".join(letter if letter.isprintable() else "�" for letter in text)


@click.command("discard")
@click.argument("document", type=int)
@data_option
def discard_command(document: int, data: str | None) -> None:
    """Put DOCUMENT out of sight. Nothing is deleted; `wortline restore` takes it back."""
    with open_or_refuse(data) as store:
        store.documents.discard(document)
    click.echo(
        f"Document {document} is out of sight; `wortline restore {document}` brings it back."
    )


@click.command("restore")
@click.argument("document", type=int)
@data_option
def restore_command(document: int, data: str | None) -> None:
    """Take DOCUMENT back that was discarded."""
    with open_or_refuse(data) as store:
        store.documents.restore(document)
    click.echo(f"Document {document} is in sight.")


@click.command("export")
@click.argument("folder", type=_PATH)
@data_option
def export_command(folder: Path, data: str | None) -> None:
    """Write everything that is kept into a new FOLDER of plain files."""
    with open_or_refuse(data) as store:
        store.export(folder)
    click.echo(f"Everything is in {folder}; `wortline import {folder}` takes it back.")


@click.command("import")
@click.argument("folder", type=_PATH)
@data_option
def import_command(folder: Path, data: str | None) -> None:
    """Take back what `wortline export` wrote into FOLDER. Nothing that is kept is changed."""
    with open_or_refuse(data) as store:
        taken = store.take(folder)
    known = len(taken.numbers) - taken.new
    click.echo(f"New here: {taken.new} revisions. Known already: {known}.")
    if taken.entries:
        click.echo(f"New here: {taken.entries} entries of lots.")


COMMANDS = (
    keep_command,
    kept_command,
    discard_command,
    restore_command,
    export_command,
    import_command,
)
