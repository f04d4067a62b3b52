"""docs/whirlpool.md prints what the stored runs and the constants give."""

import re
import tomllib
from pathlib import Path

import numpy as np
from axisymmetric_swirl import TIMES

from wortline.science.swirl_constants import KNOWN
from wortline.science.turning import Body, laminar_turning_left, linear_spin_down_min

PAGE = (Path(__file__).parents[2] / "docs" / "whirlpool.md").read_text(encoding="utf-8")
STORED = tomllib.loads((Path(__file__).parent / "swirl_solver.toml").read_text(encoding="utf-8"))


def rows_under(head):
    _, _, after = PAGE.partition(head)
    table = after.partition("\n\n")[0].splitlines()[2:]
    return [[cell.strip() for cell in row.strip("|").split("|")] for row in table]


def test_differences_of_the_law_are_those_of_the_stored_runs():
    """Solver: the stored runs of `axisymmetric_swirl.py`; the page rounds to whole per cent."""
    rows = rows_under("| Re | H/R |")
    assert len(rows) == len(STORED["run"])
    for row, run in zip(rows, STORED["run"], strict=True):
        assert [float(row[0]), float(row[1])] == [run["re"], run["depth_over_radius"]]
        body = Body(0.1, 0.1 * run["depth_over_radius"], 960.0, 0.01 / run["re"])
        after = np.array(TIMES[1:]) * linear_spin_down_min(1.0, body)
        off = laminar_turning_left(after, 1.0, body) / run["momentum"][1:] - 1
        printed = [float(cell.removesuffix("%")) for cell in row[2:]]
        np.testing.assert_allclose(printed, 100 * off, atol=0.75)


def test_every_constant_is_on_the_page():
    """The page says of each whether it was measured, derived or chosen, as the code does."""
    rows = rows_under("| constant | value | range |")
    lines = [" | ".join(row) for row in rows]
    expected = [
        f"`{name}` | {of.value:g} | {of.low:g} to {of.high:g} | {of.basis} | {of.why}"
        for name, of in KNOWN.items()
    ]
    assert lines == expected
    assert len(re.findall(r"\| measured \|", PAGE)) < len(KNOWN) / 4
