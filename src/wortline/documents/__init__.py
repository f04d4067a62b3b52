"""What a brewer writes: rig, recipe and day, read from YAML with a line for every complaint."""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from wortline.documents.day import Day
    from wortline.documents.kinds import DocumentKind
    from wortline.documents.lineup import LineUp
    from wortline.documents.loading import Document, load, measure_at
    from wortline.documents.quantity import Measure, Quantity
    from wortline.documents.recipe import Recipe
    from wortline.documents.rig import Rig
    from wortline.documents.words import (
        BeforeHeatOff,
        Below,
        DryHop,
        FirstWort,
        HeatOff,
        IntoRest,
        Lid,
        When,
    )

__all__ = [
    "BeforeHeatOff",
    "Below",
    "Day",
    "Document",
    "DocumentKind",
    "DryHop",
    "FirstWort",
    "HeatOff",
    "IntoRest",
    "Lid",
    "LineUp",
    "Measure",
    "Quantity",
    "Recipe",
    "Rig",
    "When",
    "load",
    "measure_at",
]

# Each is loaded when it is first asked for: a store names the kinds and should not load the models.
_MODULES = ("kinds", "words", "quantity", "day", "lineup", "recipe", "rig", "loading")


def __getattr__(name: str) -> Any:
    if name in __all__:
        for module in _MODULES:
            found = import_module(f"{__name__}.{module}")
            if hasattr(found, name):
                return getattr(found, name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
