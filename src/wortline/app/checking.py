"""Check documents by themselves: everything wrong with them, none of them planned."""

from collections.abc import Sequence

from wortline.app.ingredients import UnknownNames, missing_names
from wortline.app.planning import File
from wortline.documents.loading import load
from wortline.documents.reading import read
from wortline.documents.recipe import Recipe
from wortline.errors import DocumentRefused, Problem


def check(files: Sequence[File]) -> list[Problem]:
    """All problems of all files, file by file in the order of their lines."""
    problems: list[Problem] = []
    for file in files:
        try:
            document = load(file.name, file.content)
        except DocumentRefused as refusal:
            problems.extend(refusal.problems)
            continue
        if isinstance(document, Recipe) and (missing := missing_names(document)):
            line_of = read(file.name, file.content).line
            problems.extend(UnknownNames(missing).placed(file.name, line_of).problems)
    return problems
