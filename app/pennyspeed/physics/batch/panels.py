"""Distance, charge and heat as integrals over speed, on a handful of panels per car.

With the state held, motion depends on speed alone: x = ∫ v/a dv, and charge and heat likewise.
Panels end on every kink of a(v), so that a is smooth on each::

    a |-----.______                      0 ... ends[i] ... v*, any number of panels
      |     |      `-.  .                        <-- σ ---|
      |     |         |`-.`.             left, middle and right speed of a panel
      |     |         |   `. `.          σ = 1     1/2       0
      +-----+---------+-----+--x--- v
      0   kinks             v*  pole of the panel at σ = -ρ, taken out of 1/a

On a panel f/a = h/(ρ + σ): h is flat wherever the pole is chosen well, so it is taken for a
parabola through its three speeds and the quotient is integrated exactly, as a logarithm. ρ is the
root of the parabola through the three accelerations, 10 panel widths at most. The last panel has
its pole at v* itself, ρ = 0; there the logarithm goes on without end, so that cruising needs no
case of its own.

Product integration against a pole is common practice in numerical analysis, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from pennyspeed.physics.batch.folded import Along, Folded
from pennyspeed.physics.car import FloatArray, Floats, IntArray

FARTHEST_POLE = 10.0
"""In panel widths; farther off it no longer matters, and rounding would."""

SHORT_OF_TOP = 0.1
"""The last panel takes its right speed this share of its width short of v*, where a is not yet
0."""

_E = SHORT_OF_TOP
# a parabola through σ = e, 1/2, 1, continued to σ = 0
_TO_TOP = (1.0 / ((1.0 - 2.0 * _E) * (1.0 - _E)), -4.0 * _E / (1.0 - 2.0 * _E), _E / (1.0 - _E))

LEAST = 1.0e-30
"""Keeps quotients finite where a car does not move [m/s²]. So small that a car which barely moves
is taken as it is: rounding decides long before."""

LEAST_WEIGHT = 1.0e-9
"""Of σ/a at v*, relative to that short of it: cruising goes on where a falls off at v* itself."""

ROUNDS = 3
"""Newton steps to the lift point: 99.9 % are then within 1e-6."""

MOST_LOG = 1.0e3
"""Of the first guess."""

CLOSE = 1.0e-13
"""Share of the road that the lift point may be off before the steps end early."""


class Stopping(Protocol):
    """Braking from any speed up to v*."""

    def distance(self, speed: FloatArray) -> FloatArray:
        """To rest [m]; speeds of shape ``(n,)`` or ``(k, n)``."""

    def deceleration(self, speed: FloatArray) -> FloatArray:
        """Floor included [m/s²]."""


@dataclass(frozen=True, slots=True)
class Parabola:
    """h(σ) = c0 + c1 σ + c2 σ²; several integrands may lie along axes before panels and cars."""

    c0: FloatArray
    c1: FloatArray
    c2: FloatArray

    def at(self, index: IntArray) -> Parabola:
        """The parabolas of the panels that a flat index picks."""
        return Parabola(_picked(self.c0, index), _picked(self.c1, index), _picked(self.c2, index))

    def integral(self, m0: FloatArray, m1: FloatArray, m2: FloatArray) -> FloatArray:
        """∫ h/(ρ+σ) dσ from its moments."""
        return self.c0 * m0 + self.c1 * m1 + self.c2 * m2


def _picked(values: FloatArray, index: IntArray) -> FloatArray:
    """Values of the panels that a flat index over panels and cars picks."""
    if values.ndim == 2:
        return values.ravel()[index]
    return values.reshape(*values.shape[:-2], -1)[..., index]


def _at_top(left: FloatArray, middle: FloatArray, right: FloatArray) -> FloatArray:
    """What the last panel's three values come to at v*."""
    return np.asarray(_TO_TOP[0] * right + _TO_TOP[1] * middle + _TO_TOP[2] * left)


@dataclass(frozen=True, slots=True)
class Panels:
    """The integrals of one pass, panel by panel: shapes ``(panels, n)``, one row more at ends."""

    ends: FloatArray
    width: FloatArray
    rho: FloatArray
    moments: tuple[FloatArray, FloatArray, FloatArray]
    """Over whole panels, all but the last."""
    distance: Parabola
    distance_ends: FloatArray
    """Distance at the left end of each panel [m]."""
    speeds: FloatArray
    acceleration: FloatArray
    """At left, middle, left, middle, ..., right: shape ``(2 panels + 1, n)``."""
    along: Along
    weights: FloatArray
    """(ρ+σ)/a, shape ``(3, panels, n)``."""
    weight_at_top: FloatArray
    """Apart from f, since where a falls off at v* itself it comes to nothing, and f does not."""

    def running(
        self, values: FloatArray, at_top: FloatArray | None = None
    ) -> tuple[Parabola, FloatArray]:
        """Parabolas of f/a, and the integrals up to each panel's left end.

        Parameters
        ----------
        values : array (..., 2 panels + 1, n)
            f at the speeds of the panels.
        at_top : array (..., n), optional
            f at v*; else what the last panel's values come to there.
        """
        if at_top is None:
            at_top = _at_top(values[..., -3, :], values[..., -2, :], values[..., -1, :])
        edge = at_top * self.weight_at_top
        return _running(values, self.weights, edge, self.moments, self.width)


def _running(
    values: FloatArray,
    weights: FloatArray,
    edge: FloatArray,
    moments: tuple[FloatArray, FloatArray, FloatArray],
    width: FloatArray,
) -> tuple[Parabola, FloatArray]:
    left = values[..., :-1:2, :] * weights[0]
    twice = values[..., 1::2, :] * weights[1]
    twice *= 2.0
    right = values[..., 2::2, :] * weights[2]
    right[..., -1, :] = edge
    shape = Parabola(right, 2.0 * twice - 3.0 * right - left, 2.0 * (right + left - twice))
    whole = Parabola(shape.c0[..., :-1, :], shape.c1[..., :-1, :], shape.c2[..., :-1, :])
    steps = whole.integral(*moments)
    steps *= width[:-1]
    total = np.zeros_like(shape.c0)
    # row by row: numpy's cumsum goes down each column by itself, many times slower
    for row in range(steps.shape[-2]):
        np.add(total[..., row, :], steps[..., row, :], out=total[..., row + 1, :])
    return shape, total


def moments_of(
    log: FloatArray, rho: FloatArray, sigma: Floats
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """∫ σ^k/(ρ+σ) dσ from `sigma` to 1, k = 0, 1, 2, with log = ln((ρ+1)/(ρ+σ))."""
    first = (1.0 - sigma) - rho * log
    return log, first, 0.5 * (1.0 - sigma * sigma) - rho * first


def integrate(car: Folded, ends: FloatArray) -> Panels:
    """The integrals of one pass; `ends` are speeds from 0 to v*, not falling [m/s]."""
    width = ends[1:] - ends[:-1]
    speeds = np.empty((2 * width.shape[0] + 1, ends.shape[1]), dtype=ends.dtype)
    speeds[::2] = ends
    speeds[-1] -= SHORT_OF_TOP * width[-1]
    speeds[1::2] = 0.5 * (ends[:-1] + ends[1:])
    acceleration, along = car.motion(speeds)
    np.maximum(acceleration, LEAST, out=acceleration)
    left, middle, right = acceleration[:-1:2], acceleration[1::2], acceleration[2::2]

    slope = 4.0 * middle - 3.0 * right - left
    bend = 2.0 * (right + left) - 4.0 * middle
    root = np.sqrt(np.maximum(slope * slope - 4.0 * bend * right, 0.0))
    rho = 2.0 * right / np.maximum(slope + root, (2.0 / FARTHEST_POLE) * right)
    rho[-1] = 0.0
    weights = np.empty((3, *rho.shape), dtype=rho.dtype)
    np.divide(rho + 1.0, left, out=weights[0])
    np.divide(rho + 0.5, middle, out=weights[1])
    np.divide(rho, right, out=weights[2])
    weights[2, -1] = SHORT_OF_TOP / right[-1]
    at_top = _at_top(weights[0, -1], weights[1, -1], weights[2, -1])
    at_top = np.maximum(at_top, LEAST_WEIGHT * weights[2, -1])

    inner = rho[:-1]
    moments = moments_of(np.log((inner + 1.0) / inner), inner, 0.0)
    shape, total = _running(speeds, weights, ends[-1] * at_top, moments, width)
    return Panels(
        ends, width, rho, moments, shape, total, speeds, acceleration, along, weights, at_top
    )


@dataclass(frozen=True, slots=True)
class Lift:
    """Where each driver must lift, shapes ``(n,)``."""

    speed: FloatArray
    distance: FloatArray
    stop: FloatArray
    """From there to rest [m]."""
    excess: FloatArray
    """How far both together miss the road's end [m]: what the iteration has left."""
    panel: IntArray
    """Flat index of the panel that holds the lift point."""
    log: FloatArray
    """ln((ρ+1)/(ρ+σ)) at the lift point."""
    moments: tuple[FloatArray, FloatArray, FloatArray]
    """From the panel's left end to the lift point."""

    def total(self, panels: Panels, shape: Parabola, running: FloatArray) -> FloatArray:
        """∫ f/a dv up to the lift point, from what `Panels.running` makes of f."""
        part = shape.at(self.panel).integral(*self.moments)
        part *= panels.width.ravel()[self.panel]
        part += _picked(running, self.panel)
        return part


def find_lift(panels: Panels, stopping: Stopping, road: Floats, rounds: int = ROUNDS) -> Lift:
    """The highest speed whose distance under power and stopping distance fit on the road.

    Newton's method in the logarithm of the panel, in which distance is nearly linear; a step that
    leaves what is known of the bracket halves it instead. The road is in metres.
    """
    count = panels.ends.shape[1]
    starts = panels.distance_ends + stopping.distance(panels.ends[:-1])
    row = np.count_nonzero(starts[1:] <= road, axis=0)
    index = row * count + np.arange(count)
    rho, width = panels.rho.ravel()[index], panels.width.ravel()[index]
    right = panels.ends.ravel()[index + count]
    before = panels.distance_ends.ravel()[index]
    shape = panels.distance.at(index)
    left_of, available = road - starts.ravel()[index], road - before

    # to begin with: a share of the panel, of the first one in v²; the last one has no end
    far = np.log1p(1.0 / np.maximum(rho, LEAST))
    gap = starts.ravel()[np.minimum(index + count, starts.size - 1)] - starts.ravel()[index]
    share = np.minimum(left_of / np.maximum(gap, LEAST), 1.0)
    endless = row == starts.shape[0] - 1
    log = far * np.where(row == 0, np.sqrt(share), share)
    log = np.where(endless, left_of / np.maximum(shape.c0 * width, LEAST), log)
    far[endless] = np.inf
    log = np.minimum(np.maximum(log, 0.0), MOST_LOG)
    near, reach = np.zeros_like(log), rho + 1.0
    enough = CLOSE * np.asarray(road)
    for _ in range(rounds):
        place = reach * np.exp(-log)
        sigma = place - rho
        speed = right - width * sigma
        covered = width * shape.integral(*moments_of(log, rho, sigma))
        excess = covered + stopping.distance(speed) - available
        if np.all(np.abs(excess) <= enough):
            break
        beyond = excess > 0.0
        near, far = np.where(beyond, near, log), np.where(beyond, log, far)
        h = shape.c0 + sigma * (shape.c1 + sigma * shape.c2)
        slope = width * (h + place * speed / stopping.deceleration(speed))
        log = log - excess / np.maximum(slope, LEAST)
        astray = ~((log >= near) & (log <= far))
        if astray.any():
            log = np.where(astray, np.minimum(0.5 * (near + far), 2.0 * near + 1.0), log)
    sigma = reach * np.exp(-log) - rho
    moments = moments_of(log, rho, sigma)
    speed = np.maximum(right - width * sigma, 0.0)
    covered, stop = width * shape.integral(*moments), stopping.distance(speed)
    return Lift(speed, before + covered, stop, covered + stop - available, index, log, moments)
