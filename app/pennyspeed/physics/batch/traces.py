"""Speed over distance for many cars on one grid of distances.

::

    v² |        .-'''lift            nodes: panel ends and middles, then eight steps in the
       |     .-'      \\              logarithm up to the lift point, then braking in six steps
       |   .'          \\
       | ./             \\
       +-----------------\\------ x   between them a cubic in v², which both ends' accelerations fix
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pennyspeed.physics.batch.panels import LEAST, Lift, Panels, Stopping, moments_of
from pennyspeed.physics.car import FloatArray, IntArray

STEPS_TO_LIFT = 8
STEPS_BRAKING = 6
TOGETHER = 64
"""Cars interpolated at once: their arrays then stay in the processor's cache."""

FULL_CRUISE = 12.0
"""e-folds of the distance from v* after which speed no longer changes."""


@dataclass(frozen=True, slots=True)
class Nodes:
    """Places of the run where speed and acceleration are known; shapes ``(j, n)``."""

    distance: FloatArray
    square: FloatArray
    """v² [m²/s²]."""
    slope: FloatArray
    """dv²/dx = 2a [m/s²]."""


def road_nodes(panels: Panels, lift: Lift, stopping: Stopping) -> Nodes:
    """From rest over the lift point to rest."""
    count = lift.speed.shape[0]
    rows = panels.width.shape[0]
    lift_row, cars = np.divmod(lift.panel, count)

    half = moments_of(np.log((panels.rho + 1.0) / (panels.rho + 0.5)), panels.rho, 0.5)
    middles = panels.distance_ends + panels.width * panels.distance.integral(*half)
    kind = panels.ends.dtype
    powered = np.empty((3, 2 * rows, count), dtype=kind)
    powered[0, ::2], powered[0, 1::2] = panels.distance_ends, middles
    powered[1] = panels.speeds[:-1] * panels.speeds[:-1]
    powered[2] = 2.0 * panels.acceleration[:-1]
    # what lies beyond the start of the lift point's panel folds back onto that start
    row = np.minimum(np.arange(2 * rows)[:, None], 2 * lift_row)
    powered = powered.reshape(3, -1)[:, row * count + cars]

    rho, width = panels.rho.ravel()[lift.panel], panels.width.ravel()[lift.panel]
    right = panels.ends.ravel()[lift.panel + count]
    start = panels.distance_ends.ravel()[lift.panel]
    shape = panels.distance.at(lift.panel)
    share = np.arange(1.0, STEPS_TO_LIFT + 1.0, dtype=kind)[:, None] / STEPS_TO_LIFT
    log = np.minimum(lift.log, FULL_CRUISE) * share
    log[-1] = lift.log
    place = (rho + 1.0) * np.exp(-log)
    sigma = place - rho
    last = np.empty((3, STEPS_TO_LIFT, count), dtype=kind)
    last[0] = start + width * shape.integral(*moments_of(log, rho, sigma))
    speed = np.maximum(right - width * sigma, 0.0)
    last[1] = speed * speed
    h = shape.c0 + sigma * (shape.c1 + sigma * shape.c2)
    last[2] = 2.0 * speed * place / np.maximum(h, LEAST)

    left = np.linspace(1.0, 0.0, STEPS_BRAKING + 1, dtype=kind)[:, None]
    speed = np.asarray(lift.speed * left)
    stops = stopping.distance(speed)
    braking = np.empty((3, STEPS_BRAKING + 1, count), dtype=kind)
    braking[0] = lift.distance + (stops[0] - stops)
    braking[1] = speed * speed
    braking[2] = -2.0 * stopping.deceleration(speed)
    every = np.concatenate((powered, last, braking), axis=1)
    np.maximum.accumulate(every[0], axis=0, out=every[0])
    return Nodes(every[0], every[1], every[2])


def speeds_at(nodes: Nodes, distance: FloatArray) -> FloatArray:
    """Speed of each car at each rising distance [m/s], shape ``(n, m)``; 0 past its stop."""
    count, size = nodes.distance.shape[1], distance.shape[0]
    gap = np.diff(nodes.distance, axis=0)
    width = np.maximum(gap, 1.0e-6)
    secant = np.diff(nodes.square, axis=0) / width
    # a cubic overshoots where its ends are steeper than three times the secant
    steepest = 3.0 * np.abs(secant)
    at_start = np.clip(nodes.slope[:-1], -steepest, steepest)
    at_end = np.clip(nodes.slope[1:], -steepest, steepest)
    bend = (3.0 * secant - 2.0 * at_start - at_end) / width
    twist = (at_start + at_end - 2.0 * secant) / (width * width)

    places = np.searchsorted(distance, nodes.distance.ravel()).reshape(nodes.distance.shape)
    cubic = (nodes.distance, twist, bend, at_start, nodes.square)
    distance = distance.astype(gap.dtype)
    speeds = np.empty((count, size), dtype=gap.dtype)
    for start in range(0, count, TOGETHER):
        cars = slice(start, start + TOGETHER)
        _interpolate(places[:, cars], [part[:, cars] for part in cubic], distance, speeds[cars])
    return speeds


def _interpolate(
    places: IntArray, cubic: list[FloatArray], distance: FloatArray, speeds: FloatArray
) -> None:
    """Fill `speeds`, given where on the grid of distances each node comes."""
    count, size = speeds.shape
    intervals = places.shape[0] - 1
    cars = np.arange(count)
    counted = np.bincount(
        (places + cars * (size + 1)).ravel(), minlength=count * (size + 1)
    ).reshape(count, size + 1)
    passed = counted[:, :size].cumsum(axis=1)
    index = np.minimum(passed - 1, intervals - 1) * count
    index += cars[:, None]
    at, twist, bend, slope, square = (part.ravel() for part in cubic)
    along = distance - at.take(index)
    twist.take(index, out=speeds)
    for coefficient in (bend, slope, square):
        speeds *= along
        speeds += coefficient.take(index)
    np.maximum(speeds, 0.0, out=speeds)
    np.sqrt(speeds, out=speeds)
    speeds *= passed <= intervals
