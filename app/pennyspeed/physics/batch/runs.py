"""Many cars at once: top speeds, runs over the road in hand, speed over distance.

::

    car (n,) --> chunks --> pass 1, starting state --> charge and heat at the lift point
                              |                           |
                           top speed                      v
                                          pass 2, that state held --> road speed, lift, stop, trace

    each pass:  fast path (closed-form kinks, a dozen speeds per car)
    afterwards: cars that are not ordinary, or whose error indicator is too large, both passes
                again on the general path (scanned kinks, some hundred speeds)

Which path held is decided car by car, and told in `general_path`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from typing import TypeAlias

import numpy as np

from pennyspeed.physics.batch.arrays import SINGLE, BoolArray, pick, settled, single
from pennyspeed.physics.batch.braking import closed_stopping, tabled_stopping
from pennyspeed.physics.batch.folded import Folded, fold, in_state
from pennyspeed.physics.batch.general import general_ends, general_top
from pennyspeed.physics.batch.knees import CRAWL, fast_ends
from pennyspeed.physics.batch.panels import (
    Lift,
    Panels,
    Stopping,
    find_lift,
    integrate,
)
from pennyspeed.physics.batch.tops import fast_top, ordinary
from pennyspeed.physics.batch.traces import road_nodes, speeds_at
from pennyspeed.physics.car import Car, FloatArray, IntArray
from pennyspeed.physics.results import BatchPrediction

FIGURES = (
    "top_speed", "balance_speed", "road_speed", "lift_at", "stop_distance", "charge_used",
    "motor_rise", "held_state_of_charge", "held_motor_temperature",
)  # fmt: skip
"""Of the answer, in the order in which they are computed."""

TOP_CHUNK = 16384
RUN_CHUNK = 5120
GENERAL_CHUNK = 64
"""Cars taken at once: what stays in the processor's cache is several times faster."""

TOLERANCE = 2.0e-3
"""Error indicator above which a car is left to the general path. It overstates: where it is 1e-3,
road speeds are within 1e-4."""

# Freeing one large block makes glibc keep, and use again, what smaller arrays give back
# (mallopt(3), M_MMAP_THRESHOLD); else every temporary is paged in afresh. Elsewhere it is idle.
np.empty(16 * 2**20, dtype=np.uint8)


def top_speeds(car: Car, *, general: bool = False) -> FloatArray:
    """Top speed of each car on an endless road, starting state [m/s].

    Parameters
    ----------
    car : Car
        Figures plain or of shape ``(n,)``.
    general : bool
        Take the general path for every car.

    Returns
    -------
    array (n,)
        First zero of the net force above rest; 0 where the car cannot move.

    Raises
    ------
    ValueError
        Where figures differ in length.
    """
    car, count = settled(car)
    tops = np.zeros(count)
    sound = np.zeros(count, dtype=bool)
    with np.errstate(all="ignore"):
        if not general:
            for chunk in _chunks(count, TOP_CHUNK):
                size = chunk.stop - chunk.start
                folded = fold(single(pick(car, chunk)))
                found = fast_top(folded, size)
                moves = folded.acceleration(np.zeros(size, dtype=SINGLE)) > 0.0
                tops[chunk] = np.where(moves, found.speed, 0.0)
                sound[chunk] = (found.sound & ordinary(folded)) | ~moves
        left = np.flatnonzero(~sound)
        for chunk in _chunks(left.size, GENERAL_CHUNK):
            index = left[chunk]
            tops[index] = general_top(fold(pick(car, index)), index.size)
    return tops


def predict_many(car: Car, *, general: bool = False) -> BatchPrediction:
    """Top speed, and the run over each car's road, both passes.

    Parameters, errors as in :func:`top_speeds`.
    """
    return _predict(car, None, general)[0]


def predict_many_with_traces(
    car: Car, distance: FloatArray, *, general: bool = False
) -> tuple[BatchPrediction, FloatArray]:
    """As :func:`predict_many`, with :func:`road_traces` from the same work."""
    return _predict(car, distance, general)


def road_traces(car: Car, distance: FloatArray, *, general: bool = False) -> FloatArray:
    """Speed of each car over its road: under power to its lift point, then braking to rest.

    Parameters
    ----------
    car : Car
    distance : array (m,)
        From the start [m], rising.
    general : bool
        Take the general path for every car.

    Returns
    -------
    array (n, m)
        [m/s]; 0 past the stop.
    """
    return predict_many_with_traces(car, distance, general=general)[1]


@dataclass(slots=True)
class _Pass:
    """One pass over some cars, shapes ``(n,)``."""

    top: FloatArray
    balance: FloatArray
    """A guess for the next pass."""
    speed: FloatArray
    distance: FloatArray
    stop: FloatArray
    charge: FloatArray
    heat: FloatArray
    traces: FloatArray
    sound: BoolArray
    """Whether this path was the right one."""


Path: TypeAlias = Callable[[Car, int, Folded, _Pass | None, FloatArray], _Pass]
"""One pass of n cars, folded in the state held, after a first pass or none; traces on a grid."""


def _chunks(count: int, size: int) -> list[slice]:
    """Equal shares of at most `size`."""
    parts = -(-count // size)
    edges = [count * part // parts for part in range(parts + 1)] if parts else []
    return [slice(low, high) for low, high in pairwise(edges)]


def _predict(
    car: Car, distance: FloatArray | None, general: bool
) -> tuple[BatchPrediction, FloatArray]:
    car, count = settled(car)
    grid = np.zeros(0) if distance is None else np.asarray(distance, dtype=np.float64)
    out = np.zeros((len(FIGURES), count))
    traces = np.zeros((count, grid.size))
    on_general = np.ones(count, dtype=bool)

    def take(cars: IntArray, path: Path, chunk: int) -> IntArray:
        """Both passes of these cars; those for which the path was not the right one."""
        left = []
        for share in _chunks(cars.size, chunk):
            index = cars[share]
            # a slice shares memory where indices would copy thirty figures
            whole = index.size == count
            part = car if whole else pick(car, index)
            part = part if path is _general_pass else single(part)
            figures, traces[index], sound = _two_passes(part, index.size, grid, path)
            for row, figure in zip(out, figures, strict=True):
                row[index] = figure
            left.append(index[~sound])
        return np.concatenate(left)

    with np.errstate(all="ignore"):
        left: IntArray = np.arange(count)
        if not general and count:
            left = take(left, _fast_pass, RUN_CHUNK)
            on_general[:] = False
            on_general[left] = True
        if left.size:
            take(left, _general_pass, GENERAL_CHUNK)
    figures = dict(zip(FIGURES, out, strict=True))
    return BatchPrediction(**figures, general_path=on_general), traces


def _two_passes(
    car: Car, size: int, grid: FloatArray, path: Path
) -> tuple[tuple[FloatArray, ...], FloatArray, BoolArray]:
    """Figures of the answer, traces, whether the path held."""
    state, temperature = car.state_of_charge, car.motor_temperature
    fresh = fold(car)
    first = path(car, size, fresh, None, grid[:0])
    held = np.maximum(state - first.charge / np.maximum(car.capacity, 1.0e-9), 0.0)
    rise = first.heat / car.heat_capacity
    second = path(car, size, in_state(fresh, car, held, temperature + rise), first, grid)
    # where the net force vanishes on the way the distance may run off; the road holds all the same
    over = second.distance > car.road_length
    lift_at = np.where(over, np.maximum(car.road_length - second.stop, 0.0), second.distance)
    figures = (
        first.top,
        second.top,
        second.speed,
        lift_at,
        second.stop,
        second.charge,
        second.heat / car.heat_capacity,
        held,
        temperature + rise,
    )
    return figures, second.traces, first.sound & second.sound


def _fast_pass(car: Car, size: int, folded: Folded, first: _Pass | None, grid: FloatArray) -> _Pass:
    """One pass on the fast path."""
    tops = fast_top(folded, size, first.balance if first else None)
    ends, single, at_rest = fast_ends(folded, tops.speed, car.road_length)
    stopping, closed = closed_stopping(folded, tops.speed)
    panels = integrate(folded, ends)
    lift = find_lift(panels, stopping, car.road_length)
    usual = tops.sound & ordinary(folded) & single & closed & (at_rest > CRAWL)
    usual &= (_indicator(panels, lift, stopping) <= TOLERANCE) | (lift.speed <= 0.0)
    # a car that does not move is as sure as any: its net force at rest says so
    still = at_rest <= 0.0
    top = np.where(still, 0.0, tops.speed)
    answer = _answer(top, folded, panels, stopping, lift, grid)
    answer.balance, answer.sound = tops.balance, usual | still
    return answer


def _general_pass(
    car: Car, size: int, folded: Folded, first: _Pass | None, grid: FloatArray
) -> _Pass:
    """One pass on the general path, which starts afresh each time."""
    top = general_top(folded, size)
    panels = integrate(folded, general_ends(folded, top))
    stopping = tabled_stopping(folded, top)
    lift = find_lift(panels, stopping, car.road_length)
    return _answer(top, folded, panels, stopping, lift, grid)


def _answer(
    top: FloatArray,
    folded: Folded,
    panels: Panels,
    stopping: Stopping,
    lift: Lift,
    grid: FloatArray,
) -> _Pass:
    """What the panels say; zeros where a car does not move. Charge and heat are ∫ ... dv/a."""
    used = lift.total(panels, folded.uses(panels.speeds, panels.acceleration))
    stop = stopping.distance(lift.speed)
    figures = (lift.speed, lift.distance, stop, used[0], used[1])
    traces: FloatArray = np.zeros((top.shape[0], grid.size))
    if grid.size:
        traces = speeds_at(road_nodes(panels, lift, stopping), grid)
    moves = top > 0.0
    if not moves.all():
        for figure in figures:
            figure[~moves] = 0.0
        traces[~moves] = 0.0
    return _Pass(top, top, *figures, traces=traces, sound=np.ones(moves.shape, dtype=bool))


def _indicator(panels: Panels, lift: Lift, stopping: Stopping) -> FloatArray:
    """Estimate of the relative error in road speed: what the parabolas leave of h = (ρ+σ) v/a.

    With poles at distance d from the middle of a panel of half-width w, curvature is (w/d)², and
    the next terms of the series are its powers 3/2, which only a panel cut short feels, and 2.
    """
    shape = panels.distance
    middle = shape.c0 + 0.5 * shape.c1 + 0.25 * shape.c2
    curvature = np.abs(0.5 * shape.c2) / np.maximum(middle, 1.0e-12)
    part = middle * panels.width / (panels.rho + 0.5)
    count = lift.speed.shape[0]
    row = lift.panel // count
    whole = 0.13 * curvature * curvature * part
    whole[np.arange(whole.shape[0])[:, None] >= row] = 0.0
    last = curvature.ravel()[lift.panel]
    missed = whole.sum(axis=0) + 0.1 * last * np.sqrt(last) * part.ravel()[lift.panel]
    speed = np.maximum(lift.speed, 1.0e-9)
    pace = middle.ravel()[lift.panel] / (panels.rho.ravel()[lift.panel] + 0.5)
    return np.asarray(missed / ((pace + speed / stopping.deceleration(speed)) * speed))
