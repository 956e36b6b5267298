"""The general path: right for any car, slope and wind, at some hundred speeds per car.

Nothing is assumed about the shape of the forces. The top speed is the first zero met by a scan
from rest; kinks are where any two limits change places on a second scan, each then solved within
its cell; between them lie panels that crowd towards rest, towards v* and wherever the car gains
speed slowly.
"""

from __future__ import annotations

from typing import cast

import numpy as np

from pennyspeed.physics.batch.arrays import bracketed_root, pick
from pennyspeed.physics.batch.folded import Folded
from pennyspeed.physics.car import FloatArray

SCAN = 400
"""Speeds at which the first zero of the net force is looked for."""

MOST_ROUNDS = 40
"""Evaluations that a bracketed zero is given."""

_EVEN = np.linspace(0.0, 1.0, 65)
_TO_TOP = 1.0 - 2.0 ** (-np.arange(1.0, 20.5, 0.5))
_FROM_REST = 2.0 ** -np.arange(7.0, 15.0)
SHARES = np.array(sorted({*_EVEN.tolist(), *_TO_TOP.tolist(), *_FROM_REST.tolist()}))
"""Panel ends as shares of v*, before kinks are added."""

SLOW = 24
"""Panel ends added at equal times of the run, up to `_ALMOST` of v*."""

_ALMOST = 0.98
_KINK_WIDTH = 1.0e-7
"""A kink is closed in by panel ends this share of its speed apart: currents may jump there."""


def general_top(car: Folded, count: int) -> FloatArray:
    """First zero of the net force above rest [m/s], 0 where the car cannot move."""
    free = car.voltage * (1.0 + car.growth_max) / car.lever
    # past the motor's free speed only the slope drives, and the drag alone holds it there
    downhill = np.sqrt(np.maximum(-car.grade, 0.0) / car.drag) + np.abs(car.wind)
    highest = np.broadcast_to(np.maximum(free, downhill) * 1.001 + 1.0e-3, (count,))
    speeds = highest * np.linspace(0.0, 1.0, SCAN + 1)[:, None]
    net = car.acceleration(speeds)
    over = net <= 0.0
    over[-1] = True
    first = np.argmax(over, axis=0)
    cell = np.maximum(first, 1)
    cars = np.arange(count)
    top = bracketed_root(
        car.acceleration,
        speeds[cell - 1, cars],
        speeds[cell, cars],
        net[cell - 1, cars],
        net[cell, cars],
        MOST_ROUNDS,
        close=1.0e-12,
    )
    return np.where(first == 0, 0.0, top)


def general_ends(car: Folded, top: FloatArray) -> FloatArray:
    """Ends of the panels from 0 to v*, kinks among them, shape ``(panels + 1, n)``."""
    speeds = top * SHARES[:, None]
    growth2 = np.maximum(car.growth2, 1.0e-30)
    cap = np.broadcast_to(np.sqrt(car.growth_max / growth2), top.shape)
    kinks = np.concatenate((_kinks(car, speeds), cap[None]))
    kinks = np.concatenate((kinks * (1.0 - _KINK_WIDTH), kinks * (1.0 + _KINK_WIDTH)))
    # beyond, or so near v* that rounding would matter: folded back onto rest
    kinks = np.where(kinks < (1.0 - 1.0e-6) * top, kinks, 0.0)
    ends = np.concatenate((speeds, _slow_places(car, speeds), kinks))
    ends.sort(axis=0)
    return ends


def _slow_places(car: Folded, speeds: FloatArray) -> FloatArray:
    """Speeds at equal times of a coarse run: they crowd where the acceleration is small."""
    grid = speeds[SHARES <= _ALMOST]
    pace = 1.0 / np.maximum(car.acceleration(grid), 1.0e-6)
    time = np.zeros_like(grid)
    np.cumsum(0.5 * (pace[1:] + pace[:-1]) * np.diff(grid, axis=0), axis=0, out=time[1:])
    total = np.maximum(time[-1], 1.0e-12)
    # one lookup for all cars: each car's share of its time, shifted by its number
    shift = 2.0 * np.arange(grid.shape[1])
    wanted = np.arange(1.0, SLOW + 1.0)[:, None] / (SLOW + 1.0)
    places = np.interp((wanted + shift).ravel(), (time / total + shift).T.ravel(), grid.T.ravel())
    return cast(FloatArray, places.reshape(SLOW, -1))


def _kinks(car: Folded, speeds: FloatArray) -> FloatArray:
    """Zeros of the switches between the speeds given; rows are filled up with 0."""
    count = speeds.shape[1]
    signs = car.switches(speeds)
    changed = (signs[:, 1:] > 0.0) != (signs[:, :-1] > 0.0)
    switch, cell, cars = np.nonzero(changed)
    if cars.size == 0:
        return np.zeros((1, count))
    few = pick(car, cars)
    entry = np.arange(cars.size)
    found = bracketed_root(
        lambda speed: few.switches(speed)[switch, entry],
        speeds[cell, cars],
        speeds[cell + 1, cars],
        signs[switch, cell, cars],
        signs[switch, cell + 1, cars],
        16,
        close=1.0e-8,
    )
    order = np.argsort(cars, kind="stable")
    ordered = cars[order]
    rank = entry - np.searchsorted(ordered, ordered)
    kinks = np.zeros((int(rank.max()) + 1, count))
    kinks[rank, ordered] = found[order]
    return kinks
