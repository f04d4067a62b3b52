"""Fields of the pages that redraw: what was typed, in the unit that stands beside it."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from fastapi import Request
from pydantic import AfterValidator

from wortline.errors import DocumentRefused, Problem
from wortline.web.rendering import System

MOST_TYPED = 200
_BARE = re.compile(r"[+-]?\d+(?:\.\d+)?")


def between(low: int, high: int) -> AfterValidator:
    """Bring a width into what a picture can have: a narrow window is no mistake of anybody's."""

    def held(width: int | None) -> int | None:
        return None if width is None else min(max(width, low), high)

    return AfterValidator(held)


@dataclass(frozen=True)
class Field:
    """One field: its name in the query, its label, and the units a bare number is taken in."""

    name: str
    label: str
    metric: str = ""
    us: str = ""
    example: str = ""

    def unit(self, system: System) -> str:
        """Return the unit beside the field."""
        return self.us if system == "us" else self.metric


def typed_in(request: Request, fields: Iterable[Field]) -> dict[str, str]:
    """Return what was typed, by field, whole."""
    query = request.query_params
    return {
        each.name: query.get(each.name, "").strip()
        for each in fields
        if query.get(each.name, "").strip()
    }


def with_units(typed: Mapping[str, str], fields: Iterable[Field], system: System) -> dict[str, str]:
    """Return what was typed, a number alone with the unit that stands beside its field.

    Raises
    ------
    DocumentRefused
        If a text is far too long: cut, it would say something else.
    """
    known = {each.name: each for each in fields}
    if long := [name for name, text in typed.items() if len(text) > MOST_TYPED]:
        raise DocumentRefused(
            _too_long(known[name].label if name in known else name, typed[name]) for name in long
        )
    units = {each.name: each.unit(system) for each in fields}
    return {
        name: f"{text} {units[name]}" if units.get(name) and _BARE.fullmatch(text) else text
        for name, text in typed.items()
    }


def _too_long(label: str, text: str) -> Problem:
    return Problem(
        "", 0, label, text, f"at most {MOST_TYPED} letters", "",
        f"`{text[:20]}...` has {len(text)} letters; write at most {MOST_TYPED}",
    )  # fmt: skip
