"""Files of a person's record: only their owner reads them, from their first byte.

On POSIX alone; elsewhere a file has the rights of its folder.
"""

import os
import stat
from contextlib import suppress
from pathlib import Path
from typing import BinaryIO

BESIDE = ("", "-wal", "-shm", "-journal")
"""What SQLite keeps beside a file; it makes them with the rights of the file itself."""


def keep_private(database: Path) -> None:
    """Make a database's file for its owner alone, or take others' rights from one that is there.

    What cannot be done here is said by the database when it is opened.
    """
    if os.name != "posix":
        return
    with suppress(OSError):
        os.close(os.open(database, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o600))
    for suffix in BESIDE:
        file = database.with_name(database.name + suffix)
        with suppress(OSError):
            mode = stat.S_IMODE(file.stat().st_mode)
            if mode & 0o077:
                file.chmod(mode & 0o700)


def private_file(path: Path) -> BinaryIO:
    """Open a new file for its owner alone, in the place of one left over.

    Raises
    ------
    OSError
        If it cannot be made.
    """
    path.unlink(missing_ok=True)
    return open(path, "xb", opener=lambda name, flags: os.open(name, flags, 0o600))
