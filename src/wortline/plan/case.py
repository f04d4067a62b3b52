"""A case: the uncertain numbers of a day by name, and how a day is made from their values."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from wortline.plan.brew import Brew, Input, Values

Array = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Case:
    """Documents worked into numbers: every `Input` by name, and the day their values make."""

    inputs: Mapping[str, Input]
    assemble: Callable[[Values], Brew]

    @property
    def central(self) -> Brew:
        """The day at the central values."""
        return self.assemble({name: each.value for name, each in self.inputs.items()})

    def scaled(self, factors: Mapping[str, float]) -> "Case":
        """The same case with some inputs multiplied, their spread with them."""
        inputs = dict(self.inputs)
        for name, factor in factors.items():
            each = inputs[name]
            inputs[name] = replace(each, value=each.value * factor, spread=each.spread * factor)
        return replace(self, inputs=inputs)

    def drawn(self, normals: Array) -> tuple[Brew, dict[str, Array]]:
        """The day for every row of a table of normal draws, and what moved."""
        values, moved = self.draws(normals)
        return self.assemble(values), moved

    def draws(self, normals: Array) -> tuple[dict[str, Array], dict[str, Array]]:
        """Every input for every row of a table of normal draws, cut at its limits; and what moved.

        The table has shape (members, columns). Where there are more uncertain inputs than columns,
        the table is used again with its rows moved on, so that no two inputs move together.
        """
        members, columns = normals.shape
        values: dict[str, Array] = {}
        moved: dict[str, Array] = {}
        for name, each in self.inputs.items():
            if each.spread <= 0.0:
                # Every value has its members' axis, so that nothing meets a curve's steps instead.
                values[name] = np.full(members, each.value)
                continue
            turn, column = divmod(len(moved), columns)
            draw = np.roll(normals[:, column], 37 * turn) if turn else normals[:, column]
            value = np.clip(each.value + draw * each.spread, each.low, each.high)
            values[name] = value
            moved[name] = value
        return values, moved
