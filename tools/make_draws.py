"""Make the fixed table of normal draws that ensembles use: scrambled Sobol points, mapped.

Run once with `python tools/make_draws.py`; needs scipy. The table is kept in the package so that
the same input gives the same bytes everywhere.
"""

from pathlib import Path

import numpy as np
from scipy.stats import norm, qmc  # type: ignore[import-untyped]

MEMBERS_POWER, COLUMNS, SEED = 9, 96, 20261125
TABLE = Path(__file__).parents[1] / "src" / "wortline" / "data" / "draws.npy"


def main() -> None:
    """Write the table."""
    points = qmc.Sobol(COLUMNS, scramble=True, rng=np.random.default_rng(SEED)).random_base2(
        MEMBERS_POWER
    )
    np.save(TABLE, norm.ppf(points).astype(np.float32), allow_pickle=False)


if __name__ == "__main__":
    main()
