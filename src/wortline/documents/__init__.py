"""What a brewer writes: rig, recipe and day, read from YAML with a line for every complaint."""

from wortline.documents.day import Day
from wortline.documents.lineup import LineUp
from wortline.documents.loading import Document, DocumentKind, load, measure_at
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
