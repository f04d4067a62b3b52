"""The one door for numbers of a lot: what cannot be is refused, what is odd is asked about.

The deck has the same limits in its own script; a test compares the two.
"""

from collections.abc import Callable

Say = Callable[[float, str], str]
LIMITS: dict[str, tuple[float, float]] = {
    "gravity": (0.98, 1.2),
    "volume": (0.0, 500.0),
    "temperature": (-5.0, 110.0),
    "flow": (0.0, 200.0),
    "mass": (0.0, 100.0),
    "time": (0.0, 2880.0),
    "turning": (0.0, 300.0),
    "ph": (2.0, 10.0),
}
"""What a reading of a quantity can be, in its core unit (wide on purpose; no source needed)."""


def cannot_be(quantity: str, value: float, say: Say, typed: str = "") -> str:
    """Why a value cannot be, in a sentence; empty if it can."""
    low, high = LIMITS.get(quantity, (float("-inf"), float("inf")))
    if low <= value <= high:
        return ""
    shown = typed or say(value, quantity)
    return f"`{shown}` cannot be: {quantity} can be {say(low, quantity)} to {say(high, quantity)}"
