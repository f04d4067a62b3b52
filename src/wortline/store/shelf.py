"""The folder of plain-text files, one per lot; a file that is not ours is never overwritten."""

import os
from pathlib import Path

from wortline.errors import RecordRefused, StoreTrouble
from wortline.lot.text import read_text
from wortline.store.private import private_file


class FolderShelf:
    """Text files in a folder."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def write(self, name: str, text: str) -> str:
        """See `Shelf`: the new file is complete before it takes the place of the old one."""
        try:
            self._folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            target = self._place(name, text)
            part = target.with_name(f"{target.name}.part")
            with private_file(part) as stream:
                stream.write(text.encode("utf-8"))
                stream.flush()
                os.fsync(stream.fileno())
            part.replace(target)
        except OSError as error:
            reason = (error.strerror or "the system does not say why").lower()
            raise StoreTrouble(
                f"The text file {self._folder / name} cannot be written: {reason}. The record"
                " itself is kept; what was in the file is as it was."
            ) from None
        return str(target)

    def _place(self, name: str, text: str) -> Path:
        """The file itself where it holds an earlier state of the same lot; else one beside it."""
        target = self._folder / name
        stem, number = target.stem, 1
        while target.exists() and not _continues(target, text):
            number += 1
            target = target.with_name(f"{stem}-{number}{target.suffix}")
        return target


def _continues(old: Path, text: str) -> bool:
    """Whether everything in an old file is in the new text too."""
    try:
        before = read_text(old.read_text(encoding="utf-8"))
    except (RecordRefused, UnicodeDecodeError):
        return False
    after = {entry.id: entry for entry in read_text(text).entries}
    return not before.problems and all(after.get(entry.id) == entry for entry in before.entries)
