"""Swirling flow in a round kettle, solved on a grid: the slow, independent way.

The axisymmetric Navier-Stokes equations for streamfunction, azimuthal vorticity and angular
momentum, with nothing modelled: floor and side wall hold the liquid, the surface is flat and lets
it slip. Everything is counted in the radius, the first turn rate and the radius times that rate, so
one run is given by the Reynolds number `re` (turn rate x radius squared / kinematic viscosity) and
by the depth over the radius. It shares no line and no constant with the reduced model of `science`.

Radial and vertical velocity stand on the sides of the cells, the streamfunction and the vorticity
on their corners, angular momentum `r v` in their middles. Velocity follows from the streamfunction,
so no cell gains or loses liquid. Advection is central and taken twice in a step (Heun), friction
implicit, one direction after the other (Douglas), in a form whose steady state does not depend on
the step. The streamfunction is found exactly, by the eigenvectors of the two directions (Lynch, R.
E., Rice, J. R., Thomas, D. H. (1964). Numerische Mathematik 6, 185-199). What drives the flow is
made free of divergence before friction acts on it: otherwise the unbalanced v2/r would be smeared
and drive a flow itself.
"""

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from scipy.linalg import eigh

Array = np.ndarray
FREE = None
"""The turn rate of a surface that drags nothing."""


def crowded(cells: int, length: float, pull: float) -> Array:
    """Return the sides of cells from 0 to `length` that are finer towards 0."""
    return length * (1.0 - np.tanh(pull * (1.0 - np.linspace(0, 1, cells + 1))) / np.tanh(pull))


def crowded_at_both_ends(cells: int, length: float, pull: float) -> Array:
    """Return the sides of cells from 0 to `length` that are finer towards both ends."""
    return 0.5 * length * (1 + np.tanh(pull * np.linspace(-1, 1, cells + 1)) / np.tanh(pull))


@dataclass(frozen=True)
class Vessel:
    """The walls: depth over radius, and the turn rate of each; a surface that is FREE lets slip."""

    depth: float = 1.0
    floor: float | None = 0.0
    side: float | None = 0.0
    top: float | None = FREE


@dataclass
class Record:
    """What was noted while a run went on; all in radii, and turns at the start."""

    t: list[float] = field(default_factory=list)
    momentum: list[float] = field(default_factory=list)
    """Angular momentum over that of rigid rotation at the first rate."""
    core: list[float] = field(default_factory=list)
    """Turn rate within 0.3 radii of the axis, above 0.15 of the depth."""
    floor_torque: list[float] = field(default_factory=list)
    side_torque: list[float] = field(default_factory=list)
    inflow: list[float] = field(default_factory=list)
    """Flow inwards along the floor through 0.4 radii."""

    def at(self, what: str, t: float | Array) -> Array:
        """Return a column at a time."""
        return np.interp(t, self.t, getattr(self, what))


class Swirl:
    """The flow at one moment, and the way to the next."""

    def __init__(self, re: float, radial: Array, vertical: Array, vessel: Vessel, *, flows=True):
        """Start rigid rotation at rate 1; `flows=False` forbids all flow inwards and upwards."""
        self.nu, self.vessel, self.flows, self.t = 1.0 / re, vessel, flows, 0.0
        self.r, self.z = radial, vertical
        self.rc, self.zc = (0.5 * (x[1:] + x[:-1]) for x in (radial, vertical))
        self.dr, self.dz = np.diff(radial), np.diff(vertical)
        self.drc, self.dzc = np.diff(self.rc), np.diff(self.zc)
        self.gamma = np.repeat(self.rc[:, None] ** 2, len(self.zc), axis=1)
        self.driven = np.zeros_like(self.gamma)  # angular momentum given, per time
        self.u = np.zeros((len(self.rc) - 1, len(self.zc)))
        self.w = np.zeros((len(self.rc), len(self.zc) - 1))
        self.psi = np.zeros((len(radial), len(vertical)))
        self._lay_poisson()
        self._lay_friction()
        self._step_of: dict[float, list[Array]] = {}

    def _lay_poisson(self) -> None:
        stiff_r = _stiffness(1 / (self.rc * self.dr))
        stiff_z = _stiffness(1 / self.dz)
        inside = self.r[1:-1]
        rates_r, self._modes_r = eigh(stiff_r, np.diag(self.drc / inside))
        rates_z, self._modes_z = eigh(stiff_z, np.diag(self.dzc))
        self._into_r = self._modes_r.T * self.drc
        self._into_z = self.dzc[:, None] * self._modes_z
        self._rates = rates_r[:, None] + rates_z

    def _lay_friction(self) -> None:
        r, rc, dr, drc, dz, dzc = self.r, self.rc, self.dr, self.drc, self.dz, self.dzc
        vessel = self.vessel
        # shares of the difference that passes each side of a cell; walls are half a cell away
        side, floor, top = (
            0.0 if turns is FREE else 2 / width
            for turns, width in ((vessel.side, dr[-1]), (vessel.floor, dz[0]), (vessel.top, dz[-1]))
        )
        through_r = np.concatenate([[0.0], r[1:-1] ** 3 / drc, [r[-1] ** 3 * side]])
        through_z = np.concatenate([[floor], 1 / dzc, [top]])
        self._gamma_r = _exchange(through_r, rc * dr) / rc**2
        self._gamma_z = _exchange(through_z, dz)
        self._walls = np.zeros_like(self.gamma)
        self._walls[-1] += through_r[-1] * (vessel.side or 0.0) / (rc[-1] * dr[-1])
        self._walls[:, 0] += floor * (vessel.floor or 0.0) * rc**2 / dz[0]
        self._walls[:, -1] += top * (vessel.top or 0.0) * rc**2 / dz[-1]
        self._w_r = _exchange(np.concatenate([[0.0], r[1:-1] / drc, [r[-1] * side]]), rc * dr)
        self._w_z = -_stiffness(1 / dz) / dzc[:, None]
        self._u_r = -_stiffness(1 / (rc * dr)) / drc[:, None] * r[1:-1]
        self._u_z = self._gamma_z

    def _implicit(self, dt: float) -> list[Array]:
        if dt not in self._step_of:
            both = [(self._gamma_r, self._gamma_z), (self._u_r, self._u_z), (self._w_r, self._w_z)]
            self._step_of[dt] = [
                np.linalg.inv(np.eye(len(x)) - dt * self.nu * x)
                for r_matrix, z_matrix in both
                for x in (r_matrix, z_matrix.T)
            ]
        return self._step_of[dt]

    def _streamfunction(self, u: Array, w: Array) -> Array:
        curl = np.diff(u, axis=1) / self.dzc - np.diff(w, axis=0) / self.drc[:, None]
        psi = np.zeros_like(self.psi)
        modes = self._into_r @ curl @ self._into_z / self._rates
        psi[1:-1, 1:-1] = self._modes_r @ modes @ self._modes_z.T
        return psi

    def _velocity(self, psi: Array) -> tuple[Array, Array]:
        u = -np.diff(psi[1:-1], axis=1) / (self.r[1:-1, None] * self.dz)
        w = np.diff(psi[:, 1:-1], axis=0) / (self.rc * self.dr)[:, None]
        return u, w

    def _carried(self, psi: Array, u: Array, w: Array, gamma: Array) -> tuple[Array, Array, Array]:
        """What advection and the pull outwards of the swirl do to the three."""
        turn = gamma / self.rc[:, None] ** 2
        push_u = (0.5 * (turn[1:] + turn[:-1])) ** 2 * self.r[1:-1, None]
        push_w = np.zeros_like(w)
        change = np.zeros_like(gamma)
        if not self.flows:
            return change, push_u, push_w
        curl = np.diff(u, axis=1) / self.dzc - np.diff(w, axis=0) / self.drc[:, None]
        across = 0.5 * (w[1:] + w[:-1]) * curl
        push_u[:, :-1] -= 0.5 * across
        push_u[:, 1:] -= 0.5 * across
        along = 0.5 * (u[:, 1:] + u[:, :-1]) * curl
        push_w[:-1] += 0.5 * along
        push_w[1:] += 0.5 * along
        out = -np.diff(psi[1:-1], axis=1) * _between(gamma, self.dr)
        up = np.diff(psi[:, 1:-1], axis=0) * _between(gamma.T, self.dz).T
        change[:-1] -= out
        change[1:] += out
        change[:, :-1] -= up
        change[:, 1:] += up
        return change / ((self.rc * self.dr)[:, None] * self.dz), push_u, push_w

    def step(self, dt: float) -> None:
        """Go on by `dt`."""
        g_r, g_z, u_r, u_z, w_r, w_z = self._implicit(dt)
        gamma, u, w, psi = self.gamma, self.u, self.w, self.psi
        rub_g = (
            self.nu * (self._gamma_r @ gamma + gamma @ self._gamma_z.T + self._walls) + self.driven
        )
        rub_u = self.nu * (self._u_r @ u + u @ self._u_z.T)
        rub_w = self.nu * (self._w_r @ w + w @ self._w_z.T)
        first = now = self._carried(psi, u, w, gamma)
        for share in (0.0, 0.5):
            carried = [share * a + (1 - share) * b for a, b in zip(first, now, strict=True)]
            self.gamma = gamma + dt * g_r @ (carried[0] + rub_g) @ g_z
            if not self.flows:
                continue
            free = self._streamfunction(carried[1] + rub_u, carried[2] + rub_w)
            free_u, free_w = self._velocity(free)
            self.psi = psi + dt * self._streamfunction(u_r @ free_u @ u_z, w_r @ free_w @ w_z)
            self.u, self.w = self._velocity(self.psi)
            now = self._carried(self.psi, self.u, self.w, self.gamma)
        self.t += dt

    def run(
        self,
        until: float,
        *,
        courant: float = 0.8,
        longest: float = np.inf,
        each: Callable[["Swirl", float], None] | None = None,
    ) -> Record:
        """Go on until a time; steps are powers of two, as long as the flow allows."""
        record = Record()
        self.note(record)
        while self.t < until * (1 - 1e-9):
            dt = min(courant * self.allowed(), longest, 0.02 + 0.1 * self.t)
            dt = 2.0 ** np.floor(np.log2(dt))
            self.step(dt)
            if each is not None:
                each(self, dt)
            self.note(record)
        return record

    def allowed(self) -> float:
        """The time in which nothing crosses more than a cell, or turns by more than 0.25."""
        out = np.max(np.abs(self.u) / np.minimum(self.dr[1:], self.dr[:-1])[:, None], initial=1e-9)
        up = np.max(np.abs(self.w) / np.minimum(self.dz[1:], self.dz[:-1]), initial=1e-9)
        turns = np.max(np.abs(self.gamma[:, -1] / self.rc**2))
        return float(1 / (out + up + 4 * turns))

    def note(self, record: Record) -> None:
        """Put this moment into a record."""
        weights = (self.rc * self.dr)[:, None] * self.dz
        rigid = self.vessel.depth / 4
        floor, side = self.torques()
        record.t.append(self.t)
        record.momentum.append(float(np.sum(self.gamma * weights)) / rigid)
        record.core.append(self.core())
        record.floor_torque.append(floor / rigid)
        record.side_torque.append(side / rigid)
        record.inflow.append(float(self.inflow(0.4)))

    def core(self) -> float:
        """The turn rate within 0.3 radii of the axis, clear of the floor, the mean over depth."""
        near, above = self.rc < 0.3, self.zc > 0.15 * self.vessel.depth
        weights = (self.rc * self.dr)[near]
        mean = self.gamma[near][:, above] @ self.dz[above] / np.sum(self.dz[above])
        return float(weights @ mean / (weights @ self.rc[near] ** 2))

    def torques(self) -> tuple[float, float]:
        """The torque of floor and side wall on the liquid, per 2 pi density, from the gradients."""
        floor = self.vessel.floor
        side = self.vessel.side
        pulled = rubbed = 0.0
        if floor is not FREE:
            missing = floor * self.rc**2 - self.gamma[:, 0]
            pulled = self.nu * float(np.sum(missing * self.rc * self.dr)) / (self.dz[0] / 2)
        if side is not FREE:
            missing = (side - self.gamma[-1] / self.rc[-1] ** 2) * self.r[-1] ** 3
            rubbed = self.nu * float(np.sum(missing * self.dz)) / (self.dr[-1] / 2)
        return pulled, rubbed

    def inflow(self, radius: float) -> float:
        """The flow inwards through a radius, within five thicknesses of the bottom layer."""
        layer = self.z < 5 * np.sqrt(self.nu / max(self.core(), 1e-9))
        through = np.array([np.interp(radius, self.r, x) for x in self.psi.T[layer]])
        return float(2 * np.pi * np.max(through))


def _stiffness(weights: Array) -> Array:
    """The symmetric matrix of second differences between ends that are held at nought."""
    inner = weights[1:-1]
    return np.diag(weights[:-1] + weights[1:]) - np.diag(inner, 1) - np.diag(inner, -1)


def _exchange(through: Array, size: Array) -> Array:
    """The matrix of what passes between cells of a size, the walls at nought."""
    inner = through[1:-1]
    matrix = -np.diag(through[:-1] + through[1:]) + np.diag(inner, 1) + np.diag(inner, -1)
    return matrix / size[:, None]


def _between(values: Array, width: Array) -> Array:
    """Values on the sides between cells, along a straight line."""
    share = (width[:-1] / (width[:-1] + width[1:]))[:, None]
    return values[:-1] * (1 - share) + values[1:] * share


def kettle(
    re: float, depth: float, cells: tuple[int, int], *, pull: float = 1.6, turning: float = 0.0
) -> Swirl:
    """Return a kettle of liquid in rigid rotation whose walls turn at another rate from now on."""
    radial = 1.0 - crowded(cells[0], 1.0, pull)[::-1]
    radial[0] = 0.0
    vertical = crowded(cells[1], depth, pull)
    return Swirl(re, radial, vertical, Vessel(depth, floor=turning, side=turning))


TIMES = (0.1, 0.25, 0.5, 1.0, 2.0, 4.0)
"""When the rotation that is left is noted, in depth / sqrt(viscosity x first rate)."""
EARLY = (0.1, 0.2, 0.3, 0.4, 0.5)
"""When the core is noted: before what the side wall has slowed gets there."""
RUNS = (
    (1000.0, 1.0, (48, 64)),
    (5000.0, 0.5, (64, 80)),
    (5000.0, 1.0, (64, 96)),
    (5000.0, 2.0, (64, 128)),
    (10000.0, 1.0, (64, 96)),
)
"""Reynolds number, depth over radius and cells of the stored runs."""


def spun_down(
    re: float, depth: float, cells: tuple[int, int], *, until: float = 4.0, courant: float = 0.8
) -> dict:
    """Return what a spin-down to rest gives; times in depth / sqrt(viscosity x first rate)."""
    swirl = kettle(re, depth, cells)
    unit = depth * np.sqrt(re)
    record = swirl.run(until * unit, courant=courant)
    t = np.array(record.t)
    floor, side = np.array(record.floor_torque), np.array(record.side_torque)
    # of the first instant, the walls just stopped, a trapezoid makes too much
    later = t > 0.01 * unit
    lost = record.momentum[np.argmax(later)] - record.momentum[-1]
    steady = (t > 0.1 * unit) & (t < unit)
    layer = 1.3494 * np.pi * 0.4**2 * np.sqrt(np.array(record.core) / re)
    return {
        "re": re,
        "depth_over_radius": depth,
        "cells": list(cells),
        "momentum": [float(record.at("momentum", x * unit)) for x in TIMES if x <= until],
        "core": [float(record.at("core", x * unit)) for x in EARLY],
        "side_over_floor": float(
            np.trapezoid(side[steady], t[steady]) / np.trapezoid(floor[steady], t[steady])
        ),
        "inflow_over_layer": float(np.mean((np.array(record.inflow) / layer)[steady])),
        "torque_over_loss": float(-np.trapezoid((floor + side)[later], t[later]) / lost),
    }


def stored_text() -> str:
    """The stored runs as TOML."""
    lines = [
        "# Spin-down to rest, solved on a grid. Made by",
        "#     python tests/oracle/axisymmetric_swirl.py > tests/oracle/swirl_solver.toml",
        f"# momentum at {TIMES}, core at {EARLY}, times in depth / sqrt(viscosity x first rate).",
    ]
    for re, depth, cells in RUNS:
        lines.append("\n[[run]]")
        for name, value in spun_down(re, depth, cells).items():
            rounded = np.round(value, 4).tolist() if name not in ("re", "cells") else value
            lines.append(f"{name} = {rounded}")
    return "\n".join(lines)


if __name__ == "__main__":
    print(stored_text())
