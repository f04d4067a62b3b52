"""What holds for a revision in every store: what may be kept, what may follow, and its key."""

import hashlib
import json
from datetime import UTC, datetime
from typing import get_args

from wortline.app.ports import Draft, Heading, Revision
from wortline.documents.kinds import MOST_BYTES, DocumentKind
from wortline.errors import Conflict, NotKept, Unkeepable

MOST_LETTERS = 1000
LARGEST = 2**31 - 1
KINDS = get_args(DocumentKind)


def stamp(moment: datetime) -> str:
    """A moment as it is stored and exported: universal time, to the microsecond."""
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def moment(stamped: str) -> datetime:
    """The moment that `stamp` wrote."""
    return datetime.strptime(stamped, "%Y-%m-%dT%H:%M:%S.%fZ").replace(tzinfo=UTC)


def folded(name: str) -> str:
    """A name as it is searched: A to Z in one case; SQLite knows of no other letters' cases."""
    return "".join(each.lower() if each.isascii() else each for each in name)


def key_of(draft: Draft, saved_at: datetime, parent_key: str) -> str:
    """A revision's key: it changes with anything that was kept, in it or in any before it."""
    parts = [parent_key, draft.kind, draft.name, draft.text, draft.why, stamp(saved_at)]
    return hashlib.sha256(json.dumps(parts).encode("ascii")).hexdigest()


def followed(draft: Draft, number: int, document: int, saved_at: datetime, key: str) -> Revision:
    """The revision that a draft becomes."""
    return Revision(
        number=number,
        document=document,
        kind=draft.kind,
        name=draft.name,
        why=draft.why,
        parent=draft.parent,
        saved_at=saved_at,
        text=draft.text,
        key=key,
    )


def is_keepable(name: str) -> bool:
    """Say whether every store can give a name back letter by letter."""
    return "\0" not in name and not any("\ud800" <= letter <= "\udfff" for letter in name)


def refuse_unkeepable(draft: Draft) -> None:
    """Refuse what some store could not give back letter by letter.

    Raises
    ------
    Unkeepable
        With what is wrong, in a sentence.
    """
    if draft.kind not in KINDS:
        raise Unkeepable(f"a `{draft.kind}` is not kept; kept are {', '.join(KINDS)}.")
    for what, text in (("text", draft.text), ("name", draft.name), ("line why", draft.why)):
        if "\0" in text:
            line = text[: text.index("\0")].count("\n") + 1
            raise Unkeepable(f"the {what} has a NUL byte in line {line}; take it out.")
        try:
            size = len(text.encode("utf-8"))
        except UnicodeEncodeError as error:
            line = text[: error.start].count("\n") + 1
            raise Unkeepable(
                f"the {what} has half a letter (a lone surrogate) in line {line}; type it again."
            ) from None
        if what == "text" and size > MOST_BYTES:
            raise Unkeepable(f"the text is {size} bytes long; at most {MOST_BYTES} are kept.")
        if what != "text" and len(text) > MOST_LETTERS:
            raise Unkeepable(
                f"the {what} has {len(text)} letters; at most {MOST_LETTERS} are kept."
            )


def refuse_stale(draft: Draft, latest: Heading) -> None:
    """Refuse a draft whose parent is not the latest revision of its document.

    Raises
    ------
    Conflict
        With the latest revision's number.
    """
    if latest.kind != draft.kind:
        raise Conflict(
            f"revision {draft.parent} is a {latest.kind}; a {draft.kind} cannot follow it.",
            latest.number,
        )
    if latest.number != draft.parent:
        raise Conflict(
            f"this {draft.kind} was changed elsewhere: you started from revision {draft.parent}, "
            f"the latest is {latest.number}. Nothing was overwritten; look at {latest.number}, "
            "then save yours on top of it or as a new one.",
            latest.number,
        )


def refuse_no_number(what: str, number: int) -> None:
    """Refuse a number that no store gives, before a database stumbles over it.

    Raises
    ------
    NotKept
        If it is below one or too large.
    """
    if not 1 <= number <= LARGEST:
        raise not_kept(what, number)


def not_kept(what: str, number: int) -> NotKept:
    """The refusal of a number that nothing has."""
    return NotKept(f"there is no {what} {number} here.")
