"""Reads the typical values in `wortline.data` and hands them down."""

import csv
import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import IO, Any

import numpy as np
import numpy.typing as npt

Row = Mapping[str, str]


def _open(name: str) -> IO[bytes]:
    return files("wortline.data").joinpath(name).open("rb")


@cache
def toml(name: str) -> Mapping[str, Any]:
    """A TOML table of the package."""
    with _open(name) as stream:
        return tomllib.load(stream)


@cache
def rows(name: str) -> Mapping[str, Row]:
    """A CSV table of the package by name and by alias, both in lower case."""
    with _open(name) as stream:
        lines = stream.read().decode("utf-8").splitlines()
    found: dict[str, Row] = {}
    for row in csv.DictReader(lines):
        for key in (row["name"], *row["aliases"].split(";")):
            if key:
                found[key.strip().lower()] = row
    return found


def known(table: str, name: str) -> Row | None:
    """The row of a table with this name or alias; None if there is none."""
    return rows(table).get(" ".join(name.lower().split()))


@cache
def normal_draws() -> npt.NDArray[np.float64]:
    """The fixed table of low-discrepancy normal draws, shape (members, columns)."""
    with _open("draws.npy") as stream:
        table: npt.NDArray[np.float64] = np.load(stream, allow_pickle=False).astype(np.float64)
    return table


def text(name: str) -> str:
    """A text file of the package."""
    with _open(name) as stream:
        return stream.read().decode("utf-8")
