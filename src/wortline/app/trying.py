"""A plan with levers moved: what it would be, before anything of it is kept."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from wortline.app.changing import Unchangeable, changed, opened_again
from wortline.app.chillers import chill_problems, rig_chillers
from wortline.app.files import File
from wortline.app.fitted import taken
from wortline.app.keeping import Edit as Kept
from wortline.app.keeping import keep_together, title
from wortline.app.levers import Lever, edits_of, levers
from wortline.app.planning import Planned, plan_documents
from wortline.app.ports import DocumentStore, Revision
from wortline.documents.day import Day
from wortline.documents.kinds import DocumentKind
from wortline.documents.loading import Document
from wortline.documents.recipe import Recipe
from wortline.documents.rig import Rig
from wortline.errors import DocumentRefused, Problem

MOST_TYPED = 200


@dataclass(frozen=True)
class Papers:
    """The revisions that a plan is made from."""

    recipe: Revision
    rig: Revision
    day: Revision | None = None

    @property
    def all(self) -> tuple[Revision, ...]:
        """Those that are there."""
        return (self.recipe, self.rig, *((self.day,) if self.day else ()))


@dataclass(frozen=True)
class Tried:
    """A plan with levers moved; without any it is the plan as it is kept."""

    papers: Papers
    planned: Planned
    moved: Mapping[str, str]
    texts: Mapping[DocumentKind, str]
    """The changed texts, of changed documents alone."""


def plan_as_kept(papers: Papers, method: str, system: str) -> Planned:
    """Return the plan of revisions; the same ones are worked out once.

    Raises
    ------
    DocumentRefused
        With every problem of all documents.
    """
    sheets = tuple((title(each), each.text) for each in papers.all)
    return _planned(sheets, papers.day is not None, method, system)


def levers_of(papers: Papers, method: str, system: str) -> tuple[Lever, ...]:
    """Return what can be moved on the plan of these revisions, as kept.

    Raises
    ------
    DocumentRefused
        With every problem of all documents.
    """
    sheets = tuple((title(each), each.text) for each in papers.all)
    return _levers(sheets, papers.day is not None, method, system)


def tried(
    papers: Papers, moves: Mapping[str, str], method: str, system: str, whole: bool = True
) -> Tried:
    """Return the plan as it would be with levers moved; `whole` as `plan_documents` has it.

    Raises
    ------
    DocumentRefused
        If a value is refused; every problem's field is the key of its lever.
    """
    known = {each.key: each for each in levers_of(papers, method, system)}
    problems = [
        Problem("", 0, key[:80], "", "", "", "there is nothing of this name to move")
        for key in moves
        if key not in known
    ]
    problems += [
        Problem("", 0, key, typed[:80], "", "", f"write at most {MOST_TYPED} letters")
        for key, typed in moves.items()
        if len(typed) > MOST_TYPED
    ]
    if problems:
        raise DocumentRefused(problems)
    moved = {key: typed for key, typed in moves.items() if edits_of(known[key], typed)}
    texts = _texts(papers, [(known[key], typed) for key, typed in moved.items()])
    sheets = tuple((title(each), texts.get(each.kind, each.text)) for each in papers.all)
    try:
        planned = _planned(sheets, papers.day is not None, method, system, whole)
    except DocumentRefused as refusal:
        raise _at_levers(refusal, papers, moved) from None
    return Tried(papers, planned, moved, texts)


def tried_but(
    papers: Papers,
    moves: Mapping[str, str],
    method: str = "kinetic",
    system: str = "metric",
    whole: bool = True,
) -> tuple[Tried, tuple[Problem, ...]]:
    """Return the plan with every move that can be read, and what is wrong with the others.

    Raises
    ------
    DocumentRefused
        If something is refused that no move brought.
    """
    left, found = dict(moves), list[Problem]()
    while True:
        try:
            return tried(papers, left, method, system, whole), tuple(found)
        except DocumentRefused as refusal:
            bad = {each.field for each in refusal.problems} & set(left)
            if not bad or not bad <= {each.key for each in levers_of(papers, method, system)}:
                raise
            found += [each for each in refusal.problems if each.field in bad]
            left = {key: typed for key, typed in left.items() if key not in bad}


def ways_to_fit(trial: Tried, method: str, system: str) -> list[dict[str, str]]:
    """Return, for each reason why a trial does not fit, the moves that take its nearest plan.

    What levers cannot do, or what would not fit either, is no way: none are given for it.
    """
    known = {each.key: each for each in levers_of(trial.papers, method, system)}
    plan = trial.planned.plan
    ways = []
    for cant in plan.cants:
        moves = taken(cant.nearest.changes, known, plan.aim.original_sg is not None)
        try:
            there = moves and tried(
                trial.papers, {**trial.moved, **moves}, method, system, whole=False
            )
        except DocumentRefused:
            there = None
        # Two reasons may be mended one after the other; what takes one away is a way.
        left = [each.code for each in there.planned.plan.cants] if there else [cant.code]
        ways.append({} if cant.code in left else moves)
    return ways


def accept(store: DocumentStore, trial: Tried, why: str) -> Papers:
    """Keep every document that a trial changes, all or none, and return what the plan is now.

    Raises
    ------
    DocumentRefused
        With every problem.
    Conflict
        If one of them was changed elsewhere since.
    """
    by_kind = {each.kind: each for each in trial.papers.all}
    kinds = list(trial.texts)
    edits = [
        Kept(
            File(title(by_kind[kind]), trial.texts[kind].encode("utf-8")),
            why,
            by_kind[kind].number,
            by_kind[kind].name,
        )
        for kind in kinds
    ]
    saved = dict(zip(kinds, keep_together(store, edits), strict=True))
    papers = trial.papers
    day = saved.get("day", papers.day)
    return replace(papers, recipe=saved.get("recipe", papers.recipe), day=day)


def _texts(papers: Papers, moves: Sequence[tuple[Lever, str]]) -> dict[DocumentKind, str]:
    texts = {each.kind: each.text for each in papers.all}
    for kind in texts:
        edits = [
            edit for lever, typed in moves if lever.kind == kind for edit in edits_of(lever, typed)
        ]
        try:
            texts[kind] = changed(texts[kind], edits)
        except Unchangeable as error:
            lever, typed = _unchangeable(texts[kind], kind, moves)
            problem = Problem("", 0, lever.key, typed[:80], "", "", str(error))
            raise DocumentRefused([problem]) from None
    return {each.kind: texts[each.kind] for each in papers.all if texts[each.kind] != each.text}


def _unchangeable(
    text: str, kind: DocumentKind, moves: Sequence[tuple[Lever, str]]
) -> tuple[Lever, str]:
    """Return the first move of a document that its text cannot take."""
    mine = [each for each in moves if each[0].kind == kind]
    for lever, typed in mine:
        try:
            text = changed(text, edits_of(lever, typed))
        except Unchangeable:
            return lever, typed
    return mine[-1]


def _at_levers(
    refusal: DocumentRefused, papers: Papers, moved: Mapping[str, str]
) -> DocumentRefused:
    """Name each problem by the lever that brought it, as far as one did."""
    kinds = {title(each): each.kind for each in papers.all}

    def key_of(problem: Problem) -> str:
        field = f"{kinds.get(problem.file, 'recipe')}.{problem.field}"
        if field.startswith("recipe.chill.") and field not in moved:
            field = "recipe.chill.way" if "recipe.chill.way" in moved else field
        near = [key for key in moved if field == key or field.startswith(f"{key}.")]
        if near:
            return near[0]
        return next(iter(moved), field) if len(moved) == 1 else field

    return DocumentRefused([replace(each, field=key_of(each), line=0) for each in refusal.problems])


Sheets = tuple[tuple[str, str], ...]


def _opened(sheets: Sheets, with_day: bool) -> tuple[Recipe, Rig, Day | None]:
    kinds: tuple[DocumentKind, ...] = ("recipe", "rig", "day")
    found: list[Document] = []
    problems: list[Problem] = []
    for kind, (name, text) in zip(kinds[: 3 if with_day else 2], sheets, strict=True):
        try:
            found.append(opened_again(name, text, kind))
        except DocumentRefused as refusal:
            problems += refusal.problems
    if problems:
        raise DocumentRefused(problems)
    recipe, rig = found[0], found[1]
    day = found[2] if with_day else None
    assert isinstance(recipe, Recipe)
    assert isinstance(rig, Rig)
    assert day is None or isinstance(day, Day)
    return recipe, rig, day


@lru_cache(maxsize=48)
def _planned(
    sheets: Sheets, with_day: bool, method: str, system: str, whole: bool = True
) -> Planned:
    recipe, rig, day = _opened(sheets, with_day)
    name, text = sheets[0]
    if problems := chill_problems(recipe, rig, File(name, text.encode("utf-8"))):
        raise DocumentRefused(problems)
    return plan_documents(recipe, rig, day, method, system, whole)


@lru_cache(maxsize=48)
def _levers(sheets: Sheets, with_day: bool, method: str, system: str) -> tuple[Lever, ...]:
    recipe, rig, day = _opened(sheets, with_day)
    planned = _planned(sheets, with_day, method, system)
    return levers(recipe, day, rig_chillers(rig), planned.report, system)
