"""Make the fixed table of normal draws that ensembles use: scrambled Sobol points, mapped.

So few Sobol points in so many dimensions leave some columns correlated by 0.2 and more, which would
let two inputs move together; the columns are straightened until no two do.

Run once with `python tools/make_draws.py`; needs scipy. The table is kept in the package so that
the same input gives the same bytes everywhere.
"""

from pathlib import Path

import numpy as np
import numpy.typing as npt
from scipy.stats import norm, qmc  # type: ignore[import-untyped]

MEMBERS_POWER, COLUMNS, SEED = 9, 96, 20261125
ROUNDS = 40
TABLE = Path(__file__).parents[1] / "src" / "wortline" / "data" / "draws.npy"


def main() -> None:
    """Write the table."""
    points = qmc.Sobol(COLUMNS, scramble=True, rng=np.random.default_rng(SEED)).random_base2(
        MEMBERS_POWER
    )
    table = straightened(norm.ppf(points))
    # The points come in a pattern; shuffled, the table may also be used with its rows moved on.
    rows = np.random.default_rng(SEED).permutation(len(table))
    np.save(TABLE, table[rows].astype(np.float32), allow_pickle=False)


def straightened(normals: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    """The same kind of table without correlations: every column the same evenly spaced quantiles.

    The columns are turned out of each other's way and ranked again, over and over (Iman and
    Conover, 1982, A distribution-free approach to inducing rank correlation among input variables).
    """
    members = len(normals)
    quantiles = norm.ppf((np.arange(members) + 0.5) / members)
    quantiles /= quantiles.std()
    for _ in range(ROUNDS):
        centred = normals - normals.mean(axis=0)
        variances, axes = np.linalg.eigh(centred.T @ centred / members)
        turned = centred @ (axes / np.sqrt(variances)) @ axes.T
        normals = quantiles[np.argsort(np.argsort(turned, axis=0), axis=0)]
    return normals


if __name__ == "__main__":
    main()
