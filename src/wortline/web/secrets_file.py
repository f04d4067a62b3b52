"""The key that sessions are signed with, in a file: a restart logs nobody out."""

import os
import secrets
from pathlib import Path

from wortline.errors import StoreTrouble, system_said

NAME = "session.key"
SIZE = 32


def kept_secret(folder: Path) -> bytes:
    """Return the secret of this folder; made on first use, readable by its owner only.

    Raises
    ------
    StoreTrouble
        If it can be neither read nor made.
    """
    path = folder / NAME
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        if path.exists() and len(found := path.read_bytes()) == SIZE:
            path.chmod(0o600)
            return found
        path.unlink(missing_ok=True)
        made = secrets.token_bytes(SIZE)
        with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as stream:
            stream.write(made)
    except OSError as error:
        raise StoreTrouble(f"{path} cannot be used: {system_said(error)}.") from None
    return made


def forget_secret(folder: Path) -> None:
    """Remove the secret: every joined device has to join again."""
    (folder / NAME).unlink(missing_ok=True)
