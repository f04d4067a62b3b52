"""The one tree of errors. Imports nothing of the project."""

from collections.abc import Iterable
from dataclasses import dataclass


class WortlineError(Exception):
    """Anything Wortline says no to; its text is a plain sentence for the person."""


@dataclass(frozen=True)
class Problem:
    """One complaint about one place of one document."""

    file: str
    line: int
    field: str
    value: str
    allowed: str
    nearest: str
    text: str

    def __str__(self) -> str:
        """Return the complaint as one line: where, which field, what."""
        place = f"{self.file}:{self.line}" if self.line else self.file
        field = f" {self.field}:" if self.field else ""
        return f"{place}:{field} {self.text}"


class DocumentRefused(WortlineError):
    """A document that cannot be used, with every problem found in it."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))


def system_said(error: OSError) -> str:
    """Return what the system says to a file or a port, as the end of a sentence."""
    return (error.strerror or "the system does not say why").lower()


class UnitError(WortlineError):
    """A typed quantity that cannot be used as it stands."""


class Unreadable(UnitError):
    """A text that is no quantity, or a number too large to be one."""


class UnitMismatch(UnitError):
    """A quantity of another kind than the one needed."""


class Question(UnitError):
    """A text with two readings; the person has to say which is meant."""

    def __init__(self, text: str, readings: tuple[str, ...]) -> None:
        self.readings = readings
        super().__init__(text)


class StoreTrouble(WortlineError):
    """The place where documents are kept cannot be used as it is."""


class Unkeepable(WortlineError):
    """A text that no store keeps as it stands."""


class NotKept(WortlineError):
    """A number that no document or revision has."""


class Conflict(WortlineError):
    """A change of a document that has changed since; `latest` is the revision that it has now."""

    def __init__(self, text: str, latest: int) -> None:
        self.latest = latest
        super().__init__(text)


class RecordRefused(WortlineError):
    """Something that cannot stand in the record of a lot; its text says what and why."""
