"""The command `serve`: the same application as pages in a browser."""

from datetime import UTC, datetime
from typing import TYPE_CHECKING

import click

from wortline.cli.keeping import data_option

if TYPE_CHECKING:
    from pathlib import Path

    from wortline.web.door import Door
    from wortline.web.listening import Keys

REFUSED = 1
PORT = 8017
PLAIN_MEANS = (
    "Over plain http your browser keeps the screen from staying on, cannot open a page again while"
    " this computer is out of reach, and anyone on this network can read along."
)


@click.command("serve")
@data_option
@click.option("--port", type=click.IntRange(1, 65535), default=PORT, show_default=True)
@click.option("--lan", is_flag=True, help="Open to the home network, over https, with a join code.")
@click.option("--plain", is_flag=True, help="With --lan: http instead; says what it cannot do.")
@click.option(
    "--forget", is_flag=True, help="First throw out every joined device and the old certificates."
)
def serve_command(data: str | None, port: int, lan: bool, plain: bool, forget: bool) -> None:
    """Show Wortline in a browser on this computer.

    Listens on 127.0.0.1 only. With --lan also on your home network: whoever has the join code
    that is printed then can read and change your documents.
    """
    import gc

    from wortline.errors import WortlineError

    if plain and not lan:
        raise click.UsageError("--plain belongs to --lan.")
    # What modules make while they load stays for good: looking for garbage in it takes a tenth
    # of the start. It is looked for again as soon as the server answers.
    gc.disable()
    try:
        _serve(data, port, lan, plain, forget)
    except WortlineError as error:
        text = str(error)
        raise click.ClickException(text[:1].upper() + text[1:]) from None
    finally:
        gc.enable()


def _serve(data: str | None, port: int, lan: bool, plain: bool, forget: bool) -> None:
    from wortline.app.starting import lay_out_examples
    from wortline.web.door import new_code
    from wortline.web.listening import EVERYWHERE, LOOPBACK, bound, run
    from wortline.web.secrets_file import forget_secret, kept_secret
    from wortline.web.services import services
    from wortline.wiring import open_store, own_folder

    folder = own_folder() / "web"
    if forget:
        from wortline.web.certificates import forget as forget_certificates

        forget_secret(folder)
        forget_certificates(folder)
    made = bound(EVERYWHERE if lan else LOOPBACK, port)
    with made:
        store = open_store(data)
        try:
            lay_out_examples(store.documents)
            code = new_code() if lan else None
            door, keys = _door(folder, code, plain)
            given = services(store.documents, door=door, secret=kept_secret(folder))
            run(
                given,
                made,
                keys,
                lambda: _welcome(door, port, store.place),
                (lambda: _door(folder, code, plain)) if lan else None,
            )
        except KeyboardInterrupt:
            click.echo("Stopped.")
        finally:
            store.close()


def _door(folder: "Path", code: str | None, plain: bool) -> "tuple[Door, Keys | None]":
    """Return who is let in by the addresses of now, and the keys of an https server."""
    from wortline.web.addresses import host_of, own_addresses, own_name
    from wortline.web.door import LOOPBACK, Door
    from wortline.web.listening import Keys

    if code is None:
        return Door(), None
    names = own_addresses() | ({own_name()} - {""})
    hosts = LOOPBACK | {host_of(each) for each in names}
    if plain:
        return Door(hosts, code), None
    from wortline.web.certificates import papers

    shown = papers(folder, names | {"127.0.0.1", "localhost"}, datetime.now(UTC))
    door = Door(hosts, code, True, shown.authority, shown.fingerprint)
    return door, Keys(shown.leaf, shown.leaf_key)


def _welcome(door: "Door", port: int, place: str) -> None:
    """Say where it is, and how others get in."""
    scheme = "https" if door.secure else "http"
    click.echo(f"Wortline is at {scheme}://127.0.0.1:{port} on this computer.")
    click.echo(f"Documents are kept in {place}. Stop with Ctrl-C.")
    if door.code is None:
        return
    from wortline.web.door import LOOPBACK

    others = sorted(door.hosts - LOOPBACK, key=lambda each: (each.startswith("["), each))
    if not others:
        click.echo("This computer has no address on a network now; nobody else can reach it.")
        return
    click.echo("\nOn your home network, the same page is at:")
    for each in others:
        click.echo(f"  {scheme}://{each}:{port}")
    first = next((each for each in others if each[0].isdigit()), others[0])
    _show_code(f"{scheme}://{first}:{port}/join?code={door.code}", door.code)
    if door.secure:
        click.echo("The browser warns at first. Why, and what to do: open /certificate there.")
        click.echo(f"Fingerprint to compare:\n  {door.fingerprint}")
    else:
        click.echo(PLAIN_MEANS)


def _show_code(address: str, code: str) -> None:
    import sys

    import segno

    click.echo(f"\nJoin code: {code[:4]}-{code[4:]}   (or scan this)")
    try:
        segno.make(address, error="m").terminal(compact=True)
    except UnicodeEncodeError:
        click.echo("This terminal cannot show the picture; type the code.", file=sys.stdout)
