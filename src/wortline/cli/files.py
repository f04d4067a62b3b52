"""Files as the command line reads them."""

from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from wortline.errors import system_said

if TYPE_CHECKING:
    from wortline.app.files import File


def file_at(path: Path) -> "File":
    """A file's bytes, or why there are none; no more of it than tells that it is too large."""
    from wortline.app.files import File
    from wortline.documents.kinds import MOST_BYTES

    try:
        with path.open("rb") as stream:
            return File(str(path), stream.read(MOST_BYTES + 1))
    except OSError as error:
        return File(str(path), b"", why_not(error, "read"))


def why_not(error: OSError, act: str) -> str:
    """What a system says to a file, as the end of a sentence."""
    return f"cannot be {act}: {system_said(error)}"


def write(path: Path, content: bytes, mode: Literal["wb", "xb"] = "wb") -> None:
    """Write a file, or say in a sentence why not; in mode `xb` one that is there is left alone."""
    try:
        with path.open(mode) as stream:
            stream.write(content)
    except FileExistsError:
        raise click.ClickException(f"{path} is there already and is left as it is.") from None
    except OSError as error:
        raise click.ClickException(f"{path} {why_not(error, 'written')}.") from None
