"""Files as the command line reads them."""

from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import click

from wortline.errors import system_said

if TYPE_CHECKING:
    from wortline.app.files import File


FORMS = {".svg": "SVG", ".png": "PNG", ".pdf": "PDF", ".html": "HTML", ".htm": "HTML"}


class FileToWrite(click.Path):
    """A file that is written in one form: a name that says another form is refused."""

    def __init__(self, form: str) -> None:
        super().__init__(path_type=Path)
        self.form = form

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Return the path."""
        path = Path(str(super().convert(value, param, ctx)))
        named = FORMS.get(path.suffix.lower(), self.form)
        if named != self.form:
            self.fail(
                f"`{value}` is named as {named}, and {self.form} is written here. End its name in"
                f" .{self.form.lower()}, or take the option for {named}.",
                param,
                ctx,
            )
        return path


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
