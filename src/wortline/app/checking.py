"""Check documents by themselves: everything wrong with them, none of them planned."""

from collections.abc import Sequence

from wortline.app.files import File, opened
from wortline.errors import DocumentRefused, Problem


def check(files: Sequence[File]) -> list[Problem]:
    """All problems of all files, file by file in the order of their lines."""
    problems: list[Problem] = []
    for file in files:
        try:
            opened(file)
        except DocumentRefused as refusal:
            problems.extend(refusal.problems)
    return problems
