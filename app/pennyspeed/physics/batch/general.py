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
from pennyspeed.physics.car import FloatArray, Floats, IntArray

_SCAN = np.linspace(0.0, 1.0, 321)
_TO_FREE = np.linspace(0.0, 1.05, 97)[1:]
_ABOUT_WIND = np.concatenate((2.0 ** -np.arange(4.0, 12.0), np.linspace(0.0, 1.5, 25)[1:]))
"""Where the first zero of the net force is looked for: shares of a speed certainly past it, of the
motor's free speed and of the wind's."""

DEEP = 0.75
"""A value of the scan below this share of a neighbour's may hide a zero beside it."""

MARGIN = 1.5
"""On the speed that the greatest acceleration would reach at the end of the road."""

MOST_ROUNDS = 40
"""Evaluations that a bracketed zero is given."""

_EVEN = np.linspace(0.0, 1.0, 65)
_TO_TOP = 1.0 - 2.0 ** (-np.arange(1.0, 20.5, 0.5))
_FROM_REST = 2.0 ** -np.arange(7.0, 15.0)
SHARES = np.array(sorted({*_EVEN.tolist(), *_TO_TOP.tolist(), *_FROM_REST.tolist()}))
"""Panel ends as shares of the speed in reach, before kinks are added."""

SLOW = 24
"""Panel ends added at equal times of the run, up to `_ALMOST` of v*."""

_BEYOND = np.array([0.25, 0.5, 0.7, 0.85, 0.95, 1.0])
_ALMOST = 0.98
_GOLDEN = 0.6180339887498949
_GOLDEN_STEPS = 40
_KINK_WIDTH = 1.0e-7
"""A kink is closed in by panel ends this share of its speed apart: currents may jump there."""


def general_top(car: Folded, count: int) -> FloatArray:
    """First zero of the net force above rest [m/s], 0 where the car cannot move."""
    free = np.broadcast_to(car.voltage * (1.0 + car.growth_max) / car.lever, (count,))
    # past the motor's free speed only the slope drives, and the drag alone holds it there
    downhill = np.sqrt(np.maximum(-car.grade, 0.0) / car.drag) + np.abs(car.wind)
    highest = np.broadcast_to(np.maximum(free, downhill) * 1.001 + 1.0e-3, (count,))
    wind = np.broadcast_to(np.abs(car.wind), (count,))
    speeds = np.concatenate(
        (highest * _SCAN[:, None], free * _TO_FREE[:, None], wind * _ABOUT_WIND[:, None])
    )
    np.minimum(speeds, highest, out=speeds)
    speeds.sort(axis=0)
    net = car.acceleration(speeds)
    over = net <= 0.0
    over[-1] = True
    first = np.argmax(over, axis=0)
    cell = np.maximum(first, 1)
    cars = np.arange(count)
    low, high = speeds[cell - 1, cars], speeds[cell, cars]
    at_low, at_high = net[cell - 1, cars], net[cell, cars]
    for place, ends in _dips(car, speeds, net, first):
        low[place], high[place], at_low[place], at_high[place] = ends
    top = bracketed_root(car.acceleration, low, high, at_low, at_high, MOST_ROUNDS, close=1.0e-12)
    return np.where(first == 0, 0.0, top)


def _dips(
    car: Folded, speeds: FloatArray, net: FloatArray, first: IntArray
) -> list[tuple[int, tuple[float, float, float, float]]]:
    """Cars whose net force dips to zero unseen before the first zero of the scan, with brackets.

    A dip shows as a value far below its neighbours'; its bottom is found by golden section.
    """
    lower = np.maximum(net[:-2], net[2:])
    row = np.arange(1, net.shape[0] - 1)[:, None]
    deep = (net[1:-1] <= net[:-2]) & (net[1:-1] <= net[2:]) & (net[1:-1] < DEEP * lower)
    place, cars = np.nonzero(deep & (row < first))
    if not cars.size:
        return []
    few = pick(car, cars)
    low, high = speeds[place, cars], speeds[place + 2, cars]
    left, right = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
    at_left, at_right = few.acceleration(left), few.acceleration(right)
    for _ in range(_GOLDEN_STEPS):
        lesser = at_left < at_right
        low, high = np.where(lesser, low, left), np.where(lesser, right, high)
        probe = np.where(lesser, high - _GOLDEN * (high - low), low + _GOLDEN * (high - low))
        value = few.acceleration(probe)
        left, right = np.where(lesser, probe, right), np.where(lesser, left, probe)
        at_left, at_right = np.where(lesser, value, at_right), np.where(lesser, at_left, value)
    bottom, least = np.where(at_left < at_right, left, right), np.minimum(at_left, at_right)
    found = {}
    for i in np.flatnonzero(least <= 0.0)[::-1].tolist():
        # places rise, so the first dip of a car is the last one written
        start, which = place[i], int(cars[i])
        found[which] = (speeds[start, which], bottom[i], net[start, which], least[i])
    return list(found.items())


def general_ends(car: Folded, top: FloatArray, road: Floats) -> FloatArray:
    """Ends of the panels from 0 to v*, kinks among them, shape ``(panels + 1, n)``.

    They crowd in the speeds that the road [m] lets the car reach.
    """
    most = car.acceleration(top * SHARES[:, None]).max(axis=0)
    reach = np.minimum(top, MARGIN * np.sqrt(2.0 * road * np.maximum(most, 0.0)))
    speeds = np.concatenate((reach * SHARES[:-1, None], top * _BEYOND[:, None]))
    speeds.sort(axis=0)
    growth2 = np.maximum(car.growth2, 1.0e-30)
    cap = np.broadcast_to(np.sqrt(car.growth_max / growth2), top.shape)
    kinks = np.concatenate((_kinks(car, speeds), cap[None]))
    kinks = np.concatenate((kinks * (1.0 - _KINK_WIDTH), kinks * (1.0 + _KINK_WIDTH)))
    # beyond, or so near v* that rounding would matter: folded back onto rest
    kinks = np.where(kinks < (1.0 - 1.0e-6) * top, kinks, 0.0)
    ends = np.concatenate((speeds, _slow_places(car, reach * SHARES[:, None]), kinks))
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
    signs = np.stack(np.broadcast_arrays(*car.switches(speeds)))
    changed = (signs[:, 1:] > 0.0) != (signs[:, :-1] > 0.0)
    switch, cell, cars = np.nonzero(changed)
    if cars.size == 0:
        return np.zeros((1, count))
    few = pick(car, cars)
    entry = np.arange(cars.size)
    found = bracketed_root(
        lambda speed: np.stack(np.broadcast_arrays(*few.switches(speed)))[switch, entry],
        speeds[cell, cars],
        speeds[cell + 1, cars],
        signs[switch, cell, cars],
        signs[switch, cell + 1, cars],
        MOST_ROUNDS,
        close=1.0e-8,
    )
    order = np.argsort(cars, kind="stable")
    ordered = cars[order]
    rank = entry - np.searchsorted(ordered, ordered)
    kinks = np.zeros((int(rank.max()) + 1, count))
    kinks[rank, ordered] = found[order]
    return kinks
