"""The day: air, tap, grain and elevation of one brewing day, as schema day/1."""

from typing import Annotated, ClassVar

from wortline.documents.quantity import Measure, Quantity
from wortline.documents.words import Gallons, Name, Note, Part


class Day(Part):
    """What the day brings."""

    SCHEMA: ClassVar[str] = "day"

    name: Name | None = None
    gallons: Gallons | None = None
    origin: Name | None = None
    notes: Note | None = None
    air: Annotated[Quantity, Measure("temperature", -50.0, 60.0, example="16 C")]
    tap: Annotated[Quantity, Measure("temperature", 0.0, 95.0, example="14 C")]
    grain: Annotated[Quantity, Measure("temperature", -50.0, 80.0, example="12 C")]
    elevation: Annotated[Quantity, Measure("elevation", -430.0, 6000.0)]
    pressure: Annotated[Quantity, Measure("pressure", 40.0, 112.0)] | None = None
    humidity: Annotated[Quantity, Measure("fraction", 0.0, 1.0, example="60 %")] | None = None
