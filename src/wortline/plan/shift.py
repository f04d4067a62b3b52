"""The time shift: when a dose would have to go in to be as bitter as without the whirlpool."""

import numpy as np

from wortline.plan.bitter_line import DoseLine

TRIES = 400
HALVINGS = 40
CLOSE_IBU = 1e-9


def shift_min(
    line: DoseLine, wanted_ibu: float, earliest_min: float, end_min: float
) -> float | None:
    """Minutes later (+) or earlier (-) at which the dose comes to the wanted bitterness.

    The moment nearest to the planned one is taken; None where no moment does.
    """
    planned_min = float(line.in_min)

    def excess(in_min: float) -> float:
        return float(line.ibu(end_min, in_min)) - wanted_ibu

    if abs(excess(planned_min)) <= CLOSE_IBU:
        return 0.0
    moments = np.linspace(earliest_min, end_min, TRIES)
    moments = np.unique(np.append(moments, np.clip(planned_min, earliest_min, end_min)))
    over = np.asarray(line.ibu(end_min, moments)) - wanted_ibu
    crossings = np.flatnonzero(np.sign(over[:-1]) * np.sign(over[1:]) <= 0.0)
    if not len(crossings):
        return None
    middle = 0.5 * (moments[crossings] + moments[crossings + 1])
    nearest = crossings[np.argmin(np.abs(middle - planned_min))]
    low, high = float(moments[nearest]), float(moments[nearest + 1])
    low_over = excess(low)
    for _ in range(HALVINGS):
        half = 0.5 * (low + high)
        half_over = excess(half)
        if (half_over > 0.0) == (low_over > 0.0):
            low, low_over = half, half_over
        else:
            high = half
    return 0.5 * (low + high) - planned_min
