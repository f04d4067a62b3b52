"""Revisions from another store under the numbers that they have here."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from wortline.app.ports import Draft, Revision, ShelfAct
from wortline.errors import Conflict, Unkeepable
from wortline.store.chain import key_of, refuse_unkeepable
from wortline.units import short


@dataclass(frozen=True)
class Here:
    """What is kept here already.

    `known` gives number and document of each key, `children` the revision that follows a number.
    """

    known: Mapping[str, tuple[int, int]]
    children: Mapping[int, int]
    newest: int


def renumbered(revisions: Sequence[Revision], here: Here) -> tuple[list[Revision], dict[int, int]]:
    """The revisions that are new here, and the number here of every one.

    Raises
    ------
    Unkeepable
        If a revision is not what its key says, or follows one that is missing.
    Conflict
        If a document went on here and there in different ways.
    """
    known, children, newest = dict(here.known), dict(here.children), here.newest
    keys: dict[int, str] = {}
    numbers: dict[int, int] = {}
    new = []
    for each in revisions:
        _refuse_foreign(each, keys)
        keys[each.number] = each.key
        if each.key in known:
            numbers[each.number] = known[each.key][0]
            continue
        # no store leaves a gap, so an empty one gives everything the number it had
        newest = number = newest + 1
        parent, document = None, number
        if each.parent is not None:
            parent, document = known[keys[each.parent]]
            if parent in children:
                raise Conflict(_parted(each, parent, children[parent]), children[parent])
            children[parent] = number
        numbers[each.number] = number
        known[each.key] = number, document
        new.append(replace(each, number=number, document=document, parent=parent))
    return new, numbers


def _refuse_foreign(revision: Revision, keys: Mapping[int, str]) -> None:
    draft = Draft(revision.kind, revision.name, revision.text, revision.why, revision.parent)
    refuse_unkeepable(draft)
    if revision.number in keys or revision.number < 1:
        raise Unkeepable(f"the number {revision.number} is there twice, or is none.")
    if revision.parent is not None and revision.parent not in keys:
        raise Unkeepable(
            f"revision {revision.number} follows revision {revision.parent}, "
            "which does not come before it."
        )
    parent_key = "" if revision.parent is None else keys[revision.parent]
    if key_of(draft, revision.saved_at, parent_key) != revision.key:
        raise Unkeepable(
            f"revision {revision.number}, the {revision.kind} `{short(revision.name)}`, is not "
            "what was exported: its text, name, line why or time was changed since."
        )


def _parted(revision: Revision, parent: int, child: int) -> str:
    return (
        f"the {revision.kind} `{short(revision.name)}` was changed here and there: here revision "
        f"{parent} is followed by {child}, there by {revision.number}. Nothing was taken over."
    )


def new_acts(
    acts: Sequence[ShelfAct], numbers: Mapping[int, int], had: Sequence[ShelfAct]
) -> list[ShelfAct]:
    """The acts that are new here, at the end of those that are known.

    Raises
    ------
    Unkeepable
        If an act is about a document that is missing.
    """
    known = Counter((each.document, each.act, each.at) for each in had)
    last = max((each.number for each in had), default=0)
    new = []
    for each in acts:
        if each.document not in numbers:
            raise Unkeepable(f"document {each.document} is discarded or restored, but missing.")
        here = replace(each, document=numbers[each.document])
        same = (here.document, here.act, here.at)
        if known[same]:
            known[same] -= 1
            continue
        last += 1
        new.append(replace(here, number=last))
    return new
