"""The time shift: when a dose would have to go in to be as bitter as without the whirlpool."""

import numpy as np

from wortline.plan.bitter_line import DoseLine

TRIES = 80
ROUNDS = 3
CLOSE_IBU = 1e-9


def shift_min(
    line: DoseLine, wanted_ibu: float, earliest_min: float, end_min: float
) -> float | None:
    """How much later (+) or earlier (-) the dose comes to the wanted bitterness [min].

    The moment nearest to the planned one is taken; None where no moment does. Each round looks at
    many moments at once and goes on between the two that have the wanted bitterness between them.
    """
    planned_min = float(line.in_min)
    if abs(float(line.ibu(end_min)) - wanted_ibu) <= CLOSE_IBU:
        return 0.0
    low_min, high_min, found_min = earliest_min, end_min, planned_min
    for _ in range(ROUNDS):
        moments = np.array(sorted({*np.linspace(low_min, high_min, TRIES).tolist(), found_min}))
        over = np.asarray(line.ibu(end_min, moments)) - wanted_ibu
        crossings = np.flatnonzero(np.sign(over[:-1]) * np.sign(over[1:]) <= 0.0)
        if not len(crossings):
            return None
        middle = 0.5 * (moments[crossings] + moments[crossings + 1])
        nearest = crossings[np.argmin(np.abs(middle - planned_min))]
        low_min, high_min = float(moments[nearest]), float(moments[nearest + 1])
        low_over, high_over = float(over[nearest]), float(over[nearest + 1])
        share = low_over / (low_over - high_over) if low_over != high_over else 0.5
        found_min = low_min + share * (high_min - low_min)
    return found_min - planned_min
