"""Fields of the pages that redraw: what was typed, in the unit that stands beside it."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from fastapi import Request
from pydantic import AfterValidator

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
    """Return what was typed, by field; a text that is far too long is cut."""
    query = request.query_params
    return {
        each.name: query.get(each.name, "").strip()[:MOST_TYPED]
        for each in fields
        if query.get(each.name, "").strip()
    }


def with_units(typed: Mapping[str, str], fields: Iterable[Field], system: System) -> dict[str, str]:
    """Return what was typed, a number alone with the unit that stands beside its field."""
    units = {each.name: each.unit(system) for each in fields}
    return {
        name: f"{text} {units[name]}" if units.get(name) and _BARE.fullmatch(text) else text
        for name, text in typed.items()
    }
