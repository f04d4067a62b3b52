"""Numbers of a plan as plain values."""

import numpy as np

from wortline.science.real import Real


def number(value: Real | None) -> float | None:
    """A finite float, or None: no number is better than a false one."""
    if value is None:
        return None
    plain = float(value)
    return plain if np.isfinite(plain) else None
