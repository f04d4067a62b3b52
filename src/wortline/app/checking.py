"""Check documents: everything wrong with each, and between a recipe and the rig beside it."""

from collections.abc import Sequence

from wortline.app.chillers import chill_problems
from wortline.app.files import File, opened
from wortline.documents.recipe import Recipe
from wortline.documents.rig import Rig
from wortline.errors import DocumentRefused, Problem


def check(files: Sequence[File]) -> list[Problem]:
    """All problems of all files, file by file in the order of their lines.

    With one rig among them, every recipe is checked against it too. With more than one nobody can
    tell which is meant.
    """
    problems: list[Problem] = []
    recipes: list[tuple[Recipe, File]] = []
    rigs: list[Rig] = []
    for file in files:
        try:
            document = opened(file)
        except DocumentRefused as refusal:
            problems.extend(refusal.problems)
            continue
        if isinstance(document, Recipe):
            recipes.append((document, file))
        elif isinstance(document, Rig):
            rigs.append(document)
    if len(rigs) == 1:
        for recipe, file in recipes:
            problems.extend(chill_problems(recipe, rigs[0], file))
    return problems
