"""The one kind of value that science takes and gives: a float, or an array that broadcasts."""

from typing import TypeAlias

import numpy as np
import numpy.typing as npt

Real: TypeAlias = float | np.floating | npt.NDArray[np.float64]
