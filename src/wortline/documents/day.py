"""The day: air, tap, grain and elevation of one brewing day, as schema day/1."""

from typing import Annotated, ClassVar

from pydantic import Field, ValidationInfo, field_validator

from wortline.documents.plumbing import YesNo
from wortline.documents.quantity import Fault, Measure, Quantity, refuse, typed_as
from wortline.documents.words import Gallons, Name, Note, Part, Reads

MONTHS = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september",
    "october", "november", "december",
)  # fmt: skip
MONTH_ALLOWED = "a month, such as `8` or `August`"
_NO_TAP = "`tap: 14 C` as measured, or `climate: {mean: 9 C, range: 18 K, month: 8}`"


def _read_month(given: object) -> int:
    word = given.strip().lower() if isinstance(given, str) else ""
    if word.isascii() and word.isdigit() and len(word) <= 2 and 1 <= int(word) <= 12:
        return int(word)
    # Three letters tell every month from the others.
    for number, name in enumerate(MONTHS, start=1):
        if len(word) >= 3 and name.startswith(word):
            return number
    text = f"`{typed_as(given)}` is not {MONTH_ALLOWED}"
    raise refuse(Fault(text, typed_as(given), MONTH_ALLOWED))


class Climate(Part):
    """Where the tap was not measured: mean and range of the year's air, and the month.

    `range` is the warmest less the coldest monthly mean.
    """

    mean: Annotated[Quantity, Measure("temperature", -30.0, 40.0, example="9 C")]
    range: Annotated[Quantity, Measure("temperature_difference", 0.0, 70.0, example="18 K")]
    month: Annotated[int, Reads(MONTH_ALLOWED, _read_month)]
    south: YesNo = "no"


class Day(Part):
    """What the day brings."""

    SCHEMA: ClassVar[str] = "day"

    name: Name | None = None
    gallons: Gallons | None = None
    origin: Name | None = None
    notes: Note | None = None
    air: Annotated[Quantity, Measure("temperature", -50.0, 60.0, example="16 C")]
    climate: Climate | None = None
    tap: Annotated[Quantity, Measure("temperature", 0.0, 95.0, example="14 C")] | None = Field(
        default=None, validate_default=True
    )
    grain: Annotated[Quantity, Measure("temperature", -50.0, 80.0, example="12 C")]
    elevation: Annotated[Quantity, Measure("elevation", -430.0, 6000.0)]
    pressure: Annotated[Quantity, Measure("pressure", 40.0, 112.0)] | None = None
    humidity: Annotated[Quantity, Measure("fraction", 0.0, 1.0, example="60 %")] | None = None

    @field_validator("tap", mode="after")
    @classmethod
    def _tap_or_climate(cls, tap: Quantity | None, info: ValidationInfo) -> Quantity | None:
        # A climate that is there but wrong is missing from the data: it has its own complaint.
        climate = info.data.get("climate", "wrong")
        if tap is None and climate is None:
            raise refuse(Fault(f"`tap` is missing; write {_NO_TAP}", "", _NO_TAP))
        if tap is not None and climate is not None:
            text = f"`{tap.text}` stands beside `climate`; keep the measured tap alone"
            raise refuse(Fault(text, tap.text, f"one of {_NO_TAP}"))
        return tap
