"""Many cars at once: top speeds, runs over the road in hand, speed over distance.

::

    car (n,) --> chunks --> pass 1, starting state --> charge and heat at the lift point
                              |                           |
                           top speed                      v
                                          pass 2, that state held --> road speed, lift, stop, trace

    fast path: closed-form kinks, a dozen and a half speeds per car
    again, each panel cut in three: cars on which the parabolas leave too much, or that are strange
    general path: cars that are not ordinary, scanned kinks, some hundred speeds

Which path holds is decided car by car; `general_path` tells where it was the last.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from itertools import pairwise
from typing import TypeAlias

import numpy as np

from pennyspeed.physics.batch.arrays import SINGLE, BoolArray, pick, settled, single
from pennyspeed.physics.batch.braking import closed_stopping, tabled_stopping
from pennyspeed.physics.batch.folded import Folded
from pennyspeed.physics.batch.folding import fold, in_state
from pennyspeed.physics.batch.general import general_ends, general_top
from pennyspeed.physics.batch.indicators import MOST_BEND, TOLERANCE, bend, missed
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
from pennyspeed.physics.road import usable_road

FIGURES = (
    "top_speed", "balance_speed", "road_speed", "lift_at", "stop_distance", "charge_used",
    "motor_rise", "held_state_of_charge", "held_motor_temperature",
)  # fmt: skip
"""Of the answer, in the order in which they are computed."""

TOP_CHUNK = 16384
RUN_CHUNK = 5120
GENERAL_CHUNK = 256
"""Cars taken at once: what stays in the processor's cache is several times faster."""

OFF_ROAD = 1.0e-4
"""Share of the road that the fast path's lift point may be off."""

MOST_STEPS = 80
"""To a lift point on the general path; nearly all take a handful."""

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
                at_rest = folded.acceleration(np.zeros(size, dtype=SINGLE))
                still = at_rest <= -CRAWL
                tops[chunk] = np.where(still, 0.0, found.speed)
                sound[chunk] = (found.sound & ordinary(folded) & (at_rest > CRAWL)) | still
        left = np.flatnonzero(~sound)
        for chunk in _chunks(left.size, GENERAL_CHUNK):
            index = left[chunk]
            tops[index] = general_top(fold(pick(car, index)), index.size)
    return tops


def predict_many(car: Car, *, general: bool = False) -> BatchPrediction:
    """Top speed, and the run over each car's road, both passes.

    Parameters
    ----------
    car : Car
        Figures plain or of shape ``(n,)``.
    general : bool
        Take the general path for every car.

    Raises
    ------
    ValueError
        Where figures differ in length.
    """
    return _predict(car, None, general)[0]


def predict_many_with_traces(
    car: Car, distance: FloatArray, *, general: bool = False
) -> tuple[BatchPrediction, FloatArray]:
    """As :func:`predict_many`, with the speed of each car over its road from the same work.

    Parameters
    ----------
    distance : array (m,)
        From the start [m], rising.

    Returns
    -------
    BatchPrediction, array (n, m)
        [m/s]; under power to the lift point, then braking to rest, 0 past the stop.
    """
    return _predict(car, distance, general)


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
    bend: FloatArray
    """How much the parabolas of charge and heat bend, the worse of the two."""


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
    car, count = settled(replace(car, road_length=usable_road(car)))
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
            # cut in three, for cars on which the parabolas bend too much
            for path in (_fast_pass, partial(_fast_pass, cuts=3)):
                left = take(left, path, RUN_CHUNK) if left.size else left
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
    figures = (
        first.top, second.top, second.speed, second.distance, second.stop,
        second.charge, second.heat / car.heat_capacity, held, temperature + rise,
    )  # fmt: skip
    return figures, second.traces, first.sound & second.sound


def _fast_pass(
    car: Car, size: int, folded: Folded, first: _Pass | None, grid: FloatArray, cuts: int = 1
) -> _Pass:
    """One pass on the fast path, each panel cut in so many."""
    tops = fast_top(folded, size, first.balance if first else None)
    ends, single, at_rest = fast_ends(folded, tops.speed, car.road_length, cuts)
    stopping, closed = closed_stopping(folded, tops.speed)
    panels = integrate(folded, ends)
    lift = find_lift(panels, stopping, car.road_length)
    usual = tops.sound & single & closed & (at_rest > CRAWL)
    usual &= np.abs(lift.excess) <= OFF_ROAD * car.road_length
    # a car that does not move is as sure as any: its net force at rest says so, and no rounding
    still = at_rest <= -CRAWL
    top = np.where(still, 0.0, tops.speed)
    answer = _answer(top, folded, panels, stopping, lift, grid, first is not None)
    if first:
        # what slope and wind are does not change; what the first pass says, which state the second
        # one holds, need not be as exact
        usual &= ordinary(folded) & (answer.bend <= MOST_BEND)
        usual &= (missed(panels, lift, stopping) <= TOLERANCE) | (lift.speed <= 0.0)
    answer.balance, answer.sound = tops.balance, usual | still
    return answer


def _general_pass(
    car: Car, size: int, folded: Folded, first: _Pass | None, grid: FloatArray
) -> _Pass:
    """One pass on the general path, which starts afresh each time."""
    top = general_top(folded, size)
    panels = integrate(folded, general_ends(folded, top, car.road_length))
    stopping = tabled_stopping(folded, top)
    lift = find_lift(panels, stopping, car.road_length, MOST_STEPS)
    return _answer(top, folded, panels, stopping, lift, grid, steady=True)


def _answer(
    top: FloatArray,
    folded: Folded,
    panels: Panels,
    stopping: Stopping,
    lift: Lift,
    grid: FloatArray,
    second: bool = False,
    steady: bool = False,
) -> _Pass:
    """What the panels say; zeros where a car does not move. Charge and heat are ∫ ... dv/a.

    `second` asks for the bend of the second pass, `steady` for what cruising at v* needs: where
    electrics fall off just below it that is far from what they give there.
    """
    cruise = None
    if steady:
        _, along = folded.motion(panels.ends[-1:])
        cruise = folded.uses(np.zeros((1, top.shape[0])), along)[:, 0]
    shape, running = panels.running(folded.uses(panels.acceleration, panels.along), cruise)
    used = lift.total(panels, shape, running)
    # the first pass says what the second one holds, which is not that delicate
    bent = bend(panels, lift, shape, used) if second else np.zeros_like(lift.speed)
    figures = (lift.speed, lift.distance, lift.stop, used[0], used[1])
    traces: FloatArray = np.zeros((top.shape[0], grid.size))
    if grid.size:
        traces = speeds_at(road_nodes(panels, lift, stopping), grid)
    moves = top > 0.0
    if not moves.all():
        for figure in figures:
            figure[~moves] = 0.0
        traces[~moves] = 0.0
    return _Pass(
        top, top, *figures, traces=traces, sound=np.ones(moves.shape, dtype=bool), bend=bent
    )
