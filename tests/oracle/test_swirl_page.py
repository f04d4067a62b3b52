"""docs/whirlpool.md prints what the stored runs and the constants give."""

import re
import tomllib
from pathlib import Path

import numpy as np
import pytest
from axisymmetric_swirl import TIMES
from scipy.stats import qmc

from wortline.science.swirl_constants import KNOWN, swirl_constants_at
from wortline.science.swirl_kettle import SwirlKettle
from wortline.science.turning import Body, laminar_turning_left, linear_spin_down_min
from wortline.science.whirlpool import run

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
    for row, solved in zip(rows, STORED["run"], strict=True):
        assert [float(row[0]), float(row[1])] == [solved["re"], solved["depth_over_radius"]]
        body = Body(0.1, 0.1 * solved["depth_over_radius"], 960.0, 0.01 / solved["re"])
        after = np.array(TIMES[1:]) * linear_spin_down_min(1.0, body)
        off = laminar_turning_left(after, 1.0, body) / solved["momentum"][1:] - 1
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


def test_directions_hold_whatever_the_constants_and_ranges_are_those_printed():
    """A running pump is cloudier than a rest, no pump clearest; a whirlpool piles up. Always."""
    many = 400
    drawn = qmc.Halton(len(KNOWN), seed=1).random(many)
    constants = swirl_constants_at({name: drawn[:, i] for i, name in enumerate(KNOWN)})
    kettle = SwirlKettle(0.36 * np.ones(many), 30.0, 10.0, 0.010, 0.1)
    rested = run(kettle, 3.0, 15.0, constants)
    pumped = run(kettle, 18.0, 0.001, constants)
    still = run(kettle, 0.0, 18.0, constants)
    assert np.all(pumped.suspended_share > rested.suspended_share)
    assert np.all(rested.suspended_share > still.suspended_share)
    assert np.all(rested.cone_share > still.cone_share)
    assert np.all(rested.dusted_share < still.dusted_share)
    for row, each in zip(rows_under("| after 18 min |"), (rested, pumped, still), strict=True):
        shares = (each.suspended_share, each.cone_share, each.dusted_share)
        for cell, share in zip(row[1:], shares, strict=True):
            middle, low, high = (float(x) for x in re.findall(r"\d\.\d+", cell))
            quantiles = np.quantile(share, [0.5, 0.05, 0.95])
            np.testing.assert_allclose([middle, low, high], quantiles, atol=0.006)
    printed = re.search(r"clear: (\d+) min \((\d+) to (\d+)\); in (\d+) % of the draws", PAGE)
    assert printed
    minutes = np.nanquantile(rested.rest_min, [0.5, 0.05, 0.95])
    np.testing.assert_allclose([float(x) for x in printed.groups()[:3]], minutes, atol=0.6)
    assert float(printed[4]) == pytest.approx(100 * np.mean(np.isnan(rested.rest_min)), abs=0.6)
